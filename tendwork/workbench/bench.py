"""The one object behind dashboard, commands and watch: open a folder, get the plan, act.

Everything that a front shows or does goes through here; fronts hold no rule of the trade, no sum of dates and no SQL.
The almanac and the planner are imported only when something has to be reckoned, so that a command whose plan is kept
opens at once.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.errors import PersonError
from tendwork.folder.orchard_folder import OrchardFolder

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from tendwork.almanac.results import FrostNight
    from tendwork.folder.site import Site
    from tendwork.folder.templates import LoadedTemplates
    from tendwork.orchard.records import Records
    from tendwork.planning.adjustments import Adjustments
    from tendwork.planning.results import FittedWeek, Plan, Task
    from tendwork.planning.vocabulary import Card
    from tendwork.workbench.adjusting import Preview
    from tendwork.workbench.known_temperatures import HeldTemperatures
    from tendwork.workbench.plan_cache import PlannedDay, SpeciesStages, WeekSummary
    from tendwork.workbench.plan_making import AlmanacCache
    from tendwork.workbench.recording import Recording


class Done(Struct, frozen=True):
    """What an act did, as one sentence for the person."""

    sentence: str


class JobTick(Struct, frozen=True):
    """Units of one job, or all that are to do, and what a tick says of them; an empty outcome is the job's default."""

    key: str
    units: tuple[str, ...] = ()
    outcome: str = ""
    note: str = ""


class Workbench:
    """An open orchard folder. Cheap to make; the plan is reckoned when asked for, and kept per content."""

    def __init__(self, folder: OrchardFolder) -> None:
        self._folder = folder
        self._last: WeekSummary | None = None
        self._told = ""
        self._templates: LoadedTemplates | None = None
        self._almanac_cache: AlmanacCache | None = None

    @classmethod
    def open(cls, path: Path | None = None) -> Workbench:
        """Open `path`, else TENDWORK_ORCHARD, else the default place. Raises PersonError."""
        return cls(OrchardFolder.open(path))

    @classmethod
    def begin(cls, path: Path, *, name: str, timezone: str, latitude: float, longitude: float) -> Workbench:
        """Make a new orchard folder and open it. Raises PersonError; overwrites nothing."""
        return cls(OrchardFolder.begin(path, name=name, timezone=timezone, latitude=latitude, longitude=longitude))

    def close(self) -> None:
        """Let go of the records."""
        self._folder.close()

    @property
    def path(self) -> Path:
        return self._folder.path

    @property
    def site(self) -> Site:
        return self._folder.site

    @property
    def site_name(self) -> str:
        return self._folder.site.name

    @property
    def place_words(self) -> str:
        """Where the orchard stands, in a few words: "52.1° N, 3.0° W, 240 m"."""
        site = self._folder.site
        north = f"{abs(site.latitude):.1f}° {'S' if site.latitude < 0 else 'N'}"
        east = f"{abs(site.longitude):.1f}° {'W' if site.longitude < 0 else 'E'}"
        return f"{north}, {east}" + ("" if site.elevation_m is None else f", {site.elevation_m:.0f} m")

    @property
    def records(self) -> Records:
        return self._folder.records.read()

    def today(self) -> date:
        """The person's local day at the site."""
        import pendulum

        local = pendulum.now(self._folder.site.timezone)
        return date(local.year, local.month, local.day)

    def last_plan(self) -> Plan | None:
        """The newest plan kept for this folder, which may be of another day; None if there is none."""
        last = self.last_planned()
        return None if last is None else last.plan

    def last_planned(self) -> PlannedDay | None:
        """The newest reckoning kept for this folder, which may be of another day; None if there is none."""
        from tendwork.workbench.plan_cache import PlannedDay, read_kept

        if not isinstance(self._last, PlannedDay):
            self._last = read_kept(self._folder, PlannedDay)
        return self._last

    def last_summary(self) -> WeekSummary | None:
        """The same without the whole plan: what is read soonest."""
        from tendwork.workbench.plan_cache import WeekSummary, read_kept

        if self._last is None:
            self._last = read_kept(self._folder, WeekSummary)
        return self._last

    def as_of(self, day: date) -> PlannedDay:
        """The reckoning of another day, to look at: it is not kept. Raises PersonError."""
        from tendwork.workbench.plan_cache import token_of

        return self._made(day, token_of(self._folder, day), None, None)

    def plan(self, today: date) -> Plan:
        """Every task of the season as of `today`. Raises PersonError where the folder's files must be mended."""
        return self._planned(today).plan

    def week_summary(self, today: date) -> WeekSummary:
        """Week, buds, frost and words as of `today`; where they are kept, the whole plan is left unread."""
        from tendwork.workbench.plan_cache import token_of

        last = self.last_summary()
        current = last is not None and last.token == token_of(self._folder, today)
        return last if last is not None and current else self._planned(today)

    def planned(self, today: date) -> PlannedDay:
        """Plan, week, buds, frost and words of one reckoning. Raises PersonError."""
        return self._planned(today)

    def week(self, today: date) -> tuple[Task, ...]:
        """The tasks that matter from today to today + 6, each with its days."""
        return self.fitted(today).tasks

    def fitted(self, today: date) -> FittedWeek:
        """The week fitted into the person's hours: tasks with their days, the days' minutes, and what comes short."""
        return self._planned(today).week

    def stages(self, today: date) -> tuple[SpeciesStages, ...]:
        """The bud stages of the season for each species in the orchard."""
        return self._planned(today).stages

    def frost(self, today: date) -> tuple[FrostNight, ...]:
        """The coming nights that can hurt buds."""
        return self._planned(today).frost

    def words(self, today: date) -> tuple[str, ...]:
        """Sentences that the person should know about the data behind the plan."""
        return self._planned(today).words

    def cards(self) -> dict[str, Card]:
        """The caution cards by id."""
        return self.templates().cards

    def templates(self) -> LoadedTemplates:
        """The templates in force before adjustments. Raises PersonError."""
        if self._templates is None:
            self._templates = self._folder.templates()
        return self._templates

    def every_days(self, template: str) -> int | None:
        """Days between the rounds of a repeating template as adjusted; None if it is left out. Raises PersonError."""
        from tendwork.planning.adjustments import adjusted
        from tendwork.workbench.plan_making import every_days

        return every_days(adjusted(self.templates().templates, self.adjustments()), template)

    def adjustments(self) -> Adjustments:
        """What the person changed for the site. Raises PersonError."""
        from tendwork.folder.adjustments import read_adjustments

        return read_adjustments(self._folder.adjustments_path)

    def task(self, key: str, today: date) -> Task:
        """The task with this key, or the only one whose key starts so. Raises PersonError with the nearest keys.

        Where the week has it as one line with other rounds of the same job, it is that line.
        """
        from tendwork.planning.named_task import task_named

        own = task_named(self.plan(today).tasks, key)
        joined = (line for line in self.week(today) if line.key == own.key and any(unit.task for unit in line.units))
        return next(joined, own)

    def task_and_day(self, key: str, today: date) -> tuple[Task, date]:
        """The same for a key of any season that can be planned, and the day as of which the task is told.

        That is today for what stands in today's plan. Raises PersonError.
        """
        from tendwork.almanac.seasons import season_of
        from tendwork.planning.named_task import task_named
        from tendwork.workbench.season_finding import day_in_season_of

        south, day = self.site.south, None
        if all(task.key != key for task in self.plan(today).tasks):
            day = day_in_season_of(key, today, south, self.records)
        if day is None:
            return self.task(key, today), today
        return task_named(self.as_of(day).plan.tasks, key, f"season {season_of(day, south).name}"), day

    def tick(
        self, key: str, units: tuple[str, ...], today: date, outcome: str = "", note: str = "", sure: bool = False
    ) -> Done:
        """Tick units of one job. See `tick_all`."""
        return self.tick_all((JobTick(key, units, outcome, note),), today, sure=sure)

    def tick_all(self, jobs: Sequence[JobTick], today: date, wrap: str | None = None, sure: bool = False) -> Done:
        """Tick units of several jobs in one act. Raises PersonError and changes nothing where it cannot be so.

        `wrap` is what the grafts that are set were wrapped in, "" where it is not known; None leaves what was planned.
        Units that are held back are ticked only where the person is `sure`.
        """
        from tendwork.orchard.wraps import WRAPS
        from tendwork.planning.vocabulary import UNKNOWN
        from tendwork.view.wood import barred_on
        from tendwork.workbench.ticking import TaskTick, tick

        self._folder.back_up()
        asked = []
        for job in jobs:
            task = self.task(job.key, today)
            asked.append(TaskTick(task, self._template_kind(task), job.units, job.outcome, job.note))
        spoken_of = {wrap for template in self.templates().templates for wrap in template.where.wrap or ()}
        wraps = (*WRAPS, *sorted(spoken_of - {UNKNOWN, *WRAPS}))
        barred = barred_on(self.records, today, self.site.south)
        return Done(tick(self._folder.records, asked, today, wrap, wraps, sure, barred))

    def untick(self, key: str, units: tuple[str, ...], today: date) -> Done:
        """Undo the ticks of units of a task, or all of them, with what they changed. Raises PersonError."""
        from tendwork.workbench.ticking import untick

        self._folder.back_up()
        task = self.task(key, today)
        if task.rounds > 1 and (units or not any(unit.outcome for unit in task.units)):
            from tendwork.planning.repeats import as_last_ticked

            task = as_last_ticked(self.plan(today), task)  # its units may be due again already, in a later round
        return Done(untick(self._folder.records, task, units, today))

    def undo_job(self, key: str, units: tuple[str, ...], today: date) -> Done:
        """Undo these ticks of a job: the whole newest act where it made them all. Raises PersonError."""
        newest = self._folder.records.last_ticks()
        return self.undo(today) if {(key, unit) for unit in units} <= newest else self.untick(key, units, today)

    def put_off(self, key: str, day: date, today: date, fixed: bool = False) -> Done:
        """Put a whole job off until a day, or with `fixed` plan it for that day. Raises PersonError."""
        return self.put_off_all((key,), day, today, fixed)

    def put_off_all(self, keys: Sequence[str], day: date, today: date, fixed: bool = False) -> Done:
        """Put several jobs off in one act. Raises PersonError and changes nothing where one of them cannot be."""
        from tendwork.workbench.ticking import put_off

        self._folder.back_up()
        return Done(put_off(self._folder.records, [self._line(key, today) for key in keys], day, today, fixed))

    def _line(self, key: str, today: date) -> Task:
        """The task with this key, or the line of the week that it is a round of."""
        task = self.task(key, today)
        return next((line for line in self.week(today) if any(unit.task == task.key for unit in line.units)), task)

    def saw(self, species: str, stage: str, day: date, tree: str = "", note: str = "", sure: bool = False) -> Done:
        """Record a bud stage seen on a day. Raises PersonError for a species or stage that is not known.

        Where the person is not `sure`, what contradicts the almanac or other sightings is refused too.
        """
        from tendwork.workbench.ticking import saw, sighting_of

        self._folder.back_up()
        if not sure and (doubt := self.doubt(species, stage, day, day, tree)):
            raise PersonError(f"{doubt} If you are sure of it, add --sure. Nothing was recorded.")
        return Done(saw(self._folder.records, sighting_of(self.records, species, stage, day, tree, note)))

    def doubt(self, species: str, stage: str, day: date, today: date, tree: str = "") -> str:
        """What contradicts a bud stage seen on a day, as a sentence; empty where nothing does. Raises PersonError."""
        from tendwork.workbench.doubting import doubt_of
        from tendwork.workbench.ticking import sighting_of

        records = self.records
        sighting = sighting_of(records, species, stage, day, tree, "")
        return doubt_of(self._folder, self._almanacs(), records, sighting, today)

    def record(self, edit: Callable[[Recording], str]) -> Done:
        """Do something to trees, grafts, wood or tastings. Raises PersonError and changes nothing where it cannot be.

        `edit` is called with the room for records and gives back its sentence.
        """
        from tendwork.workbench.recording import Recording

        return Done(edit(Recording(self._folder, self.last_plan)))

    def against(self, question: Callable[[Recording], str]) -> str:
        """What speaks against something that a person is about to record, as sentences; empty for nothing.

        Raises PersonError for what could not be recorded at all.
        """
        from tendwork.workbench.recording import Recording

        return question(Recording(self._folder, self.last_plan))

    def undo(self, today: date) -> Done:
        """Undo the newest act. Raises PersonError if it cannot be undone."""
        description = self._folder.records.undo_last(today)
        if description is None:
            raise PersonError("There is nothing to undo.")
        return Done(f"Undone: {description}.")

    def bring(self, file: Path, kind: str, today: date, dry_run: bool = False) -> tuple[str, ...]:
        """Bring a CSV file's rows in, or say what it would change. Raises PersonError and takes nothing by halves."""
        from tendwork.workbench.exchange import bring_file

        self._folder.back_up()
        return bring_file(self._folder, file, kind, today, dry_run)

    def keep_copied(self, text: str) -> Path:
        """Keep a text that was copied in a file in cache/, and say in which. Raises PersonError."""
        from tendwork.folder.files import make_folder, write_whole

        file = self._folder.path / "cache" / "copied.txt"
        make_folder(file.parent)
        write_whole(file, f"{text}\n".encode("utf-8", "replace"))
        return file

    def give(self, target: Path) -> tuple[str, ...]:
        """Write all records as CSV files into `target`. Raises PersonError."""
        from tendwork.workbench.exchange import give_files

        return give_files(self._folder, target)

    def add_temperatures(
        self,
        file: Path,
        today: date,
        dry_run: bool,
        dates: str | None,
        unit: str | None = None,
        progress: Callable[[int], None] | None = None,
    ) -> tuple[str, ...]:
        """Add a temperature file's days to the folder, or say what it would. Raises PersonError."""
        from tendwork.workbench.temperature_files import add_temperatures

        return add_temperatures(self._folder, file, today, dry_run, dates, unit, progress)

    def fetch_temperatures(self, today: date) -> tuple[str, ...]:
        """Ask the weather services that site.toml names, and say what came. Raises PersonError."""
        from datetime import UTC, datetime

        from tendwork.workbench.temperature_fetching import fetch_temperatures

        return fetch_temperatures(self._folder, today, datetime.now(UTC)).words

    def sent_where(self) -> str:
        """What a fetch would send to whom. Raises PersonError where site.toml names no service."""
        from tendwork.workbench.temperature_fetching import sent_where

        return sent_where(self._folder)

    def back_up(self) -> str:
        """Copy the records unless that was done today, and say so; empty if there was nothing to do."""
        copy = self._folder.back_up()
        return "" if copy is None else f"The records are copied to {copy.parent.name}/{copy.name}."

    def temperatures(self, today: date) -> HeldTemperatures:
        """What the folder holds of temperatures, and what follows from them. Raises PersonError."""
        from tendwork.workbench.known_temperatures import held_temperatures

        return held_temperatures(self._folder, self.records, self.adjustments(), today)

    @staticmethod
    def check(path: Path | None = None, today: date | None = None) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """(faults, warnings) of every file of the folder. Raises PersonError where there is no folder to read."""
        from tendwork.workbench.exchange import check_folder

        return check_folder(path, today or date.today())

    def preview(self, after: Adjustments, today: date) -> Preview:
        """What these adjustments would move this season, against those in force. Raises PersonError."""
        from tendwork.workbench.adjusting import preview

        return preview(self._folder, self._almanacs(), self.templates().templates, self.adjustments(), after, today)

    def adjust(self, before: Adjustments, after: Adjustments, today: date) -> Done:
        """Put in force what changes from `before`, the adjustments as they were read, to `after`.

        What others changed since then stays. Raises PersonError and changes nothing where it cannot be.
        """
        from tendwork.workbench.adjusting import save

        save(self._folder, self._almanacs(), self.templates().templates, before, after, today)
        return Done(f"Written to {self._folder.adjustments_path.name}.")

    def absences(self, today: date) -> dict[str, str]:
        """For each template without a task this season, the condition that keeps its jobs away."""
        from tendwork.workbench.adjusting import absences

        present = {task.template for task in self.plan(today).tasks}
        found = absences(self._folder, self._almanacs(), self.templates().templates, self.adjustments(), today)
        return {template: why for template, why in found.items() if template not in present}

    @staticmethod
    def restore(path: Path | None, copy: Path | None = None) -> tuple[str, ...]:
        """Put `copy` back, or the newest good one where the records cannot be read. Raises PersonError."""
        from tendwork.workbench.exchange import restore_records

        return restore_records(path, copy)

    @staticmethod
    def copies(path: Path | None) -> tuple[str, ...]:
        """Every copy of the records, one line each. Raises PersonError."""
        from tendwork.workbench.exchange import listed_copies

        return listed_copies(path)

    def changed(self) -> bool:
        """Whether another process wrote what the last plan was not made from; each content is told only once.

        So a file that cannot be planned from is not tried again until it is mended.
        """
        if self._last is None:
            return False
        from tendwork.workbench.plan_cache import token_of

        token = token_of(self._folder, self._last.day)
        is_new = token not in (self._last.token, self._told)
        self._told = token
        return is_new

    def refresh_files(self) -> None:
        """Read site.toml and the templates anew: the person may have edited them. Raises PersonError."""
        fresh = OrchardFolder.open(self._folder.path)
        fresh.close()
        self._folder.site = fresh.site
        self._templates = None

    def _template_kind(self, task: Task) -> str:
        return next((template.each for template in self.templates().templates if template.id == task.template), "")

    def _almanacs(self) -> AlmanacCache:
        from tendwork.workbench.plan_making import AlmanacCache

        if self._almanac_cache is None:
            self._almanac_cache = AlmanacCache(self._folder)
        return self._almanac_cache

    def _planned(self, today: date) -> PlannedDay:
        from tendwork.workbench.plan_cache import PlannedDay, keep, read_earlier, read_kept, token_of

        token, last = token_of(self._folder, today), self._last
        if isinstance(last, PlannedDay) and last.token == token:
            return last
        kept = read_kept(self._folder, PlannedDay)
        if kept is None or kept.token != token:
            kept = self._made(today, token, kept, read_earlier(self._folder, today))
            keep(self._folder, kept)
        self._last = kept
        return kept

    def _made(self, today: date, token: str, before: PlannedDay | None, earlier: PlannedDay | None) -> PlannedDay:
        from tendwork.workbench.plan_making import plan_day

        templates, adjustments = self.templates(), self.adjustments()
        return plan_day(self._folder, self._almanacs(), templates, adjustments, today, token, before, earlier)

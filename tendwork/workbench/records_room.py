"""The room for the records: what stands in them, and everything that a person does to them, each thing one act."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.errors import PersonError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date
    from pathlib import Path

    from tendwork.folder.orchard_folder import OrchardFolder
    from tendwork.orchard.records import Records
    from tendwork.workbench.entries import Entries
    from tendwork.workbench.plan_making import AlmanacCache
    from tendwork.workbench.plan_room import PlanRoom
    from tendwork.workbench.templates_room import TemplatesRoom


class JobTick(Struct, frozen=True):
    """Units of one job, or all that are to do, and what a tick says of them; an empty outcome is the job's default."""

    key: str
    units: tuple[str, ...] = ()
    outcome: str = ""
    note: str = ""


class RecordsRoom:
    """Every method that does something says it in a sentence, and raises PersonError where it changes nothing."""

    def __init__(
        self,
        folder: OrchardFolder,
        templates: TemplatesRoom,
        plan: PlanRoom,
        almanacs: Callable[[], AlmanacCache],
    ) -> None:
        self._folder = folder
        self._templates = templates
        self._plan = plan
        self._almanacs = almanacs

    def read(self) -> Records:
        """The records as they stand. Raises PersonError where they cannot be read."""
        return self._folder.records.read()

    def tick(self, jobs: Sequence[JobTick], today: date, wrap: str | None = None, sure: bool = False) -> str:
        """Tick units of several jobs in one act. Raises PersonError and changes nothing where it cannot be so.

        `wrap` is what the grafts that are set were wrapped in, "" where it is not known; None leaves what was planned.
        Units that are held back are ticked only where the person is `sure`.
        """
        from tendwork.orchard.wraps import WRAPS
        from tendwork.planning.tick_edits import TaskTick
        from tendwork.planning.vocabulary import UNKNOWN
        from tendwork.planning.work_bars import barred_on
        from tendwork.workbench.ticking import tick

        self._folder.back_up()
        asked = [TaskTick(self._plan.task(job.key, today), job.units, job.outcome, job.note) for job in jobs]
        spoken_of = {wrap for template in self._templates.loaded().templates for wrap in template.where.wrap or ()}
        wraps = (*WRAPS, *sorted(spoken_of - {UNKNOWN, *WRAPS}))
        barred = barred_on(self.read(), today, self._folder.site.south)
        return tick(self._folder.records, asked, today, wrap, wraps, sure, barred)

    def untick(self, key: str, units: tuple[str, ...], today: date) -> str:
        """Undo the ticks of units of a task, or all of them, with what they changed. Raises PersonError."""
        from tendwork.workbench.ticking import untick

        self._folder.back_up()
        task = self._plan.task(key, today)
        if task.rounds > 1 and (units or not any(unit.outcome for unit in task.units)):
            from tendwork.planning.repeats import as_last_ticked

            task = as_last_ticked(
                self._plan.of(today).plan, task
            )  # its units may be due again already, in a later round
        return untick(self._folder.records, task, units, today)

    def undo_job(self, key: str, units: tuple[str, ...], today: date) -> str:
        """Undo these ticks of a job: the whole newest act where it made them all. Raises PersonError."""
        newest = self._folder.records.last_ticks()
        return self.undo(today) if {(key, unit) for unit in units} <= newest else self.untick(key, units, today)

    def put_off(self, keys: Sequence[str], day: date, today: date, fixed: bool = False) -> str:
        """Put several jobs off in one act. Raises PersonError and changes nothing where one of them cannot be."""
        from tendwork.workbench.ticking import put_off

        self._folder.back_up()
        return put_off(self._folder.records, [self._plan.line(key, today) for key in keys], day, today, fixed)

    def saw(self, species: str, stage: str, day: date, tree: str = "", note: str = "", sure: bool = False) -> str:
        """Record a bud stage seen on a day. Raises PersonError for a species or stage that is not known.

        Where the person is not `sure`, what contradicts the almanac or other sightings is refused too.
        """
        from tendwork.orchard.sighting_edits import sighting_of
        from tendwork.workbench.ticking import saw

        self._folder.back_up()
        if not sure and (doubt := self.doubt(species, stage, day, day, tree)):
            raise PersonError(f"{doubt} If you are sure of it, add --sure. Nothing was recorded.")
        return saw(self._folder.records, sighting_of(self.read(), species, stage, day, tree, note))

    def doubt(self, species: str, stage: str, day: date, today: date, tree: str = "") -> str:
        """What contradicts a bud stage seen on a day, as a sentence; empty where nothing does. Raises PersonError."""
        from tendwork.orchard.sighting_edits import sighting_of
        from tendwork.workbench.doubting import doubt_of

        records = self.read()
        sighting = sighting_of(records, species, stage, day, tree, "")
        return doubt_of(self._folder, self._almanacs(), records, sighting, today)

    @property
    def entries(self) -> Entries:
        """What a person enters of trees, grafts, wood and fruit, and what speaks against it."""
        from tendwork.workbench.entries import Entries

        return Entries(self._folder, self._plan.last_plan)

    def undo(self, today: date) -> str:
        """Undo the newest act. Raises PersonError if it cannot be undone."""
        description = self._folder.records.undo_last(today)
        if description is None:
            raise PersonError("There is nothing to undo.")
        return f"Undone: {description}."

    def bring(self, file: Path, kind: str, today: date, dry_run: bool = False) -> tuple[str, ...]:
        """Bring a CSV file's rows in, or say what it would change. Raises PersonError and takes nothing by halves."""
        from tendwork.workbench.exchange import bring_file

        self._folder.back_up()
        return bring_file(self._folder, file, kind, today, dry_run)

    def give(self, target: Path) -> tuple[str, ...]:
        """Write all records as CSV files into `target`. Raises PersonError."""
        from tendwork.workbench.exchange import give_files

        return give_files(self._folder, target)

    def back_up(self) -> str:
        """Copy the records unless that was done today, and say so; empty if there was nothing to do."""
        copy = self._folder.back_up()
        return "" if copy is None else f"The records are copied to {copy.parent.name}/{copy.name}."

"""The room for the records: what stands in them, and everything that a person does to them, each thing one act."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.errors import PersonError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from datetime import date
    from pathlib import Path

    from tendwork.folder.orchard_folder import OrchardFolder
    from tendwork.orchard.edits import Edit
    from tendwork.orchard.records import RecordKind, Records
    from tendwork.orchard.standing_ticks import TickKey
    from tendwork.orchard.taking_back import TickedActs
    from tendwork.orchard.variety_reference import VarietyReference
    from tendwork.planning.choosing import Proposal
    from tendwork.planning.choosing import Wishes as GraftWishes
    from tendwork.planning.graft_asking import WoodNeed
    from tendwork.planning.graft_picks import Pick
    from tendwork.planning.questions import Question
    from tendwork.workbench.entries import Entries
    from tendwork.workbench.plan_making import AlmanacCache
    from tendwork.workbench.plan_room import PlanRoom
    from tendwork.workbench.templates_room import TemplatesRoom


class JobTick(Struct, frozen=True):
    """Units of one job, or all that are to do, and what a tick says of them; an empty outcome is the job's default.

    `minutes` are how long all of these units took together, with setting up; None where the person does not say.
    """

    key: str
    units: tuple[str, ...] = ()
    outcome: str = ""
    note: str = ""
    minutes: float | None = None


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

        A job may be a whole visit, whose `units` are then its parts; those that ask for a finding nobody said are left.

        `wrap` is what the grafts that are set were wrapped in, "" where it is not known; None leaves what was planned.
        Units that are held back are ticked only where the person is `sure`.
        """
        from tendwork.orchard.standing_ticks import key_of
        from tendwork.orchard.wraps import WRAPS
        from tendwork.planning.tick_edits import TaskTick, tick_edit, unit_ticks
        from tendwork.planning.visit_ticks import left_words, ticks_of_visit
        from tendwork.planning.vocabulary import UNKNOWN
        from tendwork.planning.work_bars import barred_on

        asked: list[TaskTick] = []
        left: list[str] = []
        for job in jobs:
            visit = self._plan.visit(job.key, today)
            if visit is None:
                asked.append(TaskTick(self._plan.task(job.key, today), job.units, job.outcome, job.note, job.minutes))
                continue
            ticks, others = ticks_of_visit(visit, job.units, job.outcome, job.note, job.minutes)
            asked += ticks
            left.append(left_words(others, job.outcome))
        spoken_of = {wrap for template in self._templates.loaded().templates for wrap in template.where.wrap or ()}
        wraps = (*WRAPS, *sorted(spoken_of - {UNKNOWN, *WRAPS}))

        def edit_of(records: Records, acts: TickedActs) -> Edit:
            south = self._folder.site.south
            barred = barred_on(records, today, south)
            return tick_edit(records, acts, asked, today, wrap, wraps, sure, barred, south)

        said = self._write_over([key_of(one.tick) for one in unit_ticks(asked, today)], edit_of)
        return " ".join(filter(None, (said, *left)))

    def untick(self, key: str, units: tuple[str, ...], today: date) -> str:
        """Undo the ticks of units of a task, or all of them, with what they changed. Raises PersonError."""
        from tendwork.planning.tick_edits import unit_key, units_to_untick, untick_edit

        if (visit := self._plan.visit(key, today)) is not None:
            named = ", ".join(part.key for part in visit.parts)
            raise PersonError(
                f"{key} is a visit of several jobs. Name one of them: {named}; or `tendwork undo` takes back the "
                "newest act."
            )
        task = self._plan.task(key, today)
        if task.rounds > 1 and (units or not any(unit.outcome for unit in task.units)):
            from tendwork.planning.repeats import as_last_ticked

            # its units may be due again already, in a later round
            task = as_last_ticked(self._plan.of(today).plan, task)
        keys = [unit_key(task, unit) for unit in units_to_untick(task, units)]
        return self._write_over(keys, lambda records, acts: untick_edit(records, acts, task, units, today))

    def undo_job(self, key: str, units: tuple[str, ...], today: date) -> str:
        """Undo these ticks of a job: the whole newest act where it made them all. Raises PersonError."""
        description = self._folder.records.undo_last(today, [(key, unit) for unit in units])
        return self.untick(key, units, today) if description is None else f"Undone: {description}."

    def undo_jobs(self, ticked: Sequence[tuple[str, tuple[str, ...]]], today: date) -> str:
        """The same for several jobs that stand together. Raises PersonError where no one act ticked them all."""
        if len(ticked) == 1:
            return self.undo_job(*ticked[0], today)
        units = [(key, unit) for key, held in ticked for unit in held]
        description = self._folder.records.undo_last(today, units)
        if description is None:
            raise PersonError("These jobs were not ticked together, or not last. Undo them one by one.")
        return f"Undone: {description}."

    def put_off(self, keys: Sequence[str], day: date, today: date, fixed: bool = False) -> str:
        """Put several jobs off in one act. Raises PersonError and changes nothing where one of them cannot be."""
        from tendwork.planning.wish_edits import put_off_edit

        visits = [(key, self._plan.visit(key, today)) for key in keys]
        named = [
            part for key, visit in visits for part in ((key,) if visit is None else (one.key for one in visit.now))
        ]
        tasks = [self._plan.line(key, today) for key in dict.fromkeys(named)]
        return self._folder.records.write(lambda records: put_off_edit(records, tasks, day, today, fixed)).sentence

    def saw(self, species: str, stage: str, day: date, tree: str = "", note: str = "", sure: bool = False) -> str:
        """Record a bud stage seen on a day. Raises PersonError for a species or stage that is not known.

        Where the person is not `sure`, what contradicts the almanac or other sightings is refused too.
        """
        from tendwork.orchard.sighting_edits import sighting_edit, sighting_of

        if not sure and (doubt := self.doubt(species, stage, day, day, tree)):
            raise PersonError(f"{doubt} If you are sure of it, add --sure. Nothing was recorded.")

        def edit_of(records: Records) -> Edit:
            return sighting_edit(records, sighting_of(records, species, stage, day, tree, note))

        return self._folder.records.write(edit_of).sentence

    def in_bloom(self, species: str, variety: str, today: date) -> str:
        """Note that a variety is in full bloom today. Raises PersonError where it grows nowhere, or that is noted."""
        from tendwork.orchard.variety_edits import note_in_bloom

        return self._folder.records.write(lambda records: note_in_bloom(records, species, variety, today)).sentence

    def bloom_doubt(self, species: str, variety: str, today: date) -> str:
        """What contradicts a variety's being in full bloom today, as a sentence; empty where nothing does."""
        from tendwork.orchard.variety_edits import bloom_sighting
        from tendwork.workbench.doubting import doubt_of

        records = self.read()
        sighting = bloom_sighting(records, species, variety, today)
        return "" if sighting is None else doubt_of(self._folder, self._almanacs(), records, sighting, today)

    def variety_reference(self) -> VarietyReference:
        """What the lists that ship with the program say of varieties."""
        from tendwork.folder.variety_lists import variety_reference

        return variety_reference()

    def doubt(self, species: str, stage: str, day: date, today: date, tree: str = "") -> str:
        """What contradicts a bud stage seen on a day, as a sentence; empty where nothing does. Raises PersonError."""
        from tendwork.orchard.sighting_edits import sighting_of
        from tendwork.workbench.doubting import doubt_of

        records = self.read()
        sighting = sighting_of(records, species, stage, day, tree, "")
        return doubt_of(self._folder, self._almanacs(), records, sighting, today)

    def questions(self, today: date) -> tuple[Question, ...]:
        """What is not known of grafts that came in. Raises PersonError where today's plan cannot be made."""
        from tendwork.planning.questions import questions_of

        return questions_of(self._plan.summary(today).gaps)

    def answer(self, name: str, answers: Mapping[str, Sequence[str]], today: date) -> str:
        """Answer a question in one act: by each word the grafts of which it is true, all where none is named.

        Raises PersonError and changes nothing where it cannot be so.
        """
        from tendwork.workbench.answering import answer, question_named

        question = question_named(self.questions(today), name)
        return answer(self._folder, self._templates.in_force(today), question, answers, today)

    @property
    def entries(self) -> Entries:
        """What a person enters of trees, grafts, wood and fruit, and what speaks against it."""
        from tendwork.workbench.entries import Entries

        return Entries(self._folder, self._plan.answering)

    def undo(self, today: date) -> str:
        """Undo the newest act on the records or the adjustments. Raises PersonError if it cannot be undone."""
        from tendwork.workbench.adjustment_acts import undo_adjustment

        description = undo_adjustment(self._folder) or self._folder.records.undo_last(today)
        if description is None:
            raise PersonError("There is nothing to undo.")
        return f"Undone: {description}."

    def bring(self, file: Path, kind: RecordKind, today: date, dry_run: bool = False) -> tuple[str, ...]:
        """Bring a CSV file's rows in, or say what it would change. Raises PersonError and takes nothing by halves."""
        from tendwork.workbench.csv_bringing import bring_file

        before = self.read().grafts
        said = bring_file(self._folder, file, kind, today, dry_run)
        return said if self.read().grafts == before else (*said, *self._asked(today))

    def _asked(self, today: date) -> tuple[str, ...]:
        """That something is not known of the grafts, with the command that answers it; nothing where all is."""
        from tendwork.planning.questions import questions_of
        from tendwork.view.question_words import brought_line

        if not any(graft.known_since == today and graft.state != "planned" for graft in self.read().grafts):
            return ()
        try:
            line = brought_line(questions_of(self._plan.summary(today).gaps))
        except PersonError:  # the week says why there is no plan
            return ()
        return (line,) if line else ()

    def proposal(self, wishes: GraftWishes, today: date) -> Proposal:
        """What to graft where next spring, with the minutes of the rules in force. Raises PersonError for a pin."""
        from tendwork.planning.choosing import propose

        dates, timed = self._plan.ripening(today), self._timed(wishes, today)
        return propose(self.read(), today, self._folder.site.south, dates, timed, self.variety_reference())

    def accept_proposal(
        self, wishes: GraftWishes, today: date, shown: Sequence[Pick] | None = None
    ) -> tuple[str, Proposal]:
        """Plan the grafts of the proposal for the records as they then are, in one act: what is said, and which it was.

        Raises PersonError, also where these are other grafts than those that were `shown`.
        """
        from tendwork.planning.choosing import accepted, propose, refuse_other

        timed, south, reference = self._timed(wishes, today), self._folder.site.south, self.variety_reference()
        dates = self._plan.ripening(today)
        with self._folder.records.act("") as act:
            records = self.read()
            proposal = propose(records, today, south, dates, timed, reference)
            if shown is not None:
                refuse_other(proposal, shown)
            edit = accepted(records, proposal, today)
            act.apply(edit)
        return edit.sentence, proposal

    def wood_needs(self, proposal: Proposal, today: date) -> tuple[WoodNeed, ...]:
        """The wood that a proposal needs, from where, and by when it is to be asked for."""
        from tendwork.planning.graft_asking import ask_by, wood_needs
        from tendwork.planning.graft_places import spring_to_come

        days = ask_by(self._templates.in_force(today), spring_to_come(today, self._folder.site.south))
        return wood_needs(proposal, days)

    def grafting_minutes(self, proposal: Proposal, today: date) -> float:
        """How long the grafts of a proposal take, by the rules in force."""
        from tendwork.planning.graft_asking import graft_minutes, minutes_of

        return minutes_of(proposal.lines, graft_minutes(self._templates.in_force(today)))

    def _timed(self, wishes: GraftWishes, today: date) -> GraftWishes:
        from msgspec.structs import replace

        from tendwork.planning.graft_asking import graft_minutes

        return replace(wishes, minutes=graft_minutes(self._templates.in_force(today)))

    def give(self, target: Path) -> tuple[str, ...]:
        """Write all records as CSV files into `target`. Raises PersonError rather than write over a file."""
        from tendwork.folder.csv_files import give

        return tuple(f"Wrote {path}." for path in give(self.read(), target, self._folder.path))

    def back_up(self) -> str:
        """Copy the records unless that was done today, and say so; empty if there was nothing to do."""
        copy = self._folder.back_up()
        return "" if copy is None else f"The records are copied to {copy.parent.name}/{copy.name}."

    def _write_over(self, keys: Sequence[TickKey], edit_of: Callable[[Records, TickedActs], Edit]) -> str:
        """Make an edit with what followed from the ticks on these units, as one act. Raises PersonError."""
        from tendwork.planning.tick_edits import keys_that_stand

        with self._folder.records.act("") as act:
            records = self.read()
            edit = edit_of(records, act.ticked_acts(keys_that_stand(records, keys)))
            act.apply(edit)
        return edit.sentence

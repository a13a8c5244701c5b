"""Morning: what a person does with this week's visits: ticks, marks, skips, puts off, leaves out, takes back."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import OptionList

from tendwork.dashboard.actions import MORNING, bindings
from tendwork.dashboard.screens.morning_list import INSIDE, MorningList
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.dashboard.widgets.job_panel import JobPanel
from tendwork.planning.results import Task
from tendwork.planning.states import FINISHED
from tendwork.view.text import plain
from tendwork.view.visit_lines import meant_of
from tendwork.view.words import counted

if TYPE_CHECKING:
    from tendwork.dashboard.app import WorkbenchCall
    from tendwork.dashboard.screens.leaving_out import Leaving
    from tendwork.dashboard.screens.putting_off import Put
    from tendwork.dashboard.screens.ticking import Marks
    from tendwork.view.visit_lines import Meant
    from tendwork.workbench.bench import Workbench
    from tendwork.workbench.records_room import JobTick


class MorningScreen(MorningList):
    """Space ticks what is marked, else what the cursor is on: the whole visit, or a part or a unit of it.

    What an action needs is imported with it: most mornings none is done before the first look.
    """

    HERE = MORNING
    CSS_PATH = ["common.tcss", "morning.tcss"]
    BINDINGS = [*bindings(MORNING), Binding("escape", "step_back", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self._left_out: tuple[int, str, str] | None = None  # after how many acts, and which template, for which tree

    def action_mark(self) -> None:
        """Mark the chosen unit or part, or all of the visit that is to do; what is marked already is unmarked."""
        held = self._under_cursor()
        pairs = frozenset((task.key, unit) for task, units in held for unit in units)
        if not pairs:
            self._say_all_ticked()
            return
        self._mark(self._marks - pairs if pairs <= self._marks else self._marks | pairs)
        panel = self.query_one(JobPanel)
        if panel.chosen is not None:
            panel.to_next_line()

    def action_tick(self) -> None:
        self._tick(ask=False)

    def action_tick_and_note(self) -> None:
        self._tick(ask=True)

    def action_skip(self) -> None:
        from tendwork.dashboard.screens.ticking import SkipScreen, batch_of

        jobs = self._meant()
        if jobs:
            batch = batch_of(jobs)
            self.app.push_screen(
                SkipScreen(batch.title, batch.labels),
                lambda outcome: None if outcome is None else self._take(batch.ticks(outcome)),
            )

    def action_put_off(self) -> None:
        from tendwork.dashboard.screens.putting_off import PuttingOffScreen
        from tendwork.view.putting_off import day_choices

        tasks, today = [task for task, _ in self._meant()], self.app.state.today
        choices = day_choices(tasks, self.app.state.week, today)
        if not tasks:
            return
        if all(choice.day <= today for choice in choices):
            self.app.say(f"No later day is left for this job. Tick it, or skip it with {self._word('skip')}.")
            return
        title = plain(tasks[0].title) if len(tasks) == 1 else counted(len(tasks), "job")
        self.app.push_screen(PuttingOffScreen(f"Put off: {title}", choices), lambda put: self._put_off(tasks, put))

    def action_leave_out(self) -> None:
        from tendwork.dashboard.screens.leaving_out import ask_for_what
        from tendwork.orchard.tree_names import tree_names

        work = self.work
        if work is None:
            return
        task = work.first
        if any(part.template != task.template for part in work.parts):
            key = self._word("leave_out")
            self.app.say(f"This line joins several jobs: go into it with enter, and leave one of them out with {key}.")
            return
        chosen, names = self.query_one(JobPanel).chosen_unit, tree_names(self.app.state.records.trees)
        units = [(part, unit) for part in work.parts for unit in part.units]
        keys = [unit.task or part.key for part, unit in units if chosen in (None, unit.id)]
        trees = dict.fromkeys(key.split("/")[1] for key in keys) if task.each in ("tree", "graft") else ()

        def leave(leaving: Leaving) -> None:
            self.run_worker(self._leave_out(task.template, leaving), group="acts", exit_on_error=False)

        ask_for_what(self.app, task.title, task.loss, [(tree, names.get(tree, tree)) for tree in trees], leave)

    async def _leave_out(self, template: str, leaving: Leaving) -> None:
        back, lists = self._word("take_back"), self.app.keys.word("everywhere.templates")

        def leave(bench: Workbench, today: date) -> str:
            said = bench.templates.leave_out(template, leaving.tree, leaving.this_season, today=today)
            return f"{said} {back} undoes it; Templates ({lists}) has what is left out."

        if why := await self.app.attempt(leave):
            self.app.say(why, trouble=True)
        else:
            self._left_out = self.app.acts, template, leaving.tree

    def action_take_back(self) -> None:
        if self._left_out is not None and self._left_out[0] == self.app.acts:
            _, template, tree = self._left_out
            self._left_out = None
            self.app.act(lambda bench, today: bench.templates.take_in(template, tree, today=today, undoing=True))
            return
        work, line = self.work, self.query_one(JobPanel).chosen
        if work is None:
            self.app.act(lambda bench, today: bench.records.undo(today))
            return
        unit = None if line is None or line.unit is None else line.unit.id
        outcomes = [
            (task.key, tuple(held.id for held in task.units if held.outcome and unit in (None, held.id)))
            for task in work.parts
        ]
        ticked = [(key, units) for key, units in outcomes if units]
        if ticked and unit is not None:
            ((key, units),) = ticked
            self.app.act(lambda bench, today: bench.records.untick(key, units, today))
        elif ticked and all(task.state in FINISHED for task in work.parts):
            self.app.act(lambda bench, today: bench.records.undo_jobs(ticked, today))
        else:
            self.app.act(lambda bench, today: bench.records.undo(today))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if not isinstance(event.option_list, JobList):
            self.action_tick()
        elif event.option_list.on_fold:
            self.action_unfold()
        else:
            self.add_class(INSIDE)
            self.query_one(JobPanel).enter()

    def _under_cursor(self) -> Meant:
        """What the cursor is on, with what is to do of it: a unit, a part, or all that the visit does now."""
        visit, line = self.visit, self.query_one(JobPanel).chosen
        if visit is None:
            return ()
        return meant_of(visit.now) if line is None else line.meant

    def _meant(self) -> Meant:
        """What is marked, else what the cursor is on; says so where that is nothing."""
        from tendwork.dashboard.screens.ticking import marked_jobs

        jobs = marked_jobs(self.app.state.jobs, self._marks) or self._under_cursor()
        if not jobs:
            self._say_all_ticked()
        return jobs

    def _say_all_ticked(self) -> None:
        if self.query_one(JobList).on_fold:
            self.app.say("Press enter to see what is folded away here.")
        elif self.visit is not None:
            back = self._word("take_back")
            self.app.say(f"All of this job is ticked. Undo it with {back}, or go into its units with enter.")

    def _tick(self, ask: bool) -> None:
        from tendwork.dashboard.screens.ticking import ask_outcomes, batches

        ask_outcomes(self.app, batches(self._meant()), self._ask_wrap, ask)

    def _ask_wrap(self, ticks: tuple[JobTick, ...]) -> None:
        """Ask once what the grafts are wrapped in that are set."""
        from tendwork.dashboard.screens.ticking import grafts_set, wrap_screen
        from tendwork.orchard.wrap_choices import wrap_choices

        records = self.app.state.records
        grafts = grafts_set(records, ticks)
        if not grafts:
            self._take(ticks)
            return
        choices = wrap_choices(records, grafts)

        def take(place: str | None) -> None:
            if place is not None:
                self._take(ticks, choices[int(place)].wrap)

        self.app.push_screen(wrap_screen(grafts, choices), take)

    def _take(self, ticks: tuple[JobTick, ...], wrap: str | None = None) -> None:
        from tendwork.dashboard.screens.ticking import once_sure

        if ticks:
            once_sure(self.app, self.app.state.jobs, ticks, lambda sure: self._tick_all(ticks, wrap, sure))

    def _tick_all(self, ticks: tuple[JobTick, ...], wrap: str | None, sure: bool) -> None:
        panel = self.query_one(JobPanel)
        if panel.chosen is not None and not self._marks:
            panel.to_next_line()
        pairs = frozenset((tick.key, unit) for tick in ticks for unit in tick.units)
        self._do(lambda bench, today: bench.records.tick(ticks, today, wrap, sure), pairs)

    def _put_off(self, tasks: list[Task], put: Put | None) -> None:
        if put is not None:
            keys = [task.key for task in tasks]
            self._do(lambda bench, today: bench.records.put_off(keys, put.day, today, put.fixed), self._marks)

    def _do(self, call: WorkbenchCall, marks: Marks) -> None:
        """Do something to the records, and forget these marks once it is done."""
        self.run_worker(self._done(call, marks), group="acts", exit_on_error=False)

    async def _done(self, call: WorkbenchCall, marks: Marks) -> None:
        if why := await self.app.attempt(call):
            self.app.say(why, trouble=True)
        else:
            self._marks -= marks
            self._show_jobs()

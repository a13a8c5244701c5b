"""Morning: the day, the next job in one sentence, the buds, what changed, this week's visits, and the chosen one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from msgspec.structs import replace
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList

from tendwork.dashboard.actions import MORNING, SEASON, bindings
from tendwork.dashboard.screens.base import OrchardScreen
from tendwork.dashboard.screens.morning_words import next_words, since_words
from tendwork.dashboard.state import State
from tendwork.dashboard.widgets.bud_strip import BudStrip
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.first_words import FirstWords
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.dashboard.widgets.job_panel import JobPanel
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.press_line import PressLine, Word, word_of
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.planning.results import Task
from tendwork.planning.states import FINISHED
from tendwork.planning.visits import Visit
from tendwork.view.buds import first_frost_sentence
from tendwork.view.sections import Section, day_sections, folding_sections, short_line, urgency_sections
from tendwork.view.text import plain
from tendwork.view.visit_lines import meant_of
from tendwork.view.week import matching
from tendwork.view.words import counted
from tendwork.view.wraps import wraps_line

if TYPE_CHECKING:
    from tendwork.dashboard.app import WorkbenchCall
    from tendwork.dashboard.screens.leaving_out import Leaving
    from tendwork.dashboard.screens.putting_off import Put
    from tendwork.dashboard.screens.ticking import Marks
    from tendwork.view.visit_lines import Meant
    from tendwork.workbench.bench import Workbench
    from tendwork.workbench.records_room import JobTick

_COPY_COLUMNS = 80
_INSIDE = "-inside"  # the person went into the chosen visit, which gets more room for it
_ABOUT_WEEK = ("changed", "arrange")
_ABOUT_JOB = ("mark", "tick_and_note", "put_off", "skip", "leave_out")


class MorningScreen(OrchardScreen):
    """Space ticks what is marked, else what the cursor is on: the whole visit, or a part or a unit of it.

    What an action needs is imported with it: most mornings none is done before the first look.
    """

    HERE = MORNING
    CSS_PATH = ["common.tcss", "morning.tcss"]
    BINDINGS = [*bindings(MORNING), Binding("escape", "step_back", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self._by_day = False
        self._unfolded = False
        self._marks: Marks = frozenset()
        self._left_out: tuple[int, str, str] | None = None  # after how many acts, and which template, for which tree
        self._shown: tuple[date | None, bool] = (None, False)  # the day of the plan, and whether it was made for it

    def compose(self) -> ComposeResult:
        ascii_only = self.app.ascii_only
        yield TopLine(MORNING)
        yield FirstWords()
        yield BudStrip(ascii_only)
        yield PressLine(self._words(_ABOUT_WEEK), id="week")
        yield FilterLine()
        with Vertical(id="work"):
            yield JobList(ascii_only)
            yield JobPanel(self._words(_ABOUT_JOB), ascii_only)
        yield NoticeLine()
        yield KeyLine(MORNING)

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.query_one(JobList))

    def show_state(self, state: State) -> None:
        tonight = tuple(night for night in state.frost if night.night == state.today)
        self.query_one(FirstWords).show(
            first_frost_sentence(tonight, state.today, state.units),
            next_words(state, self.app.keys),
            "" if state.week is None else short_line(state.week),
            wraps_line(state.wraps, state.gaps, self._word("wraps")),
        )
        self.query_one(BudStrip).show(replace(state, frost=()) if tonight else state)
        is_fresh = (state.plan_day, state.made) != self._shown
        self._unfolded = self._unfolded and state.plan_day == self._shown[0]
        self._shown = (state.plan_day, state.made)
        self.query_one("#week", PressLine).show(lead=Content.styled(since_words(state), "$faint"))
        to_do = {(task.key, unit.id) for task in state.jobs for unit in task.units if unit.state not in FINISHED}
        self._marks &= to_do
        self._show_jobs(is_fresh and self.query_one(JobList).has_focus)

    @property
    def visit(self) -> Visit | None:
        """The visit under the cursor, with the jobs that its line is about."""
        row = self.query_one(JobList).chosen_row
        held = {task.key: task for task in self.app.state.jobs} if row is not None else {}
        parts = tuple(held[key] for key in row.tasks if key in held) if row is not None else ()
        return Visit(row.key, parts) if row is not None and parts else None

    @property
    def work(self) -> Visit | None:
        """What the cursor is on: the visit, or inside it the jobs of the part or the unit alone."""
        visit, line = self.visit, self.query_one(JobPanel).chosen
        return visit if visit is None or line is None else Visit(visit.key, line.jobs)

    @property
    def job(self) -> Task | None:
        """The most pressing job of what the cursor is on."""
        return None if self.work is None else self.work.first

    def choose(self, row: str) -> None:
        """Put the cursor on a visit, or into it on one of its jobs, whatever hid it.

        A later round of a job of this week stands on Season.
        """
        self.query_one(FilterLine).action_clear()
        jobs, panel = self.query_one(JobList), self.query_one(JobPanel)
        self._show_jobs()
        found = jobs.choose(row)
        if not found and any(task.key == row for task in self.app.state.jobs):
            self._unfolded = True
            self._show_jobs()
            found = jobs.choose(row)
        if not found:
            self.app.go_to(SEASON, row)
            return
        self._show_chosen()
        jobs.focus()
        self.remove_class(_INSIDE)
        if (visit := self.visit) is not None and len(visit.parts) > 1 and row != visit.key:
            self.add_class(_INSIDE)
            panel.enter(row)

    def copied_text(self) -> str:
        from tendwork.view.plain import why_visit_text

        work, state = self.work, self.app.state
        if work is None:
            return next_words(state, self.app.keys)
        return why_visit_text(work.parts, state.cards, state.plan_day or state.today, _COPY_COLUMNS, state.units)

    def view_text(self) -> str:
        from tendwork.view.days import days_text
        from tendwork.view.plain import week_text

        state = self.app.state
        if state.week is None:
            return next_words(state, self.app.keys)
        jobs, ascii_only = matching(state.jobs, self.query_one(FilterLine).words), self.app.ascii_only
        day = state.plan_day or state.today
        text = week_text(jobs, day, state.site_name, state.words, _COPY_COLUMNS, ascii_only)
        return f"{text}\n\n{days_text(state.week, _COPY_COLUMNS)}"

    def action_step_back(self) -> None:
        """From the panel to the list; from the list, away with the marks, then with the filter."""
        jobs = self.query_one(JobList)
        if jobs.has_focus and self._marks:
            self._mark(frozenset())
        elif jobs.has_focus:
            self.query_one(FilterLine).action_clear()
        self.remove_class(_INSIDE)
        jobs.focus()

    def action_arrange(self) -> None:
        self._by_day = not self._by_day
        self._show_jobs()
        if self._by_day and self.app.state.week is None:
            self.app.say("The days are still being worked out.")
        else:
            self.app.say("The week day by day." if self._by_day else "The week by urgency.")

    def action_unfold(self) -> None:
        """Show what was folded away, or fold it again; the cursor goes on to the first of what is shown."""
        jobs = self.query_one(JobList)
        if not jobs.folds:
            self.app.say("By day all is shown." if self._by_day else "Nothing is folded away.")
            return
        place, row = jobs.highlighted, jobs.chosen_row
        self._unfolded = not self._unfolded
        self._show_jobs()
        if self._unfolded and row is None:
            jobs.go_near(place or 0)
        elif not self._unfolded and jobs.chosen_row != row:
            jobs.choose_fold()

    def action_changed(self) -> None:
        from tendwork.dashboard.screens.reading import ReadingScreen
        from tendwork.view.news import changes_text

        state, changed = self.app.state, self.app.state.changed
        if changed is None:
            self.app.say("No plan of an earlier day is held to compare with.")
            return
        self.app.push_screen(
            ReadingScreen(
                "What has changed", "morning.changed", lambda columns: changes_text(changed, state.today, columns)
            )
        )

    def action_wraps(self) -> None:
        from tendwork.dashboard.screens.wraps import WrapsScreen

        self.app.push_screen(WrapsScreen())

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
            self.app.act(lambda bench, today: bench.templates.take_in(template, tree, today=today))
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

    def action_why(self) -> None:
        from tendwork.dashboard.screens.reading import ReadingScreen
        from tendwork.view.plain import why_visit_text

        work, state = self.work, self.app.state
        if work is not None:
            day, ascii_only = state.plan_day or state.today, self.app.ascii_only
            self.app.push_screen(
                ReadingScreen(
                    "Why",
                    "morning.why",
                    lambda columns: why_visit_text(work.parts, state.cards, day, columns, state.units, ascii_only),
                )
            )

    def action_cautions(self) -> None:
        from tendwork.dashboard.screens.reading import ReadingScreen
        from tendwork.view.job import NO_CARD, cards_text

        work, state = self.work, self.app.state
        if work is not None and not work.cautions:
            self.app.say(NO_CARD)
        elif work is not None:
            self.app.push_screen(
                ReadingScreen(
                    "Cautions",
                    "morning.cautions",
                    lambda columns: cards_text(work, state.cards, columns, state.units),
                )
            )

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        if isinstance(event.option_list, JobList):
            if event.option_list.has_focus:
                self.remove_class(_INSIDE)
            self._show_chosen()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if not isinstance(event.option_list, JobList):
            self.action_tick()
        elif event.option_list.on_fold:
            self.action_unfold()
        else:
            self.add_class(_INSIDE)
            self.query_one(JobPanel).enter()

    def on_filter_line_changed(self) -> None:
        self._show_jobs()

    def on_filter_line_left(self) -> None:
        self.query_one(JobList).focus()

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

    def _mark(self, marks: Marks) -> None:
        self._marks = marks
        self._show_jobs()
        units = counted(len(marks), "unit")
        tick, skip = self._word("tick"), self._word("skip")
        self.app.say(f"{units} marked: {tick} ticks, {skip} skips, escape unmarks." if marks else "Nothing is marked.")

    def _show_jobs(self, is_fresh: bool = False) -> None:
        """Show the jobs; the list of a `is_fresh` plan stands at its top."""
        chosen = matching(self.app.state.jobs, self.query_one(FilterLine).words)
        self.query_one(JobList).show(self._sections(chosen), {key for key, _ in self._marks}, is_fresh)
        self._show_chosen()

    def _sections(self, chosen: Iterable[Task]) -> tuple[Section, ...]:
        state = self.app.state
        if self._by_day and state.week is not None:
            return day_sections(state.week, chosen, state.plan_day or state.today)
        if self.query_one(FilterLine).words:
            return urgency_sections(chosen, state.plan_day or state.today)
        return folding_sections(chosen, state.plan_day or state.today, self._unfolded)

    def _show_chosen(self) -> None:
        """Show the chosen visit; where it is another one than the person was in, the cursor is in the list again."""
        panel = self.query_one(JobPanel)
        if panel.show(self.visit, self.app.state, self._marks) and panel.has_focus_within:
            self.remove_class(_INSIDE)
            self.query_one(JobList).focus()

    def _word(self, name: str) -> str:
        """The key of an action, as a person reads it."""
        return self.app.keys.word(f"{MORNING}.{name}")

    def _words(self, names: tuple[str, ...]) -> list[Word]:
        """The keys of these actions as words that a mouse can press."""
        return [word_of(self.app.keys.action(f"{MORNING}.{name}")) for name in names]

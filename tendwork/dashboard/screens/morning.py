"""Morning: the day, the next job in one sentence, the buds, what changed, this week's jobs, and the chosen job."""

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
from tendwork.planning.questions import questions_of
from tendwork.planning.results import Task
from tendwork.planning.states import FINISHED, units_to_tick
from tendwork.view.buds import first_frost_sentence
from tendwork.view.coming_back import back_line
from tendwork.view.news import changes_line
from tendwork.view.question_words import questions_line
from tendwork.view.sections import Section, day_sections, short_line, urgency_sections
from tendwork.view.text import plain
from tendwork.view.week import matching, next_sentence, to_do_words
from tendwork.view.words import counted, format_day
from tendwork.view.wraps import wraps_line

if TYPE_CHECKING:
    from tendwork.dashboard.app import WorkbenchCall
    from tendwork.dashboard.screens.leaving_out import Leaving
    from tendwork.dashboard.screens.putting_off import Put
    from tendwork.dashboard.screens.ticking import Marks
    from tendwork.workbench.bench import Workbench
    from tendwork.workbench.records_room import JobTick

_COPY_COLUMNS = 80
_INSIDE = "-inside"  # the person went into the chosen job, which gets more room for it
_ABOUT_WEEK = ("changed", "arrange")
_ABOUT_JOB = ("mark", "tick_and_note", "put_off", "skip", "leave_out")


class MorningScreen(OrchardScreen):
    """Space ticks what is marked, else what the cursor is on: a unit, or the whole job.

    What an action needs is imported with it: most mornings none is done before the first look.
    """

    HERE = MORNING
    CSS_PATH = ["common.tcss", "morning.tcss"]
    BINDINGS = [*bindings(MORNING), Binding("escape", "step_back", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self._by_day = False
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
            "" if state.back is None else back_line(state.back, state.today),
            self._next_words(state),
            "" if state.week is None else short_line(state.week),
            " ".join(
                words[:1].upper() + words[1:]
                for words in (
                    questions_line(questions_of(state.gaps), self._word("questions")),
                    wraps_line(state.wraps, state.gaps, self._word("wraps")),
                )
                if words
            ),
        )
        self.query_one(BudStrip).show(replace(state, frost=()) if tonight else state)
        is_fresh = (state.plan_day, state.made) != self._shown
        self._shown = (state.plan_day, state.made)
        self.query_one("#week", PressLine).show(lead=Content.styled(self._since_words(state), "$faint"))
        to_do = {(task.key, unit.id) for task in state.jobs for unit in task.units if unit.state not in FINISHED}
        self._marks &= to_do
        self._show_jobs(is_fresh and self.query_one(JobList).has_focus)

    @property
    def job(self) -> Task | None:
        """The job under the cursor."""
        key = self.query_one(JobList).chosen_key
        return next((task for task in self.app.state.jobs if task.key == key), None)

    def choose(self, row: str) -> None:
        """Put the cursor on a job of this week, whatever the filter hid; a later round of one stands on Season."""
        self.query_one(FilterLine).action_clear()
        self._show_jobs()
        jobs = self.query_one(JobList)
        if jobs.choose(row):
            jobs.focus()
        else:
            self.app.go_to(SEASON, row)

    def copied_text(self) -> str:
        from tendwork.view.plain import why_text

        task, state = self.job, self.app.state
        if task is None:
            return self._next_words(state)
        return why_text(task, state.cards, state.plan_day or state.today, _COPY_COLUMNS, state.units)

    def view_text(self) -> str:
        from tendwork.view.days import days_text
        from tendwork.view.plain import week_text

        state = self.app.state
        if state.week is None:
            return self._next_words(state)
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

    def action_changed(self) -> None:
        from tendwork.dashboard.screens.reading import ReadingScreen
        from tendwork.view.coming_back import back_text
        from tendwork.view.news import changes_text

        state, changed, back = self.app.state, self.app.state.changed, self.app.state.back
        if back is not None:
            self.app.push_screen(
                ReadingScreen("Coming back", "morning.changed", lambda columns: back_text(back, state.today, columns))
            )
            return
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

    def action_questions(self) -> None:
        from tendwork.dashboard.screens.questions import QuestionsScreen

        self.app.push_screen(QuestionsScreen())

    def action_mark(self) -> None:
        """Mark the chosen unit, or all of the job that is to do; what is marked already is unmarked."""
        held = self._under_cursor()
        pairs = frozenset((task.key, unit) for task, units in held for unit in units)
        if not pairs:
            self.app.say("All of this job is ticked.")
            return
        self._mark(self._marks - pairs if pairs <= self._marks else self._marks | pairs)
        panel = self.query_one(JobPanel)
        if panel.chosen_unit is not None:
            panel.to_next_unit()

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

        task = self.job
        if task is None:
            return
        chosen, names = self.query_one(JobPanel).chosen_unit, tree_names(self.app.state.records.trees)
        keys = [unit.task or task.key for unit in task.units if chosen in (None, unit.id)]
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
        task = self.job
        if task is None:
            self.app.act(lambda bench, today: bench.records.undo(today))
            return
        unit = self.query_one(JobPanel).chosen_unit
        ticked = tuple(held.id for held in task.units if held.outcome and unit in (None, held.id))
        if ticked and unit is not None:
            self.app.act(lambda bench, today: bench.records.untick(task.key, ticked, today))
        elif ticked and task.state in FINISHED:
            self.app.act(lambda bench, today: bench.records.undo_job(task.key, ticked, today))
        else:
            self.app.act(lambda bench, today: bench.records.undo(today))

    def action_why(self) -> None:
        from tendwork.dashboard.screens.reading import ReadingScreen
        from tendwork.view.plain import why_text

        task, state = self.job, self.app.state
        if task is not None:
            day, ascii_only = state.plan_day or state.today, self.app.ascii_only
            self.app.push_screen(
                ReadingScreen(
                    "Why",
                    "morning.why",
                    lambda columns: why_text(task, state.cards, day, columns, state.units, ascii_only),
                )
            )

    def action_cautions(self) -> None:
        from tendwork.dashboard.screens.reading import ReadingScreen
        from tendwork.view.job import NO_CARD, cards_text

        task, state = self.job, self.app.state
        if task is not None and not task.cautions:
            self.app.say(NO_CARD)
        elif task is not None:
            self.app.push_screen(
                ReadingScreen(
                    "Cautions",
                    "morning.cautions",
                    lambda columns: cards_text(task, state.cards, columns, state.units),
                )
            )

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        if isinstance(event.option_list, JobList):
            self.remove_class(_INSIDE)
            self._show_chosen()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if isinstance(event.option_list, JobList):
            self.add_class(_INSIDE)
            self.query_one(JobPanel).enter()
        else:
            self.action_tick()

    def on_filter_line_changed(self) -> None:
        self._show_jobs()

    def on_filter_line_left(self) -> None:
        self.query_one(JobList).focus()

    def _under_cursor(self) -> tuple[tuple[Task, tuple[str, ...]], ...]:
        """The job under the cursor with the chosen unit, or with all of it that is to do."""
        task = self.job
        if task is None:
            return ()
        unit = self.query_one(JobPanel).chosen_unit
        units = tuple(held.id for held in units_to_tick(task)) if unit is None else (unit,)
        return ((task, units),) if units else ()

    def _meant(self) -> tuple[tuple[Task, tuple[str, ...]], ...]:
        """What is marked, else what the cursor is on; says so where that is nothing."""
        from tendwork.dashboard.screens.ticking import marked_jobs

        jobs = marked_jobs(self.app.state.jobs, self._marks) or self._under_cursor()
        if not jobs and self.job is not None:
            back = self._word("take_back")
            self.app.say(f"All of this job is ticked. Undo it with {back}, or go into its units with enter.")
        return jobs

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
        if panel.chosen_unit is not None and not self._marks:
            panel.to_next_unit()
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
        return urgency_sections(chosen, state.plan_day or state.today)

    def _show_chosen(self) -> None:
        task = self.job
        marked = {unit for key, unit in self._marks if task is not None and key == task.key}
        self.query_one(JobPanel).show(task, self.app.state, marked)

    def _word(self, name: str) -> str:
        """The key of an action, as a person reads it."""
        return self.app.keys.word(f"{MORNING}.{name}")

    def _words(self, names: tuple[str, ...]) -> list[Word]:
        """The keys of these actions as words that a mouse can press."""
        return [word_of(self.app.keys.action(f"{MORNING}.{name}")) for name in names]

    def _next_words(self, state: State) -> str:
        if state.plan_day is None and state.last_day is not None:
            last_day = format_day(state.last_day, state.today)
            return f"Updating the plan for today; the last one is of {last_day}."
        if state.plan_day is None:
            return "Working out the plan: the first one takes a moment."
        if not state.records.trees:
            trees, add = self.app.keys.word("everywhere.trees"), self.app.keys.word("trees.add_tree")
            return f"Next: record your first tree. {trees} goes to Trees, {add} adds one there."
        following = None if state.week is None else state.week.following
        next_job = next_sentence(state.jobs, state.plan_day, following)
        if state.plan_day != state.today:
            of_day = format_day(state.plan_day, state.today)
            return f"Plan of {of_day}; today's could not be made. Next there: {next_job}"
        return f"Next: {next_job}"

    def _since_words(self, state: State) -> str:
        if state.plan_day not in (None, state.today):
            return f"On {format_day(state.plan_day, state.today)}, to do: {to_do_words(state.jobs, state.plan_day)}."
        if state.changed is not None and state.back is None:
            return changes_line(state.changed, state.today)
        return f"To do now: {to_do_words(state.jobs, state.plan_day)}." if state.plan_day else ""

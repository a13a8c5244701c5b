"""Morning: the day, the next job in one sentence, the buds, this week's jobs by urgency, and the chosen job."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import OptionList, Static

from tendwork.dashboard.actions import MORNING, bindings
from tendwork.dashboard.screens.base import OrchardScreen
from tendwork.dashboard.screens.outcome import Outcome, OutcomeScreen
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.state import State
from tendwork.dashboard.widgets.bud_strip import BudStrip
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.dashboard.widgets.job_panel import JobPanel
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.planning.results import Task
from tendwork.view.job import NO_CARD, cards_text
from tendwork.view.plain import why_text
from tendwork.view.text import plain
from tendwork.view.week import matching, next_sentence, units_to_tick, week_groups, where_words

_COPY_COLUMNS = 80
_INSIDE = "-inside"  # the person went into the chosen job, which gets more room for it


class MorningScreen(OrchardScreen):
    """Space ticks what the cursor is on: a unit, or the whole job."""

    HERE = MORNING
    CSS_PATH = "morning.tcss"
    BINDINGS = [*bindings(MORNING), Binding("escape", "step_back", show=False)]

    def compose(self) -> ComposeResult:
        ascii_only = self.app.ascii_only
        yield TopLine(MORNING)
        yield Static(id="next", markup=False)
        yield BudStrip(ascii_only)
        yield FilterLine()
        with Vertical(id="work"):
            yield JobList(ascii_only)
            with Vertical(id="chosen"):
                yield Static(id="title", markup=False)
                yield JobPanel(ascii_only)
        yield NoticeLine()
        yield KeyLine(MORNING)

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one(JobList).focus()

    def show_state(self, state: State) -> None:
        self.query_one("#next", Static).update(self._next_words(state))
        self.query_one(BudStrip).show(state)
        self._show_jobs()

    @property
    def job(self) -> Task | None:
        """The job under the cursor."""
        key = self.query_one(JobList).chosen_key
        return next((task for task in self.app.state.jobs if task.key == key), None)

    def choose(self, key: str) -> None:
        """Put the cursor on a job of this week, whatever the filter hid."""
        self.query_one(FilterLine).action_clear()
        self._show_jobs()
        jobs = self.query_one(JobList)
        jobs.choose(key)
        jobs.focus()

    def copied_text(self) -> str:
        task, state = self.job, self.app.state
        if task is None:
            return self._next_words(state)
        return why_text(task, state.cards, state.plan_day or state.today, _COPY_COLUMNS, state.units)

    def action_filter(self) -> None:
        self.query_one(FilterLine).open()

    def action_step_back(self) -> None:
        """From the panel to the list; from the list, away with the filter."""
        jobs = self.query_one(JobList)
        if jobs.has_focus:
            self.query_one(FilterLine).action_clear()
        self.remove_class(_INSIDE)
        jobs.focus()

    def action_tick(self) -> None:
        self._tick(ask=False)

    def action_tick_and_note(self) -> None:
        self._tick(ask=True)

    def action_take_back(self) -> None:
        task = self.job
        if task is None:
            self.app.act(lambda bench, today: bench.undo(today))
            return
        unit = self.query_one(JobPanel).chosen_unit
        ticked = tuple(held.id for held in task.units if held.outcome and unit in (None, held.id))
        if ticked and (unit is not None or task.state in ("done", "skipped")):
            self.app.act(lambda bench, today: bench.untick(task.key, ticked, today))
        else:
            self.app.act(lambda bench, today: bench.undo(today))

    def action_why(self) -> None:
        task, state = self.job, self.app.state
        if task is not None:
            day, ascii_only = state.plan_day or state.today, self.app.ascii_only
            self.app.push_screen(
                ReadingScreen(
                    "Why", "w", lambda columns: why_text(task, state.cards, day, columns, state.units, ascii_only)
                )
            )

    def action_cautions(self) -> None:
        task, cards = self.job, self.app.state.cards
        if task is not None and not task.cautions:
            self.app.say(NO_CARD)
        elif task is not None:
            self.app.push_screen(ReadingScreen("Cautions", "c", lambda columns: cards_text(task, cards, columns)))

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

    def _tick(self, ask: bool) -> None:
        task = self.job
        if task is None:
            return
        unit = self.query_one(JobPanel).chosen_unit
        units = tuple(held.id for held in units_to_tick(task)) if unit is None else (unit,)
        if not units:
            self.app.say("All of this job is ticked. Take it back with u, or go into its units with enter.")
            return
        if len(task.outcomes) == 1 and not ask:
            self._act_tick(task, units, Outcome(task.outcomes[0]))
            return
        labels = [f"{plain(held.label)} ({plain(held.id)})" for held in task.units if held.id in units]
        self.app.push_screen(
            OutcomeScreen(plain(task.title), labels, task.outcomes),
            lambda outcome: None if outcome is None else self._act_tick(task, units, outcome),
        )

    def _act_tick(self, task: Task, units: tuple[str, ...], outcome: Outcome) -> None:
        held = self.query_one(JobPanel)
        if held.chosen_unit is not None:
            held.to_next_unit()
        self.app.act(lambda bench, today: bench.tick(task.key, units, today, outcome.word, outcome.note))

    def _show_jobs(self) -> None:
        state, words = self.app.state, self.query_one(FilterLine).words
        chosen = matching(state.jobs, words)
        self.query_one(JobList).show(week_groups(chosen, state.plan_day or state.today))
        self._show_chosen()

    def _show_chosen(self) -> None:
        task = self.job
        title = "" if task is None else f"{plain(task.title)}, {where_words(task)}"
        self.query_one("#title", Static).update(title)
        self.query_one(JobPanel).show(task, self.app.state)

    def _next_words(self, state: State) -> str:
        if state.plan_day is None:
            return "Working out the plan: the first one takes a moment."
        return f"Next: {next_sentence(state.jobs, state.plan_day)}"

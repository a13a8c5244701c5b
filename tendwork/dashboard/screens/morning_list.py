"""Morning as it is read: the day, the next job, the buds, what changed, this week's visits, and the chosen one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from msgspec.structs import replace
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList

from tendwork.dashboard.actions import MORNING, SEASON
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
from tendwork.planning.questions import questions_of
from tendwork.planning.results import Task
from tendwork.planning.states import FINISHED
from tendwork.planning.visits import Visit
from tendwork.view.buds import first_frost_sentence
from tendwork.view.coming_back import back_line
from tendwork.view.question_words import questions_line
from tendwork.view.sections import Section, day_sections, folding_sections, short_line, urgency_sections
from tendwork.view.week import matching
from tendwork.view.words import counted
from tendwork.view.wraps import wraps_line

if TYPE_CHECKING:
    from tendwork.dashboard.screens.ticking import Marks

_COPY_COLUMNS = 80
INSIDE = "-inside"  # the person went into the chosen visit, which gets more room for it
_ABOUT_WEEK = ("changed", "arrange")
_ABOUT_JOB = ("mark", "tick_and_note", "put_off", "skip", "leave_out")


class MorningList(OrchardScreen):
    """What stands on Morning and where the cursor is; what is done with it is MorningScreen's.

    What an action needs is imported with it: most mornings none is done before the first look.
    """

    def __init__(self) -> None:
        super().__init__()
        self._by_day = False
        self._unfolded = False
        self._marks: Marks = frozenset()
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
            next_words(state, self.app.keys),
            "" if state.week is None else short_line(state.week),
            self._asked_and_wrapped_words(state),
        )
        self.query_one(BudStrip).show(replace(state, frost=()) if tonight else state)
        is_fresh = (state.plan_day, state.made) != self._shown
        self._unfolded = self._unfolded and state.plan_day == self._shown[0]
        self._shown = (state.plan_day, state.made)
        self.query_one("#week", PressLine).show(lead=Content.styled(since_words(state), "$faint"))
        to_do = {(task.key, unit.id) for task in state.jobs for unit in task.units if unit.state not in FINISHED}
        self._marks &= to_do
        self._show_jobs(is_fresh and self.query_one(JobList).has_focus)

    def _asked_and_wrapped_words(self, state: State) -> str:
        asked = questions_line(questions_of(state.gaps), self._word("questions"))
        said = (asked, wraps_line(state.wraps, state.gaps, self._word("wraps")))
        return " ".join(words[:1].upper() + words[1:] for words in said if words)

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
        self.remove_class(INSIDE)
        if (visit := self.visit) is not None and len(visit.parts) > 1 and row != visit.key:
            self.add_class(INSIDE)
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
        self.remove_class(INSIDE)
        jobs.focus()

    def action_arrange(self) -> None:
        self._by_day = not self._by_day
        self._show_jobs()
        if self._by_day and self.app.state.week is None:
            self.app.say("The days are still being worked out.")
        else:
            self.app.say("The week day by day." if self._by_day else "The week, the most pressing first.")

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

    def action_questions(self) -> None:
        from tendwork.dashboard.screens.questions import QuestionsScreen

        self.app.push_screen(QuestionsScreen())

    def action_wraps(self) -> None:
        from tendwork.dashboard.screens.wraps import WrapsScreen

        self.app.push_screen(WrapsScreen())

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
                self.remove_class(INSIDE)
            self._show_chosen()

    def on_filter_line_changed(self) -> None:
        self._show_jobs()

    def on_filter_line_left(self) -> None:
        self.query_one(JobList).focus()

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
            self.remove_class(INSIDE)
            self.query_one(JobList).focus()

    def _word(self, name: str) -> str:
        """The key of an action, as a person reads it."""
        return self.app.keys.word(f"{MORNING}.{name}")

    def _words(self, names: tuple[str, ...]) -> list[Word]:
        """The keys of these actions as words that a mouse can press."""
        return [word_of(self.app.keys.action(f"{MORNING}.{name}")) for name in names]

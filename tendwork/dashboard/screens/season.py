"""Season: the year as a strip of windows and buds, by season, month or week; earlier seasons; the way to any job."""

from __future__ import annotations

from datetime import date

from msgspec import Struct
from msgspec.structs import replace
from textual.app import ComposeResult
from textual.binding import Binding
from textual.events import Resize
from textual.widgets import Static

from tendwork.almanac.results import SpeciesStages
from tendwork.almanac.seasons import Season, season_of
from tendwork.dashboard.actions import MORNING, bindings
from tendwork.dashboard.actions import SEASON as HERE
from tendwork.dashboard.screens.base import OrchardScreen
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.state import State
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.dashboard.widgets.season_list import SeasonHead, SeasonList
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.errors import PersonError
from tendwork.planning.repeats import lines_of
from tendwork.planning.results import Plan, Task
from tendwork.view.plain import as_of_words, stages_text, why_text
from tendwork.view.report_blocks import ReportPage, report_text
from tendwork.view.season_axis import SEASON, ZOOMS, Axis, head, stepped, zoomed
from tendwork.view.season_page import (
    buds_words,
    earliest_season,
    job_lines,
    label_columns,
    legend,
    part_words,
    rows_text,
    span_line,
    today_line,
)
from tendwork.view.season_strip import JOB, PART, Strip, StripRow
from tendwork.view.text import clipped, wrapped
from tendwork.view.week import job_sentence, matching
from tendwork.view.words import full_day
from tendwork.workbench.bench import Workbench

_COPY_COLUMNS = 80
_NO_LATER = "The season after this one is planned when it begins."
_NO_EARLIER = "Nothing is recorded of an earlier season."


class Held(Struct, frozen=True):
    """One season's plan and buds as of one day: today, or the last day of a season that is over."""

    plan: Plan
    stages: tuple[SpeciesStages, ...]


class SeasonScreen(OrchardScreen):
    """`_focus` is a day within the span that the axis shows; None follows today.

    `_aim` is where the person is going while an earlier season is still being read, so that the next step starts there.
    """

    HERE = HERE
    CSS_PATH = ["common.tcss", "season.tcss"]
    BINDINGS = [*bindings(HERE), Binding("escape", "step_back", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self._zoom = SEASON
        self._focus: date | None = None
        self._aim: date | None = None
        self._open: frozenset[str] = frozenset()
        self._earlier: Held | None = None
        self._tasks: dict[str, Task] = {}

    def compose(self) -> ComposeResult:
        yield TopLine(HERE)
        yield SeasonHead()
        yield FilterLine()
        yield SeasonList(self.app.ascii_only)
        yield Static(id="chosen", markup=False)
        yield NoticeLine()
        yield KeyLine(HERE)

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one(SeasonList).focus()

    def show_state(self, state: State) -> None:
        """An earlier season is read again too: a record may have changed it."""
        if state.plan is None:
            self.app.want_plan()
        if self._earlier is not None:
            self._go(self._day, self._zoom)
        self._draw()

    def choose(self, row: str) -> None:
        """Put the cursor on a job of this season; one that has no row of its own is told about instead."""
        self.query_one(FilterLine).action_clear()
        self._go(self.app.state.today, SEASON)
        task, shown = self._tasks.get(row), self.query_one(SeasonList)
        if task is None:
            return
        self._open |= {task.part}
        self._draw()
        if row in shown.rows:
            shown.choose(row)
        else:
            self.app.say(job_sentence(task, self.app.state.today))

    def copied_text(self) -> str:
        """The job or the buds that the cursor is on; on a part, all that the screen shows."""
        row = self.query_one(SeasonList).chosen_row
        return self.view_text() if row is None or row.kind == PART else self._read_text(row, _COPY_COLUMNS)

    def view_text(self) -> str:
        held = self._held
        if held is None:
            return "The season is not worked out yet."
        axis, label_width = self._axis(_COPY_COLUMNS)
        head_lines = [self._span(held, axis), " " * label_width + head(axis), self._pointer(held, axis, label_width)]
        return rows_text(head_lines, self._rows(held, axis), label_width, self.app.ascii_only)

    def action_step_back(self) -> None:
        """Away with the filter."""
        self.query_one(FilterLine).action_clear()

    def action_earlier(self) -> None:
        self._go(stepped(self._zoom, self._aim or self._day, -1), self._zoom)

    def action_later(self) -> None:
        self._go(stepped(self._zoom, self._aim or self._day, 1), self._zoom)

    def action_nearer(self) -> None:
        self._go(self._day, ZOOMS[min(ZOOMS.index(self._zoom) + 1, len(ZOOMS) - 1)])

    def action_wider(self) -> None:
        self._go(self._day, ZOOMS[max(ZOOMS.index(self._zoom) - 1, 0)])

    def action_to_zoom(self, zoom: str) -> None:
        self._go(self._day, zoom)

    def action_now(self) -> None:
        self._focus = None
        self._go(self._day, self._zoom)

    def action_unfold(self) -> None:
        """All jobs, or the parts alone."""
        held = self._held
        if held is not None:
            self._open = frozenset() if self._open else frozenset(task.part for task in held.plan.tasks)
            self._draw()

    def action_report(self) -> None:
        """The report of the earlier season that is shown, else of the season of the last crop."""
        year = None if self._earlier is None else self._earlier.plan.season
        self.run_worker(self._read_report(year), group="report", exclusive=True, exit_on_error=False)

    async def _read_report(self, year: int | None) -> None:
        self.app.say("Working out the report.")
        try:
            page = await self.app.ask(lambda bench, today: _report(bench, year, today))
        except PersonError as error:
            self.app.say(str(error), trouble=True)
            return
        self.app.say("")
        if not self.is_current:  # the person went on
            return
        title, ascii_only = f"Report of {page.title}", self.app.ascii_only
        self.app.push_screen(
            ReadingScreen(title, "season.report", lambda columns: report_text(page, columns, ascii_only))
        )

    def action_why(self) -> None:
        row = self.query_one(SeasonList).chosen_row
        if row is not None and row.kind != PART:
            title = "Why" if row.kind == JOB else "Buds"
            self.app.push_screen(ReadingScreen(title, "season.why", lambda columns: self._read_text(row, columns)))

    def _read_text(self, row: StripRow, columns: int) -> str:
        """All there is to read about a job or the buds of a species."""
        state, held, ascii_only = self.app.state, self._held, self.app.ascii_only
        if held is None:
            return ""
        if row.kind == JOB:
            why = why_text(self._tasks[row.id], state.cards, held.plan.today, columns, state.units, ascii_only)
            if self._earlier is None:
                return why
            of_day = as_of_words(held.plan.today, state.today, state.south)
            return "\n".join([*wrapped(of_day, columns), why])
        own = [stages for stages in held.stages if stages.species == row.id]
        return stages_text(own, held.plan.today, columns, ascii_only)

    def on_row_list_chosen(self) -> None:
        self._show_chosen()

    def on_row_list_selected(self) -> None:
        row = self.query_one(SeasonList).chosen_row
        if row is None:
            return
        if row.kind == PART:
            self._open ^= {row.id}
            self._draw()
        elif row.kind == JOB and self._earlier is None and row.id in {task.key for task in self.app.state.jobs}:
            self.app.go_to(MORNING, row.id)
        else:
            self.action_why()

    def on_row_list_pressed(self, event: RowList.Pressed) -> None:
        """The margin of a part folds it."""
        held = self.query_one(SeasonList)
        held.choose(event.row)
        row = held.chosen_row
        if row is not None and row.kind == PART:
            self.on_row_list_selected()

    def on_row_list_resized(self) -> None:
        self._draw()

    def on_filter_line_changed(self) -> None:
        self._draw()

    def on_filter_line_left(self) -> None:
        self.query_one(SeasonList).focus()

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._show_chosen)

    @property
    def _day(self) -> date:
        return self._focus or self.app.state.today

    @property
    def _held(self) -> Held | None:
        state = self.app.state
        if self._earlier is not None:
            return self._earlier
        return None if state.plan is None else Held(replace(state.plan, tasks=lines_of(state.plan)), state.stages)

    def _season(self, day: date) -> Season:
        return season_of(day, self.app.state.south)

    def _go(self, focus: date, zoom: str) -> None:
        """Show the span around a day; a season that is over is read first."""
        state = self.app.state
        season, present = self._season(focus), self._season(state.today)
        if season.name > present.name:
            self.app.say(_NO_LATER)
        elif season.name < earliest_season(state.records, present):
            self.app.say(_NO_EARLIER)
        elif season.name < present.name:
            self._aim = focus
            self.run_worker(self._read(season, focus, zoom), group="season", exclusive=True, exit_on_error=False)
        else:
            self.workers.cancel_group(self, "season")
            if self._aim is not None:
                self.app.say("")
            self._focus, self._zoom, self._earlier, self._aim = focus, zoom, None, None
            self._draw()

    async def _read(self, season: Season, focus: date, zoom: str) -> None:
        if self._earlier is None or self._season(self._earlier.plan.today) != season:
            self.app.say(f"Reading the season of {season.name}.")
            try:
                self._earlier = await self.app.ask(lambda bench, _: _as_it_ended(bench, season))
            except PersonError as error:
                self._aim = None
                self.app.say(str(error), trouble=True)
                return
            self.app.say("")
        self._focus, self._zoom, self._aim = focus, zoom, None
        self._draw()

    def _axis(self, columns: int) -> tuple[Axis, int]:
        """The axis on a line of so many columns, and what is left for the labels."""
        label_width = label_columns(columns)
        return zoomed(self._zoom, self._day, self._season(self._day), columns - label_width), label_width

    def _rows(self, held: Held, axis: Axis) -> list[StripRow]:
        """The rows to show: a filter opens the parts in which it finds something."""
        words = self.query_one(FilterLine).words.strip()
        strip = Strip(axis, None if self._earlier else held.plan.today, self.app.ascii_only)
        rows = [] if words else [strip.buds(stages) for stages in held.stages]
        for part, tasks in strip.parts(matching(held.plan.tasks, words)):
            rows.append(part)
            if words or part.id in self._open:
                rows += strip.jobs(tasks)
        return rows

    def _draw(self) -> None:
        held, shown = self._held, self.query_one(SeasonList)
        if held is None or shown.columns == 0:
            self.query_one(SeasonHead).show("Working out the season.", self._zoom, "", "")
            return
        axis, label_width = self._axis(shown.columns)
        self._tasks = {task.key: task for task in held.plan.tasks}
        rows = self._rows(held, axis)
        opened = (
            frozenset(row.id for row in rows if row.kind == PART) if self.query_one(FilterLine).words else self._open
        )
        shown.show_rows(rows, opened, label_width)
        self.query_one(SeasonHead).show(
            self._span(held, axis),
            self._zoom,
            " " * label_width + head(axis),
            self._pointer(held, axis, label_width),
        )
        self._show_chosen()

    def _span(self, held: Held, axis: Axis) -> str:
        return f"Season {held.plan.season}: {span_line(axis)}" if self._zoom == SEASON else span_line(axis)

    def _pointer(self, held: Held, axis: Axis, label_width: int) -> str:
        if self._earlier is not None:
            return f"as it stood on {full_day(held.plan.today)}, its last day"
        return " " * label_width + today_line(axis, held.plan.today, self.app.ascii_only)

    def _show_chosen(self) -> None:
        chosen, held = self.query_one("#chosen", Static), self._held
        row = self.query_one(SeasonList).chosen_row
        columns, lines = chosen.content_region.width, chosen.content_region.height
        if held is None or not columns:
            chosen.update("")
        elif row is None:
            chosen.update("No job of this span has these words.")
        elif row.kind == JOB:
            chosen.update("\n".join(job_lines(self._tasks[row.id], held.plan.today, columns, lines)))
        else:
            chosen.update("\n".join([*self._about(row, held, columns), *wrapped(legend(self.app.ascii_only), columns)]))

    def _about(self, row: StripRow, held: Held, columns: int) -> list[str]:
        if row.kind == PART:
            tasks = [task for task in held.plan.tasks if task.part == row.id]
            return [clipped(part_words(row.name, tasks), columns)]
        stages = next(stages for stages in held.stages if stages.species == row.id)
        return wrapped(buds_words(stages, held.plan.today), columns)


def _report(bench: Workbench, year: int | None, today: date) -> ReportPage:
    from tendwork.workbench.exports import season_page

    return season_page(bench, year, today)


def _as_it_ended(bench: Workbench, season: Season) -> Held:
    """A season as of its last day."""
    made = bench.plan.as_of(season.end)
    return Held(made.plan, made.stages)

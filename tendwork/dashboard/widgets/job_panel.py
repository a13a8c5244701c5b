"""The chosen visit: its head, which stays in sight, what to beware of, its parts and their units to tick, and why."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.geometry import Region
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.state import State
from tendwork.dashboard.theme import TASK_STYLES
from tendwork.dashboard.widgets.job_list import MARKED
from tendwork.dashboard.widgets.lines_to_choose import ChoosingList
from tendwork.dashboard.widgets.press_line import PressLine, Word
from tendwork.planning.results import Task, Unit
from tendwork.planning.states import TO_DO
from tendwork.planning.visits import Visit
from tendwork.view.job import (
    caution_lines,
    caution_names,
    height_words,
    reason_sentences,
    rounds_words,
    unit_state_words,
)
from tendwork.view.sections import planned_words
from tendwork.view.stake_words import loss_words
from tendwork.view.symbols import task_symbol
from tendwork.view.text import clipped, display_width, padded, plain, wrapped
from tendwork.view.visit_lines import VisitLine, line_of_job, next_line, visit_lines
from tendwork.view.week import WeekRow, held_words, visit_row, where_words
from tendwork.view.words import in_units, minutes_words, until_short, until_words

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard

_BESIDE_COLUMNS = 56  # a narrower head has its words below a title that does not fit beside them
_TITLE_LINES = 2
_REASONS_SHOWN = 2
_CAUTIONS_SHOWN = 3  # so many have their line in the panel; they stand in the order of harm, the others are named
_LOW_ROWS = 13  # a panel lower than this, with its head, names the cautions and leaves their lines to the cards
_LABEL_COLUMNS = 24


class JobHead(PressLine):
    """Without a job there is nothing to press."""

    def __init__(self, acts: Iterable[Word]) -> None:
        super().__init__(id="head")
        self._acts = tuple(acts)
        self._row: WeekRow | None = None

    def show_visit(self, row: WeekRow | None, where: str) -> None:
        """Show the title of a visit and where it is; None for no visit."""
        self._row = row
        title = "" if row is None else f"{row.title}{row.more}, {where}"
        self.show(() if row is None else self._acts, Content.styled(title, "bold"))

    def lead(self, columns: int) -> Content | None:
        """The title and where; with less room the title with how many more there are, which is never clipped."""
        row = self._row
        if row is None or self._lead is None or self._lead.cell_length <= columns or not row.more:
            return super().lead(columns)
        return Content.styled(clipped(row.title, columns - display_width(row.more)) + row.more, "bold")

    def line(self) -> Content:
        columns, title = self.content_size.width, self._lead or Content()
        if columns >= _BESIDE_COLUMNS or columns == 0:
            return super().line()
        return Content("\n").join([*title.wrap(columns)[:_TITLE_LINES], *self._lines_of_words(columns)])

    def _lines_of_words(self, columns: int) -> list[Content]:
        """The words in as many lines as they take, none of them cut."""
        lines: list[list[Word]] = [[]]
        for word in self.words:
            if lines[-1] and self.joined([*lines[-1], word]).cell_length > columns:
                lines.append([])
            lines[-1].append(word)
        return [self.joined(line) for line in lines]


class UnitList(ChoosingList):
    """The parts of the chosen visit and their units, by the ids of their lines."""

    def __init__(self) -> None:
        super().__init__(markup=False, compact=True, id="units")


class JobPanel(VerticalScroll):
    """Shows one visit; a job of one unit needs no list of units. Without a visit there is nothing to press.

    What a person needs before going out stands once, above the parts: cautions and tools. Steps and reasons are those
    of the part under the cursor. `acts` are the words that act on a visit.
    """

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def __init__(self, acts: Iterable[Word], ascii_only: bool) -> None:
        super().__init__(id="panel")
        self._acts = acts
        self._ascii_only = ascii_only
        self._work: frozenset[str] = frozenset()
        self._shown: tuple[Visit | None, State | None] = (None, None)
        self._marked: Collection[tuple[str, str]] = ()
        self._lines: tuple[VisitLine, ...] = ()

    def compose(self) -> ComposeResult:
        yield JobHead(self._acts)
        yield Static(id="about", markup=False)
        yield UnitList()
        yield Static(id="reasons", markup=False)

    @property
    def chosen(self) -> VisitLine | None:
        """The part or the unit under the cursor while the cursor is among them."""
        return self._under_cursor if self.query_one(UnitList).has_focus else None

    @property
    def chosen_unit(self) -> str | None:
        """The id of the unit under the cursor while the cursor is on one."""
        line = self.chosen
        return None if line is None or line.unit is None else line.unit.id

    def enter(self, job: str = "") -> None:
        """Put the cursor into the panel: on the part of a job, or the first line, else on the text."""
        units = self.query_one(UnitList)
        (units if units.display else self).focus()
        if line := line_of_job(self._lines, job):
            units.highlighted = units.get_option_index(line.id)
        elif units.highlighted is None and units.option_count:
            units.highlighted = 0

    def to_next_line(self) -> None:
        """Move the cursor down to the next unit, or from a whole part to the next part, where there is one."""
        units = self.query_one(UnitList)
        if (line := self._under_cursor) and (following := next_line(self._lines, line.id)):
            units.highlighted = units.get_option_index(following.id)

    def show(self, visit: Visit | None, state: State, marked: Collection[tuple[str, str]] = ()) -> bool:
        """Show `visit`, with the cautions and the day of `state`, and a mark before the units that are `marked`.

        Gives whether it is another one than before.
        """
        self._shown = (visit, state)
        self._marked = marked
        work = frozenset() if visit is None else frozenset(part.key for part in visit.parts)
        is_other, self._work = not work & self._work, work
        row = None if visit is None else visit_row(visit, state.plan_day or state.today)
        self.query_one(JobHead).show_visit(row, "" if visit is None or row is None else _where(visit, row))
        self._draw(is_other)
        if is_other:
            self.scroll_home(animate=False)
        return is_other

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Keep the line under the cursor in sight, and the text above while the cursor is on the first."""
        event.stop()
        units = event.option_list
        self._draw_reasons()
        if not units.has_focus:
            return
        if event.option_index == 0:
            self.scroll_home(animate=False)
        self.scroll_to_region(Region(0, units.virtual_region.y + event.option_index, 1, 1), animate=False)

    @property
    def _under_cursor(self) -> VisitLine | None:
        option = self.query_one(UnitList).highlighted_option
        return None if option is None else next((line for line in self._lines if line.id == option.id), None)

    def _columns(self) -> int:
        return self.scrollable_content_region.width - self.query_one("#about").styles.margin.width

    def _draw(self, is_other: bool = False) -> None:
        visit, state = self._shown
        columns = self._columns()
        if visit is None or state is None or columns <= 0:
            self._show_lines((), None, is_other)
            self.query_one("#about", Static).update("")
        else:
            self.query_one("#about", Static).update(self._about(visit, state, columns))
            self._show_lines(visit_lines(visit, state.plan_day or state.today), state, is_other)
        self._draw_reasons()

    def _draw_reasons(self) -> None:
        visit, state = self._shown
        columns = self._columns()
        shown = Content()
        if visit is not None and state is not None and columns > 0:
            line = self._under_cursor
            shown = self._reasons(visit, visit.first if line is None else line.jobs[0], state, columns)
        self.query_one("#reasons", Static).update(shown)

    def _about(self, visit: Visit, state: State, columns: int) -> Content:
        day, first = state.plan_day or state.today, visit.first
        row = visit_row(visit, day)
        lines = [Content.styled(self._facts(first, visit.minutes, state), TASK_STYLES[first.state])]
        if held := " ".join(dict.fromkeys(filter(None, map(held_words, visit.parts)))):
            lines.append(Content.styled(f"Held back: {held}", "bold $closing"))
        lines += [Content.styled(words, "bold $closing") for words in row.beside]
        titles = {part.key: "" if len(visit.parts) == 1 else f", {plain(part.title)}" for part in visit.parts}
        for short in () if state.week is None else state.week.short:
            if short.task in titles:
                lines.append(Content.styled(f"Comes short{titles[short.task]}: {plain(short.words)}", "bold $late"))
        planned, rounds = planned_words(visit, day), rounds_words(first, day) if len(visit.parts) == 1 else ""
        if planned or rounds:
            lines.append(Content(" ".join([*([f"{planned}."] if planned else []), rounds]).strip()))
        lines += self._cautions(visit, state)
        if visit.tools:
            lines.append(Content(f"Take {', '.join(map(plain, visit.tools))}."))
        steps = _steps(first, columns) if len(visit.parts) == 1 else []
        if steps and self.screen.has_class("-wide"):
            lines.append(Content())
        return Content("\n").join([*lines, *map(Content, steps)])

    def _facts(self, task: Task, minutes: float, state: State) -> str:
        until = until_words(task, state.plan_day or state.today)
        facts = [until[0].upper() + until[1:]]
        if minutes:
            facts.append(minutes_words(minutes))
        if task.weather_words:
            facts.append(f"wants {in_units(task.weather_words, state.units)}")
        if task.loss and task.state in TO_DO:
            facts.append(f"if missed, {loss_words(task.loss)}")
        return "; ".join(facts)

    def _cautions(self, visit: Visit, state: State) -> list[Content]:
        """The cautions of all that is done in the visit, each once."""
        key = self.app.keys.word("morning.cautions")
        if not visit.cautions:
            return []
        if self.size.height < _LOW_ROWS:
            return [Content.styled(f"Caution ({key}): {caution_names(visit, state.cards)}.", "bold $closing")]
        cautions = caution_lines(visit, state.cards)
        shown = [
            Content.assemble(("Caution: ", "bold $closing"), (line, "$closing"))
            for _, line in cautions[:_CAUTIONS_SHOWN]
        ]
        if more := "; ".join(title for title, _ in cautions[_CAUTIONS_SHOWN:]):
            shown.append(Content.assemble((f"Caution too ({key}): ", "bold $closing"), (more, "$closing")))
        return shown

    def _reasons(self, visit: Visit, task: Task, state: State, columns: int) -> Content:
        """Why a job stands where it does; of a part of a visit also which it is, its days and its steps."""
        day = state.plan_day or state.today
        lines: list[Content] = []
        if len(visit.parts) > 1:
            where = "" if visit.subject == task.subject else f", {where_words(task)}"
            facts = self._facts(task, 0, state)
            rounds = rounds_words(task, day)
            lines += [
                Content.styled(f"{plain(task.title)}{where}", "bold $foreground"),
                Content(f"{facts}.{f' {rounds}' if rounds else ''}"),
                *(Content.styled(step, "$foreground") for step in _steps(task, columns)),
            ]
        held = held_words(task)
        reasons = tuple(reason for reason in reason_sentences(task) if reason not in held)
        lines += map(Content, reasons[:_REASONS_SHOWN])
        if (more := len(reasons) - _REASONS_SHOWN) > 0:
            lines.append(Content(f"({more} more: press {self.app.keys.word('morning.why')})"))
        return Content("\n").join(lines)

    def _show_lines(self, lines: tuple[VisitLine, ...], state: State | None, is_other: bool) -> None:
        """The lines by id, on none of which the cursor is before the person goes to one: a first press only chooses."""
        held = self.query_one(UnitList)
        kept, place = self._under_cursor, held.highlighted
        self._lines = lines
        prompts = [] if state is None else self._prompts(lines, state)
        if not prompts and held.has_focus:
            self.focus()
        held.display = bool(prompts)
        if [option.id for option in held.options] == [identity for identity, _ in prompts]:
            for identity, prompt in prompts:
                held.replace_option_prompt(identity, prompt)
            if is_other:
                held.highlighted = None
            return
        held.set_options(Option(prompt, identity) for identity, prompt in prompts)
        ids = [identity for identity, _ in prompts]
        if not ids or is_other or kept is None:
            held.highlighted = None
        else:
            held.highlighted = ids.index(kept.id) if kept.id in ids else min(place or 0, len(ids) - 1)

    def _prompts(self, lines: tuple[VisitLine, ...], state: State) -> list[tuple[str, Content]]:
        """One whose days are those of the visit, which stand above, does not say them again."""
        visit, day = self._shown[0], state.plan_day or state.today
        said_above = "" if visit is None else until_short(visit.first, day)
        units = [(line.jobs[0], line.unit) for line in lines if line.unit is not None]
        labels = min(max((display_width(plain(unit.label)) for _, unit in units), default=0), _LABEL_COLUMNS)
        said = {
            line.id: unit_state_words(line.unit, day).removeprefix(said_above).removeprefix(", ")
            for line in lines
            if line.unit is not None
        }
        most = max(map(display_width, said.values()), default=0)
        has_parts = len(units) < len(lines)
        prompts = []
        for line in lines:
            if line.row is not None:
                prompts.append((line.id, self._part(line, line.row, said_above)))
            elif line.unit is not None:
                words, tree = padded(said[line.id], most), self._tree(line)
                prompts.append((line.id, self._unit(line, line.unit, words, labels, state.units, tree, has_parts)))
        return prompts

    def _tree(self, line: VisitLine) -> str:
        """The tree of a unit, where the visit is about several trees and the unit is none of them."""
        visit, job = self._shown[0], line.jobs[0]
        is_said = visit is None or visit.subject == job.subject or line.unit is None or line.unit.id == job.subject
        return "" if is_said else where_words(job)

    def _part(self, line: VisitLine, row: WeekRow, said_above: str) -> Content:
        columns = self._columns()
        minutes = minutes_words(row.minutes) if row.minutes and columns >= _BESIDE_COLUMNS else ""
        until = "" if row.until == said_above else row.until
        end = "".join(f"  {words}" for words in (row.amount, minutes, until) if words)
        room = max(columns - 3 - display_width(end), 0)
        style = TASK_STYLES[row.state]
        visit = self._shown[0]
        is_now = visit is None or any(job in visit.now for job in line.jobs)
        return Content.assemble(
            self._mark(line),
            (task_symbol(row.state, self._ascii_only), style),
            (f" {padded(row.title, room)}", "bold" if is_now else "$faint"),  # a tick of the visit leaves what is faint
            (end, style),
        )

    def _unit(
        self, line: VisitLine, unit: Unit, said: str, labels: int, units: str, tree: str, is_beneath: bool
    ) -> Content:
        where = [in_units(plain(unit.place), units)] if unit.place else []
        height = [words] if (words := height_words(unit)) else []
        style = TASK_STYLES[unit.state]
        return Content.assemble(
            "  " if is_beneath else "",
            self._mark(line),
            (task_symbol(unit.state, self._ascii_only), style),
            f" {padded(plain(unit.label), labels)}",
            (f"  {said}" if said else "", style),
            ("  " + ", ".join([*([tree] if tree else []), *height, *where]), "$faint"),
        )

    def _mark(self, line: VisitLine) -> tuple[str, str]:
        """Whether it is marked: a part where all of it is that is to do."""
        pairs = [(job.key, unit) for job, units in line.meant for unit in units]
        return (MARKED, "bold $accent") if pairs and all(pair in self._marked for pair in pairs) else (" ", "")


def _where(visit: Visit, row: WeekRow) -> str:
    return where_words(visit.first) if visit.subject == visit.first.subject else row.where


def _steps(task: Task, columns: int) -> list[str]:
    return [line for number, step in enumerate(task.steps, 1) for line in wrapped(plain(step), columns, f"{number}. ")]

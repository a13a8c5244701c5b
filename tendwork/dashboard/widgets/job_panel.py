"""The chosen job: its head, which stays in sight, what to beware of, the steps, the units to tick, and why."""

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
from tendwork.view.text import display_width, padded, plain, wrapped
from tendwork.view.week import beside_sentences, held_words, where_words
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

    def show_job(self, title: str) -> None:
        """Show a job's title; "" for no job."""
        self.show(self._acts if title else (), Content.styled(title, "bold"))

    def line(self) -> Content:
        columns, words = self.content_size.width, self.joined(self.words)
        title = self._lead or Content()
        if columns >= _BESIDE_COLUMNS or columns == 0:
            return super().line()
        return Content("\n").join([*title.wrap(columns)[:_TITLE_LINES], words])


class UnitList(ChoosingList):
    """The units of the chosen job, by id."""

    def __init__(self) -> None:
        super().__init__(markup=False, compact=True, id="units")


class JobPanel(VerticalScroll):
    """Shows one job; a job of one unit needs no list of units. Without a job there is nothing to press.

    `acts` are the words that act on a job.
    """

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def __init__(self, acts: Iterable[Word], ascii_only: bool) -> None:
        super().__init__(id="panel")
        self._acts = acts
        self._ascii_only = ascii_only
        self._key = ""
        self._shown: tuple[Task | None, State | None] = (None, None)
        self._marked: Collection[str] = ()

    def compose(self) -> ComposeResult:
        yield JobHead(self._acts)
        yield Static(id="about", markup=False)
        yield UnitList()
        yield Static(id="reasons", markup=False)

    @property
    def chosen_unit(self) -> str | None:
        """The id of the unit under the cursor while the cursor is among the units."""
        units = self.query_one(UnitList)
        option = units.highlighted_option if units.has_focus else None
        return None if option is None else option.id

    def enter(self) -> None:
        """Put the cursor into the panel: on the units if there are several, else on its text."""
        units = self.query_one(UnitList)
        (units if units.display else self).focus()

    def to_next_unit(self) -> None:
        """Move the cursor one unit down, where there is one."""
        units = self.query_one(UnitList)
        if units.highlighted is not None and units.highlighted + 1 < units.option_count:
            units.highlighted += 1

    def show(self, task: Task | None, state: State, marked: Collection[str] = ()) -> None:
        """Show `task`, with the cautions and the day of `state`, and a mark before the units that are `marked`."""
        self._shown = (task, state)
        self._marked = marked
        self.query_one(JobHead).show_job("" if task is None else f"{plain(task.title)}, {where_words(task)}")
        self._draw()
        key = "" if task is None else task.key
        if key != self._key:
            self._key = key
            self.scroll_home(animate=False)

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Keep the unit under the cursor in sight, and the text above while the cursor is on the first."""
        event.stop()
        units = event.option_list
        if not units.has_focus:
            return
        if event.option_index == 0:
            self.scroll_home(animate=False)
        self.scroll_to_region(Region(0, units.virtual_region.y + event.option_index, 1, 1), animate=False)

    def _draw(self) -> None:
        task, state = self._shown
        columns = self.scrollable_content_region.width - self.query_one("#about").styles.margin.width
        if task is None or state is None or columns <= 0:
            self._texts(Content(""), "")
            self._units((), None, "")
            return
        held = held_words(task)
        reasons = tuple(reason for reason in reason_sentences(task) if reason not in held)
        more = len(reasons) - _REASONS_SHOWN
        told = [
            *reasons[:_REASONS_SHOWN],
            *([f"({more} more: press {self.app.keys.word('morning.why')})"] if more > 0 else []),
        ]
        self._texts(self._about(task, state, columns), "\n".join(told))
        said = until_short(task, state.plan_day or state.today)
        self._units(task.units if len(task.units) > 1 else (), state, said)

    def _texts(self, about: Content, reasons: str) -> None:
        self.query_one("#about", Static).update(about)
        self.query_one("#reasons", Static).update(reasons)

    def _about(self, task: Task, state: State, columns: int) -> Content:
        day = state.plan_day or state.today
        until = until_words(task, day)
        facts = [until[0].upper() + until[1:]]
        if task.minutes:
            facts.append(minutes_words(task.minutes))
        if task.weather_words:
            facts.append(f"wants {in_units(task.weather_words, state.units)}")
        if task.loss and task.state in TO_DO:
            facts.append(f"if missed, {loss_words(task.loss)}")
        lines = [Content.styled("; ".join(facts), TASK_STYLES[task.state])]
        if held := held_words(task):
            lines.append(Content.styled(f"Held back: {held}", "bold $closing"))
        lines += [Content.styled(words, "bold $closing") for words in beside_sentences(task)]
        for short in () if state.week is None else state.week.short:
            if short.task == task.key:
                lines.append(Content.styled(f"Comes short: {plain(short.words)}", "bold $late"))
        planned, rounds = planned_words(task, day), rounds_words(task, day)
        if planned or rounds:
            lines.append(Content(" ".join([*([f"{planned}."] if planned else []), rounds]).strip()))
        if task.cautions and self.size.height < _LOW_ROWS:
            key = self.app.keys.word("morning.cautions")
            lines.append(Content.styled(f"Caution ({key}): {caution_names(task, state.cards)}.", "bold $closing"))
        elif task.cautions:
            cautions = caution_lines(task, state.cards)
            for _, line in cautions[:_CAUTIONS_SHOWN]:
                lines.append(Content.assemble(("Caution: ", "bold $closing"), (line, "$closing")))
            if more := "; ".join(title for title, _ in cautions[_CAUTIONS_SHOWN:]):
                key = self.app.keys.word("morning.cautions")
                lines.append(Content.assemble((f"Caution too ({key}): ", "bold $closing"), (more, "$closing")))
        if task.tools:
            lines.append(Content(f"Take {', '.join(map(plain, task.tools))}."))
        steps = [
            line for number, step in enumerate(task.steps, 1) for line in wrapped(plain(step), columns, f"{number}. ")
        ]
        if steps and self.screen.has_class("-wide"):
            lines.append(Content())
        return Content("\n").join([*lines, *map(Content, steps)])

    def _units(self, units: tuple[Unit, ...], state: State | None, said_above: str) -> None:
        """The units by id; a unit whose days are those of the job, which stand above, does not say them again."""
        held = self.query_one(UnitList)
        held.display = bool(units)
        labels = min(max((display_width(plain(unit.label)) for unit in units), default=0), _LABEL_COLUMNS)
        prompts: list[tuple[str, Content]] = []
        if state is not None:
            day = state.plan_day or state.today
            said = [unit_state_words(unit, day).removeprefix(said_above).removeprefix(", ") for unit in units]
            most = max(map(display_width, said), default=0)
            prompts = [
                (unit.id, self._unit(unit, padded(words, most), labels, state.units))
                for unit, words in zip(units, said, strict=True)
            ]
        if [option.id for option in held.options] == [identity for identity, _ in prompts]:
            for identity, prompt in prompts:
                held.replace_option_prompt(identity, prompt)
            return
        held.set_options(Option(prompt, identity) for identity, prompt in prompts)
        held.highlighted = 0 if prompts else None

    def _unit(self, unit: Unit, said: str, labels: int, units: str) -> Content:
        where = [in_units(plain(unit.place), units)] if unit.place else []
        height = [words] if (words := height_words(unit)) else []
        style = TASK_STYLES[unit.state]
        return Content.assemble(
            (MARKED, "bold $accent") if unit.id in self._marked else " ",
            (task_symbol(unit.state, self._ascii_only), style),
            f" {padded(plain(unit.label), labels)}",
            (f"  {said}" if said else "", style),
            ("  " + ", ".join([*height, *where]), "$faint"),
        )

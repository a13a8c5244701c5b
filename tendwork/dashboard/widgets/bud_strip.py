"""The buds, one line for each species: a twig whose buds fill as stages are reached, then words."""

from __future__ import annotations

from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from tendwork.dashboard.state import State
from tendwork.dashboard.theme import STAGE_STYLES
from tendwork.view.buds import BudLine, bud_line, first_frost_sentence, frost_unknown_sentence
from tendwork.view.symbols import stage_symbol
from tendwork.view.text import clipped, padded

_SPECIES_COLUMNS = 13
_WIDE_COLUMNS = 100


class BudStrip(Static):
    """All species of the orchard, and the frost that threatens them."""

    def __init__(self, ascii_only: bool) -> None:
        super().__init__()
        self._ascii_only = ascii_only
        self._state: State | None = None

    def show(self, state: State) -> None:
        self._state = state
        self._draw()

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def _draw(self) -> None:
        if self._state is None or self.size.width == 0:
            return
        today, plan_day = self._state.today, self._state.plan_day
        lines = [] if plan_day is None else [bud_line(held, plan_day) for held in self._state.stages]
        most = max((len(line.buds) for line in lines), default=0)
        shown = [self._line(line, most) for line in lines]
        frost = first_frost_sentence(self._state.frost, today, self._state.units)
        if frost:
            shown.append(Content.styled(clipped(frost, self.size.width), "bold $late"))
        for unknown in frost_unknown_sentence(self._state.frost_unknown):
            shown.append(Content.styled(clipped(unknown, self.size.width), "$faint"))
        self.update(Content("\n").join(shown))

    def _line(self, line: BudLine, most: int) -> Content:
        """One species; `most` is the number of buds on the longest twig, so that the words stand under each other."""
        between = "" if self.size.width < _WIDE_COLUMNS else "-" if self._ascii_only else "─"
        twig: list[tuple[str, str]] = []
        for position, state in enumerate(line.buds):
            if position and between:
                twig.append((between, "$faint"))
            twig.append((stage_symbol(state, self._ascii_only), STAGE_STYLES[state]))
        gap = " " * ((most - len(line.buds)) * (1 + len(between)) + 2)
        room = self.size.width - _SPECIES_COLUMNS - most - (most - 1) * len(between) - 2
        now, said = _as_much_as_fits(line, line.following, room)
        return Content.assemble(padded(line.species, _SPECIES_COLUMNS), *twig, gap, (now, "$blossom"), said)


def _as_much_as_fits(line: BudLine, after: str, room: int) -> tuple[str, str]:
    """The present stage and what follows, without what there is no room for: first how far off, then the day seen."""
    away = f", {line.away}" if line.away else ""
    now = f"{line.now}, seen {line.seen}" if line.seen else line.now
    short = f"{line.now} seen" if line.seen else line.now
    for shown, said in ((now, after + away), (now, after), (short, after)):
        if len(shown) + len(said) <= room:
            return shown, said
    return clipped(short, room), clipped(after, max(room - len(short), 0))

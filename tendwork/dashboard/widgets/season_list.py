"""The season's strip: its head with the zooms and the months, and its rows of buds, parts and jobs."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from tendwork.dashboard.theme import STAGE_STYLES, TASK_STYLES
from tendwork.dashboard.widgets.press_line import PressLine, Word
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.planning.states import FINISHED
from tendwork.view.season_axis import ZOOMS
from tendwork.view.season_page import label
from tendwork.view.season_strip import BUDS, PART, StripRow

_STRIP_STYLES = {
    "": "",
    "allowed": "$faint",
    "open": "$open",
    "best": "bold $open",
    "late": "$closing",
    "over": "$faint",
    "height": "$open",
    "today": "$blossom",
    "crossed": "bold $blossom",
    "grown": "$blossom",
    "ranged": "$faint",
    "name": "$faint",
    **TASK_STYLES,
    **{f"bud {state}": style for state, style in STAGE_STYLES.items()},
}


class SeasonHead(Vertical):
    """Three lines that stay while the rows below them scroll; a press on a zoom runs the screen's `to_zoom`."""

    def compose(self) -> ComposeResult:
        with Horizontal():
            yield Static(id="span", markup=False)
            yield Static("by ", id="by", markup=False)
            yield PressLine(gap=0)
        yield Static(id="months", markup=False)
        yield Static(id="pointer", markup=False)

    def show(self, span: str, zoom: str, months: str, pointer: str) -> None:
        """Show four texts; the chosen zoom stands in brackets, so that no colour is needed to tell it."""
        self.query_one("#span", Static).update(span)
        self.query_one(PressLine).show(_zoom_word(name, name == zoom) for name in ZOOMS)
        self.query_one("#months", Static).update(months)
        self.query_one("#pointer", Static).update(pointer)


def _zoom_word(zoom: str, chosen: bool) -> Word:
    shown = Content.styled(f"[{zoom}]", "bold $blossom") if chosen else Content.styled(f" {zoom} ", "$faint")
    return Word(shown, f"screen.to_zoom({zoom!r})")


class SeasonList(RowList, inherit_bindings=False):
    """Left and right are the screen's: they move the axis."""

    BINDINGS = RowList.BINDINGS

    def __init__(self, ascii_only: bool) -> None:
        super().__init__(self._line, id="season")
        self._ascii_only = ascii_only
        self._held: dict[str, StripRow] = {}
        self._open: frozenset[str] = frozenset()
        self._label_columns = 0

    @property
    def chosen_row(self) -> StripRow | None:
        """The row under the cursor."""
        return None if self.chosen is None else self._held[self.chosen]

    def show_rows(self, rows: Sequence[StripRow], opened: frozenset[str], label_columns: int) -> None:
        """Show these rows, whose labels take so many columns; `opened` are the parts whose jobs stand below them."""
        self._held = {row.id: row for row in rows}
        self._open = opened
        self._label_columns = label_columns
        self.show([row.id for row in rows])

    def _line(self, row_id: str) -> Content:
        row = self._held[row_id]
        opened, folded = ("v", ">") if self._ascii_only else ("▾", "▸")
        fold, symbol, words = label(
            row, self._label_columns, opened if row.id in self._open else folded, self._ascii_only
        )
        style = "bold" if row.kind == PART else "$blossom" if row.kind == BUDS else ""
        if row.kind != PART and row.state in (*FINISHED, "missed"):
            style = "$faint"
        return Content.assemble(
            (fold, "$faint"),
            (symbol, TASK_STYLES.get(row.state, "")),
            (words, style),
            *((run.text, _STRIP_STYLES[run.role]) for run in row.runs),
        )

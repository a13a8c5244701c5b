"""The rows of the season's strip: buds, parts and jobs. Only those in sight are drawn."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from tendwork.dashboard.theme import STAGE_STYLES, TASK_STYLES
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.planning.states import FINISHED
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

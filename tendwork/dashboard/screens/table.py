"""A screen of records as a table: ordered by its columns, filtered by words, many rows marked for one act."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.widgets import Static

from tendwork.dashboard.screens.records import RecordsScreen
from tendwork.dashboard.state import State
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.row_list import MARK_COLUMNS, RowList
from tendwork.view.table import Column, head_line
from tendwork.view.text import padded


class TableHead(Static):
    """Most often one line, indented as far as the rows' cells are."""

    class Pressed(Message):
        """The person pressed the name of a column."""

        def __init__(self, column: str) -> None:
            super().__init__()
            self.column = column

    def __init__(self, indent: int) -> None:
        super().__init__(id="head")
        self._indent = indent
        self._columns: tuple[Column, ...] = ()

    def show(self, lines: tuple[str, ...], columns: tuple[Column, ...]) -> None:
        """Show lines of what stands above the columns, which are where `columns` say."""
        self._columns = columns
        self.update(Content("\n".join(" " * self._indent + line for line in lines)))

    def on_click(self, event: Click) -> None:
        event.stop()
        at = event.x - self._indent
        for column in self._columns:
            if column.name and column.start <= at < column.start + column.columns:
                self.post_message(self.Pressed(column.name))


class TableScreen(RecordsScreen):
    """A screen says which rows there are, what stands in them, and what is shown of the chosen one."""

    BINDINGS = [Binding("escape", "step_back", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self.order = ""
        self.backwards = False
        self.rows: Mapping[str, Any] = {}
        self.columns: tuple[Column, ...] = ()
        self.marked: frozenset[str] = frozenset()

    @property
    def orders(self) -> tuple[str, ...]:
        """The columns that the rows can be ordered by; the first is how they stand at first."""
        raise NotImplementedError

    def arranged(self) -> Mapping[str, Any]:
        """All rows by id in their order."""
        raise NotImplementedError

    def matching(self, rows: Mapping[str, Any], words: str) -> tuple[Mapping[str, Any], str]:
        """The rows that have the words in them, and the id of the one that is meant most likely."""
        raise NotImplementedError

    def laid(self, width: int) -> tuple[Column, ...]:
        """The columns that there is room for."""
        raise NotImplementedError

    def head(self) -> tuple[str, ...]:
        """The lines above the rows: the names of the columns."""
        return (head_line(self.columns, self.order, self.backwards, self.app.ascii_only),)

    def line(self, row: Any) -> Content:
        """One row."""
        raise NotImplementedError

    def show_chosen(self) -> None:
        """Show what there is to know about the row under the cursor."""
        raise NotImplementedError

    def action_menu(self) -> None:
        """Show all that can be done with the row under the cursor, or with the marked ones."""
        raise NotImplementedError

    def is_heading(self, identity: str) -> bool:
        """Whether a row stands over others, and so has no margin."""
        del identity
        return False

    def markable(self, identity: str) -> bool:
        """Whether a row can be marked."""
        return not self.is_heading(identity)

    def compose_table(self) -> ComposeResult:
        """The names of the columns, and the rows."""
        with Vertical(id="held"):
            yield TableHead(MARK_COLUMNS)
            yield RowList(self._line, id=self.HERE)

    def on_mount(self) -> None:
        self.order = self.orders[0]
        super().on_mount()
        self.query_one(RowList).focus()

    def show_state(self, state: State) -> None:
        del state
        self.show_rows()

    def done(self) -> None:
        self.mark(frozenset())

    @property
    def row(self) -> Any:
        """The row under the cursor, or None."""
        return self.rows.get(self.query_one(RowList).chosen or "")

    def show_rows(self, to_likeliest: bool = False) -> None:
        """Show the rows again; the cursor stays on its row, or goes to the one that the filter means."""
        everything = self.arranged()
        self.marked &= everything.keys()
        self.rows, likeliest = self.matching(everything, self.query_one(FilterLine).words)
        self._lay()
        self.query_one(RowList).show(tuple(self.rows), likeliest if to_likeliest else "")
        self.show_chosen()

    def choose(self, row: str) -> None:
        held = self.query_one(RowList)
        if row not in held.rows:
            self.query_one(FilterLine).action_clear()
            self.show_rows()
        held.choose(row)

    def mark(self, marked: frozenset[str]) -> None:
        """Mark these rows and no others."""
        self.marked = marked
        self.query_one(RowList).redraw()
        self.show_chosen()

    def order_by(self, order: str) -> None:
        """Order by another column, or by the same one backwards."""
        self.backwards = order == self.order and not self.backwards
        self.order = order
        self.show_rows()

    def action_order(self) -> None:
        """Order the rows by the next column."""
        self.order_by(self.orders[(self.orders.index(self.order) + 1) % len(self.orders)])

    def action_mark(self) -> None:
        """Mark the row under the cursor, or take its mark away, and go on."""
        held = self.query_one(RowList)
        if held.chosen is not None and self.markable(held.chosen):
            self.mark(self.marked ^ {held.chosen})
            held.action_move(1)

    def action_mark_all(self) -> None:
        """Mark every row that shows, or take all marks away."""
        self.mark(frozenset() if self.marked else frozenset(filter(self.markable, self.rows)))

    def action_step_back(self) -> None:
        """Away with the filter, then with the marks."""
        held = self.query_one(FilterLine)
        if held.words:
            held.action_clear()
        else:
            self.mark(frozenset())

    def on_filter_line_changed(self) -> None:
        self.show_rows(to_likeliest=True)

    def on_filter_line_left(self) -> None:
        self.query_one(RowList).focus()

    def on_table_head_pressed(self, event: TableHead.Pressed) -> None:
        if event.column in self.orders:
            self.order_by(event.column)

    def on_row_list_chosen(self) -> None:
        self.show_chosen()

    def on_row_list_selected(self) -> None:
        self.action_menu()

    def on_row_list_pressed(self, event: RowList.Pressed) -> None:
        self.query_one(RowList).choose(event.row)
        if self.markable(event.row):
            self.mark(self.marked ^ {event.row})

    def on_row_list_resized(self) -> None:
        self._lay()
        self.show_chosen()

    def _lay(self) -> None:
        held = self.query_one(RowList)
        self.columns = self.laid(held.columns - MARK_COLUMNS)
        self.query_one(TableHead).show(self.head(), self.columns)
        held.redraw()

    def _line(self, identity: str) -> Content:
        if self.is_heading(identity):
            return self.line(self.rows[identity])
        mark = ("+" if self.app.ascii_only else "✚") if identity in self.marked else ""
        return Content.assemble((padded(mark, MARK_COLUMNS), "bold $accent"), self.line(self.rows[identity]))

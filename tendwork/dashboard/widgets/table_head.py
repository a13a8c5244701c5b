"""The names of a table's columns above its rows; pressed, one orders the rows."""

from __future__ import annotations

from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.widgets import Static

from tendwork.view.table import Column


class TableHead(Static):
    """One line, indented as far as the rows' cells are."""

    class Pressed(Message):
        """The person pressed the name of a column."""

        def __init__(self, column: str) -> None:
            super().__init__()
            self.column = column

    def __init__(self, indent: int) -> None:
        super().__init__(id="head")
        self._indent = indent
        self._columns: tuple[Column, ...] = ()

    def show(self, line: str, columns: tuple[Column, ...]) -> None:
        """Show a line of column names that stand where `columns` say."""
        self._columns = columns
        self.update(Content(" " * self._indent + line))

    def on_click(self, event: Click) -> None:
        event.stop()
        at = event.x - self._indent
        for column in self._columns:
            if column.name and column.start <= at < column.start + column.columns:
                self.post_message(self.Pressed(column.name))

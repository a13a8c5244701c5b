"""The head of the chosen job: its title, and the words that act on it, beside it or below it."""

from __future__ import annotations

from collections.abc import Iterable

from textual.content import Content

from tendwork.dashboard.widgets.press_line import PressLine, Word

_BESIDE_COLUMNS = 56  # a narrower head has its words below a title that does not fit beside them
_TITLE_LINES = 2


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

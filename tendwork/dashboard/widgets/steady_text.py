"""Text that changes with every key: the screen is laid out again only where it takes another number of lines."""

from __future__ import annotations

from textual.geometry import Size
from textual.widgets import Static


class SteadyText(Static):
    """Plain text, never markup; a new layout of the whole screen costs more than all that a key does besides."""

    def __init__(self, id: str) -> None:
        super().__init__(id=id, markup=False)

    def show(self, text: str) -> None:
        """Show another text."""
        if text == self.content:
            return
        lines = self._lines()
        self.update(text, layout=False)
        if not self.size or self._lines() != lines:
            self.refresh(layout=True)

    def _lines(self) -> int:
        if self.styles.text_wrap == "nowrap":
            return str(self.content).count("\n")
        return self.get_content_height(Size(), Size(), self.content_size.width)

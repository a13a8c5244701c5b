"""What a person is to read first: frost tonight, what was left while away, the next job, what is short or not noted."""

from __future__ import annotations

from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from tendwork.view.text import clipped, wrapped

_WIDE_COLUMNS = 100  # from here on a line holds what two lines hold on a narrow screen
_WARNING, _NEXT, _NOTE = "bold $late", "bold $blossom", "$closing"


class FirstWords(Static):
    """Stands above everything else; what has nothing to say takes no line."""

    def __init__(self) -> None:
        super().__init__(id="first", markup=False)
        self._said: tuple[tuple[str, str], ...] = ()

    def show(self, frost: str, back: str, next_job: str, short: str, not_noted: str) -> None:
        """Show five sentences, each of which may be empty."""
        self._said = ((frost, _WARNING), (back, _WARNING), (next_job, _NEXT), (short, _WARNING), (not_noted, _NOTE))
        self._draw()

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def _draw(self) -> None:
        columns = self.content_size.width
        if columns == 0:
            return
        most = 1 if columns >= _WIDE_COLUMNS else 2
        lines = []
        for words, style in self._said:
            kept = _at_most(wrapped(words, columns), most, columns) if words else []
            lines += [Content.styled(line, style) for line in kept]
        self.update(Content("\n").join(lines))


def _at_most(lines: list[str], most: int, columns: int) -> list[str]:
    """So many lines; what is left out shows by an ellipsis."""
    if len(lines) <= most:
        return lines
    return [*lines[: most - 1], clipped(" ".join(lines[most - 1 :]), columns)]

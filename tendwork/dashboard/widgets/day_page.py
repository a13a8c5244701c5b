"""The days to read: the last and the coming ones with their bars, frost, and where it all comes from."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from tendwork.view.course_chart import course_legend
from tendwork.view.day_bars import DayLine, day_legend, day_lines
from tendwork.view.temperatures import HeldTemperatures, callus_lines, frost_lines, shift_lines, source_lines
from tendwork.view.text import plain, wrapped

_DAYS_BEFORE = 2
_HEAD = "Minimum and maximum of the days"
_STYLES = {"": "", "known": "$open", "usual": "$faint", "range": "$faint", "freezing": "$waiting"}


class DayPage(VerticalScroll):
    """Scrolls; at first today stands in sight, on a low page with the two days before it."""

    def __init__(self, ascii_only: bool) -> None:
        super().__init__(id="page")
        self._ascii_only = ascii_only
        self._shown: tuple[HeldTemperatures, str] | None = None
        self._today_at = 0

    def compose(self) -> ComposeResult:
        yield Static(id="days", markup=False)

    def show(self, held: HeldTemperatures, units: str) -> None:
        """Show what is held."""
        first = self._shown is None
        self._shown = (held, units)
        self._draw()
        if first:
            self.call_after_refresh(self._to_today)

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def _to_today(self) -> None:
        if self._today_at >= self.scrollable_content_region.height:
            self.scroll_to(y=self._today_at - _DAYS_BEFORE, animate=False)

    def _draw(self) -> None:
        columns = self.scrollable_content_region.width
        if self._shown is None or columns == 0:
            return
        held, units = self._shown
        days = day_lines(held, units, columns, self._ascii_only)
        self._today_at = next((at for at, line in enumerate(days, 1) if line.is_today), 0)
        notes = [line for sentence in held.words for line in wrapped(plain(sentence), columns, "- ")]
        sections: tuple[tuple[str, list[str]], ...] = (
            ("Frost", _flush(frost_lines(held, units, columns))),
            ("Callus", _flush(callus_lines(held, units, columns))),
            ("Held", [*source_lines(held, columns), *shift_lines(held, units, columns)]),
            ("To know", notes),
            (
                "Marks",
                [
                    *wrapped(course_legend(self._ascii_only), columns),
                    *wrapped(day_legend(units, self._ascii_only), columns),
                ],
            ),
        )
        content = [Content.styled(_HEAD, "bold $accent"), *map(_day, days)]
        for title, lines in sections:
            if lines:
                content += [Content(), Content.styled(title, "bold $accent"), *map(Content, lines)]
        self.query_one("#days", Static).update(Content("\n").join(content))


def _flush(lines: list[str]) -> list[str]:
    """Lines that stand under a heading of their own, without the indent that they have in a page of text."""
    return [line.removeprefix("  ") for line in lines]


def _day(line: DayLine) -> Content:
    style = f"{'bold ' if line.is_today else ''}{'$waiting' if line.is_frost else ''}".strip()
    return Content.assemble((line.words, style), *((run.text, _STYLES[run.role]) for run in line.runs))

"""The pages of a screen by name, the shown one lit; pressed, a name shows its page."""

from __future__ import annotations

from textual.content import Content

from tendwork.dashboard.widgets.press_line import PressLine, Word


class PageLine(PressLine):
    """One line of names; a press runs the screen's `to_page`."""

    def __init__(self, pages: tuple[str, ...]) -> None:
        super().__init__(gap=1)
        self._pages = pages

    def show_page(self, page: str) -> None:
        """Light one name."""
        self.show(
            Word(
                Content.styled(f" {name} ", "bold underline $blossom" if name == page else "$faint"),
                f"screen.to_page({name!r})",
            )
            for name in self._pages
        )

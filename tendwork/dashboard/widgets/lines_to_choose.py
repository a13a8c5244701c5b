"""The lists of options that the dashboard uses: whole in a terminal that is too small, and safe to press."""

from __future__ import annotations

from textual.events import Click
from textual.widgets import OptionList


class LinesToChoose(OptionList):
    """An OptionList whose pages turn only where there is room for a line: Textual raises KeyError without any."""

    def action_page_up(self) -> None:
        """Go up a page."""
        if self.scrollable_content_region:
            super().action_page_up()  # type: ignore[no-untyped-call]

    def action_page_down(self) -> None:
        """Go down a page."""
        if self.scrollable_content_region:
            super().action_page_down()  # type: ignore[no-untyped-call]


class ChoosingList(LinesToChoose):
    """Pressing the row under the cursor selects it, as enter does; pressing another row moves the cursor there."""

    def on_click(self, event: Click) -> None:
        """Keep the list's own answer to a press for the row under the cursor."""
        pressed = event.style.meta.get("option")
        if pressed is not None and pressed != self.highlighted and not self.options[pressed].disabled:
            event.prevent_default()
            self.highlighted = pressed

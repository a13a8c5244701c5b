"""The list of options that the dashboard uses: it stays whole in a terminal that is too small to show it."""

from __future__ import annotations

from textual.widgets import OptionList


class LinesToChoose(OptionList):
    """An OptionList whose pages turn only where there is room for a line: Textual raises KeyError without any."""

    def action_page_up(self) -> None:
        """Go up a page."""
        if self.scrollable_content_region:
            super().action_page_up()

    def action_page_down(self) -> None:
        """Go down a page."""
        if self.scrollable_content_region:
            super().action_page_down()

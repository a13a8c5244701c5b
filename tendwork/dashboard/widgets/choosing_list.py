"""A list in which the first press of the mouse only chooses, so that no press does what it was not meant to do."""

from __future__ import annotations

from textual.events import Click

from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose


class ChoosingList(LinesToChoose):
    """Pressing the row under the cursor selects it, as enter does; pressing another row moves the cursor there."""

    def on_click(self, event: Click) -> None:
        """Keep the list's own answer to a press for the row under the cursor."""
        pressed = event.style.meta.get("option")
        if pressed is not None and pressed != self.highlighted and not self.options[pressed].disabled:
            event.prevent_default()
            self.highlighted = pressed

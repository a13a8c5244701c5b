"""The way in: the front page is painted first, then the orchard is opened and Morning takes its place.

Textual alone takes most of the time until something stands on the screen; what this program adds comes after it.
"""

from __future__ import annotations

import gc
from datetime import date
from pathlib import Path

from textual.events import Event, InputEvent
from textual.screen import Screen

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.front import FrontScreen
from tendwork.errors import PersonError
from tendwork.folder.location import locate
from tendwork.view.words import full_day
from tendwork.workbench.front_page import read_front_page


class OpeningDashboard(Dashboard):
    """A dashboard whose workbench is opened after the first paint. `fault` is why it could not be."""

    DEFAULT_MODE = "front"  # no mode of its own: the default screen

    def __init__(self, folder: Path, on: date | None) -> None:
        super().__init__(None, on)
        page = read_front_page(folder)
        day = on or page.today()
        self._front = FrontScreen(full_day(day), page.site_name, page.next_job if page.day == day else "")
        self._folder = folder
        self._pressed: list[InputEvent] | None = []
        self.fault: PersonError | None = None

    def get_default_screen(self) -> Screen[None]:
        return self._front

    def on_ready(self) -> None:
        self.call_after_refresh(self._open)

    async def _open(self) -> None:
        """Open the orchard and go to Morning, which gets what was pressed meanwhile."""
        from tendwork.workbench.bench import Workbench

        try:
            self.take(Workbench.open(self._folder))
        except PersonError as fault:
            self.fault = fault
            self.exit()
            return
        with self.batch_update():
            await self.switch_mode(Dashboard.DEFAULT_MODE)
        self.begin()
        gc.enable()
        pressed, self._pressed = self._pressed or [], None
        for event in pressed:
            await self.on_event(event)

    async def on_event(self, event: Event) -> None:
        """Hold what is pressed until Morning stands, so that all of it comes there, and in its order."""
        if self._pressed is not None and isinstance(event, InputEvent):
            self._pressed.append(event)
        else:
            await super().on_event(event)


def run_dashboard(folder: Path | None, on: date | None = None) -> None:
    """Run the dashboard until the person leaves. Raises PersonError where the folder cannot be opened.

    The caller has made sure of a terminal.
    """
    app = OpeningDashboard(locate(folder), on)
    app.run()
    if app.fault is not None:
        raise app.fault

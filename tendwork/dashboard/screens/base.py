"""What every screen of the dashboard has: it follows the state of the app, and shows its notices."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.screen import Screen

from tendwork.dashboard.state import State
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.notice_line import Notice, NoticeLine
from tendwork.dashboard.widgets.top_line import TopLine

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard


class OrchardScreen(Screen[None]):
    """A screen with a top line and a notice line; `show_state` is called now and after each change."""

    HERE: ClassVar[str] = ""
    """The name under which the action table knows the screen."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def on_mount(self) -> None:
        self.watch(self.app, "state", self._follow)
        self.watch(self.app, "notice", self._tell)

    def show_state(self, state: State) -> None:
        """Show a new state."""
        raise NotImplementedError

    def choose(self, row: str) -> None:
        """Put the cursor on a row, whatever hid it; it stays where it is on a screen that has no such row."""
        del row

    def copied_text(self) -> str:
        """What `copy` copies: what the cursor is on, as text."""
        raise NotImplementedError

    def view_text(self) -> str:
        """What `write` puts into a file: all that the screen shows, as text."""
        raise NotImplementedError

    def view_name(self) -> str:
        """What a file with that text is called at first."""
        return self.HERE

    async def action_filter(self) -> None:
        """Let the person write words, to show only what has them in it."""
        for line in self.query(FilterLine):
            await line.open()
            return
        self.app.say("There is nothing to filter here.")

    def _follow(self, state: State) -> None:
        self.query_one(TopLine).show_state(state)
        self.show_state(state)

    def _tell(self, notice: Notice) -> None:
        self.query_one(NoticeLine).show(notice)


class ScreenReadWhenSeen(OrchardScreen):
    """A screen that shows more than the state holds: after each change it is read again, once somebody looks at it."""

    def __init__(self) -> None:
        super().__init__()
        self._stale = True

    def read(self) -> None:
        """Begin to read what is shown."""
        raise NotImplementedError

    def read_if_seen(self) -> None:
        """What is shown is not true any more."""
        self._stale = True
        self.on_screen_resume()

    def show_state(self, state: State) -> None:
        del state
        self.read_if_seen()

    def on_screen_resume(self) -> None:
        if self._stale and self.app.current_mode == self.HERE:
            self._stale = False
            self.read()

"""The top of every screen: the day, the place, and the names of the screens, which a mouse can press."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Click
from textual.widgets import Static

from tendwork.dashboard.actions import ACTIONS, key_words
from tendwork.dashboard.state import State
from tendwork.view.text import plain
from tendwork.view.words import full_day

_WIDE_COLUMNS = 100
SCREENS = ("morning", "trees")


class ScreenName(Static):
    """The name of a screen with its key; pressed, it goes there."""

    def __init__(self, screen_name: str, here: bool) -> None:
        action = next(action for action in ACTIONS if action.id == screen_name)
        words = Content.assemble((f" {key_words(action)} ", "$faint"), (f"{action.label} ", ""))
        super().__init__(words, classes="-here" if here else "")
        self._screen_name = screen_name

    async def on_click(self, event: Click) -> None:
        event.stop()
        await self.run_action(f"app.{self._screen_name}")


class TopLine(Horizontal):
    """One line. `here` is the name of the screen it stands on."""

    def __init__(self, here: str) -> None:
        super().__init__()
        self._here = here

    def compose(self) -> ComposeResult:
        yield Static(id="day")
        for name in SCREENS:
            yield ScreenName(name, name == self._here)

    def show(self, state: State) -> None:
        """The day and the place of `state`; a narrow terminal leaves the place its name."""
        name = Content.assemble((full_day(state.today), "bold"), "  ", plain(state.site_name))
        wide = self.app.size.width >= _WIDE_COLUMNS
        self.query_one("#day", Static).update(Content.assemble(name, "  ", (state.place, "$faint")) if wide else name)

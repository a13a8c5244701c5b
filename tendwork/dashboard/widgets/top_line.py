"""The top of every screen: the day, the place, and the names of the screens, which a mouse can press."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import getters
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Click, Resize
from textual.widgets import Static

from tendwork.dashboard.actions import EVERYWHERE, SCREENS, Action, key_word, run_words
from tendwork.dashboard.state import State
from tendwork.view.text import display_width, plain
from tendwork.view.words import full_day

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard

_PLACE_COLUMNS = 16  # where less is left for the place, the other screens keep their numbers alone


class ScreenName(Static):
    """The name of a screen with its key; pressed, it goes there."""

    def __init__(self, action: Action, here: bool) -> None:
        super().__init__(classes="-here" if here else "")
        self._action = action
        self._here = here

    def show(self, whole: bool) -> int:
        """Show the name, or only its key unless it is the screen's own; the columns it takes."""
        name = f"{self._action.label} " if whole or self._here else ""
        words = Content.assemble((f" {key_word(self._action.keys[0])} ", "$faint"), name)
        self.update(words)
        return len(words)

    async def on_click(self, event: Click) -> None:
        event.stop()
        await self.run_action(run_words(self._action))


class TopLine(Horizontal):
    """One line. `here` is the name of the screen it stands on."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def __init__(self, here: str) -> None:
        super().__init__()
        self._here = here
        self._state: State | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="day")
        for name in SCREENS:
            yield ScreenName(self.app.keys.action(f"{EVERYWHERE}.{name}"), name == self._here)

    def show(self, state: State) -> None:
        """The day and the place of `state`; where the place stands on earth only if there is room."""
        self._state = state
        self._draw()

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def _draw(self) -> None:
        if self._state is None:
            return
        columns, names = self.app.size.width - 2, self.query(ScreenName)
        day, place = full_day(self._state.today), plain(self._state.site_name)
        taken = sum(name.show(whole=True) for name in names)
        if taken + display_width(day) + 2 + min(display_width(place), _PLACE_COLUMNS) > columns:
            taken = sum(name.show(whole=False) for name in names)
        words = Content.assemble((day, "bold"), "  ", place)
        whole = Content.assemble(words, "  ", (self._state.place, "$faint"))
        fits = display_width(whole.plain) + taken <= columns
        self.query_one("#day", Static).update(whole if fits else words)

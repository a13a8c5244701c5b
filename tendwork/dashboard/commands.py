"""The palette: everything that can be done here, and every job of the week by name."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content

from tendwork.dashboard.actions import ACTIONS, EVERYWHERE, key_words, to_run
from tendwork.dashboard.screens.base import OrchardScreen
from tendwork.view.text import plain
from tendwork.view.week import where_words

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard


class OrchardCommands(Provider):
    """Actions of the screen below the palette, then the jobs."""

    async def discover(self) -> Hits:
        for words, help_text, deed in self._actions():
            yield DiscoveryHit(Content(words), deed, text=words, help=help_text)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for words, help_text, deed in (*self._actions(), *self._jobs()):
            score = matcher.match(words)
            if score > 0:
                yield Hit(score, Content(words), deed, text=words, help=help_text)

    def _actions(self) -> Iterator[tuple[str, str, Callable[[], Any]]]:
        here = self.screen.HERE if isinstance(self.screen, OrchardScreen) else ""
        for action in ACTIONS:
            if action.on in (EVERYWHERE, here):
                place = "app" if action.on == EVERYWHERE else "screen"
                words = f"{action.label[0].upper()}{action.label[1:]} ({key_words(action)})"
                yield words, action.help, partial(self.screen.run_action, f"{place}.{to_run(action)}")

    def _jobs(self) -> Iterator[tuple[str, str, Callable[[], Any]]]:
        app: Dashboard = self.app  # type: ignore[assignment]
        for task in app.state.jobs:
            yield f"{plain(task.title)}, {where_words(task)}", "go to this job", partial(app.go_to_job, task.key)

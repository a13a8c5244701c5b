"""The palette: everything that can be done, every job of the plan, every tree and every graft by name.

What it can find is gathered when it is first asked for, and only the best of many is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from heapq import nlargest
from typing import TYPE_CHECKING, Any, NamedTuple

from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content

from tendwork.dashboard.actions import EVERYWHERE, MORNING, SCREENS, SEASON, TREES, Action, key_words, run_words
from tendwork.dashboard.screens.base import OrchardScreen
from tendwork.planning.repeats import lines_of
from tendwork.view.season_strip import most_pressing
from tendwork.view.text import plain
from tendwork.view.week import where_words
from tendwork.view.words import until_words

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard
    from tendwork.planning.results import Task

_MOST_SHOWN = 60
_ELSEWHERE, _TREE = 0.8, 1.2  # what is not at hand here or this week stands lower, a tree above its jobs


class Entry(NamedTuple):
    """What the palette can find: its words, what stands below them, what choosing it does, and how near it is."""

    words: str
    help: str
    call: Callable[[], Any]
    weight: float = 1.0


class OrchardCommands(Provider):
    """Actions of the screen below the palette, then those of other screens, the jobs, the trees and the grafts."""

    async def startup(self) -> None:
        self._entries: tuple[Entry, ...] = ()

    async def discover(self) -> Hits:
        for entry in self._actions():
            if entry.weight == 1.0:
                yield DiscoveryHit(Content(entry.words), entry.call, text=entry.words, help=entry.help)

    async def search(self, query: str) -> Hits:
        if not self._entries:
            await self._dashboard.bring_plan()
        self._entries = self._entries or (*self._actions(), *self._jobs(), *self._orchard())
        matcher = self.matcher(query)
        scored = ((matcher.match(entry.words) * entry.weight, entry) for entry in self._entries)
        for score, entry in nlargest(_MOST_SHOWN, (held for held in scored if held[0] > 0), key=lambda held: held[0]):
            yield Hit(score, Content(entry.words), entry.call, text=entry.words, help=entry.help)

    @property
    def _dashboard(self) -> Dashboard:
        app: Dashboard = self.app  # type: ignore[assignment]
        return app

    def _actions(self) -> Iterator[Entry]:
        here = self.screen.HERE if isinstance(self.screen, OrchardScreen) else ""
        actions = self._dashboard.keys.actions
        for action in sorted(actions, key=lambda action: action.on == EVERYWHERE):
            if action.on in (EVERYWHERE, here):
                call = partial(self.screen.run_action, run_words(action))
                yield Entry(f"{_capital(action.label)} ({key_words(action)})", action.help, call)
            elif action.on in SCREENS:
                words = f"{_capital(action.on)}: {action.label} ({key_words(action)})"
                yield Entry(words, action.help, partial(self._show_where, action), _ELSEWHERE)

    def _show_where(self, action: Action) -> None:
        """Go to the screen of an action and name its key: what it is done to stands under the cursor there."""
        self._dashboard.go_to(action.on)
        self._dashboard.say(f"Here it is {key_words(action)}: {action.help}")

    def _jobs(self) -> Iterator[Entry]:
        """Each job once: of its rounds the one that presses most."""
        app, state = self._dashboard, self._dashboard.state
        rounds: dict[tuple[str, str], list[Task]] = {}
        for task in state.jobs if state.plan is None else lines_of(state.plan):
            rounds.setdefault((task.template, task.subject), []).append(task)
        week = {task.key for task in state.jobs}
        for tasks in rounds.values():
            task = most_pressing(tasks)
            near = task.key in week
            call = partial(app.go_to, MORNING if near else SEASON, task.key)
            words = _capital(until_words(task, state.plan_day or state.today))
            yield Entry(f"{plain(task.title)}, {where_words(task)}", words, call, 1.0 if near else _ELSEWHERE)

    def _orchard(self) -> Iterator[Entry]:
        records = self._dashboard.state.records
        names = {tree.id: plain(tree.name) for tree in records.trees}
        for tree in records.trees:
            call = partial(self._dashboard.go_to, TREES, f"tree/{tree.id}")
            yield Entry(f"{names[tree.id]} ({plain(tree.id)})", f"The {tree.species} and its grafts", call, _TREE)
        for graft in records.grafts:
            call = partial(self._dashboard.go_to, TREES, f"graft/{graft.id}")
            words = f"{plain(graft.variety)} ({plain(graft.id)}), {names.get(graft.tree, plain(graft.tree))}"
            yield Entry(words, f"A graft, {graft.state}", call)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]

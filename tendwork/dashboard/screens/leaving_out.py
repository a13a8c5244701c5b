"""For what a job is left out: for its tree, in this season, or for good; asked with what is lost by that."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.dashboard.screens.menu import Item, MenuScreen
from tendwork.view.text import plain

if TYPE_CHECKING:
    from collections.abc import Callable

    from tendwork.dashboard.app import Dashboard

_MOST_TREES = 9  # each has a digit for its key


class Leaving(Struct, frozen=True):
    """For one tree, or for all where it is empty, and whether in this season alone."""

    tree: str = ""
    this_season: bool = False


def ask_for_what(
    app: Dashboard, title: str, loss: str, trees: Sequence[tuple[str, str]], take: Callable[[Leaving], None]
) -> None:
    """Ask for what to leave a template out; `trees` are (id, name) of those for which it may be."""
    offered: dict[str, tuple[Leaving, str, str]] = {}
    for number, (tree, name) in enumerate(trees[:_MOST_TREES], 1):
        key = "t" if len(trees) == 1 else str(number)
        offered[f"tree {tree}"] = Leaving(tree), key, f"not for {name}"
    if len(trees) == 1:
        tree, name = trees[0]
        offered[f"season {tree}"] = Leaving(tree, True), "a", f"not for {name} in this season"
    whom = ", for all trees" if trees else ""
    offered["season"] = Leaving(this_season=True), "s", f"not in this season{whom}"
    offered["good"] = Leaving(), "g", f"never again{whom}"
    items = [Item(name, key, key, words) for name, (_, key, words) in offered.items()]
    heading = f"Not here: {plain(title)}{f' (or {plain(loss)})' if loss else ''}"

    def taken(name: str | None) -> None:
        if name is not None:
            take(offered[name][0])

    app.push_screen(MenuScreen(heading, items), taken)

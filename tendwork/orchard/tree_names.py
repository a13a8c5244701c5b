"""What a tree is called where another has its name, and which trees a word means that a person wrote."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from tendwork.orchard.records import Tree
from tendwork.orchard.wording import listed


def tree_names(trees: Iterable[Tree]) -> dict[str, str]:
    """What each tree is called, by its id: its name, with the id where another tree has that name too."""
    grown = tuple(trees)
    count = Counter(_folded(tree.name) for tree in grown)
    return {tree.id: tree.name if count[_folded(tree.name)] == 1 else f"{tree.name} ({tree.id})" for tree in grown}


def twin_sentences(trees: Iterable[Tree]) -> tuple[str, ...]:
    """A sentence for each name that several trees have."""
    alike: dict[str, list[Tree]] = {}
    for tree in trees:
        alike.setdefault(_folded(tree.name), []).append(tree)
    return tuple(
        f'Trees {listed(tree.id for tree in twins)} have one name, "{twins[0].name}": give each a name of its own, so'
        " that a job and what holds it back cannot be taken for the other's."
        for twins in alike.values()
        if len(twins) > 1
    )


class TreesByWord:
    """The trees, found by what a person may write of one: its id in any capitals, its name, or "Name (id)"."""

    def __init__(self, trees: Iterable[Tree]) -> None:
        self._ids: set[str] = set()
        self._by_word: dict[str, dict[str, None]] = {}
        for tree in trees:
            self._ids.add(tree.id)
            for word in (tree.id, tree.name, f"{tree.name} ({tree.id})", f"{tree.name}({tree.id})"):
                self._by_word.setdefault(_folded(word), {})[tree.id] = None

    def meant(self, word: str) -> tuple[str, ...]:
        """The ids of all trees that a word may mean: one alone where it is that tree's id, letter by letter."""
        return (word,) if word in self._ids else tuple(self._by_word.get(_folded(word), ()))


def _folded(word: str) -> str:
    return " ".join(word.split()).casefold()

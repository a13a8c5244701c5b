"""What is to be packed for whom: the sticks that were promised, by person and bundle."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.orchard.records import Records, Tree, Wood
from tendwork.orchard.tree_names import TreesByWord, tree_names
from tendwork.orchard.wood_age import wood_age
from tendwork.orchard.wording import counted
from tendwork.planning.work_bars import barred_on


class Parcel(Struct, frozen=True):
    """The bundles of which one person is to have sticks. `who` is empty where nobody noted to whom they are promised.

    `barred` are the ids of those bundles that must not be given.
    """

    who: str
    bundles: tuple[Wood, ...]
    barred: tuple[str, ...] = ()


def wood_parcels(records: Records, today: date, south: bool) -> tuple[Parcel, ...]:
    """A parcel for each person, in the order of the records; of faded wood nothing is sent."""
    barred = barred_on(records, today, south)
    by_person: dict[str, list[Wood]] = {}
    for bundle in records.wood:
        if bundle.promised_sticks and wood_age(bundle, today).state != "faded":
            by_person.setdefault(bundle.promised_to, []).append(bundle)
    return tuple(
        Parcel(who, tuple(held), tuple(bundle.id for bundle in held if bundle.id in barred))
        for who, held in by_person.items()
    )


def label_words(bundle: Wood, origins: Origins) -> str:
    """What stands on the label of a bundle: "Red Lamp, apple; from Old apple; cut 2026-01-20; 3 sticks"."""
    there = bundle.promised_sticks if bundle.cut_on is None else min(bundle.promised_sticks, bundle.sticks)
    return "; ".join(
        (
            f"{bundle.variety}, {bundle.species}",
            f"from {origins.words(bundle.came_from) or '____'}",
            f"cut {'____' if bundle.cut_on is None else bundle.cut_on.isoformat()}",
            counted(there or bundle.sticks, "stick"),
        )
    )


class Origins:
    """Whose or which tree's wood it is: a tree here by its name, told apart from others so named; a person as said."""

    def __init__(self, trees: tuple[Tree, ...]) -> None:
        self._by_word = TreesByWord(trees)
        self._names = tree_names(trees)

    def words(self, came_from: str) -> str:
        """ "Old apple", "Barn apple (t1)", or "Barn apple (t1 or t2)" where the word means two."""
        meant = self._by_word.meant(came_from)
        if len(meant) > 1:
            return f"{came_from} ({', '.join(meant[:-1])} or {meant[-1]})"
        return self._names[meant[0]] if meant else came_from

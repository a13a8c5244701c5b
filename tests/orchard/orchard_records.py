"""Small orchards for the tests of what follows from the records."""

from __future__ import annotations

from datetime import date

from tendwork.orchard.records import Graft, Records, Tasting, Tick, Tree, Wood

APPLE = Tree("t1", "Old apple", "apple")
PEAR = Tree("t2", "Wall pear", "pear")
CHERRY = Tree("t3", "South cherry", "sweet cherry")
TREES = (APPLE, PEAR, CHERRY)


def graft(identity: str = "g1", **changes: object) -> Graft:
    """A graft of Red Lamp on the apple, set on 1 April 2026, unless told otherwise."""
    base: dict[str, object] = {"tree": "t1", "variety": "Red Lamp", "state": "set", "set_on": date(2026, 4, 1)}
    return Graft(identity, **{**base, **changes})  # type: ignore[arg-type]


def planned(identity: str = "g1", **changes: object) -> Graft:
    """A planned graft."""
    return graft(identity, **{"state": "planned", "set_on": None, **changes})


def bundle(identity: str = "w1", sticks: int = 3, **changes: object) -> Wood:
    """A bundle of Red Lamp cut on 20 January 2026."""
    base: dict[str, object] = {"variety": "Red Lamp", "species": "apple", "cut_on": date(2026, 1, 20)}
    return Wood(identity, sticks=sticks, **{**base, **changes})  # type: ignore[arg-type]


def tick(template: str, unit: str, day: date, outcome: str = "done", season: str = "2026", **more: object) -> Tick:
    """A tick on a job of the apple."""
    return Tick(f"{template}/t1/{season}", unit, day, outcome, **more)  # type: ignore[arg-type]


def tasting(identity: str, day: date, score: int | None = None, ripe: str = "ripe") -> Tasting:
    """A tasting of ripe fruit."""
    return Tasting(day, identity, ripe, score)


def orchard(*grafts: Graft, **kinds: object) -> Records:
    """Three trees with these grafts, and other kinds of record by name."""
    return Records(**{"trees": TREES, "grafts": grafts, **kinds})  # type: ignore[arg-type]

"""Until when a spray keeps people out of a tree, and its fruit from being eaten, as its label says.

The numbers are those that the person copied from the label. None is ever guessed here: days that are not noted bar the
tree until they are noted, at most a year (`UNKNOWN_BARS_DAYS`), and each sentence says so. The day of spraying and as
many whole days after it as the label names are barred, since nobody notes the hour.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.records import Spray

UNKNOWN_BARS_DAYS = 365
"""How long a spray of unknown days keeps its tree closed: our own choice, a whole year, which is no label's number."""
SprayKind = Literal["return", "harvest"]
RETURN: Final = "return"
HARVEST: Final = "harvest"


class SprayBar(Struct, frozen=True):
    """What a spray bars on some day: `last` is its last barred day, and `noted` whether the label's days are."""

    spray: Spray
    kind: SprayKind
    last: date
    noted: bool

    @property
    def until(self) -> date:
        """The first day on which it bars nothing any more."""
        return self.last + timedelta(days=1)


def latest_sprays(sprays: Iterable[Spray]) -> tuple[Spray, ...]:
    """The sprays that count: of one day, tree and product the one entered last, which amends the others.

    Days that it does not know stay as they were known before.
    """
    found: dict[tuple[date, str, str], Spray] = {}
    for spray in sprays:
        key = spray.day, spray.tree, " ".join(spray.product.split()).casefold()
        before = found.get(key, spray)
        back = before.days_to_return if spray.days_to_return is None else spray.days_to_return
        harvest = before.days_to_harvest if spray.days_to_harvest is None else spray.days_to_harvest
        found[key] = replace(spray, days_to_return=back, days_to_harvest=harvest)
    return tuple(found.values())


def sprays_by_tree(sprays: Iterable[Spray], today: date) -> dict[str, tuple[Spray, ...]]:
    """The sprays that count and may still bar something today or later, by their tree."""
    found: dict[str, list[Spray]] = {}
    for spray in latest_sprays(sprays):
        if any(bar_of(spray, kind).last >= today for kind in (RETURN, HARVEST)):
            found.setdefault(spray.tree, []).append(spray)
    return {tree: tuple(held) for tree, held in found.items()}


def bar_of(spray: Spray, kind: SprayKind) -> SprayBar:
    """What one spray bars: work in the tree (`RETURN`), or eating its fruit (`HARVEST`)."""
    days = spray.days_to_return if kind == RETURN else spray.days_to_harvest
    barred = UNKNOWN_BARS_DAYS - 1 if days is None else max(days, 0)
    return SprayBar(spray, kind, spray.day + timedelta(days=barred), days is not None)


def bars_on(sprays: Iterable[Spray], tree: str, day: date, kind: SprayKind) -> tuple[SprayBar, ...]:
    """All that still bars this tree on a day, what lasts longest first."""
    bars = (bar_of(spray, kind) for spray in latest_sprays(sprays) if spray.tree == tree and spray.day <= day)
    return tuple(sorted((bar for bar in bars if bar.last >= day), key=lambda bar: (bar.last, bar.noted), reverse=True))


def lacking_days(sprays: Iterable[Spray], today: date) -> tuple[Spray, ...]:
    """The sprays that still bar a tree because days to wait of their label were not noted, in the order of entry."""
    return tuple(
        spray
        for spray in latest_sprays(sprays)
        if any(not bar.noted and bar.last >= today for bar in (bar_of(spray, RETURN), bar_of(spray, HARVEST)))
    )


def days_not_noted(spray: Spray) -> str:
    """Which of the label's days are not noted: "days to return", "days to harvest", or both; empty where all are."""
    fields = ((spray.days_to_return, "days to return"), (spray.days_to_harvest, "days to harvest"))
    return " and ".join(words for days, words in fields if days is None)

"""How old a bundle of scion wood is, how long its species keeps, and when it was looked at.

Keeping times by species are FROM MEMORY, in the cold (0 to 4 °C) and damp. They stay within what is published: three to
six months, and about three for kinds that bloom early (Raintree Nursery, Grafting in the Winter, 2012).
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Literal

from msgspec import Struct

from tendwork.orchard.named_templates import CHECK_WOOD
from tendwork.orchard.records import Tick, Wood
from tendwork.orchard.standing_ticks import template_of


class Keeping(Struct, frozen=True):
    """Days from cutting for which wood is good, and after which it is not counted on any more."""

    good_days: int
    last_days: int


_POME = Keeping(122, 152)  # 4 to 5 months
_PLUM = Keeping(91, 122)  # 3 to 4
_EARLY_STONE = Keeping(91, 107)  # 3 to 3.5
_TENDER_STONE = Keeping(61, 91)  # 2 to 3

KEEPING: dict[str, Keeping] = {
    "apple": _POME,
    "pear": _POME,
    "quince": _POME,
    "medlar": _POME,
    "plum": _PLUM,
    "japanese plum": _EARLY_STONE,
    "sweet cherry": _EARLY_STONE,
    "sour cherry": _EARLY_STONE,
    "peach": _TENDER_STONE,
    "apricot": _TENDER_STONE,
}


WoodState = Literal["not cut", "fresh", "fading", "faded"]


class WoodAge(Struct, frozen=True):
    """A bundle's age. `state` is not cut, fresh, fading or faded; `days_left` until the last on which it counts."""

    bundle: str
    state: WoodState
    age_days: int | None = None
    days_left: int | None = None


class WoodCheck(Struct, frozen=True):
    """One look at a stored bundle, and what was found."""

    day: date
    found: str
    note: str = ""


def wood_age(bundle: Wood, today: date) -> WoodAge:
    """How old the bundle is and how long it keeps; a bundle without a day of cutting, or a later one, is not cut."""
    if bundle.cut_on is None or bundle.cut_on > today:
        return WoodAge(bundle.id, "not cut")
    keeping = KEEPING[bundle.species]
    age = (today - bundle.cut_on).days
    state: WoodState = "fresh" if age <= keeping.good_days else "fading" if age <= keeping.last_days else "faded"
    return WoodAge(bundle.id, state, age, keeping.last_days - age)


def usable(bundle: Wood, today: date) -> bool:
    """Whether the bundle is cut, not used up, and within its keeping time."""
    return bundle.sticks > 0 and wood_age(bundle, today).state in ("fresh", "fading")


def checks_made(bundle: str, standing: Iterable[Tick]) -> tuple[WoodCheck, ...]:
    """The looks at a bundle, oldest first, from the ticks that stand on the job of checking stored wood."""
    looks = [
        WoodCheck(tick.day, tick.outcome, tick.note)
        for tick in standing
        if tick.unit == bundle and template_of(tick) == CHECK_WOOD
    ]
    return tuple(sorted(looks, key=lambda look: look.day))


def check_due(bundle: Wood, checks: tuple[WoodCheck, ...], every_days: int, today: date) -> date | None:
    """The day of the next look, `every_days` (the template's own) after the last or the cutting; None if none is due.

    Wood that is not cut, used up or faded needs no look.
    """
    if not usable(bundle, today) or bundle.cut_on is None:
        return None
    return max([bundle.cut_on, *(check.day for check in checks)]) + timedelta(days=every_days)

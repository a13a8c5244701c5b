"""How old trees and grafts are, in seasons since the one in which they were planted or set."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.fruit_year import first_growing_year
from tendwork.orchard.methods import BENCH, BUD_METHODS, method_named
from tendwork.orchard.records import Graft, Tree
from tendwork.orchard.rough_dates import RoughDate, middle_day

_MONTHS_OF_SLEEPING_BUDS = range(7, 11)


def set_in(graft: Graft, south: bool) -> int | None:
    """The season in which a graft was set, by its year; None where that is not noted."""
    return None if graft.set_on is None else season_of(middle_day(graft.set_on), south).name


def grew_in(graft: Graft, south: bool) -> int | None:
    """The season in which a graft first grew, or is to: a bud that sleeps grows in the one after it was set."""
    began = set_in(graft, south)
    if began is None or graft.set_on is None or method_named(graft.method) not in BUD_METHODS:
        return began
    year_alone = isinstance(graft.set_on, RoughDate) and graft.set_on.month is None
    return began + bud_sleeps(middle_day(graft.set_on), year_alone, south)


def bud_sleeps(set_on: date, year_alone: bool, south: bool) -> bool:
    """Whether a bud that was set on a day sleeps until the season after; one with a year alone counts as a summer bud.

    June buds are headed back in weeks and grow on (Gulf Texas: late May to early June; United States South: mid to
    late June); buds of July and later sleep (Manitoba, England).
    """
    northern_month = (set_on.month + 5) % 12 + 1 if south else set_on.month
    return year_alone or northern_month in _MONTHS_OF_SLEEPING_BUDS


def planted_in(tree: Tree, grafts: Iterable[Graft], south: bool) -> int | None:
    """The year in which a tree began to grow where it stands: as noted, else that of the bench graft that it is."""
    if tree.planted is not None:
        return tree.planted
    benched = (graft for graft in grafts if method_named(graft.method) == BENCH)
    return min((year for graft in benched if (year := set_in(graft, south)) is not None), default=None)


def is_within(years: tuple[int, int] | None, age: int) -> bool:
    """Whether an age is between two, both included; without them it is not."""
    return years is not None and years[0] <= age <= years[1]


def is_of_age(years: tuple[int, int] | None, began_in: int | None, season: Season) -> bool:
    """Whether what began in a season is of an age that is asked for; of what is not known only where none is."""
    return years is None or (began_in is not None and is_within(years, season.name - began_in))


def grows_by_itself(graft: Graft, season: Season) -> bool:
    """Whether a graft's own buds decide: from the year after the one in which it first grew. Until then its tree's do.

    What is set has slept in the cold, or is a bud that the stock must wake, so that the sap and the bark of the
    stock say when it starts.
    """
    if graft.state not in ("took", "bearing"):
        return False
    return graft.set_on is None or first_growing_year(middle_day(graft.set_on), season.south) < season.name

"""The fruit year of today beside the next one and the two before: what this season is like against others.

A fruit year begins in April, in the south in October: in winter, what is in store is of the season that is over.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from statistics import median

from msgspec import Struct

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.fruit_year import fruit_year
from tendwork.planning.ripening_dates import RipeDates

_SEASONS_BACK = 2


class FruitSeason(Struct, frozen=True):
    """The dates of one season, named by the year of its spring."""

    season: Season
    dates: tuple[RipeDates, ...] = ()

    @property
    def year(self) -> int:
        return self.season.name

    def of(self, row: RipeDates) -> RipeDates | None:
        """The dates of the same variety in this season."""
        same = (one for one in self.dates if (one.species, one.variety) == (row.species, row.variety))
        return next(same, None)

    def days_later_than(self, other: FruitSeason, row: RipeDates) -> int | None:
        """By how many days of the year a variety of this season is later than in another one; None where not known."""
        before = other.of(row)
        if before is None:
            return None
        return (row.pick - self.season.on(4, 1)).days - (before.pick - other.season.on(4, 1)).days


class FruitYears(Struct, frozen=True):
    """`this` is the fruit year of today; `earlier` those before it, the last one first, with what is known of them."""

    this: FruitSeason
    following: FruitSeason
    earlier: tuple[FruitSeason, ...] = ()

    def to_pick(self, today: date) -> FruitSeason:
        """What is still to be picked this year; once that is nothing, next year's."""
        left = tuple(row for row in self.this.dates if row.pick_high >= today and not was_tasted(row))
        return FruitSeason(self.this.season, left) if left else self.following

    def of_season(self, today: date) -> FruitSeason:
        """The dates of today's season, which begins before the fruit of the last one is eaten."""
        return self.this if season_of(today, self.this.season.south) == self.this.season else self.following

    def both(self) -> tuple[RipeDates, ...]:
        """This year's and the next one's."""
        return self.this.dates + self.following.dates


class SpeciesMoved(Struct, frozen=True):
    """By how many days most of a species are later than usual, and than in earlier seasons; negative is earlier."""

    species: str
    usual_days: int
    earlier_days: tuple[tuple[int, int], ...]


def fruit_years(dates_of: Callable[[Season], Sequence[RipeDates]], today: date, south: bool) -> FruitYears:
    """The years around today's, by the dates that are known of a season."""
    now = Season(fruit_year(today, south), south)
    before = [now]
    for _ in range(_SEASONS_BACK):
        before.append(before[-1].previous)
    earlier = (FruitSeason(season, _known(dates_of(season))) for season in before[1:])
    return FruitYears(
        FruitSeason(now, tuple(dates_of(now))),
        FruitSeason(now.following, tuple(dates_of(now.following))),
        tuple(season for season in earlier if season.dates),
    )


def no_fruit_years(today: date, south: bool) -> FruitYears:
    """The same where no date is known."""
    return fruit_years(lambda _: (), today, south)


def was_tasted(row: RipeDates) -> bool:
    """Whether its fruit was tasted ripe in that season, so that its day is a fact."""
    return row.pick_low == row.pick_high


def good_until(row: RipeDates) -> date | None:
    """The last good day; None also where all that is said ends before picked fruit is fit to eat."""
    return None if row.until is None or row.until < row.eat else row.until


def moved_by_species(years: FruitYears, shown: Iterable[RipeDates]) -> tuple[SpeciesMoved, ...]:
    """How the varieties shown ripen this year against others, by species, the earliest species first."""
    by_species: dict[str, list[RipeDates]] = {}
    for row in shown:
        by_species.setdefault(row.species, []).append(row)
    found = []
    for species, rows in by_species.items():
        against = []
        for season in years.earlier:
            later = [days for row in rows if (days := years.this.days_later_than(season, row)) is not None]
            if later:
                against.append((season.year, round(median(later))))
        usual = round(median((row.pick - row.usual).days for row in rows))
        found.append(SpeciesMoved(species, usual, tuple(against)))
    return tuple(found)


def _known(rows: Sequence[RipeDates]) -> tuple[RipeDates, ...]:
    """Those tasted, and those of species that departed from the usual: else nothing of that season is known."""
    departed = {row.species for row in rows if row.pick != row.usual}
    return tuple(row for row in rows if was_tasted(row) or row.species in departed)

"""Which fruit year is shown, what is still to be picked in it, and how it is against others."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from msgspec.structs import replace

from tendwork.almanac.seasons import Season
from tendwork.planning.fruit_years import (
    FruitYears,
    SpeciesMoved,
    fruit_years,
    good_until,
    moved_by_species,
    no_fruit_years,
)
from tendwork.planning.ripening_dates import RipeDates


def dates(variety: str, pick: date, usual: date, species: str = "apple", tasted: bool = False) -> RipeDates:
    off = timedelta(days=0 if tasted else 6)
    low, high = pick - off, pick + off
    return RipeDates(
        species, variety, low - timedelta(days=7), low, pick, high, None, ("why",), usual, pick + off, pick
    )


THIS = (
    dates("Red", date(2026, 9, 7), date(2026, 9, 4), tasted=True),
    dates("Blue", date(2026, 9, 20), date(2026, 9, 18)),
    dates("Dim", date(2026, 10, 1), date(2026, 9, 30)),
    dates("Wall", date(2026, 9, 1), date(2026, 9, 3), "pear"),
)
SEASONS: Mapping[int, tuple[RipeDates, ...]] = {
    2027: (dates("Red", date(2027, 9, 4), date(2027, 9, 4)),),
    2026: THIS,
    2025: (
        dates("Red", date(2025, 9, 11), date(2025, 9, 4)),
        dates("Blue", date(2025, 9, 21), date(2025, 9, 18)),
        dates("Wall", date(2025, 9, 3), date(2025, 9, 3), "pear"),
    ),
    2024: (dates("Red", date(2024, 9, 4), date(2024, 9, 4)), dates("Dim", date(2024, 9, 28), date(2024, 9, 28))),
}


def years(today: date) -> FruitYears:
    return fruit_years(lambda season: SEASONS.get(season.name, ()), today, south=False)


def test_the_fruit_year_of_winter_is_that_of_the_season_that_is_over() -> None:
    # The season of the work turns on 1 November; the fruit in store is of the spring before.
    found = years(date(2026, 11, 30))
    assert (found.this.year, found.following.year) == (2026, 2027)
    assert found.of_season(date(2026, 11, 30)).year == 2027
    assert years(date(2026, 10, 31)).of_season(date(2026, 10, 31)).year == 2026
    assert no_fruit_years(date(2027, 2, 1), south=True).this.season == Season(2026, True)


def test_what_is_still_to_be_picked_and_then_next_year_s() -> None:
    left = years(date(2026, 9, 10)).to_pick(date(2026, 9, 10))
    # Red was tasted ripe, and Wall is over by 7 September at the latest.
    assert (left.year, [row.variety for row in left.dates]) == (2026, ["Blue", "Dim"])
    assert years(date(2026, 10, 8)).to_pick(date(2026, 10, 8)).year == 2027


def test_a_species_is_moved_as_most_of_its_varieties_are() -> None:
    # Apples are 3, 2 and 1 days later than usual: 2. In 2025 Red came 4 and Blue 1 day later in the year, so this year
    # is -4 and -1, of which the middle is -2.5, two whole days; the pear had its usual day then, of which nothing says
    # that it was known, and neither has anything of 2024.
    found = years(date(2026, 9, 10))
    assert moved_by_species(found, found.this.dates) == (
        SpeciesMoved("apple", 2, ((2025, -2),)),
        SpeciesMoved("pear", -2, ()),
    )


def test_a_leap_year_moves_nothing() -> None:
    leap = {year: (dates("Red", date(year, 9, 4), date(year, 9, 1)),) for year in (2024, 2025)}
    found = fruit_years(lambda season: leap.get(season.name, ()), date(2025, 9, 1), south=False)
    assert moved_by_species(found, found.this.dates) == (SpeciesMoved("apple", 3, ((2024, 0),)),)


def test_fruit_is_good_until_the_day_said_unless_it_is_not_fit_to_eat_by_then() -> None:
    row = replace(THIS[1], until=date(2026, 11, 1), eat=date(2026, 11, 2))
    assert good_until(row) is None
    assert good_until(replace(row, eat=date(2026, 11, 1))) == date(2026, 11, 1)
    assert good_until(replace(row, until=None)) is None

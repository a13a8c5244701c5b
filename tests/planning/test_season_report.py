"""Which season is reported, and that the parts of a report are put together from the right days and species."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from season_orchard import RECORDS

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.place import Place
from tendwork.almanac.results import SeenStage
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import MEASURED, DailySeries
from tendwork.orchard.records import Records, Sighting, Tree
from tendwork.planning.season_learned import SeasonLearned
from tendwork.planning.season_report import SeasonReport, reported_season, season_report

NOTHING = SeasonLearned(2027, 0, (), 0, ())
TODAY = date(2026, 12, 1)


@pytest.mark.parametrize(
    ("today", "south", "season"),
    [
        (date(2026, 11, 1), False, 2026),  # a new season has begun, and the last crop is the one to read about
        (date(2027, 3, 31), False, 2026),
        (date(2027, 4, 1), False, 2027),
        (date(2027, 10, 31), False, 2027),
        (date(2027, 5, 10), True, 2026),  # the crop of February to April 2027 is of the spring of 2026
        (date(2027, 9, 1), True, 2026),
        (date(2027, 10, 20), True, 2027),
    ],
)
def test_it_is_last_year_s_crop_until_spring(today: date, south: bool, season: int) -> None:
    assert reported_season(today, south) == Season(season, south)


def report(records: Records, place: Place, series: DailySeries | None, season: Season, today: date) -> SeasonReport:
    seen = [SeenStage(one.day, one.species, one.stage) for one in records.sightings]
    return season_report(records, season, today, (), (), Almanac(place, series, seen, today), NOTHING)


def flat_years(first: date, last: date) -> DailySeries:
    """Days of 2 to 14 °C, all measured."""
    days = (last - first).days + 1
    return DailySeries(first, (2.0,) * days, (14.0,) * days, MEASURED * days)


def test_bloom_that_was_seen_in_other_years_is_compared_with_though_no_temperatures_are_on_file() -> None:
    records = Records(
        (Tree("t1", "Any", "apple"),),
        sightings=tuple(Sighting(date(year, 5, year - 2020), "apple", "full bloom") for year in (2023, 2024, 2026)),
    )
    found = report(records, Place(latitude=52.0), None, Season(2026), TODAY)
    (bloom,) = found.bloom
    assert [(one.season, one.day, one.seen) for one in bloom.others] == [
        (2023, date(2023, 5, 3), True),
        (2024, date(2024, 5, 4), True),
    ]
    assert bloom.own is not None
    assert (bloom.own.day, bloom.own.seen) == (date(2026, 5, 6), True)
    assert bloom.days_late == 2  # 6 May, and the middle of the 3rd and the 4th, rounded to the even day
    assert found.others == ()


@pytest.mark.parametrize(("latitude", "south", "start"), [(52.0, False, (2023, 11, 1)), (-42.0, True, (2023, 5, 1))])
def test_weather_and_bloom_are_those_of_whole_seasons_in_north_and_south(
    latitude: float, south: bool, start: tuple[int, int, int]
) -> None:
    records = Records((Tree("t1", "Any", "apple"), Tree("t2", "Other", "plum")))
    series = flat_years(date(*start), date(2027, 4, 30))
    season = Season(2025, south)
    found = report(records, Place(latitude=latitude), series, season, date(2027, 5, 1))
    assert found.is_over
    assert [year.season for year in found.others] == ([2023, 2024, 2026] if south else [2024, 2026])
    assert [one.species for one in found.bloom] == ["apple", "plum"]
    for bloom in found.bloom:
        assert bloom.own is not None
        assert bloom.own.day in season
        assert bloom.days_late == 0 or abs(bloom.days_late or 0) <= 1  # every year was alike
    assert (found.weather.missing, found.weather.last_frost, found.weather.hot_days) == (0, None, 0)


def test_a_season_that_is_not_over_holds_nothing_of_days_to_come() -> None:
    today = date(2026, 2, 1)
    found = report(RECORDS, Place(latitude=52.0), flat_years(date(2024, 11, 1), today), Season(2026), today)
    assert not found.is_over
    assert found.weather.days == (today - date(2025, 11, 1)).days + 1
    assert all(one.own is None for one in found.bloom)
    assert found.crops.tastings == 0
    assert found.weather.heat[0].to > today + timedelta(days=100)
    assert found.weather.heat[0].degree_days_c is None

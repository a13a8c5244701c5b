"""What a usual date and old springs are taken to say."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import DailySeries, Normals, SourceDay, build_series

NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
MARCH, JULY = date(2024, 3, 10), date(2024, 7, 10)
SEASON = Season(2024)


def bloom(almanac: Almanac, season: Season = SEASON) -> StageDate:
    return almanac.stage("apple", "full bloom", season)


def place(normals: Normals | None = None, usual: date | None = None) -> Place:
    return Place(
        latitude=49.0,
        normals_min_c=normals and normals.minimum_c,
        normals_max_c=normals and normals.maximum_c,
        usual_dates=() if usual is None else (UsualDate("apple", "full bloom", usual.month, usual.day),),
    )


def warming(first: date, since: date, by_c: float) -> DailySeries:
    """Invented days around the normals, warmer by so much since a day."""
    rows = [
        SourceDay(day, low + by_c * (day >= since), high + by_c * (day >= since), False)
        for day, low, high in invented_days(NORMALS, 3, first, JULY)
    ]
    series, _ = build_series(rows, NORMALS)
    assert series is not None
    return series


@pytest.mark.parametrize("days_off", [-15, -8, 8, 15])
def test_where_only_normals_are_known_the_usual_date_leads(days_off: int) -> None:
    foreseen = bloom(Almanac(place(NORMALS), None, (), MARCH)).date
    assert foreseen is not None
    told = foreseen + timedelta(days=days_off)
    taught = bloom(Almanac(place(NORMALS, told), None, (), MARCH)).date
    assert taught is not None
    assert abs((taught - told).days) <= abs(days_off) / 4 + 1


@pytest.mark.parametrize("told", [date(2024, 4, 10), date(2024, 5, 25)])
def test_where_not_even_normals_are_known_the_usual_date_is_nearly_all_there_is(told: date) -> None:
    taught = bloom(Almanac(place(usual=told), None, (), MARCH)).date
    assert taught is not None
    assert abs((taught - told).days) <= 3


def test_a_usual_date_speaks_of_the_last_ten_seasons() -> None:
    """Were it read in the cold seasons before them as well, it would foretell bloom before the date that was told."""
    series = warming(date(1990, 1, 1), date(2013, 9, 1), 3.0)
    last_ten = [bloom(Almanac(place(), series, (), JULY), Season(year)).date for year in range(2014, 2024)]
    of_year = sorted(day.timetuple().tm_yday for day in last_ten if day is not None)
    told = date(2023, 1, 1) + timedelta(days=of_year[5] - 1)
    untaught = bloom(Almanac(place(), series, (), JULY))
    taught = bloom(Almanac(place(usual=told), series, (), JULY))
    assert untaught.date is not None
    assert taught.date is not None
    assert abs((taught.date - untaught.date).days) <= 1


def test_an_old_spring_teaches_less_than_the_last() -> None:
    series = warming(date(1999, 1, 1), JULY, 0.0)
    untaught = {year: bloom(Almanac(place(), series, (), JULY), Season(year)).date for year in (2003, 2023, 2024)}

    def moved_by(year: int) -> int:
        was = untaught[year]
        assert was is not None
        late = SeenStage(was + timedelta(days=12), "apple", "full bloom")
        taught, plain = bloom(Almanac(place(), series, (late,), JULY)).date, untaught[2024]
        assert taught is not None
        assert plain is not None
        return (taught - plain).days

    assert 0 < moved_by(2003) < moved_by(2023)

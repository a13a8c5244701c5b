"""Temperatures in words: units, ranges, gaps, and to whom they are owed. All weather is invented."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date, timedelta

import pytest

from tendwork.almanac.courses import ComingDay, Course, Courses
from tendwork.almanac.results import CallusWeather, FrostNight
from tendwork.almanac.temperature import DailySeries
from tendwork.view.temperatures import (
    coldest_frost_sentence,
    course_heading,
    gaps,
    temperatures_shape,
    temperatures_text,
)

TODAY = date(2026, 3, 12)
DAY = timedelta(days=1)
FROST = FrostNight(TODAY + DAY, "apple", "pink", -4.0, -2.2, -4.4, "a table")
COURSES = Courses(
    Course(2026, TODAY - 2 * DAY, (10.0, 20.0, 30.0)),
    (Course(2024, TODAY - 732 * DAY, (5.0, 10.0, 50.0)), Course(2025, TODAY - 367 * DAY, (1.0, 2.0, 3.0))),
    (),
)


@dataclass(frozen=True)
class File:
    name: str
    days: int = 3
    first: date | None = TODAY
    last: date | None = TODAY + 2 * DAY
    is_forecast: bool = False
    age_days: int | None = None
    attribution: tuple[str, ...] = ()
    licence: tuple[str, ...] = ()


@dataclass(frozen=True)
class Held:
    today: date = TODAY
    series: DailySeries | None = field(
        default_factory=lambda: DailySeries(TODAY - 5 * DAY, (-1.0,) * 8, (9.0,) * 8, "miimmmff")
    )
    files: tuple[File, ...] = ()
    words: tuple[str, ...] = ()
    colder_by_c: float = 0.0
    coming: tuple[ComingDay, ...] = (
        ComingDay(TODAY + DAY, (1.0, 1.0, 1.0), (9.0, 9.0, 9.0), True),
        ComingDay(TODAY + 2 * DAY, (2.0, -3.0, 6.0), (10.0, 5.0, 14.0), False),
    )
    heat: Courses = COURSES
    chill: Courses = COURSES
    frosts: int = 2
    last_frost: date | None = TODAY - DAY
    frost_nights: tuple[FrostNight, ...] = (FROST,)
    frost_unknown: tuple[str, ...] = ()
    callus: tuple[CallusWeather, ...] = (CallusWeather("apple", 9.4, 14, 7.0, 21.0, "a list"),)


def text(units: str = "metric", width: int = 80, **changes: object) -> str:
    return temperatures_text(replace(Held(), **changes), units, width)  # type: ignore[arg-type]


def test_a_day_to_come_is_a_forecast_or_a_usual_day_with_its_range() -> None:
    lines = text().splitlines()
    assert "  Fri 13 Mar    1.0 °C   9.0 °C  forecast" in lines
    assert "  Sat 14 Mar    2.0 °C  10.0 °C  usual; -3 to 6, 5 to 14" in lines


def test_a_species_whose_kill_temperatures_are_unknown_is_named() -> None:
    said = " ".join(text(frost_unknown=("quince", "medlar")).split())
    assert "Of quince and medlar no such temperature is published" in said


def test_callus_weather_is_told_by_species_with_its_range_and_its_source() -> None:
    said = " ".join(text().split())
    assert "- apple: about 9, at 7 to 21 °C" in said
    assert "growers' reports, no handbook has any: a list." in said


def test_every_temperature_is_in_fahrenheit_where_the_site_says_so() -> None:
    said = text("us", colder_by_c=1.0)
    assert "°C" not in said
    assert "usual; 27 to 43, 41 to 57" in said
    assert "54 degree-days (°F) above 41 °F" in said
    assert "1.8 °F colder" in said


def test_the_season_stands_beside_the_others_with_its_rank() -> None:
    said = " ".join(text().split())
    assert "30 degree-days (°C) above 5 °C from Tue 10 Mar 2026 to Thu 12 Mar 2026" in said
    assert "rank 2 of 3 seasons, 1 being the most; the others 3 to 50" in said


def test_each_gap_is_named_from_its_first_day_to_its_last() -> None:
    assert gaps(DailySeries(TODAY, (0.0,) * 6, (1.0,) * 6, "minmif")) == (
        (TODAY + DAY, TODAY + 2 * DAY),
        (TODAY + 4 * DAY, TODAY + 4 * DAY),
    )


def test_a_few_gaps_are_all_named_and_of_many_the_last_five() -> None:
    def said(marks: str) -> str:
        series = DailySeries(date(2026, 1, 1), (-1.0,) * len(marks), (9.0,) * len(marks), marks)
        return " ".join(text(series=series, width=200).split())

    assert "1 gap: 2026-01-02 to 2026-01-03." in said("miimmm")
    many = ", ".join(f"2026-01-{day:02d}" for day in (4, 6, 8, 10, 12))
    assert f"6 gaps, the last: {many}." in said("mi" * 6 + "m")


def test_a_file_says_how_old_it_is_to_whom_it_is_owed_and_under_which_licence() -> None:
    file = File("zeta.csv", age_days=3, attribution=("Data of Zeta",), licence=("free",))
    assert "zeta.csv: 3 days, Thu 12 Mar 2026 to Sat 14 Mar 2026; as of 3 days ago\n  Data of Zeta. free." in text(
        files=(file,)
    )


def test_a_frost_names_the_night_the_buds_and_the_highest_temperature_that_hurts_one_of_them() -> None:
    pear = FrostNight(TODAY + DAY, "pear", "white bud", -4.0, -3.9, -7.2, "a table")
    assert (
        coldest_frost_sentence((pear, FROST), TODAY, "metric")
        == "Fri 13 Mar, -4.0 °C is forecast: pear at white bud, apple at pink can be hurt from -2.2 °C down."
    )


def test_names_from_files_are_shown_inert() -> None:
    assert "\x1b" not in text(files=(File("a\x1b[2J.csv"),), words=("b\x1b[2J",))


@pytest.mark.parametrize("width", [40, 60, 80, 200])
def test_no_line_is_wider_than_the_page(width: int) -> None:
    file = File("zeta.csv", age_days=3, attribution=("Data of Zeta " * 9,), licence=("free " * 30,))
    said = text(width=width, files=(file,), words=("word " * 40,), colder_by_c=1.0)
    assert max(map(len, said.splitlines())) <= max(width, 56)  # the table of days to come takes 56 columns


def test_the_json_is_in_celsius_and_says_how_each_day_is_known() -> None:
    shape = temperatures_shape(Held())
    assert [day["how"] for day in shape["days"]][:4] == ["measured", "interpolated", "interpolated", "measured"]
    assert shape["heat"]["others"] == [{"season": 2024, "total": 50.0}, {"season": 2025, "total": 3.0}]
    assert shape["gaps"] == [{"from": "2026-03-08", "to": "2026-03-09"}]
    assert shape["frost"]["coming"][0]["night"] == "2026-03-13"
    assert (shape["callus"][0]["species"], shape["callus"][0]["warm_days"]) == ("apple", 9.4)


def test_without_a_forecast_frost_to_come_is_unknown_and_not_none() -> None:
    usual = (ComingDay(TODAY + DAY, (1.0, 0.0, 2.0), (9.0, 8.0, 9.5), False),)
    said = " ".join(text(coming=usual, frost_nights=()).split())
    assert "No forecast is on file, so it is unknown whether a coming night hurts the buds." in said
    assert "No forecast night reaches" not in said
    assert "the days are taken as they usually are" in said
    assert "No forecast night reaches" in " ".join(text(frost_nights=()).split())
    shape = temperatures_shape(replace(Held(), coming=usual, frost_nights=()))
    assert (shape["frost"]["forecast_to"], shape["frost"]["coming"]) == (None, [])
    assert temperatures_shape(Held())["frost"]["forecast_to"] == "2026-03-13"


def test_without_temperatures_frosts_heat_and_chill_so_far_are_unknown_and_not_none() -> None:
    nothing = Courses(Course(2026, date(2026, 1, 1), ()), (), ())
    bare = {"series": None, "heat": nothing, "chill": nothing, "frosts": 0, "last_frost": None}
    said = " ".join(text(**bare).split())
    assert "Frosts of this season are unknown: no temperatures are on file." in said
    assert "0 days at" not in said
    assert said.count("not known, as no day since Thu 1 Jan 2026 is on file.") == 2
    assert course_heading("heat", nothing, "metric").startswith("Heat: no day on file since")
    shape = temperatures_shape(replace(Held(), **bare))  # type: ignore[arg-type]
    assert (shape["frost"]["nights_known"], shape["heat"]["known"], shape["chill"]["known"]) == (False, False, False)

"""Pictures of heat, chill and days: what they show is what the sums say, and they fit their page."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Struct

from tendwork.almanac.courses import ComingDay, Course, Courses
from tendwork.almanac.results import FrostNight, SpeciesStages, StageDate
from tendwork.almanac.temperature import DailySeries
from tendwork.view.course_chart import (
    SCALE_COLUMNS,
    course_axis,
    course_legend,
    course_lines,
    foot_lines,
    pictures_text,
)
from tendwork.view.day_bars import day_legend, day_lines
from tendwork.view.temperatures import course_heading
from tendwork.view.text import display_width

FIRST = date(2026, 1, 1)
TODAY = date(2026, 2, 10)
BUDS = SpeciesStages("apple", (StageDate("green tip", 53, "seen", date(2026, 1, 20), None, None),))


class Held(Struct, frozen=True):
    """Invented temperatures: 40 days held, the last at -1 °C, and two to come."""

    today: date = TODAY
    series: DailySeries | None = DailySeries(FIRST, (2.0,) * 39 + (-1.0,), (9.0,) * 40, "m" * 40)
    files: tuple = ()
    words: tuple[str, ...] = ()
    colder_by_c: float = 0.0
    coming: tuple[ComingDay, ...] = (
        ComingDay(date(2026, 2, 11), (-3.0, -3.0, -3.0), (4.0, 4.0, 4.0), True),
        ComingDay(date(2026, 2, 12), (1.0, -4.0, 5.0), (7.0, 3.0, 12.0), False),
    )
    heat: Courses = Courses(Course(2026, FIRST, (0.0,)), (), ())
    chill: Courses = Courses(Course(2026, FIRST, (0.0,)), (), ())
    frosts: int = 1
    last_frost: date | None = None
    frost_nights: tuple[FrostNight, ...] = ()


def courses(so_far: int = 40, days: int = 100, others: tuple[float, ...] = (0.5, 1.5)) -> Courses:
    """One degree-day a day this season, as many as `others` say in other seasons, and 0.8 to 1.2 to come."""
    this = Course(2026, FIRST, tuple(float(day) for day in range(1, so_far + 1)))
    then = tuple(
        Course(2020 + at, FIRST, tuple(daily * day for day in range(1, days + 1))) for at, daily in enumerate(others)
    )
    ahead = tuple(
        (float(day), so_far + 0.8 * (day - so_far), so_far + 1.2 * (day - so_far))
        for day in range(so_far + 1, days + 1)
    )
    return Courses(this, then, ahead)


def picture(held: Courses, columns: int = 50, rows: int = 10, buds: SpeciesStages | None = None) -> list[str]:
    axis = course_axis(held, columns, near=False)
    return [line.text[SCALE_COLUMNS:] for line in course_lines(held, 1.0, axis, rows, buds)]


def role_at(held: Courses, role: str, columns: int = 50, rows: int = 10) -> set[tuple[int, int]]:
    """(column, row) of each place of a role."""
    axis, found = course_axis(held, columns, near=False), set()
    for row, line in enumerate(course_lines(held, 1.0, axis, rows, None)):
        at = 0
        for run in line.runs:
            found |= {(column, row) for column in range(at, at + len(run.text)) if run.role == role}
            at += len(run.text)
    return found


@given(st.integers(0, 100), st.integers(10, 180), st.integers(3, 50))
def test_a_picture_is_as_wide_and_high_as_asked(so_far: int, columns: int, rows: int) -> None:
    lines = picture(courses(so_far), columns, rows)
    assert len(lines) == rows
    assert {display_width(line) for line in lines} == {columns}


@given(st.integers(1, 100), st.integers(10, 180), st.integers(3, 50))
def test_this_season_never_falls(so_far: int, columns: int, rows: int) -> None:
    places = sorted(role_at(courses(so_far), "this", columns, rows))
    lowest = {column: max(row for at, row in places if at == column) for column, _ in places}
    heights = [lowest[column] for column in sorted(lowest)]
    assert heights == sorted(heights, reverse=True)


def test_every_column_has_one_line_of_this_season_or_of_what_is_to_come() -> None:
    held = courses()
    columns = {column for role in ("this", "ahead") for column, _ in role_at(held, role)}
    assert columns == set(range(50))


def test_this_season_ends_where_its_days_end() -> None:
    assert max(column for column, _ in role_at(courses(40, 100), "this", 50)) == 19


def test_what_is_to_come_lies_within_its_range() -> None:
    held = courses()
    for column, row in role_at(held, "ahead"):
        others = {at for where, at in role_at(held, "range") if where == column}
        assert not others or min(others) - 1 <= row <= max(others) + 1


def test_other_seasons_shade_from_the_least_to_the_most() -> None:
    shaded = {row for column, row in role_at(courses(100, 100), "others") if column == 49}
    assert (min(shaded), max(shaded)) == (0, 6)  # 150 and 50 of 150, on ten rows


def test_the_scale_tells_its_top_and_middle() -> None:
    held = courses(100, 100)
    lines = course_lines(held, 1.0, course_axis(held, 50, near=False), 10, None)
    assert [line.before.strip() for line in lines if line.before.strip()] == ["150", "75", "0"]


def test_degree_days_of_fahrenheit_change_the_scale_and_not_the_picture() -> None:
    held = courses(100, 100)
    axis = course_axis(held, 50, near=False)
    celsius, fahrenheit = (course_lines(held, factor, axis, 10, None) for factor in (1.0, 2.0))
    assert [line.runs for line in celsius] == [line.runs for line in fahrenheit]
    assert fahrenheit[0].before.strip() == "300"


def test_near_ends_six_weeks_after_the_days_held() -> None:
    assert course_axis(courses(60, 300), 50, near=True).last == FIRST + timedelta(days=60 + 42 - 1)


def test_near_is_never_longer_than_the_course() -> None:
    assert course_axis(courses(60, 80), 50, near=True) == course_axis(courses(60, 80), 50, near=False)


def test_a_seen_bud_stands_on_the_twig_at_its_day() -> None:
    lines = picture(courses(), buds=BUDS)
    (row,) = [at for at, line in enumerate(lines) if "●" in line]
    assert lines[row].index("●") == 9
    assert row == 8  # 20 of 150, on ten rows


def test_a_season_of_which_nothing_is_held_has_a_picture_of_what_is_to_come() -> None:
    assert any("╌" in line for line in picture(courses(0)))


def test_a_season_without_any_warmth_yet_has_a_flat_picture() -> None:
    cold = Courses(Course(2026, FIRST, (0.0, 0.0)), (), ())
    assert role_at(cold, "this")
    assert pictures_text(Held(heat=cold, chill=cold), None, "metric", 60, near=True)


def test_a_course_without_other_seasons_has_no_shade() -> None:
    assert role_at(courses(others=()), "others") == set()


def test_a_night_of_frost_stands_below_its_day() -> None:
    axis = course_axis(courses(40, 40), 40, near=False)
    frost = foot_lines(Held(), axis, None)[1].text[SCALE_COLUMNS:]
    assert frost == " " * 39 + "▁"


def test_a_colder_orchard_has_more_nights_of_frost() -> None:
    axis = course_axis(courses(40, 40), 40, near=False)
    frost = foot_lines(Held(colder_by_c=2.0), axis, None)[1].text[SCALE_COLUMNS:]
    assert frost == "▁" * 40


def test_pictures_and_feet_can_be_ascii_alone() -> None:
    held = courses()
    axis = course_axis(held, 50, near=False)
    lines = (*course_lines(held, 1.0, axis, 10, BUDS, True), *foot_lines(Held(), axis, BUDS, True))
    assert all(line.text.isascii() for line in lines)


@pytest.mark.parametrize("columns", [60, 80, 120])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_both_pictures_in_text_fit_their_page(columns: int, units: str) -> None:
    held = Held(heat=courses(), chill=courses(30, 30))
    text = pictures_text(held, BUDS, units, columns, near=True)
    assert max(map(display_width, text.splitlines())) <= columns
    assert "Chill: " in text


def test_a_heading_says_sum_start_and_rank() -> None:
    said = course_heading("heat", courses(), "metric")
    assert said == "Heat 40 degree-days above 5 °C since 1 Jan; others 20 to 60, rank 2 of 3"


def test_a_heading_fits_one_line_of_a_narrow_screen_in_either_unit() -> None:
    held = courses(100, 100, tuple(20 + at / 10 for at in range(40)))
    for units in ("metric", "us"):
        assert len(course_heading("heat", held, units)) <= 80


def test_days_are_told_with_minimum_maximum_and_how_they_are_known() -> None:
    lines = [" ".join(line.words.split()) for line in day_lines(Held(), "metric", 80)]
    assert lines[-3:] == [
        "Mon 9 Feb -1.0 °C 9.0 °C measured",
        "Wed 11 Feb -3.0 °C 4.0 °C forecast",
        "Thu 12 Feb 1.0 °C 7.0 °C usual",
    ]


def test_days_are_told_in_fahrenheit_where_that_is_asked() -> None:
    assert "27 °F" in day_lines(Held(), "us", 80)[-2].words


def test_the_last_seven_days_held_are_shown() -> None:
    assert len(day_lines(Held(), "metric", 80)) == 7 + 2


def test_a_day_that_freezes_is_marked_as_one() -> None:
    assert [line.is_frost for line in day_lines(Held(), "metric", 80)] == [*[False] * 6, True, True, False]


def test_a_bar_of_a_day_above_freezing_stands_right_of_the_mark() -> None:
    bar = day_lines(Held(), "metric", 80)[0].text
    assert bar.index("│") < bar.index("━")


def test_the_range_of_a_day_reaches_beyond_its_bar_on_both_sides() -> None:
    roles = [run.role for run in day_lines(Held(), "metric", 80)[-1].runs if run.role]
    assert roles == ["range", "usual", "range"]


@pytest.mark.parametrize("columns", [40, 56, 80, 120])
def test_days_fit_their_page(columns: int) -> None:
    assert max(display_width(line.text) for line in day_lines(Held(), "metric", columns)) <= max(columns, 43)


def test_without_temperatures_there_are_only_days_to_come() -> None:
    assert len(day_lines(Held(series=None), "metric", 80)) == 2


def test_days_in_ascii_are_ascii_but_for_the_degree_sign() -> None:
    assert all(line.text.replace("°", "").isascii() for line in day_lines(Held(), "metric", 80, True))


def test_the_legends_name_every_mark() -> None:
    bars = "".join(run.text for line in day_lines(Held(), "metric", 80) for run in line.runs).replace(" ", "")
    assert [mark for mark in set(bars) if mark not in day_legend("metric")] == []
    assert "all other seasons" in course_legend()
    assert course_legend(ascii_only=True).replace("°", "").isascii()

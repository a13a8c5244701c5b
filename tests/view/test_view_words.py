"""Days, spans, minutes and temperatures in words."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from jobs import TODAY, task, unit, window

from tendwork.planning.results import Window
from tendwork.view.job import unit_state_words
from tendwork.view.words import (
    away_words,
    format_day,
    full_day,
    in_units,
    minutes_words,
    span_words,
    temperature_words,
    until_short,
    until_words,
)


def test_a_near_day_has_weekday_day_and_month() -> None:
    assert format_day(date(2026, 3, 12), TODAY) == "Thu 12 Mar"


def test_a_day_of_another_season_has_its_year() -> None:
    assert format_day(date(2027, 3, 12), TODAY) == "Fri 12 Mar 2027"


def test_a_near_day_across_the_year_end_needs_no_year() -> None:
    assert format_day(date(2026, 1, 2), date(2025, 12, 30)) == "Fri 2 Jan"


def test_the_day_on_top_always_has_its_year() -> None:
    assert full_day(TODAY) == "Thu 12 Mar 2026"


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (date(2026, 4, 9), date(2026, 4, 20), "9-20 Apr"),
        (date(2026, 3, 28), date(2026, 4, 3), "28 Mar-3 Apr"),
        (date(2026, 4, 9), date(2026, 4, 9), "9 Apr"),
        (date(2025, 12, 9), date(2026, 12, 9), "9 Dec-9 Dec"),
    ],
)
def test_a_span_says_the_month_once_where_it_can(first: date, last: date, words: str) -> None:
    assert span_words(first, last) == words


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "today"),
        (1, "tomorrow"),
        (-1, "yesterday"),
        (3, "in 3 days"),
        (-3, "3 days ago"),
        (21, "in 3 weeks"),
        (-70, "10 weeks ago"),
    ],
)
def test_how_far_a_day_is_away(days: int, words: str) -> None:
    assert away_words(TODAY + timedelta(days=days), TODAY) == words


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (20.5, "21 min"), (60, "1 h"), (80, "1 h 20"), (65, "1 h 05")]
)
def test_minutes_from_an_hour_on_are_hours_and_minutes(minutes: float, words: str) -> None:
    assert minutes_words(minutes) == words


# NIST SP 811 (2008), appendix B.9: t/°F = 1.8 t/°C + 32.
def test_temperatures_turn_to_fahrenheit_for_us_units() -> None:
    assert (temperature_words(-2.5, "us"), temperature_words(-2.5, "metric")) == ("28 °F", "-2.5 °C")


def test_a_weather_wish_turns_to_fahrenheit_whole() -> None:
    assert in_units("a dry day, 2 to 30 °C", "us") == "a dry day, 36 to 86 °F"


# NIST SP 811 (2008), appendix B.8: 1 ft = 0.3048 m exactly.
def test_a_place_in_the_crown_turns_to_feet() -> None:
    assert in_units("2.4 m up, 1.1 m out", "us") == "7.9 ft up, 3.6 ft out"


@pytest.mark.parametrize(
    ("state", "own", "short", "whole"),
    [
        ("late", window(-9, -3, 20), "3 days late", "3 days late, worth doing until 1 Apr"),
        ("late", window(-9, -1, -1), "1 day late", "1 day late"),
        ("closing", window(-9, 2), "2 days left", "until Sat 14 Mar, 2 days left"),
        ("closing", window(-9, 0), "last day today", "until Thu 12 Mar, the last day"),
        ("open", window(-3, 39), "until 20 Apr", "until Mon 20 Apr, 6 weeks left"),
        ("coming", window(3, 9), "from 15 Mar", "from 15 Mar, in 3 days"),
        ("missed", window(-30, -20, -2), "missed 10 Mar", "missed 10 Mar, no longer worth doing"),
    ],
)
def test_a_window_is_said_as_what_it_means_today(state: str, own: Window, short: str, whole: str) -> None:
    job = task("prune", state, window=own)
    assert (until_short(job, TODAY), until_words(job, TODAY)) == (short, whole)


def test_a_coming_job_that_hangs_on_the_buds_says_its_range() -> None:
    own = window(20, 30)
    ranged = Window(own.opens, own.best, own.closes, own.lapses, own.opens - timedelta(7), own.opens + timedelta(6))
    assert "the buds allow 25 Mar-7 Apr" in until_words(task("graft", "coming", window=ranged), TODAY)


def test_a_ticked_unit_says_how_and_when() -> None:
    assert unit_state_words(unit("g1", "done", outcome="took", done_on=TODAY), TODAY) == "took 12 Mar"


def test_a_unit_that_was_looked_at_and_left_says_both() -> None:
    looked = unit("g1", "open", outcome="not yet", done_on=TODAY)
    assert unit_state_words(looked, TODAY) == "until 21 Mar, not yet 12 Mar"

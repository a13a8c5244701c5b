"""Times of day and instants as files and services write them: read whole, or refused."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tendwork.weather.readers.clock import time_of_day, utc_instant


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("13:05", (13, 5, None)),
        ("1:05 PM", (13, 5, None)),
        ("12:30 AM", (0, 30, None)),
        ("12:30 PM", (12, 30, None)),
        ("23:59", (23, 59, None)),
        ("13:05:00+01:00", (13, 5, timedelta(hours=1))),
        ("13:05:00-03:30", (13, 5, -timedelta(hours=3, minutes=30))),
        ("13:05:00Z", (13, 5, timedelta())),
    ],
)
def test_a_time_of_day_is_read_with_its_half_and_its_offset(text: str, found: object) -> None:
    assert time_of_day(text) == found


@pytest.mark.parametrize("text", ["24:00", "12:60", "0:30 AM", "13:05 PM", "13:05:00+24:00", "noon", "", "1" * 99])
def test_what_is_no_time_of_day_is_refused(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011
        time_of_day(text)


def test_an_instant_is_taken_to_utc() -> None:
    assert utc_instant("2026-03-01T01:30:00+02:00") == datetime(2026, 2, 28, 23, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    "text", ["2026-03-01T01:30:00", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00", "yesterday", 7]
)
def test_an_instant_without_an_offset_or_beyond_all_bounds_is_refused(text: object) -> None:
    with pytest.raises(ValueError):  # noqa: PT011
        utc_instant(text)

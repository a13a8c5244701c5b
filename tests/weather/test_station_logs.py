"""Logs of stations cut into civil days, through both changes of the clock. All readings are invented.

Dates and hours of the changes are those of the IANA time zone database: in Europe/London the clock skips 01:00-01:59 on
26 March 2023 and shows 01:00-01:59 twice on 29 October 2023.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from examples import examples
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.weather.readers import read_temperatures

HOUR = timedelta(hours=1)


def write(tmp_path: Path, rows, header: str = "time,temperature (C)") -> Path:
    path = tmp_path / "log.csv"
    path.write_text("\n".join([header, *(f"{stamp},{value}" for stamp, value in rows)]) + "\n", encoding="utf-8")
    return path


def hours_of(first: datetime, count: int, *, without=()):
    """Hourly local stamps; the value is the hour, so the extremes are 0 and 23 on a whole day."""
    stamps = (first + hour * HOUR for hour in range(count))
    return [(f"{stamp:%Y-%m-%d %H:%M}", stamp.hour) for stamp in stamps if stamp.hour not in without]


def test_a_day_of_23_hours_and_one_of_25_are_whole_days(tmp_path):
    zone = ZoneInfo("Europe/London")
    for day in (date(2023, 3, 26), date(2023, 10, 29)):
        midnight = datetime(day.year, day.month, day.day, tzinfo=zone).astimezone(UTC)
        next_midnight = datetime(day.year, day.month, day.day + 1, tzinfo=zone).astimezone(UTC)
        stamps = [(midnight + hour * HOUR).astimezone(zone) for hour in range((next_midnight - midnight) // HOUR)]
        rows = [(f"{stamp:%Y-%m-%d %H:%M}", stamp.hour) for stamp in stamps]
        assert read_temperatures(write(tmp_path, rows), "Europe/London").rows == ((day, 0.0, 23.0),)


def test_utc_stamps_are_cut_at_local_midnight_on_both_sides_of_the_change(tmp_path):
    first = datetime(2023, 3, 25, tzinfo=UTC)
    stamps = [first + hour * HOUR for hour in range(72)]
    rows = [(f"{stamp:%Y-%m-%dT%H:%M:%SZ}", (stamp - first) / HOUR / 2) for stamp in stamps]
    reading = read_temperatures(write(tmp_path, rows), "Europe/London")
    assert reading.rows == (
        (date(2023, 3, 25), 0.0, 11.5),
        (date(2023, 3, 26), 12.0, 23.0),
        (date(2023, 3, 27), 23.5, 35.0),
    )


def test_a_written_offset_is_obeyed(tmp_path):
    rows = [(f"2023-06-{10 + hour // 24}T{hour % 24:02}:00:00+05:00", hour) for hour in range(72)]
    reading = read_temperatures(write(tmp_path, rows), "Asia/Karachi")
    assert reading.rows[1] == (date(2023, 6, 11), 24.0, 47.0)


def test_a_clock_that_shows_the_skipped_hour_keeps_standard_time(tmp_path):
    path = write(tmp_path, hours_of(datetime(2023, 3, 25), 96))
    reading = read_temperatures(path, "Europe/London")
    assert any(word.startswith("Its clock keeps standard time all year") for word in reading.words)
    assert reading.rows[2] == (date(2023, 3, 27), 0.0, 23.0)
    assert reading.rows[1] == (date(2023, 3, 26), 0.0, 22.0)


@pytest.mark.parametrize(("header", "timezone"), [("time UTC", "Etc/GMT-1"), ("Date/Time (LST)", "America/Toronto")])
def test_a_clock_named_in_the_header_is_moved_to_the_local_one(tmp_path, header, timezone):
    # In June both places' clocks are an hour ahead of what the column shows, so its 23:00 belongs to the next day.
    rows = [(stamp, -5 if stamp == "2023-06-01 23:00" else 10) for stamp, _ in hours_of(datetime(2023, 6, 1), 48)]
    reading = read_temperatures(write(tmp_path, rows, f"{header},Temp (°C)"), timezone)
    assert reading.rows == ((date(2023, 6, 1), 10.0, 10.0), (date(2023, 6, 2), -5.0, 10.0))


@pytest.mark.parametrize(
    ("without", "whole"),
    [
        ((0, 8, 18, 22), True),  # 20 hours
        ((0, 8, 9, 18, 22), False),  # 19 hours
        ((3, 4, 5, 6), False),  # 20 hours without the night's end
        ((13, 14, 15, 16), False),  # 20 hours without the afternoon
    ],
)
def test_a_day_counts_with_20_hours_and_both_night_and_afternoon(tmp_path, without, whole):
    rows = [*hours_of(datetime(2023, 6, 1), 24), *hours_of(datetime(2023, 6, 2), 24, without=without)]
    reading = read_temperatures(write(tmp_path, rows), "Europe/London")
    assert (len(reading.rows) == 2) is whole
    assert any("1 day is incomplete and left out, the first 2023-06-02" in word for word in reading.words) is not whole


def test_a_log_without_a_whole_day_is_refused(tmp_path):
    with pytest.raises(PersonError, match=r"log\.csv, line 2: no day is whole, as 1 day is incomplete. A day needs 20"):
        read_temperatures(write(tmp_path, hours_of(datetime(2023, 6, 1), 12)), "Europe/London")


def test_the_outdoor_column_is_read_and_not_the_indoor_one(tmp_path):
    rows = [(stamp, f"21,{value}") for stamp, value in hours_of(datetime(2023, 6, 1), 24)]
    path = write(tmp_path, rows, "Time,Indoor Temperature(℃),Outdoor Temperature(℃)")
    assert read_temperatures(path, "Europe/London").rows == ((date(2023, 6, 1), 0.0, 23.0),)


def test_a_spike_is_set_aside_and_its_day_stays(tmp_path):
    rows = hours_of(datetime(2023, 6, 1), 24)
    rows[12] = ("2023-06-01 12:00", 85.5)
    reading = read_temperatures(write(tmp_path, rows), "Europe/London")
    assert reading.rows == ((date(2023, 6, 1), 0.0, 23.0),)
    assert reading.rejected == ((14, "2023-06-01 12:00: 85.5 to 85.5 °C"),)


def test_a_clock_of_twelve_hours_is_read(tmp_path):
    rows = [(f"06/13/2023 {(hour % 12) or 12}:00 {'AM' if hour < 12 else 'PM'}", hour) for hour in range(24)]
    reading = read_temperatures(write(tmp_path, rows), "America/New_York")
    assert reading.rows == ((date(2023, 6, 13), 0.0, 23.0),)


def test_the_lowest_and_highest_of_each_interval_are_taken_where_there_is_no_other_column(tmp_path):
    rows = [(stamp, f"{value - 1},{value + 1}") for stamp, value in hours_of(datetime(2023, 6, 1), 24)]
    path = write(tmp_path, rows, "time,low (C),high (C)")
    assert read_temperatures(path, "Europe/London").rows == ((date(2023, 6, 1), -1.0, 24.0),)


def test_one_temperature_a_day_without_a_time_is_refused(tmp_path):
    path = tmp_path / "means.csv"
    path.write_text("date,temperature (C)\n2023-06-01,12\n2023-06-02,13\n", encoding="utf-8")
    with pytest.raises(PersonError, match=r"means\.csv, line 1: one temperature without a time of day"):
        read_temperatures(path, "Europe/London")


@examples(30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    timezone=st.sampled_from(
        ["Europe/London", "America/St_Johns", "Australia/Lord_Howe", "Asia/Kathmandu", "Pacific/Apia"]
    ),
    first=st.datetimes(datetime(2000, 1, 1), datetime(2030, 1, 1)),
)
def test_hourly_utc_readings_give_every_inner_day_once_in_any_zone(timezone, first, tmp_path):
    stamps = [first + hour * HOUR for hour in range(24 * 7)]
    rows = [(f"{stamp:%Y-%m-%dT%H:%M:%SZ}", number % 40) for number, stamp in enumerate(stamps)]
    reading = read_temperatures(write(tmp_path, rows), timezone)
    days = [day for day, _, _ in reading.rows]
    assert days == sorted(set(days))
    # A zone that jumps over the date line (Apia on 30 December 2011) has one day less.
    assert len(days) >= 5

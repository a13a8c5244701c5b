"""Saved answers of weather services, on samples of our own: all numbers are invented."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from random import Random
from typing import Any

import pytest
from test_damaged_files import assert_read_or_refused

from tendwork.errors import PersonError
from tendwork.weather.readers import read_temperatures

SAMPLES = Path(__file__).parent / "samples"
WRONG = (None, True, "warm", 1e400, -1e9, [], {}, [[]], 0, "2026-13-40", 10**400)


def answer(name: str) -> Any:
    return json.loads((SAMPLES / name).read_text(encoding="utf-8"))


def read(tmp_path: Path, content: Any, timezone: str = "Europe/London", **options):
    path = tmp_path / "answer.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    return read_temperatures(path, timezone, **options)


def nodes(content: Any) -> Iterator[tuple[Any, Any]]:
    """Every (container, key) of a JSON document."""
    keys = content.keys() if isinstance(content, dict) else range(len(content)) if isinstance(content, list) else ()
    for key in keys:
        yield content, key
        yield from nodes(content[key])


@pytest.mark.parametrize("name", ["open_meteo.json", "met_norway.json", "nws_gridpoint.json"])
def test_any_value_of_an_answer_may_be_of_a_wrong_kind(name, tmp_path):
    original = answer(name)
    count = sum(1 for _ in nodes(original))
    random = Random(3)
    path = tmp_path / name
    for place in random.sample(range(count), min(count, 60)):
        content = copy.deepcopy(original)
        container, key = list(nodes(content))[place]
        container[key] = random.choice(WRONG)
        path.write_text(json.dumps(content), encoding="utf-8")
        assert_read_or_refused(path, name)


def test_the_days_of_a_saved_forecast_are_a_forecast_from_today_on():
    reading = read_temperatures(SAMPLES / "open_meteo.json", "Europe/London", today=date(2026, 2, 25))
    assert reading.forecast_from == date(2026, 2, 25)
    assert [forecast for *_, forecast in reading.marked_rows()] == [False] * 5 + [True] * 6


@pytest.mark.parametrize(
    ("name", "timezone"), [("met_norway.json", "Europe/Oslo"), ("nws_gridpoint.json", "America/Denver")]
)
def test_an_answer_that_is_all_forecast_says_so_without_being_told_the_day(name, timezone):
    reading = read_temperatures(SAMPLES / name, timezone)
    assert reading.forecast_from == reading.first_day


def test_nulls_at_the_end_of_an_answer_are_missing_days(tmp_path):
    content = answer("open_meteo.json")
    content["daily"]["temperature_2m_min"][-3:] = [None, None, None]
    assert read(tmp_path, content).last_day == date(2026, 2, 28)


def test_days_cut_at_another_offset_than_the_clock_s_are_told(tmp_path):
    content = answer("open_meteo.json")
    content["utc_offset_seconds"] = 3600
    word = "All days are cut at midnight of UTC+1; on 11 of 11 days the clock here is not at that offset."
    assert word in read(tmp_path, content).words


def test_arrays_of_unequal_length_are_refused_with_their_key(tmp_path):
    content = answer("open_meteo.json")
    content["daily"]["temperature_2m_max"].pop()
    with pytest.raises(
        PersonError, match=r'answer\.json, line 1, key "daily\.time": 12 days, but 12 minima and 11 maxima'
    ):
        read(tmp_path, content)


def test_an_answer_in_fahrenheit_is_turned_into_celsius(tmp_path):
    content = answer("open_meteo.json")
    for key in ("temperature_2m_max", "temperature_2m_min"):
        content["daily_units"][key] = "°F"
    content["daily"]["temperature_2m_max"][0], content["daily"]["temperature_2m_min"][0] = 50.0, 32.0
    assert read(tmp_path, content).rows[0] == (date(2026, 2, 20), 0.0, 10.0)


def test_an_unknown_unit_is_refused_with_its_key(tmp_path):
    content = answer("open_meteo.json")
    content["daily_units"]["temperature_2m_min"] = "K"
    with pytest.raises(PersonError, match=r"'K' is neither °C nor °F"):
        read(tmp_path, content)


def test_a_truncated_answer_is_refused_with_its_line(tmp_path):
    path = tmp_path / "cut.json"
    path.write_bytes((SAMPLES / "open_meteo.json").read_bytes()[:400])
    with pytest.raises(PersonError, match=r"cut\.json, line \d+: the JSON breaks off"):
        read_temperatures(path, "Europe/London")


def test_a_six_hour_window_counts_only_inside_one_local_day(tmp_path):
    # On 10 June in London (UTC+1), 00-06, 06-12 and 12-18 UTC lie inside the day; 18-24 UTC reaches into the next.
    def step(hour: int, low: float, high: float) -> dict[str, Any]:
        details = {"air_temperature_min": low, "air_temperature_max": high}
        data = {"instant": {"details": {"air_temperature": 10.0}}, "next_6_hours": {"details": details}}
        return {"time": f"2026-06-10T{hour:02}:00:00Z", "data": data}

    series = [step(0, 4.0, 11.0), step(6, 9.0, 15.0), step(12, 14.0, 21.0), step(18, 2.0, 30.0)]
    meta = {"units": {"air_temperature": "celsius"}}
    content = {"properties": {"meta": meta, "timeseries": series}}
    assert read(tmp_path, content).rows == ((date(2026, 6, 10), 4.0, 21.0),)


def test_the_rest_of_a_day_that_has_begun_is_no_extreme_of_that_day():
    rows = read_temperatures(SAMPLES / "nws_gridpoint.json", "America/New_York").rows
    assert date(2026, 2, 19) not in {day for day, _, _ in rows}


def test_the_coldest_sentinel_of_the_us_service_is_set_aside():
    reading = read_temperatures(SAMPLES / "nws_gridpoint.json", "America/New_York")
    assert reading.rejected == ((3, "2026-02-23: -73.33 and 9.1 °C are not both between -60 and 60"),)

"""Each weather service behind the port: what it is asked, and what its documented answers, nulls and errors come to.

The services speak over real HTTP on loopback; their temperatures are invented.
"""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest
from damage_of_files import damaged
from loopback_service import Reply, serving

from tendwork.errors import PersonError
from tendwork.weather.fetching import SERVICES, Spot, fetcher_named
from tendwork.weather.fetching.cache import AnswerCache
from tendwork.weather.fetching.met_norway import MetNorway
from tendwork.weather.fetching.open_meteo import OpenMeteo
from tendwork.weather.fetching.transfer import Limits
from tendwork.weather.fetching.us_weather_service import UsWeatherService
from tendwork.weather.fetching.web import Web

SAMPLES = Path(__file__).parent / "samples"
HILL = Spot(52.12349, -3.05678, "Europe/London", elevation_m=240.4)
RIDGE = Spot(39.750012, -104.999987, "America/Denver")
TODAY = date(2026, 2, 25)
CELL = json.dumps({"properties": {"forecastGridData": "BASE/gridpoints/BOU/62,61"}})


def sample(name: str) -> str:
    return (SAMPLES / name).read_text(encoding="utf-8")


def daily(first: date, days: int, **changes: Any) -> str:
    """An invented answer in Open-Meteo's shape: minimum 1 °C and maximum 9 °C."""
    answer = {
        "utc_offset_seconds": 0,
        "timezone": "Europe/London",
        "daily_units": {"time": "iso8601", "temperature_2m_max": "°C", "temperature_2m_min": "°C"},
        "daily": {
            "time": [(first + timedelta(days=number)).isoformat() for number in range(days)],
            "temperature_2m_max": [9.0] * days,
            "temperature_2m_min": [1.0] * days,
            **changes,
        },
    }
    return json.dumps(answer)


def web(title: str, cache: Path | None = None, now: datetime = datetime(2026, 2, 25, 12, tzinfo=UTC)) -> Web:
    kept = AnswerCache(cache) if cache is not None else None
    return Web(title, "", kept, limits=Limits(attempts=1), sleep=lambda _: None, now=lambda: now)


def test_the_forecast_is_asked_with_zone_and_height_and_two_decimals():
    with serving(Reply(daily(TODAY, 3))) as service:
        OpenMeteo(web("Open-Meteo"), service.url).fetch(HILL, TODAY, TODAY + timedelta(days=2), TODAY)
    assert service.requests[0].path == "/v1/forecast"
    assert service.requests[0].query == {
        "latitude": "52.12",
        "longitude": "-3.06",
        "daily": "temperature_2m_max,temperature_2m_min",
        "timezone": "Europe/London",
        "start_date": "2026-02-25",
        "end_date": "2026-02-27",
        "elevation": "240",
    }


def test_days_from_today_on_are_a_forecast_and_earlier_ones_are_not():
    with serving(Reply(daily(date(2026, 2, 20), 12))) as service:
        reading = OpenMeteo(web("Open-Meteo"), service.url).fetch(HILL, date(2026, 2, 20), date(2026, 3, 3), TODAY)
    assert (reading.forecast_from, len(reading.rows)) == (TODAY, 12)


def test_days_older_than_the_forecast_reaches_back_come_from_the_archive():
    old = daily(date(2025, 11, 1), 24)
    new = daily(date(2025, 11, 25), 93)
    with serving(Reply(old), Reply(new)) as service:
        reading = OpenMeteo(web("Open-Meteo"), service.url).fetch(HILL, date(2025, 11, 1), TODAY, TODAY)
    archive, forecast = service.requests
    assert (archive.path, archive.query["start_date"], archive.query["end_date"]) == (
        "/v1/archive",
        "2025-11-01",
        "2025-11-24",
    )
    assert (forecast.path, forecast.query["start_date"]) == ("/v1/forecast", "2025-11-25")
    assert (reading.first_day, reading.last_day, reading.gaps) == (date(2025, 11, 1), TODAY, 0)


@pytest.mark.parametrize(
    ("timezone", "asked"),
    [
        ("Europe/Berlin", "Etc/GMT-1"),
        ("America/New_York", "Etc/GMT+5"),
        ("Europe/London", "Etc/GMT"),
        ("Asia/Kolkata", "Asia/Kolkata"),
    ],
)
def test_the_archive_is_asked_for_days_of_standard_time(timezone, asked):
    # IANA time zone database, file etcetera: "Etc/GMT-1" is one hour ahead of UTC.
    with serving(Reply(daily(date(2020, 1, 1), 3))) as service:
        spot = Spot(50.0, 10.0, timezone)
        OpenMeteo(web("Open-Meteo"), service.url).fetch(spot, date(2020, 1, 1), date(2020, 1, 3), TODAY)
    assert service.requests[0].query["timezone"] == asked


def test_an_archive_that_does_not_know_the_fixed_zone_is_asked_with_the_place_s_own():
    refusal = Reply('{"error":true,"reason":"Invalid timezone"}', status=400)
    with serving(refusal, Reply(daily(date(2020, 1, 1), 3))) as service:
        OpenMeteo(web("Open-Meteo"), service.url).fetch(HILL, date(2020, 1, 1), date(2020, 1, 3), TODAY)
    assert [request.query["timezone"] for request in service.requests] == ["Etc/GMT", "Europe/London"]


def test_a_failing_archive_does_not_cost_the_forecast():
    refusal = Reply('{"error":true,"reason":"Hourly API request limit exceeded."}', status=429)
    with serving(refusal, Reply(daily(date(2025, 11, 25), 93))) as service:
        reading = OpenMeteo(web("Open-Meteo"), service.url).fetch(HILL, date(2025, 11, 1), TODAY, TODAY)
    assert reading.last_day == TODAY
    assert "Hourly API request limit exceeded" in reading.words[-1]


def test_nulls_at_both_ends_are_missing_days():
    lows = [None, *[1.0] * 8, None]
    with serving(Reply(daily(date(2026, 2, 20), 10, temperature_2m_min=lows))) as service:
        reading = OpenMeteo(web("Open-Meteo"), service.url).fetch(HILL, date(2026, 2, 20), date(2026, 3, 1), TODAY)
    assert (reading.first_day, reading.last_day) == (date(2026, 2, 21), date(2026, 2, 28))


def test_an_answer_of_nulls_alone_is_a_sentence():
    nothing = [None] * 3
    with (
        serving(Reply(daily(TODAY, 3, temperature_2m_min=nothing, temperature_2m_max=nothing))) as service,
        pytest.raises(PersonError, match=r"answer of Open-Meteo \(forecast\).* has both a minimum and a maximum"),
    ):
        OpenMeteo(web("Open-Meteo"), service.url).fetch(HILL, TODAY, TODAY + timedelta(days=2), TODAY)


def test_the_end_of_the_span_is_drawn_in_to_what_the_forecast_reaches():
    with serving(Reply(daily(TODAY, 16))) as service:
        OpenMeteo(web("Open-Meteo"), service.url).fetch(HILL, TODAY, TODAY + timedelta(days=300), TODAY)
    assert service.requests[0].query["end_date"] == "2026-03-12"


def test_a_forecast_kept_for_a_week_is_still_a_forecast_for_the_days_that_were_ahead(tmp_path):
    with serving(Reply(daily(date(2026, 2, 20), 16))) as service:
        OpenMeteo(web("Open-Meteo", tmp_path), service.url).fetch(HILL, date(2026, 2, 20), date(2026, 3, 7), TODAY)
    later = TODAY + timedelta(days=7)
    offline = OpenMeteo(web("Open-Meteo", tmp_path, datetime(2026, 3, 4, 12, tzinfo=UTC)), service.url)
    reading = offline.fetch(HILL, date(2026, 2, 20), later, later)
    assert reading.forecast_from == TODAY
    assert reading.answered_at == datetime(2026, 2, 25, 12, tzinfo=UTC)
    assert reading.words[-1].endswith("7 days old.")


def test_the_norwegian_service_is_asked_for_the_complete_product_with_the_height():
    with serving(Reply(sample("met_norway.json"))) as service:
        reading = MetNorway(web("MET Norway"), service.url).fetch(HILL, date(2026, 2, 20), date(2026, 2, 28), TODAY)
    assert service.requests[0].path == "/weatherapi/locationforecast/2.0/complete"
    assert service.requests[0].query == {"lat": "52.12", "lon": "-3.06", "altitude": "240"}
    assert (reading.forecast_from, reading.attribution) == (
        reading.first_day,
        "Data from MET Norway (NLOD 2.0, CC BY 4.0)",
    )


def test_coordinates_never_have_more_than_four_decimals():
    # MET Norway, terms of service: five decimals or more are answered with 403.
    with serving(Reply(sample("met_norway.json"))) as service:
        MetNorway(web("MET Norway"), service.url).fetch(
            Spot(52.1234999, -3.0000001, "Europe/London"), date(2026, 2, 20), date(2026, 2, 28), TODAY
        )
    assert service.requests[0].query == {"lat": "52.1235", "lon": "-3"}


def test_the_us_service_is_asked_for_the_cell_and_then_for_its_forecast():
    with serving(Reply(CELL), Reply(sample("nws_gridpoint.json"))) as service:
        reading = UsWeatherService(web("NWS"), service.url).fetch(RIDGE, date(2026, 2, 19), date(2026, 2, 28), TODAY)
    assert [request.path for request in service.requests] == ["/points/39.75,-105", "/gridpoints/BOU/62,61"]
    assert all(not request.query for request in service.requests)
    assert reading.forecast_from == reading.first_day


@pytest.mark.parametrize("url", ["http://elsewhere.invalid/gridpoints/A/1,1", "BASE/other", None, 7])
def test_a_cell_at_another_address_is_not_asked(url):
    with (
        serving(Reply(json.dumps({"properties": {"forecastGridData": url}}))) as service,
        pytest.raises(PersonError, match="names no grid cell of this service"),
    ):
        UsWeatherService(web("NWS"), service.url).fetch(RIDGE, TODAY, TODAY, TODAY)
    assert len(service.requests) == 1


def test_a_span_without_any_day_is_a_sentence():
    with (
        serving(Reply(sample("met_norway.json"))) as service,
        pytest.raises(PersonError, match=r"has no day from 2026-05-01 to 2026-05-02, only 2026-02-21 to 2026-02-25"),
    ):
        MetNorway(web("MET Norway"), service.url).fetch(HILL, date(2026, 5, 1), date(2026, 5, 2), TODAY)


@pytest.mark.parametrize(
    ("made", "name"),
    [(OpenMeteo, "open_meteo.json"), (MetNorway, "met_norway.json"), (UsWeatherService, "nws_gridpoint.json")],
)
def test_a_damaged_answer_is_read_or_refused_in_a_sentence(made, name):
    random = Random(11)
    for _ in range(6):
        body = damaged(sample(name).encode(), random).decode("utf-8", errors="replace").replace("BASE", "base")
        replies = [Reply(CELL), Reply(body)] if made is UsWeatherService else [Reply(body)]
        with serving(*replies) as service:
            try:
                reading = made(web("Testing"), service.url).fetch(HILL, date(2026, 2, 1), date(2026, 3, 7), TODAY)
            except PersonError as error:
                outcome: object = "\n" not in str(error)
            else:
                outcome = reading.rows
        assert outcome


def test_every_service_tells_its_licence_and_what_it_is_sent():
    assert [service.name for service in SERVICES] == ["open-meteo", "met-norway", "us-weather-service"]
    assert all(service.attribution and service.licence and service.sends for service in SERVICES)


def test_a_service_whose_terms_ask_for_a_contact_is_not_asked_without_one():
    # MET Norway, terms of service, and weather-gov/api: requests must identify who can be written to.
    with pytest.raises(PersonError, match=r"MET Norway wants to know whom to write to"):
        fetcher_named("met-norway")


def test_an_unknown_service_is_refused_with_those_that_there_are():
    with pytest.raises(PersonError, match=r"no weather service \"sky\". There are: open-meteo, met-norway"):
        fetcher_named("sky")


def test_a_fetcher_by_name_asks_where_it_is_told_and_keeps_the_answer(tmp_path):
    with serving(Reply(daily(TODAY, 3))) as service:
        fetcher = fetcher_named("open-meteo", contact="me@example.org", cache_folder=tmp_path, base_url=service.url)
        reading = fetcher.fetch(HILL, TODAY, TODAY + timedelta(days=2), TODAY)
    assert len(reading.rows) == 3
    assert [path.name for path in tmp_path.iterdir()] == ["open-meteo-forecast_52.12_-3.06.json"]


def test_importing_the_weather_package_loads_nothing_heavy():
    code = (
        "import sys, tendwork.weather.readers, tendwork.weather.fetching\n"
        "heavy = {'httpx', 'zoneinfo', 'json', 'zipfile', 'gzip', 'pendulum', 'numpy', 'pandas', 'textual'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"

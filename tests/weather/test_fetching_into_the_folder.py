"""From a weather service over real HTTP on loopback into a real orchard folder. All weather here is invented."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from fetching_hill import FIRST, FORECAST, MORNING, PAST, TODAY, Hill
from invented_service import answering, invented, patient_for
from loopback_service import LoopbackService, Reply

from tendwork.errors import PersonError
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.temperature_origins import read_origins
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.weather.fetching import SERVICES, Spot
from tendwork.weather.readers import Reading
from tendwork.workbench import temperature_fetching
from tendwork.workbench.plan_inputs import temperatures_of
from tendwork.workbench.temperature_fetching import Fetched, fetch_temperatures, history_start

DAY = timedelta(days=1)
BUSY = Reply('{"reason": "The service is overloaded"}', 503)


def test_the_first_fetch_brings_twelve_seasons_without_a_hole_and_the_forecast(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch()
    past = hill.days(PAST)
    assert past == {FIRST + step * DAY: invented(FIRST + step * DAY) for step in range((TODAY - FIRST).days)}
    assert list(hill.days(FORECAST)) == [TODAY + step * DAY for step in range(16)]


@pytest.mark.parametrize(
    ("today", "south", "first"),
    [
        (TODAY, False, FIRST),
        (date(2026, 10, 31), False, FIRST),
        (date(2026, 11, 1), False, date(2014, 9, 1)),
        (date(2026, 4, 30), True, date(2013, 3, 1)),
    ],
)
def test_the_history_begins_with_the_autumn_of_a_season_in_north_and_south(
    today: date, south: bool, first: date
) -> None:
    assert history_start(today, south) == first


def test_the_newest_days_are_asked_for_first_and_older_ones_in_pieces_of_two_years(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch()
    asked = hill.asked()
    assert asked[0] == ("/v1/forecast", TODAY - 92 * DAY, TODAY + 15 * DAY)
    assert [path for path, _, _ in asked[1:]] == ["/v1/archive"] * 7
    assert all((last - first).days < 730 for _, first, last in asked[1:])


def test_the_next_day_only_the_last_week_and_the_forecast_are_asked_for(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch()
        hill.asked()
        hill.clock.now += DAY
        hill.fetch()
    assert hill.asked() == [("/v1/forecast", TODAY - 8 * DAY, TODAY + 16 * DAY)]


def test_years_that_a_busy_service_refused_are_asked_for_next_time(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch(stopped=lambda: len(service.requests) == 3)
        hill.asked()
        held = min(hill.days(PAST))
        hill.clock.now += DAY
        service.then(BUSY)
        said = hill.fetch()
        assert not said.news
        service.replies = []
        hill.asked()
        hill.fetch()
    assert hill.asked()[1] == ("/v1/archive", held - 730 * DAY, held - DAY)
    assert min(hill.days(PAST)) == FIRST


def test_a_fetch_that_lasts_too_long_leaves_older_years_to_the_next_and_says_so(
    orchard_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        monkeypatch.setattr("tendwork.workbench.temperature_fetching.LONGEST_FETCH_S", 0.0)
        said = hill.fetch()
        assert [path for path, _, _ in hill.asked()] == ["/v1/forecast"]
        assert said.news
        assert f"The days from {FIRST} to {TODAY - 93 * DAY} are asked for next time." in said.words
        monkeypatch.setattr("tendwork.workbench.temperature_fetching.LONGEST_FETCH_S", 600.0)
        hill.clock.now += DAY
        hill.fetch()
    assert min(hill.days(PAST)) == FIRST


def test_days_that_the_archive_could_not_give_after_a_long_rest_are_asked_for_again(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch()
        hill.clock.now += 200 * DAY
        answer = service.next_reply
        service.next_reply = lambda: BUSY if "archive" in service.requests[-1].path else answer()  # type: ignore
        hill.fetch()
        service.next_reply = answer  # type: ignore[method-assign]
        hill.clock.now += DAY
        hill.fetch()
    past = hill.days(PAST)
    assert len(past) == (max(past) - min(past)).days + 1


def lacking(service: LoopbackService, *spans: tuple[date, date]) -> list[tuple[date, date]]:
    """Days that the service does not have; take a span out of the list, and it has them."""
    lacks = list(spans)
    answer = service.next_reply

    def reply() -> Reply:
        given = answer()
        document = msgspec.json.decode(given.body)
        daily = document.get("daily", {"time": []})
        for at, day in enumerate(map(date.fromisoformat, daily["time"])):
            if any(first <= day <= last for first, last in lacks):
                daily["temperature_2m_max"][at] = daily["temperature_2m_min"][at] = None
        return Reply(msgspec.json.encode(document).decode())

    service.next_reply = reply  # type: ignore[method-assign]
    return lacks


LATE = (TODAY - 92 * DAY, TODAY - 40 * DAY)
GAP = (date(2019, 3, 3), date(2019, 3, 20))


@pytest.mark.parametrize("hole", [LATE, GAP], ids=["the first answer begins late", "a gap in the history"])
def test_days_that_a_first_fetch_did_not_bring_are_had_later(orchard_path: Path, hole: tuple[date, date]) -> None:
    with answering() as service:
        lacks = lacking(service, hole)
        hill = Hill(orchard_path, service)
        hill.fetch()
        assert hole[0] not in hill.days(PAST)
        lacks.clear()
        hill.clock.now += 7 * DAY
        hill.fetch()
    assert list(hill.days(PAST)) == [FIRST + step * DAY for step in range((hill.today - FIRST).days)]


def test_days_that_the_service_does_not_have_are_asked_for_once_a_week_in_one_question(orchard_path: Path) -> None:
    with answering() as service:
        lacking(service, LATE, (TODAY - 200 * DAY, TODAY - 180 * DAY), GAP)
        hill = Hill(orchard_path, service)
        hill.fetch()
        counts = []
        for _ in range(15):
            hill.asked()
            hill.clock.now += DAY
            said = hill.fetch()
            counts.append(len(hill.asked()))
        # The newer two are joined; the span reaches into what archive and forecast service give.
        assert counts == [1] * 6 + [4] + [1] * 6 + [4] + [1]
        assert "does not have" not in " ".join(said.words)


def test_a_hole_that_a_busy_service_could_not_fill_is_asked_for_at_the_next_fetch(orchard_path: Path) -> None:
    with answering() as service:
        lacks = lacking(service, GAP)
        hill = Hill(orchard_path, service)
        hill.fetch()
        hill.clock.now += 7 * DAY
        answer = service.next_reply
        service.next_reply = lambda: BUSY if "archive" in service.requests[-1].path else answer()  # type: ignore
        said = " ".join(hill.fetch().words)
        assert f"Days missing from {GAP[0]} to {GAP[1]} are asked for next time." in said
        lacks.clear()
        service.next_reply = answer  # type: ignore[method-assign]
        hill.clock.now += DAY
        hill.fetch()
    assert GAP[0] in hill.days(PAST)


def test_fetching_twice_changes_no_day(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
        before = {name: (orchard_path / name).read_bytes() for name in (PAST, FORECAST)}
        hill.fetch_recent()
    assert {name: (orchard_path / name).read_bytes() for name in before} == before


def test_what_a_service_corrects_afterwards_takes_the_place_of_what_it_said(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
    with answering(warmer_c=0.5) as service:
        hill.clock.now += DAY
        site = (orchard_path / "site.toml").read_text().replace(hill.service.url, service.url)
        (orchard_path / "site.toml").write_text(site)
        hill.fetch_recent()
    assert hill.days(PAST)[TODAY - DAY][0] == invented(TODAY - DAY)[0] + 0.5


def test_an_unplugged_network_leaves_what_is_held_and_says_how_old_it_is(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
    before = {name: hill.days(name) for name in (PAST, FORECAST)}
    hill.clock.now += 3 * DAY
    said = hill.fetch_recent()
    assert not said.news
    assert "3 days old" in " ".join(said.words)
    assert {name: hill.days(name) for name in before} == before


def test_an_unplugged_network_and_a_deleted_cache_still_leave_what_is_held(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
    for kept in (orchard_path / "cache" / "weather").iterdir():
        kept.unlink()
    hill.clock.now += 3 * DAY
    said = " ".join(hill.fetch_recent().words)
    assert "cannot be reached" in said
    assert "its newest answer is 3 days old" in said


def test_an_unplugged_network_with_nothing_held_is_one_sentence(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
    with pytest.raises(PersonError, match=r"cannot be reached.*nothing to go on with"):
        hill.fetch_recent()


def test_the_forecast_stays_a_forecast_when_its_day_is_over_until_it_is_measured(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
    later = TODAY + 3 * DAY
    series = temperatures_of(hill.folder, later).series
    assert series is not None
    assert [series.day(TODAY + step * DAY)[2] for step in (-1, 0, 2, 4)] == ["m", "f", "f", "f"]  # type: ignore[index]
    with (orchard_path / PAST).open("a") as past:
        past.write(f"{TODAY},-9,9\n")
    series = temperatures_of(hill.folder, later).series
    assert series is not None
    assert series.day(TODAY) == (-9, 9, "m")


def test_a_file_that_was_deleted_is_fetched_whole_again(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch()
        (orchard_path / PAST).unlink()
        hill.fetch()
    assert len(hill.days(PAST)) == (TODAY - FIRST).days


def test_who_gave_the_data_and_under_which_licence_stays_beside_them_when_the_cache_goes(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
    for name in (PAST, FORECAST):
        origin = read_origins(orchard_path)[name]
        assert origin.attribution == ("Weather data by Open-Meteo.com (CC BY 4.0)",)
        assert "non-commercial" in origin.licence[0]
        assert origin.answered_at == MORNING


def test_no_service_is_asked_that_the_site_file_does_not_name(orchard_path: Path) -> None:
    def nobody(*_: object, **__: object) -> Any:
        pytest.fail("a service was asked")

    with pytest.raises(PersonError, match=r"names no weather service, so nothing was asked and nothing was sent"):
        fetch_temperatures(OrchardFolder.open(orchard_path), TODAY, MORNING, nobody)


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ('contct = "me@example.org"', r'line 14, key "temperatures.contct": unknown key. Did you mean "contact"\?'),
        ("contact = 3", r'key "temperatures.contact": must be text'),
        ('contact = "mé"', r"must be an e-mail address"),
    ],
)
def test_a_wrong_key_of_a_service_is_told_before_anything_is_sent(orchard_path: Path, options: str, told: str) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service, options)
        with pytest.raises(PersonError, match=told):
            hill.fetch()
        assert service.requests == []


class Said:
    """A fetcher that has one thing to say: a forecast of so many days at one temperature, given at one moment."""

    def __init__(self, name: str, days: int, low_c: float, answered_at: datetime) -> None:
        self.service = msgspec.structs.replace(SERVICES[0], name=name, title=name, attribution=f"Data of {name}")
        self.rows = tuple((TODAY + step * DAY, low_c, low_c + 5) for step in range(days))
        self.answered_at = answered_at

    def fetch(self, spot: Spot, first: date, last: date, today: date) -> Reading:
        del spot, first, last, today
        return Reading("a forecast", "°C", self.rows, 0, (), (), "", TODAY, self.answered_at)


@pytest.fixture
def two_services(orchard_path: Path) -> Callable[..., dict[date, tuple[float, float]]]:
    """Lets two services speak, the better one named first, and gives the forecast that comes of it."""

    def forecast(better: Said, other: Said) -> dict[date, tuple[float, float]]:
        with (orchard_path / "site.toml").open("a") as site:
            site.write('\n[[temperatures]]\nservice = "better"\n[[temperatures]]\nservice = "other"\n')
        named = {"better": better, "other": other}
        fetch_temperatures(OrchardFolder.open(orchard_path), TODAY, MORNING, lambda name, **_: named[name])
        return read_temperatures(orchard_path / FORECAST).days

    return forecast


def test_of_two_forecasts_the_better_service_s_stands_and_the_other_goes_on_where_it_ends(two_services: Any) -> None:
    days = two_services(Said("better", 2, 1.0, MORNING), Said("other", 4, 3.0, MORNING))
    assert [low for low, _ in days.values()] == [1.0, 1.0, 3.0, 3.0]


def test_an_old_forecast_of_the_better_service_stands_behind_a_new_one(two_services: Any) -> None:
    days = two_services(Said("better", 2, 1.0, MORNING - 3 * DAY), Said("other", 4, 3.0, MORNING))
    assert [low for low, _ in days.values()] == [3.0] * 4


def test_the_forecast_says_to_whom_all_of_it_is_owed(two_services: Any, orchard_path: Path) -> None:
    two_services(Said("better", 2, 1.0, MORNING), Said("other", 4, 3.0, MORNING))
    assert read_origins(orchard_path)[FORECAST].attribution == ("Data of better", "Data of other")


def test_a_forecast_stays_for_days_that_no_service_gives_gone_by_or_further_ahead(
    two_services: Any, orchard_path: Path
) -> None:
    (orchard_path / FORECAST).write_text(f"date,tmin_c,tmax_c\n{TODAY - DAY},-3,4\n{TODAY + 9 * DAY},-3,4\n")
    days = two_services(Said("better", 2, 1.0, MORNING), Said("other", 2, 3.0, MORNING))
    assert list(days) == [TODAY - DAY, TODAY, TODAY + DAY, TODAY + 9 * DAY]


def test_the_command_fetches_and_the_view_shows_whose_data_they_are(orchard_path: Path, run: Any) -> None:
    with answering() as service:
        Hill(orchard_path, service)
        done = run("temps", "fetch", "--on", "2026-03-12")
    assert (done.returncode, done.stderr) == (0, "")
    assert "temperatures/forecast.csv: a forecast from 2026-03-12 to 2026-03-27." in done.stdout
    shown = run("temps", "show", "--on", "2026-03-12").stdout
    assert "Weather data by Open-Meteo.com (CC BY 4.0). CC BY 4.0; free of charge" in shown.replace("\n  ", " ")


@pytest.mark.slow
def test_the_command_goes_on_without_a_network_as_long_as_something_is_held(orchard_path: Path, run: Any) -> None:
    with answering() as service:
        Hill(orchard_path, service)
    assert run("temps", "fetch", "--on", "2026-03-12").returncode == 1
    (orchard_path / "temperatures" / "own.csv").write_text("date,tmin_c,tmax_c\n2026-03-11,1,5\n")
    with (orchard_path / "site.toml").open("a") as site:
        site.write('\n[[temperatures]]\nfile = "temperatures/*.csv"\n')
    done = run("temps", "fetch", "--on", "2026-03-12")
    assert (done.returncode, done.stderr) == (0, "")
    assert "cannot be reached" in done.stdout


def test_what_another_fetch_noted_while_this_one_waited_for_its_answer_stays_noted(
    orchard_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(temperature_fetching, "history_start", lambda *_: date(2025, 9, 1))
    with answering() as service:
        hill = Hill(orchard_path, service)
        others: list[Fetched] = []

        def with_another_meanwhile(name: str, **options: Any) -> Any:
            fetcher = patient_for(hill.clock)(name, **options)
            ask = fetcher.fetch

            def fetch(*asked: Any) -> Reading:
                if not others:
                    others.append(hill.fetch())
                reading: Reading = ask(*asked)
                return reading

            monkeypatch.setattr(fetcher, "fetch", fetch)
            return fetcher

        fetch_temperatures(hill.folder, hill.today, hill.clock.now, with_another_meanwhile, lambda: True)
        assert read_origins(orchard_path)[PAST].whole_from == date(2025, 9, 1)

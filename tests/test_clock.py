"""Odd days and moved clocks: the site's day against Python's zoneinfo, leap days, season turns, long absences.

The transitions are those of the IANA time zone database that zoneinfo reads; none is written here from memory.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from freezegun import freeze_time

from tendwork.almanac.seasons import season_of
from tendwork.cli.session import Session
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.site import read_site
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.workbench import folder_check
from tendwork.workbench.bench import Workbench
from tendwork.workbench.front_page import FrontPage

# Clocks that change by night, at midnight itself, by half an hour, never, and where a whole day was left out.
ZONES = (
    "Europe/London",
    "America/New_York",
    "America/Havana",
    "Asia/Beirut",
    "Africa/Cairo",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Pacific/Apia",
)
HALF_HOUR = timedelta(minutes=30)
SITE_TEXT = 'name = "Test hill"\ntimezone = "{zone}"\nlatitude = {latitude}\nlongitude = -3.0\n'


def site_text(zone: str = "UTC", latitude: float = 52.1) -> str:
    return SITE_TEXT.format(zone=zone, latitude=latitude)


def bench_in(zone: str) -> Workbench:
    return Workbench(OrchardFolder(Path("nowhere"), read_site(site_text(zone))))


def transitions(zone: ZoneInfo, first: datetime, last: datetime) -> list[datetime]:
    """The hours in which the zone's offset changes."""
    hours = int((last - first) / timedelta(hours=1))
    instants = [first + timedelta(hours=hour) for hour in range(hours)]
    return [
        after
        for before, after in pairwise(instants)
        if before.astimezone(zone).utcoffset() != after.astimezone(zone).utcoffset()
    ]


@pytest.mark.parametrize("name", ZONES)
def test_the_day_is_the_site_s_own_around_every_change_of_its_clock(name: str) -> None:
    zone, bench = ZoneInfo(name), bench_in(name)
    year = 2011 if name == "Pacific/Apia" else 2026  # 30 December 2011 was left out there
    moments = transitions(zone, datetime(year, 1, 1, tzinfo=UTC), datetime(year + 1, 1, 1, tzinfo=UTC))
    moments = moments or [datetime(year, 6, 1, tzinfo=UTC)]
    for moment in moments:
        days = []
        for step in range(-6, 7):
            with freeze_time(moment + step * HALF_HOUR):
                days.append(bench.today())
        assert days == [(moment + step * HALF_HOUR).astimezone(zone).date() for step in range(-6, 7)]
        assert days == sorted(days)


@pytest.mark.parametrize("name", ZONES)
def test_the_front_page_turns_its_day_with_the_site(name: str) -> None:
    page, bench = FrontPage(date(2026, 1, 1), name, "Test hill"), bench_in(name)
    for step in range(-6, 7):
        with freeze_time(datetime(2026, 3, 29, 1, tzinfo=UTC) + step * HALF_HOUR):
            assert page.today() == bench.today()


def test_a_zone_s_day_begins_at_its_midnight_wherever_the_person_is(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "America/Los_Angeles")
    with freeze_time("2026-03-12 11:30:00"):
        assert bench_in("Pacific/Auckland").today() == date(2026, 3, 13)
        assert bench_in("Pacific/Honolulu").today() == date(2026, 3, 12)


@pytest.fixture
def bench(orchard_path: Path) -> Workbench:
    return Workbench.open(orchard_path)


@pytest.mark.parametrize("latitude", [52.1, -41.5])
@pytest.mark.parametrize(
    "day",
    [
        date(2028, 2, 29),
        *(
            pytest.param(day, marks=pytest.mark.slow)
            for day in (date(2026, 12, 31), date(2026, 10, 31), date(2026, 11, 1), date(2027, 4, 30))
        ),
    ],
    ids=str,
)
def test_odd_days_are_planned_in_both_hemispheres(orchard_path: Path, day: date, latitude: float) -> None:
    (orchard_path / "site.toml").write_text(site_text(latitude=latitude), encoding="utf-8")
    made = Workbench.open(orchard_path).plan.of(day)
    assert made.plan.season == season_of(day, latitude < 0).name
    assert [fitted.day for fitted in made.week.days] == [day + timedelta(days=ahead) for ahead in range(7)]


def test_a_clock_set_back_plans_the_day_it_says(bench: Workbench) -> None:
    bench.records.saw("apple", "green tip", date(2026, 4, 2))
    for day in (date(2026, 4, 22), date(2026, 4, 21), date(2025, 4, 22)):
        assert bench.plan.of(day).plan.today == day
    assert "1 sighting" in " ".join(bench.plan.of(date(2025, 4, 22)).words)


def test_an_orchard_unopened_for_two_years_tells_what_it_does_not_plan(bench: Workbench, orchard_path: Path) -> None:
    bench.plan.of(date(2026, 4, 22))
    bench.close()
    made = Workbench.open(orchard_path).plan.of(date(2028, 4, 22))
    # Of older seasons only what takes a wrap off is left, since nobody said that it is off.
    old = [task for task in made.plan.tasks if "/2028" not in task.key]
    assert {task.template for task in old} == {"wraps-tape-pome", "wraps-rubber", "wraps-raffia-cloth"}
    assert all("/2026" in task.key for task in old)
    assert made.words[0] == (
        "No plan was made here from 2026-04-22 until today: what was not ticked in seasons 2026 to 2027 is not told."
    )


def test_the_turn_of_a_season_by_itself_is_no_absence(bench: Workbench, orchard_path: Path) -> None:
    bench.plan.of(date(2026, 10, 31))
    bench.close()
    assert "No plan was made" not in " ".join(Workbench.open(orchard_path).plan.of(date(2026, 11, 1)).words)


def test_another_time_zone_in_the_site_file_holds_from_the_next_reading(orchard_path: Path) -> None:
    (orchard_path / "site.toml").write_text(site_text("Pacific/Honolulu"), encoding="utf-8")
    bench = Workbench.open(orchard_path)
    with freeze_time("2026-03-12 23:30:00"):
        before = bench.today()
        (orchard_path / "site.toml").write_text(site_text("Pacific/Auckland"), encoding="utf-8")
        bench.refresh_files()
        assert (before, bench.today()) == (date(2026, 3, 12), date(2026, 3, 13))


@pytest.mark.parametrize(
    ("zone", "day"), [("Pacific/Auckland", date(2026, 3, 13)), ("Etc/GMT+12", date(2026, 3, 11)), (None, None)]
)
def test_check_takes_the_day_of_the_place_and_the_computer_s_where_no_site_says_it(
    orchard_path: Path, monkeypatch: pytest.MonkeyPatch, zone: str | None, day: date | None
) -> None:
    asked: list[tuple[Path | None, date]] = []
    monkeypatch.setattr(folder_check, "check_folder", lambda *words: asked.append(words) or ((), ()))
    (orchard_path / "site.toml").write_text("broken" if zone is None else site_text(zone), encoding="utf-8")
    with freeze_time("2026-03-12 11:30:00"):
        Session(orchard_path, None, demo=False).check()
        assert asked == [(orchard_path, day or date.today())]


def test_the_demo_is_of_the_day_at_its_own_place() -> None:
    with freeze_time("2026-06-10 23:30:00"):  # past midnight in British summer time
        session = Session(None, None, demo=True)
        (rows,) = (session.bench.path / "temperatures").glob("*.csv")
        assert session.today == date(2026, 6, 11)
        assert max(read_temperatures(rows, rows.name).days) == date(2026, 6, 10)

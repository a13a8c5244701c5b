"""The daily jobs under a clock that a test moves: once a day, whatever the machine and its clock go through."""

from __future__ import annotations

import shutil
import tomllib
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from invented_service import answering
from loopback_service import Reply
from watched_orchard import Person, spare_the_plan

from tendwork.daily import jobs as daily_jobs
from tendwork.daily.jobs import fetch_times
from tendwork.errors import PersonError
from tendwork.folder import daily_log
from tendwork.folder.site import Remind, Site, read_site
from tendwork.folder.temperatures_csv import read_temperatures

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
MIDNIGHT = datetime(2026, 5, 4, 23, tzinfo=UTC)  # 5 May in London
FIFTH = date(2026, 5, 5)


@pytest.fixture
def person(orchard_path: Path) -> Person:
    return Person(orchard_path, MIDNIGHT)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    spare_the_plan(monkeypatch)


def test_two_days_of_watch_bring_one_sheet_a_day_at_its_time(person: Person) -> None:
    person.watch(2 * DAY)
    assert person.sheet_days() == ["Tue 5 May 2026", "Wed 6 May 2026"]
    assert [f"{entry.at:%d %H:%M}" for entry in person.log("sheet")] == ["05 06:30", "06 06:30"]


@pytest.mark.usefixtures("quick")
def test_a_time_that_the_change_to_summer_leaves_out_brings_one_sheet_all_the_same(orchard_path: Path) -> None:
    person = Person(orchard_path, datetime(2026, 3, 28, tzinfo=UTC), at="01:30")
    person.watch(3 * DAY)
    assert person.sheet_days() == ["Sat 28 Mar 2026", "Sun 29 Mar 2026", "Mon 30 Mar 2026"]


@pytest.mark.usefixtures("quick")
def test_a_time_that_comes_twice_in_autumn_brings_one_sheet(orchard_path: Path) -> None:
    person = Person(orchard_path, datetime(2026, 10, 24, tzinfo=UTC), at="01:30")
    person.watch(3 * DAY)
    assert person.sheet_days() == ["Sat 24 Oct 2026", "Sun 25 Oct 2026", "Mon 26 Oct 2026"]


@pytest.mark.usefixtures("quick")
def test_what_was_missed_in_a_suspend_is_done_once_on_waking(person: Person) -> None:
    person.watch(3 * HOUR)
    person.clock.now += 9 * HOUR
    person.watch(5 * HOUR)
    assert person.sheet_days() == ["Tue 5 May 2026"]
    assert f"{person.log('sheet')[0].at:%H:%M}" == "12:00"


@pytest.mark.usefixtures("quick")
def test_of_three_days_asleep_only_the_sheet_of_today_comes(person: Person) -> None:
    person.watch(HOUR)
    person.clock.now += 3 * DAY + 8 * HOUR
    person.watch(HOUR)
    assert person.sheet_days() == ["Fri 8 May 2026"]


@pytest.mark.usefixtures("quick")
def test_a_watch_that_is_started_again_at_every_look_delivers_once(person: Person) -> None:
    for _ in range(24):
        person.start()
        person.look()
        person.clock.now += HOUR
    assert person.sheet_days() == ["Tue 5 May 2026"]


def test_a_cleared_cache_brings_no_second_sheet(person: Person) -> None:
    person.watch(8 * HOUR)
    shutil.rmtree(person.orchard / "cache")
    person.watch(8 * HOUR)
    assert len(person.deliveries()) == 1


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("back", [HOUR, 20 * HOUR, DAY, 3 * DAY])
def test_a_clock_that_is_set_back_brings_no_sheet_of_a_day_again(person: Person, back: timedelta) -> None:
    person.watch(3 * DAY)
    person.clock.now -= back
    person.watch(back + DAY)
    assert person.sheet_days() == [f"{name} May 2026" for name in ("Tue 5", "Wed 6", "Thu 7", "Fri 8")]


@pytest.mark.usefixtures("quick")
def test_a_clock_that_ran_a_year_ahead_for_a_while_keeps_no_sheet_back_once_it_is_right(person: Person) -> None:
    person.clock.now += 365 * DAY
    person.watch(8 * HOUR)
    person.clock.now -= 365 * DAY
    person.watch(DAY)
    assert person.sheet_days() == ["Wed 5 May 2027", "Tue 5 May 2026", "Wed 6 May 2026"]


@pytest.mark.usefixtures("quick")
def test_a_sheet_is_noted_as_begun_before_it_is_delivered(person: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    person.watch(6 * HOUR)

    def full(*_: object) -> None:
        raise PersonError("rounds.toml: cannot be written (no space left on device).")

    monkeypatch.setattr(daily_log, "write_log", full)
    with pytest.raises(PersonError, match="no space left"):
        person.watch(2 * HOUR)
    assert person.deliveries() == []


NOTES = """# Written by `tendwork watch`: what it did on which day. Without it a sheet may come twice.

fetch_tried_at = 2026-05-05T06:01:00+01:00
fetch_failures = 2
log = [
    { at = 2026-05-05T06:01:00+01:00, round = "fetch", words = "No answer.", failed = true, times = 2 },
]

[days]
backup = [
    2026-05-04,
    2026-05-05,
]

[under_way]
round = "sheet"
at = 2026-05-05T06:30:00+01:00
"""


def test_notes_keep_their_names_on_the_disk(tmp_path: Path) -> None:
    file = tmp_path / "rounds.toml"
    file.write_text(NOTES, encoding="utf-8")
    log = daily_log.read_log(tmp_path)
    assert (log.under_way.job, log.entries[0].job, log.entries[0].times) == ("sheet", "fetch", 2)
    daily_log.write_log(tmp_path, log)
    assert tomllib.loads(file.read_text(encoding="utf-8")) == tomllib.loads(NOTES)


@pytest.mark.usefixtures("quick")
def test_damaged_notes_stop_the_watch_rather_than_bring_a_sheet_twice(person: Person) -> None:
    person.watch(8 * HOUR)
    (person.orchard / "rounds.toml").write_text("[days]\nsheet = 3\n")
    with pytest.raises(PersonError, match=r"rounds\.toml: is damaged.*may then come once more"):
        person.look()
    assert len(person.deliveries()) == 1


def test_a_command_that_fails_is_told_with_what_it_said_and_not_run_again(orchard_path: Path) -> None:
    person = Person(orchard_path, MIDNIGHT, remind='command = ["ls", "no-such-file"]')
    person.watch(12 * HOUR)
    (entry,) = person.log("sheet")
    assert (entry.failed, entry.times) == (True, 1)
    assert "no-such-file" in entry.words


def test_a_sheet_that_a_broken_file_keeps_back_is_told_once_and_comes_when_it_is_mended(person: Person) -> None:
    own = person.orchard / "templates" / "own.toml"
    own.write_text("[[template]]\nid = 3\n")
    person.watch(9 * HOUR)
    (entry,) = person.log("sheet")
    assert (entry.failed, entry.times) == (True, 1)
    assert "own.toml" in entry.words
    person.watch(DAY, step=2 * HOUR)
    assert person.log("sheet") == [entry]
    own.unlink()
    person.watch(HOUR)
    assert person.sheet_days() == ["Wed 6 May 2026"]


@pytest.mark.usefixtures("quick")
def test_an_edited_site_file_is_heeded_at_the_next_look(person: Person) -> None:
    person.watch(6 * HOUR)
    site = (person.orchard / "site.toml").read_text().replace('at = "06:30"', 'at = "11:00"')
    (person.orchard / "site.toml").write_text(site)
    person.watch(6 * HOUR)
    assert f"{person.log('sheet')[0].at:%H:%M}" == "11:00"


def test_without_anything_to_deliver_to_no_sheet_is_made(orchard_path: Path) -> None:
    person = Person(orchard_path, MIDNIGHT, remind="")
    person.watch(9 * HOUR)
    (entry,) = person.log("sheet")
    assert "names no command, sheet_file or calendar_file" in entry.words


def test_sheet_and_calendar_are_written_where_the_site_file_says(orchard_path: Path) -> None:
    person = Person(orchard_path, MIDNIGHT, remind='sheet_file = "sheet.txt"\ncalendar_file = "jobs.ics"')
    person.watch(8 * HOUR)
    sheet = (orchard_path / "sheet.txt").read_text()
    assert sheet.startswith("Test hill: Tue 5 May 2026")
    assert "\nOld apple: aftercare  " in sheet  # the jobs of one visit under one heading
    assert "\n    [ ] See whether the grafts took  " in sheet
    calendar = (orchard_path / "jobs.ics").read_text()
    assert calendar.startswith("BEGIN:VCALENDAR")
    assert " more\\, Old apple" in calendar  # and as one event


def test_one_way_that_fails_does_not_keep_the_others_from_being_gone(orchard_path: Path) -> None:
    person = Person(orchard_path, MIDNIGHT, remind='command = ["no-such-program"]\nsheet_file = "sheet.html"')
    person.watch(8 * HOUR)
    assert (orchard_path / "sheet.html").exists()
    assert "no-such-program cannot be run" in person.log("sheet")[0].words


@pytest.mark.usefixtures("quick")
def test_records_are_copied_once_a_day_of_the_clock_whatever_the_watch_takes_for_today(person: Person) -> None:
    backups = person.orchard / "backups"
    for copy in backups.iterdir():
        copy.unlink()
    person.watch(2 * DAY, step=HOUR)
    (copy,) = backups.iterdir()
    assert not copy.name.startswith("records-2026-05")
    assert len(person.log("backup")) == 1


def test_the_plan_of_the_day_is_ready_before_anybody_asks(person: Person) -> None:
    from tendwork.workbench.bench import Workbench

    person.watch(HOUR)
    plan = Workbench.open(person.orchard).plan.last_plan()
    assert plan is not None
    assert plan.today == date(2026, 5, 5)


# Fetching


def named(url: str) -> str:
    return f'\n[[temperatures]]\nservice = "open-meteo"\nurl = "{url}"\n'


@pytest.mark.parametrize("at", ["00:05", "06:30", "07:20", "18:00", "23:59"])
def test_a_fetch_is_due_before_the_sheet_and_before_the_evening_and_never_on_the_hour(at: str) -> None:
    for number in range(100):
        times = fetch_times(Site("hill", "UTC", number / 2, number, remind=Remind(at)))
        assert not [time for time in times if time.endswith(":00")]
        assert min(times) <= at
        assert any("17:10" <= time <= "17:40" for time in times)


def test_places_spread_over_half_an_hour() -> None:
    assert len({fetch_times(Site("hill", "UTC", number / 2, number))[0] for number in range(100)}) > 20


@pytest.mark.usefixtures("quick")
def test_two_days_of_watch_fetch_twice_a_day_after_the_first_time(person: Person) -> None:
    with answering() as service:
        person.configure(named(service.url))
        person.watch(2 * DAY)
    first, *later = person.log("fetch")
    slots = fetch_times(read_site((person.orchard / "site.toml").read_text()))
    assert f"{first.at:%H:%M}" == "00:00"
    for entry, slot in zip(later, slots * 2, strict=True):
        assert f"{entry.at - timedelta(minutes=10):%H:%M}" < slot <= f"{entry.at:%H:%M}"
    assert not [entry for entry in person.log("fetch") if entry.failed]


def test_the_sheet_is_made_from_the_forecast_that_was_fetched_before_it(person: Person) -> None:
    with answering() as service:
        person.configure(named(service.url))
        person.watch(8 * HOUR)
    assert person.log("fetch")[-1].at < person.log("sheet")[0].at
    assert max(read_temperatures(person.orchard / "temperatures" / "forecast.csv").days) == date(2026, 5, 20)


@pytest.mark.slow
def test_a_week_without_a_network_brings_a_sheet_a_day_that_says_how_old_the_forecast_is(person: Person) -> None:
    with answering() as service:
        person.configure(named(service.url))
        person.watch(HOUR)
    person.watch(7 * DAY, step=2 * HOUR)
    assert len(person.sheet_days()) == 7
    assert "The forecast is 6 days old." in person.newest()


@pytest.mark.usefixtures("quick")
def test_an_unplugged_network_is_tried_again_within_two_hours_but_not_all_the_time(person: Person) -> None:
    with answering() as service:
        person.configure(named(service.url))
        person.watch(HOUR)
    person.watch(7 * DAY, step=timedelta(minutes=20))
    (held,) = [entry for entry in person.log("fetch") if entry.failed]
    assert 7 * 8 <= held.times <= 7 * 12
    assert len(person.sheet_days()) == 7
    person.watch(12 * HOUR, step=HOUR)
    with answering() as service:
        site = (person.orchard / "site.toml").read_text()
        (person.orchard / "site.toml").write_text(site[: site.rindex("url = ")] + f'url = "{service.url}"\n')
        person.watch(2 * HOUR)
    assert not person.log("fetch")[-1].failed


@pytest.mark.usefixtures("quick")
def test_a_service_that_was_busy_for_a_moment_is_asked_again_after_ten_minutes(person: Person) -> None:
    with answering() as service:
        person.configure(named(service.url))
        service.then(Reply(status=503))
        person.look()
        service.replies = []
        person.clock.now += timedelta(minutes=9)
        person.look()
        assert len(service.requests) == 1
        person.clock.now += timedelta(minutes=2)
        person.look()
    assert [entry.failed for entry in person.log("fetch")] == [True, False]


@pytest.mark.usefixtures("quick")
def test_a_try_that_a_clock_set_back_puts_into_the_future_keeps_no_fetch_back(person: Person) -> None:
    with answering() as service:
        person.configure(named(service.url))
        service.then(Reply(status=503))
        person.look()
        service.replies = []
        person.clock.now -= 3 * DAY
        person.look()
    assert [entry.failed for entry in person.log("fetch")] == [True, False]


@pytest.mark.usefixtures("quick")
def test_the_plan_is_made_again_after_each_fetch(person: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[str] = []
    monkeypatch.setattr(daily_jobs, "_plan", lambda look: made.append(f"{look.local:%H:%M}") or "")
    with answering() as service:
        person.configure(named(service.url))
        person.watch(DAY)
    assert made == [f"{entry.at:%H:%M}" for entry in person.log("fetch")]


@pytest.mark.usefixtures("quick")
def test_no_service_named_means_no_fetch(person: Person) -> None:
    person.watch(DAY, step=HOUR)
    assert person.log("fetch") == []


# Frost


def cold_night(orchard: Path, night: date, tmin_c: float = -6.0) -> None:
    """A forecast from 5 May on in which one night is cold."""
    days = [f"{FIFTH + step * DAY},{tmin_c if FIFTH + step * DAY == night else 5},12" for step in range(8)]
    (orchard / "temperatures" / "forecast.csv").write_text("\n".join(["date,tmin_c,tmax_c", *days, ""]))


def test_a_night_that_can_hurt_the_buds_is_told_the_evening_before_and_once(person: Person) -> None:
    cold_night(person.orchard, date(2026, 5, 6))
    person.watch(DAY)
    (warning,) = [line for line in person.deliveries() if "frost" in line]
    assert warning == "Test hill: frost"
    assert "Frost: Wed 6 May, -6.0 °C is forecast: apple at" in person.newest()
    assert f"{person.log('frost')[0].at:%H:%M}" == "18:00"


def test_a_night_that_is_over_brings_no_warning(person: Person) -> None:
    cold_night(person.orchard, FIFTH)
    person.watch(DAY, step=HOUR)
    assert person.log("frost") == []


def test_a_mild_evening_brings_no_warning(person: Person) -> None:
    cold_night(person.orchard, date(2026, 5, 6), tmin_c=4.0)
    person.watch(DAY)
    assert person.log("frost") == []


def test_a_night_farther_off_than_three_days_brings_no_warning_yet(person: Person) -> None:
    cold_night(person.orchard, date(2026, 5, 9))
    person.watch(2 * DAY)
    assert [f"{entry.at:%d}" for entry in person.log("frost")] == ["06"]


def test_a_forecast_that_comes_late_in_the_evening_still_brings_its_warning(person: Person) -> None:
    person.watch(20 * HOUR)
    cold_night(person.orchard, date(2026, 5, 6))
    person.watch(HOUR)
    assert [f"{entry.at:%d %H:%M}" for entry in person.log("frost")] == ["05 20:00"]


def test_a_warning_without_a_command_stands_in_the_log(orchard_path: Path) -> None:
    person = Person(orchard_path, MIDNIGHT, remind='sheet_file = "sheet.txt"')
    cold_night(orchard_path, date(2026, 5, 6))
    person.watch(DAY)
    assert "No command is named" in person.log("frost")[0].words

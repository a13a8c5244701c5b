"""The throw-away copy: alive on every day of the year, and the same for the same day."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.place import Place
from tendwork.almanac.seasons import season_of
from tendwork.almanac.temperature import build_series
from tendwork.errors import PersonError
from tendwork.folder.check import folder_faults
from tendwork.folder.data_files import SAMPLE_CONFIG, data_folder
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.site import SITE_FILE, read_site
from tendwork.folder.temperatures_csv import DayTemperatures, read_temperatures
from tendwork.orchard.records import Graft, Records
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import INVENTED_FILE, as_of, demo_orchard, later, moved, sample_records, weather_of

TEN_DAYS = (
    date(2026, 11, 1),
    date(2026, 12, 24),
    date(2027, 1, 18),
    date(2028, 2, 29),
    date(2027, 3, 25),
    date(2027, 4, 20),
    date(2027, 5, 30),
    date(2027, 6, 21),
    date(2027, 8, 15),
    date(2027, 10, 31),
)
SAMPLE = sample_records(data_folder(SAMPLE_CONFIG))
SITE = read_site((data_folder(SAMPLE_CONFIG) / SITE_FILE).read_text(encoding="utf-8"))
WEATHER = weather_of(SITE)


def records_on(today: date) -> Records:
    return as_of(moved(SAMPLE, season_of(today).name - 2026, WEATHER), today)


def graft_on(today: date, identity: str) -> Graft:
    return next(graft for graft in records_on(today).grafts if graft.id == identity)


def temperatures_in(folder: Path) -> DayTemperatures:
    return read_temperatures(folder / "temperatures" / INVENTED_FILE).days


def records_in(folder: Path) -> Records:
    orchard = OrchardFolder.open(folder)
    try:
        return orchard.records.read()
    finally:
        orchard.close()


@pytest.fixture(scope="module", params=TEN_DAYS, ids=date.isoformat)
def copy(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[date, Path]:
    """One of the ten days, and the folder made for it."""
    return request.param, demo_orchard(request.param, tmp_path_factory.mktemp("demo") / "copy")


def test_a_copy_passes_the_check_of_the_folder(copy: tuple[date, Path]) -> None:
    assert folder_faults(copy[1]) == ()


def test_a_copy_holds_nothing_of_a_later_day(copy: tuple[date, Path]) -> None:
    today, folder = copy
    records = records_in(folder)
    days = [event.day for event in (*records.sightings, *records.ticks, *records.tastings)]
    days += [note.day for note in (*records.troubles, *records.sprays)]
    days += [graft.set_on for graft in records.grafts if graft.set_on is not None]
    days += [bundle.cut_on for bundle in records.wood if bundle.cut_on is not None]
    assert max(days) <= today


def test_temperatures_run_from_twelve_seasons_before_to_yesterday(copy: tuple[date, Path]) -> None:
    today, folder = copy
    days = list(temperatures_in(folder))
    start = season_of(today).start
    assert days[0] == start.replace(year=start.year - 12)
    assert days[-1] == today - timedelta(days=1)
    assert len(days) == (days[-1] - days[0]).days + 1


def test_two_copies_of_a_day_are_the_same(tmp_path: Path) -> None:
    first, second = (demo_orchard(date(2027, 6, 21), tmp_path / name) for name in ("first", "second"))
    assert records_in(first) == records_in(second)
    for file in ("site.toml", "ABOUT.txt", f"temperatures/{INVENTED_FILE}"):
        assert (first / file).read_bytes() == (second / file).read_bytes()


@pytest.mark.parametrize("today", [date(2027, 6, 21), date(2027, 10, 31), date(2028, 2, 28)])
def test_the_numbers_of_yesterday_do_not_change_tomorrow(today: date, tmp_path: Path) -> None:
    now = temperatures_in(demo_orchard(today, tmp_path / "now"))
    tomorrow = temperatures_in(demo_orchard(today + timedelta(days=1), tmp_path / "tomorrow"))
    shared = now.keys() & tomorrow.keys()
    assert len(shared) > 4000
    assert {day: now[day] for day in shared} == {day: tomorrow[day] for day in shared}


def test_a_copy_is_never_laid_over_a_folder(tmp_path: Path) -> None:
    with pytest.raises(PersonError, match="stands there already"):
        demo_orchard(date(2027, 6, 21), tmp_path)


def test_taking_back_never_takes_the_sample_away(tmp_path: Path) -> None:
    orchard = OrchardFolder.open(demo_orchard(date(2027, 6, 21), tmp_path / "copy"))
    assert orchard.records.undo_last(date(2027, 6, 21)) is None
    assert len(orchard.records.read().grafts) == 60
    orchard.close()


def test_the_throw_away_copy_is_gone_when_the_program_ends() -> None:
    code = "import datetime, tendwork.workbench.demo as d; print(d.throw_away_demo(datetime.date.today()))"
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    folder = Path(result.stdout.strip())
    assert folder.name == "orchard"
    assert not folder.parent.exists()


@given(st.dates(date(1990, 1, 1), date(2090, 12, 31)))
@examples(40)
def test_on_any_day_every_graft_is_in_a_state_that_fits_its_day(today: date) -> None:
    for graft in records_on(today).grafts:
        assert (graft.set_on is None) == (graft.state == "planned")
        if graft.set_on is not None:
            assert graft.set_on <= today
            assert graft.state not in ("took", "failed") or (today - graft.set_on).days >= 14


@given(st.dates(date(1990, 1, 1), date(2090, 12, 31)))
@examples(40)
def test_on_any_day_a_tick_belongs_to_the_season_of_its_key(today: date) -> None:
    for tick in records_on(today).ticks:
        assert int(tick.task.split("/")[2].split(".")[0]) == season_of(tick.day).name


@given(st.dates(date(1990, 1, 1), date(2090, 12, 31)))
@examples(40)
def test_on_any_day_the_season_before_has_its_ticks(today: date) -> None:
    seasons = {season_of(tick.day) for tick in records_on(today).ticks}
    assert season_of(today).previous in seasons


def test_in_december_grafts_are_planned_whose_wood_is_not_cut() -> None:
    records = records_on(date(2026, 12, 10))
    uncut = {bundle.variety for bundle in records.wood if bundle.cut_on is None}
    planned = [graft for graft in records.grafts if graft.state == "planned"]
    assert len(planned) == 17
    assert sum(graft.variety in uncut for graft in planned) >= 12


def test_in_april_some_grafts_were_set_this_month_and_some_still_wait() -> None:
    grafts = records_on(date(2027, 4, 13)).grafts
    assert sum(graft.state == "set" and graft.set_on.month == 4 for graft in grafts if graft.set_on) >= 5
    assert sum(graft.state == "planned" for graft in grafts) >= 5


@pytest.mark.parametrize(
    ("today", "state"), [(date(2027, 4, 3), "planned"), (date(2027, 4, 4), "set"), (date(2027, 6, 1), "took")]
)
def test_a_graft_of_this_spring_goes_from_planned_to_set_to_took(today: date, state: str) -> None:
    assert graft_on(today, "g33").state == state


@pytest.mark.parametrize(("today", "state"), [(date(2027, 2, 6), "bearing"), (date(2027, 2, 7), "removed")])
def test_a_cut_verdict_is_carried_out_on_its_day(today: date, state: str) -> None:
    assert graft_on(today, "g19").state == state


@pytest.mark.parametrize(("today", "verdict"), [(date(2027, 10, 9), "on trial"), (date(2027, 10, 10), "cut")])
def test_a_verdict_is_not_known_before_it_is_given(today: date, verdict: str) -> None:
    assert graft_on(today, "g12").verdict == verdict


@pytest.mark.parametrize(("today", "sticks"), [(date(2027, 3, 28), 3), (date(2027, 3, 29), 0)])
def test_a_bundle_is_empty_once_it_was_ticked_as_used(today: date, sticks: int) -> None:
    assert next(bundle for bundle in records_on(today).wood if bundle.id == "w05").sticks == sticks


def test_years_of_planting_move_with_the_rest() -> None:
    assert [tree.planted for tree in records_on(date(2031, 5, 1)).trees] == [1967, 2016, 2011, 2028, 2014]


def test_29_february_becomes_the_28th_where_there_is_none() -> None:
    assert later(date(2024, 2, 29), 1) == date(2025, 2, 28)


@pytest.mark.parametrize("year", range(2020, 2034))
def test_a_sighting_moves_to_the_day_on_which_the_buds_are_as_far(year: int) -> None:
    wanted = WEATHER.buds(2025)[(date(2025, 4, 20) - date(2024, 9, 1)).days]
    index = (WEATHER.like(date(2025, 4, 20), year - 2025) - date(year - 1, 9, 1)).days
    assert WEATHER.buds(year)[index - 1] < wanted <= WEATHER.buds(year)[index]


@pytest.mark.parametrize("year", [2026, 2027, 2028, 2031])
def test_sightings_agree_with_what_the_almanac_makes_of_the_weather(year: int) -> None:
    """No outside source: the sample must agree with itself, within two weeks that a keeper would forgive."""
    days = WEATHER.season(year - 1) + WEATHER.season(year)
    series, _ = build_series([(day, low, high, False) for day, low, high in days], None)
    almanac = Almanac(Place(latitude=SITE.latitude), series, (), date(year, 10, 31))
    for sighting in records_on(date(year, 10, 31)).sightings:
        if season_of(sighting.day).name == year:
            computed = almanac.stage(sighting.species, sighting.stage, season_of(sighting.day)).date
            assert computed is not None
            assert abs((sighting.day - computed).days) <= 14, sighting


def test_in_summer_wraps_are_to_come_off(tmp_path: Path) -> None:
    today = date(2027, 6, 25)
    bench = Workbench.open(demo_orchard(today, tmp_path / "copy"))
    assert any(task.template.startswith("wraps-") for task in bench.plan.of(today).week.tasks)
    bench.close()

"""`tendwork temps` as a person meets it: what goes where, what counts as what, what is said.

All weather is invented.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tendwork.cli.temps import _lines_read
from tendwork.errors import PersonError
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.workbench.bench import Workbench
from tendwork.workbench.plan_inputs import temperatures_of

Run = Callable[..., subprocess.CompletedProcess[str]]

SAMPLES = Path(__file__).parent / "weather" / "samples"
SAVED_FORECAST = SAMPLES / "open_meteo.json"  # 20 February to 2 March 2026
TODAY = date(2026, 2, 25)
DAY = timedelta(days=1)
ADDED = "temperatures/added.csv"
FORECAST = "temperatures/forecast.csv"


@pytest.fixture
def bench(orchard_path: Path) -> Workbench:
    return Workbench.open(orchard_path)


def table(path: Path, first: date, *rows: tuple[float, float], header: str = "date,tmin_c,tmax_c") -> Path:
    """A file of days in a row."""
    days = [f"{first + step * DAY},{low},{high}" for step, (low, high) in enumerate(rows)]
    path.write_text("\n".join([header, *days, ""]))
    return path


def days(bench: Workbench, name: str) -> dict[date, tuple[float, float]]:
    return read_temperatures(bench.path / name).days


def mark(bench: Workbench, day: date, today: date) -> str:
    series = temperatures_of(bench._folder, today).series
    assert series is not None
    found = series.day(day)
    assert found is not None
    return found[2]


def test_a_saved_forecast_goes_in_as_a_forecast_and_its_past_days_as_measured(bench: Workbench) -> None:
    bench.temperatures.add(SAVED_FORECAST, TODAY, False, None)
    assert (min(days(bench, ADDED)), max(days(bench, ADDED))) == (date(2026, 2, 20), date(2026, 2, 24))
    assert (min(days(bench, FORECAST)), max(days(bench, FORECAST))) == (TODAY, date(2026, 3, 2))


def test_an_added_forecast_is_never_measured_however_late_it_is(bench: Workbench) -> None:
    bench.temperatures.add(SAVED_FORECAST, TODAY, False, None)
    assert mark(bench, date(2026, 2, 27), date(2026, 6, 1)) == "f"


def test_measured_days_beat_the_forecast_of_the_same_days(bench: Workbench, tmp_path: Path) -> None:
    bench.temperatures.add(SAVED_FORECAST, TODAY, False, None)
    bench.temperatures.add(table(tmp_path / "station.csv", TODAY, (-1, 9)), TODAY + DAY, False, None)
    series = temperatures_of(bench._folder, TODAY + DAY).series
    assert series is not None
    assert series.day(TODAY) == (-1, 9, "m")


def test_a_saved_forecast_that_is_added_a_week_late_holds_nothing_measured_after_it_was_saved(
    bench: Workbench, tmp_path: Path
) -> None:
    late = Path(shutil.copy(SAVED_FORECAST, tmp_path / "saved.json"))
    saved_at = datetime(2026, 2, 25, 9, tzinfo=UTC).timestamp()
    os.utime(late, (saved_at, saved_at))
    bench.temperatures.add(late, TODAY + 7 * DAY, False, None)
    assert max(days(bench, ADDED)) == TODAY - DAY
    assert min(days(bench, FORECAST)) == TODAY


def test_a_new_forecast_takes_the_place_of_the_one_before(bench: Workbench, tmp_path: Path) -> None:
    bench.temperatures.add(table(tmp_path / "old.csv", TODAY + DAY, *[(1, 5)] * 9), TODAY, False, None)
    bench.temperatures.add(table(tmp_path / "new.csv", TODAY + 2 * DAY, *[(2, 6)] * 3), TODAY + DAY, False, None)
    assert days(bench, FORECAST) == {
        TODAY + DAY: (1, 5),
        **{TODAY + step * DAY: (2, 6) for step in (2, 3, 4)},
    }


def test_days_too_far_ahead_to_be_a_forecast_are_left_out_and_counted(bench: Workbench, tmp_path: Path) -> None:
    said = bench.temperatures.add(table(tmp_path / "far.csv", TODAY, *[(1, 5)] * 20), TODAY, False, None)
    assert max(days(bench, FORECAST)) == TODAY + 16 * DAY
    assert "3 days more than 16 days ahead are left out." in said


def test_adding_the_same_file_twice_doubles_no_day_and_says_so(bench: Workbench) -> None:
    sample = SAMPLES / "plain.csv"
    bench.temperatures.add(sample, TODAY, False, None)
    before = (bench.path / ADDED).read_bytes()
    said = bench.temperatures.add(sample, TODAY, False, None)
    assert (bench.path / ADDED).read_bytes() == before
    assert any("held already" in line for line in said)


def test_a_dry_run_says_what_would_happen_and_leaves_the_folder_alone(bench: Workbench) -> None:
    before = sorted(bench.path.rglob("*"))
    said = bench.temperatures.add(SAVED_FORECAST, TODAY, True, None)
    assert any(line.startswith(f"{ADDED}: 5 days added") for line in said)
    assert said[-1] == "Nothing was written: this was a dry run."
    assert sorted(bench.path.rglob("*")) == before


@pytest.mark.parametrize("damage", ["date,tmin_c,tmax_c\n2026-13-01,1,2\n", "nonsense", '{"daily": {}}', ""])
def test_a_damaged_file_is_a_sentence_and_leaves_the_stored_days_as_they_were(
    bench: Workbench, tmp_path: Path, damage: str
) -> None:
    bench.temperatures.add(SAVED_FORECAST, TODAY, False, None)
    before = {path: path.read_bytes() for path in (bench.path / "temperatures").iterdir()}
    damaged = tmp_path / "damaged.csv"
    damaged.write_text(damage)
    with pytest.raises(PersonError, match=r"damaged\.csv"):
        bench.temperatures.add(damaged, TODAY, False, None)
    assert {path: path.read_bytes() for path in (bench.path / "temperatures").iterdir()} == before


def test_what_was_added_is_read_in_celsius_though_the_person_s_own_files_are_in_fahrenheit(
    bench: Workbench, tmp_path: Path
) -> None:
    with (bench.path / "site.toml").open("a") as site:
        site.write('\n[[temperatures]]\nfile = "temperatures/*.csv"\nunits = "us"\n')
    table(bench.path / "temperatures" / "own.csv", TODAY - 2 * DAY, (32, 50))
    bench.temperatures.add(table(tmp_path / "more.csv", TODAY - DAY, (1, 5)), TODAY, False, None)
    bench.refresh_files()
    series = temperatures_of(bench._folder, TODAY).series
    assert series is not None
    assert (series.tmin_c, series.tmax_c) == ((0.0, 1.0), (10.0, 5.0))


def test_what_was_added_counts_before_a_service_where_the_site_file_names_only_that(
    bench: Workbench, tmp_path: Path
) -> None:
    with (bench.path / "site.toml").open("a") as site:
        site.write('\n[[temperatures]]\nservice = "open-meteo"\n')
    table(bench.path / "temperatures" / "open-meteo.csv", TODAY - 2 * DAY, (7, 8), (7, 8))
    bench.temperatures.add(table(tmp_path / "own.csv", TODAY - DAY, (1, 5)), TODAY, False, None)
    bench.refresh_files()
    series = temperatures_of(bench._folder, TODAY).series
    assert series is not None
    assert series.tmin_c == (7.0, 1.0)


def test_a_service_named_before_the_person_s_files_counts_before_them(bench: Workbench) -> None:
    with (bench.path / "site.toml").open("a") as site:
        site.write('\n[[temperatures]]\nservice = "zeta"\n[[temperatures]]\nfile = "temperatures/*.csv"\n')
    table(bench.path / "temperatures" / "zeta.csv", TODAY, (7, 8))
    table(bench.path / "temperatures" / "a.csv", TODAY, (1, 5))
    bench.refresh_files()
    series = temperatures_of(bench._folder, TODAY).series
    assert series is not None
    assert series.tmin_c == (7.0,)


def test_a_fetched_file_makes_the_plan_again(bench: Workbench) -> None:
    with (bench.path / "site.toml").open("a") as site:
        site.write('\n[[temperatures]]\nservice = "open-meteo"\n')
    bench.refresh_files()
    bench.plan.of(TODAY)
    table(bench.path / "temperatures" / "open-meteo.csv", TODAY - DAY, (1, 5))
    assert bench.plan.changed()


def test_an_ambiguous_date_is_not_guessed_and_can_be_told(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "slashes.csv"
    file.write_text("date,tmin_c,tmax_c\n03/04/2026,1,5\n04/04/2026,2,6\n")
    done = run("temps", "add", str(file), "--on", "2026-06-01")
    assert (done.returncode, done.stdout) == (1, "")
    assert "--dates day-first" in done.stderr
    done = run("temps", "add", str(file), "--on", "2026-06-01", "--dates", "day-first")
    assert done.returncode == 0
    assert "2026-04-03" in done.stdout


def test_temps_show_gives_the_season_the_days_to_come_and_whose_data_they_are(run: Run, tmp_path: Path) -> None:
    own = table(tmp_path / "own.csv", date(2023, 11, 1), *[(-1.0, 9.0)] * 847)
    assert run("temps", "add", str(own), "--on", "2026-02-25").returncode == 0
    assert run("temps", "add", str(SAVED_FORECAST), "--on", "2026-02-25").returncode == 0
    said = run("temps", "show", "--on", "2026-02-25").stdout
    for words in ("Weather data by Open-Meteo.com", "heat: ", "chill: ", "rank ", "forecast", "at 0 °C or below"):
        assert words in said
    assert max(map(len, said.splitlines())) <= 80


def test_temps_show_as_json_has_its_keys(run: Run) -> None:
    run("temps", "add", str(SAVED_FORECAST), "--on", "2026-02-25")
    shown = json.loads(run("temps", "show", "--json", "--on", "2026-02-25").stdout)
    assert set(shown) == {"today", "files", "days", "gaps", "coming", "heat", "chill", "frost", "callus", "words"}
    assert shown["coming"][0] == {
        "date": "2026-02-26",
        "how": "forecast",
        "tmin_c": {"median": 1.2, "low": 1.2, "high": 1.2},
        "tmax_c": {"median": 9.4, "low": 9.4, "high": 9.4},
    }
    assert [file["forecast"] for file in shown["files"]] == [False, True]


def test_temps_show_names_each_gap(run: Run, orchard_path: Path) -> None:
    own = orchard_path / "temperatures" / "own.csv"
    own.write_text("date,tmin_c,tmax_c\n2026-02-01,1,5\n2026-02-04,1,5\n2026-02-20,1,5\n")
    assert "2 gaps: 2026-02-02 to 2026-02-03, 2026-02-05 to 2026-02-19." in run("temps", "show").stdout


def test_temps_show_without_any_temperatures_says_how_they_come_in(run: Run) -> None:
    done = run("temps", "show", "--on", "2026-02-25")
    assert done.returncode == 0
    assert "`tendwork temps add FILE`" in done.stdout


def test_a_frost_that_hurts_is_named_with_the_buds_and_the_temperature(run: Run, tmp_path: Path) -> None:
    run("saw", "apple", "pink", "--on", "2026-04-20")
    cold = table(tmp_path / "cold.csv", date(2026, 4, 21), (-4.0, 9.0))
    run("temps", "add", str(cold), "--on", "2026-04-20")
    said = run("temps", "show", "--on", "2026-04-20").stdout
    assert "! Tue 21 Apr, -4.0 °C is forecast: apple at pink" in said


def test_an_old_forecast_is_told_with_the_week(run: Run, tmp_path: Path) -> None:
    file = table(tmp_path / "old.csv", TODAY, *[(1, 5)] * 14)
    saved_at = datetime(2026, 2, 25, 9, tzinfo=UTC).timestamp()
    os.utime(file, (saved_at, saved_at))
    run("temps", "add", str(file), "--on", "2026-02-25")
    assert "The forecast is 6 days old." in run("week", "--on", "2026-03-03").stdout
    assert "days old" not in run("week", "--on", "2026-02-26").stdout


def test_fetching_without_a_service_named_is_one_sentence_and_exit_1(run: Run) -> None:
    done = run("temps", "fetch")
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (1, "", 1)
    assert "open-meteo" in done.stderr


def test_a_service_that_nobody_knows_is_told_with_those_that_there_are(run: Run, orchard_path: Path) -> None:
    with (orchard_path / "site.toml").open("a") as site:
        site.write('\n[[temperatures]]\nservice = "open-meteor"\n')
    done = run("temps", "fetch")
    assert done.returncode == 1
    assert 'key "temperatures.service": there is no weather service "open-meteor"' in done.stderr


def test_check_names_a_service_that_nobody_knows_without_asking_anybody(run: Run, orchard_path: Path) -> None:
    with (orchard_path / "site.toml").open("a") as site:
        site.write('\n[[temperatures]]\nservice = "open-meteor"\n')
    done = run("check")
    assert done.returncode == 1
    assert 'there is no weather service "open-meteor"' in done.stdout


COLD_NORMALS = "\n[normals]\nminimum_c = [-20, -18, -10, 0, 6, 11, 14, 12, 7, 0, -8, -16]\nmaximum_c = " + (
    "[-10, -7, 0, 10, 18, 23, 26, 24, 18, 9, 0, -7]\n"
)
A_HARD_JANUARY_F = [(-4 + step % 5, 14 + step % 7) for step in range(31)]


def without_normals(orchard: Path, normals: str = "") -> None:
    site = orchard / "site.toml"
    site.write_text(site.read_text().partition("\n[normals]")[0] + "\n" + normals)


def silent(tmp_path: Path, *rows: tuple[float, float], first: date = date(2026, 1, 1)) -> str:
    return str(table(tmp_path / "silent.csv", first, *rows, header="date,tmin,tmax"))


def test_a_winter_month_in_fahrenheit_from_a_cold_place_is_taken_as_what_it_is(
    run: Run, orchard_path: Path, tmp_path: Path
) -> None:
    without_normals(orchard_path, COLD_NORMALS)
    said = run("temps", "add", silent(tmp_path, *A_HARD_JANUARY_F), "--dry-run", "--on", "2026-06-01").stdout
    assert "taken as °F, because in °C 2026-01 has a mean of" in said
    assert "; the normals in site.toml agree with it." in said


def test_without_normals_and_days_held_the_unit_is_asked_for_and_can_be_said(
    run: Run, orchard_path: Path, tmp_path: Path
) -> None:
    without_normals(orchard_path)
    file = silent(tmp_path, *A_HARD_JANUARY_F)
    done = run("temps", "add", file, "--on", "2026-06-01")
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (1, "", 1)
    assert "--unit celsius or --unit fahrenheit" in done.stderr
    assert not (orchard_path / ADDED).exists()
    done = run("temps", "add", file, "--on", "2026-06-01", "--unit", "fahrenheit")
    assert done.returncode == 0
    assert "taken as °F, because --unit says so." in done.stdout
    assert (orchard_path / ADDED).read_text().splitlines()[1] == "2026-01-01,-20,-10"


def test_days_held_settle_the_unit_of_the_next_file(run: Run, orchard_path: Path, tmp_path: Path) -> None:
    without_normals(orchard_path)
    held = table(tmp_path / "held.csv", date(2025, 1, 1), *[(-21.0, -11.0)] * 31)
    assert run("temps", "add", str(held), "--on", "2026-06-01").returncode == 0
    done = run("temps", "add", silent(tmp_path, *A_HARD_JANUARY_F), "--on", "2026-06-01")
    assert "taken as °F, because in °C" in done.stdout
    assert "; the days held agree with it." in done.stdout


def test_a_forecast_that_does_not_say_its_unit_is_held_against_its_month(run: Run, tmp_path: Path) -> None:
    file = silent(tmp_path, *[(49, 64)] * 10, first=date(2026, 6, 2))
    assert "taken as °F" in run("temps", "add", file, "--on", "2026-06-01").stdout
    file = silent(tmp_path, *[(4, 9)] * 10, first=date(2026, 1, 2))
    done = run("temps", "add", file, "--on", "2026-01-01")
    assert "--unit celsius or --unit fahrenheit" in done.stderr


def test_a_unit_against_what_the_file_says_is_refused_in_words(run: Run, tmp_path: Path) -> None:
    file = table(tmp_path / "own.csv", TODAY, (1, 5))
    done = run("temps", "add", str(file), "--unit", "fahrenheit")
    assert done.returncode == 1
    assert 'own.csv, line 1: the file says °C (column "tmin_c"), but --unit says °F. Leave --unit away' in done.stderr
    done = run("temps", "add", str(SAVED_FORECAST), "--unit", "fahrenheit")
    assert "the file says °C (it is Open-Meteo daily), but --unit says °F" in done.stderr


def test_the_help_says_what_each_unit_means(run: Run) -> None:
    said = " ".join(run("temps", "add", "--help").stdout.split())
    for words in ("[celsius|fahrenheit|tenths]", "celsius takes 21.5 as 21.5 °C", "fahrenheit takes 70.7 as 21.5 °C"):
        assert words in said


def test_a_person_s_own_file_in_fahrenheit_says_so_in_its_first_line(bench: Workbench) -> None:
    table(bench.path / "temperatures" / "own.csv", TODAY, (32, 50), header="date,tmin_f,tmax_f")
    series = temperatures_of(bench._folder, TODAY).series
    assert series is not None
    assert series.day(TODAY) == (0.0, 10.0, "m")


def test_a_long_file_is_followed_at_a_terminal_and_not_in_a_pipe(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("tendwork.cli.temps._SECONDS_BETWEEN_REPORTS", 0.0)
    _lines_read(tmp_path / "long.csv")(65_536)
    assert capsys.readouterr().err == "long.csv: still reading, 65,536 lines so far ...\n"
    monkeypatch.setattr("tendwork.cli.temps._SECONDS_BETWEEN_REPORTS", 60.0)
    _lines_read(tmp_path / "long.csv")(65_536)
    assert capsys.readouterr().err == ""
    assert run("temps", "add", str(table(tmp_path / "short.csv", TODAY, (1, 5))), "--on", "2026-06-01").stderr == ""


def test_with_damaged_sources_nothing_is_written_and_what_to_do_keeps_whom_days_are_owed_to(
    bench: Workbench, tmp_path: Path
) -> None:
    (bench.path / "temperatures" / "sources.toml").write_text("[damaged")
    own = table(tmp_path / "own.csv", TODAY - 2 * DAY, (1, 9), (2, 8))
    with pytest.raises(PersonError, match=r"sources\.toml.*set the file aside.*stands only in it"):
        bench.temperatures.add(own, TODAY, False, None)
    assert not (bench.path / ADDED).exists()


def test_what_was_written_before_a_file_could_not_be_is_said(
    bench: Workbench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(path: Path, content: bytes) -> None:
        if path.name == "forecast.csv":
            raise PersonError(f"{path}: cannot be written (no space left on device); what stood there stays")
        path.write_bytes(content)

    monkeypatch.setattr("tendwork.folder.temperatures_csv.write_own", no_room)
    own = table(tmp_path / "own.csv", TODAY - DAY, (1, 9), (2, 8), (3, 7))
    with pytest.raises(PersonError, match=r"stays\. temperatures/added\.csv had been written before"):
        bench.temperatures.add(own, TODAY, False, None)
    assert TODAY - DAY in days(bench, ADDED)


def test_lines_that_cannot_be_believed_stay_in_the_file_until_there_is_a_better_one(
    bench: Workbench, tmp_path: Path
) -> None:
    mistyped = f"{TODAY - 9 * DAY},1,99\n{TODAY - 8 * DAY},9,2.5\n{TODAY - 7 * DAY},,4\n"
    (bench.path / ADDED).write_text(f"date,tmin_c,tmax_c\n{mistyped}{TODAY - 6 * DAY},1,9\n")
    bench.temperatures.add(table(tmp_path / "own.csv", TODAY - 2 * DAY, (1, 9)), TODAY, False, None)
    text = (bench.path / ADDED).read_text()
    assert text == f"date,tmin_c,tmax_c\n{mistyped}{TODAY - 6 * DAY},1,9\n{TODAY - 2 * DAY},1,9\n"
    bench.temperatures.add(table(tmp_path / "own.csv", TODAY - 9 * DAY, (1, 9.9)), TODAY, False, None)
    assert (bench.path / ADDED).read_text() == text.replace("1,99", "1,9.9")

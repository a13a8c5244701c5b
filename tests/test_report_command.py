"""`tendwork report` on a real folder: words, page and JSON, which season it takes, and what it refuses."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from hill import SITE

from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard
from tendwork.workbench.exports import season_page, write_season_page

Run = Callable[..., subprocess.CompletedProcess[str]]
GRAFTS = """id,tree,variety,method,state,set_on
k1,t1,Autumn Kept,cleft,took,2026-04-10
k2,t1,Autumn Lost,cleft,failed,2026-04-10
k3,t1,Autumn Old,cleft,bearing,2019
"""
TASTINGS = "date,graft,ripe,score\n2026-09-20,k3,ripe,4\n"
DEMO_DAY = date(2026, 11, 30)


@pytest.fixture
def worked(run: Run, tmp_path: Path) -> Run:
    """The small orchard with three grafts and a tasting more."""
    for kind, text in (("grafts", GRAFTS), ("tastings", TASTINGS)):
        file = tmp_path / f"{kind}.csv"
        file.write_text(text)
        assert run("bring", str(file), "--as", kind, "--on", "2026-12-01").returncode == 0
    return run


@pytest.mark.parametrize(
    ("on", "season"), [("2026-12-01", 2026), ("2027-03-31", 2026), ("2027-04-01", 2027), ("2026-10-31", 2026)]
)
def test_until_spring_it_is_the_season_of_last_year_s_crop(worked: Run, on: str, season: int) -> None:
    assert worked("report", "--on", on).stdout.splitlines()[0] == f"Test hill: season {season}"


def test_it_is_printed_in_eighty_columns_with_all_its_parts(worked: Run) -> None:
    text = worked("report", "2026", "--on", "2026-12-01").stdout
    assert max(map(len, text.splitlines())) <= 80
    assert [line.split(" -")[0] for line in text.splitlines() if line.endswith("----")] == [
        "Set and took", "Lost", "Crops", "Weeks with fruit", "Wood given and received", "Hours", "Jobs",
        "Frost and heat", "Full bloom", "Learned of this place",
    ]  # fmt: skip
    assert "Best: Autumn Old (1 tasting): 4 of 5." in text


def test_the_json_says_the_same(worked: Run) -> None:
    made = json.loads(worked("report", "2026", "--json", "--on", "2026-12-01").stdout)
    assert (made["season"], made["from"], made["to"], made["over"]) == (2026, "2025-11-01", "2026-10-31", True)
    by_method = {one["method"]: (one["set"], one["took"], one["failed"]) for one in made["set"]["by_method"]}
    assert by_method["cleft"][:2] >= (2, 1)
    assert [one["graft"] for one in made["lost"]] == ["k2"]
    jobs = made["jobs"]
    assert jobs["all"] == jobs["done"] + jobs["skipped"] + jobs["missed"] + jobs["still_to_do"] > 0


def test_it_is_written_as_a_page_and_over_one_of_its_own_but_over_nothing_else(worked: Run, tmp_path: Path) -> None:
    page, notes = tmp_path / "year.html", tmp_path / "notes.txt"
    notes.write_text("mine")
    for _ in range(2):
        assert worked("report", "--html", str(page), "--on", "2026-12-01").stdout == f"Wrote {page}.\n"
    assert "<h1>" in page.read_text()
    refused = worked("report", "--html", str(notes), "--on", "2026-12-01")
    assert (refused.returncode, notes.read_text()) == (1, "mine")


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("2030",), 1, "Season 2030 has not begun"),
        (("999999999",), 1, "Season 999999999 has not begun"),
        (("-3",), 2, "-3"),
        (("0",), 1, "Nothing is recorded of season 0"),
        (("soon",), 2, "soon"),
        (("--json", "--html", "x.html"), 2, "Ask for one after the other"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(worked: Run, words: tuple[str, ...], status: int, said: str) -> None:
    done = worked("report", *words, "--on", "2026-12-01")
    assert done.returncode == status
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_no_page_goes_over_a_file_of_the_folder(worked: Run, orchard_path: Path) -> None:
    before = (orchard_path / "records.db").read_bytes()
    for name in ("records.db", "site.toml", "adjustments.toml"):
        assert worked("report", "--html", str(orchard_path / name), "--on", "2026-12-01").returncode == 1
    assert (orchard_path / "records.db").read_bytes() == before


@pytest.mark.usefixtures("worked")
def test_reading_a_report_changes_no_record_and_no_plan(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    today = date(2026, 12, 1)
    records, plan = bench.records.read(), bench.plan.of(today).plan
    season_page(bench, 2026, today)
    assert (bench.records.read(), bench.plan.of(today).plan) == (records, plan)
    bench.close()


def test_a_place_in_the_south_has_its_season_from_may_to_april(run: Run, orchard_path: Path, tmp_path: Path) -> None:
    (orchard_path / "site.toml").write_text(SITE.replace("latitude = 52.1", "latitude = -42.1"))
    file = tmp_path / "grafts.csv"
    file.write_text("id,tree,variety,method,state,set_on\ns1,t1,South One,cleft,took,2026-09-20\n")
    assert run("bring", str(file), "--as", "grafts", "--on", "2027-05-10").returncode == 0
    text = run("report", "--on", "2027-05-10").stdout  # in autumn: the crop of this February to April
    assert text.splitlines()[0] == "Test hill: season 2026"
    assert "Fri 1 May 2026 to Fri 30 Apr 2027" in text
    made = json.loads(run("report", "--on", "2027-05-10", "--json").stdout)
    assert made["set"]["set"] == 1
    assert [one["from"] for one in made["hours"]] == ["2026-05-01", "2026-08-01", "2026-11-01", "2027-02-01"]
    assert made["weather"]["degree_days_above_5_c"][0]["to"] == "2027-02-28"
    assert made["crops"]["weeks"][0]["from"] == "2026-12-21"


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Workbench:
    return Workbench.open(demo_orchard(DEMO_DAY, tmp_path_factory.mktemp("sample") / "orchard"))


def test_the_sample_s_sums_add_up_and_every_part_of_it_says_something(sample: Workbench) -> None:
    found = sample.plan.season_report(None, DEMO_DAY)
    grafts, crops, jobs = found.grafts, found.crops, found.work.jobs
    assert found.season.name == 2026
    for tallies in (grafts.by_method, grafts.by_giver, grafts.by_wood_age):
        assert sum(one.set for one in tallies) == grafts.total.set > 0
    assert sum(week.has_fruit for week in crops.weeks) + sum(gap.weeks for gap in crops.gaps) == 27
    assert jobs.total == jobs.done + jobs.skipped + jobs.missed + jobs.still_to_do > 0
    assert sum(one.planned for one in found.work.hours) > 0
    assert len(found.others) >= 10
    assert all(one.own is not None for one in found.bloom)
    assert found.learned.stages
    assert found.learned.picks


def test_a_report_of_an_earlier_season_leaves_out_what_came_later(sample: Workbench) -> None:
    earlier = sample.plan.season_report(2025, DEMO_DAY)
    assert earlier.grafts.total.set > 0
    assert all(loss.day is None or loss.day.year <= 2025 for loss in earlier.grafts.losses)
    assert earlier.learned.following == 2026


def test_the_bench_refuses_what_the_command_refuses(sample: Workbench, tmp_path: Path) -> None:
    with pytest.raises(PersonError, match="has not begun"):
        write_season_page(sample, tmp_path / "x.html", 2031, DEMO_DAY)
    assert not (tmp_path / "x.html").exists()


def test_without_temperatures_the_report_says_that_they_are_not_known(run: Run, orchard_path: Path) -> None:
    shutil.rmtree(orchard_path / "temperatures", ignore_errors=True)
    text = run("report", "--on", "2026-12-01").stdout
    assert "Nothing known: no temperatures of this season are on file." in text

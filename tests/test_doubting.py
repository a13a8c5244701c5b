"""Bud stages that the almanac or another sighting contradicts: asked about once more, taken all the same, listed."""

from __future__ import annotations

import subprocess
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard
from tendwork.workbench.folder_check import check_folder

Run = Callable[..., subprocess.CompletedProcess[str]]

TODAY = date(2026, 4, 10)
HISTORY_YEARS, HISTORY_SECONDS = 40, 10.0


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo_orchard(TODAY, tmp_path_factory.mktemp("doubts") / "orchard")


@pytest.fixture
def sample(made: Path, tmp_path: Path) -> Path:
    import shutil

    return Path(shutil.copytree(made, tmp_path / "sample"))


def test_full_bloom_a_month_early_is_refused_with_what_was_expected_and_how_to_insist(run: Run, sample: Path) -> None:
    words = ("--orchard", str(sample), "saw", "apple", "full bloom", "--on", "2026-04-10")
    refused = run(*words, orchard=None)
    assert (refused.returncode, refused.stdout) == (1, "")
    assert "the almanac expected it from " in refused.stderr
    assert "add --sure" in refused.stderr
    insisted = run(*words, "--sure", orchard=None)
    assert (insisted.returncode, insisted.stdout) == (0, "apple seen at full bloom on 2026-04-10.\n")


def test_what_the_almanac_foresees_is_not_asked_about(sample: Path) -> None:
    bench = Workbench.open(sample)
    foreseen = {
        row.stage: row for held in bench.plan.of(TODAY).stages if held.species == "apple" for row in held.stages
    }
    for stage in ("half-inch green", "pink", "full bloom", "petal fall"):
        for day in (foreseen[stage].low, foreseen[stage].date, foreseen[stage].high):
            assert bench.records.doubt("apple", stage, day, TODAY) == ""


def test_a_stage_before_one_that_was_seen_already_is_refused(sample: Path) -> None:
    bench = Workbench.open(sample)
    with pytest.raises(PersonError, match=r'"green tip", which comes after it, was seen on [0-9]+ Mar'):
        bench.records.saw("apple", "silver tip", TODAY)
    assert not any(sighting.day == TODAY for sighting in bench.records.read().sightings)


def test_a_file_with_such_a_stage_is_taken_and_the_stage_is_listed_there_and_in_the_check(sample: Path) -> None:
    file = sample.parent / "seen.csv"
    file.write_text("date,species,stage\n2026-04-09,pear,green cluster\n2026-04-10,apple,full bloom\n")
    bench = Workbench.open(sample)
    brought, doubt = bench.records.bring(file, "sightings", TODAY)
    assert brought.startswith("Brought 2 new")
    assert doubt.startswith('Look again at the sighting apple at "full bloom" on 2026-04-10: the almanac expected it')
    faults, warnings = check_folder(sample, TODAY)
    assert (faults, doubt in warnings) == ((), True)


def test_the_sightings_of_the_sample_are_beyond_doubt(sample: Path) -> None:
    faults, warnings = check_folder(sample, TODAY)
    assert faults == ()
    assert [words.partition(":")[0] for words in warnings] == [
        "No height is noted of the crowns of Rookery cherry",
        "Union of g51",
    ]


def test_a_long_history_comes_in_quickly(sample: Path) -> None:
    """Of every year of many, five stages of three species; days as an invented gardener might have noted them."""
    stages = {
        "apple": ("green tip", "pink", "full bloom", "petal fall", "leaf fall"),
        "pear": ("bud burst", "white bud", "full bloom", "petal fall", "leaf fall"),
        "plum": ("bud burst", "white bud", "full bloom", "petal fall", "leaf fall"),
    }
    days = ("03-28", "05-01", "05-10", "05-22", "11-05")
    rows = [
        f"{year}-{day},{species},{stage}"
        for year in range(TODAY.year - HISTORY_YEARS, TODAY.year)
        for species, names in stages.items()
        for stage, day in zip(names, days, strict=True)
    ]
    file = sample.parent / "history.csv"
    file.write_text("\n".join(["date,species,stage", *rows]))
    bench = Workbench.open(sample)
    began = time.process_time()
    said = bench.records.bring(file, "sightings", TODAY)
    assert int(said[0].split()[1]) >= len(rows) - 1  # the sample may hold one of them
    assert time.process_time() - began < HISTORY_SECONDS

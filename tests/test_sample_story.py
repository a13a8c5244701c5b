"""What the sample orchard tells of its season of fruit: twelve weeks without any, four once what is proposed bears."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from forking import Commands

from tendwork.workbench.demo import demo_orchard

TODAY = "2026-11-30"
EARLY_SUMMER = ["06-21", "06-28", "07-05", "07-12"]
AUGUST = ["08-09", "08-16"]
END_OF_YEAR = ["11-15", "11-22", "11-29", "12-06", "12-13", "12-20"]
SOURCES = {"Reapers' Streak": "promised", "All Souls Leathercoat": "wished for", "Yule Costard": "asked for"}


def proposed(commands: Commands, day: str) -> dict[str, Any]:
    done = commands.run("--demo", "--on", day, "propose", "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)  # type: ignore[no-any-return]


@pytest.mark.parametrize("day", [TODAY, "2027-02-20", "2030-12-10"])
def test_all_winter_twelve_weeks_without_fruit_become_the_four_of_early_summer(commands: Commands, day: str) -> None:
    season = proposed(commands, day)["season"]
    assert season["bare_before"] == [*EARLY_SUMMER, *AUGUST, *END_OF_YEAR]
    assert season["bare_after"] == EARLY_SUMMER


def test_the_command_says_so_in_its_first_sentences(commands: Commands) -> None:
    text = " ".join(commands.run("--demo", "--on", TODAY, "propose").stdout.split())
    assert "Of the 27 weeks from 21 Jun to 26 Dec: now 12 without" in text
    assert "with these grafts, once they bear, 4 " in text


def test_every_line_has_its_reason_and_three_of_them_fill_weeks(commands: Commands) -> None:
    lines = proposed(commands, TODAY)["lines"]
    assert all(line["because"] for line in lines)
    filling = [line for line in lines if "week" in line["because"]]
    assert {line["variety"]: line["source"] for line in filling} == SOURCES


def test_a_cherry_for_early_summer_is_wished_for_and_finds_no_place(commands: Commands) -> None:
    why = {one["variety"]: one["because"] for one in proposed(commands, TODAY)["not_chosen"]}
    assert "none of the trees with a free place" in why["Haysel Heart"]


def test_what_is_accepted_and_undone_leaves_the_records_byte_for_byte(commands: Commands, tmp_path: Path) -> None:
    orchard = demo_orchard(date.fromisoformat(TODAY), tmp_path / "sample")

    def run(*words: str) -> None:
        done = commands.run("--orchard", str(orchard), *words)
        assert done.returncode == 0, done.stderr

    def given(name: str) -> dict[str, bytes]:
        run("give", str(tmp_path / name))
        return {file.name: file.read_bytes() for file in (tmp_path / name).iterdir()}

    before = given("before")
    run("--on", TODAY, "propose", "--accept")
    after = given("after")
    assert {name for name in before if after[name] != before[name]} == {"grafts.csv", "lives.csv"}
    assert all(variety.encode() in after["grafts.csv"] for variety in SOURCES)
    run("--on", TODAY, "undo")
    assert given("undone") == before

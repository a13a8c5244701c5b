"""Six years of one place in a crown, through the real commands: every needed job comes, none twice, no wrap is lost."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tendwork.cli import cli
from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

TO_DO = ("late", "closing", "open", "waiting", "coming")
ABOUT_WRAPS = ("wraps-", "look-at-wraps")


class Place:
    """The place g9 of the small orchard, looked at on many days."""

    def __init__(self, orchard: Path, files: Path) -> None:
        self.orchard = orchard
        self._files = files
        self.seen: set[str] = set()

    def said(self, day: date, *words: str) -> str:
        """What a command prints; a refusal is its sentence."""
        done = CliRunner().invoke(cli, ["--orchard", str(self.orchard), "--on", day.isoformat(), *words])
        if isinstance(done.exception, PersonError):
            return str(done.exception)
        assert done.exit_code == 0, (words, done.output, done.exception)
        return done.output

    def shape(self, day: date, *words: str) -> Any:
        return json.loads(self.said(day, *words, "--json"))

    def bring(self, day: date, rows: str) -> str:
        file = self._files / "rows.csv"
        file.write_text(rows)
        told = self.said(day, "bring", str(file), "--as", "grafts")
        assert told.startswith("Brought"), told
        return told

    def look(self, day: date) -> dict[str, str]:
        """The jobs of the week that are to do for g9, template by state; each may stand there once."""
        week: dict[str, str] = {}
        for task in self.shape(day, "week")["tasks"]:
            mine = [unit for unit in task["units"] if unit["id"] == "g9"]
            assert len(mine) <= 1, f"{day}: g9 twice in {task['key']}"
            if mine and mine[0]["state"] in TO_DO:
                assert task["template"] not in week, f"{day}: {task['template']} stands twice"
                week[task["template"]] = mine[0]["state"]
        season = self.shape(day, "season")["tasks"]
        keys = [task["key"] for task in season]
        assert len(keys) == len(set(keys))
        self.seen |= {task["template"] for task in season for unit in task["units"] if unit["id"] == "g9"}
        return week

    def job(self, day: date, template: str) -> dict[str, Any]:
        """The job of the season for g9 that is still to do."""
        found = [
            task
            for task in self.shape(day, "season")["tasks"]
            for unit in task["units"]
            if task["template"] == template and unit["id"] == "g9" and unit["state"] in TO_DO
        ]
        assert len(found) == 1, f"{day}: {len(found)} jobs {template}"
        return found[0]

    def tick(self, day: date, template: str, outcome: str, *more: str) -> str:
        return self.said(day, "tick", self.job(day, template)["key"], "g9", "--outcome", outcome, *more)


def days(first: date, last: date, step: int) -> Iterator[date]:
    while first < last:
        yield first
        first += timedelta(days=step)


@pytest.mark.parametrize("step", [60, pytest.param(21, marks=pytest.mark.slow)])
def test_six_years_of_one_place(orchard_path: Path, tmp_path: Path, step: int) -> None:
    place = Place(orchard_path, tmp_path)

    # Planned without a method: said at once with what is open, the wood is asked for, no grafting job comes.
    told = place.bring(date(2025, 12, 1), "id,tree,variety,state\ng9,t1,First Lamp,planned\n")
    assert "1 graft (g9) is planned with no method, so no grafting job comes." in told
    week = " ".join(place.said(date(2026, 1, 10), "week").split())
    assert "Open for apple: bench graft (" in week
    assert ", cleft (" in week
    wood = [
        task
        for task in place.shape(date(2026, 1, 10), "season")["tasks"]
        if task["template"] == "ask-for-wood-apple-pear"
    ]
    assert any(unit["label"].startswith("First Lamp for 1 apple graft") for task in wood for unit in task["units"])
    for day in days(date(2026, 1, 10), date(2026, 4, 1), step):
        assert not {name for name in place.look(day) if name.startswith("cleft")}

    # Set, failed.
    place.bring(date(2026, 1, 11), "id,tree,variety,method,wrap\ng9,t1,First Lamp,cleft,film\n")
    assert "no method" not in place.said(date(2026, 1, 12), "week")
    place.tick(date(2026, 4, 6), "cleft-apple-pear", "set")
    place.look(date(2026, 5, 20))
    place.tick(date(2026, 5, 20), "check-take", "failed")
    place.look(date(2026, 5, 21))
    assert {"cleft-apple-pear", "check-seals", "check-take", "save-a-shoot"} <= place.seen
    assert not [row for row in place.shape(date(2026, 7, 1), "wraps")["wraps"] if row["graft"] == "g9"]

    # Planned again with another variety: the failed one is kept; set, and nobody notes the wrap.
    told = place.bring(date(2026, 12, 1), "id,tree,variety,state,wrap\ng9,t1,Second Lamp,planned,\n")
    assert "Graft g9: First Lamp, set on 2026-04-06, is kept in the history of its place." in told
    told = place.tick(date(2027, 4, 10), "cleft-apple-pear", "set")
    assert "wrap" in told
    place.seen.clear()
    place.look(date(2027, 5, 20))
    place.tick(date(2027, 5, 20), "check-take", "took")

    # The wrap is forgotten over a winter, and never out of sight from its sixth week on.
    for day in days(date(2027, 5, 22), date(2028, 1, 20), step):
        about = [name for name in place.look(day) if name.startswith(ABOUT_WRAPS)]
        assert about == ["wraps-unknown"], day
        (row,) = [row for row in place.shape(day, "wraps")["wraps"] if row["graft"] == "g9"]
        assert (row["wrap"], row["set_on"], row["days"]) == ("", "2027-04-10", (day - date(2027, 4, 10)).days)
    assert place.look(date(2028, 1, 18))["wraps-unknown"] == "late"
    check = place.job(date(2028, 1, 18), "check-labels-and-ties")
    assert "Second Lamp (g9)" in check["because"][0]
    old = place.job(date(2028, 1, 18), "wraps-unknown")["key"]
    assert old == "wraps-unknown/t1/2027"
    assert "constriction" in place.said(date(2028, 1, 18), "why", old)
    place.tick(date(2028, 1, 20), "wraps-unknown", "off")
    assert "already" in place.said(date(2028, 1, 21), "tick", old, "g9", "--outcome", "off")

    # It bears, is judged, is cut; no wrap is asked for any more.
    for day in days(date(2028, 1, 22), date(2029, 9, 1), step):
        assert not [name for name in place.look(day) if name.startswith(ABOUT_WRAPS)], day
    place.bring(date(2029, 9, 1), "id,tree,variety,state\ng9,t1,Second Lamp,bearing\n")
    for day in days(date(2029, 9, 2), date(2031, 10, 10), step):
        assert not [name for name in place.look(day) if name.startswith(ABOUT_WRAPS)], day
    needed = {
        "check-take", "rub-off-weekly", "rub-off-fortnightly", "choose-one-shoot", "brace-grafts", "first-year-fruit",
        "wraps-unknown", "look-at-wraps", "lasting-labels", "check-labels-and-ties", "second-year-fruit", "note-growth",
        "taste-apples", "judge-varieties",
    }  # fmt: skip
    assert needed <= place.seen, needed - place.seen
    place.tick(date(2031, 10, 10), "judge-varieties", "cut")
    place.look(date(2032, 2, 10))
    place.tick(date(2032, 2, 10), "remove-cut-verdicts-pome", "removed")

    # Grafted again: a new life, with jobs of its own.
    told = place.bring(date(2032, 2, 20), "id,tree,variety,state,method,wrap\ng9,t1,Third Lamp,planned,cleft,\n")
    assert "Second Lamp, set on 2027-04-10, is kept" in told
    place.seen.clear()
    place.tick(date(2032, 4, 10), "cleft-apple-pear", "set", "--wrap", "PVC tape")
    place.look(date(2032, 6, 1))
    place.tick(date(2032, 6, 1), "check-take", "took")
    for day in days(date(2032, 6, 2), date(2032, 10, 1), step):
        assert [name for name in place.look(day) if name.startswith(ABOUT_WRAPS)] == ["wraps-tape-pome"], day
    assert "judge-varieties" not in place.seen

    bench = Workbench.open(orchard_path)
    lives = bench.records.read().lives
    (now,) = [graft for graft in bench.records.read().grafts if graft.id == "g9"]
    bench.close()
    assert [(life.variety, life.state, life.wrap, life.verdict) for life in lives] == [
        ("First Lamp", "failed", "film", "on trial"),
        ("Second Lamp", "removed", "", "cut"),
    ]
    assert (now.variety, now.state, now.wrap, now.verdict) == ("Third Lamp", "took", "PVC tape", "on trial")


def test_what_cannot_be_is_a_sentence_and_nothing_is_lost(orchard_path: Path, tmp_path: Path) -> None:
    place = Place(orchard_path, tmp_path)
    day = date(2026, 11, 2)
    place.bring(day, "id,tree,variety,method,wrap,state,set_on\ng9,t1,First Lamp,cleft,bandage,took,2025-04-10\n")
    assert 'No rule knows the wrap "bandage" (g9)' in place.said(day, "check")
    assert place.shape(day, "wraps")["wraps"][0]["graft"] == "g9"
    lives = tmp_path / "lives.csv"
    lives.write_text("graft,variety,set_on,ended_on\ng9,Old Lamp,2024-04-01,2025-09-01\n")
    assert "Two grafts at g9: Old Lamp stood there until 2025-09-01" in place.said(
        day, "bring", str(lives), "--as", "lives"
    )
    lives.write_text("graft,variety,set_on,ended_on\ng9,Old Lamp,2024-04-01,2024-09-01\n")
    assert "1 new" in place.said(day, "bring", str(lives), "--as", "lives")
    ticks = tmp_path / "ticks.csv"
    ticks.write_text("date,task,unit,outcome\n2025-03-01,wraps-unknown/t1/2025,g9,off\n")
    place.said(day, "bring", str(ticks), "--as", "ticks")
    assert place.shape(day, "wraps")["wraps"][0]["graft"] == "g9"  # that was the wrap of another graft
    place.said(date(2026, 11, 3), "give", str(tmp_path / "out"))
    assert "Old Lamp" in (tmp_path / "out" / "lives.csv").read_text()
    assert "2025-03-01" in (tmp_path / "out" / "ticks.csv").read_text()

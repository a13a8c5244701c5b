"""A plan is made of the files that its token names, though they were edited after they were read first."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tendwork.errors import PersonError
from tendwork.planning.results import Plan
from tendwork.workbench import adjusting
from tendwork.workbench.bench import Workbench
from tendwork.workbench.records_room import JobTick

DAY = date(2026, 5, 6)
SWEEP = """
[[template]]
id = "own-sweep"
title = "Sweep"
part = "upkeep"
each = "site"
opens = { date = "05-01" }
closes = { date = "05-30" }
outcomes = ["swept"]
source = "invented for the tests"
"""


@pytest.fixture
def folder(orchard_path: Path) -> Path:
    (orchard_path / "templates").mkdir(exist_ok=True)
    return orchard_path


def templates_of(bench: Workbench) -> set[str]:
    return {task.template for task in bench.plan.of(DAY).plan.tasks}


def fresh_templates(folder: Path) -> set[str]:
    bench = Workbench.open(folder)
    found = templates_of(bench)
    bench.close()
    return found


def add_to_site(folder: Path, text: str) -> None:
    with (folder / "site.toml").open("a", encoding="utf-8") as site:
        site.write(text)


def test_a_rule_written_after_the_rules_were_read_is_in_the_next_plan_whoever_reads_it(folder: Path) -> None:
    bench = Workbench.open(folder)
    assert "own-sweep" not in templates_of(bench)
    (folder / "templates" / "own.toml").write_text(SWEEP, encoding="utf-8")
    bench.records.saw("apple", "green tip", DAY, sure=True)
    assert "own-sweep" in templates_of(bench)
    assert not bench.plan.changed()
    bench.close()
    assert "own-sweep" in fresh_templates(folder)


def test_a_rule_taken_away_is_gone_from_the_next_plan(folder: Path) -> None:
    own = folder / "templates" / "own.toml"
    own.write_text(SWEEP, encoding="utf-8")
    bench = Workbench.open(folder)
    assert "own-sweep" in templates_of(bench)
    own.unlink()
    assert "own-sweep" not in templates_of(bench)
    bench.close()
    assert "own-sweep" not in fresh_templates(folder)


def test_a_rule_that_is_edited_is_asked_for_as_it_stands(folder: Path) -> None:
    own = folder / "templates" / "own.toml"
    own.write_text(SWEEP, encoding="utf-8")
    bench = Workbench.open(folder)
    held = [one.title for one in bench.templates.loaded().templates if one.id == "own-sweep"]
    own.write_text(SWEEP.replace("Sweep", "Sweep up"), encoding="utf-8")
    now = [one.title for one in bench.templates.loaded().templates if one.id == "own-sweep"]
    assert (held, now) == (["Sweep"], ["Sweep up"])
    bench.close()


def test_rules_are_read_once_as_long_as_their_files_stay(folder: Path) -> None:
    bench = Workbench.open(folder)
    assert bench.templates.loaded() is bench.templates.loaded()
    bench.close()


def test_hours_edited_in_the_site_file_are_those_of_the_next_plan(folder: Path) -> None:
    bench = Workbench.open(folder)
    before = bench.plan.of(DAY).plan.days
    add_to_site(folder, "\n[hours]\nsunday = 7\n")
    after = bench.plan.of(DAY).plan.days
    assert sorted(day.minutes for day in after) == [0.0] * 6 + [420.0]
    assert after != before
    assert bench.site.hours == (0,) * 6 + (7,)
    bench.close()
    bench = Workbench.open(folder)
    assert bench.plan.of(DAY).plan.days == after
    bench.close()


def test_another_unit_of_the_temperature_files_is_that_of_the_next_plan(folder: Path) -> None:
    add_to_site(folder, '\n[[temperatures]]\nfile = "temperatures/own.csv"\n')
    (folder / "temperatures").mkdir(exist_ok=True)
    rows = "".join(f"2026-04-{day:02d},32,50\n" for day in range(1, 31))
    (folder / "temperatures" / "own.csv").write_text(f"date,tmin_c,tmax_c\n{rows}", encoding="utf-8")
    bench = Workbench.open(folder)
    before = bench.plan.of(DAY).stages
    add_to_site(folder, 'units = "us"\n')
    after = bench.plan.of(DAY).stages
    bench.close()
    (folder / "cache" / "plan.msgpack").unlink()
    bench = Workbench.open(folder)
    assert bench.plan.of(DAY).stages == after != before
    bench.close()


def test_a_site_file_that_was_broken_meanwhile_is_named_and_no_plan_is_kept_for_it(folder: Path) -> None:
    bench = Workbench.open(folder)
    kept = bench.plan.of(DAY).token
    add_to_site(folder, "\nnonsense\n")
    with pytest.raises(PersonError, match=r"site\.toml"):
        bench.plan.of(DAY)
    last = bench.plan.last()
    assert last is not None
    assert last.token == kept
    bench.close()


def test_a_job_of_a_rule_of_one_s_own_is_ticked_without_asking_the_rules_what_its_units_are(folder: Path) -> None:
    (folder / "templates" / "own.toml").write_text(SWEEP, encoding="utf-8")
    bench = Workbench.open(folder)
    assert bench.plan.task("own-sweep/site/2026", DAY).each == "site"
    bench.records.tick([JobTick("own-sweep/site/2026")], DAY)
    assert [tick.outcome for tick in bench.records.read().ticks] == ["swept"]
    bench.close()


def test_a_preview_compares_plans_of_the_same_records_though_another_writes_meanwhile(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench, other = Workbench.open(folder), Workbench.open(folder)
    really = adjusting.planned

    def planned(*given: Any) -> Plan:
        made = really(*given)
        other.records.entries.add("trees", {"name": "Late pear", "species": "pear"}, DAY)
        return made

    monkeypatch.setattr(adjusting, "planned", planned)
    same = bench.templates.adjustments()
    preview = bench.plan.preview(same, DAY)
    assert (preview.moves, preview.losses) == ((), ())
    bench.close()
    other.close()

"""What is published of a variety's bloom, where a person reads it: the reasons of a job, and the screen Fruit."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

from tendwork.orchard.records import Graft, Records, Tree
from tendwork.view.bloom import bloom_lines, bloom_rows

Run = Callable[..., CompletedProcess[str]]

GRAFTS = """tree,variety,method,wrap,state,set_on,height_m
t1,Newton Wonder,whip and tongue,none,bearing,2015-04-10,1.5
t1,Egremont Russet,whip and tongue,none,{state},2015-04-10,1.2
"""
PUBLISHED = "usually in full bloom 4 days earlier than its species (bloom group 2, BBC Gardeners' World, 2021)"


def windows(run: Run, tmp_path: Path, state: str) -> str:
    file = tmp_path / "more.csv"
    file.write_text(GRAFTS.format(state=state))
    assert run("bring", str(file), "--as", "grafts", "--on", "2026-01-10").returncode == 0
    return " ".join(run("why", "taste-apples/t1/2026", "--on", "2026-09-01").stdout.split())


def test_why_says_where_a_variety_s_own_days_come_from(run: Run, tmp_path: Path) -> None:
    said = windows(run, tmp_path, "bearing")
    assert f"This variety is {PUBLISHED}." in said


def test_the_windows_of_an_early_and_a_late_variety_differ(run: Run, tmp_path: Path) -> None:
    said = windows(run, tmp_path, "bearing")
    late, early = (said.split(f"{name} (")[1].split("until ")[1][:6] for name in ("Newton Wonder", "Egremont Russet"))
    assert late != early


def test_fruit_says_of_a_variety_what_is_published_of_its_bloom() -> None:
    grafts = tuple(
        Graft(f"g{n}", "t1", name, state="bearing") for n, name in enumerate(("Egremont Russet", "Red Lamp"))
    )
    rows = bloom_rows(Records(trees=(Tree("t1", "Old apple", "apple"),), grafts=grafts))
    shown = {row.variety: " ".join(bloom_lines(row, 78)) for row in rows}
    assert f"Published: {PUBLISHED}." in " ".join(shown["Egremont Russet"].split())
    assert "Published" not in shown["Red Lamp"]


EARLY_AND_LATE_TREES = "id,name,species\na2,Early tree,apple\na3,Late tree,apple\n"
EARLY_AND_LATE = """tree,variety,method,wrap,state,set_on
a2,Lodi,whip and tongue,none,bearing,2006-04-10
a3,Rome Beauty,whip and tongue,none,took,2006-04-10
a3,Rome Beauty,cleft,none,planned,
"""


def test_bloom_seen_on_the_tree_of_an_early_variety_is_no_fact_of_the_tree_of_a_late_one(
    run: Run, tmp_path: Path
) -> None:
    for kind, text in (("trees", EARLY_AND_LATE_TREES), ("grafts", EARLY_AND_LATE)):
        file = tmp_path / f"{kind}.csv"
        file.write_text(text)
        assert run("bring", str(file), "--as", kind, "--on", "2026-01-10").returncode == 0
    assert run("saw", "apple", "full bloom", "--tree", "a2", "--on", "2026-05-08", "--sure").returncode == 0

    def why(key: str) -> str:
        return " ".join(run("why", key, "--on", "2026-05-09").stdout.split())

    assert "apple full bloom, seen 8 May" in why("thin-apple-pear/a2/2026")
    of_the_tree, of_the_fruit = why("thin-apple-pear/a3/2026"), why("first-fruit/a3/2026")
    (expected,) = {said.split("apple full bloom, ")[1].split(")")[0] for said in (of_the_tree, of_the_fruit)}
    assert expected.startswith("expected ")
    for said in (of_the_tree, of_the_fruit):
        assert "Lodi was seen so on 2026-05-08." in said
        assert "This variety is usually in full bloom 6 days later than its species" in said
    stages = run("stages", "--on", "2026-05-09").stdout
    bloom = next(line for line in stages.splitlines() if "full bloom" in line)
    assert "8 May" not in bloom
    assert "seen" not in bloom

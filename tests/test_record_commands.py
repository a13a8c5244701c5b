"""`wood`, `fruit`, `rates` and `undo` on a real folder: what they print and their JSON."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from tendwork.cli.read import wood
from tendwork.cli.records import fruit, rates, undo
from tendwork.cli.session import Session
from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

ON = date(2026, 4, 11)
WOOD = """id,variety,species,sticks,cut_on,from,kept,promised_to,promised_sticks
w1,Green Lamp,apple,2,2026-01-20,R. Dale,fridge,P. Weir,2
w2,Long Lamp,pear,3,2025-11-20,t2,sand pit,,
"""
OLD = """id,tree,variety,state,set_on,ripens_from,ripens_to,verdict
g8,t1,Old Lamp,bearing,2015-04-01,09-01,09-20,on trial
g9,t1,Dull Lamp,bearing,2015-04-01,,,cut
"""
TASTINGS = "date,graft,ripe,score\n2023-09-10,g8,ripe,5\n2024-09-10,g8,ripe,4\n2025-09-10,g8,ripe,5\n"


@pytest.fixture
def orchard(orchard_path: Path, tmp_path: Path) -> Path:
    """Two trees, six grafts, one of them planned, two bundles, three tastings."""
    bench = Workbench.open(orchard_path)
    for kind, text in (("wood", WOOD), ("grafts", OLD), ("tastings", TASTINGS)):
        file = tmp_path / f"{kind}.csv"
        file.write_text(text)
        bench.records.bring(file, kind, date(2026, 11, 1))
    bench.close()
    return orchard_path


def said(command: object, orchard: Path, *words: str) -> str:
    session = Session(orchard, ON, False)
    done = CliRunner().invoke(command, list(words), obj=session, catch_exceptions=False)  # type: ignore[arg-type]
    session.bench.close()
    assert done.exit_code == 0, done.output
    return done.output


def test_wood_says_what_presses_then_ages_and_the_balance(orchard: Path) -> None:
    text = said(wood, orchard)
    # One planned graft needs a stick, 2 are promised, 2 held: 1 is missing.
    assert text.startswith(
        "2 bundles, 5 sticks\n! Green Lamp (apple): 1 stick missing for 1 planned graft and 2 sticks"
    )
    assert "fresh, 12 weeks old, 10 weeks left; from R. Dale; kept fridge; 2 promised to P. Weir" in " ".join(
        text.split()
    )
    # 142 days from 20 November; pear wood is good for 122 and counts for 152.
    assert "fading, 20 weeks old, 10 days left; from t2; kept sand pit" in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80


def test_wood_as_json_has_each_bundle_with_its_age_and_the_balances(orchard: Path) -> None:
    shape = json.loads(said(wood, orchard, "--json"))
    assert [(one["id"], one["sticks"], one["state"], one["days_left"]) for one in shape["wood"]] == [
        ("w1", 2, "fresh", 71),
        ("w2", 3, "fading", 10),
    ]
    assert [(one["variety"], one["missing"], one["free"]) for one in shape["balance"]] == [
        ("Green Lamp", 1, 0),
        ("Long Lamp", 0, 3),
    ]
    assert {one["summer_buds"] for one in shape["balance"]} == {0}  # told here and nowhere else
    assert len(shape["warnings"]) >= 1


def test_wood_in_an_orchard_without_any_says_how_it_comes_in(tmp_path: Path) -> None:
    bench = Workbench.begin(tmp_path / "bare", name="Bare", timezone="UTC", latitude=52.0, longitude=0.0)
    bench.close()
    assert "bring wood.csv" in said(wood, tmp_path / "bare")


def test_fruit_gives_the_chart_the_suggestion_and_what_comes_off(orchard: Path) -> None:
    text = said(fruit, orchard)
    # 5, 4 and 5 of three crops: a mean of 4.7.
    assert "Old Lamp (g8): Keep? 3 crops seen (2023, 2024 and 2025), mean score 4.7 of 5" in " ".join(text.split())
    assert "Dull Lamp (g9) on t1" in text
    # Noted to ripen from 1 September and tasted ripe on the 10th of three years: the week of 6 September is its first.
    assert "Nothing ripe 21 Jun to 5 Sep (11 weeks)" in text
    assert max(map(len, text.splitlines())) <= 80


def test_fruit_as_json_has_its_lists(orchard: Path) -> None:
    shape = json.loads(said(fruit, orchard, "--json"))
    assert set(shape) == {
        "ripening",
        "year",
        "weeks",
        "gaps",
        "against",
        "suggestions",
        "verdicts",
        "to_cut",
        "places",
        "bloom",
        "barred",
        "varieties",
    }
    assert shape["to_cut"] == ["g9"]
    assert shape["year"] == 2026
    assert shape["gaps"][0] == {"first": [6, 21], "last": [9, 5], "weeks": 11, "to_come": []}
    assert [week["ripe"] for week in shape["weeks"] if week["starts"] == [9, 6]] == [["Old Lamp"]]
    assert [one["species"] for one in shape["against"]] == ["apple"]
    by_graft = {one["graft"]: one for one in shape["verdicts"]}
    assert {one: by_graft[one]["advice"] for one in ("g8", "g9")} == {"g8": "keep", "g9": ""}
    # The suggestions are those of the verdicts, not others.
    assert shape["suggestions"] == [one["suggestion"] for one in shape["verdicts"] if one["suggestion"]]


def test_fruit_says_when_to_pick_with_the_range_and_why(orchard: Path) -> None:
    shape = json.loads(said(fruit, orchard, "--json"))
    rows = {row["variety"]: row for row in shape["ripening"]}
    row = rows["Old Lamp"]
    assert {"species", "variety", "look", "pick_low", "pick", "pick_high", "until", "because"} <= set(row)
    assert {"usual", "hangs", "eat"} <= set(row)
    assert row["fruit"]["on_tree"] == [row["pick"], row["hangs"]]
    # Tasted on 10 September in three years, and noted to ripen from the first.
    assert "2026-09-04" <= row["pick"] <= "2026-09-10"
    assert row["look"] < row["pick_low"] < row["pick"] < row["pick_high"] <= row["until"]
    assert row["because"][0] == "tasted ripe here in 3 seasons, the last ones 10 Sep 2024 and 10 Sep 2025"
    assert (row["first"], row["last"]) == ([9, 1], [9, 20])
    assert "Dull Lamp" not in rows  # of which nothing is known
    words = " ".join(said(fruit, orchard).split())
    picking = words.split("To pick in 2026 ")[1].split(" Keep or cut ")[0]
    assert picking.startswith("variety look from pick about likely good until Old Lamp (apple) ")
    assert "Likely: in eight seasons of ten." in picking
    assert "Dull Lamp" not in picking


def test_what_is_known_only_against_another_variety_has_dates_and_no_span(orchard: Path, tmp_path: Path) -> None:
    bench = Workbench.open(orchard)
    file = tmp_path / "varieties.csv"
    file.write_text("species,variety,ripens\napple,Owl Lamp,Old Lamp +14\n")
    bench.records.bring(file, "varieties", date(2026, 11, 1))
    bench.close()
    rows = {row["variety"]: row for row in json.loads(said(fruit, orchard, "--json"))["ripening"]}
    owl, old = rows["Owl Lamp"], rows["Old Lamp"]
    assert (owl["first"], owl["last"], owl["bears"], owl["until"]) == (None, None, False, None)
    assert (date.fromisoformat(owl["pick"]) - date.fromisoformat(old["pick"])).days == 14
    assert "Owl Lamp" not in said(fruit, orchard).split("To pick in 2026")[1].split("Keep or cut")[0]


def test_rates_name_the_interval(orchard: Path) -> None:
    assert "Wilson score interval, 95 %" in " ".join(said(rates, orchard).split())
    shape = json.loads(said(rates, orchard, "--json"))
    assert shape["interval"] == "Wilson score interval, 95 %"
    assert [(one["of"], one["tried"], one["took"]) for one in shape["species"]] == [("apple", 2, 2)]


def test_undo_takes_back_act_by_act_until_nothing_is_left(orchard: Path) -> None:
    assert said(undo, orchard) == "Undone: brought tastings.csv as tastings.\n"
    for _ in range(4):
        said(undo, orchard)
    with pytest.raises(PersonError, match="There is nothing to undo"):
        said(undo, orchard)

"""Varieties as a person meets them in commands: brought, given, shown, checked, undone; and what older files said."""

from __future__ import annotations

import json
import subprocess
import tomllib
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tendwork.folder import data_files
from tendwork.orchard.records import Variety
from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]
TODAY = date(2026, 5, 6)
ROOT = Path(__file__).parents[1]
VARIETIES = """species,variety,also,bloom,pollen,ripens,keeps,vigour,chill,use,source,note
apple,Red Lamp,"Rubin, Crimson Lamp",3,triploid,09-15 to 10-02,Mar,strong,52.5,cider,a neighbour,invented
apple,Blue Lamp,,+4,,Red Lamp -12,,,,,,
"""


@pytest.fixture
def bench(orchard_path: Path) -> Workbench:
    return Workbench.open(orchard_path)


def brought(bench: Workbench, place: Path, kind: str, text: str) -> tuple[str, ...]:
    file = place / f"{kind}-{len(list(place.iterdir()))}.csv"
    file.write_text(text, encoding="utf-8")
    return bench.records.bring(file, kind, TODAY)  # type: ignore[arg-type]


def test_varieties_come_in_go_out_in_the_same_bytes_and_are_undone(bench: Workbench, tmp_path: Path) -> None:
    before = bench.records.read()
    assert brought(bench, tmp_path, "varieties", VARIETIES)[0].startswith("Brought 2 new, 0 changed and 0 unchanged")
    assert bench.records.read().varieties[0] == Variety(
        "apple", "Red Lamp", "Rubin, Crimson Lamp", "3", "triploid", "09-15 to 10-02", "Mar", "strong", 52.5, "cider",
        "a neighbour", "invented",
    )  # fmt: skip
    bench.records.give(tmp_path / "given")
    given = (tmp_path / "given" / "varieties.csv").read_text(encoding="utf-8")
    assert given == VARIETIES.replace(",+4,", ",'+4,")  # a spreadsheet would count with it
    assert brought(bench, tmp_path, "varieties", given)[0].startswith("Brought 0 new, 0 changed and 2 unchanged")
    bench.records.undo(TODAY)
    assert bench.records.read() == before


def test_only_the_columns_of_a_file_change_a_variety_by_whatever_spelling(bench: Workbench, tmp_path: Path) -> None:
    brought(bench, tmp_path, "varieties", VARIETIES)
    brought(bench, tmp_path, "varieties", "species,variety,keeps\napple,Red Lamp,Apr\n")
    (held,) = (one for one in bench.records.read().varieties if one.variety == "Red Lamp")
    assert (held.keeps, held.bloom, len(bench.records.read().varieties)) == ("Apr", "3", 2)


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ("apple,X,early,", 'line 2, key "bloom": "early" is neither a bloom group, such as 3 or C, nor days after'),
        ("apple,X,,autumn", 'line 2, key "ripens": "autumn" is neither days against another variety, such as'),
        ("appel,X,,", 'line 2, key "species": "appel" is not a species. Did you mean "apple"?'),
        ("apple,X,3,\napple,x ,4,", 'line 3, key "variety": the apple "x" stands in line 2 already. Put both rows'),
    ],
)
def test_a_row_that_cannot_be_is_named(run: Run, tmp_path: Path, row: str, sentence: str) -> None:
    file = tmp_path / "bad.csv"
    file.write_text(f"species,variety,bloom,ripens\n{row}\n", encoding="utf-8")
    done = run("bring", str(file), "--as", "varieties")
    assert done.returncode == 1
    assert sentence in done.stderr
    assert "Nothing was taken from the file." in done.stderr


OLDER = "id,tree,variety,state,set_on,note\n{}\n"


def test_a_group_in_the_note_of_an_older_file_becomes_a_record(bench: Workbench, tmp_path: Path) -> None:
    rows = "o1,t1,Old Lamp,bearing,2015-04-01,sharp; bloom group 2\no2,t1,Old Lamp,bearing,2015-04-01,bloom group 2"
    told = brought(bench, tmp_path, "grafts", OLDER.format(rows))
    records = bench.records.read()
    assert [one.note for one in records.grafts if one.id in ("o1", "o2")] == ["sharp", ""]
    assert records.varieties == (Variety("apple", "Old Lamp", bloom="group 2"),)
    assert "Variety Old Lamp (apple): bloom group 2, from the note of a graft, is kept with it." in told
    again = brought(bench, tmp_path, "grafts", OLDER.format(rows))
    assert again[0].startswith("Brought 0 new, 0 changed and 2 unchanged")
    assert bench.records.read() == records
    bench.records.undo(TODAY)
    assert bench.records.read().varieties == ()


def test_a_group_that_the_person_noted_stays_whatever_an_older_file_says(bench: Workbench, tmp_path: Path) -> None:
    brought(bench, tmp_path, "varieties", VARIETIES)
    row = "o1,t1,Rubin,bearing,2015-04-01,bloom group 6"
    brought(bench, tmp_path, "grafts", OLDER.format(row))
    assert {one.variety: one.bloom for one in bench.records.read().varieties} == {"Red Lamp": "3", "Blue Lamp": "+4"}
    brought(bench, tmp_path, "grafts", OLDER.format("o2,t1,Blenheim Orange,planned,,bloom group 4"))
    assert bench.records.read().varieties[-1] == Variety("apple", "Blenheim Orange", bloom="group 4")


def test_fruit_says_what_is_known_of_varieties_from_whom_and_what_is_not(
    bench: Workbench, tmp_path: Path, run: Run
) -> None:
    brought(bench, tmp_path, "varieties", VARIETIES)
    brought(bench, tmp_path, "grafts", OLDER.format("o1,t1,Blenheim Orange,bearing,2015-04-01,"))
    text = run("fruit", "--varieties").stdout
    assert "Blenheim Orange, apple\n  On t1.\n" in text
    assert "  Pollen: triploid [RHS, 10 AGM apples, undated]\n" in text
    assert "    group 4 [hobby list: community garden list, Cheshire, 2018]\n" in text
    assert "  Keeps: Mar [you, from a neighbour]\n" in text
    assert "No list that ships with the program has this variety." in text
    assert max(map(len, text.splitlines())) <= 80
    shape = json.loads(run("fruit", "--json").stdout)["varieties"]
    blenheim = next(one for one in shape if one["variety"] == "Blenheim Orange")
    said = {"value": "triploid", "by": "RHS, 10 AGM apples, undated", "hobby_list": False, "yours": False}
    assert blenheim["known"]["pollen"] == [said]
    assert blenheim["unknown"] == ["ripens", "chill", "use"]
    assert (blenheim["noted"], blenheim["trees"], blenheim["wood"]) == (False, ["t1"], [])


def test_planning_a_graft_says_what_is_known_of_its_variety(bench: Workbench) -> None:
    typed = {"variety": "mutsu", "tree": "t1", "state": "planned", "method": "cleft"}
    told = bench.records.entries.add("grafts", typed, TODAY)
    assert (
        "Known of mutsu: pollen: sterile pollen [NC State HIL-302, 1998]; bloom: mid [NC State HIL-302, 1998];" in told
    )
    unknown = bench.records.entries.add("grafts", {**typed, "variety": "No Such Lamp"}, TODAY)
    assert "Known of" not in unknown


def test_check_names_a_variety_with_two_records_and_hints_at_names_that_nobody_knows(
    bench: Workbench, tmp_path: Path, run: Run
) -> None:
    brought(bench, tmp_path, "varieties", VARIETIES)
    brought(bench, tmp_path, "varieties", "species,variety,ripens\napple,Dim Lamp,Red Delicius -12\n")
    done = run("check")
    assert 'Did you mean "Red Delicious"?' in done.stdout + done.stderr
    assert done.returncode == 0
    brought(bench, tmp_path, "varieties", "species,variety,keeps\napple,Rubin,Mar\n")
    done = run("check")
    assert done.returncode == 1
    assert 'Rubin and Red Lamp (apple) share the name "Rubin"' in " ".join((done.stdout + done.stderr).split())


def test_vigour_of_a_variety_changes_the_plan_at_once(bench: Workbench) -> None:
    def shortened() -> bool:
        tasks = bench.plan.of(date(2026, 7, 25)).plan.tasks
        return any("strong growth by the record of the variety" in str(task) for task in tasks)

    bench.records.entries.change("grafts", ("g1",), {"state": "bearing"}, TODAY)
    assert not shortened()
    bench.records.entries.variety("apple", "Red Lamp", {"vigour": "strong"}, TODAY)
    assert shortened()


def test_a_wheel_and_an_sdist_hold_every_data_folder() -> None:
    """`.ci/run` builds them and looks inside."""
    build = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]["targets"]
    folders = {name for key, name in vars(data_files).items() if key.isupper()}
    assert folders >= {"variety_lists"}
    at_top = folders - {"variety_lists"}
    assert build["wheel"]["force-include"] == {name: f"tendwork/_data/{name}" for name in sorted(at_top)}
    assert {f"/{name}" for name in at_top} <= set(build["sdist"]["include"])
    assert (ROOT / "tendwork" / "_data" / "variety_lists" / "varieties.csv").is_file()


def test_a_kept_week_reads_no_list_of_varieties(orchard_path: Path) -> None:
    """A new plan does, for the days on which fruit ripens."""
    from test_imports import loaded_by_week

    loaded_by_week(orchard_path)
    assert "tendwork.folder.variety_lists" not in loaded_by_week(orchard_path)
    assert "tendwork.folder.varieties_step" not in loaded_by_week(orchard_path)


def test_a_record_is_completed_under_a_name_that_only_the_lists_know(bench: Workbench) -> None:
    bench.records.entries.variety("apple", "Mutsu", {"keeps": "Mar"}, TODAY)
    bench.records.entries.variety("apple", "Crispin", {"bloom": "4"}, TODAY)
    assert bench.records.read().varieties == (Variety("apple", "Mutsu", keeps="Mar", bloom="4"),)
    bench.records.entries.remove_variety("apple", "crispin")
    assert bench.records.read().varieties == ()


def test_bringing_a_name_of_another_record_says_so_before_and_after(bench: Workbench, tmp_path: Path) -> None:
    brought(bench, tmp_path, "varieties", "species,variety,also,keeps\npear,Williams,Bartlett,Nov\n")
    file = tmp_path / "more.csv"
    file.write_text("species,variety,keeps\npear,Bartlett,Dec\n", encoding="utf-8")
    said = (
        'Varieties: Bartlett and Williams (pear) share the name "Bartlett", so they are one variety with two records.'
        " Put both into one, or take the name out of one."
    )
    assert said in bench.records.bring(file, "varieties", TODAY, dry_run=True)
    assert said in bench.records.bring(file, "varieties", TODAY)
    other = "species,variety,keeps\napple,Bramley,Mar\n"
    assert len(brought(bench, tmp_path, "varieties", other)) == 1


def test_bringing_a_variety_twice_into_one_place_says_so(bench: Workbench, tmp_path: Path) -> None:
    tree = bench.records.read().trees[0]
    rows = "id,tree,variety,state,facing,height_m\nx1,{0},Court Pendu Plat,bearing,90,1.5\nx2,{0},Court pendu plat,"
    told = brought(bench, tmp_path, "grafts", f"{rows.format(tree.id)}bearing,90,1.5\n")
    assert any(one.startswith("Grafts x1 and x2 on ") and "are one variety" in one for one in told)


def test_a_record_under_its_other_name_is_the_variety_that_grows(bench: Workbench, tmp_path: Path) -> None:
    tree = bench.records.read().trees[0]
    brought(bench, tmp_path, "varieties", f"species,variety,also\n{tree.species},Long Lamp,Far Lamp\n")
    brought(bench, tmp_path, "grafts", f"id,tree,variety,state\nx1,{tree.id},Far Lamp,bearing\n")
    assert bench.records.in_bloom(tree.species, "Long Lamp", TODAY).startswith("Long Lamp seen in full bloom on ")

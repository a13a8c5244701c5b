"""Species of grafts, interstems, crowns and facings on the disk: kept, upgraded to, read from older files, undone."""

from __future__ import annotations

import json
import sqlite3
from datetime import date
from pathlib import Path

import pytest
from folder_samples import FULL, fill
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.folder.csv_files import csv_text, parse_csv
from tendwork.folder.records_db import RecordStore
from tendwork.folder.schema import STEPS
from tendwork.orchard.records import Graft, Life, Records, Tree
from tendwork.orchard.rough_dates import RoughDate

FIXTURES = Path(__file__).parent / "fixtures"
OLDER = range(1, len(STEPS) + 1)
RENAMED = next(number for number, step in enumerate(STEPS, 1) if any("bearing TO facing" in str(part) for part in step))
"""The number of the first schema that calls a bearing a facing."""
NOTED = Records(
    trees=(
        Tree(
            "t1", "Gate pear", "pear", "hawthorn", interstem="Old Home", spread_m=2.5, form="bush", crown_since=2019,
            note="=leans; to the south",
        ),
        Tree("t2", "Shed plum", "plum"),
    ),
    grafts=(
        Graft("g1", "t2", "Early Peach", species="peach", facing=0, set_on=RoughDate(2019)),
        Graft("g2", "t2", "Late", facing=359, set_on=RoughDate(2020, 4)),
    ),
    lives=(Life("g1", "Lost Apricot", set_on=RoughDate(1998), ended_on=RoughDate(2018, 12), species="apricot"),),
)  # fmt: skip


@pytest.fixture(params=OLDER)
def older(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """The records of an older schema, on disk."""
    path = tmp_path / "records.db"
    with sqlite3.connect(path) as old:
        old.executescript((FIXTURES / f"records-schema-{request.param}.sql").read_text(encoding="utf-8"))
    old.close()
    return path


def test_all_of_it_comes_back(store: RecordStore) -> None:
    fill(store, NOTED)
    assert store.read() == NOTED


@pytest.mark.parametrize("kind", ["trees", "grafts", "lives"])
def test_what_was_written_as_csv_reads_back_as_the_same_records_in_the_same_bytes(kind: str) -> None:
    records = getattr(NOTED, kind)
    text = csv_text(kind, records)
    assert parse_csv(text, kind, "x.csv").records == records
    assert csv_text(kind, parse_csv(text, kind, "x.csv").records) == text


def test_every_older_schema_upgrades_and_takes_all_of_it(older: Path) -> None:
    with RecordStore.open(older) as store:
        assert store.read() == FULL
        with store.act("noted") as act:
            act.replace(replace(FULL.trees[0], interstem="Old Home", spread_m=2.0, crown_since=2020))
            act.replace(replace(FULL.grafts[0], species="pear", facing=200))
        assert (store.read().grafts[0].species, store.read().grafts[0].facing) == ("pear", 200)
        assert store.undo_last() == "noted"
        assert store.read() == FULL


def test_an_act_of_an_older_schema_is_undone_though_its_rows_call_the_facing_a_bearing(older: Path) -> None:
    with RecordStore.open(older) as store:
        assert store.undo_last() == "everything"
        assert store.read().grafts == ()


@pytest.mark.parametrize("number", range(1, RENAMED))
def test_a_graft_that_an_older_program_removed_comes_back_as_it_faced(number: int, tmp_path: Path) -> None:
    path = tmp_path / "records.db"
    text = '"bearing": is a word of mine'  # as a key of JSON would look, if its quotes were not marked
    with sqlite3.connect(path) as old:
        old.executescript((FIXTURES / f"records-schema-{number}.sql").read_text(encoding="utf-8"))
        old.row_factory = sqlite3.Row
        row = dict(old.execute("SELECT * FROM grafts WHERE id = 'g2'").fetchone()) | {"note": text}
        changes = json.dumps([["grafts", row, None]], separators=(",", ":"), ensure_ascii=False)
        assert row["bearing"] == 2
        old.execute("DELETE FROM grafts WHERE id = 'g2'")
        old.execute("INSERT INTO acts (at, description, changes) VALUES ('2026-05-01', 'removed', ?)", (changes,))
    old.close()
    with RecordStore.open(path) as store:
        assert store.undo_last() == "removed"
        graft = next(graft for graft in store.read().grafts if graft.id == "g2")
        assert graft == replace(FULL.grafts[1], note=text)


def test_a_file_that_still_has_the_older_name_of_a_column_is_read_and_its_faults_name_it_so() -> None:
    rows = parse_csv("id,tree,variety,bearing\ng1,t1,Late,90\n", "grafts", "x.csv")
    assert rows.records == (Graft("g1", "t1", "Late", facing=90),)
    assert "facing" in rows.given[0]
    with pytest.raises(Exception, match='key "bearing": 361 is not between'):
        parse_csv("id,tree,variety,bearing\ng1,t1,Late,361\n", "grafts", "x.csv")
    with pytest.raises(Exception, match='key "facing": stands twice'):
        parse_csv("id,tree,variety,bearing,facing\ng1,t1,Late,90,90\n", "grafts", "x.csv")


def test_a_graft_of_a_year_is_undone_and_comes_back_as_one_of_a_year(store: RecordStore) -> None:
    fill(store, NOTED)
    with store.act("known better") as act:
        act.replace(replace(NOTED.grafts[0], set_on=date(2019, 4, 13)))
    assert store.undo_last() == "known better"
    assert store.read() == NOTED


@pytest.mark.parametrize("cell", ["2019-13", "19", "2019-4", "1599", "2201", "2019-02-29"])
def test_a_date_that_no_program_of_ours_wrote_is_damage(tmp_path: Path, cell: str) -> None:
    path = tmp_path / "records.db"
    with RecordStore.open(path, create=True) as store:
        fill(store, NOTED)
    with sqlite3.connect(path) as raw:
        raw.execute("UPDATE grafts SET set_on = ?", (cell,))
    raw.close()
    with pytest.raises(PersonError), RecordStore.open(path) as store:
        store.read()
    with pytest.raises(PersonError):
        parse_csv(
            f"id,tree,variety,set_on\ng1,t1,Late,{'2019-02-29' if cell == '2019-4' else cell}\n", "grafts", "x.csv"
        )


@pytest.mark.parametrize(
    ("column", "cell", "words"),
    [
        ("set_on", "3/4/2019", 'key "set_on": "3/4/2019" may be 3 Apr or 4 Mar; write 2019-04-03 or 2019-03-04'),
        ("known_since", "2019", 'key "known_since": "2019" names no day; write one such as 2026-03-15'),
        ("facing", "up", 'key "facing": "up" is not a direction, such as SE, north-west, or degrees from north'),
        ("species", "hawthorn", 'key "species": "hawthorn" is not a species'),
    ],
)
def test_what_cannot_be_read_is_told_with_what_to_write(column: str, cell: str, words: str) -> None:
    with pytest.raises(PersonError) as refused:
        parse_csv(f"id,tree,variety,{column}\ng1,t1,Late,{cell}\n", "grafts", "x.csv")
    assert words in str(refused.value)


def test_a_table_as_people_keep_it_is_read() -> None:
    text = "tree;variety;species;set_on;facing\nt1;Nottingham;Medlar;14.4.2019;south-east\nt1;Other;;2019;NNE\n"
    first, second = parse_csv(text, "grafts", "x.csv").records
    assert (first.species, first.set_on, first.facing) == ("medlar", date(2019, 4, 14), 135)
    assert (second.species, second.set_on, second.facing) == ("", RoughDate(2019), 22)

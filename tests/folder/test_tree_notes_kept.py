"""Heights, signs of disease and sprays on the disk: kept, upgraded to, copied, brought, taken back."""

from __future__ import annotations

import sqlite3
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from folder_samples import FULL, fill
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.folder.backups import back_up_daily
from tendwork.folder.csv_files import csv_text, parse_csv
from tendwork.folder.csv_references import refuse_loose_rows
from tendwork.folder.proving import is_good
from tendwork.folder.records_db import RecordStore
from tendwork.folder.schema import schema_number
from tendwork.orchard.bringing import Brought, changes, edit_of
from tendwork.orchard.records import FIRE_BLIGHT, Records, Spray, Trouble

FIXTURES = Path(__file__).parent / "fixtures"
DAY = date(2026, 5, 1)
NOTED = replace(
    FULL,
    trees=(replace(FULL.trees[0], height_m=6.5), FULL.trees[1]),
    troubles=(Trouble(DAY, "t1", FIRE_BLIGHT, "one shoot"), Trouble(DAY, "t2", "[own] word; =1+1")),
    sprays=(Spray(DAY, "t1", "Invented wash"), Spray(DAY, "t2", "=Invented, oil", 0, 365, "at dusk")),
)


@pytest.fixture
def noted_store(store: RecordStore) -> RecordStore:
    fill(store, NOTED)
    return store


def test_all_of_it_comes_back_and_days_that_are_not_known_are_no_nought(noted_store: RecordStore) -> None:
    assert noted_store.read() == NOTED
    cells = noted_store._connection.execute("SELECT days_to_return, days_to_harvest FROM sprays ORDER BY seq")
    assert cells.fetchall() == [(None, None), (0, 365)]


def test_a_copy_of_all_of_it_is_good_and_reads_back(noted_store: RecordStore, tmp_path: Path) -> None:
    copy = back_up_daily(noted_store, tmp_path / "backups", datetime(2026, 5, 1, 12, tzinfo=UTC))
    assert copy is not None
    with RecordStore.open(copy) as restored:
        assert restored.read() == NOTED


@pytest.mark.parametrize("number", [1, 2])
def test_records_of_an_older_schema_are_good_copies_and_take_all_of_it_once_opened(number: int, tmp_path: Path) -> None:
    path = tmp_path / "records.db"
    with sqlite3.connect(path) as old:
        old.executescript((FIXTURES / f"records-schema-{number}.sql").read_text(encoding="utf-8"))
        assert schema_number(old) == number
    old.close()
    assert is_good(path)
    with RecordStore.open(path) as store:
        assert (store.read().troubles, store.read().sprays) == ((), ())
        assert [tree.height_m for tree in store.read().trees] == [None, None]
        with store.act("noted") as act:
            act.replace(NOTED.trees[0])
            for record in (*NOTED.troubles, *NOTED.sprays):
                act.add(record)
        assert store.read() == NOTED
        assert store.undo_last() == "noted"
        assert store.read() == FULL


def compared(store: RecordStore, kind: str, text: str) -> Brought:
    rows, held = parse_csv(text, kind, "x.csv"), store.read()
    refuse_loose_rows(rows, held)
    return changes(held, kind, rows.records, rows.given)


def test_what_is_written_as_csv_is_brought_into_an_empty_folder_the_same(store: RecordStore) -> None:
    for kind in ("trees", "troubles", "sprays"):
        text = csv_text(kind, getattr(NOTED, kind))
        with store.act(kind) as act:
            act.apply(edit_of(compared(store, kind, text)))
        assert csv_text(kind, getattr(store.read(), kind)) == text
        assert compared(store, kind, text).same == 2
    assert store.read() == Records(trees=NOTED.trees, troubles=NOTED.troubles, sprays=NOTED.sprays)


def brought(store: RecordStore, kind: str, text: str) -> None:
    found = compared(store, kind, text)
    with store.act("brought") as act:
        act.apply(edit_of(found))


def test_a_row_of_a_spray_that_is_held_completes_it_and_one_undo_takes_that_back(noted_store: RecordStore) -> None:
    head = "date,tree,product,days_to_return,days_to_harvest\n"
    brought(noted_store, "sprays", f"{head}2026-05-01,t1,INVENTED wash,2,\n2026-05-01,t1,Invented wash,,14\n")
    assert noted_store.read().sprays[-1] == Spray(DAY, "t1", "Invented wash", 2, 14)
    assert len(noted_store.read().sprays) == 2
    noted_store.undo_last()
    assert noted_store.read() == NOTED


def test_a_row_with_empty_cells_does_not_forget_the_days_that_are_known(noted_store: RecordStore) -> None:
    brought(noted_store, "sprays", 'date,tree,product,days_to_return\n2026-05-01,t2,"\'=Invented, oil",\n')
    assert noted_store.read() == NOTED


def test_a_row_on_a_tree_that_is_not_there_is_named_and_nothing_is_taken(noted_store: RecordStore) -> None:
    with pytest.raises(PersonError) as caught:
        brought(noted_store, "troubles", "date,tree,trouble\n2026-05-02,t1,gum\n2026-05-02,t9,gum\n")
    assert 'x.csv, line 3, key "tree": there is no tree "t9". Bring the trees first.' in str(caught.value)
    assert noted_store.read() == NOTED


@pytest.mark.parametrize(
    ("record", "words"),
    [
        (Trouble(DAY, "t9", "gum"), 'There is no tree "t9"'),
        (Trouble(DAY, "t1", " "), "The sign of disease cannot be kept: trouble is missing."),
        (Spray(DAY, "t1", ""), "The spray cannot be kept: product is missing."),
        (Spray(DAY, "t1", "x", -1), "days_to_return -1 is not between 0 and 365"),
        (Spray(DAY, "t1", "x", 0, 366), "days_to_harvest 366 is not between 0 and 365"),
    ],
)
def test_what_cannot_be_kept_of_them_is_refused_in_words(
    noted_store: RecordStore, record: Trouble | Spray, words: str
) -> None:
    before = noted_store.content_token()
    with pytest.raises(PersonError, match=words), noted_store.act("a") as act:
        act.add(record)
    assert (noted_store.read(), noted_store.content_token()) == (NOTED, before)


def test_a_tree_that_anything_is_noted_on_is_not_removed(store: RecordStore) -> None:
    fill(store, Records(trees=NOTED.trees, sprays=NOTED.sprays))
    with pytest.raises(PersonError, match='The tree "t1" has 1 sprays'), store.act("a") as act:
        act.remove(NOTED.trees[0])

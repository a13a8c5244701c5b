"""What rows from a file would change, told before it is done, and done in one act."""

from __future__ import annotations

import time
from datetime import date

import pytest
from folder_samples import FULL
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.folder.csv_files import csv_text, parse_csv
from tendwork.folder.csv_references import refuse_loose_rows
from tendwork.folder.fields import KINDS
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.bringing import (
    Brought,
    changes,
    edit_of,
    notes_without_groups,
    with_blooms,
    with_lives,
    with_signs,
)
from tendwork.orchard.edits import applied
from tendwork.orchard.records import Graft, Records, Spray, Tick, Tree
from tendwork.orchard.standing_ticks import standing_tick


def compared(text: str, kind: str, held: Records) -> Brought:
    rows = parse_csv(text, kind, "x.csv")
    refuse_loose_rows(rows, held)
    return changes(held, kind, rows.records, rows.given)


@pytest.mark.parametrize("kind", KINDS)
def test_bringing_what_was_given_changes_nothing(kind: str) -> None:
    records = getattr(FULL, kind)
    assert compared(csv_text(kind, records), kind, FULL) == Brought(same=len(records))


def test_everything_given_and_brought_into_an_empty_folder_is_the_same_byte_for_byte(store: RecordStore) -> None:
    given = {kind: csv_text(kind, getattr(FULL, kind)) for kind in KINDS}
    for kind, text in given.items():
        with store.act(f"brought {kind}") as act:
            act.apply(edit_of(compared(text, kind, store.read())))
    assert {kind: csv_text(kind, getattr(store.read(), kind)) for kind in KINDS} == given


def test_only_the_columns_of_the_file_change_a_record_that_is_held() -> None:
    before = FULL.grafts[0]
    found = compared(f"id,tree,variety,note,state\n{before.id},t1,New name,seen,\n", "grafts", FULL)
    assert found.changed == ((before, replace(before, variety="New name", note="seen")),)


def test_a_blank_cell_empties_what_may_be_empty() -> None:
    before = FULL.grafts[0]
    found = compared(f'id,tree,variety,set_on\n{before.id},t1,"{before.variety}",\n', "grafts", FULL)
    assert found.changed == ((before, replace(before, set_on=None)),)


def test_a_second_equal_tasting_is_new() -> None:
    tasting = FULL.tastings[0]
    found = compared(csv_text("tastings", [tasting, tasting]), "tastings", FULL)
    assert (found.new, found.same) == ((tasting,), 1)


def test_rows_that_refer_to_nothing_are_named_by_line_and_nothing_is_taken() -> None:
    with pytest.raises(PersonError) as caught:
        compared("id,tree,variety\na,t1,x\nb,t8,y\n", "grafts", FULL)
    assert str(caught.value).splitlines() == [
        'x.csv, line 3, key "tree": there is no tree "t8". Bring the trees first.',
        "Nothing was taken from the file.",
    ]


def test_one_undo_takes_a_whole_file_back(store: RecordStore) -> None:
    with store.act("planted") as act:
        act.add(Tree("t1", "Old", "apple"))
    before = store.read()
    text = csv_text("grafts", [Graft(f"g{number}", "t1", "Late") for number in range(150)])
    with store.act("150 grafts brought") as act:
        act.apply(edit_of(compared(text, "grafts", before)))
    assert len(store.read().grafts) == 150
    assert store.undo_last() == "150 grafts brought"
    assert store.read() == before


@pytest.mark.bench
def test_twenty_thousand_grafts_are_brought_and_read(store: RecordStore, capsys: pytest.CaptureFixture[str]) -> None:
    with store.act("planted") as act:
        act.add(Tree("t1", "Old", "apple"))
    text = csv_text("grafts", [Graft(f"g{number}", "t1", "Late") for number in range(20_000)])
    started = time.perf_counter()
    found = compared(text, "grafts", store.read())
    parsed = time.perf_counter()
    with store.act("many") as act:
        act.apply(edit_of(found))
    brought = time.perf_counter()
    assert len(store.read().grafts) == 20_000
    read = time.perf_counter()
    times = f"compare {parsed - started:.2f} s, bring {brought - parsed:.2f} s, read {read - brought:.2f} s"
    with capsys.disabled():
        print(f"\n20,000 grafts: {times}")


BROUGHT = {
    "grafts": "id,tree,variety,state,set_on\ng1,t1,Other,planned,\nx9,t1,New,planned,\n",
    "ticks": "task,unit,date,outcome\nfire-blight-watch/t1/2026,t1,2026-05-01,strikes\nsome/x/2026,t1,2026-05-02,ok\n",
    "sprays": "date,tree,product,days_to_return\n2026-05-01,t1,Wash,\n2026-05-01,t1,wash,2\n2026-05-01,t1,Oil,1\n",
}
BESIDE = {"grafts": (1, 0, 1), "ticks": (0, 1, 0), "sprays": (0, 0, 1)}
"""How many earlier lives, signs of disease and changed records come of each."""


@pytest.mark.parametrize("kind", BROUGHT)
def test_what_is_brought_stands_on_the_disk_as_it_was_seen_before(full_store: RecordStore, kind: str) -> None:
    with full_store.act("a spray") as act:
        act.add(Spray(date(2026, 5, 1), "t1", "Oil"))
    held = full_store.read()
    found = with_signs(with_lives(compared(BROUGHT[kind], kind, held), held, date(2026, 6, 1)), held)
    assert (len(found.lives), len(found.signs), len(found.changed)) == BESIDE[kind]
    edit = edit_of(found)
    full_store.write(lambda _: edit)
    assert full_store.read() == applied(held, edit) != held


STRIKES = "2026-05-01,fire-blight-watch/t1/2026,t1,strikes,,"
HEAD = "date,task,unit,outcome,note,undone"


def brought(store: RecordStore, *rows: str) -> Brought:
    held = store.read()
    found = with_signs(compared("\n".join((HEAD, *rows, "")), "ticks", held), held)
    with store.act("brought") as act:
        act.apply(edit_of(found))
    return found


def test_two_equal_rows_of_ticks_are_one_tick_and_note_one_sign(full_store: RecordStore) -> None:
    before = full_store.read()
    found = brought(full_store, STRIKES, STRIKES)
    assert (len(found.new), found.same, found.again) == (1, 0, 1)
    after = full_store.read()
    assert len(after.ticks) - len(before.ticks) == len(after.troubles) - len(before.troubles) == 1
    found = brought(full_store, STRIKES, STRIKES)
    assert (len(found.new), found.same, found.again) == (0, 1, 1)
    assert full_store.read() == after


def test_a_tick_that_was_taken_back_and_made_again_stands_and_notes_its_sign_once(full_store: RecordStore) -> None:
    before = full_store.read()
    rows = (STRIKES, f"{STRIKES}yes", STRIKES)
    assert len(brought(full_store, *rows).new) == 3
    after = full_store.read()
    assert standing_tick(after.ticks, "fire-blight-watch/t1/2026", "t1") is not None
    assert len(after.troubles) - len(before.troubles) == 1
    assert brought(full_store, *rows) == Brought(same=3)


def test_equal_ticks_of_an_older_day_stay_as_they_are_when_they_are_brought_again(full_store: RecordStore) -> None:
    with full_store.act("twice") as act:
        act.add(Tick("some/t1/2026", "t1", date(2026, 5, 1)))
        act.add(Tick("some/t1/2026", "t1", date(2026, 5, 1)))
    held = full_store.read()
    assert compared(csv_text("ticks", held.ticks), "ticks", held) == Brought(same=len(held.ticks))


def test_a_bloom_group_that_there_is_not_stays_in_the_note() -> None:
    told = tuple(replace(FULL.grafts[0], note=note) for note in ("bloom group 12", "bloom group 2"))
    assert [one.note for one in notes_without_groups(told)] == ["bloom group 12", ""]
    assert with_blooms(Brought(), FULL, told[:1]).blooms == ()
    assert len(with_blooms(Brought(), FULL, told[1:]).blooms) == 1

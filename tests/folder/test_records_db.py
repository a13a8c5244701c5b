"""The records database: what goes in comes out, one transaction for each act, references kept."""

from __future__ import annotations

import sqlite3
import tempfile
import threading
from collections.abc import Callable
from datetime import date
from pathlib import Path

import msgspec
import pytest

from tendwork.errors import PersonError
from tendwork.folder.records_db import RecordStore
from tendwork.folder.transactions import Transaction
from tendwork.orchard.records import Graft, Records, Sighting, Tasting, Tick, Tree, Wood

TREE = Tree("t1", "Old", "apple")


def add_and_then(store: RecordStore, more: Callable[[Transaction], object]) -> None:
    with store.act("a") as act:
        act.add(TREE)
        more(act)


def test_an_empty_database_gives_empty_records(store: RecordStore) -> None:
    assert store.read() == Records()


def test_every_field_comes_back_as_it_was_awkward_names_included(
    full_store: RecordStore, full_records: Records
) -> None:
    assert full_store.read() == full_records


def test_escape_codes_and_control_characters_in_a_name_survive(store: RecordStore) -> None:
    tree = msgspec.structs.replace(TREE, name="\x1b[31mred\x1b]0;title\x07\x00\n end")
    with store.act("a") as act:
        act.add(tree)
    assert store.read().trees == (tree,)


def test_records_are_there_after_closing_and_opening(tmp_path: Path) -> None:
    with RecordStore.open(tmp_path / "records.db", create=True) as store, store.act("a") as act:
        act.add(TREE)
    with RecordStore.open(tmp_path / "records.db") as store:
        assert store.read().trees == (TREE,)


def test_an_act_that_fails_changes_nothing(store: RecordStore) -> None:
    with pytest.raises(PersonError):
        add_and_then(store, lambda act: act.add(TREE))
    assert store.read() == Records()
    assert store.undo_last() is None


def test_an_error_of_the_caller_inside_an_act_takes_all_of_it_back(store: RecordStore) -> None:
    with pytest.raises(ZeroDivisionError):
        add_and_then(store, lambda _: 1 / 0)
    assert store.read() == Records()


def test_reading_within_an_act_sees_what_the_act_has_done(store: RecordStore) -> None:
    with store.act("a") as act:
        act.add(TREE)
        assert store.read().trees == (TREE,)


def test_replacing_keeps_the_place_in_the_order(full_store: RecordStore) -> None:
    changed = msgspec.structs.replace(full_store.read().trees[0], name="New name")
    with full_store.act("rename") as act:
        act.replace(changed)
    assert full_store.read().trees[0] == changed


def test_removing_a_sighting_takes_the_newest_equal_one(store: RecordStore) -> None:
    first, second = Sighting(date(2026, 3, 1), "apple", "pink"), Sighting(date(2026, 3, 2), "apple", "pink")
    with store.act("a") as act:
        for sighting in (first, second, first):
            act.add(sighting)
    with store.act("b") as act:
        act.remove(first)
    assert store.read().sightings == (first, second)


@pytest.mark.parametrize(
    ("record", "words"),
    [
        (Tree("t1", "Twice", "apple"), 'There is already a tree "t1"'),
        (Graft("g1", "t9", "Late"), 'There is no tree "t9"'),
        (Tasting(date(2026, 1, 1), "g9"), 'There is no graft "g9"'),
        (Sighting(date(2026, 1, 1), "apple", "pink", "t9"), 'There is no tree "t9"'),
        (Tree("two words", "x", "apple"), "cannot be an id"),
        (Tree("a/b", "x", "apple"), "cannot be an id"),
        (Tree("site", "x", "apple"), "cannot be an id"),
        (Tree("", "x", "apple"), "id is missing"),
        (Tree("t2", "", "apple"), "name is missing"),
        (Tree("t2", "x", "apple", planted=20), "planted 20 is not between 1600 and 2200"),
        (Graft("g1", "t1", "x", facing=360), "facing 360 is not between 0 and 359"),
        (Graft("g1", "t1", "x", height_m=float("nan")), "height_m nan is not between 0 and 30"),
        (Graft("g1", "t1", "x", state="grown"), 'state "grown" is not one of planned, set'),
        (Wood("w1", "x", "apple", -1), "sticks -1 is not between 0 and 10000"),
        (Tick("a/t1/2026", "", date(2026, 1, 1)), "unit is missing"),
        (Tree("t2", "x\ud800", "apple"), "characters that are no text"),
    ],
)
def test_what_cannot_be_kept_is_refused_in_words(store: RecordStore, record: Tree, words: str) -> None:
    with store.act("a") as act:
        act.add(TREE)
    before = store.content_token()
    with pytest.raises(PersonError, match=words.replace("[", r"\[")), store.act("b") as act:
        act.add(record)
    assert store.content_token() == before


def test_a_tree_that_carries_grafts_is_not_removed(full_store: RecordStore) -> None:
    tree = full_store.read().trees[1]
    with pytest.raises(PersonError, match=r'"t2" has 1 grafts. Move or remove'), full_store.act("a") as act:
        act.remove(tree)
    assert tree in full_store.read().trees


def test_a_graft_with_tastings_is_not_removed(full_store: RecordStore) -> None:
    with pytest.raises(PersonError, match='The graft "g1" has 1 tastings'), full_store.act("a") as act:
        act.remove(full_store.read().grafts[0])


def test_a_tick_is_never_removed(full_store: RecordStore) -> None:
    with pytest.raises(PersonError, match="never removed"), full_store.act("a") as act:
        act.remove(full_store.read().ticks[0])


def test_the_database_itself_refuses_a_graft_without_its_tree(full_store: RecordStore) -> None:
    connection = sqlite3.connect(full_store.path)
    connection.execute("PRAGMA foreign_keys = ON")
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute("UPDATE grafts SET tree = 'nowhere'")
    connection.close()


def test_the_token_is_new_after_an_act_and_the_same_in_another_connection(store: RecordStore) -> None:
    before = store.content_token()
    with store.act("a") as act:
        act.add(TREE)
    with RecordStore.open(store.path) as other:
        assert before != store.content_token() == other.content_token()


def test_an_act_that_changes_nothing_leaves_the_token_and_nothing_to_undo(full_store: RecordStore) -> None:
    before = full_store.content_token()
    with full_store.act("nothing") as act:
        act.replace(full_store.read().trees[0])
    assert full_store.content_token() == before
    assert full_store.undo_last() == "everything"


def test_an_act_of_another_connection_is_seen_at_the_next_read(store: RecordStore) -> None:
    assert store.read().trees == ()
    with RecordStore.open(store.path) as other, other.act("a") as act:
        act.add(TREE)
    assert store.read().trees == (TREE,)


def test_what_another_program_writes_past_this_one_is_seen_at_the_next_read(full_store: RecordStore) -> None:
    full_store.read()
    with sqlite3.connect(full_store.path) as outside:
        outside.execute("UPDATE trees SET name = 'Other' WHERE id = 't2'")
    outside.close()
    assert full_store.read().trees[1].name == "Other"


def test_threads_share_one_store(store: RecordStore) -> None:
    def tick(number: int) -> None:
        for round_number in range(10):
            with store.act("tick") as act:
                act.add(Tick("a/t1/2026", f"u{number}-{round_number}", date(2026, 1, 1)))
            store.read()

    threads = [threading.Thread(target=tick, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len({tick.unit for tick in store.read().ticks}) == 40


def test_the_files_of_the_database_are_for_their_owner_only(full_store: RecordStore) -> None:
    modes = {oct(path.stat().st_mode & 0o777) for path in full_store.path.parent.glob("records.db*")}
    assert modes == {"0o600"}


def test_every_transaction_is_synced_to_the_disk() -> None:
    # synchronous EXTRA reads back as 3: with it, the end of the rollback journal is on the disk as well.
    with tempfile.TemporaryDirectory() as folder, RecordStore.open(Path(folder) / "records.db", create=True) as store:
        settings = [
            store._connection.execute(f"PRAGMA {name}").fetchone()[0] for name in ("journal_mode", "synchronous")
        ]
    assert settings == ["delete", 3]

"""Older records: bloom groups leave the notes of grafts, and every act can still be undone."""

from __future__ import annotations

import ast
import inspect
import json
import re
import shutil
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from random import Random

import pytest
from msgspec.structs import replace

from tendwork.folder import varieties_step
from tendwork.folder.records_db import RecordStore
from tendwork.folder.schema import STEPS, upgrade
from tendwork.orchard.bloom_overlap import bloom_overlaps
from tendwork.orchard.records import Graft, Records, Tree, Variety

TREES = (Tree("t1", "Old apple", "apple"), Tree("t2", "Wall pear", "pear"))
SET = date(2020, 4, 1)
FIXTURES = Path(__file__).parent / "fixtures"
UNKNOWN_OF_A_GRAFT = (
    "set_on", "facing", "height_m", "out_m", "chill", "ripens_from", "ripens_to", "known_since",
)  # fmt: skip
BEFORE = next(number for number, step in enumerate(STEPS) if any("TABLE varieties" in str(part) for part in step))
"""The number of the last schema without varieties."""
LATER = [part for step in STEPS[BEFORE + 1 :] for part in step if isinstance(part, str)]


def graft(identity: str, variety: str, note: str = "", tree: str = "t1") -> Graft:
    return Graft(identity, tree, variety, state="bearing", set_on=SET, note=note)


def older(store: RecordStore) -> Path:
    """The records as they stand, as a program without varieties kept them."""
    copy = store.path.with_name(f"old-{len(list(store.path.parent.iterdir()))}") / "records.db"
    copy.parent.mkdir()
    shutil.copy(store.path, copy)
    with closing(sqlite3.connect(copy)) as old:
        for part in LATER:
            added = re.match(r"ALTER TABLE (\w+) ADD COLUMN (\w+)", part)
            assert added is not None
            old.execute(f"ALTER TABLE {added[1]} DROP COLUMN {added[2]}")
        old.executescript(f"DROP TABLE varieties; PRAGMA user_version = {BEFORE};")
    return copy


def put(store: RecordStore, *records: Tree | Graft, words: str = "added") -> None:
    with store.act(words) as act:
        for record in records:
            act.add(record)


def noted(store: RecordStore, one: Graft, note: str) -> None:
    with store.act("noted") as act:
        act.replace(replace(one, note=note))


def upgraded(store: RecordStore) -> Records:
    with RecordStore.open(older(store)) as new:
        assert new.faults() == ()
        return new.read()


@pytest.mark.parametrize(
    ("note", "rest", "bloom"),
    [
        ("bloom group 2", "", "group 2"),
        ("sharp; Bloom Group 2", "sharp", "group 2"),
        ("sharp, bloom group 12; keeps", "sharp; keeps", "group 12"),
        ("  a note, with  blanks ;", "  a note, with  blanks ;", None),
        ("group 4, blooms in May", "group 4, blooms in May", None),
    ],
)
def test_a_group_leaves_the_note_and_nothing_else_does(
    store: RecordStore, note: str, rest: str, bloom: str | None
) -> None:
    put(store, *TREES, graft("g1", "Red Lamp", note))
    records = upgraded(store)
    assert [one.note for one in records.grafts] == [rest]
    assert records.varieties == (() if bloom is None else (Variety("apple", "Red Lamp", bloom=bloom),))


def test_pairs_in_bloom_come_out_as_before(store: RecordStore) -> None:
    grafts = (graft("g1", "Red Lamp", "bloom group 3"), graft("g2", "Blue Lamp", "bloom group 5"))
    put(store, *TREES, *grafts, graft("g3", "Odd Lamp"), graft("g4", "Mid Lamp", "tall; bloom group 4"))
    pairs = {(pair.one, pair.other): (pair.verdict, pair.because) for pair in bloom_overlaps(upgraded(store))}
    assert pairs["Blue Lamp", "Red Lamp"] == ("apart", "bloom groups 5 and 3, not adjacent")
    assert pairs["Mid Lamp", "Red Lamp"] == ("together", "bloom groups 4 and 3, same or adjacent")
    assert pairs["Odd Lamp", "Red Lamp"][0] == "not known"


def test_of_several_grafts_of_a_variety_the_newest_speaks_for_its_species(store: RecordStore) -> None:
    grafts = (graft("g1", "Red Lamp", "bloom group 3"), graft("g2", "Red Lamp", "bloom group 4"))
    put(store, *TREES, *grafts, graft("g3", "Red Lamp", "bloom group 1", "t2"))
    assert set(upgraded(store).varieties) == {
        Variety("apple", "Red Lamp", bloom="group 4"),
        Variety("pear", "Red Lamp", bloom="group 1"),
    }


def test_an_act_that_gave_a_group_is_undone_with_it(store: RecordStore) -> None:
    one = graft("g1", "Red Lamp", "sharp")
    put(store, *TREES, one)
    noted(store, one, "sharp; bloom group 3")
    noted(store, one, "sharp; bloom group 5")
    with RecordStore.open(older(store)) as new:
        assert [variety.bloom for variety in new.read().varieties] == ["group 5"]
        assert new.undo_last() == "noted"
        assert [variety.bloom for variety in new.read().varieties] == ["group 3"]
        assert new.undo_last() == "noted"
        assert (new.read().varieties, new.read().grafts) == ((), (one,))
        assert new.undo_last() == "added"
        assert new.read() == Records()


def test_what_was_noted_since_the_step_is_undone_first(store: RecordStore) -> None:
    put(store, *TREES, graft("g1", "Red Lamp", "bloom group 3"))
    with RecordStore.open(older(store)) as new:
        held = Variety("apple", "Red Lamp", bloom="group 3")
        with new.act("keeps") as act:
            act.remove(held)
            act.add(replace(held, keeps="Mar"))
        assert new.undo_last() == "keeps"
        assert new.read().varieties == (held,)
        assert new.undo_last() == "added"
        assert new.read() == Records()


def test_acts_that_cannot_be_read_are_left_as_they_are(store: RecordStore) -> None:
    """Of a folder that can only be read a private copy is brought up to date, which nobody has proved before."""
    put(store, *TREES, graft("g1", "Red Lamp", "bloom group 3"))
    with closing(sqlite3.connect(older(store), isolation_level=None)) as broken:
        broken.execute("UPDATE acts SET changes = 'bloom group, and no list'")
        upgrade(broken)
        assert broken.execute("SELECT variety, bloom FROM varieties").fetchall() == [("Red Lamp", "group 3")]
        assert broken.execute("SELECT changes FROM acts").fetchone() == ("bloom group, and no list",)


NOTES = ("", "sharp", "bloom group 1", "sharp; bloom group 2", "Bloom group 3")


def some_act(store: RecordStore, random: Random, number: int) -> None:
    """Add, change or remove a graft, or call a tree another species."""
    records = store.read()
    kind = random.randrange(5)
    variety, note = random.choice(("Red Lamp", "Blue Lamp")), random.choice(NOTES)
    with store.act(f"act {number}") as act:
        if kind == 0 or not records.grafts:
            act.add(graft(f"g{number}", variety, note, random.choice(("t1", "t2"))))
        elif kind == 1:
            act.remove(random.choice(records.grafts))
        elif kind == 2:
            tree = random.choice(records.trees)
            act.replace(replace(tree, species=random.choice(("apple", "pear"))))
        else:
            act.replace(replace(random.choice(records.grafts), variety=variety, note=note))
    if random.random() < 0.2:
        store.undo_last()


@pytest.mark.parametrize("seed", range(12))
def test_undone_after_the_step_is_as_the_step_after_undoing(store: RecordStore, seed: int) -> None:
    random = Random(seed)
    put(store, *TREES)
    for number in range(14):
        some_act(store, random, number)
    with RecordStore.open(older(store)) as new:
        while store.undo_last() is not None:
            assert new.undo_last() is not None
            here, there = new.read(), upgraded(store)
            assert (here.trees, here.grafts) == (there.trees, there.grafts)
            assert set(here.varieties) == set(there.varieties)


def test_a_released_step_runs_no_code_that_may_still_change() -> None:
    parts = list(ast.walk(ast.parse(inspect.getsource(varieties_step))))
    named = {part.module for part in parts if isinstance(part, ast.ImportFrom)}
    named |= {name.name for part in parts if isinstance(part, ast.Import) for name in part.names}
    assert "sqlite3" in named
    assert not [name for name in named if name is None or name.startswith("tendwork")]


def test_a_graft_of_another_species_than_its_tree_gives_its_group_to_its_own(tmp_path: Path) -> None:
    path = tmp_path / "records.db"
    row = {"seq": 1, "id": "g1", "tree": "t1", "variety": "Red Peach", "species": "peach", "note": "bloom group 3"}
    with closing(sqlite3.connect(path)) as old, old:
        old.executescript((FIXTURES / "records-schema-6.sql").read_text(encoding="utf-8"))
        old.executescript("DELETE FROM acts; DELETE FROM ticks; DELETE FROM tastings; DELETE FROM grafts")
        old.execute("UPDATE trees SET species = 'plum' WHERE id = 't1'")
        columns = {name for _, name, *_ in old.execute("PRAGMA table_info(grafts)")}
        full = {**dict.fromkeys(columns, ""), **dict.fromkeys(UNKNOWN_OF_A_GRAFT), "state": "planned", **row}
        full["verdict"] = "on trial"
        old.execute(f"INSERT INTO grafts ({', '.join(full)}) VALUES ({', '.join(f':{name}' for name in full)})", full)
        added = json.dumps([["grafts", None, full]])
        old.execute("INSERT INTO acts (at, description, changes) VALUES ('', 'added', ?)", (added,))
    with RecordStore.open(path) as new:
        assert new.faults() == ()
        assert new.read().varieties == (Variety("peach", "Red Peach", bloom="group 3"),)
        assert new.undo_last() == "added"
        assert (new.read().grafts, new.read().varieties) == ((), ())

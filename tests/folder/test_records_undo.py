"""Taking back: act by act to the beginning of the day, and single ticks with what they changed."""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

import pytest
from examples import examples
from hypothesis import HealthCheck, given
from hypothesis import strategies as st
from msgspec.structs import replace
from ticks_taken_back import take_back

from tendwork.errors import PersonError
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood

TASK = "grafting/t1/2026"
DAY = date(2026, 4, 1)
TREE = Tree("t1", "Old", "apple")
WOOD = Wood("w1", "Late", "apple", 5)
PLANNED = (Graft("g1", "t1", "Late", wood="w1"), Graft("g2", "t1", "Later", wood="w1"))


@pytest.fixture
def planned(store: RecordStore) -> RecordStore:
    with store.act("planned") as act:
        for record in (TREE, WOOD, *PLANNED):
            act.add(record)
    return store


def graft_day(store: RecordStore, *grafts: Graft) -> None:
    """Set grafts in one act, each taking a stick."""
    with store.act("grafting day") as act:
        for graft in grafts:
            act.add(Tick(TASK, graft.id, DAY, "set"))
            act.replace(replace(graft, state="set", set_on=DAY))
            bundle = store.read().wood[0]
            act.replace(replace(bundle, sticks=bundle.sticks - 1))


def standing(store: RecordStore) -> list[str]:
    units: list[str] = []
    for tick in store.read().ticks:
        if tick.undone:
            units.remove(tick.unit)
        else:
            units.append(tick.unit)
    return units


def test_undo_goes_back_act_by_act_to_the_beginning(planned: RecordStore) -> None:
    graft_day(planned, PLANNED[0])
    with planned.act("renamed") as act:
        act.replace(replace(TREE, name="New"))
    with planned.act("removed") as act:
        act.remove(PLANNED[1])
    assert [planned.undo_last() for _ in range(5)] == ["removed", "renamed", "grafting day", "planned", None]
    records = planned.read()
    assert (records.trees, records.grafts, records.wood, standing(planned)) == ((), (), (), [])


def test_undoing_a_removal_puts_the_record_back_in_its_place(planned: RecordStore) -> None:
    before = planned.read()
    with planned.act("removed") as act:
        act.remove(PLANNED[0])
    planned.undo_last()
    assert planned.read() == before


def test_undoing_a_tick_appends_its_opposite_and_keeps_the_tick(planned: RecordStore) -> None:
    graft_day(planned, PLANNED[0])
    planned.undo_last(date(2026, 4, 9))
    assert planned.read().ticks == (
        Tick(TASK, "g1", DAY, "set"),
        Tick(TASK, "g1", date(2026, 4, 9), "set", undone=True),
    )


def test_undo_survives_closing_and_reaches_the_acts_of_another_process(tmp_path: Path) -> None:
    with RecordStore.open(tmp_path / "records.db", create=True) as first, first.act("planted") as act:
        act.add(TREE)
    with RecordStore.open(tmp_path / "records.db") as second:
        assert second.undo_last() == "planted"


def test_undo_refuses_where_a_row_was_changed_outside(planned: RecordStore) -> None:
    with planned.act("renamed") as act:
        act.replace(replace(TREE, name="New"))
    with sqlite3.connect(planned.path) as outside:
        outside.execute("UPDATE trees SET name = 'Other'")
    outside.close()
    with pytest.raises(PersonError, match='the tree "t1" was changed outside this program'):
        planned.undo_last()


def test_taking_one_tick_back_restores_its_graft_and_leaves_the_others(planned: RecordStore) -> None:
    graft_day(planned, *PLANNED)
    take_back(planned, TASK, "g1", DAY)
    records = planned.read()
    assert [graft.state for graft in records.grafts] == ["planned", "set"]
    assert (standing(planned), records.wood[0].sticks) == (["g2"], 4)


def test_taking_a_tick_back_spares_what_was_changed_since(planned: RecordStore) -> None:
    graft_day(planned, PLANNED[0])
    with planned.act("noted") as act:
        act.replace(replace(planned.read().grafts[0], note="high up", set_on=date(2026, 4, 2)))
    take_back(planned, TASK, "g1", DAY)
    graft = planned.read().grafts[0]
    assert (graft.state, graft.note, graft.set_on) == ("planned", "high up", date(2026, 4, 2))


def test_two_ticks_of_one_unit_are_taken_back_one_after_the_other(planned: RecordStore) -> None:
    graft_day(planned, PLANNED[0])
    with planned.act("took") as act:
        act.add(Tick(TASK, "g1", date(2026, 5, 1), "took"))
        act.replace(replace(planned.read().grafts[0], state="took"))
    states = []
    for _ in range(2):
        take_back(planned, TASK, "g1", DAY)
        states.append((planned.read().grafts[0].state, planned.read().wood[0].sticks))
    assert states == [("set", 4), ("planned", 5)]


def test_a_tick_taken_back_and_put_back_can_be_taken_back_again(planned: RecordStore) -> None:
    graft_day(planned, PLANNED[0])
    for _ in range(2):
        take_back(planned, TASK, "g1", DAY)
        assert planned.read().grafts[0].state == "planned"
        planned.undo_last()
        assert planned.read().grafts[0].state == "set"


def test_taking_back_what_is_not_ticked_does_nothing(planned: RecordStore) -> None:
    before = planned.content_token()
    assert not take_back(planned, TASK, "g1", DAY)
    assert planned.content_token() == before


_MOVES = st.lists(
    st.tuples(st.sampled_from(["tick", "untick", "note", "remove", "add"]), st.integers(0, 3)), max_size=12
)


@examples(30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(_MOVES)
def test_undoing_every_act_always_gives_the_records_before_them(
    tmp_path_factory: pytest.TempPathFactory, moves: list[tuple[str, int]]
) -> None:
    with RecordStore.open(tmp_path_factory.mktemp("undo") / "records.db", create=True) as store:
        with store.act("start") as act:
            act.add(TREE)
            for number in range(4):
                act.add(Graft(f"g{number}", "t1", "Late"))
        seen = [_without_ticks(store.read())]
        for move, number in moves:
            try:
                _do(store, move, f"g{number}")
            except PersonError:
                continue
            if _without_ticks(store.read()) != seen[-1] or move in ("tick", "untick"):
                seen.append(_without_ticks(store.read()))
        for before in reversed(seen[:-1]):
            store.undo_last()
            assert _without_ticks(store.read()) == before
        assert standing(store) == []


def _without_ticks(records: Records) -> Records:
    return replace(records, ticks=())


def _do(store: RecordStore, move: str, identity: str) -> None:
    held = {graft.id: graft for graft in store.read().grafts}
    graft = held.get(identity, Graft(identity, "t1", "Again"))
    if move == "untick":
        if not take_back(store, TASK, identity, DAY):
            raise PersonError("nothing is ticked")
        return
    with store.act(move) as act:
        if move == "tick":
            act.add(Tick(TASK, identity, DAY, "set"))
            act.replace(replace(graft, state="set"))
        elif move == "note":
            act.replace(replace(graft, note=graft.note + "x"))
        elif move == "remove":
            act.remove(graft)
        else:
            act.add(graft)

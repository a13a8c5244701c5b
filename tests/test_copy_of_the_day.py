"""Before the first act of a day the records are copied, whichever act it is; what changes nothing copies nothing."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from datetime import date
from pathlib import Path

import pytest
from bench_acts import tick_job

from tendwork.errors import PersonError
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.records import Records
from tendwork.workbench.bench import Workbench
from tendwork.workbench.entries import Entries
from tendwork.workbench.records_room import JobTick, RecordsRoom

Act = Callable[[Workbench, Path], object]
MAY = date(2026, 5, 8)
MARCH = date(2027, 3, 1)  # so late that it is asked whether what was set last spring took
TAKE = "check-take/t1/2026"
WOOD = "id,variety,species,sticks,cut_on\n{},Red Lamp,apple,4,2026-01-20\n"
RED = {"variety": "Red Lamp", "method": "cleft", "wood": "w1", "wrap": "film"}


def file_of(folder: Path, text: str) -> Path:
    file = folder / "wood.csv"
    file.write_text(text)
    return file


@pytest.fixture(scope="module")
def begun(shared_orchard_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An orchard with a bundle, a tick and a sign of disease, of which no copy is left."""
    folder = tmp_path_factory.mktemp("begun")
    path = Path(shutil.copytree(shared_orchard_path, folder / "orchard"))
    bench = Workbench.open(path)
    bench.records.bring(file_of(folder, WOOD.format("w1")), "wood", MAY)
    bench.records.entries.note("troubles", "t2", {"what": "canker"}, MAY)
    bench.records.entries.variety("apple", "Red Lamp", {"keeps": "Mar"}, MAY)
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    bench.close()
    shutil.rmtree(path / "backups")
    return path


@pytest.fixture
def bench(begun: Path, tmp_path: Path) -> Workbench:
    return Workbench.open(Path(shutil.copytree(begun, tmp_path / "orchard")))


def copied(bench: Workbench) -> list[Records]:
    """What stands in the copies."""
    found = []
    for copy in sorted((bench.path / "backups").glob("records-*.db")):
        with RecordStore.open(copy) as store:
            found.append(store.read())
    return found


ROOM_ACTS: dict[str, Act] = {
    "tick": lambda bench, _: bench.records.tick((JobTick(TAKE, ("g2",), "took"),), MAY),
    "untick": lambda bench, _: bench.records.untick(TAKE, ("g1",), MAY),
    "undo_job": lambda bench, _: bench.records.undo_job(TAKE, ("g1",), MAY),
    "undo_jobs": lambda bench, _: bench.records.undo_jobs([(TAKE, ("g1",))], MAY),
    "put_off": lambda bench, _: bench.records.put_off([TAKE], MAY, MAY),
    "saw": lambda bench, _: bench.records.saw("apple", "full bloom", MAY, sure=True),
    "in_bloom": lambda bench, _: bench.records.in_bloom("apple", "Red Lamp", MAY),
    "undo": lambda bench, _: bench.records.undo(MAY),
    "answer": lambda bench, _: bench.records.answer("took", {"took": ("g2",)}, MARCH),
    "bring": lambda bench, folder: bench.records.bring(file_of(folder, WOOD.format("w2")), "wood", MAY),
}
ENTRY_ACTS: dict[str, Callable[[Entries], object]] = {
    "add": lambda entries: entries.add("trees", {"name": "Young plum", "species": "plum"}, MAY),
    "change": lambda entries: entries.change("trees", ("t1",), {"place": "by the well"}, MAY),
    "move": lambda entries: entries.move(("g1",), "t2", {}, MAY),
    "asked": lambda entries: entries.asked(("w1",), {"came_from": "P. Hill", "asked_on": "2025-12-01"}, MAY),
    "split_graft": lambda entries: entries.split_graft("g1", {"facing": "90"}, MAY),
    "split_bundle": lambda entries: entries.split_bundle("w1", {"sticks": "2"}, MAY),
    "remove": lambda entries: entries.remove("grafts", ("g3",), MAY),
    "set_grafts": lambda entries: entries.set_grafts("t1", (RED,), MAY, sure=True),
    "taste": lambda entries: entries.taste({"graft": "g1", "score": "4"}, MAY),
    "judge": lambda entries: entries.judge(("g1",), "cut", MAY),
    "note": lambda entries: entries.note("troubles", "t1", {"what": "canker"}, MAY),
    "withdraw": lambda entries: entries.withdraw("troubles", "t2", {"what": "canker"}, MAY),
    "variety": lambda entries: entries.variety("apple", "Red Lamp", {"bloom": "3"}, MAY),
    "add_variety": lambda entries: entries.add_variety({"species": "pear", "variety": "Lamp", "keeps": "Mar"}, MAY),
    "remove_variety": lambda entries: entries.remove_variety("apple", "Red Lamp"),
}


def on_entries(act: Callable[[Entries], object]) -> Act:
    return lambda bench, _: act(bench.records.entries)


ACTS: dict[str, Act] = {**ROOM_ACTS, **{name: on_entries(act) for name, act in ENTRY_ACTS.items()}}


def test_every_method_that_does_something_is_among_these_acts() -> None:
    no_act = {  # nothing can be proposed in this small orchard: tests/test_propose_command.py accepts
        RecordsRoom: {
            "read",
            "doubt",
            "bloom_doubt",
            "variety_reference",
            "give",
            "back_up",
            "entries",
            "questions",
            "proposal",
            "wood_needs",
            "grafting_minutes",
            "accept_proposal",
        },
        Entries: {"against_setting", "against_tasting"},
    }
    for room, acts in ((RecordsRoom, ROOM_ACTS), (Entries, ENTRY_ACTS)):
        assert {name for name in vars(room) if not name.startswith("_")} == set(acts) | no_act[room]


@pytest.mark.parametrize("name", ACTS)
def test_the_first_act_of_a_day_leaves_one_copy_of_what_stood_before_it(
    bench: Workbench, tmp_path: Path, name: str
) -> None:
    before = bench.records.read()
    ACTS[name](bench, tmp_path)
    assert bench.records.read() != before
    assert copied(bench) == [before]
    bench.records.undo(MAY)
    assert copied(bench) == [before]


def changed_outside(bench: Workbench, _: Path) -> None:
    """An undo that must not be: the graft that it would change back is not as it was left."""
    with closing(sqlite3.connect(bench.path / "records.db")) as other:
        other.execute("UPDATE grafts SET state = 'failed' WHERE id = 'g1'")
        other.commit()
    bench.records.undo(MAY)


NO_ACTS: dict[str, Act] = {
    "read": lambda bench, _: bench.records.read(),
    "doubt": lambda bench, _: bench.records.doubt("apple", "full bloom", MAY, MAY),
    "give": lambda bench, folder: bench.records.give(folder / "given"),
    "against setting": lambda bench, _: bench.records.entries.against_setting("t1", (RED,), MAY),
    "against tasting": lambda bench, _: bench.records.entries.against_tasting({"graft": "g1", "score": "4"}, MAY),
    "dry run": lambda bench, folder: bench.records.bring(file_of(folder, WOOD.format("w2")), "wood", MAY, dry_run=True),
    "brought already": lambda bench, folder: bench.records.bring(file_of(folder, WOOD.format("w1")), "wood", MAY),
    "ticked already": lambda bench, _: bench.records.tick((JobTick(TAKE, ("g1",), "took"),), MAY),
    "no such outcome": lambda bench, _: bench.records.tick((JobTick(TAKE, ("g2",), "flew"),), MAY),
    "not ticked": lambda bench, _: bench.records.untick(TAKE, ("g2",), MAY),
    "a day that is over": lambda bench, _: bench.records.put_off([TAKE], date(2026, 5, 1), MAY),
    "no such stage": lambda bench, _: bench.records.saw("apple", "flight", MAY),
    "no such file": lambda bench, folder: bench.records.bring(folder / "none.csv", "wood", MAY),
    "an id that is taken": lambda bench, _: bench.records.entries.add(
        "trees", {"id": "t1", "name": "x", "species": "plum"}, MAY
    ),
    "needed": lambda bench, _: bench.records.entries.remove("trees", ("t1",), MAY),
    "changed outside": changed_outside,
}


@pytest.mark.parametrize("name", NO_ACTS)
def test_what_changes_nothing_makes_no_copy(bench: Workbench, tmp_path: Path, name: str) -> None:
    before = bench.records.read().trees
    with suppress(PersonError):
        NO_ACTS[name](bench, tmp_path)
    assert bench.records.read().trees == before
    assert copied(bench) == []


def test_a_copy_before_an_act_that_no_memory_for_pages_would_hold_is_of_what_stood_before(
    bench: Workbench, tmp_path: Path
) -> None:
    before = bench.records.read()
    rows = "".join(f"x{number},{'Long name ' * 40}{number},apple,4\n" for number in range(9_000))
    bench.records.bring(file_of(tmp_path, f"id,variety,species,sticks\n{rows}"), "wood", MAY)
    assert len(bench.records.read().wood) == 9_001
    assert copied(bench) == [before]


def test_an_act_before_which_no_copy_can_be_made_is_refused_and_not_done(bench: Workbench) -> None:
    before = bench.records.read()
    (bench.path / "backups").write_text("no folder")
    with pytest.raises(PersonError, match="backups"):
        bench.records.undo(MAY)
    (bench.path / "backups").unlink()
    assert bench.records.read() == before

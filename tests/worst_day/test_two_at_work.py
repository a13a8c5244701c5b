"""Two at work on one orchard: two who bring, and one who ticks while another puts a copy back."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from worst_acts import ROWS, World, rows_of
from worst_forking import Forker, job
from worst_orchard import databases_aside, newest_copy, records_in

from tendwork.orchard.records import Records

SEED = 20260510
COUNTED: dict[str, Callable[[Records], list[Any]]] = {
    "trees": lambda records: [tree.id for tree in records.trees],
    "grafts": lambda records: [graft.id for graft in records.grafts],
    "wood": lambda records: [bundle.id for bundle in records.wood],
    "sightings": lambda records: [(one.day, one.species, one.stage) for one in records.sightings],
    "tastings": lambda records: [(one.day, one.graft, one.note) for one in records.tastings],
    "ticks": lambda records: [(one.task, one.unit, one.note) for one in records.ticks],
    "lives": lambda records: [(one.graft, one.set_on) for one in records.lives],
    "troubles": lambda records: [(one.tree, one.day, one.what) for one in records.troubles],
    "sprays": lambda records: [(one.tree, one.day, one.product) for one in records.sprays],
    "varieties": lambda records: [(one.species, one.variety) for one in records.varieties],
}
WAYS = ("different files", "the same file", "the same rows in two files")


def bring_together(world: World, base: Path, rounds: int) -> tuple[Counter[str], list[str]]:
    """Two `bring` at once, in turn in each of the ways and of each kind."""
    counts: Counter[str] = Counter()
    wrong: list[str] = []
    kinds = [kind for kind in ROWS if kind != "sightings"]
    for at in range(rounds):
        kind, way = kinds[at % len(kinds)], WAYS[at % len(WAYS)]
        if at % 10 == 0:
            world.reset(base)
        serials = (2 * at + 100, 2 * at + (101 if way == "different files" else 100))
        files = [world.outside / f"one{at}.csv", world.outside / f"{'one' if way == WAYS[1] else 'two'}{at}.csv"]
        for file, serial in zip(files, serials, strict=True):
            file.write_text(rows_of(kind, serial))
        ran = world.forker.together(*(job([*world.where, "bring", str(file), "--as", kind]) for file in files))
        where = f"round {at}, {kind}, {way}"
        counts[way] += 1
        done = [one for one in ran if one.status == 0]
        counts["done"] += len(done)
        counts["refused in a sentence"] += 2 - len(done)
        for one in ran:
            if "Traceback" in one.err or (one.status and not one.err.startswith("tendwork: ")):
                wrong.append(f"{where}: {one.err[-600:]}")
        if not done or (way == WAYS[0] and kind not in ("grafts", "lives") and len(done) < 2):
            wrong.append(f"{where}: refused: {[one.err for one in ran]}")
        records, _ = records_in(world.orchard / "records.db")
        assert records is not None
        there = Counter(COUNTED[kind](records))
        twice = {name: count for name, count in there.items() if count > 1}
        if twice:
            wrong.append(f"{where}: brought twice: {twice}; it said {[one.out + one.err for one in ran]}")
        content = str(records)
        for one, serial in zip(ran, serials, strict=True):
            lines = rows_of(kind, serial).splitlines()[1:]
            marks = [f"{serial}a", f"{serial}b"] if kind in ("trees", "grafts", "wood") else [f"{serial}"] * len(lines)
            missing = [mark for mark in marks if mark not in content]
            if one.status == 0 and missing:
                wrong.append(f"{where}: acknowledged and not there: {missing}")
        check = world.forker.run(*world.where, "check")
        if check.status:
            wrong.append(f"{where}: check says {check.out}{check.err}")
            world.reset(base)
    return counts, wrong


def tick_during_restore(world: World, base: Path, rounds: int, seconds: float) -> tuple[Counter[str], list[str]]:
    """One process ticks, with the folder open all the time or opened for each tick, while another restores."""
    counts: Counter[str] = Counter()
    wrong: list[str] = []
    chance = random.Random(SEED)
    for at in range(rounds):
        world.reset(base)
        world.do("trouble", "t1", "before")
        copy = newest_copy(world.orchard)
        how = ("open", "each")[at % 2]
        where = f"round {at}, folder opened {'once' if how == 'open' else 'for each tick'}"
        ticking = job(["@ticks", str(world.orchard), str(seconds), how])
        restoring = job([*world.where, "restore", str(copy)], wait_s=seconds * chance.uniform(0.1, 0.6))
        ticked, restored = world.forker.together(ticking, restoring)
        for one in (ticked, restored):
            if "Traceback" in one.err:
                wrong.append(f"{where}: {one.err[-900:]}")
        done = [line.split(" ", 2) for line in ticked.out.splitlines() if line.startswith("done ")]
        notes = {note: float(begun) for _, begun, note in done}
        counts["rounds"] += 1
        counts["ticks acknowledged"] += len(notes)
        counts["ticks refused"] += ticked.out.count("refused ")
        counts["restored"] += restored.status == 0
        counts["restore refused"] += restored.status != 0
        if restored.status and not restored.err.startswith("tendwork: "):
            wrong.append(f"{where}: {restored.err!r}")
        here = notes_in(world.orchard / "records.db")
        aside = set().union(*(notes_in(file) for file in databases_aside(world.orchard)))
        late = {note for note, begun in notes.items() if restored.status == 0 and begun > restored.at_s}
        counts["ticks begun after the restore"] += len(late)
        counts["in the records"] += len(here & set(notes))
        counts["only in what was set aside"] += len((aside - here) & set(notes))
        if lost := set(notes) - here - aside:
            counts["lost"] += len(lost)
            wrong.append(f"{where}: acknowledged and lost: {sorted(lost)}")
        if astray := late - here:
            counts["astray"] += len(astray)
            wrong.append(f"{where}: acknowledged after the restore, into what was set aside: {sorted(astray)}")
        if restored.status == 0 and len(notes) == len(late):
            counts["no tick before the restore"] += 1
        over = world.forker.run_in_turn(*([*world.where, *words] for words in (("check",), ("week",), ("undo",))))
        statuses = [part.status for part in over.parts()]
        if statuses != [0, 0, 0]:
            wrong.append(f"{where}: afterwards {statuses}: {over.err[-400:]} {over.out[-200:]}")
    return counts, wrong


def notes_in(database: Path) -> set[str]:
    records, _ = records_in(database)
    return set() if records is None else {tick.note for tick in records.ticks if tick.note}


def report(counts: Counter[str], wrong: list[str]) -> None:
    print()
    for name, count in counts.items():
        print(f"{name:34}{count:>8}")
    for line in wrong:
        print(line)


def test_three_rounds_of_two_who_bring_at_once_bring_each_row_once(
    forker: Forker, records_base: Path, quick_place: Path
) -> None:
    assert bring_together(World(quick_place, forker), records_base, 3)[1] == []


@pytest.mark.slow
def test_fifty_rounds_of_two_who_bring_at_once_bring_each_row_once(
    forker: Forker, records_base: Path, quick_place: Path
) -> None:
    counts, wrong = bring_together(World(quick_place, forker), records_base, 50)
    report(counts, wrong)
    assert wrong == []
    assert sum(counts[way] for way in WAYS) == 50


def test_three_rounds_of_ticks_during_a_restore_lose_none(
    forker: Forker, records_base: Path, quick_place: Path
) -> None:
    counts, wrong = tick_during_restore(World(quick_place, forker), records_base, 3, 0.4)
    assert wrong == []
    assert counts["ticks acknowledged"] > 0


@pytest.mark.slow
def test_fifty_rounds_of_ticks_during_a_restore_lose_none(
    forker: Forker, records_base: Path, quick_place: Path
) -> None:
    counts, wrong = tick_during_restore(World(quick_place, forker), records_base, 50, 0.9)
    report(counts, wrong)
    assert wrong == []
    assert counts["ticks acknowledged"] > 50

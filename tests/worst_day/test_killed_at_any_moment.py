"""Every act killed at random moments: what was acknowledged is there, what was not is there whole or not at all."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from worst_acts import ACTS, World
from worst_forking import Forker
from worst_kills import Kills
from worst_orchard import drafts_in, make_old

SEED = 20260510


def test_a_score_of_kills_leaves_every_act_whole_or_undone(
    forker: Forker, records_base: Path, quick_place: Path
) -> None:
    quick = tuple(act.name for act in ACTS if act.base == "records" and not act.moves_buds)
    kills = Kills({"records": records_base}, forker, quick_place / "kills", SEED)
    kills.run(20, quick, real=False)
    assert kills.wrong == []
    assert sum(count.acknowledged for count in kills.counts.values()) > 0
    assert sum(count.kills for count in kills.counts.values()) >= 10


@pytest.mark.slow
@pytest.mark.parametrize("seed", [SEED, SEED + 1, SEED + 2, SEED + 3])
def test_a_thousand_kills_over_all_acts_lose_nothing_and_leave_nothing_by_half(
    forker: Forker, records_base: Path, fetch_base: Path, quick_place: Path, seed: int
) -> None:
    """A quarter of them for each seed."""
    kills = Kills({"records": records_base, "fetch": fetch_base}, forker, quick_place / "kills", seed)
    while sum(count.kills for count in kills.counts.values()) < 250:
        kills.run(len(ACTS))
    print(f"\n{kills.table()}\n")
    assert {act.name for act in ACTS} == set(kills.counts)
    assert kills.wrong == []


@pytest.mark.slow
def test_what_killed_writers_leave_behind_does_not_grow_for_ever(
    forker: Forker, records_base: Path, fetch_base: Path, quick_place: Path
) -> None:
    """Every act killed before each of its steps in one folder, the leavings grown old, and each act done once more."""
    world = World(quick_place, forker)
    left: dict[str, list[str]] = {}
    for act in ACTS:
        if act.kind in ("six", "begin"):
            continue
        world.reset({"records": records_base, "fetch": fetch_base}[act.base])
        world.serial += 1
        act.before(world)
        words = act.words(world) if act.kind == "watch" else [*world.where, *act.words(world)]
        for step in range(1, 80):
            if not forker.run(*words, steps=True, die_at=step).was_killed:
                break
        shutil.rmtree(world.outside / f"given{world.serial}", ignore_errors=True)
        make_old(*drafts_in(world.orchard, world.outside))
        another_shift = ("adjust", "--colder", "0.4", "--yes")  # the same adjustment again would write nothing
        for line in ("spray", "t1", "probe", "--on", "2026-01-06"), another_shift, ("week",), ("check",):
            forker.run(*world.where, *line)
        (world.orchard / "rounds.toml").unlink(missing_ok=True)  # so that a watch has something to do again today
        again = forker.run(*words)
        stale = [draft for draft in drafts_in(world.orchard, world.outside) if draft.stat().st_mtime < 1_700_000_000]
        if stale:
            left[act.name] = sorted(draft.name for draft in stale)
        assert "Traceback" not in again.err, (act.name, again)
    for name, drafts in left.items():
        print(f"{name:28}{len(drafts):>4} left: {drafts[:4]}")
    assert left == {}

"""Every act killed at random moments: what was acknowledged is there, what was not is there whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest
from worst_acts import ACTS, World
from worst_forking import Forker
from worst_kills import Kills
from worst_orchard import drafts_in, make_old

SEED = 20260510


def test_two_dozen_kills_leave_every_act_whole_or_undone(forker: Forker, records_base: Path, quick_place: Path) -> None:
    quick = tuple(act.name for act in ACTS if act.base == "records" and not act.moves_buds)
    kills = Kills({"records": records_base}, forker, quick_place / "kills", SEED)
    kills.run(24, quick, real=False)
    assert kills.wrong == []
    assert sum(count.acknowledged for count in kills.counts.values()) > 0
    assert sum(count.kills for count in kills.counts.values()) >= 12


@pytest.mark.slow
def test_a_thousand_kills_over_all_acts_lose_nothing_and_leave_nothing_by_half(
    forker: Forker, records_base: Path, fetch_base: Path, quick_place: Path
) -> None:
    kills = Kills({"records": records_base, "fetch": fetch_base}, forker, quick_place / "kills", SEED)
    while sum(count.kills for count in kills.counts.values()) < 1000:
        kills.run(100)
    print(f"\n{kills.table()}\n")
    for line in kills.wrong:
        print(line)
    assert {act.name for act in ACTS} == set(kills.counts)
    assert kills.wrong == []

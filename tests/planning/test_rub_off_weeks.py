"""The rounds of rubbing off follow one another without a gap, whenever the take is looked at. The grafts are invented.

Stock shoots swamp a graft in its second to eighth week (Home Orchard Society, Grafting aftercare, undated), and growers
come back every three to four weeks at the least (Northern Pecans, 2017).
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from shipped import TEMPLATES
from steady_almanac import DAY_OF_CODE, SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task

SET_ON = date(2026, 4, 11)
ALMANAC = SteadyAlmanac(DAY_OF_CODE)


def rubbing_on(day: date, took_on: date | None, rubbed_on: list[date]) -> list[Task]:
    state = "took" if took_on is not None and took_on <= day else "set"
    graft = Graft("g1", "t1", "Blue", "cleft", "PVC tape", state=state, set_on=SET_ON)
    ticks = [Tick("check-take/t1/2026", "g1", took_on, "took")] if state == "took" and took_on is not None else []
    rounds: dict[str, int] = {}
    for done in rubbed_on:
        rule = "rub-off-weekly" if (done - SET_ON).days < 42 else "rub-off-fortnightly"
        rounds[rule] = rounds.get(rule, 0) + 1
        number = "" if rounds[rule] == 1 else f".{rounds[rule]}"
        ticks.append(Tick(f"{rule}/t1/2026{number}", "g1", done, "done"))
    records = Records((Tree("t1", "Old Hallow", "apple"),), (graft,), ticks=tuple(ticks))
    tasks = plan(SiteLimits(), records, ALMANAC, TEMPLATES, day).tasks
    return [task for task in tasks if task.template.startswith("rub-off")]


@pytest.mark.parametrize("took_after_days", [24, 33, 41, 50, 70, None])
def test_from_the_third_week_to_the_tenth_stock_shoots_are_never_left_for_more_than_three_weeks(
    took_after_days: int | None,
) -> None:
    took_on = None if took_after_days is None else SET_ON + timedelta(days=took_after_days)
    rubbed: list[date] = []
    for after in range(14, 10 * 7 + 1, 7):  # one look a week
        day = SET_ON + timedelta(days=after)
        due = [task for task in rubbing_on(day, took_on, rubbed) if task.state in ("open", "closing", "late")]
        rubbed += [day] if due else []
    gaps = [(later - day).days for day, later in pairwise(rubbed)]
    assert (rubbed[0] - SET_ON).days <= 21
    assert max(gaps) <= 21
    assert (SET_ON + timedelta(weeks=10) - rubbed[-1]).days <= 14

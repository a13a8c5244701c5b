"""Mornings over a year of the sample orchard: the right job stands first, and once it is ticked the right one next.

The clock is frozen at breakfast and the dashboard asks it for the day, as on any morning. Why a job is the right one
stands beside it; the order of jobs within one morning is judgement about the trade, common practice, no source.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from freezegun import freeze_time

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.menu import MenuScreen
from tendwork.dashboard.screens.outcome import OutcomeScreen
from tendwork.view.words import full_day
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

# Each morning: the day, the job that must stand first, and the one that must stand first once that is ticked.
MORNINGS = [
    # The only wood of a tree here that is planned: it is cut before its buds swell; then labels, on what came in.
    pytest.param(
        date(2026, 1, 23),
        "Cut apple and pear scion wood, the orchard",
        "Label the wood, and put it into cold store, the orchard",
        id="january",
    ),
    # Wood of others that nobody cuts unless they are asked again; then all is done.
    pytest.param(
        date(2026, 2, 11),
        "Remind those who did not answer about wood, the orchard",
        "Nothing must be done today, and 4 jobs can wait; next comes Check the stored wood",
        id="february",
    ),
    # Stone-fruit wood keeps worst, so it is used before all else; then the clefts, best just before the buds swell.
    pytest.param(
        date(2026, 3, 15),
        "Use stone-fruit wood before it fades, the orchard",
        "Cleft graft apple and pear, Old Hallow",
        id="march",
    ),
    # A graft dries within days, and the look at the new seals ends tomorrow; then the clefts, which end on Sunday.
    pytest.param(
        date(2026, 3, 31),
        "Look after the new grafts, twice, Young plum",
        "Cleft graft apple and pear, Old Hallow",
        id="grafting day",
    ),
    # The second look at the seals ends tomorrow; then the whip grafts, which have two weeks.
    pytest.param(
        date(2026, 4, 4),
        "Look after the new grafts, twice, Young plum",
        "Whip graft apple and pear, Wall pear",
        id="grafting days",
    ),
    # The grafts of the first grafting day can be judged until Saturday, while there is time to graft again.
    pytest.param(
        date(2026, 5, 14),
        "See whether the grafts took, Old Hallow",
        "See whether the grafts took, Gate apple",
        id="may",
    ),
    # Tape that does not stretch cuts into a shoot of this summer, on the plum first; then water sprouts, still soft.
    pytest.param(
        date(2026, 6, 23),
        "Slit tape on plum and cherry grafts, Young plum",
        "Pull water sprouts and thin uprights, Old Hallow",
        id="june",
    ),
    # The first apple is ripe for days; then suckers, which tear while they are soft, and end before budding does.
    pytest.param(
        date(2026, 7, 29),
        "Look at and taste the apples, Old Hallow",
        "Tear off suckers at the base, Rookery cherry",
        id="july",
    ),
    # Tomorrow is the last day for buds on cherry, whose bark stops slipping first; then the look for first fruit,
    # which ends in four days, light for the pear's grafts in six, the look at last month's buds later.
    pytest.param(
        date(2026, 8, 14),
        "Bud pear, plum and cherry, Rookery cherry",
        "Does it bear? First fruit of the grafts, Old Hallow",
        id="august",
    ),
    # A bud that did not take is seen until Saturday, while the tie can stay on those that did; fruit hangs for longer.
    pytest.param(
        date(2026, 9, 15),
        "See whether the buds took, Gate apple",
        "Look at and taste the apples, Gate apple",
        id="september",
    ),
    # An apple falls within days, and what else is ripe is looked at, tasted and picked on the same walk. Then the pears
    # of early September, of which nobody knows how long they keep.
    pytest.param(
        date(2026, 10, 9), "Pick the apples, Old Hallow", "Look through the fruit in store, Wall pear", id="october"
    ),
    # The young tree has its guard, and old bark needs none: what was tasted is read first, before wood is asked for.
    pytest.param(
        date(2026, 11, 14),
        "Read last season's tastings and verdicts, the orchard",
        "Take down mummies, rake the leaves, the orchard",
        id="november",
    ),
]


@pytest.mark.parametrize(("day", "first", "then"), MORNINGS)
async def test_the_right_job_stands_first_and_once_ticked_the_right_one_next(
    sample_of: Callable[[date], Path],
    tmp_path: Path,
    at_rest: Callable,
    seen_on: Callable,
    press: Callable,
    day: date,
    first: str,
    then: str,
) -> None:
    bench = Workbench.open(shutil.copytree(sample_of(day), tmp_path / "orchard"))
    with freeze_time(f"{day} 06:30", real_asyncio=True, ignore=["textual", "tendwork"]):
        app = Dashboard(bench)
        async with app.run_test(size=(120, 40)) as pilot:
            await at_rest(pilot)
            morning = seen_on(app)
            await press(pilot, "space")
            while isinstance(app.screen, (OutcomeScreen, MenuScreen)):  # how each part went, and what it is wrapped in
                await press(pilot, "enter")
            assert full_day(day) in morning
            assert next_words(morning).startswith(first)
            assert next_words(seen_on(app)).startswith(then)


def next_words(screen: str) -> str:
    """What the line that names the next job says."""
    return next(line.split("Next: ")[1] for line in screen.splitlines() if line.startswith(" Next: "))

"""The watch of an open dashboard, over a ticker that stands still."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from freezegun import freeze_time

from tendwork.daily.day_watch import LOOK_SECONDS, DayWatch
from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

DAY = date(2026, 3, 12)
NEXT_DAY = date(2026, 3, 13)


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


class StillTicker:
    """Runs nothing by itself and remembers what it was asked for."""

    seconds = 0.0
    stopped = False

    def start(self, seconds: float, *_: object) -> None:
        self.seconds = seconds

    def stop(self) -> None:
        self.stopped = True


class Place:
    """A day and a folder that a test can change, and what the watch said about them."""

    def __init__(self) -> None:
        self.day = DAY
        self.written = False
        self.turns = 0
        self.troubles: list[str] = []
        self.ticker = StillTicker()
        self.watch = DayWatch(lambda: self.day, self.changed, self.turned, self.troubles.append, self.ticker)

    def changed(self) -> bool:
        return self.written

    def turned(self) -> None:
        self.turns += 1


@pytest.mark.anyio
async def test_a_quiet_look_asks_for_nothing() -> None:
    place = Place()
    await place.watch.look()
    assert place.turns == 0


@pytest.mark.anyio
async def test_a_new_day_asks_once_for_a_new_plan() -> None:
    place = Place()
    place.day = NEXT_DAY
    await place.watch.look()
    await place.watch.look()
    assert place.turns == 1


@pytest.mark.anyio
async def test_a_change_by_another_process_asks_for_a_new_plan() -> None:
    place = Place()
    place.written = True
    await place.watch.look()
    assert place.turns == 1


@pytest.mark.anyio
async def test_a_folder_that_cannot_be_read_is_a_sentence_and_the_watch_goes_on() -> None:
    place = Place()

    def broken() -> bool:
        raise PersonError("site.toml: is gone.")

    place.watch = DayWatch(lambda: place.day, broken, place.turned, place.troubles.append, place.ticker)
    await place.watch.look()
    assert (place.troubles, place.turns) == (["site.toml: is gone."], 0)


def test_the_watch_looks_every_second_until_it_is_stopped() -> None:
    place = Place()
    place.watch.start()
    place.watch.stop()
    assert (place.ticker.seconds, place.ticker.stopped) == (LOOK_SECONDS, True)


@pytest.mark.anyio
@pytest.mark.parametrize(("utc", "turned"), [("2026-03-28 23:59", 1), ("2026-03-29 22:59", 1), ("2026-03-29 23:59", 0)])
async def test_the_day_turns_at_the_site_s_own_midnight_through_the_change_to_summer_time(
    orchard_path: Path, utc: str, turned: int
) -> None:
    bench = Workbench.open(orchard_path)
    turns: list[date] = []
    with freeze_time(utc, real_asyncio=True) as clock:
        watch = DayWatch(
            bench.today, bench.plan.changed, lambda: turns.append(bench.today()), pytest.fail, StillTicker()
        )
        await watch.look()
        clock.tick(timedelta(minutes=2))
        await watch.look()
    assert len(turns) == turned

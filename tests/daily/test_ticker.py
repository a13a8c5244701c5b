"""The ticker over the real clock, and over one that is set."""

from __future__ import annotations

import asyncio
import time

import pytest
from freezegun import freeze_time

from tendwork.daily.ticker import LoopTicker

pytestmark = pytest.mark.anyio


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


async def test_the_ticker_calls_its_job_again_and_again_in_the_loop_that_started_it() -> None:
    loops = []
    enough = asyncio.Event()

    async def job() -> None:
        loops.append(asyncio.get_running_loop())
        if len(loops) == 2:
            enough.set()

    ticker = LoopTicker()
    ticker.start(0.05, job, pytest.fail)
    await asyncio.wait_for(enough.wait(), 5)
    ticker.stop()
    assert loops == [asyncio.get_running_loop()] * 2


async def test_a_job_that_fails_is_told_and_called_again() -> None:
    told: list[str] = []
    enough = asyncio.Event()

    async def job() -> None:
        if told:
            enough.set()
        raise ValueError("no such day")

    ticker = LoopTicker()
    ticker.start(0.05, job, told.append)
    await asyncio.wait_for(enough.wait(), 5)
    ticker.stop()
    assert told[0] == "A round failed: no such day"


async def test_a_run_that_a_busy_loop_delayed_still_happens() -> None:
    ran = asyncio.Event()
    troubles: list[str] = []

    async def job() -> None:
        ran.set()

    ticker = LoopTicker()
    ticker.start(0.1, job, troubles.append)
    time.sleep(1.3)
    await asyncio.wait_for(ran.wait(), 5)
    ticker.stop()
    assert troubles == []


async def test_a_stopped_ticker_calls_no_more() -> None:
    calls = []

    async def job() -> None:
        calls.append(1)

    ticker = LoopTicker()
    ticker.start(0.05, job, pytest.fail)
    ticker.stop()
    await asyncio.sleep(0.2)
    assert calls == []


@pytest.mark.parametrize("set_to", ["2026-05-05 11:00", "2025-05-05 12:00", "2026-05-05 21:00"])
async def test_a_clock_that_is_set_holds_no_call_up(set_to: str) -> None:
    calls = 0
    enough = asyncio.Event()

    async def job() -> None:
        nonlocal calls
        calls += 1
        if calls == 3:
            clock.move_to(set_to)
        if calls == 6:
            enough.set()

    ticker = LoopTicker()
    with freeze_time("2026-05-05 12:00", tick=True, real_asyncio=True) as clock:
        ticker.start(0.05, job, pytest.fail)
        await asyncio.wait_for(enough.wait(), 5)
        ticker.stop()

"""A ticker that calls an async job again and again in the running loop.

It counts on the loop's own clock, which nobody can set: a timer that waits for a time of day would stand still for as
long as the computer's clock is set back. A machine that was suspended, or a busy loop, makes a call late, never lost.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import Protocol

Job = Callable[[], Awaitable[None]]
Trouble = Callable[[str], None]


class Ticker(Protocol):
    """Calls one async job every so many seconds, from `start` to `stop`, and passes on a sentence if a call fails."""

    def start(self, seconds: float, job: Job, trouble: Trouble) -> None: ...

    def stop(self) -> None: ...


class LoopTicker:
    """A ticker over asyncio. One call ends before the next begins. `start` needs a running loop."""

    def __init__(self) -> None:
        self._task: asyncio.Task[None] | None = None

    def start(self, seconds: float, job: Job, trouble: Trouble) -> None:
        self._task = asyncio.get_running_loop().create_task(_tick(seconds, job, trouble))

    def stop(self) -> None:
        if self._task is not None:
            self._task.cancel()
            self._task = None


async def _tick(seconds: float, job: Job, trouble: Trouble) -> None:
    while True:
        await asyncio.sleep(seconds)
        try:
            await job()
        except Exception as error:
            trouble(f"A round failed: {error}")

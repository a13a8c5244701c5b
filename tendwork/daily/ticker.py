"""The one place that knows APScheduler: a ticker that calls an async job again and again in the running loop.

Only async jobs, because a plain one would run in a thread, outside of whoever started the ticker. No grace time and
coalesced, because a run that comes late (a suspended laptop, a busy loop) is still wanted once. Nothing is stored.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import UTC
from typing import Any, Protocol

Job = Callable[[], Awaitable[None]]
Trouble = Callable[[str], None]


class Ticker(Protocol):
    """Calls one async job every so many seconds, from `start` to `stop`, and passes on a sentence if a run fails."""

    def start(self, seconds: float, job: Job, trouble: Trouble) -> None: ...

    def stop(self) -> None: ...


class SchedulerTicker:
    """A ticker over APScheduler's asyncio scheduler. `start` needs a running loop."""

    def __init__(self) -> None:
        self._scheduler: Any = None

    def start(self, seconds: float, job: Job, trouble: Trouble) -> None:
        import logging

        from apscheduler.events import EVENT_JOB_ERROR, EVENT_JOB_MISSED
        from apscheduler.schedulers.asyncio import AsyncIOScheduler

        def heard(event: Any) -> None:
            failure = getattr(event, "exception", None)
            trouble("A round was missed." if failure is None else f"A round failed: {failure}")

        logging.getLogger("apscheduler").setLevel(logging.CRITICAL)  # what it would say is told here
        scheduler = AsyncIOScheduler(timezone=UTC)
        scheduler.add_listener(heard, EVENT_JOB_ERROR | EVENT_JOB_MISSED)
        scheduler.add_job(job, "interval", seconds=seconds, misfire_grace_time=None, coalesce=True, max_instances=1)
        scheduler.start()
        self._scheduler = scheduler

    def stop(self) -> None:
        if self._scheduler is not None:
            self._scheduler.shutdown(wait=False)
            self._scheduler = None

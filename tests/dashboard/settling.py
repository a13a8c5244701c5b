"""Waiting for the dashboard in tests: until it is at rest, or until something holds, however slow the machine is."""

from __future__ import annotations

import time
from collections.abc import Callable

from textual.app import App
from textual.pilot import Pilot

PATIENCE_SECONDS = 30.0


async def settled(pilot: Pilot) -> None:
    """Waits until no message and no work is left, also where the machine gives the test little time."""
    await pilot.pause()
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()
    for _ in range(500):
        if not _is_busy(pilot.app):
            break
        await pilot.pause(0.01)


async def until(pilot: Pilot, holds: Callable[[], bool]) -> None:
    """Waits until it holds, and then until all is at rest; what never holds is left to the test's own assertion."""
    end = time.monotonic() + PATIENCE_SECONDS
    while not holds() and time.monotonic() < end:
        await pilot.pause(0.02)
    await settled(pilot)


def _is_busy(app: App) -> bool:
    nodes = (app, *app.screen.walk_children(with_self=True))
    return any(not worker.is_finished for worker in app.workers) or any(node.message_queue_size for node in nodes)

"""Threads that nobody waits for.

A name is looked up by a call of the system that nothing can break off. In the usual pool of threads it would hold up
the end of the asking, and the end of the program, for as long as it lasts.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Thread
from typing import Any


class UnwaitedThreads(ThreadPoolExecutor):
    """A pool only by name, as asyncio takes no other: every piece of work has a daemon thread of its own."""

    def submit(self, work: Callable[..., Any], /, *arguments: Any, **named: Any) -> Future[Any]:
        """Begin `work` at once; what it gives or raises is in the future that is returned."""
        future: Future[Any] = Future()

        def run() -> None:
            if future.set_running_or_notify_cancel():
                try:
                    result = work(*arguments, **named)
                except BaseException as error:
                    future.set_exception(error)
                else:
                    future.set_result(result)

        Thread(target=run, daemon=True).start()
        return future

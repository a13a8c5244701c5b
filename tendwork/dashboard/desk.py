"""One thread for all that the workbench does, so that acts and plans follow each other and the screen never waits."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

from tendwork.workbench.bench import Workbench

_Result = TypeVar("_Result")


class Desk:
    """Does things with a workbench one after the other, off the event loop."""

    def __init__(self, bench: Workbench) -> None:
        self._bench = bench
        self._thread = ThreadPoolExecutor(1, "workbench")
        self._waiting = 0

    @property
    def busy(self) -> bool:
        """Whether something is being done, so that what is shown is about to be new anyway."""
        return self._waiting > 0

    async def do(self, call: Callable[[Workbench], _Result]) -> _Result:
        """The result of `call`, which must not touch a widget."""
        self._waiting += 1
        try:
            return await asyncio.get_running_loop().run_in_executor(self._thread, call, self._bench)
        finally:
            self._waiting -= 1

    def close(self) -> None:
        """Take no more work; what has begun ends by itself."""
        self._thread.shutdown(wait=False, cancel_futures=True)

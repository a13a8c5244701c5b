"""`tendwork watch`: asks again and again what is due, has it done, says what was done, and stops cleanly.

A look works in a thread, so that a slow network or command never keeps a signal from being heard.
"""

from __future__ import annotations

import asyncio
import signal
import threading
from collections.abc import Callable, Iterable

from tendwork.daily.ticker import LoopTicker, Ticker
from tendwork.errors import PersonError

LOOK_SECONDS = 30.0
_STOPPING = (signal.SIGINT, signal.SIGTERM)

Look = Callable[[], Iterable[str]]
"""Does what is due, and gives a sentence for each thing done. Raises PersonError."""


class Watching:
    """Looks at once and then every half minute, until it is stopped by `stop` or a signal."""

    def __init__(self, look: Look, say: Callable[[str], None], ticker: Ticker | None = None) -> None:
        self.stopping = threading.Event()
        self._look = look
        self._say = say
        self._ticker = ticker or LoopTicker()
        self._trouble = ""
        self._loop: asyncio.AbstractEventLoop | None = None
        self._stopped = asyncio.Event()
        self._turn = asyncio.Lock()

    def run(self) -> None:
        """Watch until stopped. A second signal ends the process at once. Needs the main thread, for its signals."""
        before = {number: signal.signal(number, self._heard) for number in _STOPPING}
        try:
            self.serve()
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)

    def serve(self) -> None:
        """Watch until stopped, in any thread and without signals."""
        asyncio.run(self._serve())

    def stop(self) -> None:
        """End after the job that is under way. May be called in a signal handler or another thread."""
        self.stopping.set()
        if self._loop is not None:
            self._loop.call_soon_threadsafe(self._stopped.set)

    async def look(self) -> None:
        """One look; never two at a time."""
        async with self._turn:
            if self.stopping.is_set():
                return
            try:
                for sentence in await asyncio.to_thread(self._look):
                    self._say(sentence)
                self._trouble = ""
            except PersonError as error:
                self._tell(str(error))
            except Exception as error:
                self._tell(f"A look went wrong ({type(error).__name__}: {error}).")

    async def _serve(self) -> None:
        self._loop = asyncio.get_running_loop()
        if self.stopping.is_set():
            return
        self._ticker.start(LOOK_SECONDS, self.look, self._tell)
        await self.look()
        await self._stopped.wait()
        async with self._turn:
            self._ticker.stop()

    def _heard(self, number: int, _: object) -> None:
        signal.signal(number, signal.SIG_DFL)
        self.stop()

    def _tell(self, sentence: str) -> None:
        """Say what is wrong when it is new, and not every half minute."""
        if sentence != self._trouble:
            self._say(sentence)
        self._trouble = sentence

"""The watch of an open dashboard: has a new day begun, or has another process written? It asks every second.

What is due always comes from the day and the folder, never from counting ticks, so a machine that slept misses nothing.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import date

from tendwork.daily.ticker import LoopTicker, Ticker, Trouble
from tendwork.errors import PersonError

LOOK_SECONDS = 1.0  # a look costs a fraction of a millisecond, and what another screen ticked is soon wanted


class DayWatch:
    """Calls `turned` in the running loop when the plan has to be made again.

    `today` gives the person's day; `changed`, which may block, whether the folder is no longer what was planned from.
    """

    def __init__(
        self,
        today: Callable[[], date],
        changed: Callable[[], bool],
        turned: Callable[[], None],
        trouble: Trouble,
        ticker: Ticker | None = None,
    ) -> None:
        self._today = today
        self._changed = changed
        self._turned = turned
        self._trouble = trouble
        self._ticker = ticker or LoopTicker()
        self._day = today()
        self._begun = False

    def start(self) -> None:
        """Begin to watch unless it has begun. Needs a running loop."""
        if not self._begun:
            self._begun = True
            self._ticker.start(LOOK_SECONDS, self.look, self._trouble)

    def stop(self) -> None:
        self._ticker.stop()

    async def look(self) -> None:
        """One look at the day and the folder."""
        day = self._today()
        try:
            turned = day != self._day or await asyncio.to_thread(self._changed)
        except PersonError as error:
            self._trouble(str(error))
            return
        self._day = day
        if turned:
            self._turned()

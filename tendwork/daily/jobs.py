"""The daily jobs of `tendwork watch`: what is due by the site's clock, done once, and noted.

What is due always comes from the clock and from rounds.toml, never from counting time, so a machine that slept, was off
or had its clock set misses nothing and does nothing twice. A delivery is noted as begun before it begins: if the
machine dies in its midst, it does not come again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from zlib import crc32

import msgspec
from msgspec import Struct

from tendwork.daily.deliveries import Delivery, frost_delivery, sheet_delivery
from tendwork.daily.timetable import Timetable
from tendwork.errors import PersonError
from tendwork.folder.daily_log import DailyLog, Entry, UnderWay, change_log, read_log
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.site import Remind, Site
from tendwork.site_clock import shown_at
from tendwork.weather.fetching import fetcher_named
from tendwork.workbench.bench import Workbench
from tendwork.workbench.temperature_fetching import FetcherFor, fetch_temperatures

FROST_AT = "18:00"
_MIDNIGHT = "00:00"
_FIRST_FETCH, *_FETCHES = "fetch 0", "fetch 1", "fetch 2"  # the first is for a folder that never had one
_FIRST_RETRY = timedelta(minutes=10)
_LONGEST_RETRY = timedelta(hours=2)
_LEAST_LEAD_MINUTES, _SPREAD_MINUTES = 20, 30


class DailyJobs:
    """The daily jobs of one orchard folder. `look` is asked again and again; only one at a time may do so.

    `now` gives an aware instant; `stopped` is asked between jobs and ends a look early.
    """

    def __init__(
        self,
        path: Path,
        now: Callable[[], datetime],
        stopped: Callable[[], bool] = lambda: False,
        fetcher_for: FetcherFor = fetcher_named,
    ) -> None:
        self._path = path
        self._now = now
        self._stopped = stopped
        self._fetcher_for = fetcher_for
        self._told: dict[str, str] = {}
        self._without_frost: tuple[date, str] | None = None

    def look(self) -> tuple[Entry, ...]:
        """Do what is due now, and give what was done. Raises PersonError where nothing can be told or noted."""
        folder = OrchardFolder.open(self._path)
        bench = Workbench(folder)
        local = shown_at(self._now(), folder.site.timezone).replace(microsecond=0)
        look = _Look(folder, bench, local, _timetable(folder.site), read_log(self._path))
        try:
            look.close_what_was_broken_off()
            for step in self._steps(look):
                if self._stopped():
                    break
                step()
        finally:
            bench.close()
        return tuple(look.entries)

    def _steps(self, look: _Look) -> Iterator[Callable[[], None]]:
        yield lambda: look.do("backup", lambda: lambda: look.bench.records.back_up())
        yield lambda: self._fetch(look)
        yield lambda: look.do("plan", lambda: lambda: _plan(look))
        yield lambda: self._prepared(look, "sheet", lambda: sheet_delivery(look.bench, look.today))
        yield lambda: self._prepared(look, "frost", lambda: self._frost(look))

    def _prepared(self, look: _Look, name: str, prepare: Callable[[], Delivery | None]) -> None:
        """A job that something may keep from being made ready, which is told when it is new."""
        if not look.is_due(name):
            return
        try:
            look.do(name, prepare)
        except PersonError as error:
            if self._told.get(name) != str(error):
                look.note(name, str(error), failed=True)
            self._told[name] = str(error)
        else:
            self._told.pop(name, None)

    def _frost(self, look: _Look) -> Delivery | None:
        """Asked of the almanac only once for an evening and a content of the folder."""
        known = (look.today, look.folder.content_token())
        if self._without_frost == known:
            return None
        delivery = frost_delivery(look.bench, look.today)
        self._without_frost = known if delivery is None else None
        return delivery

    def _fetch(self, look: _Look) -> None:
        """Fetch before the sheet and before the frost warning, never on the hour; after a failure, again and again."""
        if not any(source.service for source in look.site.temperatures):
            return
        come = [name for name in _FETCHES if look.timetable.is_due(name, look.local)]
        if not come and any(name.startswith("fetch") for name in look.log.days):
            return
        name = come[-1] if come else _FIRST_FETCH
        if look.log.was_begun(name, look.today) or _waits(look.log, look.local):
            return
        brief, is_done = self._fetched(look)

        def tried(log: DailyLog) -> DailyLog:
            if is_done:
                log = log.begun(name, look.today).due_again("plan", look.today)
            failures = 0 if is_done else log.fetch_failures + 1
            return msgspec.structs.replace(log, fetch_tried_at=look.local, fetch_failures=failures)

        look.keep(tried)
        look.note("fetch", brief, failed=not is_done)

    def _fetched(self, look: _Look) -> tuple[str, bool]:
        try:
            fetched = fetch_temperatures(look.folder, look.today, self._now(), self._fetcher_for, self._stopped)
        except PersonError as error:
            return str(error), False
        except Exception as error:
            return _fault_words(error), False
        return fetched.brief, fetched.news


class _Look(Struct):
    """One look: the folder, the moment by the site's clock, and what has been done in it."""

    folder: OrchardFolder
    bench: Workbench
    local: datetime
    timetable: Timetable
    log: DailyLog
    entries: list[Entry] = []

    @property
    def site(self) -> Site:
        return self.folder.site

    @property
    def today(self) -> date:
        return self.local.date()

    def is_due(self, name: str) -> bool:
        return self.timetable.is_due(name, self.local, self.log.days.get(name, ()))

    def keep(self, change: Callable[[DailyLog], DailyLog]) -> None:
        """Note a change on the disk, and only then go by it. Raises PersonError."""
        self.log = change_log(self.folder.path, change)

    def do(self, name: str, prepare: Callable[[], Delivery | None]) -> None:
        """Do a job that is due, noting that it is begun before it is. Raises PersonError where it cannot be noted."""
        if not self.is_due(name):
            return
        delivery = prepare()
        if delivery is None:
            return
        if not self._begin(name):
            return
        try:
            words, failed = delivery(), False
        except PersonError as error:
            words, failed = str(error), True
        except Exception as error:
            words, failed = _fault_words(error), True
        self.keep(_ended)
        if words:
            self.note(name, words, failed)

    def _begin(self, name: str) -> bool:
        """Note that a job is begun; not if another look noted it meanwhile. Raises PersonError."""
        was_begun = False

        def begin(log: DailyLog) -> DailyLog:
            nonlocal was_begun
            was_begun = log.was_begun(name, self.today)
            under_way = UnderWay(name, self.local)
            return log if was_begun else msgspec.structs.replace(log.begun(name, self.today), under_way=under_way)

        self.keep(begin)
        return not was_begun

    def note(self, name: str, words: str, failed: bool = False) -> None:
        entry = Entry(self.local, name, words, failed)
        self.keep(lambda log: log.logged(entry))
        self.entries.append(entry)

    def close_what_was_broken_off(self) -> None:
        """Say of a job that was begun and never ended that it was so; it is not done again."""
        broken = self.log.under_way
        if broken is None:
            return
        self.keep(_ended)
        words = (
            f"Begun at {broken.at:%Y-%m-%d %H:%M} and broken off; it is not done again, so that it does not come twice."
        )
        self.note(broken.job, words, failed=True)


def _ended(log: DailyLog) -> DailyLog:
    return msgspec.structs.replace(log, under_way=None)


def fetch_times(site: Site) -> tuple[str, str]:
    """The times of day from which a fetch is due: some minutes before the sheet and before the frost warning.

    How many hangs on the place, so that not all who use a service ask it at once, and never on the hour.
    """
    spread = crc32(f"{site.name} {site.latitude} {site.longitude}".encode()) % _SPREAD_MINUTES
    times = []
    for at in (_remind(site).at, FROST_AT):
        minute = max(1, int(at[:2]) * 60 + int(at[3:]) - _LEAST_LEAD_MINUTES - spread)
        minute -= minute % 60 == 0
        times.append(f"{minute // 60:02}:{minute % 60:02}")
    first, second = sorted(times)
    return first, second


def _timetable(site: Site) -> Timetable:
    times = {"backup": _MIDNIGHT, "plan": _MIDNIGHT, "sheet": _remind(site).at, "frost": FROST_AT}
    return Timetable(site.timezone, times | dict(zip(_FETCHES, fetch_times(site), strict=True)))


def _remind(site: Site) -> Remind:
    return site.remind or Remind()


def _waits(log: DailyLog, now: datetime) -> bool:
    """Whether it is too soon after a failed try; a try in what is now the future tells of a clock that was set back."""
    if not log.fetch_failures or log.fetch_tried_at is None:
        return False
    doublings: int = min(log.fetch_failures - 1, 10)
    wait = min(_LONGEST_RETRY, _FIRST_RETRY * float(2**doublings))
    return timedelta() <= now - log.fetch_tried_at < wait


def _fault_words(error: Exception) -> str:
    return f"Went wrong ({type(error).__name__}: {error})."


def _plan(look: _Look) -> str:
    """Have the plan of the day ready for whoever opens it. Says nothing."""
    look.bench.plan.of(look.today)
    return ""

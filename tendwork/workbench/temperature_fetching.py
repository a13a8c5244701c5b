"""Temperatures from the weather services that site.toml names: past days into a file of each, the forecast into one.

Nothing is sent unless a service is named. A service is asked for its newest days first, since those matter most, then
for older years in pieces, newest first; every piece is kept at once, so what is broken off goes on where it stopped.
Days that are missing between those held are asked for again at every fetch, but once the service has answered without
them, only once a week.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta
from typing import Any, Protocol

import msgspec
from msgspec import Struct

from tendwork.almanac.development import first_day
from tendwork.almanac.seasons import Season, season_of
from tendwork.errors import PersonError, located
from tendwork.folder.files import make_folder, read_text, stands
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.site import SITE_FILE, TemperatureSource
from tendwork.folder.temperature_origins import EmptySpan, Origin, note_origin, read_origins
from tendwork.folder.temperature_sources import FORECAST_FILE, service_file
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.folder.toml_text import Path as TomlPath
from tendwork.folder.toml_text import unknown_key
from tendwork.orchard.wording import counted
from tendwork.weather.fetching import SERVICES, Fetcher, Spot, fetcher_named
from tendwork.weather.readers import DatedMinMax
from tendwork.workbench.plan_inputs import LONGEST_FORECAST_DAYS, temperatures_of
from tendwork.workbench.temperature_files import (
    alone_at_temperatures,
    merged,
    read_rows,
    split,
    with_days_gone_by,
    write_rows,
)

OPTIONS = ("contact", "url")
HISTORY_SEASONS = 12
PIECE_DAYS = 730
RECENT_DAYS = 92  # as far back as a forecast service gives days; what is older comes out of an archive
OVERLAP_DAYS = 7  # services correct their last days
LONGEST_FETCH_S = 600.0  # no further piece is asked for after this; one that is under way has its own limit
EMPTY_AGAIN_DAYS = 7  # when days that a service did not give are asked for again
_DAY = timedelta(days=1)
_STALE = timedelta(hours=24)
_JUST_NOW = timedelta(hours=1)


class Fetched(Struct, frozen=True):
    """What a fetch brought: in words, and in brief for a log.

    `news` holds where every service gave an answer that was not held before, or has done so within the hour.
    """

    words: tuple[str, ...]
    brief: str
    news: bool


class FetcherFor(Protocol):
    """How a fetcher is had by its service's name; a test gives another clock or patience."""

    def __call__(self, name: str, *, contact: str, cache_folder: Any, base_url: str) -> Fetcher: ...


def fetch_temperatures(
    folder: OrchardFolder,
    today: date,
    now: datetime,
    fetcher_for: FetcherFor = fetcher_named,
    stopped: Callable[[], bool] = lambda: False,
) -> Fetched:
    """Ask every service that site.toml names, best first. Raises PersonError where none is named or nothing is held.

    A service that cannot be had is told in the words; what is held goes on to serve. `stopped` is asked between pieces,
    and after LONGEST_FETCH_S seconds no further piece of the past is asked for until the next fetch.
    """
    end = time.monotonic() + LONGEST_FETCH_S

    def enough() -> bool:
        return stopped() or time.monotonic() >= end

    asked = [_Asked(folder, fetcher, today, now, enough) for fetcher in _fetchers(folder, fetcher_for)]
    make_folder(folder.path / "temperatures")
    words: list[str] = []
    for service in asked:
        words += service.ask()
    briefs = [service.brief for service in asked]
    forecasts = [service for service in asked if service.forecast]
    if forecasts:
        briefs.append(_keep_forecast(folder, forecasts, today, now))
        words.append(briefs[-1])
    news = all(service.is_new for service in asked)
    if not news and temperatures_of(folder, today).series is None:
        raise PersonError(" ".join((*words, "No temperatures are held yet, so there is nothing to go on with.")))
    return Fetched(tuple(words), " ".join(briefs), news)


def sent_where(folder: OrchardFolder) -> str:
    """What a fetch would send to whom; nothing is asked. Raises PersonError where no service is named."""
    asked = [fetcher.service for fetcher in _fetchers(folder, fetcher_named)]
    return " ".join(f"{service.title} is sent {service.sends.replace('; ', ', ')}." for service in asked)


def history_start(today: date, south: bool) -> date:
    """The first day of the history that is wanted: twelve whole seasons of buds before the one of `today`."""
    return first_day(Season(season_of(today, south).name - HISTORY_SEASONS, south))


def service_faults(folder: OrchardFolder) -> tuple[str, ...]:
    """What is wrong with the services that site.toml names, without asking any of them."""
    faults = []
    for at, source in enumerate(folder.site.temperatures):
        if source.service:
            try:
                _fetcher(folder, at, source, fetcher_named)
            except PersonError as error:
                faults.append(str(error))
    return tuple(faults)


def _fetchers(folder: OrchardFolder, fetcher_for: FetcherFor) -> list[Fetcher]:
    """The fetchers of all services named. Raises PersonError before anything is asked."""
    named = [(at, source) for at, source in enumerate(folder.site.temperatures) if source.service]
    if not named:
        known = "; ".join(f"{service.name} ({service.covers})" for service in SERVICES)
        raise PersonError(
            f"{SITE_FILE} names no weather service, so nothing was asked and nothing was sent. To name one, write "
            f'[[temperatures]] and below it service = "NAME". There are: {known}. '
            "Each is told the coordinates, and the README says what else."
        )
    return [_fetcher(folder, at, source, fetcher_for) for at, source in named]


def _fetcher(folder: OrchardFolder, at: int, source: TemperatureSource, fetcher_for: FetcherFor) -> Fetcher:
    for key, value in source.options.items():
        path: TomlPath = ("temperatures", at, key)
        if key not in OPTIONS:
            raise unknown_key(read_text(folder.path / SITE_FILE, SITE_FILE), SITE_FILE, path, ("service", *OPTIONS))
        if not isinstance(value, str):
            raise located(SITE_FILE, "must be text in quotes", key=f"temperatures.{key}")
    try:
        return fetcher_for(
            source.service,
            contact=source.options.get("contact", ""),
            cache_folder=folder.path / "cache" / "weather",
            base_url=source.options.get("url", "").rstrip("/"),
        )
    except PersonError as error:
        raise located(SITE_FILE, str(error), key="temperatures.service") from None


class _Asked:
    """One service in one fetch: past days are kept at once, its forecast is held until all services have spoken."""

    def __init__(
        self, folder: OrchardFolder, fetcher: Fetcher, today: date, now: datetime, stopped: Callable[[], bool]
    ) -> None:
        site = folder.site
        self.service = fetcher.service
        self.forecast: tuple[DatedMinMax, ...] = ()
        self.answered_at: datetime | None = None
        self.is_new = False
        self.brief = ""
        self._fetcher = fetcher
        self._root = folder.path
        self._file = service_file(fetcher.service.name)
        self._today = today
        self._now = now
        self._stopped = stopped
        self._spot = Spot(site.latitude, site.longitude, site.timezone, site.elevation_m)
        height = "" if site.elevation_m is None else f", {site.elevation_m:g} m"
        self._place = f"{site.latitude:g}, {site.longitude:g}{height}"

    def ask(self) -> list[str]:
        """Ask for what is wanted, and say what came."""
        held = self._origin()
        wanted = _all_again(held) if self._has_moved(held) else held
        first = self._today - RECENT_DAYS * _DAY
        if wanted.whole_to is not None:
            first = min(self._today, wanted.whole_to) - OVERLAP_DAYS * _DAY
        try:
            reading = self._fetcher.fetch(self._spot, first, self._today + LONGEST_FORECAST_DAYS * _DAY, self._today)
        except PersonError as error:
            self.brief = f"{error}."
            return [self.brief, *self._age_words(held)]
        words = [f"{self.service.title}: {' '.join(reading.words)}"]
        with alone_at_temperatures(self._root):
            held = self._origin()  # another fetch may have written since
            wanted = held
            if self._has_moved(held):
                wanted = _all_again(held)
                words.append(
                    f"{SITE_FILE} names another place than before, so all days are asked for again. "
                    f"What {self._file} holds of the place before stays, each day until there is one of this place."
                )
            self.answered_at = reading.answered_at or self._now
            is_recent = self._now - self.answered_at < _JUST_NOW
            self.is_new = is_recent or held.answered_at is None or self.answered_at > held.answered_at
            origin = msgspec.structs.replace(
                wanted, service=self.service.name, place=self._place, answered_at=self.answered_at
            ).owed_to(self.service.attribution, self.service.licence)
            measured, self.forecast, _ = split(reading, self._today)
            if measured:
                self.brief = f"{self._file}: {self._lay_in(measured)}"
                words.append(self.brief)
                whole_from, whole_to = origin.whole_from or first, max(origin.whole_to or first, measured[-1][0])
                origin = msgspec.structs.replace(origin, whole_from=whole_from, whole_to=whole_to)
            if not self.is_new:
                self.brief = reading.words[-1]  # where an old answer stands in, the last word says why
            note_origin(self._root, self._file, origin)
        if measured and is_recent:
            words += self._older_years(origin)
            words += self._missing_days(self._origin())
        return [*words, *self._age_words(held), f"{self.service.attribution}. Licence: {self.service.licence}."]

    def _older_years(self, origin: Origin) -> list[str]:
        """Ask for the years before those held, as far back as is wanted."""
        words: list[str] = []
        start = history_start(self._today, self._spot.latitude < 0)
        while origin.whole_from is not None and origin.whole_from > start and not self._stopped():
            last = origin.whole_from - _DAY
            first = max(start, last - (PIECE_DAYS - 1) * _DAY)
            try:
                reading = self._fetcher.fetch(self._spot, first, last, self._today)
            except PersonError as error:
                return [*words, f"{error}. The days from {first} to {last} are asked for next time."]
            aside = f" {len(reading.rejected)} values were set aside." if reading.rejected else ""
            with alone_at_temperatures(self._root):
                said = self._lay_in(split(reading, self._today)[0])
                held = self._origin()  # another fetch may have gone further back
                origin = msgspec.structs.replace(held, whole_from=min(first, held.whole_from or first))
                note_origin(self._root, self._file, origin)
            words.append(f"{self._file}, {first} to {last}: {said}{aside}")
        if origin.whole_from is not None and origin.whole_from > start:
            words.append(f"The days from {start} to {origin.whole_from - _DAY} are asked for next time.")
        return words

    def _missing_days(self, origin: Origin) -> list[str]:
        """Ask again for what is missing among the days that were asked for, newest first.

        Each question reaches to held days on both sides, so that an answer without the missing ones can still be read.
        """
        words: list[str] = []
        if origin.whole_from is None or origin.whole_to is None:
            return words
        start = max(origin.whole_from, history_start(self._today, self._spot.latitude < 0))
        of_late = [span for span in origin.empty if (self._today - span.asked_on).days < EMPTY_AGAIN_DAYS]
        wanted = self._runs_missing(start, origin.whole_to, of_late)
        for first, last in _joined(wanted):
            if self._stopped():
                break
            begin, end = max(start, first - OVERLAP_DAYS * _DAY), min(origin.whole_to, last + OVERLAP_DAYS * _DAY)
            try:
                reading = self._fetcher.fetch(self._spot, begin, end, self._today)
            except PersonError as error:
                return [*words, f"{error}. Days missing from {first} to {last} are asked for next time."]
            if reading.answered_at is not None and self._now - reading.answered_at >= _JUST_NOW:
                return [*words, f"{reading.words[-1]} Days missing from {first} to {last} are asked for next time."]
            measured, _, _ = split(reading, self._today)
            with alone_at_temperatures(self._root):
                if measured:
                    words.append(f"{self._file}, days missing from {first} to {last}: {self._lay_in(measured)}")
                still = self._runs_missing(first, last, of_late)
                of_late += [EmptySpan(*run, self._today) for run in still]
                spans = tuple(sorted(of_late, key=lambda span: span.first))
                origin = msgspec.structs.replace(self._origin(), empty=spans)
                note_origin(self._root, self._file, origin)
            if still:
                count = sum((until - since).days + 1 for since, until in still)
                words.append(
                    f"{self.service.title} does not have {count} days from {still[-1][0]} to {still[0][1]}; "
                    f"they are asked for again in {EMPTY_AGAIN_DAYS} days."
                )
        return words

    def _runs_missing(self, first: date, last: date, but: Iterable[EmptySpan]) -> list[tuple[date, date]]:
        """(first, last) of each run of days that the file lacks, newest first, without those of the spans `but`."""
        held = set(read_temperatures(self._root / self._file, self._file).days)
        for span in but:
            held.update(span.first + step * _DAY for step in range((span.last - span.first).days + 1))
        runs: list[tuple[date, date]] = []
        for step in range((last - first).days + 1):
            day = last - step * _DAY
            if day not in held:
                if runs and runs[-1][0] == day + _DAY:
                    runs[-1] = (day, runs[-1][1])
                else:
                    runs.append((day, day))
        return runs

    def _lay_in(self, measured: tuple[DatedMinMax, ...]) -> str:
        rows, said = merged(self._root / self._file, measured)
        write_rows(self._root / self._file, rows)
        return " ".join(said)

    def _has_moved(self, held: Origin) -> bool:
        return held.place not in ("", self._place)

    def _origin(self) -> Origin:
        """What is noted of the service's file; where its days are gone, all of them are wanted again."""
        origin = read_origins(self._root).get(self._file, Origin())
        return origin if stands(self._root / self._file) else _all_again(origin)

    def _age_words(self, origin: Origin) -> list[str]:
        if self.is_new or origin.answered_at is None:
            return []
        age = _age(self._now - origin.answered_at)
        return [f"{self.service.title} has given nothing new; its newest answer is {age} old."]


def _all_again(held: Origin) -> Origin:
    """What is noted of a file, with all days wanted again; to whom those that it holds are owed stays."""
    return msgspec.structs.replace(held, whole_from=None, whole_to=None, empty=())


def _joined(runs: Iterable[tuple[date, date]]) -> list[tuple[date, date]]:
    """Spans to ask for, newest first, each as many runs as go into one piece: many small gaps are one question."""
    spans: list[tuple[date, date]] = []
    for first, last in runs:
        while (last - first).days >= PIECE_DAYS:
            spans.append((last - (PIECE_DAYS - 1) * _DAY, last))
            last -= PIECE_DAYS * _DAY
        if spans and (spans[-1][1] - first).days < PIECE_DAYS:
            spans[-1] = (first, spans[-1][1])
        else:
            spans.append((first, last))
    return spans


def _keep_forecast(folder: OrchardFolder, asked: list[_Asked], today: date, now: datetime) -> str:
    """One forecast of all services: of each day that of the best service, but an old answer stands behind a new one."""
    with alone_at_temperatures(folder.path):
        return _kept_forecast(folder, asked, today, now)


def _kept_forecast(folder: OrchardFolder, asked: list[_Asked], today: date, now: datetime) -> str:
    ranked = sorted(asked, key=lambda service: now - (service.answered_at or now) > _STALE)
    rows: dict[date, DatedMinMax] = {}
    origin = read_origins(folder.path).get(FORECAST_FILE, Origin())
    origin = Origin(
        service=ranked[0].service.name,
        answered_at=ranked[0].answered_at,
        attribution=origin.attribution,
        licence=origin.licence,
    )
    for service in ranked:
        for row in service.forecast:
            rows.setdefault(row[0], row)
        origin = origin.owed_to(service.service.attribution, service.service.licence)
    file = folder.path / FORECAST_FILE
    later = tuple(row for row in read_rows(file) if row[0] > max(rows))  # another service's, or added from a file
    write_rows(file, (*with_days_gone_by(file, rows.values(), today), *later))
    note_origin(folder.path, FORECAST_FILE, origin)
    kept = f" Kept of before: {counted(len(later), 'later day')}." if later else ""
    return f"{FORECAST_FILE}: a forecast from {min(rows)} to {max(rows)}.{kept}"


def _age(age: timedelta) -> str:
    hours = max(0, round(age.total_seconds() / 3600))
    return f"{hours} hours" if hours < 48 else f"{round(hours / 24)} days"

"""The days to come, many times over: as past seasons went, and seeded draws around the normals where these are few.

A date that hangs on weather to come is a distribution; each trace here is one way the weather may go on. So that a plan
does not flicker from one morning to the next, a coming day goes in every trace as it went the morning before, but for
what the last known day departs from the usual: which past seasons serve hangs on the season alone, and what is drawn
for a day on the place and the day alone, whatever was measured since and however far the traces run.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from functools import lru_cache
from math import sqrt
from random import Random

from msgspec import Struct

from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.temperature import FORECAST, USUAL, DailySeries, Normals, normals_of_series

ENOUGH_PAST_SEASONS = 10

# How a day's departure from the usual fades into the next (AR(1) persistence), and how far days depart: common
# practice, no source. Four years of days in Seattle give 0.75, 0.47, 2.7 °C and 0.38; places inland swing wider.
_MEAN_PERSISTENCE = 0.75
_RANGE_PERSISTENCE = 0.45
_MEAN_SD_C = 3.3
_RANGE_SD_SHARE = 0.38
_FADED_AFTER_DAYS = 30
_LEAST_HALF_RANGE_C = 0.25
_MOST_USUAL_SHARE = 0.1
_DAY = timedelta(days=1)
_DAYS_OF_SEASON = 366
_NOISE_KEPT = 512


_Departure = tuple[float, float]
"""Of a day's mean and of its range."""


class Trace(Struct, frozen=True):
    """One run of days: daily minima and maxima in °C, one for each day."""

    tmin_c: tuple[float, ...]
    tmax_c: tuple[float, ...]


def days_to_come(
    series: DailySeries | None,
    normals: Normals | None,
    today: date,
    until: date,
    members: int = 30,
    *,
    south: bool = False,
    place: str = "",
    warming_c_a_year: float = 0.0,
) -> list[Trace]:
    """Traces for the days after `today` through `until`; each begins with the forecast days that the series holds.

    Every past season that is held serves, the newest `members` of them. As long as they are fewer than ten, draws
    around `normals`, or around the monthly means of the series, stand for those that lack. An empty list where there is
    neither, or no day to come. Measured days after `today` are not used. What the last known day departs from the usual
    fades over weeks. `place` tells the luck of one place from that of another. Past seasons are levelled to this one by
    `warming_c_a_year`.
    """
    if until <= today:
        return []
    start = min(until, _last_forecast(series, today))
    known = _through(series, start)
    ahead = (start - today).days
    low = known.tmin_c[len(known) - ahead :] if known is not None and ahead else ()
    high = known.tmax_c[len(known) - ahead :] if known is not None and ahead else ()
    if start == until:
        return [Trace(low, high)] * members
    traces = [] if known is None else _past_seasons(known, start, until, members, south, warming_c_a_year)
    usual = normals or (normals_of_series(known) if known is not None else None)
    if usual is not None and (drawn := _count_drawn(len(traces), members)):
        traces += _draws(usual, known, start, until, drawn, south, place)
    return [Trace(low + trace.tmin_c, high + trace.tmax_c) for trace in traces]


def _count_drawn(past_seasons: int, members: int) -> int:
    """One season more takes a tenth of the draws away, so no date jumps when a place comes to have enough of them."""
    lacking = max(0, ENOUGH_PAST_SEASONS - past_seasons)
    return 2 * round(members * lacking / ENOUGH_PAST_SEASONS / 2) if past_seasons else members


def invented_days(normals: Normals, seed: int, first: date, last: date) -> list[tuple[date, float, float]]:
    """Invented (day, tmin_c, tmax_c) around the normals, in tenths of a degree; the same seed gives the same days."""
    random = Random(seed)
    count = (last - first).days + 1
    noise = [(random.gauss(), random.gauss()) for _ in range(count)]
    trace = _drawn(_usual(normals, first, count), noise, (random.gauss(), random.gauss()))
    days = (first + step * _DAY for step in range(count))
    return [
        (day, round(low, 1), round(high, 1)) for day, low, high in zip(days, trace.tmin_c, trace.tmax_c, strict=True)
    ]


def _last_forecast(series: DailySeries | None, today: date) -> date:
    """The end of the unbroken run of forecast days that begins after `today`; `today` where there is none."""
    if series is None or (index := series.index(today + _DAY)) is None:
        return today
    end = index
    while end < len(series) and series.marks[end] == FORECAST:
        end += 1
    return today + (end - index) * _DAY


def _through(series: DailySeries | None, last: date) -> DailySeries | None:
    """What is known at the end of `last`."""
    if series is None or last < series.first_day:
        return None
    count = (last - series.first_day).days + 1
    if count >= len(series):
        return series
    return DailySeries(series.first_day, series.tmin_c[:count], series.tmax_c[:count], series.marks[:count])


def mean_c_of_past_seasons(series: DailySeries | None, today: date, south: bool, members: int = 30) -> dict[int, float]:
    """By year, the mean temperature of each season that `days_to_come` takes its past seasons from."""
    known = _through(series, today)
    held = [] if known is None else _seasons_held(known, today, members, south)
    return {season.name: (sum(low) + sum(high)) / 2 / len(low) for season, low, high in held}


def _past_seasons(
    known: DailySeries, start: date, until: date, members: int, south: bool, warming_c_a_year: float
) -> list[Trace]:
    """The days after `start` through `until` as they went in each past season, moved at first towards the last known.

    In AR(1) terms a past season's departures, less its own faded departure on the joining day, are what the weather did
    again; the faded departure of now takes that place. Both are departures from the same normal, which drops out.
    A trace goes on into the season that followed its own, and after the newest into the oldest.
    """
    first = max(known.last_day, start - _FADED_AFTER_DAYS * _DAY)
    now = known.day(first)
    lag = (start - first).days
    runs = _runs(first, until, south)
    here = season_of(start, south).name
    held = [
        _levelled(low, high, (here - season.name) * warming_c_a_year)
        for season, low, high in _seasons_held(known, start, members, south)
    ]
    traces: list[Trace] = []
    for turn in range(len(held)):
        low: list[float] = []
        high: list[float] = []
        for season, slices in runs:
            low_of_season, high_of_season = held[(turn + here - season.name) % len(held)]
            for part in slices:
                low += low_of_season[part]
                high += high_of_season[part]
        if now is not None:
            mean_shift = (now[0] + now[1] - low[0] - high[0]) / 2
            range_shift = now[1] - now[0] - (high[0] - low[0])
            for step in range(lag + 1, min(len(low), _FADED_AFTER_DAYS)):
                mean = (low[step] + high[step]) / 2 + mean_shift * _MEAN_PERSISTENCE**step
                half = max(0.0, high[step] - low[step] + range_shift * _RANGE_PERSISTENCE**step) / 2
                low[step] = mean - half
                high[step] = mean + half
        traces.append(Trace(tuple(low[lag + 1 :]), tuple(high[lag + 1 :])))
    return traces


def _levelled(low: Sequence[float], high: Sequence[float], by_c: float) -> tuple[Sequence[float], Sequence[float]]:
    return [value + by_c for value in low], [value + by_c for value in high]


def _seasons_held(
    known: DailySeries, start: date, members: int, south: bool
) -> list[tuple[Season, Sequence[float], Sequence[float]]]:
    """The newest seasons before that of `start` that are held, newest first, with each day's minimum and maximum."""
    held: list[tuple[Season, Sequence[float], Sequence[float]]] = []
    season = season_of(start, south).previous
    while season.start >= known.first_day and len(held) < members:
        begin = (season.start - known.first_day).days
        end = (season.end - known.first_day).days + 1
        if end <= len(known) and known.marks.count(USUAL, begin, end) <= _MOST_USUAL_SHARE * (end - begin):
            low, high = known.tmin_c[begin:end], known.tmax_c[begin:end]
            if end - begin < _DAYS_OF_SEASON:  # 28 February stands for the leap day that it lacks
                leap = _leap_place(season)
                low = (*low[:leap], low[leap - 1], *low[leap:])
                high = (*high[:leap], high[leap - 1], *high[leap:])
            held.append((season, low, high))
        season = season.previous
    return held


def _leap_place(season: Season) -> int:
    """Where 29 February stands among the days of a season, whether it has one or not."""
    return (season.on(8, 28) if season.south else season.on(2, 28)).toordinal() - season.start.toordinal() + 1


def _runs(first: date, last: date, south: bool) -> list[tuple[Season, tuple[slice, ...]]]:
    """Each season of first..last with the slices of its days, of which there are 366 in each season."""
    runs: list[tuple[Season, tuple[slice, ...]]] = []
    season = season_of(first, south)
    while season.start <= last:
        begin = (max(first, season.start) - season.start).days
        end = (min(last, season.end) - season.start).days + 1
        leap = _leap_place(season)
        if (season.end - season.start).days + 1 == _DAYS_OF_SEASON or end <= leap:
            runs.append((season, (slice(begin, end),)))
        elif begin >= leap:
            runs.append((season, (slice(begin + 1, end + 1),)))
        else:
            runs.append((season, (slice(begin, leap), slice(leap + 1, end + 1))))
        season = season.following
    return runs


def _draws(
    normals: Normals,
    known: DailySeries | None,
    start: date,
    until: date,
    members: int,
    south: bool,
    place: str,
) -> list[Trace]:
    """Seeded draws around the normals; every second one mirrors the one before, so that together they keep the mean."""
    departure, lag = _last_departure(normals, known, start)
    mean_left, range_left = _MEAN_PERSISTENCE**lag, _RANGE_PERSISTENCE**lag
    mean_fresh, range_fresh = sqrt(1 - mean_left**2), sqrt(1 - range_left**2)
    usual = _usual(normals, start + _DAY, (until - start).days)
    runs = _runs(start, until, south)
    traces: list[Trace] = []
    for pair in range((members + 1) // 2):
        noise = [day for season, slices in runs for part in slices for day in _noise(place, season.name, pair)[part]]
        for sign in (1, -1):
            (mean, spread), *signed = [(sign * mean, sign * spread) for mean, spread in noise]
            begin = (departure[0] * mean_left + mean * mean_fresh, departure[1] * range_left + spread * range_fresh)
            traces.append(_drawn(usual, signed, begin))
    return traces[:members]


@lru_cache(_NOISE_KEPT)
def _noise(place: str, season: int, pair: int) -> list[_Departure]:
    """What the weather adds on each day of a season, the same on every morning."""
    random = Random(f"{place} {season} {pair}")
    return [(random.gauss(), random.gauss()) for _ in range(_DAYS_OF_SEASON)]


def _last_departure(normals: Normals, known: DailySeries | None, start: date) -> tuple[_Departure, int]:
    """How far the last known day departs, in standard deviations of mean and range, and its days before `start`."""
    if known is None:
        return (0.0, 0.0), _FADED_AFTER_DAYS
    low, high = known.tmin_c[-1], known.tmax_c[-1]
    usual_low, usual_high = normals.day(known.last_day)
    usual_range = max(2 * _LEAST_HALF_RANGE_C, usual_high - usual_low)
    mean_departure = (low + high - usual_low - usual_high) / 2 / _MEAN_SD_C
    return (mean_departure, ((high - low) / usual_range - 1) / _RANGE_SD_SHARE), (start - known.last_day).days


def _usual(normals: Normals, first: date, count: int) -> list[tuple[float, float]]:
    """The normal mean and range of each of `count` days from `first` on."""
    low_of_year, high_of_year = normals.year()
    usual = [((low + high) / 2, high - low) for low, high in zip(low_of_year, high_of_year, strict=True)]
    ordinal = first.toordinal()
    return [usual[date.fromordinal(ordinal + step).timetuple().tm_yday - 1] for step in range(count)]


def _drawn(usual: list[tuple[float, float]], noise: Sequence[_Departure], departure: _Departure) -> Trace:
    """Days whose departures from the usual follow the noise and begin at `departure`, both in standard deviations."""
    mean_fresh = sqrt(1 - _MEAN_PERSISTENCE**2)
    range_fresh = sqrt(1 - _RANGE_PERSISTENCE**2)
    mean_departure, range_departure = departure
    tmin_c: list[float] = []
    tmax_c: list[float] = []
    for (usual_mean, usual_range), (mean_noise, range_noise) in zip(usual, noise, strict=True):
        mean_departure = _MEAN_PERSISTENCE * mean_departure + mean_fresh * mean_noise
        range_departure = _RANGE_PERSISTENCE * range_departure + range_fresh * range_noise
        mean = usual_mean + _MEAN_SD_C * mean_departure
        half = usual_range * (1 + _RANGE_SD_SHARE * range_departure) / 2
        if half < _LEAST_HALF_RANGE_C:
            half = _LEAST_HALF_RANGE_C
        tmin_c.append(mean - half)
        tmax_c.append(mean + half)
    return Trace(tuple(tmin_c), tuple(tmax_c))

"""The days to come, many times over: past years' days where there are enough, else seeded draws around the normals.

A date that hangs on weather to come is a distribution; each trace here is one way the weather may go on. The same
input always gives the same traces, and the draws of a day hang on its distance from `until`, so that a plan does not
flicker from one morning to the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import sqrt
from random import Random

from msgspec import Struct

from tendwork.almanac.temperature import FORECAST, USUAL, DailySeries, Normals, normals_of_series

FEWEST_PAST_YEARS = 10

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


_Departure = tuple[float, float]
"""Of a day's mean and of its range."""


class Trace(Struct, frozen=True):
    """One run of days: daily minima and maxima in °C, one for each day."""

    tmin_c: tuple[float, ...]
    tmax_c: tuple[float, ...]


def days_to_come(
    series: DailySeries | None, normals: Normals | None, today: date, until: date, members: int = 30
) -> list[Trace]:
    """Traces for the days after `today` through `until`; each begins with the forecast days that the series holds.

    Past years serve where ten or more hold all those calendar days, the newest `members` of them; else `members` draws
    around `normals`, or around the monthly means of the series. An empty list where there is neither, or no day to
    come. Measured days after `today` are not used. What the last known day departs from the usual fades over weeks.
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
    traces = _past_years(known, start, until, members) if known is not None else []
    if len(traces) < FEWEST_PAST_YEARS:
        usual = normals or (normals_of_series(known) if known is not None else None)
        traces = _draws(usual, known, start, until, members) if usual is not None else []
    return [Trace(low + trace.tmin_c, high + trace.tmax_c) for trace in traces]


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


def _past_years(known: DailySeries, start: date, until: date, members: int) -> list[Trace]:
    """The days after `start` through `until` as they went in each past year, moved at first towards the last known day.

    In AR(1) terms a past year's departures, less its own faded departure on the joining day, are what the weather did
    anew; the faded departure of now takes that place. Both are departures from the same normal, which drops out.
    """
    first = max(known.last_day, start - _FADED_AFTER_DAYS * _DAY)
    now = known.day(first)
    lag = (start - first).days
    spans = _from_march(first, until)
    traces: list[Trace] = []
    for years in range(1, spans[0][0] - max(1, known.first_day.year - 1) + 1):
        held = _same_days(known, spans, years)
        if held is None:
            continue
        low, high = held
        if now is not None:
            mean_shift = (now[0] + now[1] - low[0] - high[0]) / 2
            range_shift = now[1] - now[0] - (high[0] - low[0])
            for step in range(lag + 1, min(len(low), _FADED_AFTER_DAYS)):
                mean = (low[step] + high[step]) / 2 + mean_shift * _MEAN_PERSISTENCE**step
                half = max(0.0, high[step] - low[step] + range_shift * _RANGE_PERSISTENCE**step) / 2
                low[step] = mean - half
                high[step] = mean + half
        traces.append(Trace(tuple(low[lag + 1 :]), tuple(high[lag + 1 :])))
        if len(traces) == members:
            break
    return traces


def _from_march(first: date, last: date) -> list[tuple[int, int, int]]:
    """The days first..last as (year, from, to), in days from 1 March of that year: so a leap day comes last."""
    spans = []
    while first <= last:
        year = first.year if first.month >= 3 else first.year - 1
        march = date(year, 3, 1)
        end = min(last, date(year + 1, 3, 1) - _DAY)
        spans.append((year, (first - march).days, (end - march).days))
        first = end + _DAY
    return spans


def _same_days(
    known: DailySeries, spans: list[tuple[int, int, int]], years: int
) -> tuple[list[float], list[float]] | None:
    """The same calendar days so many years earlier, 28 February twice for a leap day it lacks; None if not held."""
    low: list[float] = []
    high: list[float] = []
    usual = 0
    for year, first, last in spans:
        march = date(year - years, 3, 1)
        length = (date(year - years + 1, 3, 1) - march).days
        begin = (march - known.first_day).days + min(first, length - 1)
        end = begin - min(first, length - 1) + min(last, length - 1) + 1
        if begin < 0 or end > len(known):
            return None
        low += known.tmin_c[begin:end]
        high += known.tmax_c[begin:end]
        usual += known.marks.count(USUAL, begin, end)
        if first < length <= last:
            low.append(low[-1])
            high.append(high[-1])
    return None if usual > _MOST_USUAL_SHARE * len(low) else (low, high)


def _draws(normals: Normals, known: DailySeries | None, start: date, until: date, members: int) -> list[Trace]:
    """Seeded draws around the normals; every second one mirrors the one before, so that together they keep the mean."""
    departure, lag = _last_departure(normals, known, start)
    mean_left, range_left = _MEAN_PERSISTENCE**lag, _RANGE_PERSISTENCE**lag
    mean_anew, range_anew = sqrt(1 - mean_left**2), sqrt(1 - range_left**2)
    usual = _usual(normals, start + _DAY, (until - start).days)
    traces: list[Trace] = []
    for pair in range((members + 1) // 2):
        random = Random(f"{normals} {until.isoformat()} {pair}")
        noise = [(random.gauss(), random.gauss()) for _ in range(len(usual) + 1)][::-1]
        for sign in (1, -1):
            (mean, spread), *signed = [(sign * mean, sign * spread) for mean, spread in noise]
            begin = (departure[0] * mean_left + mean * mean_anew, departure[1] * range_left + spread * range_anew)
            traces.append(_drawn(usual, signed, begin))
    return traces[:members]


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
    mean_anew = sqrt(1 - _MEAN_PERSISTENCE**2)
    range_anew = sqrt(1 - _RANGE_PERSISTENCE**2)
    mean_departure, range_departure = departure
    tmin_c: list[float] = []
    tmax_c: list[float] = []
    for (usual_mean, usual_range), (mean_noise, range_noise) in zip(usual, noise, strict=True):
        mean_departure = _MEAN_PERSISTENCE * mean_departure + mean_anew * mean_noise
        range_departure = _RANGE_PERSISTENCE * range_departure + range_anew * range_noise
        mean = usual_mean + _MEAN_SD_C * mean_departure
        half = usual_range * (1 + _RANGE_SD_SHARE * range_departure) / 2
        if half < _LEAST_HALF_RANGE_C:
            half = _LEAST_HALF_RANGE_C
        tmin_c.append(mean - half)
        tmax_c.append(mean + half)
    return Trace(tuple(tmin_c), tuple(tmax_c))

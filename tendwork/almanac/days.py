"""The days of one place: held ones as they are, missing ones from the normals, coming ones as an ensemble."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.almanac.ensemble import days_to_come
from tendwork.almanac.place import Place
from tendwork.almanac.temperature import DailySeries, Normals

Trace = tuple[list[float], list[float]]
"""Daily minima and maxima in °C over a run of days."""

_DAY = timedelta(days=1)
_ENOUGH_DAYS_FOR_A_MONTH = 15


class Days:
    """Temperatures of a place around `today`. What was measured after `today` is not used, a forecast is."""

    def __init__(self, place: Place, series: DailySeries | None, today: date) -> None:
        self.south = place.south
        self.today = today
        self._colder_c = place.colder_by_c
        self._series = series
        self.normals_min_c, self.normals_max_c, self.normals_from = _normals(place, series)
        self.last_held = self._last_held()
        self._traces: dict[date, list[Trace]] = {}

    def day(self, day: date) -> tuple[float, float, str] | None:
        """(tmin_c, tmax_c, mark) of a day held; None for a day neither measured nor forecast."""
        if self._series is None or (self.last_held is None or day > self.last_held):
            return None
        held = self._series.day(day)
        if held is None:
            return None
        return held[0] - self._colder_c, held[1] - self._colder_c, held[2]

    def usual(self, day: date) -> tuple[float, float]:
        """The normal minimum and maximum of a calendar day, between the middles of the months."""
        position = day.month - 1 + (day.day - 15.5) / 30.4
        month = int(position // 1)
        share = position - month
        low, high = (
            values[month % 12] * (1 - share) + values[(month + 1) % 12] * share
            for values in (self.normals_min_c, self.normals_max_c)
        )
        return low - self._colder_c, high - self._colder_c

    def known(self, first: date, last: date) -> Trace:
        """The days of first..last as far as they are held or over; gaps stand at their normals."""
        if self.last_held is not None:
            last = min(last, max(self.last_held, self.today))
        else:
            last = min(last, self.today)
        low: list[float] = []
        high: list[float] = []
        day = first
        while day <= last:
            held = self.day(day)
            pair = held[:2] if held is not None else self.usual(day)
            low.append(pair[0])
            high.append(pair[1])
            day += _DAY
        return low, high

    def to_come(self, until: date) -> list[Trace]:
        """The ensemble of the days after the last one known, through `until`; one empty trace if none are left."""
        start = self.today if self.last_held is None else max(self.last_held, self.today)
        if until <= start:
            return [([], [])]
        if until not in self._traces:
            normals = Normals(self.normals_min_c, self.normals_max_c)
            self._traces[until] = [
                ([value - self._colder_c for value in trace.tmin_c], [value - self._colder_c for value in trace.tmax_c])
                for trace in days_to_come(self._series, normals, start, until)
            ]
        return self._traces[until]

    def held_share(self, first: date, last: date) -> float:
        """Share of first..last (as far as it is over) for which a day is held."""
        last = min(last, self.today)
        span = (last - first).days + 1
        if span <= 0:
            return 1.0
        return sum(self.day(first + timedelta(days=step)) is not None for step in range(span)) / span

    def _last_held(self) -> date | None:
        """The last day to use: through today whatever is held, after today as long as the forecast runs on."""
        if self._series is None:
            return None
        last = min(self.today, self._series.last_day)
        while (following := self._series.day(last + _DAY)) is not None and following[2] == "f" and last >= self.today:
            last += _DAY
        return last


def _normals(place: Place, series: DailySeries | None) -> tuple[tuple[float, ...], tuple[float, ...], str]:
    if place.normals_min_c is not None and place.normals_max_c is not None:
        return place.normals_min_c, place.normals_max_c, "the normals of the site"
    guess_min, guess_max = _from_latitude(place)
    if series is None:
        return guess_min, guess_max, "a rough climate of the latitude"
    sums = [[0.0, 0.0, 0] for _ in range(12)]
    for step, (low, high, mark) in enumerate(zip(series.tmin_c, series.tmax_c, series.marks, strict=True)):
        if mark == "m":
            month = sums[(series.first_day + timedelta(days=step)).month - 1]
            month[0] += low
            month[1] += high
            month[2] += 1
    low_means = tuple(
        s[0] / s[2] if s[2] >= _ENOUGH_DAYS_FOR_A_MONTH else g for s, g in zip(sums, guess_min, strict=True)
    )
    high_means = tuple(
        s[1] / s[2] if s[2] >= _ENOUGH_DAYS_FOR_A_MONTH else g for s, g in zip(sums, guess_max, strict=True)
    )
    return low_means, high_means, "the monthly means of the temperatures held"


def _from_latitude(place: Place) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """A rough climate for a place of which nothing is known but where it is: our own guess, no source."""
    from math import cos, pi

    latitude = min(abs(place.latitude), 66.0)
    mean = 26.5 - 0.0068 * latitude * latitude - 0.0065 * (place.elevation_m or 0.0)
    swing = 0.21 * latitude
    warmest = 0 if place.south else 6
    months = [mean + swing * cos(2 * pi * (month - warmest - 0.3) / 12) for month in range(12)]
    return tuple(value - 5.0 for value in months), tuple(value + 5.0 for value in months)

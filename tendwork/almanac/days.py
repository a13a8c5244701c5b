"""The days of one place: held ones as they are, missing ones from the normals, coming ones as an ensemble."""

from __future__ import annotations

from datetime import date, timedelta
from math import cos, pi

from tendwork.almanac.ensemble import Trace, days_to_come, mean_c_of_past_seasons
from tendwork.almanac.place import LAPSE_C_PER_M, Place
from tendwork.almanac.temperature import FORECAST, MEASURED, USUAL, DailySeries, Normals, normals_of_series
from tendwork.almanac.warming import warming_c_a_year

HORIZON_DAYS = 800  # from a season's first day through the end of the season after it, and on
_DAY = timedelta(days=1)
_MOST_DRAWN_PAST = timedelta(days=600)  # this season and the one before it
_WARMEST_MEAN_C = 35.0
_GUESSED = "a rough climate guessed from the latitude alone"


class Days:
    """Temperatures of a place around `today`. What was measured after `today` is not used; a forecast is."""

    def __init__(self, place: Place, series: DailySeries | None, today: date) -> None:
        self.today = today
        self._colder_c = place.colder_by_c
        self._series = series
        self._south = place.south
        self._seed = f"{place.latitude} {place.elevation_m}"
        self.last_known = self._end_of_known()
        self.normals, self.normals_from = _normals(place, series)
        self.climate_is_guessed = self.normals_from == _GUESSED
        self._usual = self.normals.year()
        self._past_means_c = mean_c_of_past_seasons(series, min(self.last_known, today), place.south)
        self.horizon = today + HORIZON_DAYS * _DAY
        self._looks_like_fahrenheit: bool | None = None
        self._traces: list[Trace] = []
        self._traced_through = self.last_known

    @property
    def warming_c_a_year(self) -> float:
        """How much warmer one season is than the one before it: past ones are levelled by it. 0 where none is held."""
        return warming_c_a_year(self._past_means_c) if self._past_means_c else 0.0

    def day(self, day: date) -> tuple[float, float, str] | None:
        """(tmin_c, tmax_c, mark) of a day measured, forecast or filled in; None for a day outside what is known."""
        if self._series is None or day > self.last_known:
            return None
        held = self._series.day(day)
        return None if held is None else (held[0] - self._colder_c, held[1] - self._colder_c, held[2])

    def usual_day(self, day: date) -> tuple[float, float]:
        """(tmin_c, tmax_c) of the day of the year by the normals."""
        low_of_year, high_of_year = self._usual
        day_of_year = day.timetuple().tm_yday - 1
        return low_of_year[day_of_year] - self._colder_c, high_of_year[day_of_year] - self._colder_c

    @property
    def first_held(self) -> date | None:
        return None if self._series is None else self._series.first_day

    def known(self, first: date, last: date) -> Trace:
        """The days of first..last as far as they are over or forecast; days that are not held stand at the normals."""
        low: list[float] = []
        high: list[float] = []
        colder = self._colder_c
        series = self._series
        base = 0 if series is None else series.first_day.toordinal()
        held = 0 if series is None else min(len(series), self.last_known.toordinal() - base + 1)
        for ordinal in range(first.toordinal(), min(last, self.last_known).toordinal() + 1):
            index = ordinal - base
            if series is not None and 0 <= index < held:
                low.append(series.tmin_c[index] - colder)
                high.append(series.tmax_c[index] - colder)
            else:
                usual = self.usual_day(date.fromordinal(ordinal))
                low.append(usual[0])
                high.append(usual[1])
        return Trace(tuple(low), tuple(high))

    def to_come(self, first: date, last: date) -> list[Trace]:
        """The ensemble of the days of first..last that `known` does not hold; one empty trace if it holds them all."""
        if last <= self.last_known:
            return [Trace((), ())]
        if last > self._traced_through:
            self._traced_through = max(last, self.horizon)
            self._traces = self._drawn(self._traced_through)
        part = slice(max(0, (first - self.last_known).days - 1), (last - self.last_known).days)
        return [Trace(trace.tmin_c[part], trace.tmax_c[part]) for trace in self._traces]

    def measured_share(self, first: date, last: date) -> float:
        """Share of the days of first..last that are over and were measured, bridged or forecast."""
        last = min(last, max(self.last_known, self.today))
        span = (last - first).days + 1
        if span <= 0:
            return 1.0
        if self._series is None:
            return 0.0
        begin = max(0, (first - self._series.first_day).days)
        end = min(len(self._series), (last - self._series.first_day).days + 1)
        return max(0, end - begin - self._series.marks.count(USUAL, begin, max(begin, end))) / span

    def count_missing(self, first: date, last: date) -> int:
        """How many of the days of first..last are neither measured nor bridged nor forecast."""
        span = (last - first).days + 1
        if self._series is None:
            return span
        begin = max(0, (first - self._series.first_day).days)
        end = min(len(self._series), (min(last, self.last_known) - self._series.first_day).days + 1)
        end = max(begin, end)
        return span - (end - begin) + self._series.marks.count(USUAL, begin, end)

    def looks_like_fahrenheit(self) -> bool:
        """Whether the mean of the temperatures held is above that of any place on Earth."""
        if self._looks_like_fahrenheit is None:
            self._looks_like_fahrenheit = self._is_too_warm()
        return self._looks_like_fahrenheit

    def _is_too_warm(self) -> bool:
        if self._series is None:
            return False
        count = len(self._series)
        return (sum(self._series.tmin_c) + sum(self._series.tmax_c)) / (2 * count) > _WARMEST_MEAN_C

    def _drawn(self, last: date) -> list[Trace]:
        start = min(self.last_known, self.today)
        traces = days_to_come(
            self._series,
            self.normals,
            start,
            last,
            south=self._south,
            place=self._seed,
            warming_c_a_year=self.warming_c_a_year,
        )
        ahead = (self.last_known - start).days
        colder = self._colder_c
        if not (ahead or colder):
            return traces
        return [
            Trace(
                tuple([value - colder for value in trace.tmin_c[ahead:]]),
                tuple([value - colder for value in trace.tmax_c[ahead:]]),
            )
            for trace in traces
        ]

    def _end_of_known(self) -> date:
        """Through the last day held, or through today and on as long as the forecast runs without a break.

        Days since then that are over but were never held are drawn like days to come: flat normals would bring less
        heat than any real spring.
        """
        end = self.today - _MOST_DRAWN_PAST
        if self._series is not None:
            end = max(end, min(self._series.last_day, self.today))
        if end == self.today and self._series is not None:
            while (following := self._series.day(end + _DAY)) is not None and following[2] == FORECAST:
                end += _DAY
        return end


def _normals(place: Place, series: DailySeries | None) -> tuple[Normals, str]:
    if place.normals_min_c is not None and place.normals_max_c is not None:
        return Normals(place.normals_min_c, place.normals_max_c), "the site's normals"
    if series is not None and MEASURED in series.marks:
        own = normals_of_series(series)
        if own is not None:
            return own, "the monthly means of the temperatures held"
    return _climate_guess(place), _GUESSED


def _climate_guess(place: Place) -> Normals:
    """A rough climate for a place of which nothing but its latitude and height is known: our own guess, no source."""
    latitude = min(abs(place.latitude), 66.0)
    mean = 26.5 - 0.0068 * latitude * latitude - LAPSE_C_PER_M * (place.elevation_m or 0.0)
    swing = 0.21 * latitude
    warmest_month = 0.3 if place.south else 6.3
    months = [mean + swing * cos(2 * pi * (month - warmest_month) / 12) for month in range(12)]
    return Normals(tuple(value - 5.0 for value in months), tuple(value + 5.0 for value in months))

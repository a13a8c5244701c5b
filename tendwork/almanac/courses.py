"""A season's heat and chill day by day: so far, as other seasons went, and the range in which it may go on.

Heat is degree-days above 5 °C (single sine) from 1 January to the season's end, chill is portions of the Dynamic Model
from 1 November to the end of April; both move by six months in the south.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.days import Days
from tendwork.almanac.development import chill_and_heat
from tendwork.almanac.ensemble import Trace
from tendwork.almanac.heat import sine_sums
from tendwork.almanac.seasons import Season, season_of

_HEAT_BASE_C = 5.0
_LEAST_HELD = 0.95  # of the days of another season, for it to be compared with
_DAY = timedelta(days=1)

_Sums = Callable[[Trace], Sequence[float]]


class ComingDay(Struct, frozen=True):
    """A day to come, in °C: median, 10 % and 90 % of the ensemble; all three are the forecast where there is one."""

    day: date
    tmin_c: tuple[float, float, float]
    tmax_c: tuple[float, float, float]
    is_forecast: bool


class Course(Struct, frozen=True):
    """The running sum of one season at the end of each day, from `first_day` on."""

    season: int
    first_day: date
    sums: tuple[float, ...]


class Courses(Struct, frozen=True):
    """One season's course so far, the whole courses of other seasons, oldest first, and (median, low, high) to come."""

    this: Course
    others: tuple[Course, ...]
    to_come: tuple[tuple[float, float, float], ...]

    @property
    def last_day(self) -> date | None:
        """The day at whose end the sum so far stands; None where nothing is held of the course yet."""
        count = len(self.this.sums)
        return self.this.first_day + (count - 1) * _DAY if count else None

    @property
    def total(self) -> float:
        """The sum so far."""
        return self.this.sums[-1] if self.this.sums else 0.0

    def totals_then(self) -> tuple[tuple[int, float], ...]:
        """(season, its sum after as many days) of the other seasons."""
        at = len(self.this.sums) - 1
        return (
            ()
            if at < 0
            else tuple((course.season, course.sums[min(at, len(course.sums) - 1)]) for course in self.others)
        )

    @property
    def rank(self) -> int:
        """1 where no other season had more by now."""
        return 1 + sum(total > self.total for _, total in self.totals_then())


def coming_days(days: Days, count: int) -> tuple[ComingDay, ...]:
    """Today, where it is not held yet, and the `count` days after it."""
    first, last = days.today + _DAY, days.today + count * _DAY
    if days.day(days.today) is None:
        first, count = days.today, count + 1
    known = days.known(first, last)
    coming = [
        ComingDay(first + step * _DAY, (low, low, low), (high, high, high), True)
        for step, (low, high) in enumerate(zip(known.tmin_c, known.tmax_c, strict=True))
    ]
    traces = days.to_come(first, last)
    for step in range(count - len(coming)):
        low = _spread([trace.tmin_c[step] for trace in traces])
        high = _spread([trace.tmax_c[step] for trace in traces])
        coming.append(ComingDay(first + len(coming) * _DAY, low, high, False))
    return tuple(coming)


def heat_courses(days: Days, south: bool) -> Courses:
    """Degree-days of today's season beside all seasons held."""
    return _courses(
        days,
        season_of(days.today, south),
        lambda season: (season.on(1, 1), season.end),
        lambda _: lambda trace: sine_sums(trace.tmin_c, trace.tmax_c, _HEAT_BASE_C),
    )


def chill_courses(days: Days, south: bool, latitude_deg: float) -> Courses:
    """Chill portions of today's season beside all seasons held."""
    return _courses(
        days,
        season_of(days.today, south),
        lambda season: (season.start, season.on(4, 30)),
        lambda first: lambda trace: chill_and_heat(trace, first, latitude_deg)[0],
    )


def frost_days(days: Days, south: bool) -> tuple[int, date | None]:
    """How many days of today's season, up to today, fell to 0 °C or below, and the last of them."""
    day, count, last = season_of(days.today, south).start, 0, None
    while day <= days.today:
        held = days.day(day)
        if held is not None and held[0] <= 0:
            count, last = count + 1, day
        day += _DAY
    return count, last


def _courses(
    days: Days, season: Season, span: Callable[[Season], tuple[date, date]], sums_from: Callable[[date], _Sums]
) -> Courses:
    first, end = span(season)
    last_held = min(end, days.today)
    while last_held >= first and days.day(last_held) is None:
        last_held -= _DAY
    known = days.known(first, last_held) if last_held >= first else Trace((), ())
    sums = sums_from(first)
    so_far = tuple(sums(known))
    others = []
    earlier = season.previous
    while days.first_held is not None and span(earlier)[1] >= days.first_held:
        begin, finish = span(earlier)
        if begin >= days.first_held and days.measured_share(begin, finish) >= _LEAST_HELD:
            others.append(Course(earlier.name, begin, tuple(sums_from(begin)(days.known(begin, finish)))))
        earlier = earlier.previous
    return Courses(Course(season.name, first, so_far), tuple(reversed(others)), _ahead(days, known, first, end, sums))


def _ahead(days: Days, known: Trace, first: date, end: date, sums: _Sums) -> tuple[tuple[float, float, float], ...]:
    """(median, low, high) of the sum on each day after the known ones through `end`."""
    from_here = first + len(known.tmin_c) * _DAY
    if from_here > end:
        return ()
    forecast = days.known(from_here, end)
    before = Trace(known.tmin_c + forecast.tmin_c, known.tmax_c + forecast.tmax_c)
    runs = [
        sums(Trace(before.tmin_c + trace.tmin_c, before.tmax_c + trace.tmax_c))[len(known.tmin_c) :]
        for trace in days.to_come(from_here, end)
    ]
    return tuple(_spread(list(step)) for step in zip(*runs, strict=True))


def _spread(values: list[float]) -> tuple[float, float, float]:
    """(median, 10 %, 90 %)."""
    values.sort()
    middle, low, high = (values[round(share * (len(values) - 1))] for share in (0.5, 0.1, 0.9))
    return middle, low, high

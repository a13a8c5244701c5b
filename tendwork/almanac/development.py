"""How far the buds are, day by day: chill and heat of one run of days, read in several ways.

Heat is counted in growing degree hours, chill in portions of the Dynamic Model. How the two act together is not known
for a given tree, so each season is read in five ways, and the site's own sightings decide which of them holds there:

- "lengthening days", in two ways: heat counts as the days grow past ten and a half hours. What is needed falls, much
  or less, with the chill of the winter until then, and with every long day after it, within fixed bounds (the idea of
  chill that makes up for heat: alternating model, Cannell & Smith 1983; chill overlap, Pope et al. 2014). Days of hard
  frost bring no portions, but where winter is made of them nothing is lacking: they count as the long days do.
- "chill first", for three chill requirements: heat hardly counts until the chill is met, then fully (sequential model
  with a soft turn, as in PhenoFlex: Luedeling et al. 2021).

Each model is a progress that never falls; a stage comes when it has reached what the stage needs. In the first two
what is needed has an upper bound, so in no warm place does it wait for ever.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from datetime import date, timedelta
from functools import lru_cache
from math import cos, exp, floor, log, pi

from tendwork.almanac.daylength import daylight
from tendwork.almanac.ensemble import Trace
from tendwork.almanac.hourly import hours_of_series
from tendwork.almanac.requirements import CHILL_FIRST_PORTIONS, LENGTHENING_DAYS
from tendwork.almanac.seasons import Season

SEASON_DAYS = 334
"""A season's buds are followed from the first of the third month before its autumn ends: 1 September, south 1 March."""

# Lengthening days: half the heat counts at this day length, and the width of the turn, both in hours.
_DAYS_TURN_HOURS, _DAYS_TURN_WIDTH_HOURS = 10.5, 0.25
_SOLSTICE = 112
# A long day makes up for half a portion of chill, whatever its temperature, so that a warmer spring is never later.
_PORTIONS_OF_A_LONG_DAY = 0.5
# So does a day that stays this cold, of which the Dynamic Model says nothing: by portions alone a winter in Manitoba is
# as short of chill as one in Sacramento, and its apples would bloom in the middle of June. Our own choice, no source;
# tests/bench/almanac-comparison.md has what it moves.
_PORTIONS_OF_HARD_FROST, _HARD_FROST_MAX_C = 0.5, -10.0
# Chill first: the width of the turn in portions, and the share of heat that counts before it.
_CHILL_TURN_WIDTH_PORTIONS, _SHARE_BEFORE_CHILL = 5.0, 0.05

MODELS = len(LENGTHENING_DAYS) + len(CHILL_FIRST_PORTIONS)

_TABLE_BOUND_C = 60
_ROUNDED_ZERO = _TABLE_BOUND_C * 10 + 0.5


def first_day(season: Season) -> date:
    """The day from which the buds of a season are followed."""
    return date(season.name, 3, 1) if season.south else date(season.name - 1, 9, 1)


def last_day(season: Season) -> date:
    """The last day of a season up to which the buds are followed."""
    return first_day(season) + timedelta(days=SEASON_DAYS - 1)


class Progress:
    """One run of days from the season's first day on, at the end of each day.

    `models` are each model's degree hours, `heat` is the degree hours so far as they count while days lengthen.
    """

    def __init__(self, models: Sequence[Sequence[float]], heat: Sequence[float]) -> None:
        self.models = models
        self.heat = heat

    @classmethod
    def of_sums(
        cls, portions: list[float], heat: list[float], tmax_c: Sequence[float], latitude_deg: float
    ) -> Progress:
        """Each model of the chill so far, and the heat and the maximum of each day."""
        return Begun(portions, heat, tmax_c, latitude_deg).carried_on([], [], ())

    @classmethod
    def mean_of(cls, several: Sequence[Progress]) -> Progress:
        """The mean over the ways that the weather may go on."""
        if len(several) == 1:
            return several[0]
        by_model = zip(*(progress.models for progress in several), strict=True)
        return cls([_mean_of_days(ways) for ways in by_model], _mean_of_days([progress.heat for progress in several]))

    def day_reached(self, model: int, needed: float) -> float | None:
        """Days from the season's first day, to parts of a day; None where it is not reached in the days given."""
        return _day_reached(self.models[model], needed)

    def day_with_more_heat(self, day: float, more: float) -> float | None:
        """The day by which so much more heat has come than by `day`, or less where it is negative."""
        return _day_reached(self.heat, _by(self.heat, day) + more)

    def day_part_of_heat(self, begin: float, end: float, part: float) -> float:
        """The day by which this part of the heat between two days has come."""
        start = _by(self.heat, begin)
        day = _day_reached(self.heat, start + part * (_by(self.heat, end) - start))
        return begin + part * (end - begin) if day is None else min(max(day, begin), end)

    def at(self, model: int, day: float) -> float:
        """Progress by a day, as `day_reached` counts days: a whole number is the middle of its day."""
        progress = self.models[model]
        return _by(progress, min(max(day, 1), len(progress) - 1))

    def log_rate(self, model: int, index: int) -> float:
        """How fast the logarithm of the progress grows around a day, per day, within bounds."""
        ahead, behind = self.at(model, index + 5), self.at(model, index - 5)
        if behind <= 0:
            return 0.3
        return min(max(log(ahead / behind) / 10, 0.02), 0.3)


class Begun:
    """The days of a season that every way forward has in common: how far each model is, and from where it goes on."""

    def __init__(self, portions: list[float], heat: list[float], tmax_c: Sequence[float], latitude_deg: float) -> None:
        self._long_days = _long_days(abs(latitude_deg))
        self._days = len(portions)
        self._lengthening, self._state = _lengthening_days(portions, heat, tmax_c, self._long_days, (0.0, 0.0, 0.0))
        self._chill_first = [_chill_first(portions, heat, needed, 0.0) for needed in CHILL_FIRST_PORTIONS]

    def carried_on(self, portions: list[float], heat: list[float], tmax_c: Sequence[float]) -> Progress:
        """The progress through these days and on through more; the same, to the last bit, as of all days at once."""
        more, _ = _lengthening_days(portions, heat, tmax_c, self._long_days[self._days :], self._state)
        so_far, *lengthening = [begun + days for begun, days in zip(self._lengthening, more, strict=True)]
        chill_first = (
            begun + _chill_first(portions, heat, needed, begun[-1] if begun else 0.0)
            for begun, needed in zip(self._chill_first, CHILL_FIRST_PORTIONS, strict=True)
        )
        return Progress((*lengthening, *chill_first), so_far)


def ways_forward(known: Trace, coming: Sequence[Trace], season: Season, latitude_deg: float) -> list[Progress]:
    """The season's progress through the known days and on through each way that the weather may take."""
    first = first_day(season)
    portions, heat, state = _sums(_tenths(known, first, latitude_deg), (0.0, 0.0))
    begun = Begun(portions, heat, known.tmax_c, latitude_deg)
    ways = []
    for trace in coming:
        # The last known day comes along for the night that joins them.
        joined = Trace(known.tmin_c[-1:] + trace.tmin_c, known.tmax_c[-1:] + trace.tmax_c)
        skipped = len(known.tmin_c[-1:])
        start = first + timedelta(days=len(known.tmin_c) - skipped)
        more_portions, more_heat, _ = _sums(_tenths(joined, start, latitude_deg)[24 * skipped :], state)
        ways.append(begun.carried_on(more_portions, more_heat, trace.tmax_c))
    return ways


def chill_and_heat(trace: Trace, first: date, latitude_deg: float) -> tuple[list[float], list[float]]:
    """Chill portions so far at the end of each day, and the growing degree hours of each day.

    The Dynamic Model (Fishman, Erez & Couvillon 1987; constants as in Luedeling et al. 2009, Kelvin offset 273) and the
    degree hours of Anderson, Richardson & Kesner 1986, but heat does not fall again above 25 °C: a warmer day is never
    a step back. Read from tables by tenths of a degree, for speed.
    """
    portions, heat, _ = _sums(_tenths(trace, first, latitude_deg), (0.0, 0.0))
    return portions, heat


def _tenths(trace: Trace, first: date, latitude_deg: float) -> list[int]:
    """The hours as places in the tables."""
    hours = hours_of_series(trace.tmin_c, trace.tmax_c, first, latitude_deg)
    if hours and (min(hours) < -_TABLE_BOUND_C or max(hours) > _TABLE_BOUND_C):
        hours = [min(max(hour, -_TABLE_BOUND_C), _TABLE_BOUND_C) for hour in hours]
    return [int(hour * 10 + _ROUNDED_ZERO) for hour in hours]


def _sums(tenths: list[int], state: tuple[float, float]) -> tuple[list[float], list[float], tuple[float, float]]:
    """Portions so far, degree hours of each day, and the state to go on from: intermediate product and portions."""
    level, left, fixed_share, heat_of = _tables()
    heat_of_hours = [heat_of[place] for place in tenths]
    heat = [sum(heat_of_hours[start : start + 24]) for start in range(0, len(tenths), 24)]
    portions: list[float] = []
    product, total = state
    for start in range(0, len(tenths), 24):
        for place in tenths[start : start + 24]:
            product = level[place] + left[place] * product
            if product >= 1:
                fixed = product * fixed_share[place]
                total += fixed
                product -= fixed
        portions.append(total)
    return portions, heat, (product, total)


@lru_cache(maxsize=1)
def _tables() -> tuple[list[float], list[float], list[float], list[float]]:
    """By tenths of a degree from -60 °C: what an hour adds to the intermediate product, keeps, fixes; its heat."""
    level: list[float] = []
    left: list[float] = []
    fixed_share: list[float] = []
    heat_of: list[float] = []
    for tenths in range(-10 * _TABLE_BOUND_C, 10 * _TABLE_BOUND_C + 1):
        celsius = tenths / 10
        kelvin = celsius + 273
        kept = exp(-2.567e18 * exp(-12888.8 / kelvin))
        left.append(kept)
        level.append(139500 / 2.567e18 * exp((12888.8 - 4153.5) / kelvin) * (1 - kept))
        fixed_share.append(_rising(1.6 * 277 * (kelvin - 277) / kelvin))
        if celsius <= 4:
            heat_of.append(0.0)
        elif celsius <= 25:
            heat_of.append(10.5 * (1 - cos(pi * (celsius - 4) / 21)))
        else:
            heat_of.append(21.0)
    return level, left, fixed_share, heat_of


@lru_cache(maxsize=4)
def _long_days(latitude_deg: float) -> tuple[float, ...]:
    """Share of the heat that counts on each day of a northern season; nothing before the winter solstice."""
    shares = []
    for index in range(SEASON_DAYS):
        length = daylight(latitude_deg, (243 + index) % 365 + 1).length_hours
        turned = (length - _DAYS_TURN_HOURS) / _DAYS_TURN_WIDTH_HOURS
        shares.append(_rising(turned) if index >= _SOLSTICE else 0.0)
    return tuple(shares)


def _day_reached(sums: Sequence[float], needed: float) -> float | None:
    index = bisect_left(sums, needed)
    if index >= len(sums):
        return None
    before = sums[index - 1] if index else 0.0
    step = sums[index] - before
    return index + ((needed - before) / step if step > 0 else 0.0) - 0.5


def _by(sums: Sequence[float], day: float) -> float:
    """The sum by a day, as `_day_reached` counts days."""
    index = min(max(floor(day + 0.5), 0), len(sums) - 1)
    before = sums[index - 1] if index else 0.0
    return before + (sums[index] - before) * min(max(day + 0.5 - index, 0.0), 1.0)


def _mean_of_days(ways: Sequence[Sequence[float]]) -> list[float]:
    return [sum(day) / len(ways) for day in zip(*ways, strict=True)]


def _lengthening_days(
    portions: list[float],
    heat: list[float],
    tmax_c: Sequence[float],
    long_days: Sequence[float],
    state: tuple[float, float, float],
) -> tuple[list[list[float]], tuple[float, float, float]]:
    """The heat so far, the progress of each way in which chill lowers the need, and the state to go on from.

    That is the heat so far, the chill, and the portions that were counted.
    """
    sums: list[float] = []
    several: list[list[float]] = [[] for _ in LENGTHENING_DAYS]
    so_far, chill, before = state
    for total, degree_hours, maximum, long_day in zip(portions, heat, tmax_c, long_days, strict=False):
        so_far += degree_hours * long_day
        gained = total - before + (_PORTIONS_OF_HARD_FROST if maximum < _HARD_FROST_MAX_C else 0.0)
        chill += gained * (1 - long_day) + _PORTIONS_OF_A_LONG_DAY * long_day
        before = total
        sums.append(so_far)
        for progress, surplus in zip(several, LENGTHENING_DAYS, strict=True):
            lacking = _rising((surplus.half_portions - chill) / surplus.width_portions)
            progress.append(so_far / (1 + surplus.most * lacking))
    return [sums, *several], (so_far, chill, before)


def _chill_first(portions: list[float], heat: list[float], needed: float, so_far: float) -> list[float]:
    """The progress of these days, on from what there was before them."""
    progress = []
    before, width = _SHARE_BEFORE_CHILL, _CHILL_TURN_WIDTH_PORTIONS
    rest = 1 - before
    for degree_hours, chill in zip(heat, portions, strict=True):
        so_far += degree_hours * (before + rest * _rising((chill - needed) / width))
        progress.append(so_far)
    return progress


def _rising(value: float) -> float:
    """From 0 through 1/2 at 0 to 1."""
    if value > 30:
        return 1.0
    return 0.0 if value < -30 else 1 / (1 + exp(-value))

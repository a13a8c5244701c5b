"""When the leaves fall, and with that when wood counts as dormant: common practice, no source.

Leaves are taken to fall once the mean of ten days has come below 8 °C, within bounds of the calendar: not before 10
October, and by 15 December at the latest, when the days are shortest, however warm the place. South: six months on.
"""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.almanac.days import Days
from tendwork.almanac.seasons import Season

BECAUSE = "leaves fall when ten days' mean is below 8 °C, in late autumn at the latest (common practice, no source)"
DORMANT_BECAUSE = "wood counts as dormant from the leaf fall of the autumn before (common practice, no source)"

_COLD_C = 8.0
_DAYS_MEANT = 10
_RANGE_DAYS = 12
_GUESSED_CLIMATE_DAYS = 14  # our own choice, as for the end of shoot growth


def leaf_fall(days: Days, season: Season) -> tuple[date, date, date]:
    """Median and 80 % range of the leaf fall that ends the growth of `season`."""
    if season.south:
        first, last = date(season.name + 1, 4, 10), date(season.name + 1, 6, 15)
    else:
        first, last = date(season.name, 10, 10), date(season.name, 12, 15)
    begin = first - timedelta(days=_DAYS_MEANT)
    known = days.known(begin, last)
    ends = sorted(
        _first_cold(known.tmin_c + coming.tmin_c, known.tmax_c + coming.tmax_c) for coming in days.to_come(begin, last)
    )
    spread = timedelta(days=_RANGE_DAYS + (_GUESSED_CLIMATE_DAYS if days.climate_is_guessed else 0))
    middle, low, high = (first + timedelta(days=ends[int(share * (len(ends) - 1))]) for share in (0.5, 0.1, 0.9))
    return middle, max(low - spread, first), min(high + spread, max(last, middle))


def _first_cold(tmin_c: tuple[float, ...], tmax_c: tuple[float, ...]) -> int:
    means = [(low + high) / 2 for low, high in zip(tmin_c, tmax_c, strict=True)]
    for start in range(len(means) - _DAYS_MEANT):
        if sum(means[start : start + _DAYS_MEANT]) < _DAYS_MEANT * _COLD_C:
            return start
    return len(means) - _DAYS_MEANT - 1

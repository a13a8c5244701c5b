"""When shoots stop and end in a terminal bud: by the heat since full bloom, between bounds of the calendar.

No source dates the end of shoot growth itself. Summer pruning begins when shoots have stopped, and is dated in several
climates: apple from mid August in England (RHS, J. Arbury), early September in north-east England (Hartlepool Mail),
the end of August in Cumbria (Westmorland Gazette), late July to early August in Utah (Utah State), from August in
Massachusetts (UMass Healthy Fruit, 2001), in the second half of August at 60° N in Norway (Ystaas 1992); in New York
July cuts still grow again and August cuts do not (Univ. Wisconsin 2020). Bloom is from early May to early June there,
so no number of days fits all of them, but 820 to 1200 degree-days above 5 °C since full bloom do, with normals that are
from memory; 1000 is the middle. Pears stop two to three weeks before apples (RHS, Westmorland Gazette). Plum, cherry,
quince and peach keep the distance from apple at which their stocks are budded in France: plum and mazzard 25 July, pear
early August, apple and quince 15 to 20 August, almond for peach early September (a rural magazine; older and
earlier-stopping ones first, Baltet). Apricot and medlar: common practice, no source.

In a warm place that much heat has come by June. No source has shoots stop before July, and buds are still set in apple
in late August (New Mexico) or September (California), so none stop sooner than some days after the longest day, and the
range is as wide as heat and calendar disagree (common practice, no source). In a short season they have stopped 50 days
before the leaves fall, which fits the dates of Norway and north-east England, and by 15 September in any (common
practice, no source). A wet summer, a light crop and strong growth make it later (RHS): no temperature tells of these,
so the range is never narrow.
"""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.heat_calendar import HeatCalendar
from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season

DATED_SHARES = (0.82, 1.2)
"""Between which shares of the heat the published dates lie."""
_LONGEST_DAY = (6, 21)
_LATEST = (9, 15)
_BEFORE_LEAF_FALL = timedelta(days=50)
_SOONER_SEEN = timedelta(days=14)  # a nursery begins with apple in the second week of July (Pomona Fruits)
_LEAST_HALF_RANGE = timedelta(days=10)
_GUESSED_CLIMATE = timedelta(days=14)

_PUBLISHED = "as where summer pruning is dated: RHS, Utah State, Univ. Wisconsin 2020, Ystaas 1992 for Norway"
_BY_BUDDING = "apple's, moved as stocks are budded in France, a rural magazine, undated"
_NO_SOURCE = "common practice, no source"


class Need(Struct, frozen=True):
    """Degree-days above 5 °C from full bloom, the days after the longest day before which none stop, and the source."""

    heat: float
    days_after_longest: int
    source: str


NEEDS: dict[str, Need] = {
    "apple": Need(1000, 30, _PUBLISHED),
    "pear": Need(750, 16, _PUBLISHED),
    "quince": Need(900, 30, _BY_BUDDING),
    "medlar": Need(800, 30, _NO_SOURCE),
    "plum": Need(865, 14, _BY_BUDDING),
    "japanese plum": Need(865, 14, _NO_SOURCE),
    "sweet cherry": Need(865, 14, _BY_BUDDING),
    "sour cherry": Need(865, 14, _NO_SOURCE),
    "peach": Need(1390, 44, _BY_BUDDING),
    "apricot": Need(1080, 25, _NO_SOURCE),
}


class ShootStop(Struct, frozen=True):
    """Median and 80 % range, and the reasons."""

    day: date
    low: date
    high: date
    because: tuple[str, ...]


def shoot_stop(
    species: str, season: Season, bloom: StageDate, fruit_set: date, leaf_fall: date, heat: HeatCalendar, guessed: bool
) -> ShootStop | None:
    """When the shoots of a season stop, never before `fruit_set`; None where bloom is not reached.

    `guessed` says that the climate is no more than a guess.
    """
    if bloom.date is None or bloom.low is None or bloom.high is None:
        return None
    need = NEEDS[species]
    reached = heat.after(bloom.date, need.heat).day
    few, many = DATED_SHARES
    low = heat.after(bloom.low, few * need.heat).low
    high = heat.after(bloom.high, many * need.heat).high
    first = season.on(*_LONGEST_DAY) + timedelta(days=need.days_after_longest)
    last = max(min(leaf_fall - _BEFORE_LEAF_FALL, season.on(*_LATEST)), first)
    words = [f"{need.heat:g} degree-days above 5 °C after full bloom ({need.source})"]
    if reached is None or reached > last:
        day = last
        words.append(
            f"held at {last.isoformat()}, its latest day: 50 days before the leaves fall, or the middle of September "
            "(common practice, no source)"
        )
    elif reached < first:
        day = first
        words.append(
            f"held at {first.isoformat()}, its earliest day: that heat comes by {reached.isoformat()}, but no source "
            "has shoots stop so soon (common practice, no source)"
        )
    else:
        day = reached
    day = max(day, fruit_set)
    ends = [day - _LEAST_HALF_RANGE, day + _LEAST_HALF_RANGE]
    if reached is not None and reached < first:
        ends.append(first + (first - reached))
    ends += [max(min(end or last, last), first - _SOONER_SEEN) for end in (low, high)]
    words.append("later in a wet summer, with a light crop or strong growth, so the range is wide")
    unsure = _GUESSED_CLIMATE if guessed else timedelta()
    return ShootStop(day, max(min(ends) - unsure, min(fruit_set, day)), max(ends) + unsure, tuple(words))

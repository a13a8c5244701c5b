"""Week by week through the fruit year: what is ripe on the tree, what is in the store, and when there is nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Literal

from msgspec import Struct

from tendwork.orchard.fruit_year import month_day_of
from tendwork.planning.fruit_spans import FruitSpan, season_weeks

WhereFruitIs = Literal["tree", "store", ""]
_WEEK = timedelta(days=7)
_LAST = timedelta(days=6)


class FruitWeek(Struct, frozen=True):
    """A week by its first day, and the varieties that give fruit in it.

    `on_tree` and `in_store` bear, each in one of them; `to_come` will give fruit once their grafts bear.
    """

    first: date
    on_tree: tuple[str, ...]
    in_store: tuple[str, ...]
    to_come: tuple[str, ...]


class BareWeeks(Struct, frozen=True):
    """Weeks on end without fruit: first and last day, and the varieties on their way that will give some."""

    first: date
    last: date
    weeks: int
    to_come: tuple[str, ...]


def where_fruit_is(span: FruitSpan, week: date) -> WhereFruitIs:
    """Where there is fruit of a variety in the week that begins on a day: on the tree, else in the store."""
    if _touches(span.on_tree, week):
        return "tree"
    return "store" if _touches(span.in_store, week) else ""


def fruit_weeks(spans: Iterable[FruitSpan], year: int, south: bool = False) -> tuple[FruitWeek, ...]:
    """Every week from high summer to midwinter; more weeks of the fruit year before and after where there is fruit."""
    held = tuple(spans)
    firsts = list(season_weeks(year, south))
    days = [day for span in held for part in (span.on_tree, span.in_store) if part is not None for day in part]
    begins, ends = date(year, *month_day_of(0, south)), fruit_year_ends(year, south)
    first, last = max(min(days, default=firsts[0]), begins), min(max(days, default=begins), ends)
    while firsts[0] > first:
        firsts.insert(0, firsts[0] - _WEEK)
    while firsts[-1] + _LAST < last:
        firsts.append(firsts[-1] + _WEEK)
    return tuple(_week(held, first) for first in firsts)


def fruit_year_ends(year: int, south: bool = False) -> date:
    """Its last day: 31 March, in the south 30 September."""
    return date(year + 1, *month_day_of(0, south)) - timedelta(days=1)


def bare_weeks(weeks: Sequence[FruitWeek], year: int, south: bool = False) -> tuple[BareWeeks, ...]:
    """The runs of weeks from high summer to midwinter in which no variety that bears gives fruit."""
    season = set(season_weeks(year, south))
    found: list[BareWeeks] = []
    for week in weeks:
        if week.on_tree or week.in_store or week.first not in season:
            continue
        last = week.first + _LAST
        if found and found[-1].last + timedelta(days=1) == week.first:
            run = found.pop()
            to_come = tuple(dict.fromkeys((*run.to_come, *week.to_come)))
            found.append(BareWeeks(run.first, last, run.weeks + 1, to_come))
        else:
            found.append(BareWeeks(week.first, last, 1, week.to_come))
    return tuple(found)


def _week(spans: Sequence[FruitSpan], first: date) -> FruitWeek:
    places = [(span, where_fruit_is(span, first)) for span in spans]
    return FruitWeek(
        first,
        tuple(span.variety for span, where in places if span.bears and where == "tree"),
        tuple(span.variety for span, where in places if span.bears and where == "store"),
        tuple(span.variety for span, where in places if not span.bears and where),
    )


def _touches(part: tuple[date, date] | None, week: date) -> bool:
    return part is not None and part[0] <= week + _LAST and part[1] >= week

"""The ripening dates of records as they are noted, without an almanac: picked on the first day, hanging to the last."""

from __future__ import annotations

from datetime import date

from tendwork.almanac.seasons import season_of
from tendwork.orchard.fruit_year import day_of_fruit_year
from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.records import Records
from tendwork.orchard.variety_words import MonthDay, ripe_span
from tendwork.planning.ripening_dates import RipeDates


def noted_dates(records: Records, today: date, south: bool = False) -> tuple[RipeDates, ...]:
    """Of every variety with days noted on a graft or in its record, in the season of a day; nothing is in store."""
    spans: dict[tuple[str, str], tuple[MonthDay, MonthDay]] = {}
    for variety in records.varieties:
        if (span := ripe_span(variety.ripens)) is not None:
            spans[variety.species, variety.variety] = span
    species = species_by_graft(records)
    for graft in records.grafts:
        if graft.ripens_from is not None and graft.ripens_to is not None:
            spans[species[graft.id], graft.variety] = (graft.ripens_from, graft.ripens_to)
    return tuple(_row(*name, *span, today, south) for name, span in spans.items())


def _row(species: str, variety: str, first: MonthDay, last: MonthDay, today: date, south: bool) -> RipeDates:
    pick, hangs = (_in_season(day, today, south) for day in (first, last))
    hangs = hangs if hangs >= pick else hangs.replace(year=hangs.year + 1)
    return RipeDates(species, variety, pick, pick, pick, pick, None, (), pick, hangs, pick)


def _in_season(day: MonthDay, today: date, south: bool) -> date:
    """The day in the fruit year of the season, which begins on 1 April (1 October in the south)."""
    year = season_of(today, south).name
    start = date(year, 10 if south else 4, 1)
    return date.fromordinal(start.toordinal() + day_of_fruit_year(day, south))

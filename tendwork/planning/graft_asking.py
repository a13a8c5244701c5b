"""By when wood is to be asked for and how long a graft takes, from the rules in force.

A job of asking is there only once a graft is planned. Until then the day is the earliest on which its rule may close:
the date that it names, where buds may make it later.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from tendwork.almanac.seasons import Season
from tendwork.orchard.named_templates import ASK_FOR_WOOD
from tendwork.planning.vocabulary import Anchor, Template


def ask_by(templates: Iterable[Template], season: Season) -> Mapping[str, date]:
    """For each species the day by which its wood is to be asked for in a season; without a rule it has none."""
    found: dict[str, date] = {}
    for template in templates:
        day = _date_of(template.closes, season) if template.id in ASK_FOR_WOOD else None
        if day is not None:
            for species in template.where.species or ():
                found[species] = min(day, found.get(species, day))
    return found


def _date_of(anchor: Anchor, season: Season) -> date | None:
    """The first date that an anchor names, with its days; None where it names none."""
    if anchor.date is not None:
        return season.on_written(anchor.date) + timedelta(days=anchor.days + round(anchor.weeks * 7))
    days = (_date_of(part, season) for part in (*(anchor.latest_of or ()), *(anchor.earliest_of or ())))
    return min((day for day in days if day is not None), default=None)


def graft_minutes(templates: Iterable[Template]) -> tuple[dict[str, float], float]:
    """How long a graft of each method takes by the longest of its rules, in minutes, and setting up once."""
    each: dict[str, float] = {}
    setup = 0.0
    for template in templates:
        where = template.where
        if template.each != "graft" or where.state != ("planned",) or template.part != "grafting":
            continue
        for method in where.method or ():
            longest = max(template.effort.minutes_each, *(template.effort.minutes_by_size or (0,)))
            each[method] = max(longest, each.get(method, 0.0))
            setup = max(setup, template.effort.setup_minutes)
    return each, setup

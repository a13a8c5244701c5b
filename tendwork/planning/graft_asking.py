"""By when wood is to be asked for and how long a graft takes, from the rules in force.

A job of asking is there only once a graft is planned. Until then the day is the earliest on which its rule may close:
the date that it names, where buds may make it later.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.orchard.methods import BUD_METHODS
from tendwork.orchard.named_templates import ASK_FOR_WOOD
from tendwork.orchard.wood_balance import sticks_for_buds, sticks_needed
from tendwork.planning.choosing import Line, Proposal
from tendwork.planning.graft_candidates import WoodFrom
from tendwork.planning.vocabulary import Anchor, Template
from tendwork.species import SPECIES


class WoodNeed(Struct, frozen=True):
    """Sticks of one variety that a proposal needs: from where, of whom or which tree, of which bundle.

    `by` is the day by which it is to be asked for, None where it need not be, or no rule says it. `buds` are bud sticks
    of the summer, which are used within days and are not asked for in winter.
    """

    species: str
    variety: str
    sticks: int
    source: WoodFrom
    giver: str = ""
    bundle: str = ""
    by: date | None = None
    buds: bool = False


def wood_needs(proposal: Proposal, days: Mapping[str, date]) -> tuple[WoodNeed, ...]:
    """The wood of every line, what is to be asked for first; `days` are those of `ask_by`."""
    needs = []
    for line in proposal.lines:
        one, buds = line.candidate, line.place.method in BUD_METHODS
        sticks = sticks_for_buds(1) if buds else sticks_needed((line.place.method,))
        by = days.get(one.species) if line.wood_to_ask and not buds else None
        needs.append(WoodNeed(one.species, one.variety, sticks, one.source, one.giver, one.bundle, by, buds))
    return tuple(sorted(needs, key=lambda need: (need.by is None, need.by or date.max, need.species, need.variety)))


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
    days = (_date_of(part, season) for part in anchor.parts)
    return min((day for day in days if day is not None), default=None)


def graft_minutes(templates: Iterable[Template]) -> dict[tuple[str, str], tuple[float, float]]:
    """The minutes of a graft by species and method, by the longest of its rules: to set up once, and for each."""
    found: dict[tuple[str, str], tuple[float, float]] = {}
    for template in templates:
        where, effort = template.where, template.effort
        if template.each != "graft" or where.state != ("planned",) or template.part != "grafting":
            continue
        each = max(effort.minutes_each, *(effort.minutes_by_size or (0,)))
        for key in ((species, method) for species in where.species or SPECIES for method in where.method or ()):
            setup, longest = found.get(key, (0.0, 0.0))
            found[key] = max(effort.setup_minutes, setup), max(each, longest)
    return found


def minutes_of(lines: Iterable[Line], minutes: Mapping[tuple[str, str], tuple[float, float]]) -> float:
    """The minutes that planned grafts take, each tree set up once, by those of `graft_minutes`."""
    setups: dict[str, float] = {}
    each = 0.0
    for line in lines:
        setup, longest = minutes.get((line.place.species, line.place.method), (0.0, 0.0))
        setups[line.place.tree] = max(setup, setups.get(line.place.tree, 0.0))
        each += longest
    return each + sum(setups.values())

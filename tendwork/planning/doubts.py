"""Whether a bud stage can have been seen on the day that is given: what contradicts it, in words.

Nothing is refused here. A slip of the pen is far outside what the almanac foresees, and moves every later date.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.almanac.sightings import season_seen
from tendwork.orchard.records import Sighting
from tendwork.planning.day_format import day_and_month
from tendwork.species import STAGES, bbch, stage_named

MARGIN_DAYS = 3
"""How far outside its range, beyond the range's own width again, a stage may be before it is asked about.

The range holds four springs of five, so that its width again is far beyond an early or a late spring.
"""
LEAST_DAYS = 14
"""A stage that lasts may be noted so late, however narrow its range is because one just before it was seen."""


def season_of_sighting(sighting: Sighting, south: bool) -> Season | None:
    """The season that a sighting is about; None for a species or stage that is not known."""
    stage = stage_of(sighting)
    return None if stage is None else season_seen(sighting.day, stage, south)


def stage_of(sighting: Sighting) -> str | None:
    """The species' own name for the stage that was seen; None for a species or stage that is not known."""
    return stage_named(sighting.species, sighting.stage) if sighting.species in STAGES else None


def range_doubt(day: date, foreseen: StageDate | None) -> str:
    """What the almanac foresaw, where a day is further outside its range than the range is wide, and some days more."""
    if foreseen is None or foreseen.low is None or foreseen.high is None:
        return ""
    allowed = max((foreseen.high - foreseen.low).days + MARGIN_DAYS, LEAST_DAYS)
    early, late = (foreseen.low - day).days, (day - foreseen.high).days
    if max(early, late) <= allowed:
        return ""
    away = f"{early} days later" if early > late else f"{late} days earlier"
    return f"the almanac expected it from {day_and_month(foreseen.low)} to {day_and_month(foreseen.high)}, {away}"


def order_doubt(sighting: Sighting, others: Iterable[Sighting], south: bool) -> str:
    """Which other sighting of the same buds this one contradicts: a later stage seen before, an earlier one after."""
    mine = _buds(sighting, south)
    return _order_doubt(sighting, [other for other in others if _buds(other, south) == mine])


def doubts(
    sightings: Iterable[Sighting], foreseen: Mapping[Sighting, StageDate | None], south: bool
) -> dict[Sighting, str]:
    """What contradicts each of these sightings; of two that are out of order the one with the later day is named."""
    found = {}
    before: dict[tuple[str, str, Season | None], list[Sighting]] = {}
    for sighting in sorted(sightings, key=lambda held: held.day):
        same_buds = before.setdefault(_buds(sighting, south), [])
        said = _order_doubt(sighting, same_buds) or range_doubt(sighting.day, foreseen.get(sighting))
        if said:
            found[sighting] = said
        same_buds.append(sighting)
    return found


def _buds(sighting: Sighting, south: bool) -> tuple[str, str, Season | None]:
    """Whose buds of which season a sighting is about."""
    return sighting.species, sighting.tree, season_of_sighting(sighting, south)


def _order_doubt(sighting: Sighting, same_buds: Iterable[Sighting]) -> str:
    stage = stage_of(sighting)
    for other in same_buds:
        named = stage_of(other)
        if stage is None or named is None:
            continue
        step = bbch(other.species, named) - bbch(sighting.species, stage)
        if step * (other.day - sighting.day).days < 0:
            return (
                f'"{named}", which comes {"after" if step > 0 else "before"} it, was seen on {day_and_month(other.day)}'
            )
    return ""

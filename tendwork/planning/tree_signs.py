"""The signs of a tree any one of which lets it in (`where.any_of`): its age, what was done on it, what was seen.

And whether a job follows on another (`where.follows`).
"""

from __future__ import annotations

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.outcomes import STILL_OPEN, WORK_WORDS
from tendwork.orchard.records import Tree
from tendwork.orchard.standing_ticks import season_of_tick, template_of
from tendwork.orchard.troubles import counts_from, signs_seen
from tendwork.planning.ages import is_within, planted_in
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.left_out import trees_left_out
from tendwork.planning.vocabulary import AnyOf, Ticked


def shows_any(orchard: Orchard, signs: AnyOf, tree: Tree, season: Season) -> bool:
    """Whether a tree has one of the signs."""
    planted = planted_in(tree, orchard.grafts_of[tree.id], orchard.south)
    if signs.age_unknown if planted is None else is_within(signs.age_years, season.name - planted):
        return True
    if signs.ticked is not None and _was_ticked(orchard, signs.ticked, tree.id, season):
        return True
    return bool(signs.seen) and not _signs_of(orchard, tree.id, signs.seen_years, season).isdisjoint(signs.seen)


def follows_on(orchard: Orchard, job: str, tree: str, season: Season) -> bool:
    """Whether another job is over for the tree this season, done or not needed, or nobody knows, as it is left out."""
    rule = orchard.rules.get(job)
    out = None if rule is None else trees_left_out(rule, season.name)
    if out is None or tree in out:
        return True
    ticked = (tick for tick in orchard.standing.of(tree) if template_of(tick) == job)
    return any(tick.outcome != STILL_OPEN and season_of_tick(tick) == season.name for tick in ticked)


def _was_ticked(orchard: Orchard, wanted: Ticked, tree: str, season: Season) -> bool:
    """Whether one of the jobs was done on the tree itself, in time and so many seasons ago."""
    for tick in orchard.standing.of(tree):
        name = season_of_tick(tick)
        if tick.outcome not in WORK_WORDS or template_of(tick) not in wanted.jobs or name is None:
            continue
        in_time = wanted.until is None or tick.day <= Season(name, orchard.south).on_written(wanted.until)
        if in_time and is_within(wanted.years, season.name - name):
            return True
    return False


def _signs_of(orchard: Orchard, tree: str, years: tuple[int, int] | None, season: Season) -> frozenset[str]:
    noted = orchard.records.troubles
    if years is None:
        return signs_seen(noted, tree)
    grew = ((held, season_of(counts_from(held, orchard.season_start), orchard.south)) for held in noted)
    return signs_seen((held for held, its in grew if is_within(years, season.name - its.name)), tree)

"""What one season taught about the place: by how many days its sightings and tastings move the dates of the next."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Protocol

import msgspec
from msgspec import Struct

from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.ripe_evidence import PickDate, RipeEvidence
from tendwork.almanac.seasons import Season
from tendwork.almanac.sightings import season_seen
from tendwork.orchard.fruit_year import fruit_year
from tendwork.orchard.records import Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import VarietyReference
from tendwork.planning.ripe_known import RipeKnown
from tendwork.species import SPECIES, stage_named

FULL_BLOOM = "full bloom"
_LATE = ("shoot stop", "leaf fall")


class TaughtAlmanac(Protocol):
    """What an almanac must do for this."""

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate: ...

    def pick_dates(self, evidence: Iterable[RipeEvidence], season: Season) -> tuple[PickDate, ...]: ...


class StageMove(Struct, frozen=True):
    """A stage of a species in the season after, with and without the season's `sightings`."""

    species: str
    stage: str
    sightings: int
    before: date
    after: date

    @property
    def days(self) -> int:
        """Later, or below 0 earlier."""
        return (self.after - self.before).days


class PickMove(Struct, frozen=True):
    """The picking date of a variety in the season after, with and without the year's tastings; `before` None where
    none could be given."""

    species: str
    variety: str
    tastings: int
    before: date | None
    after: date

    @property
    def days(self) -> int | None:
        """Later, or below 0 earlier."""
        return None if self.before is None else (self.after - self.before).days


class SeasonLearned(Struct, frozen=True):
    """Of the season `following`; also what moved no date stands here, so that it is not taken for not looked at."""

    following: int
    sightings: int
    stages: tuple[StageMove, ...]
    tastings: int
    picks: tuple[PickMove, ...]


def seen_until(seen: Iterable[SeenStage], season: Season, with_own: bool) -> tuple[SeenStage, ...]:
    """The sightings up to a season, with its own or without."""
    found = []
    for one in seen:
        name = _season_of(one, season.south)
        if name is not None and (name < season.name or (with_own and name == season.name)):
            found.append(one)
    return tuple(found)


def season_learned(
    records: Records,
    reference: VarietyReference,
    seen: Iterable[SeenStage],
    with_own: TaughtAlmanac,
    without: TaughtAlmanac,
    season: Season,
    today: date,
) -> SeasonLearned:
    """`with_own` knows the sightings up to the season, `without` those before it."""
    own = [one for one in seen if one.day <= today and _season_of(one, season.south) == season.name]
    following = season.following
    stages = []
    for species in dict.fromkeys(one.species for one in own):
        named = [stage_named(species, one.stage) for one in own if one.species == species]
        early = sum(stage not in _LATE for stage in named)
        counts = [(FULL_BLOOM, early), *((stage, named.count(stage)) for stage in _LATE)]
        for stage, count in counts:
            before, after = (one.stage(species, stage, following).date for one in (without, with_own))
            if count and before is not None and after is not None:
                stages.append(StageMove(species, stage, count, before, after))
    tastings, picks = _picks(records, reference, with_own, season, today)
    return SeasonLearned(following.name, len(own), tuple(stages), tastings, picks)


def _season_of(one: SeenStage, south: bool) -> int | None:
    stage = stage_named(one.species, one.stage) if one.species in SPECIES else None
    return None if stage is None else season_seen(one.day, stage, south).name


def _picks(
    records: Records, reference: VarietyReference, almanac: TaughtAlmanac, season: Season, today: date
) -> tuple[int, tuple[PickMove, ...]]:
    """How many tastings with a word for ripeness there were, and what they moved; the largest move first."""
    south = season.south

    def dates(last_year: int) -> tuple[dict[tuple[str, str], date], RipeKnown]:
        tastings = tuple(one for one in records.tastings if fruit_year(one.day, south) <= last_year)
        known = RipeKnown(msgspec.structs.replace(records, tastings=tastings), book, today)
        found = almanac.pick_dates((*known.own, *known.others), season.following)
        return {(one.species, one.variety): one.pick for one in found}, known

    book = VarietyBook(records, reference)
    before, _ = dates(season.name - 1)
    after, known = dates(season.name)
    moves, count = [], 0
    for one in known.own:
        tasted = sum(fruit_year(taste.day, south) == season.name for taste in one.tasted)
        count += tasted
        pick = after.get((one.species, one.variety))
        if tasted and pick is not None:
            moves.append(PickMove(one.species, one.variety, tasted, before.get((one.species, one.variety)), pick))
    moves.sort(key=lambda move: (move.days is not None, -abs(move.days or 0), move.species, move.variety))
    return count, tuple(moves)

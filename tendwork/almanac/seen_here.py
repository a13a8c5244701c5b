"""What was seen in a season, on the days of the buds that are asked about.

A stage that was seen of the whole species is no fact of a variety that is earlier or later, nor is one that was seen of
such a variety a fact of the species or of another variety: each is moved by the days that lie between them, and stands
there with a range.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta
from math import hypot

from msgspec import Struct

from tendwork.almanac.lateness import Lateness
from tendwork.almanac.requirements import SPREAD, share_of_bloom
from tendwork.almanac.results import SeenStage, StageDate, StageState
from tendwork.almanac.sightings import SeenSeason, gathered
from tendwork.species import bbch

_HALF_OF_RANGE = 1.28  # standard deviations from the middle to an end of the 80 % range


class Moved(Struct, frozen=True):
    """One stage that was seen on `seen_on`, by how many days it was moved, how sure that is, and why."""

    seen_on: date
    days: int
    sd_days: float
    words: tuple[str, ...]


class SeenHere(Struct, frozen=True):
    """`seen` has each stage on the days of these buds, `moved` those that were seen of others.

    `whose` says of which varieties a stage was seen where it was none of the whole species: " of Red Lamp".
    """

    seen: SeenSeason
    moved: Mapping[str, Moved]
    whose: Mapping[str, str] = {}

    def sighting_words(self, stage: str) -> str:
        """Which sighting that is: "the green tip of Red Lamp seen on 2026-03-20"."""
        moved = self.moved.get(stage)
        day = self.seen.middle(stage) if moved is None else moved.seen_on
        return f"the {stage}{self.whose.get(stage, '')} seen on {day.isoformat()}"

    def row(self, stage: str, code: int, today: date) -> StageDate:
        """A stage that was seen."""
        days, middle = self.seen.days[stage], self.seen.middle(stage)
        moved = self.moved.get(stage)
        if moved is not None:
            spread = timedelta(days=round(_HALF_OF_RANGE * moved.sd_days))
            state: StageState = "past" if middle <= today else "predicted"
            return StageDate(stage, code, state, middle, middle - spread, middle + spread, moved.words)
        words = [f"seen{self.whose.get(stage, '')} on {middle.isoformat()}"]
        if days[0] != days[-1]:
            words.append(f"seen from {days[0].isoformat()} to {days[-1].isoformat()}")
        if self.seen.broken:
            words.append("the sightings of this season contradict each other; none of them teaches anything")
        return StageDate(stage, code, "seen", middle, days[0], days[-1], tuple(words))


def seen_of_variety(species: str, whole: SeenHere, own: SeenSeason, late: Lateness | None) -> SeenHere:
    """Of a variety, where `whole` is of its species and `own` of itself alone."""
    moved: dict[str, Moved] = {}
    days = dict(own.days)
    for stage, held in whole.seen.days.items():
        share = share_of_bloom(species, bbch(species, stage))
        if stage in own.days:
            continue
        move = 0 if late is None or share is None else round(late.at(share))
        days[stage] = tuple(day + timedelta(days=move) for day in held)
        before, of_whom = whole.moved.get(stage), whole.whose.get(stage, "")
        if not move and before is None and not of_whom:
            continue
        if before is None:
            seen_on = whole.seen.middle(stage)
            seen_so = f"{of_whom.removeprefix(' of ') or 'the species'} was seen so on {seen_on.isoformat()}"
            before = Moved(seen_on, 0, SPREAD.variety_days if of_whom else 0.0, (seen_so,))
        sd_days = hypot(before.sd_days, late.sd_days if late is not None else SPREAD.variety_days if of_whom else 0.0)
        words = before.words if late is None else (*before.words, *late.words(move))
        moved[stage] = Moved(before.seen_on, before.days + move, sd_days, words)
    whose = {stage: words for stage, words in whole.whose.items() if stage in moved}
    return SeenHere(SeenSeason(days, own.broken or whole.seen.broken), moved, whose)


def seen_of_species(
    species: str, entries: Iterable[SeenStage], lateness_of: Callable[[str], Lateness | None]
) -> SeenHere:
    """Of a species of which only varieties were seen; `entries` are those sightings.

    Where anything is known of how early or late one of them is, those of which nothing is known count for nothing.
    """
    entries = tuple(entries)
    seen = gathered(entries)
    known = {variety: lateness_of(variety) for variety in sorted({entry.variety for entry in entries})}
    moved: dict[str, Moved] = {}
    days: dict[str, tuple[date, ...]] = {}
    for stage, held in seen.days.items():
        share = share_of_bloom(species, bbch(species, stage))
        found = [
            _as_of_species(entry, share, late)
            for entry in entries
            if entry.stage == stage and share is not None and (late := known[entry.variety]) is not None
        ]
        if not any(one.days for one in found):
            days[stage] = held
            continue
        found.sort(key=lambda one: one.seen_on + timedelta(days=one.days))
        days[stage] = tuple(one.seen_on + timedelta(days=one.days) for one in found)
        moved[stage] = found[(len(found) - 1) // 2]
    return SeenHere(SeenSeason(days, seen.broken), moved, {stage: whose_words(entries, stage) for stage in days})


def whose_words(entries: Iterable[SeenStage], stage: str) -> str:
    """Of which varieties a stage was seen: " of Red Lamp and Blue Lamp"; empty where no entry is of that stage."""
    names = sorted({entry.variety for entry in entries if entry.stage == stage})
    return f" of {' and '.join(names)}" if names else ""


def _as_of_species(entry: SeenStage, share: float, late: Lateness) -> Moved:
    move = round(late.at(share))
    words = (f"{entry.variety} was seen so on {entry.day.isoformat()}", *late.words(move, entry.variety))
    return Moved(entry.day, -move, late.sd_days, words)

"""What a graft's tastings alone speak for, and which limbs come off and which places are free.

Whether it is to be kept or cut hangs on its place in the season, too: `planning/verdict_reasons.py`. Three crops in
different years are waited for, five where a kind skips years (common practice, from memory). The scores from which to
keep and to cut are this program's own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from msgspec import Struct

from tendwork.orchard.crown import CrownPlace, distance_m, place_of
from tendwork.orchard.fruit_year import first_growing_year, fruit_year
from tendwork.orchard.lives import present
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Tasting, Verdict
from tendwork.orchard.rough_dates import middle_day
from tendwork.orchard.standing_ticks import season_of_tick, standing_ticks
from tendwork.orchard.wording import counted, listed

CROPS_TO_JUDGE = 3
CROPS_TO_JUDGE_SHY = 5
KEEP_FROM = 4.0
CUT_TO = 2.5
FIRST_CROP_YEARS = (2, 3)  # after it was set: a 4-H handout on grafting, and a grafting demonstration of May 2009
NO_FRUIT = "no fruit"
SAME_PLACE_M = 0.3  # nearer than this a living graft has taken the place
LIVING = ("set", "took", "bearing")


class Crops(Struct, frozen=True):
    """The crops of one graft: `years` are the fruit years with a scored one, `bare_years` those without fruit.

    `score` is the mean over years of each year's best, 1 to 5; `wanted` is how many crops it takes to judge, and
    `words` says all of it.
    """

    years: tuple[int, ...]
    bare_years: tuple[int, ...]
    score: float | None
    wanted: int
    words: str

    @property
    def waits_for(self) -> str:
        """The sentence why it is too early to judge; empty where it is not."""
        if not self.years:
            return self.words
        shy = " from a kind that skips years" if self.wanted == CROPS_TO_JUDGE_SHY else ""
        return "" if len(self.years) >= self.wanted else f"{self.words}: wait for {self.wanted}{shy}."


class Suggestion(Struct, frozen=True):
    """What speaks for one graft: "keep", "cut" or "on trial" (wait), and the sentence why.

    `years` are the fruit years with a scored crop, `bare_years` those without fruit; `score` is the mean over years of
    each year's best, 1 to 5.
    """

    graft: str
    variety: str
    suggested: Verdict
    because: str
    years: tuple[int, ...] = ()
    bare_years: tuple[int, ...] = ()
    score: float | None = None


class EmptyPlace(Struct, frozen=True):
    """A place in a crown that is free, or will be once the graft judged "cut" is taken off."""

    tree: str
    place: CrownPlace
    was: str
    variety: str
    free_now: bool


def suggestions(records: Records, today: date, south: bool = False) -> tuple[Suggestion, ...]:
    """A suggestion by the tastings alone for every growing graft on trial, in the order of entry."""
    crops = crops_seen(records, today, south)
    return tuple(
        _suggestion(graft, crops[graft.id])
        for graft in present(records).grafts
        if graft.id in crops and graft.verdict == "on trial"
    )


def crops_seen(records: Records, today: date, south: bool = False) -> dict[str, Crops]:
    """The crops of every growing graft of a variety, by its id."""
    records = present(records)
    tasted: dict[str, list[Tasting]] = {}
    for tasting in records.tastings:
        tasted.setdefault(tasting.graft, []).append(tasting)
    bare: dict[str, set[int]] = {}
    for tick in standing_ticks(records.ticks):
        season = season_of_tick(tick)
        if tick.outcome == NO_FRUIT and season is not None:
            bare.setdefault(tick.unit, set()).add(season)
    return {
        graft.id: _crops(graft, tasted.get(graft.id, []), bare.get(graft.id, set()), today, south)
        for graft in records.grafts
        if graft.state in ("took", "bearing") and is_of_a_variety(graft)
    }


def first_crop_years(graft: Graft, south: bool = False) -> tuple[int, int] | None:
    """The first and last year in which the first crop is to be expected; None for a graft without a day of setting."""
    if graft.set_on is None:
        return None
    growing = first_growing_year(middle_day(graft.set_on), south)
    return growing + FIRST_CROP_YEARS[0], growing + FIRST_CROP_YEARS[1]


def cut_list(records: Records) -> tuple[Graft, ...]:
    """The grafts judged "cut" that are still on their trees: next winter's limbs to take off, by tree."""
    going = (graft for graft in records.grafts if graft.verdict == "cut" and graft.state in LIVING)
    return tuple(sorted(going, key=lambda graft: (graft.tree, graft.id)))


def empty_places(records: Records) -> tuple[EmptyPlace, ...]:
    """Places of removed, failed and to be cut grafts that no other graft has taken, those free now first.

    A place without a direction cannot be found again and is left out; of two at one place the later entry counts.
    """
    going = {graft.id for graft in cut_list(records)}
    filled = [graft for graft in records.grafts if graft.state in ("planned", *LIVING) and graft.id not in going]
    places: list[EmptyPlace] = []
    for graft in reversed(records.grafts):
        left = graft.state in ("removed", "failed")
        place = place_of(graft)
        if place.facing is None or not (left or graft.id in going):
            continue
        neighbours = [place_of(other) for other in filled if other.tree == graft.tree]
        neighbours += [other.place for other in places if other.tree == graft.tree]
        if not any(_same(place, other) for other in neighbours):
            places.append(EmptyPlace(graft.tree, place, graft.id, graft.variety, left))
    return tuple(sorted(places, key=lambda empty: (not empty.free_now, empty.tree, empty.was)))


def _same(one: CrownPlace, other: CrownPlace) -> bool:
    apart = distance_m(one, other)
    return apart is not None and apart < SAME_PLACE_M


def _crops(graft: Graft, tasted: list[Tasting], bare: set[int], today: date, south: bool) -> Crops:
    best = best_of_years(tasted, south)
    years = tuple(sorted(best))
    bare_years = tuple(sorted(bare - best.keys()))
    if not years:
        return Crops(years, bare_years, None, CROPS_TO_JUDGE, _no_crop_words(graft, today, south))
    score = sum(best.values()) / len(best)
    words = f"{counted(len(years), 'crop')} seen ({listed(years)}), mean score {score:.1f} of 5"
    if any(year > years[0] for year in bare_years):
        return Crops(years, bare_years, score, CROPS_TO_JUDGE_SHY, f"{words}, no fruit in {listed(bare_years)}")
    return Crops(years, bare_years, score, CROPS_TO_JUDGE, words)


def _suggestion(graft: Graft, crops: Crops) -> Suggestion:
    suggested: Verdict = "on trial"
    if crops.waits_for or crops.score is None:
        because = crops.waits_for
    elif crops.score >= KEEP_FROM:
        suggested, because = "keep", f"{crops.words}: good enough to keep."
    elif crops.score <= CUT_TO:
        suggested, because = "cut", f"{crops.words}: something better could have its place."
    else:
        because = f"{crops.words}: neither good nor poor, so its place in the season decides."
    return Suggestion(graft.id, graft.variety, suggested, because, crops.years, crops.bare_years, crops.score)


def best_of_years(tasted: Iterable[Tasting], south: bool) -> Mapping[int, int]:
    """The best score of each fruit year, since unripe and overripe fruit is tasted too."""
    best: dict[int, int] = {}
    for tasting in tasted:
        if tasting.score is not None:
            year = fruit_year(tasting.day, south)
            best[year] = max(tasting.score, best.get(year, tasting.score))
    return best


def _no_crop_words(graft: Graft, today: date, south: bool) -> str:
    expected = first_crop_years(graft, south)
    if expected is None:
        return "No crop tasted yet."
    first, last = expected
    if fruit_year(today, south) > last:
        return f"No crop tasted yet, though the first was to be expected in {first} or {last}."
    return f"No crop tasted yet: expect the first in {first} or {last}."

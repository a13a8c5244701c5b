"""First crops of a fruit year, what was best and worst by score, and the weeks in which there was fruit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.ripe_evidence import RIPE
from tendwork.orchard.fruit_year import first_growing_year, fruit_year
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Records, Tasting
from tendwork.orchard.rough_dates import Noted, middle_day
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.stands import Stand, Stands
from tendwork.orchard.tree_names import tree_names
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.verdicts import FIRST_CROP_YEARS
from tendwork.planning.fruit_spans import FruitSpan, season_weeks
from tendwork.variety_names import Key

_WEEK = timedelta(days=7)
_DAY = timedelta(days=1)


class FirstCrop(Struct, frozen=True):
    """The first fruit noted of a graft: its first tasting, or the day on which it was ticked as bearing.

    `may_be_older` where it was set so long before that it may have borne unnoted, or on a day that nobody knows.
    """

    graft: str
    tree: str
    species: str
    variety: str
    day: date
    set_on: Noted | None
    score: int | None
    may_be_older: bool


class Scored(Struct, frozen=True):
    """A variety's best score of the year, 1 to 5, out of so many scored tastings."""

    species: str
    variety: str
    score: int
    tastings: int


class FruitWeek(Struct, frozen=True):
    """A week by its first day: what was ripe on the tree and in store by calculation, and what was tasted ripe."""

    starts: date
    tree: tuple[str, ...]
    store: tuple[str, ...]
    tasted: tuple[str, ...]

    @property
    def has_fruit(self) -> bool:
        return bool(self.tree or self.store or self.tasted)


class FruitGap(Struct, frozen=True):
    """Weeks on end without fruit: the first and the last day."""

    first: date
    last: date
    weeks: int


class SeasonCrops(Struct, frozen=True):
    """`tastings` counts all of the year, `scored` those with a score; `scores` are in order, the best first."""

    tastings: int
    varieties: int
    scored: int
    scores: tuple[Scored, ...]
    first_crops: tuple[FirstCrop, ...]
    weeks: tuple[FruitWeek, ...]
    gaps: tuple[FruitGap, ...]

    @property
    def best(self) -> tuple[Scored, ...]:
        """Those with the highest score."""
        return tuple(one for one in self.scores if one.score == self.scores[0].score)

    @property
    def worst(self) -> tuple[Scored, ...]:
        """Those with the lowest score, where it is below the highest."""
        lowest = self.scores[-1].score if self.scores else 0
        return tuple(one for one in self.scores if one.score == lowest < self.scores[0].score)


def season_crops(records: Records, spans: Sequence[FruitSpan], year: int, south: bool, today: date) -> SeasonCrops:
    """Of the fruit year named by the year of its spring; `spans` are those of its season."""
    stands, keys = Stands(records), variety_keys(records)
    tasted: list[tuple[Tasting, Stand]] = []
    for tasting in sorted(records.tastings, key=lambda one: one.day):
        stand = stands.on(tasting.graft, tasting.day)
        if stand is not None and tasting.day <= today:
            tasted.append((tasting, stand))
    of_year = [(tasting, stand) for tasting, stand in tasted if fruit_year(tasting.day, south) == year]
    by_key: dict[Key, list[tuple[Tasting, Stand]]] = {}
    for tasting, stand in of_year:
        by_key.setdefault(keys.of(stand.species, stand.variety), []).append((tasting, stand))
    scores = []
    for held in by_key.values():
        given = [tasting.score for tasting, _ in held if tasting.score is not None]
        if given:
            stand = held[0][1]
            scores.append(Scored(stand.species, min(one.variety for _, one in held), max(given), len(given)))
    scores.sort(key=lambda one: (-one.score, -one.tastings, one.variety, one.species))
    weeks = _weeks(records, [(t, s) for t, s in of_year if t.ripe == RIPE], spans, stands, year, south)
    return SeasonCrops(
        tastings=len(of_year),
        varieties=len(by_key),
        scored=sum(one.tastings for one in scores),
        scores=tuple(scores),
        first_crops=_first_crops(records, stands, tasted, year, south, today),
        weeks=weeks,
        gaps=fruit_gaps(weeks),
    )


def fruit_gaps(weeks: Iterable[FruitWeek]) -> tuple[FruitGap, ...]:
    """The runs of weeks without fruit."""
    gaps: list[FruitGap] = []
    for week in weeks:
        last = week.starts + _WEEK - _DAY
        if week.has_fruit:
            continue
        if gaps and gaps[-1].last + _DAY == week.starts:
            gap = gaps.pop()
            gaps.append(FruitGap(gap.first, last, gap.weeks + 1))
        else:
            gaps.append(FruitGap(week.starts, last, 1))
    return tuple(gaps)


def _bearing_days(records: Records, stands: Stands, today: date) -> dict[Stand, date]:
    """The first day on which each graft was ticked as bearing."""
    found: dict[Stand, date] = {}
    for tick in standing_ticks(records.ticks):
        if tick.outcome == "bearing" and tick.day <= today and (stand := stands.on(tick.unit, tick.day)) is not None:
            found[stand] = min(tick.day, found.get(stand, tick.day))
    return found


def _first_crops(
    records: Records,
    stands: Stands,
    tasted: Sequence[tuple[Tasting, Stand]],
    year: int,
    south: bool,
    today: date,
) -> tuple[FirstCrop, ...]:
    names = tree_names(records.trees)
    first = _bearing_days(records, stands, today)
    for tasting, stand in tasted:
        first[stand] = min(tasting.day, first.get(stand, tasting.day))
    found = []
    for stand, day in first.items():
        if fruit_year(day, south) != year or not is_of_a_variety(stand.record):
            continue
        given = [
            tasting.score
            for tasting, own in tasted
            if own is stand and tasting.score is not None and fruit_year(tasting.day, south) == year
        ]
        set_on = stand.record.set_on
        older = set_on is None or year - first_growing_year(middle_day(set_on), south) > FIRST_CROP_YEARS[1]
        tree, score = names[stand.tree], max(given, default=None)
        found.append(FirstCrop(stand.graft, tree, stand.species, stand.variety, day, set_on, score, older))
    return tuple(sorted(found, key=lambda one: (one.may_be_older, one.day, one.variety, one.graft)))


def _weeks(
    records: Records,
    ripe: Sequence[tuple[Tasting, Stand]],
    spans: Sequence[FruitSpan],
    stands: Stands,
    year: int,
    south: bool,
) -> tuple[FruitWeek, ...]:
    """Computed of the varieties that bore by then, as far as the records say."""
    not_yet = _not_yet_bearing(records, stands, year, south)
    bearing = [span for span in spans if span.bears and any(graft not in not_yet for graft in span.grafts)]
    weeks = []
    for starts in season_weeks(year, south):
        ends = starts + _WEEK - _DAY

        def covered(kind: str, starts: date = starts, ends: date = ends) -> tuple[str, ...]:
            held = ((one.variety, getattr(one, kind)) for one in bearing)
            return tuple(name for name, span in held if span is not None and span[0] <= ends and span[1] >= starts)

        tasted = dict.fromkeys(stand.variety for tasting, stand in ripe if starts <= tasting.day <= ends)
        weeks.append(FruitWeek(starts, covered("on_tree"), covered("in_store"), tuple(tasted)))
    return tuple(weeks)


def _not_yet_bearing(records: Records, stands: Stands, year: int, south: bool) -> frozenset[str]:
    """The grafts that do not bear, that were set after that spring, or whose first fruit noted is of a later year."""
    first: dict[str, int] = {}
    for tasting in records.tastings:
        crop = fruit_year(tasting.day, south)
        first[tasting.graft] = min(crop, first.get(tasting.graft, crop))
    for stand, day in _bearing_days(records, stands, date.max).items():
        crop = fruit_year(day, south)
        first[stand.graft] = min(crop, first.get(stand.graft, crop))
    return frozenset(
        graft.id
        for graft in records.grafts
        if graft.state != "bearing"
        or first.get(graft.id, year) > year
        or (graft.set_on is not None and first_growing_year(middle_day(graft.set_on), south) >= year)
    )

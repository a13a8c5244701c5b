"""What was set in a season and took, by method, by whose wood and by its age; and what was lost, and how."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Literal

from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.orchard.lives import ENDED
from tendwork.orchard.methods import method_named
from tendwork.orchard.records import Life, Records
from tendwork.orchard.rough_dates import Noted, RoughDate, day_known, first_day, last_day, middle_day
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.stands import Stand, Stands
from tendwork.orchard.take_rates import wood_age_band, wood_age_days
from tendwork.orchard.tree_names import TreesByWord, tree_names

LossKind = Literal["failed", "broken off", "judged cut", "taken off"]
NOT_NOTED = "not noted"
OWN_WOOD = "own trees"
_ENDS: dict[str, LossKind] = {
    "failed": "failed",
    "bud dead": "failed",
    "broken off": "broken off",
    "removed": "taken off",
}


class Tally(Struct, frozen=True):
    """Of the grafts `of` a kind how many were set; each of them took, failed, or is not known yet."""

    of: str
    set: int
    took: int
    failed: int

    @property
    def unknown(self) -> int:
        return self.set - self.took - self.failed


class Loss(Struct, frozen=True):
    """A graft, or with `graft` empty a whole tree, that was lost. `day` is None where nobody noted it.

    `signs` are the signs noted on its tree that season before it was gone, each with its day: no more is known of why.
    """

    graft: str
    tree: str
    variety: str
    kind: LossKind
    day: Noted | None
    set_on: Noted | None
    note: str = ""
    signs: tuple[tuple[str, date], ...] = ()


class Sign(Struct, frozen=True):
    """A sign seen that season, with the trees and days, in order."""

    what: str
    seen: tuple[tuple[str, date], ...]


class SeasonGrafts(Struct, frozen=True):
    """`total` is of all that were set; each of the other tallies adds up to it.

    `by_year_alone` counts those of which no more than the year is known. `undated` are grafts set by then and gone on
    a day that nobody noted.
    """

    total: Tally
    by_method: tuple[Tally, ...]
    by_giver: tuple[Tally, ...]
    by_wood_age: tuple[Tally, ...]
    by_year_alone: int
    losses: tuple[Loss, ...]
    signs: tuple[Sign, ...]
    undated: tuple[Loss, ...]


def season_grafts(records: Records, season: Season) -> SeasonGrafts:
    """All of it, by the days noted; one of which the year or the month alone is known goes by its middle."""
    stands = Stands(records)
    were_set = [stand for stand in stands.all if _set_in(stand, season)]
    bundles = {bundle.id: bundle for bundle in records.wood}
    own, names = TreesByWord(records.trees), tree_names(records.trees)

    def giver(stand: Stand) -> str:
        bundle = bundles.get(stand.record.wood)
        if bundle is None or not bundle.came_from:
            return NOT_NOTED
        return OWN_WOOD if own.meant(bundle.came_from) else bundle.came_from

    def age(stand: Stand) -> tuple[int, str]:
        bundle = bundles.get(stand.record.wood)
        days = None if bundle is None else wood_age_days(bundle.cut_on, day_known(stand.record.set_on))
        return (_LAST, NOT_NOTED) if days is None else wood_age_band(days)

    losses, undated = _losses(records, stands, season, names)
    return SeasonGrafts(
        total=_tally("all", were_set),
        by_method=_tallies(were_set, lambda one: (0, method_named(one.record.method) or NOT_NOTED)),
        by_giver=_tallies(were_set, lambda one: (_GIVERS.get(word := giver(one), 1), word)),
        by_wood_age=_tallies(were_set, age),
        by_year_alone=sum(_is_year(one.record.set_on) for one in were_set),
        losses=losses,
        signs=_signs(records, season, names),
        undated=undated,
    )


_LAST = 1 << 30
_GIVERS = {OWN_WOOD: 0, NOT_NOTED: _LAST}


def _set_in(stand: Stand, season: Season) -> bool:
    return stand.record.set_on is not None and middle_day(stand.record.set_on) in season


def _is_year(noted: Noted | None) -> bool:
    return isinstance(noted, RoughDate) and noted.month is None


def _tally(of: str, stands: Iterable[Stand]) -> Tally:
    held = tuple(stands)
    return Tally(of, len(held), sum(one.took is True for one in held), sum(one.took is False for one in held))


def _tallies(stands: Iterable[Stand], key: Callable[[Stand], tuple[int, str]]) -> tuple[Tally, ...]:
    groups: dict[tuple[int, str], list[Stand]] = {}
    for stand in stands:
        groups.setdefault(key(stand), []).append(stand)
    return tuple(_tally(word, held) for (_, word), held in sorted(groups.items(), key=lambda item: item[0]))


def _losses(
    records: Records, stands: Stands, season: Season, names: dict[str, str]
) -> tuple[tuple[Loss, ...], tuple[Loss, ...]]:
    """Those of the season by day, and those that were set by its end and are gone on a day that nobody noted."""
    ticked: dict[Stand, tuple[date, str]] = {}
    losses, undated = [], []
    for tick in standing_ticks(records.ticks):
        kind = _ENDS.get(tick.outcome)
        if kind is None:
            continue
        stand = stands.on(tick.unit, tick.day)
        if stand is None and tick.unit in names and kind == "broken off" and tick.day in season:
            losses.append(Loss("", names[tick.unit], "", kind, tick.day, None, tick.note))
        elif stand is not None and (stand not in ticked or ticked[stand][0] <= tick.day):
            ticked[stand] = tick.day, tick.outcome
    for stand in stands.all:
        end = _end_of(stand, ticked.get(stand))
        if end is None:
            continue
        kind, day = end
        signs = () if day is None else _signs_before(records, stand.tree, last_day(day), season)
        record = stand.record
        loss = Loss(stand.graft, names[stand.tree], record.variety, kind, day, record.set_on, record.note, signs)
        # a graft that failed on a day not noted most likely did so in the season in which it was set
        of_season = _set_in(stand, season) if day is None and kind == "failed" else None
        if of_season or (day is not None and middle_day(day) in season):
            losses.append(loss)
        elif of_season is None and day is None and (stand.begins is None or stand.begins <= season.end):
            undated.append(loss)
    losses.sort(key=lambda loss: (date.max if loss.day is None else first_day(loss.day), loss.tree, loss.graft))
    return tuple(losses), tuple(undated)


def _end_of(stand: Stand, ticked: tuple[date, str] | None) -> tuple[LossKind, Noted | None] | None:
    """How a graft ended and when; None for one that stands.

    What was ticked of it goes before its state, unless the tick changed that and a person has put it right since.
    """
    record = stand.record
    stands = not isinstance(record, Life) and record.state not in ENDED
    if stands and (ticked is None or ticked[1] in ENDED):
        return None
    ended_on = record.ended_on if isinstance(record, Life) else None
    kind: LossKind = "failed" if record.state == "failed" else "taken off"
    day: Noted | None = ended_on
    if ticked is not None:
        day, kind = ticked[0], _ENDS[ticked[1]]
    return ("judged cut" if kind == "taken off" and record.verdict == "cut" else kind), day


def _signs_before(records: Records, tree: str, day: date, season: Season) -> tuple[tuple[str, date], ...]:
    seen = (trouble for trouble in records.troubles if trouble.tree == tree and trouble.day in season)
    return tuple(
        sorted({(trouble.what, trouble.day) for trouble in seen if trouble.day <= day}, key=lambda one: one[1])
    )


def _signs(records: Records, season: Season, names: dict[str, str]) -> tuple[Sign, ...]:
    found: dict[str, set[tuple[date, str]]] = {}
    for trouble in records.troubles:
        if trouble.day in season:
            found.setdefault(trouble.what, set()).add((trouble.day, names.get(trouble.tree, trouble.tree)))
    return tuple(Sign(what, tuple((tree, day) for day, tree in sorted(seen))) for what, seen in sorted(found.items()))

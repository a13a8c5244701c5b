"""The lives at one place of a crown in order: from which wood, when set, took, unwrapped, tasted, judged, taken off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.lives import present_of
from tendwork.orchard.named_templates import NOTE_GROWTH
from tendwork.orchard.records import Graft, Life, Records, Tasting, Tick, Wood
from tendwork.orchard.rough_dates import day_known, first_day, when_words
from tendwork.orchard.standing_ticks import standing_ticks, template_of
from tendwork.orchard.vigour import GROWTH
from tendwork.orchard.wording import counted

_IN_ORDER = ("planned", "wood", "set", "took", "failed", "wraps", "growth", "no fruit", "bearing", "first crop")
_LATER = ("tasted", "verdict", "removed")
_RANK = {what: rank for rank, what in enumerate((*_IN_ORDER, *_LATER))}
_WRAP_WORDS = {
    "off": "wrap off",
    "slit it": "wrap slit",
    "left on": "wrap left on",
    "weathered away": "wrap weathered away",
}
_VERDICT_WORDS = {"keep": "judged: keep", "cut": "judged: cut", "on trial": "judged: on trial for longer"}
_STATE_WORDS = {"took": "took", "failed": "failed", "bearing": "bears", "removed": "taken off"}


class Event(Struct, frozen=True):
    """One thing that happened at a place; `day` is None where the record does not say when.

    `life` counts the grafts that stood there, the first is 1.
    """

    what: str
    words: str
    day: date | None = None
    life: int = 1


def history(records: Records, graft: Graft) -> tuple[Event, ...]:
    """What is known of a place, oldest first: the lives before, and the present one."""
    lives = (life for life in records.lives if life.graft == graft.id)
    earlier = sorted(lives, key=lambda life: first_day(life.set_on) if life.set_on else date.min)
    ticks = standing_ticks(tick for tick in records.ticks if tick.unit == graft.id)
    tastings = [tasting for tasting in records.tastings if tasting.graft == graft.id]
    now = present_of(records, graft)
    lived: list[Event] = []
    for number, life in enumerate(earlier, 1):
        begun = earlier[number].set_on if number < len(earlier) else None
        following = None if begun is None else first_day(begun)
        mine = [tick for tick in ticks if tick not in now.ticks and _is_of(life, number == 1, following, tick.day)]
        tasted = [one for one in tastings if one not in now.tastings and _is_of(life, number == 1, following, one.day)]
        stood = Graft(graft.id, graft.tree, life.variety, life.method, life.wrap, life.seal, life.state, life.set_on)
        stood = replace(stood, wood=life.wood, verdict=life.verdict, note=life.note)
        lived += _told(_life(records, stood, mine, tasted), number, f"{life.variety}: ")
    unplaced = [tick for tick in ticks if tick not in now.ticks] if not earlier else []
    number = len(earlier) + 1
    if unplaced:  # of a graft that nothing else is kept of
        told = [event for tick in unplaced if (event := _of_tick(tick)) is not None]
        lived += _told(_in_order(told), number, "an earlier graft: ")
        number += 1
    return (*lived, *_told(_life(records, graft, standing_ticks(now.ticks), now.tastings), number, ""))


def _is_of(life: Life, is_first: bool, following: date | None, day: date) -> bool:
    """Whether a day falls into a life, from its setting until the next one's."""
    begun = is_first or life.set_on is None or day >= first_day(life.set_on)
    return begun and (following is None or day < following)


def _told(events: Iterable[Event], number: int, prefix: str) -> list[Event]:
    return [replace(event, words=f"{prefix}{event.words}", life=number) for event in events]


def _life(records: Records, graft: Graft, ticks: Iterable[Tick], tastings: Iterable[Tasting]) -> tuple[Event, ...]:
    bundle = next((bundle for bundle in records.wood if bundle.id == graft.wood), None)
    events = [
        *_beginnings(graft, bundle),
        *(event for tick in ticks if (event := _of_tick(tick)) is not None),
        *_of_tastings(tastings),
    ]
    told = {event.what for event in events}
    if graft.state in _STATE_WORDS and not told & {graft.state, "first crop" if graft.state == "bearing" else ""}:
        events.append(Event(graft.state, f"{_STATE_WORDS[graft.state]} (day not noted)"))
    if graft.verdict != "on trial" and "verdict" not in told:
        events.append(Event("verdict", f"{_VERDICT_WORDS[graft.verdict]} (day not noted)"))
    return _in_order(events)


def _in_order(events: list[Event]) -> tuple[Event, ...]:
    """By day; an event without one follows the last dated event that comes before it in a life."""
    dated = sorted((event for event in events if event.day is not None), key=lambda event: (event.day, _rank(event)))
    for event in sorted((event for event in events if event.day is None), key=_rank):
        before = [position for position, other in enumerate(dated) if _rank(other) < _rank(event)]
        dated.insert(before[-1] + 1 if before else 0, event)
    return tuple(dated)


def _rank(event: Event) -> int:
    return _RANK[event.what]


def _beginnings(graft: Graft, bundle: Wood | None) -> Iterator[Event]:
    how = ", ".join(filter(None, (graft.method, graft.wrap and f"wrapped in {graft.wrap}")))
    if graft.state == "planned":
        yield Event("planned", "planned" + (f": {how}" if how else ""))
    if bundle is not None:
        source = f" from {bundle.came_from}" if bundle.came_from else ""
        yield Event("wood", f"wood {bundle.id}{source}" + (" cut" if bundle.cut_on else ""), bundle.cut_on)
    elif graft.wood:
        yield Event("wood", f"wood {graft.wood}, which is no longer in the records")
    if graft.set_on is not None:
        day = day_known(graft.set_on)
        when = "" if day else f" {when_words(graft.set_on)}"
        yield Event("set", f"set{when}" + (f": {how}" if how else ""), day)


def _of_tick(tick: Tick) -> Event | None:
    note = f" ({tick.note})" if tick.note else ""
    if template_of(tick) == NOTE_GROWTH and tick.outcome in GROWTH:
        return Event("growth", f"{tick.outcome} growth{note}", tick.day)
    if tick.outcome in _WRAP_WORDS:
        return Event("wraps", _WRAP_WORDS[tick.outcome] + note, tick.day)
    if tick.outcome in _VERDICT_WORDS:
        return Event("verdict", _VERDICT_WORDS[tick.outcome] + note, tick.day)
    if tick.outcome in _STATE_WORDS:
        return Event(tick.outcome, _STATE_WORDS[tick.outcome] + note, tick.day)
    if tick.outcome == "no fruit":
        return Event("no fruit", f"no fruit{note}", tick.day)
    return None


def _of_tastings(tastings: Iterable[Tasting]) -> Iterator[Event]:
    for number, tasting in enumerate(sorted(tastings, key=lambda tasting: tasting.day)):
        score = "" if tasting.score is None else f"{counted(tasting.score, 'point')} of 5"
        said = ", ".join(filter(None, (tasting.ripe, score, tasting.use, tasting.note)))
        word = "tasted" if number else "first tasted"
        yield Event("tasted" if number else "first crop", f"{word}: {said}" if said else word, tasting.day)

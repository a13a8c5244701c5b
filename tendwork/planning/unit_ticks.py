"""What was ticked of a unit of a job, round by round, and what the record says of it by itself."""

from __future__ import annotations

from datetime import date

from tendwork.orchard.outcomes import STILL_OPEN
from tendwork.orchard.records import Tick
from tendwork.orchard.standing_ticks import Standing
from tendwork.orchard.wood_wishes import TO_ASK_FOR
from tendwork.planning.anchors import bases_of
from tendwork.planning.former_ids import ids_of
from tendwork.planning.record_events import AGAIN, SEEN_EVENTS
from tendwork.planning.ripe_events import TICKED_EVENTS
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import TO_CUT, Template

_NO_TICKS: dict[int, Tick] = {}
_RECORDED = {"variety": (("cut", "cut"),), "graft": (("off", "unwrapped"), ("slit it", "unwrapped"))}
"""The outcomes that the record may say by itself, each with the event that says it. Of a graft's fruit another job of
the season may say it too (`TICKED_EVENTS`)."""


def job_keys(template: Template, group: str, season: int, number: int) -> tuple[str, ...]:
    """The key of a round of a job in a season, named by its year, and the one of its template's former name."""
    keys = (f"{identity}/{group}/{season}" for identity in ids_of(template))
    return tuple(key if number == 1 else f"{key}.{number}" for key in keys)


def was_ticked(standing: Standing, template: Template, subject: Subject, season: int) -> bool:
    """Whether a unit was ticked in any round of the job."""
    keys = (key for number in _rounds(template) for key in job_keys(template, subject.group, season, number))
    return any(standing.tick(key, subject.id) is not None for key in keys)


def ticks_of(standing: Standing, template: Template, subject: Subject, season: int) -> dict[int, Tick]:
    """What was ticked of this unit, or the record says by itself, by the number of the round.

    A wrap that came off by another job is off, though it was "not yet" off when it was looked at in this one; so is
    fruit that was picked. What
    was ticked before the last storm says nothing about this one.
    """
    recorded = _recorded(template, subject)
    names = [name for name in (subject.id, *subject.formerly) if name in standing.events]
    if recorded is None and not names:
        return _NO_TICKS
    keys = {number: job_keys(template, subject.group, season, number) for number in _rounds(template)}
    found = {number: [standing.tick(key, name) for key in own for name in names] for number, own in keys.items()}
    ends = recorded is not None and (template.takes_wraps_off or recorded.outcome in TICKED_EVENTS)
    since = seen_on(template, subject) or date.min
    stand = {
        number: (
            tick
            for tick in held
            if tick is not None and tick.day >= since and not (ends and tick.outcome == STILL_OPEN)
        )
        for number, held in found.items()
    }
    ticks = {number: next(held, recorded) for number, held in stand.items()}
    return {number: tick for number, tick in ticks.items() if tick is not None}


def may_be_recorded(template: Template) -> bool:
    """Whether the record may say by itself that a unit of such a job is done."""
    return any(outcome in template.outcomes for outcome, _ in _RECORDED.get(template.each, ()))


def seen_on(template: Template, subject: Subject) -> date | None:
    """The day on which the sign was noted that raises such a job, or from which wood is asked for or cut once more."""
    if template.where.wood in (TO_ASK_FOR, TO_CUT) and subject.matches:
        return subject.events.get(AGAIN)
    if SEEN_EVENTS.isdisjoint(subject.events):
        return None
    signs = (base.after for base in bases_of(template.opens) if base.after in SEEN_EVENTS)
    return max((subject.events[sign] for sign in signs if sign in subject.events), default=None)


def _rounds(template: Template) -> range:
    return range(1, 1 + (1 if template.repeats is None else template.repeats.times))


def _recorded(template: Template, subject: Subject) -> Tick | None:
    """What the record says by itself: the variety's wood was cut this season, or the graft's wrap is off already."""
    of_fruit = zip(TICKED_EVENTS, TICKED_EVENTS, strict=True) if template.each == "graft" else ()
    for outcome, event in (*_RECORDED.get(template.each, ()), *of_fruit):
        if event in subject.events and outcome in template.outcomes:
            return Tick("", subject.id, subject.events[event], outcome)
    return None

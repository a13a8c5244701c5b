"""What an outcome on a tick says: work that was done or a finding, and what it changes in a graft or a bundle."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

import msgspec

from tendwork.orchard.named_templates import FIRE_BLIGHT_WATCH, LOOK_AT_GUARDS
from tendwork.orchard.records import ANSWERS, FIRE_BLIGHT, GNAWED, Graft, GraftState, Trouble, Verdict, Wood
from tendwork.orchard.rough_dates import first_day, when_words
from tendwork.orchard.wraps import CARE_ENDED

_STATE_AFTER: dict[str, GraftState] = {
    "set": "set",
    "took": "took",
    "failed": "failed",
    "bearing": "bearing",
    "removed": "removed",
}
_VERDICT_AFTER: dict[str, Verdict] = {"keep": "keep", "cut": "cut", "on trial": "on trial"}
_USED_UP = frozenset({"lost", "used", "thrown out"})
STILL_OPEN = "not yet"
SKIPPED = "skipped"
ARBORIST = "not mine: arborist"
"""The outcome of sawing that a person gives away: the job waits for somebody else, and nothing was done yet."""
NO_WORK = frozenset({SKIPPED, STILL_OPEN, ARBORIST, "not needed"})
"""Outcomes that say that the job itself was not done: they take no minutes."""
STRIKES = ("cut out", "strikes")
"""What the watch for fire blight says where it found some, cut out or not."""
GNAWING = ("gnawed",)
"""What the look at guards says where bark was gnawed."""
_NOTES = {FIRE_BLIGHT_WATCH: (STRIKES, FIRE_BLIGHT), LOOK_AT_GUARDS: (GNAWING, GNAWED)}
WORK_WORDS = frozenset(
    {
        "done", "set", "off", "cut", "cut out", "got from elsewhere", "asked", "sent", "watered", "tasted", "removed",
        "mended", "picked",
    }
)  # fmt: skip
"""Outcomes that say no more than that the work was done."""
FINDINGS = frozenset(
    {
        "took", "failed", "bearing", "keep", "on trial", "strong", "middle", "weak",
        "all well", "none found", "still good", "not needed", "not yet",
    }
)  # fmt: skip
"""Outcomes that only somebody who looked can give, even where a job has no other word."""


def outcome_named(word: str, outcomes: Iterable[str]) -> str:
    """The one of these outcomes that a person's word means, in whatever capitals and blanks; empty for none."""
    wanted, known = " ".join(word.split()), tuple(outcomes)
    if wanted in known:
        return wanted
    return next((outcome for outcome in known if outcome.casefold() == wanted.casefold()), "")


def default_outcome(outcomes: Sequence[str], each: str) -> str:
    """The outcome of a tick that says none: the first, where it is work; empty where the person must be asked.

    A finding is never made up. A word of a person's own counts as work only where it is the one word of its job. `each`
    is what the job's units are: "cut" is work on wood and a verdict on a graft.
    """
    first = outcomes[0]
    if first in FINDINGS or (first in _VERDICT_AFTER and each == "graft"):
        return ""
    return first if len(outcomes) == 1 or first in WORK_WORDS else ""


def graft_after(graft: Graft, outcome: str, day: date) -> Graft:
    """The graft as the outcome leaves it; the same graft where the outcome says nothing about it."""
    if outcome in _VERDICT_AFTER:
        return msgspec.structs.replace(graft, verdict=_VERDICT_AFTER[outcome])
    state = _STATE_AFTER.get(outcome)
    if state is None:
        return graft
    set_on = day if outcome == "set" else graft.set_on
    return msgspec.structs.replace(graft, state=state, set_on=set_on)


def wood_after(bundle: Wood, outcome: str) -> Wood:
    """The bundle as the outcome leaves it: promised sticks go when sent, all of them when lost, used or thrown out.

    What was asked of somebody is promised or refused. What was promised of lost wood stays promised, so
    that the balance still asks for it.
    """
    if outcome == "sent":
        left = max(0, bundle.sticks - bundle.promised_sticks)
        return msgspec.structs.replace(bundle, sticks=left, promised_sticks=0)
    if outcome in _USED_UP:
        return msgspec.structs.replace(bundle, sticks=0)
    if outcome in ANSWERS:
        return msgspec.structs.replace(bundle, answer=outcome)
    return bundle


def trouble_after(template: str, tree: str, outcome: str, day: date) -> Trouble | None:
    """What an outcome of this template's job notes as seen on a tree; None where it notes nothing."""
    outcomes, sign = _NOTES.get(template, ((), ""))
    return Trouble(day, tree, sign) if outcome in outcomes else None


def refusal(graft: Graft, outcome: str, day: date) -> str:
    """Why the outcome cannot be true of this graft, as a sentence; empty where it can."""
    name = f'{graft.id} "{graft.variety}"'
    if outcome in ("took", "failed") and graft.set_on is None:
        return (
            f'{name} has not been set yet, so it cannot have {outcome}: tick its grafting with the outcome "set" first.'
        )
    if outcome in CARE_ENDED and graft.state == "planned":
        return f'{name} has not been set yet, so it has no wrap: tick its grafting with the outcome "set" first.'
    if outcome in CARE_ENDED and graft.set_on is not None and day < first_day(graft.set_on):
        return f"{name} was set {when_words(graft.set_on)}, after {day}: give the day on which its wrap came off."
    if outcome in ("took", "failed") and graft.set_on is not None and day < first_day(graft.set_on):
        return f"{name} was set {when_words(graft.set_on)}, after {day}: give the day on which you looked."
    return ""

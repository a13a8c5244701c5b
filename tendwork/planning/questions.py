"""What the program cannot know of records that came in, asked once for many grafts.

A question is open as long as the records leave it so: it is worked out of the plan's gaps, and nothing of it is kept.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal, get_args

from msgspec import Struct

from tendwork.almanac.seasons import season_of
from tendwork.orchard.records import Graft
from tendwork.orchard.rough_dates import last_day
from tendwork.planning.results import STILL_ON, TOOK, Gap
from tendwork.planning.vocabulary import OFF

QuestionName = Literal["wraps", "took"]
QUESTIONS: tuple[QuestionName, ...] = get_args(QuestionName)
ANSWERS: dict[QuestionName, tuple[str, ...]] = {"wraps": ("on", OFF), "took": ("took", "failed")}
"""What may be said of grafts; that nobody knows is said by not answering."""
_GAPS: dict[QuestionName, tuple[str, ...]] = {"wraps": (STILL_ON,), "took": (TOOK, "take")}


class Question(Struct, frozen=True):
    """One thing that is not known of some `grafts`, by their ids."""

    name: QuestionName
    grafts: tuple[str, ...]


def questions_of(gaps: Iterable[Gap]) -> tuple[Question, ...]:
    """The questions that are open, in the order in which they are asked."""
    held = tuple(gaps)
    found = (
        Question(name, tuple(dict.fromkeys(graft for gap in held if gap.kind in kinds for graft in gap.grafts)))
        for name, kinds in _GAPS.items()
    )
    return tuple(question for question in found if question.grafts)


def set_before_this_season(grafts: Iterable[Graft], today: date, south: bool) -> tuple[str, ...]:
    """Those of these grafts that were set in an earlier season than today's: their keeper knows whether they took."""
    start = season_of(today, south).start
    return tuple(graft.id for graft in grafts if graft.set_on is not None and last_day(graft.set_on) < start)

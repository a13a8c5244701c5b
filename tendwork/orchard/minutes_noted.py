"""What a person's own minutes say of a kind of job: so many times as long as its rule says, on each tree.

A note is the minutes of one tick beside those that the rule gives for the same work. One that is off by more than four
times counts as four times. As long as there are few, the rule itself counts as three notes more, and so do, beside the
notes of one tree, those of all others together. These numbers are chosen, no source. It is the mean of the ratios, in
the sense in which half and double are as far off: so their order does not matter, and more minutes never make it less.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import exp, log

from msgspec import Struct

MOST_TIMES = 4.0
RULE_COUNTS_AS = 3


class MinutesNote(Struct, frozen=True, order=True):
    """The minutes of one tick, as so many `times` those of the rule; `tree` is empty where it is of no tree."""

    tree: str
    times: float

    @property
    def counts_as(self) -> float:
        """The times that it counts as: no more than four, no less than a quarter."""
        return min(max(self.times, 1 / MOST_TIMES), MOST_TIMES)


def times_the_usual(notes: Iterable[MinutesNote], tree: str) -> float:
    """How many times as long as its rule says a job takes on a tree; 1 where there is no note. To two decimals."""
    own: list[float] = []
    others: list[float] = []
    for note in sorted(notes):
        (own if note.tree == tree else others).append(log(note.counts_as))
    of_others = sum(others) / (len(others) + RULE_COUNTS_AS)
    return round(exp((RULE_COUNTS_AS * of_others + sum(own)) / (len(own) + RULE_COUNTS_AS)), 2)

"""What must be done this week so that nothing worse is lost in the weeks to come.

Work whose time ends later may wait, as long as the weeks after can hold it. Whether they can is told by their demand:
of all that ends by a day, what is more than the hours until then has to be done before (the processor
demand of S. K. Baruah, L. E. Rosier and R. R. Howell, Algorithms and complexity concerning the preemptive scheduling
of periodic, real-time tasks on one processor, Real-Time Systems 2, 1990). It is asked of each stake with all worse
ones, so that little never crowds out a graft. What ends first is done first, which of such work loses the least.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import accumulate

from msgspec.structs import replace

from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.fit_pieces import Piece
from tendwork.planning.results import DayHours, Task
from tendwork.planning.vocabulary import STAKES, stake_rank

TOO_FULL = "The weeks to come are too full for it: do it now."
DAYS_AHEAD = 70
_SECONDS = 60


def pressed_ahead(
    pieces: Sequence[Piece], beyond: Iterable[Task], today: date, days: Sequence[DayHours]
) -> list[Piece]:
    """The pieces, those pressing too that must not wait; `beyond` is the work that opens after this week.

    `days` are those of this week, which every later one is like. Without any time nothing is pressing for that.
    """
    if not any(day.minutes for day in days):
        return list(pieces)
    waiting = sorted((piece for piece in pieces if not piece.pressing and piece.days), key=lambda piece: piece.by)
    ends = [(stake_rank(one.stake), (one.by - today).days, one.count * one.seconds_each) for one in waiting]
    for task in beyond:
        ends.append((stake_rank(task.stake), (task.window.closes - today).days, round(task.minutes * _SECONDS)))
    ends.sort(key=lambda end: end[1])
    seconds_until = list(accumulate(days[step % WEEK_DAYS].minutes * _SECONDS for step in range(DAYS_AHEAD)))
    this_week = seconds_until[WEEK_DAYS - 1]
    pressed: dict[Piece, int] = {}
    for rank in range(len(STAKES) - 1):  # what costs little may be lost
        needed = asked = 0.0
        for stake, last, seconds in ends:
            if stake <= rank and WEEK_DAYS <= last < DAYS_AHEAD:
                asked += seconds
                needed = max(needed, asked - (seconds_until[last] - this_week))
        for piece in waiting:
            if sum(pressed.values()) >= needed:
                break
            if stake_rank(piece.stake) <= rank:
                pressed[piece] = piece.count * piece.seconds_each
    return [replace(piece, pressing=True, ahead=True) if piece in pressed else piece for piece in pieces]

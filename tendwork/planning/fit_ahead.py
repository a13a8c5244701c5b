"""What must be done this week so that nothing worse is lost in the weeks to come.

Work whose time ends later may wait, as long as the weeks after can hold it. Whether they can is told by their demand:
of all that ends by the end of a week, what is more than the hours until then has to be done before (the processor
demand of S. K. Baruah, L. E. Rosier and R. R. Howell, Algorithms and complexity concerning the preemptive scheduling
of periodic, real-time tasks on one processor, Real-Time Systems 2, 1990). It is asked of each stake with all worse
ones, so that little never crowds out a graft. What ends first is done first, which of such work loses the least.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec.structs import replace

from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.fit_pieces import Piece
from tendwork.planning.results import Task
from tendwork.planning.vocabulary import STAKES, stake_rank

TOO_FULL = "The weeks to come are too full for it: do it now."
WEEKS_AHEAD = 10
_SECONDS = 60


def pressed_ahead(pieces: Sequence[Piece], beyond: Iterable[Task], today: date, week_seconds: float) -> list[Piece]:
    """The pieces, those pressing too that must not wait; `beyond` is the work that opens after this week.

    `week_seconds` are the hours of a week. Without any nothing is pressing for that.
    """
    if week_seconds <= 0:
        return list(pieces)
    waiting = sorted((piece for piece in pieces if not piece.pressing and piece.days), key=lambda piece: piece.by)
    ends = [(stake_rank(one.stake), _weeks_to(one.by, today), one.count * one.seconds_each) for one in waiting]
    ends += [
        (stake_rank(task.stake), _weeks_to(task.window.closes, today), round(task.minutes * _SECONDS))
        for task in beyond
    ]
    pressed: dict[Piece, int] = {}
    for rank in range(len(STAKES) - 1):  # what costs little may be lost
        worth = [(week, seconds) for stake, week, seconds in ends if stake <= rank]
        needed = max(
            sum(seconds for week, seconds in worth if week <= last) - last * week_seconds
            for last in range(1, WEEKS_AHEAD + 1)
        )
        for piece in waiting:
            if sum(pressed.values()) >= needed:
                break
            if stake_rank(piece.stake) <= rank:
                pressed[piece] = piece.count * piece.seconds_each
    return [replace(piece, pressing=True, ahead=True) if piece in pressed else piece for piece in pieces]


def _weeks_to(day: date, today: date) -> int:
    """How many weeks after this one are over by the end of a day."""
    return max(1, ((day - today).days + 1) // WEEK_DAYS)

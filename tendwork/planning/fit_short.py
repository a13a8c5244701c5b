"""What comes short, by how much, and what would do: a sentence or two for each task."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta

from tendwork.planning.day_format import day_and_month
from tendwork.planning.fit_board import Board, days_in
from tendwork.planning.fit_pieces import Piece
from tendwork.planning.results import Short, Task
from tendwork.planning.vocabulary import Stake

_SECONDS = 60
_LEFT_OUT: dict[Stake, str] = {
    "tree": "A tree is at stake: find the time.",
    "graft": "A graft is at stake: find the time.",
    "year": "This year's chance is lost by it.",
    "little": "Left out: little is lost by it.",
}


def explained(
    board: Board,
    pressing: Iterable[Sequence[Piece]],
    left: Callable[[Piece], int],
    tasks: Sequence[Task],
    today: date,
) -> tuple[Short, ...]:
    """The tasks of which units are `left` without a day in time, in the order of `pressing`.

    The minutes named, added on the days named, would let all of them fit.
    """
    free, light = list(board.free), list(board.light)
    found = []
    for pieces in pressing:
        lacking: dict[int, tuple[int, bool]] = {}
        barred_seconds = 0
        out = [(piece, units) for piece in pieces if (units := left(piece))]
        for piece, units in out:
            if not piece.days:
                barred_seconds += units * piece.seconds_each + (0 if barred_seconds else piece.setup_seconds)
                continue
            day, seconds, only_light = _least_lacking(board, piece, units, free, light, lacking)
            had = lacking.get(day, (0, False))
            lacking[day] = (had[0] + seconds, had[1] or only_light)
        if out:
            by = min(piece.by for piece, _ in out)
            task = tasks[out[0][0].task]
            seconds = barred_seconds + sum(lack for lack, _ in lacking.values())
            is_barred = any(not piece.days for piece, _ in out)
            said = _words(lacking, today, _barred_words(task, by) if is_barred else "")
            words = " ".join(filter(None, (said, _LEFT_OUT[task.stake] if task.stake else "")))
            found.append(Short(task.key, seconds / _SECONDS, by, words))
    return tuple(found)


def _least_lacking(
    board: Board, piece: Piece, units: int, free: list[int], light: list[int], visited: Mapping[int, object]
) -> tuple[int, int, bool]:
    """The day on which the rest of the piece lacks least, how many seconds, and whether only the light is lacking.

    Uses up what `free` and `light` have on that day, so that the next task does not count on it.
    """
    work = units * piece.seconds_each
    best: tuple[int, int, bool, int] | None = None
    for day in days_in(piece.days):
        whole = work + (0 if day in visited or board.visits(piece.visit, day) else piece.setup_seconds)
        time, ladder = max(0, whole - free[day]), max(0, work - light[day]) if piece.ladder else 0
        if best is None or max(time, ladder) < best[1]:
            best = (day, max(time, ladder), ladder > time, whole)
    assert best is not None
    day, lacking, only_light, whole = best
    free[day] = max(0, free[day] - whole)
    if piece.ladder:
        light[day] = max(0, light[day] - work)
    return day, lacking, only_light


def _words(lacking: Mapping[int, tuple[int, bool]], today: date, barred: str) -> str:
    wishes = []
    for day, (seconds, only_light) in sorted(lacking.items()):
        minutes = -(-seconds // _SECONDS)
        kind = " fit for the ladder" if only_light else ""
        wishes.append(
            f"{minutes} more minute{'s' if minutes != 1 else ''}{kind} on {day_and_month(today + timedelta(days=day))}"
        )
    needed = f"{' and '.join(wishes)} would do." if wishes else ""
    return " ".join(words for words in (needed, barred) if words)


def _barred_words(task: Task, by: date) -> str:
    if task.unsuited:
        return f"No day until {day_and_month(by)} has the weather that it needs."
    return f"It is put off beyond {day_and_month(by)}, its last day."

"""From tasks to pieces: the units of one task that share their days, and whether this week is their last chance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from msgspec import Struct
from msgspec.structs import replace

from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.results import Task, Unit
from tendwork.planning.states import ACTIONABLE
from tendwork.planning.vocabulary import GRAVE, Stake

WHOLE_WEEK = (1 << WEEK_DAYS) - 1
_SECONDS = 60


class Piece(Struct, frozen=True, cache_hash=True):
    """`units` of the task `task` (its place in the plan), `seconds_each` long after `setup_seconds` a visit.

    `ahead` says that it is pressing only since the weeks to come are too full for it (fit_ahead.py), `kept_up` that it
    is a round that may be missed once. `visit` is the number of its visit: setting up is paid once for all that a visit
    does on a day. One that is `shared` has other tasks too; their pieces have its setup time, its `kit`, its `subject`
    and its best day.
    """

    task: int
    units: tuple[str, ...]
    kept: tuple[int, ...]
    count: int
    seconds_each: int
    setup_seconds: int
    ladder: bool
    days: int
    late_days: int
    pressing: bool
    is_late: bool
    by: date
    best: int
    later: bool
    subject: str
    kit: frozenset[str]
    stake: Stake | None = None
    ahead: bool = False
    kept_up: bool = False
    visit: int = -1
    shared: bool = False


class Wishes(Struct, frozen=True):
    """What the person decided about tasks, by key: the day `chosen` for one, or the day until which it is `snoozed`."""

    chosen: Mapping[str, date] = {}
    snoozed: Mapping[str, date] = {}

    def put_off(self, key: str, today: date) -> date | None:
        """The day after `today` for which a task is left; None for one that is not."""
        day = self.chosen.get(key) or self.snoozed.get(key)
        return day if day is not None and day > today else None


def pieces_of(number: int, task: Task, today: date, wishes: Wishes, kept: Mapping[str, date]) -> tuple[Piece, ...]:
    """The pieces of a task that have to do with the week from `today`; none for one that is put off beyond it.

    `kept` are the days on which an earlier placing had its units.
    """
    last = today + timedelta(days=WEEK_DAYS - 1)
    if task.state == "coming" and task.window.opens > last:
        return ()  # its state and its window are those of its most urgent units
    chosen = wishes.chosen.get(task.key)
    awake = wishes.snoozed.get(task.key, today)
    if awake > last or (chosen is not None and chosen > last):
        return ()
    weather = WHOLE_WEEK
    for day in task.unsuited:
        weather &= ~_days(today, day, day)
    gathered: dict[Piece, list[str]] = {}
    for unit in task.units:
        if unit.state in ACTIONABLE or (unit.state == "coming" and unit.window.opens <= last):
            gathered.setdefault(_piece(number, task, unit, today, chosen, awake, weather), []).append(unit.id)
    pieces = []
    for piece, units in gathered.items():
        steps = [(kept[unit] - today).days if unit in kept else -1 for unit in units]
        pieces.append(replace(piece, units=tuple(units), kept=tuple(steps), count=len(units)))
    return tuple(sorted(pieces, key=lambda piece: (piece.days.bit_count(), piece.days, piece.by, piece.best)))


def with_one_kit(pieces: Sequence[Piece], visit: int, walk: bool) -> tuple[Piece, ...]:
    """The pieces of the tasks of one visit, the most pressing first, as what one kit does on one day if it can."""
    lead = pieces[0]
    setup, kit = max(piece.setup_seconds for piece in pieces), frozenset[str]().union(*(piece.kit for piece in pieces))
    return tuple(
        replace(
            piece,
            visit=visit,
            shared=True,
            setup_seconds=setup,
            kit=kit,
            subject="" if walk else piece.subject,
            best=_nearest(lead.best, piece.days | piece.late_days, piece.best),
            later=piece.later and lead.later,
        )
        for piece in pieces
    )


def _nearest(wanted: int, days: int, otherwise: int) -> int:
    """The day of these that is nearest to the wanted one, the earlier of two."""
    return min(
        (day for day in range(WEEK_DAYS) if days >> day & 1), key=lambda day: abs(day - wanted), default=otherwise
    )


def _piece(number: int, task: Task, unit: Unit, today: date, chosen: date | None, awake: date, weather: int) -> Piece:
    window, last = unit.window, today + timedelta(days=WEEK_DAYS - 1)
    is_late = today > window.closes
    by = window.lapses if is_late else window.closes
    if window.is_overdue(today):
        by = last
    elif is_late and task.stake in GRAVE:
        by = min(by, last)
    opens = max(window.opens, awake, today)
    days, late_days = _days(today, opens, by) & weather, _days(today, opens, window.worth_until) & weather
    best = window.best
    if chosen is not None and max(window.opens, today) <= chosen <= window.worth_until:
        days, late_days, by, best = _days(today, chosen, chosen), 0, chosen, chosen
    return Piece(
        task=number,
        units=(),
        kept=(),
        count=0,
        seconds_each=round(task.minutes_each * _SECONDS),
        setup_seconds=round(task.setup_minutes * _SECONDS),
        ladder=unit.above_reach,
        days=days,
        late_days=late_days & ~days,
        pressing=by <= last,
        is_late=is_late,
        by=by,
        best=(min(max(opens, best), last) - today).days,
        later=best > last,
        subject=task.subject,
        kit=frozenset(task.tools),
        stake=task.stake,
        kept_up=task.kept_up,
        visit=number,
    )


def _days(today: date, first: date, last: date) -> int:
    """The bits of the days of the week from `first` to `last`."""
    start, end = max((first - today).days, 0), min((last - today).days + 1, WEEK_DAYS)
    return ((1 << end) - 1) & ~((1 << start) - 1) if end > start else 0

"""What somebody who was away for weeks is told: what can still be saved, and what is lost. Nothing else."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from operator import attrgetter

from msgspec import Struct

from tendwork.orchard.records import Tick
from tendwork.planning.results import Task, Unit
from tendwork.planning.vocabulary import GRAVE, Each, Stake, stake_rank

AWAY_DAYS = 14  # our own choice: somebody who looks in every week or two reads the changes
_TOLD: tuple[Stake | None, ...] = (*GRAVE, "year", None)  # unknown is never little


class LeftWork(Struct, frozen=True):
    """One job in all the places where it was left: `amount` units of the kind `each`, at `place` where that is one.

    `is_wrap` says that it is about wraps that are still on.
    """

    title: str
    each: Each
    amount: int
    place: str
    stake: Stake | None
    is_wrap: bool = False


class ComingBack(Struct, frozen=True):
    """What was left since the day `since` on which the person was last here, the worst first."""

    since: date
    saved: tuple[LeftWork, ...] = ()
    lost: tuple[LeftWork, ...] = ()


def last_here(looked_on: Iterable[date], ticks: Iterable[Tick], today: date) -> date | None:
    """The newest day before today on which the person looked or did something; None if nobody ever looked."""
    looked = max((day for day in looked_on if day < today), default=None)
    if looked is None:
        return None
    return max((tick.day for tick in ticks if looked < tick.day < today), default=looked)


def coming_back(tasks: Iterable[Task], since: date | None, today: date) -> ComingBack | None:
    """What was left; None where the person was here in the last two weeks, or nobody knows when.

    Saved can be what is late and still worth doing, a wrap as long as it is on. Lost is what lapsed meanwhile; a round
    of a repeating job is no chance that was lost. Where little is lost, nothing is told.
    """
    if since is None or (today - since).days < AWAY_DAYS:
        return None
    held = [task for task in tasks if task.stake in _TOLD]
    saved = [(task, [unit for unit in task.units if unit.state == "late"]) for task in held]
    lapsed = (task for task in held if task.rounds == 1)
    lost = [(task, [unit for unit in task.units if _is_lost(unit, since, today)]) for task in lapsed]
    return ComingBack(since, _left(saved), _left(lost))


def _is_lost(unit: Unit, since: date, today: date) -> bool:
    return unit.state == "missed" and since <= unit.window.lapses < today


def _left(found: Iterable[tuple[Task, list[Unit]]]) -> tuple[LeftWork, ...]:
    """The same job on several trees as one, and all wraps as one."""
    jobs: dict[tuple[str, Stake | None], list[tuple[Task, int]]] = {}
    for task, units in found:
        if units:
            jobs.setdefault(("" if task.window.stays else task.template, task.stake), []).append((task, len(units)))
    works = (_work(held) for held in jobs.values())
    return tuple(sorted(works, key=lambda work: (stake_rank(work.stake), -work.amount, work.title)))


def _work(held: list[tuple[Task, int]]) -> LeftWork:
    first = held[0][0]
    places = set(map(attrgetter("place"), (task for task, _ in held)))
    return LeftWork(
        title=first.title,
        each=first.each,
        amount=sum(number for _, number in held),
        place=first.place if len(places) == 1 else "",
        stake=first.stake,
        is_wrap=first.window.stays,
    )

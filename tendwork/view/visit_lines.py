"""The lines below a visit: its parts, and beneath each part its units, which are ticked one by one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from tendwork.planning.results import Task, Unit
from tendwork.planning.states import units_to_tick
from tendwork.planning.visits import Visit
from tendwork.view.week import WeekRow, visit_row

Meant = tuple[tuple[Task, tuple[str, ...]], ...]
"""Jobs, each with the ids of units of it."""


class VisitLine(Struct, frozen=True):
    """A part, which is the jobs of one rule and has a `row`, or a `unit` of one job. Beneath a leaf nothing stands."""

    id: str
    jobs: tuple[Task, ...]
    row: WeekRow | None = None
    unit: Unit | None = None
    is_leaf: bool = True

    @property
    def meant(self) -> Meant:
        """What a tick of the line is about: the unit, or what is to do of the part."""
        if self.unit is not None:
            return ((self.jobs[0], (self.unit.id,)),)
        return meant_of(self.jobs)

    @property
    def units(self) -> tuple[tuple[str, str], ...]:
        """The units that the line is about, each with the key of its job."""
        if self.unit is not None:
            return ((self.jobs[0].key, self.unit.id),)
        return tuple((job.key, unit.id) for job in self.jobs for unit in job.units)


def visit_lines(visit: Visit, today: date) -> tuple[VisitLine, ...]:
    """The parts with their units, or the units alone where all is of one rule; empty for a job of one unit."""
    rows = visit_row(visit, today).parts
    if len(rows) < 2:
        units = _unit_lines(visit.parts)
        return units if len(units) > 1 else ()
    by_key = {part.key: part for part in visit.parts}
    lines: list[VisitLine] = []
    for row in rows:
        jobs = tuple(by_key[key] for key in row.tasks)
        units = _unit_lines(jobs)
        beneath = units if len(units) > 1 else ()
        lines += [VisitLine(f"part:{jobs[0].template}", jobs, row, is_leaf=not beneath), *beneath]
    return tuple(lines)


def meant_of(jobs: Sequence[Task]) -> Meant:
    """What is to do of these jobs."""
    chosen = ((job, tuple(unit.id for unit in units_to_tick(job))) for job in jobs)
    return tuple((job, units) for job, units in chosen if units)


def line_of_job(lines: Sequence[VisitLine], key: str) -> VisitLine | None:
    """The part that has this job, else the first of its units."""
    having = [line for line in lines if any(job.key == key for job in line.jobs)]
    return having[0] if having else None


def next_line(lines: Sequence[VisitLine], identity: str) -> VisitLine | None:
    """The line to go to once this one is ticked: from a unit the next one, from a whole part the next part."""
    place = next((at for at, line in enumerate(lines) if line.id == identity), None)
    if place is None:
        return None
    is_part = lines[place].row is not None
    return next((line for line in lines[place + 1 :] if (line.row is not None if is_part else line.is_leaf)), None)


def _unit_lines(jobs: Sequence[Task]) -> tuple[VisitLine, ...]:
    return tuple(VisitLine(f"{job.key}\n{unit.id}", (job,), unit=unit) for job in jobs for unit in job.units)

"""The season as a strip: a row for each species' buds, for each part of the work and for each job, drawn over an axis.

A row of buds is a twig that has grown until today. A part shows how many of its jobs are open, a job its own window;
all rounds of a repeating job stand in one row. Everything is a symbol with a role, so that each front colours it in
its own way and no colour says anything alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import accumulate, groupby
from typing import Final, Literal

from msgspec import Struct

from tendwork.almanac.results import SpeciesStages, StageDate
from tendwork.planning.results import Task, TaskState
from tendwork.planning.states import ACTIONABLE, FINISHED, HELD
from tendwork.planning.vocabulary import PARTS
from tendwork.view.season_axis import Axis
from tendwork.view.symbols import height_symbol, stage_symbol, strip_symbol, task_symbol
from tendwork.view.text import display_width, plain
from tendwork.view.week import short_where

BUDS: Final = "buds"
PART: Final = "part"
JOB: Final = "job"
_URGENCY = (*ACTIONABLE, "coming", HELD, "missed", *FINISHED)
_HEIGHT = "height"
_NAME = "name"


class Run(Struct, frozen=True):
    """Neighbouring columns of one role: a task state, a role of the strip, "height", "name", or "" for nothing."""

    role: str
    text: str


class StripRow(Struct, frozen=True):
    """One row of the strip. `id` is the species, the part, or the key of the job's most pressing round.

    `name` and `where` are safe to show; `again` says that the row above is the same job elsewhere. `left` is how many
    jobs of a part are to do; buds have no `state`.
    """

    kind: Literal["buds", "part", "job"]
    id: str
    state: TaskState | Literal[""]
    name: str
    runs: tuple[Run, ...]
    where: str = ""
    again: bool = False
    left: int = 0


class Strip:
    """Draws rows over one axis; `today` is None where the axis shows a season that is over."""

    def __init__(self, axis: Axis, today: date | None, ascii_only: bool = False) -> None:
        self.axis = axis
        self._today = today if today is not None and axis.holds(today, today) else None
        self._ascii_only = ascii_only

    def buds(self, held: SpeciesStages) -> StripRow:
        """The twig of one species: its stages with their ranges, and their names where there is room."""
        cells = self._empty()
        dated = [stage for stage in held.stages if stage.date is not None]
        for stage in dated:
            if stage.low is not None and stage.high is not None and stage.state == "predicted":
                self._fill(cells, stage.low, stage.high, "ranged")
        self._paint_twig(cells, dated)
        marks: dict[int, StageDate] = {}
        for stage in dated:
            at = self.axis.middle(stage.date) if stage.date is not None else -1
            if 0 <= at < self.axis.columns and (at not in marks or stage.state == "seen" or marks[at].state != "seen"):
                marks[at] = stage
        for at, stage in marks.items():
            cells[at] = (stage_symbol(stage.state, self._ascii_only), f"bud {stage.state}")
        self._name_stages(cells, marks)
        return StripRow(BUDS, held.species, "", held.species, runs_of(cells))

    def parts(self, tasks: Iterable[Task]) -> tuple[tuple[StripRow, tuple[Task, ...]], ...]:
        """Each part that has a job on the axis, in the order of the vocabulary, with those jobs."""
        shown: dict[str, list[Task]] = {part: [] for part in PARTS}
        for task in tasks:
            if self._shows(task):
                shown[task.part].append(task)
        return tuple((self._part(part, own), tuple(own)) for part, own in shown.items() if own)

    def jobs(self, tasks: Iterable[Task]) -> tuple[StripRow, ...]:
        """The rows of these jobs, those of one template beside each other."""
        rows: list[StripRow] = []
        before = ""
        for rounds in _rounds(tasks):
            task = most_pressing(rounds)
            cells = self._empty()
            for each in rounds:
                self._paint_window(cells, each)
            again = task.template == before
            name = plain(task.title)
            rows.append(StripRow(JOB, task.key, task.state, name, runs_of(cells), short_where(task), again))
            before = task.template
        return tuple(rows)

    def _part(self, part: str, tasks: list[Task]) -> StripRow:
        steps = [0] * (self.axis.columns + 1)
        to_do = [0] * (self.axis.columns + 1)
        for task in tasks:
            columns = self.axis.span(task.window.opens, task.window.closes)
            for counts in (steps, to_do) if not _is_over(task) else (steps,):
                if columns:
                    counts[columns.start] += 1
                    counts[columns.stop] -= 1
        cells = self._empty()
        for at, (count, open_count) in enumerate(zip(accumulate(steps), accumulate(to_do), strict=True)):
            if count > 0:
                cells[at] = (height_symbol(count, self._ascii_only), _HEIGHT if open_count else "over")
        left = sum(not _is_over(task) for task in tasks)
        return StripRow(PART, part, most_pressing(tasks).state, part, runs_of(cells), left=left)

    def _paint_window(self, cells: list[tuple[str, str]], task: Task) -> None:
        window = task.window
        over = _is_over(task)
        if window.opens_low is not None and not over:
            self._fill(cells, window.opens_low, window.opens, "allowed")
            if self._today is not None:
                self._mark(cells, self._today, strip_symbol("today", self._ascii_only), "today")
        if not over and window.lapses > window.closes:
            self._fill(cells, window.closes, window.lapses, "late")
        self._fill(cells, window.opens, window.closes, "over" if over else "open")
        if over:
            self._mark(cells, _finished_on(task), task_symbol(task.state, self._ascii_only), task.state)
            return
        if self._today is not None and window.opens <= self._today <= window.lapses:
            self._mark(cells, self._today, strip_symbol("crossed", self._ascii_only), "crossed")
        self._mark(cells, window.best, strip_symbol("best", self._ascii_only), "best")

    def _paint_twig(self, cells: list[tuple[str, str]], stages: list[StageDate]) -> None:
        """The twig grows from the first dated stage until today, or through the last stage of a season that is over."""
        days = [stage.date for stage in stages if stage.date is not None and stage.state in ("seen", "past")]
        if days:
            until = days[-1] if self._today is None else max(self._today, days[-1])
            if until >= days[0]:
                self._fill(cells, days[0], until, "grown")
        if self._today is not None:
            self._mark(cells, self._today, strip_symbol("today", self._ascii_only), "today")

    def _name_stages(self, cells: list[tuple[str, str]], marks: dict[int, StageDate]) -> None:
        places = sorted(marks)
        for at, following in zip(places, [*places, self.axis.columns + 1][1:], strict=True):
            name = f" {plain(marks[at].stage)} "
            if display_width(name) <= following - at - 1:
                cells[at + 1 : at + 1 + len(name)] = [(character, _NAME) for character in name]

    def _shows(self, task: Task) -> bool:
        window = task.window
        if _is_over(task):
            return self.axis.holds(window.opens, max(window.closes, _finished_on(task)))
        return self.axis.holds(window.opens_low or window.opens, window.lapses)

    def _empty(self) -> list[tuple[str, str]]:
        cells = [(" ", "")] * self.axis.columns
        if self._today is not None:
            self._mark(cells, self._today, strip_symbol("today", self._ascii_only), "today")
        return cells

    def _fill(self, cells: list[tuple[str, str]], first: date, last: date, role: str) -> None:
        symbol = strip_symbol(role, self._ascii_only)
        for at in self.axis.span(first, last):
            cells[at] = (symbol, role)

    def _mark(self, cells: list[tuple[str, str]], day: date, symbol: str, role: str) -> None:
        at = self.axis.middle(day)
        if 0 <= at < self.axis.columns:
            cells[at] = (symbol, role)


def most_pressing(tasks: Iterable[Task]) -> Task:
    """The job that presses most; of several, the one that opens first."""
    return min(tasks, key=lambda task: (_URGENCY.index(task.state), task.window.opens, task.key))


def _rounds(tasks: Iterable[Task]) -> list[list[Task]]:
    """The jobs by template and subject, in the order in which templates and then subjects open."""
    held: dict[tuple[str, str], list[Task]] = {}
    opens: dict[str, date] = {}
    for task in tasks:
        held.setdefault((task.template, task.subject), []).append(task)
        opens[task.template] = min(task.window.opens, opens.get(task.template, date.max))
    return [held[key] for key in sorted(held, key=lambda key: (opens[key[0]], key))]


def _is_over(task: Task) -> bool:
    return task.state in (*FINISHED, "missed")


def _finished_on(task: Task) -> date:
    if task.state == "missed":
        return task.window.closes
    return max((unit.done_on for unit in task.units if unit.done_on is not None), default=task.window.closes)


def runs_of(cells: list[tuple[str, str]]) -> tuple[Run, ...]:
    """The (symbol, role) of each column, neighbours of one role taken together."""
    return tuple(
        Run(role, "".join(symbol for symbol, _ in run)) for role, run in groupby(cells, key=lambda cell: cell[1])
    )

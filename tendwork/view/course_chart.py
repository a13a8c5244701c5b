"""Heat or chill as a picture in text: the season's twig grows through the shade of other seasons into what may come.

Drawn here and not by a plot library: the same few characters serve the screen, a copy and a terminal without colours,
and every one of them has a role and a word.
"""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil, floor, log10

from msgspec import Struct

from tendwork.almanac.courses import Courses
from tendwork.almanac.results import SpeciesStages
from tendwork.view.season_axis import Axis, head
from tendwork.view.season_strip import Run, Strip, runs_of
from tendwork.view.symbols import COURSE_MARKS, course_symbol, height_symbol, stage_symbol
from tendwork.view.temperatures import HeldTemperatures, chill_words, heat_factor, heat_words
from tendwork.view.text import padded, wrapped

SCALE_COLUMNS = 6
_TWIG = "▁─▔"  # low, middle and high within a line
_LEAST_ROWS = 3
_TEXT_ROWS = 10
_NEAR_DAYS = 42
_LEAST_DAYS = 90
_DAY = timedelta(days=1)


class Line(Struct, frozen=True):
    """One line of the picture: what stands before it in SCALE_COLUMNS, and its columns."""

    before: str
    runs: tuple[Run, ...]

    @property
    def text(self) -> str:
        return self.before + "".join(run.text for run in self.runs)


def course_axis(courses: Courses, columns: int, near: bool) -> Axis:
    """From the first day of a course to its last, or `near`: only to six weeks from now, in so many columns."""
    days = len(courses.this.sums) + len(courses.to_come)
    if near:
        days = min(days, max(len(courses.this.sums) + _NEAR_DAYS, _LEAST_DAYS))
    return Axis(courses.this.first_day, days, columns)


def course_lines(
    courses: Courses, factor: float, axis: Axis, rows: int, buds: SpeciesStages | None, ascii_only: bool = False
) -> tuple[Line, ...]:
    """The picture in so many rows, `factor` times the sums on its scale, with the buds of one species on the twig."""
    rows = max(rows, _LEAST_ROWS)
    top = _round_top(_highest(courses, axis) * factor)
    picture = _Picture(courses, factor / top, axis, rows, ascii_only)
    picture.shade()
    picture.twig()
    if buds is not None:
        picture.buds(buds)
    scale = {0: top, rows // 2: top / 2, rows - 1: 0.0}
    return tuple(
        Line(padded(f"{scale[row]:g} " if row in scale else " ", SCALE_COLUMNS, right=True), runs_of(cells))
        for row, cells in enumerate(picture.cells)
    )


def foot_lines(
    held: HeldTemperatures, axis: Axis, buds: SpeciesStages | None, ascii_only: bool = False
) -> tuple[Line, ...]:
    """Below the picture: the months, the nights of frost, and one species' buds by name."""
    blank = " " * SCALE_COLUMNS
    lines = [Line(blank, (Run("name", head(axis)),)), Line("frost ", _frosts(held, axis, ascii_only))]
    if buds is not None:
        named = padded(f"{buds.species[: SCALE_COLUMNS - 1]} ", SCALE_COLUMNS)
        lines.append(Line(named, Strip(axis, held.today, ascii_only).buds(buds).runs))
    return tuple(lines)


def pictures_text(
    held: HeldTemperatures,
    buds: SpeciesStages | None,
    units: str,
    columns: int,
    near: bool,
    ascii_only: bool = False,
) -> str:
    """Heat and chill, each with its words, its picture and what stands below it, and what the marks mean."""
    blocks = []
    for name, courses, words, factor in (
        ("Heat", held.heat, heat_words(held.heat, units), heat_factor(units)),
        ("Chill", held.chill, chill_words(held.chill), 1.0),
    ):
        axis = course_axis(courses, columns - SCALE_COLUMNS, near)
        picture = course_lines(courses, factor, axis, _TEXT_ROWS, buds, ascii_only)
        drawn = [line.text.rstrip() for line in (*picture, *foot_lines(held, axis, buds, ascii_only))]
        blocks.append("\n".join([*wrapped(f"{name}: {words}", columns), *drawn]))
    return "\n\n".join([*blocks, "\n".join(wrapped(course_legend(ascii_only), columns))])


def course_legend(ascii_only: bool = False) -> str:
    """What the marks of the picture mean."""
    marks = ", ".join(f"{course_symbol(role, ascii_only)} {mark.word}" for role, mark in COURSE_MARKS.items())
    return f"{marks}; frost: nights at 0 °C or below"


class _Picture:
    """Rows of (symbol, role); `scale` turns a sum into a share of the height."""

    def __init__(self, courses: Courses, scale: float, axis: Axis, rows: int, ascii_only: bool) -> None:
        self.cells = [[(" ", "")] * axis.columns for _ in range(rows)]
        self._courses = courses
        self._scale = scale
        self._axis = axis
        self._rows = rows
        self._ascii_only = ascii_only
        self._held = len(courses.this.sums)

    def shade(self) -> None:
        """The other seasons from the least to the most, and over them the range of what is to come."""
        for column in range(self._axis.columns):
            at = self._last_index(column)
            others = [course.sums[min(at, len(course.sums) - 1)] for course in self._courses.others if course.sums]
            if others:
                self._fill(column, min(others), max(others), "others")
            if at >= self._held:
                _, low, high = self._courses.to_come[at - self._held]
                self._fill(column, low, high, "range")

    def twig(self) -> None:
        """This season so far, and the middle of what is to come."""
        before = None
        for column in range(self._axis.columns):
            at = self._last_index(column)
            row, third = self._place(self._value(at))
            role = "this" if at < self._held else "ahead"
            symbol = _TWIG[third] if role == "this" and not self._ascii_only else course_symbol(role, self._ascii_only)
            self.cells[row][column] = (symbol, role)
            if before is not None:
                for between in range(row + 1, before):
                    self.cells[between][column] = ("|" if self._ascii_only else "│", role)
            before = row

    def buds(self, held: SpeciesStages) -> None:
        """Each dated stage on the twig, at the sum of its day."""
        for stage in held.stages:
            if stage.date is None or not self._axis.holds(stage.date, stage.date):
                continue
            column = self._axis.middle(stage.date)
            row, _ = self._place(self._value(self._last_index(column)))
            self.cells[row][column] = (stage_symbol(stage.state, self._ascii_only), f"bud {stage.state}")

    def _last_index(self, column: int) -> int:
        return (self._axis.days_of(column)[1] - self._axis.first).days

    def _value(self, at: int) -> float:
        courses = self._courses
        return courses.this.sums[at] if at < self._held else courses.to_come[at - self._held][0]

    def _place(self, value: float) -> tuple[int, int]:
        """The row from the top, and the third of it from below."""
        thirds = min(floor(value * self._scale * self._rows * 3), self._rows * 3 - 1)
        return self._rows - 1 - thirds // 3, thirds % 3

    def _fill(self, column: int, low: float, high: float, role: str) -> None:
        symbol = course_symbol(role, self._ascii_only)
        for row in range(self._place(high)[0], self._place(low)[0] + 1):
            self.cells[row][column] = (symbol, role)


def _frosts(held: HeldTemperatures, axis: Axis, ascii_only: bool) -> tuple[Run, ...]:
    """How many nights of each column fell to 0 °C or below at the orchard, as heights."""
    cells = []
    for column in range(axis.columns):
        first, last = axis.days_of(column)
        days = [first + step * _DAY for step in range((last - first).days + 1)]
        count = sum(_is_frost(held, day) for day in days)
        cells.append((height_symbol(count, ascii_only), "frost" if count else ""))
    return runs_of(cells)


def _is_frost(held: HeldTemperatures, day: date) -> bool:
    found = None if held.series is None else held.series.day(day)
    return found is not None and day <= held.today and found[0] - held.colder_by_c <= 0


def _highest(courses: Courses, axis: Axis) -> float:
    """The highest sum on the axis."""
    ends = [course.sums[: axis.days][-1] for course in (*courses.others, courses.this) if course.sums]
    ahead = courses.to_come[: max(axis.days - len(courses.this.sums), 0)]
    return max([*ends, *(high for _, _, high in ahead[-1:])], default=0.0)


def _round_top(highest: float) -> float:
    """A round number at or above the highest sum."""
    if highest <= 0:
        return 1.0
    step = 10.0 ** floor(log10(highest)) / 2
    return ceil(highest / step) * step

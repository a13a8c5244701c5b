"""One course, heat or chill: what it comes to in words, its picture, and months, frosts and buds below."""

from __future__ import annotations

from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from tendwork.almanac.courses import Courses
from tendwork.almanac.results import SpeciesStages
from tendwork.dashboard.theme import STAGE_STYLES
from tendwork.view.course_chart import SCALE_COLUMNS, course_axis, course_lines, foot_lines
from tendwork.view.temperatures import HeldTemperatures, course_heading, heat_factor
from tendwork.view.text import wrapped

HEAT, CHILL = "heat", "chill"

_STYLES = {
    "": "",
    "this": "bold $blossom",
    "ahead": "bold $blossom",
    "range": "$open",
    "others": "$faint",
    "frost": "$waiting",
    "name": "$faint",
    "today": "$blossom",
    "grown": "$blossom",
    "ranged": "$faint",
    **{f"bud {state}": style for state, style in STAGE_STYLES.items()},
}


class CoursePicture(Static):
    """As high as there is room; the buds are those of one species."""

    def __init__(self, course: str, ascii_only: bool) -> None:
        super().__init__(id=course, markup=False)
        self._course = course
        self._ascii_only = ascii_only
        self._shown: tuple[HeldTemperatures, SpeciesStages | None, str, bool] | None = None

    def show(self, held: HeldTemperatures, buds: SpeciesStages | None, units: str, near: bool) -> None:
        """Show the course of what is held, near today or whole."""
        self._shown = (held, buds, units, near)
        self._draw()

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def _draw(self) -> None:
        columns, height = self.content_region.width, self.content_region.height
        if self._shown is None or columns <= SCALE_COLUMNS:
            return
        held, buds, units, near = self._shown
        courses: Courses = held.heat if self._course == HEAT else held.chill
        heading = wrapped(course_heading(self._course, courses, units), columns)
        axis = course_axis(courses, columns - SCALE_COLUMNS, near)
        factor = heat_factor(units) if self._course == HEAT else 1.0
        foot = foot_lines(held, axis, buds, self._ascii_only)
        rows = height - len(heading) - len(foot)
        lines = [
            Content.assemble((line.before, "$faint"), *((run.text, _STYLES[run.role]) for run in line.runs))
            for line in (*course_lines(courses, factor, axis, rows, buds, self._ascii_only), *foot)
        ]
        self.update(Content("\n").join([Content.styled("\n".join(heading), "bold"), *lines]))

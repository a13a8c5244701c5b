"""A state is always a symbol and a word, never a hue alone: the one table of both.

Symbols are one column wide. A hollow mark is open, a fuller one presses more; a bud fills as its stage grows certain.
The ASCII mark stands in where the terminal has no better.
"""

from __future__ import annotations

from msgspec import Struct

from tendwork.almanac.results import StageState
from tendwork.planning.results import TaskState


class Mark(Struct, frozen=True):
    """How one state is shown: `symbol` in one column, `ascii` where only ASCII can be shown, `word` beside either."""

    symbol: str
    ascii: str
    word: str


TASK_MARKS: dict[TaskState, Mark] = {
    "late": Mark("◆", "!", "late"),
    "closing": Mark("◈", "@", "closing"),
    "open": Mark("◇", "o", "open"),
    "waiting": Mark("≈", "~", "waiting for weather"),
    "held": Mark("⊘", "H", "held back"),
    "coming": Mark("▷", ">", "coming"),
    "done": Mark("✓", "+", "done"),
    "skipped": Mark("−", "-", "skipped"),
    "missed": Mark("×", "x", "missed"),
}

STAGE_MARKS: dict[StageState, Mark] = {
    "seen": Mark("●", "#", "seen"),
    "past": Mark("◐", "=", "estimate"),
    "predicted": Mark("○", "o", "to come"),
    "unreached": Mark("·", ".", "no date"),
}

STRIP_MARKS: dict[str, Mark] = {
    "allowed": Mark("┈", ".", "the buds may allow it"),
    "open": Mark("━", "=", "open"),
    "best": Mark("▲", "^", "best day"),
    "late": Mark("╌", "-", "late, still worth doing"),
    "over": Mark("─", "_", "done or over"),
    "today": Mark("│", "|", "today"),
    "crossed": Mark("┿", "%", "today, within a window"),
    "grown": Mark("─", "-", "a twig grown until today"),
    "ranged": Mark("┈", ".", "the range of a bud stage"),
}

COURSE_MARKS: dict[str, Mark] = {
    "this": Mark("─", "*", "this season"),
    "ahead": Mark("╌", "-", "to come"),
    "range": Mark("▒", ":", "its range in 8 years of 10"),
    "others": Mark("░", ".", "all other seasons"),
}

DAY_MARKS: dict[str, Mark] = {
    "known": Mark("━", "=", "measured or forecast"),
    "usual": Mark("─", "-", "usual"),
    "range": Mark("┈", ".", "its range in 8 years of 10"),
    "freezing": Mark("│", "|", "0 °C"),
}

_HEIGHTS = " ▁▂▃▄▅▆▇█"
_HEIGHT_DIGITS = " 123456789"
HEIGHT_STAND_INS = dict(zip(_HEIGHTS, _HEIGHT_DIGITS, strict=False))
"""The digit for each height of a bar, where only ASCII can be shown."""


def strip_symbol(role: str, ascii_only: bool = False) -> str:
    """The mark of one column of the season's strip."""
    mark = STRIP_MARKS[role]
    return mark.ascii if ascii_only else mark.symbol


def course_symbol(role: str, ascii_only: bool = False) -> str:
    """The mark of one place in a picture of heat or chill."""
    mark = COURSE_MARKS[role]
    return mark.ascii if ascii_only else mark.symbol


def day_symbol(role: str, ascii_only: bool = False) -> str:
    """The mark of one column of a day's temperatures."""
    mark = DAY_MARKS[role]
    return mark.ascii if ascii_only else mark.symbol


def height_symbol(count: int, ascii_only: bool = False) -> str:
    """How many, as a bar of eighths, or as a digit where only ASCII can be shown; the highest stands for more, too."""
    marks = _HEIGHT_DIGITS if ascii_only else _HEIGHTS
    return marks[min(count, len(marks) - 1)]


def task_symbol(state: TaskState, ascii_only: bool = False) -> str:
    """The mark of a task or unit in this state."""
    mark = TASK_MARKS[state]
    return mark.ascii if ascii_only else mark.symbol


def stage_symbol(state: StageState, ascii_only: bool = False) -> str:
    """The mark of a bud stage in this state."""
    mark = STAGE_MARKS[state]
    return mark.ascii if ascii_only else mark.symbol

"""A state is always a symbol and a word, never a hue alone: the one table of both.

Symbols are one column wide. A hollow mark is open, a fuller one presses more; a bud fills as its stage grows certain.
The ASCII mark stands in where the terminal has no better.
"""

from __future__ import annotations

from msgspec import Struct


class Mark(Struct, frozen=True):
    """How one state is shown: `symbol` in one column, `ascii` where only ASCII can be shown, `word` beside either."""

    symbol: str
    ascii: str
    word: str


TASK_MARKS: dict[str, Mark] = {
    "late": Mark("◆", "!", "late"),
    "closing": Mark("◈", "@", "closing"),
    "open": Mark("◇", "o", "open"),
    "waiting": Mark("≈", "~", "waiting for weather"),
    "coming": Mark("▷", ">", "coming"),
    "done": Mark("✓", "+", "done"),
    "skipped": Mark("−", "-", "skipped"),
    "missed": Mark("×", "x", "missed"),
}

STAGE_MARKS: dict[str, Mark] = {
    "seen": Mark("●", "#", "seen"),
    "past": Mark("◐", "=", "reckoned"),
    "predicted": Mark("○", "o", "to come"),
    "unreached": Mark("·", ".", "no date"),
}


def task_symbol(state: str, ascii_only: bool = False) -> str:
    """The mark of a task or unit in this state."""
    mark = TASK_MARKS[state]
    return mark.ascii if ascii_only else mark.symbol


def stage_symbol(state: str, ascii_only: bool = False) -> str:
    """The mark of a bud stage in this state."""
    mark = STAGE_MARKS[state]
    return mark.ascii if ascii_only else mark.symbol

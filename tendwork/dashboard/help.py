"""The help page, made from the action table and the table of marks."""

from __future__ import annotations

from tendwork.dashboard.actions import ACTIONS, key_words
from tendwork.view.symbols import STAGE_MARKS, TASK_MARKS, stage_symbol, task_symbol
from tendwork.view.text import padded, wrapped

_KEY_COLUMNS = 12
_MOVES = (
    ("up, down", "Go from job to job, or from unit to unit."),
    ("enter", "Go into the chosen job, to its units; on a unit, tick it."),
    ("escape", "Go back to the list of jobs; there, show all jobs again."),
    ("ctrl+p", "The palette: every action and every job of the week by name."),
)
_MOUSE = (
    "Everything works by mouse alone: press a job to choose it, press it again to go to its units, press a unit twice "
    "to tick it; the words of the top and bottom lines can be pressed too. To select text as the terminal does, hold "
    "shift while you drag. Copying goes through the terminal (OSC 52); inside tmux it needs `set -g set-clipboard on`."
)


def help_text(columns: int, ascii_only: bool) -> str:
    """The whole page in so many columns."""
    lines = ["Keys"]
    for keys, words in (*((key_words(action), action.help) for action in ACTIONS), *_MOVES):
        lines += wrapped(words, columns, f"  {padded(keys, _KEY_COLUMNS)}")
    lines += ["", "Marks of jobs and units"]
    lines += [f"  {task_symbol(state, ascii_only)} {mark.word}" for state, mark in TASK_MARKS.items()]
    lines += ["", "Marks of buds"]
    lines += [f"  {stage_symbol(state, ascii_only)} {mark.word}" for state, mark in STAGE_MARKS.items()]
    return "\n".join([*lines, "", "Mouse and copying", *wrapped(_MOUSE, columns, "  ")])

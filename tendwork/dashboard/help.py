"""The help page, made from the action table and the table of marks."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.dashboard.actions import EVERYWHERE, Keys, key_words, place_words
from tendwork.dashboard.moves import Moves
from tendwork.view.bloom import BLOOM_MARKS
from tendwork.view.choosing_rows import CHOICE_MARKS, WEEK_MARKS
from tendwork.view.crown import GRAFT_MARKS, HEIGHT_MARKS, UNKNOWN_HEIGHT
from tendwork.view.fruit import RIPE_MARKS
from tendwork.view.places import PLACE_MARKS
from tendwork.view.ripening import BARE_WEEK, FRUIT_WEEK_MARKS, NO_FRUIT, TODAY_LINE
from tendwork.view.symbols import STAGE_MARKS, STRIP_MARKS, TASK_MARKS, stage_symbol, strip_symbol, task_symbol
from tendwork.view.template_rows import TEMPLATE_MARKS, template_symbol
from tendwork.view.text import padded, wrapped
from tendwork.view.wood import WOOD_MARKS
from tendwork.view.wood_balance import BALANCE_MARKS

_KEY_COLUMNS = 12
_RECORD_MARKS = {
    "Marks of grafts": tuple(GRAFT_MARKS.values()),
    "Marks of height": (*(mark for _, mark in HEIGHT_MARKS), UNKNOWN_HEIGHT),
    "Marks of wood": tuple(WOOD_MARKS.values()),
    "Marks of the balance": tuple(BALANCE_MARKS.values()),
    "Marks of fruit": tuple(RIPE_MARKS.values()),
    "Marks of the year's fruit": (*FRUIT_WEEK_MARKS.values(), BARE_WEEK, NO_FRUIT, TODAY_LINE),
    "Marks of bloom": tuple(BLOOM_MARKS.values()),
    "Marks of places": tuple(PLACE_MARKS.values()),
    "Marks of what to graft where": tuple(CHOICE_MARKS.values()),
    "Marks of its weeks": tuple(WEEK_MARKS.values()),
}
_MOUSE = (
    "Everything works by mouse alone: press a job to choose it, press it again to go to its units, press a unit twice "
    "to tick it; press a record twice for all that can be done with it, and its left edge to mark it; the words of the "
    "top and bottom lines can be pressed too, and 'all' among them lists everything that can be done. To select text "
    "as the terminal does, hold shift while you drag. Copying goes through the terminal (OSC 52); inside tmux it needs "
    "`set -g set-clipboard on`."
)


def help_text(keys: Keys, here: tuple[str, ...], moves: Moves | None, columns: int, ascii_only: bool) -> str:
    """The whole page in so many columns: where the cursor is, the places `here`, then everything else."""
    lines = [] if moves is None else [f"Here: {moves.name}", *_key_lines(moves.keys, columns), ""]
    places = dict.fromkeys((*here, EVERYWHERE, *(action.on for action in keys.actions)))
    for place in places:
        held = [(key_words(action), action.help) for action in keys.on(place)]
        lines += [place_words(place), *_key_lines(held, columns), ""]
    lines += ["Marks of jobs and units"]
    lines += [f"  {task_symbol(state, ascii_only)} {mark.word}" for state, mark in TASK_MARKS.items()]
    lines += ["", "Marks of buds"]
    lines += [f"  {stage_symbol(state, ascii_only)} {mark.word}" for state, mark in STAGE_MARKS.items()]
    lines += ["", "Marks of the season's strip"]
    lines += [f"  {strip_symbol(role, ascii_only)} {mark.word}" for role, mark in STRIP_MARKS.items()]
    lines += ["", "Marks of templates"]
    lines += [f"  {template_symbol(state, ascii_only)} {mark.word}" for state, mark in TEMPLATE_MARKS.items()]
    for name, marks in _RECORD_MARKS.items():
        lines += ["", name, *(f"  {mark.ascii if ascii_only else mark.symbol} {mark.word}" for mark in marks)]
    return "\n".join([*lines, "", "Mouse and copying", *wrapped(_MOUSE, columns, "  ")])


def _key_lines(keys: Iterable[tuple[str, str]], columns: int) -> list[str]:
    return [line for key, words in keys for line in wrapped(words, columns, f"  {padded(key, _KEY_COLUMNS)}")]

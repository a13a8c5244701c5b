"""The templates as rows by part of the year: what each waits for, and how it stands this season."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from itertools import groupby
from typing import Literal

from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.planning.adjustments import words as adjustment_words
from tendwork.planning.preview import Move
from tendwork.planning.results import TaskState
from tendwork.planning.vocabulary import PARTS, Part, Template
from tendwork.view.symbols import Mark
from tendwork.view.template_words import laid_over, opening_words
from tendwork.view.text import plain
from tendwork.view.words import counted, in_units

TemplateState = Literal["unsaved", "left out", "adjusted", "absent", "kept"]
TEMPLATE_MARKS: dict[TemplateState, Mark] = {
    "unsaved": Mark("✎", "?", "unsaved"),
    "left out": Mark("⊘", "x", "left out"),
    "adjusted": Mark("±", "*", "adjusted"),
    "absent": Mark("▫", ".", "absent"),
    "kept": Mark("▪", "#", "as written"),
}


class LeftOutSaid(Struct, frozen=True):
    """What is left out of a template, in words, and whether it gives no job at all in this season."""

    words: str = ""
    whole: bool = False


_NONE: dict[str, LeftOutSaid] = {}


class TemplateRow(Struct, frozen=True):
    """One template in a list: `states` as keys of TEMPLATE_MARKS, the most telling first, and why it is absent."""

    id: str
    title: str
    waits_for: str
    states: tuple[TemplateState, ...]
    condition: str

    @property
    def state_word(self) -> str:
        """The most telling state; empty for a template that is as written."""
        return "" if self.states[0] == "kept" else TEMPLATE_MARKS[self.states[0]].word


class MoveGroup(Struct, frozen=True):
    """Windows that move, of one kind; `state` is the task state whose hue goes with it."""

    name: str
    state: TaskState
    moves: tuple[Move, ...]


class TemplateGroup(Struct, frozen=True):
    """The templates of one part of the year."""

    part: Part
    rows: tuple[TemplateRow, ...]


def template_groups(
    templates: Iterable[Template],
    saved: Adjustments,
    now: Adjustments,
    absences: Mapping[str, str],
    season: Season,
    words: str = "",
    left_out: Mapping[str, LeftOutSaid] = _NONE,
    only_left_out: bool = False,
) -> tuple[TemplateGroup, ...]:
    """Every template that has all of the person's `words` in it, by part of the year. `now` may not be saved yet.

    `left_out` says by template what is left out of it.
    """
    wanted = words.casefold().split()
    ordered = sorted(templates, key=lambda template: PARTS.index(template.part))
    groups = []
    for part, held in groupby(ordered, key=lambda template: template.part):
        rows = [
            _row(template, saved, now, absences, season, left_out.get(template.id, LeftOutSaid()))
            for template in held
            if not only_left_out or template.id in left_out
        ]
        kept = tuple(row for row in rows if _has(row, part, wanted))
        if kept:
            groups.append(TemplateGroup(part, kept))
    return tuple(groups)


def states_of(
    identity: str, saved: Adjustments, now: Adjustments, absent: bool, left_out: bool = False
) -> tuple[TemplateState, ...]:
    """How a template stands: unsaved, left out, adjusted, absent this season; else kept as it is written."""
    change, was = now.template.get(identity, Adjustment()), saved.template.get(identity, Adjustment())
    states: list[TemplateState] = ["unsaved"] if change != was else []
    out = change.off or left_out
    states += ["left out"] if out else ["adjusted"] if adjustment_words(change) else []
    states += ["absent"] if absent and not out else []
    return tuple(states) or ("kept",)


def template_symbol(state: TemplateState, ascii_only: bool = False) -> str:
    """The mark of a template in this state."""
    mark = TEMPLATE_MARKS[state]
    return mark.ascii if ascii_only else mark.symbol


def count_words(groups: Iterable[TemplateGroup]) -> str:
    """ "93 templates, 2 adjusted, 1 left out, 24 absent this season"."""
    rows = [row for group in groups for row in group.rows]
    parts = [counted(len(rows), "template")]
    for state, said in (("adjusted", "adjusted"), ("left out", "left out"), ("absent", "absent this season")):
        number = sum(state in row.states for row in rows)
        parts += [f"{number} {said}"] if number else []
    return ", ".join(parts)


def shift_words(shift: SiteShift, units: str) -> str:
    """The site against its temperatures: "1.5 °C colder", "120 m lower", "4 days ahead"; empty for no shift."""
    if shift.degrees_c:
        size = abs(shift.degrees_c)
        amount = f"{size * 1.8:.1f} °F" if units == "us" else f"{size:g} °C"
        return f"{amount} {'colder' if shift.degrees_c > 0 else 'warmer'}"
    if shift.elevation_m:
        amount = in_units(f"{abs(shift.elevation_m):g} m", units)
        return f"{amount} {'higher' if shift.elevation_m > 0 else 'lower'}"
    if shift.days:
        size = abs(shift.days)
        return f"{size:g} {'day' if size == 1 else 'days'} {'behind' if shift.days > 0 else 'ahead'}"
    return ""


def move_days(move: Move) -> tuple[str, str]:
    """By how many days its opening and its closing move, each "+9 d", "-3 d", "same" or empty."""
    if move.before is None or move.after is None:
        return "", ""
    opens, closes = ((after - before).days for before, after in zip(move.before, move.after, strict=True))
    return _signed(opens), _signed(closes)


def move_groups(moves: Iterable[Move], today: date) -> tuple[MoveGroup, ...]:
    """First what enters or leaves this week, then the other windows, at last those that are over either way."""
    held = tuple(moves)
    over = [move for move in held if all(ends is None or ends[1] < today for ends in (move.before, move.after))]
    rest = [move for move in held if not move.week and move not in over]
    groups = (
        MoveGroup("Enters this week", "open", tuple(move for move in held if move.week == "enters")),
        MoveGroup("Leaves this week", "closing", tuple(move for move in held if move.week == "leaves")),
        MoveGroup("Moves", "coming", tuple(rest)),
        MoveGroup("Closed by now, before and after", "done", tuple(move for move in over if not move.week)),
    )
    return tuple(group for group in groups if group.moves)


def moves_sentence(moves: Iterable[Move]) -> str:
    """ "12 windows of this season move; 3 jobs enter this week, 1 leaves it."."""
    held = tuple(moves)
    if not held:
        return "No window of this season moves."
    moved = sum(move.before != move.after for move in held)
    said = f"{counted(moved, 'window')} of this season move{'s' if moved == 1 else ''}"
    enters, leaves = (sum(move.week == word for move in held) for word in ("enters", "leaves"))
    parts = [f"{counted(enters, 'job')} enter{'s' if enters == 1 else ''} this week"] if enters else []
    parts += (
        [f"{counted(leaves, 'job')} leave{'s' if leaves == 1 else ''} {'it' if enters else 'this week'}"]
        if leaves
        else []
    )
    return f"{said}; {', '.join(parts)}." if parts else f"{said}."


def _row(
    template: Template,
    saved: Adjustments,
    now: Adjustments,
    absences: Mapping[str, str],
    season: Season,
    left_out: LeftOutSaid,
) -> TemplateRow:
    change = now.template.get(template.id, Adjustment())
    condition = absences.get(template.id, "")
    return TemplateRow(
        template.id,
        plain(template.title),
        opening_words(laid_over(template, change), season),
        states_of(template.id, saved, now, bool(condition), left_out.whole),
        left_out.words or condition,
    )


def _has(row: TemplateRow, part: str, words: list[str]) -> bool:
    text = f"{row.id} {row.title} {part} {row.waits_for} {' '.join(row.states)} {row.condition}".casefold()
    return all(word in text for word in words)


def _signed(days: int) -> str:
    return f"{days:+d} d" if days else "same"

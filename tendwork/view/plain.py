"""Plain text tables of everything that can be read: what the commands print, and the view for who has no screen.

Every function takes the columns of the page and gives text without a trailing newline.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from itertools import groupby

from tendwork.almanac.results import SpeciesStages, StageDate
from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.graft_species import stock_words, variety_words
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.tree_history import tree_history
from tendwork.orchard.tree_size import crown_reaches_m, crown_width_m
from tendwork.orchard.unions import hints, tree_hint
from tendwork.planning.coming_back import ComingBack
from tendwork.planning.plan_diff import PlanDiff
from tendwork.planning.results import Gap, Plan, Task, WrapOn
from tendwork.planning.states import FINISHED
from tendwork.planning.vocabulary import Card
from tendwork.view.coming_back import back_line
from tendwork.view.folding import Folded, folded, folded_words
from tendwork.view.job import (
    caution_sentences,
    reason_sentences,
    rounds_words,
    sentence,
    unit_words,
    window_sentence,
)
from tendwork.view.news import changes_line
from tendwork.view.stake_words import missed_words
from tendwork.view.symbols import STAGE_MARKS, stage_symbol, task_symbol
from tendwork.view.text import clipped, display_width, padded, plain, wrapped
from tendwork.view.week import Group, WeekRow, held_words, next_sentence, row_of, to_do_words, week_groups
from tendwork.view.words import (
    away_words,
    counted,
    format_day,
    full_day,
    in_units,
    minutes_words,
    month_words,
    span_words,
)
from tendwork.view.wraps import gap_sentences, wraps_sentence

_LEAST_COLUMNS = 40
_NAME_COLUMNS = 44
_INDENT = "    "


def week_text(
    tasks: tuple[Task, ...],
    today: date,
    site_name: str,
    words: Iterable[str],
    width: int,
    ascii_only: bool = False,
    changed: PlanDiff | None = None,
    following: Task | None = None,
    wraps: Sequence[WrapOn] = (),
    gaps: Iterable[Gap] = (),
    back: ComingBack | None = None,
    folds: bool = False,
) -> str:
    """This week's jobs in groups of urgency, the next one said first, each with the key that `tick` and `why` take.

    Who comes `back` after weeks is told that, and not all that has `changed`. Where it `folds`, what is beyond a dozen
    lines to do now and can wait is one line.
    """
    lines = [f"{plain(site_name)}, {full_day(today)}: {to_do_words(tasks, today)} to do."]
    lines += wrapped(next_sentence(tasks, today, following), _columns(width), "Next: ")
    if back is not None:
        lines += wrapped(back_line(back, today), _columns(width))
    elif changed is not None:
        lines += wrapped(changes_line(changed, today), _columns(width))
    groups = week_groups(tasks, today)
    held = folded(groups) if folds else Folded(groups, (), ())
    lines += _group_lines(held.now, width, ascii_only)
    if held.folded:
        told = f"and {folded_words(held.folded)}: `tendwork week --all` lists them"
        lines += ["", *wrapped(told, _columns(width), "  ")]
    lines += _group_lines(held.after, width, ascii_only)
    if wraps:
        lines += ["", *wrapped(f"{wraps_sentence(wraps, today)} `tendwork wraps` lists them.", _columns(width))]
    words = (*gap_sentences(gaps, today), *words)
    notes = [line for note in words for line in wrapped(plain(note), _columns(width), "  - ")]
    return "\n".join([*lines, *(["", "To know:", *notes] if notes else [])])


def _group_lines(groups: Iterable[Group], width: int, ascii_only: bool) -> list[str]:
    lines: list[str] = []
    for group in groups:
        lines += ["", group.name]
        for row in group.rows:
            lines += _job_lines(row, width, ascii_only)
    return lines


def season_text(
    plan: Plan, stages: Iterable[SpeciesStages], season: Season, width: int, ascii_only: bool = False
) -> str:
    """The season as a strip, then every job of it under the month in which it opens."""
    from tendwork.view.season_page import season_strip_text

    lines = [f"Season {plan.season}, as of {full_day(plan.today)}: {counted(len(plan.tasks), 'job')}."]
    lines += ["", season_strip_text(plan, stages, season, width, ascii_only)]
    for _, group in groupby(plan.tasks, key=lambda task: (task.window.opens.year, task.window.opens.month)):
        tasks = tuple(group)
        lines += ["", month_words(tasks[0].window.opens)]
        for task in tasks:
            span = span_words(task.window.opens, task.window.closes)
            lines += _job_lines(row_of(task, plan.today), width, ascii_only, f"{span}, {task.state}")
    return "\n".join(lines)


def _job_lines(row: WeekRow, width: int, ascii_only: bool, when: str = "") -> list[str]:
    """Title, when, units and minutes in one line, and in the next the place and the key, which is never clipped.

    The parts of a visit follow, each with the word that names it beside the visit's key.
    """
    minutes = minutes_words(row.minutes) if row.minutes else ""
    cells = (
        padded(when or row.until, 24 if when else 14),
        padded(row.amount, 7, right=True),
        padded(minutes, 7, right=True),
    )
    end = "  " + "  ".join(cells)
    key = plain(row.key)
    room = _columns(width) - display_width(end)
    head = clipped(f"  {task_symbol(row.state, ascii_only)} {row.title}", room - len(row.more)) + row.more
    where = padded(_INDENT + row.where, min(room, _columns(width) - display_width(key) - 2))
    held = wrapped(row.held_by, _columns(width), f"{_INDENT}Held back: ", _INDENT) if row.held_by else []
    beside = [line for words in row.beside for line in wrapped(words, _columns(width), _INDENT, _INDENT)]
    if row.state in FINISHED:
        names = "; ".join(f"{part.title} ({plain(part.key.partition('/')[0])})" for part in row.parts)
        parts = wrapped(names, _columns(width), f"{_INDENT}- ", f"{_INDENT}  ") if names else []
    else:
        parts = [line for part in row.parts for line in _part_lines(part, row, width)]
    return [padded(head, room) + end.rstrip(), f"{where}  {key}", *held, *beside, *parts]


def _part_lines(part: WeekRow, row: WeekRow, width: int) -> list[str]:
    """ "- Slit tape on apple and pear grafts: 4 left, 9 min, until 2 Jun (wraps-tape-pome)"."""
    said = [part.amount, minutes_words(part.minutes) if part.minutes else "", part.until]
    trees = f", {part.where}" if part.where != row.where else ""
    later = "later: " if part.later else ""
    words = f"{later}{part.title}{trees}: {', '.join(filter(None, said))} ({plain(part.key.partition('/')[0])})"
    return wrapped(words, _columns(width), f"{_INDENT}- ", f"{_INDENT}  ")


def stages_text(
    stages: Iterable[SpeciesStages], today: date, width: int, ascii_only: bool = False, why: bool = False
) -> str:
    """The bud stages of each species: seen, calculated as past or to come, with the 80 % range.

    With `why`, also what the next stage to come is calculated from.
    """
    blocks = []
    for held in stages:
        lines = [held.species]
        for stage in held.stages:
            mark = STAGE_MARKS[stage.state]
            cells = (
                f"  {stage_symbol(stage.state, ascii_only)} {padded(stage.stage, 15)}",
                f"{stage.bbch:02d}",
                padded(mark.word, 8),
                "" if stage.date is None else padded(format_day(stage.date, today), 15),
                padded(_stage_range(stage), 13),
                "" if stage.date is None else away_words(stage.date, today),
            )
            lines.append(padded("  ".join(cells), _columns(width)).rstrip())
        if why:
            coming = next((stage for stage in held.stages if stage.state == "predicted"), held.stages[-1])
            reasons = " ".join(map(sentence, coming.because))
            lines += wrapped(reasons, _columns(width), f"  {coming.stage.capitalize()}: ", _INDENT)
        blocks.append("\n".join(lines))
    legend = "BBCH codes beside the names; the range holds the day in 8 years of 10."
    return "\n\n".join([*blocks, "\n".join(wrapped(legend, _columns(width)))])


def _stage_range(stage: StageDate) -> str:
    if stage.low is None or stage.high is None or stage.low == stage.high:
        return ""
    return span_words(stage.low, stage.high)


def why_text(
    task: Task,
    cards: Mapping[str, Card],
    today: date,
    width: int,
    units: str = "metric",
    ascii_only: bool = False,
) -> str:
    """Everything about one job: when and why, what to do, on which units, with which cautions, and who says so."""
    row = row_of(task, today)
    columns = _columns(width)
    lines = [
        *wrapped(f"{row.title}, {row.where}", columns, f"{task_symbol(task.state, ascii_only)} "),
        f"  {plain(task.key)} ({task.part}, {task.state})",
        "",
    ]
    sections = (
        ("When", [window_sentence(task, today), *([rounds] if (rounds := rounds_words(task, today)) else [])]),
        ("If missed", [f"{missed_words(task.stake, task.loss)}."]),
        ("Held back", [held] if (held := held_words(task)) else []),
        ("Mind", list(row.beside)),
        ("Why", [reason for reason in reason_sentences(task) if reason not in held]),
        ("Weather", [in_units(task.weather_words, units)] if task.weather_words else []),
        ("Steps", [f"{number}. {plain(step)}" for number, step in enumerate(task.steps, 1)]),
        ("Caution", list(caution_sentences(task, cards, units))),
        ("Tools", [", ".join(map(plain, task.tools))] if task.tools else []),
        ("Minutes", [minutes_words(task.minutes)] if task.minutes else []),
        ("Units", [f"{task_symbol(unit.state, ascii_only)} {unit_words(unit, today, units)}" for unit in task.units]),
        ("Outcomes", [", ".join(map(plain, task.outcomes))]),
        ("Source", [plain(task.source)]),
    )
    for name, entries in sections:
        for position, entry in enumerate(entries):
            lines += wrapped(entry, columns, f"  {name if position == 0 else '':<9} ", " " * 12)
    return "\n".join(lines)


def why_visit_text(
    tasks: Iterable[Task],
    cards: Mapping[str, Card],
    today: date,
    width: int,
    units: str = "metric",
    ascii_only: bool = False,
) -> str:
    """The same of each job that a visit joins."""
    return "\n\n".join(why_text(task, cards, today, width, units, ascii_only) for task in tasks)


def as_of_words(day: date, today: date, south: bool) -> str:
    """Of which other day a job is told: the last one of a season that is over, or the first one of the next."""
    season = season_of(day, south).name
    if day < today:
        return f"As it stood on {full_day(day)}, the last day of season {season}."
    return f"As it will stand on {full_day(day)}, the first day of season {season}, if nothing changes until then."


def trees_text(records: Records, width: int, today: date, units: str = "metric") -> str:
    """Each tree, what was noted on it, and the grafts on it, the lowest first."""
    if not records.trees:
        return "No tree is recorded yet. `tendwork bring trees.csv --as trees` brings them in."
    blocks = []
    for tree in records.trees:
        grafts = [graft for graft in records.grafts if graft.tree == tree.id]
        lines = wrapped(tree_heading(tree, grafts), _columns(width))
        lines += [f"  {crown_sentence(tree, units)}"] if (tree.height_m, tree.spread_m) != (None, None) else []
        lines += wrapped(plain(tree.note), _columns(width), "  Note: ", _INDENT) if tree.note else []
        for hint in filter(None, (tree_hint(tree, today), *hints(records, grafts, today))):
            lines += wrapped(plain(hint), _columns(width), "  ", "  ")
        for event in tree_history(records, tree):
            day = "" if event.day is None else full_day(event.day)
            lines += wrapped(plain(event.words), _columns(width), f"  {day}  ", _INDENT)
        lines += [graft_line(graft, tree, _columns(width), units) for graft in sorted(grafts, key=graft_order)]
        blocks.append("\n".join(line.rstrip() for line in lines))
    return "\n\n".join(blocks)


def crown_sentence(tree: Tree, units: str) -> str:
    """ "Its crown reaches 4.5 m and is 3 m wide."."""
    reaches_m, wide_m = crown_reaches_m(tree), crown_width_m(tree)
    high = "" if reaches_m is None else f"Its crown reaches {in_units(f'{reaches_m:g} m', units)}"
    wide = "" if wide_m is None else f"is {in_units(f'{wide_m:g} m', units)} wide"
    if high:
        return f"{high} and {wide}." if wide else f"{high}."
    noted = "" if tree.height_m is None else f", for {in_units(f'{tree.height_m:g} m', units)} is no crown's height"
    not_noted = f"How high its crown reaches is not {'known' if noted else 'noted'}{noted}"
    return f"{not_noted}; it {wide}." if wide else f"{not_noted}."


def tree_heading(tree: Tree, grafts: Sequence[Graft]) -> str:
    """ "Old Tom (t1): apple on MM106, planted 1998, by the gate; 40 grafts"."""
    stock = stock_words(tree)
    of = f"{tree.species} on {stock}" if tree.stock else ", ".join(filter(None, (tree.species, stock)))
    planted = "" if tree.planted is None else f"planted {tree.planted}"
    crown = "" if tree.crown_since is None else f"its crown since {tree.crown_since}"
    told = ", ".join(filter(None, (of, tree.form, planted, crown, tree.place)))
    return plain(f"{tree.name} ({tree.id}): {told}; {counted(len(grafts), 'graft')}")


def graft_order(graft: Graft) -> tuple[float, str]:
    """From the lowest graft up; those of unknown height last."""
    return (float("inf") if graft.height_m is None else graft.height_m, graft.id)


def graft_line(graft: Graft, tree: Tree, columns: int, units: str = "metric") -> str:
    """One graft in a line: id, variety, state, verdict, method, month in which it was set, height in the crown."""
    cells = (
        (graft.state, 7),
        (graft.verdict, 8),
        (plain(graft.method), 15),
        ("" if graft.set_on is None else month_words(graft.set_on), 8),
        ("" if graft.height_m is None else in_units(f"{graft.height_m:g} m", units), 7 if units == "us" else 5),
    )
    end = "".join("  " + padded(cell, size) for cell, size in cells)
    head = f"  {padded(plain(graft.id), 5)} {plain(variety_words(graft, tree))}"
    return padded(head, min(columns - display_width(end), _NAME_COLUMNS)) + end


def _columns(width: int) -> int:
    return max(width, _LEAST_COLUMNS)

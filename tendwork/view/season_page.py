"""The season's strip as lines of text: labels before the rows, heads above them, and what the marks mean."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from tendwork.almanac.results import SpeciesStages
from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.records import Records
from tendwork.orchard.rough_dates import first_day
from tendwork.planning.results import Plan, Task
from tendwork.planning.states import FINISHED
from tendwork.view.buds import bud_line
from tendwork.view.job import reason_sentences, window_sentence
from tendwork.view.season_axis import SEASON, Axis, head, zoomed
from tendwork.view.season_strip import PART, Strip, StripRow
from tendwork.view.symbols import STRIP_MARKS, height_symbol, strip_symbol, task_symbol
from tendwork.view.text import clipped, display_width, padded, plain, wrapped
from tendwork.view.week import where_words
from tendwork.view.words import counted, format_day, month_words, short_day

_LABEL_COLUMNS = ((106, 50), (76, 26), (0, 20))
_COUNT_COLUMNS = 9
_WHERE_COLUMNS = 14
_WHERE_FROM_COLUMNS = 40  # a narrower label says the place only of a job that stands in several
_LEAST_COLUMNS = 40
_NARROW_COLUMNS = 100  # a page without jobs needs no wider labels than a page so wide
_LEGEND = ("allowed", "open", "best", "late", "over", "crossed")


def label_columns(columns: int) -> int:
    """How much of a line the label takes."""
    return next(label for least, label in _LABEL_COLUMNS if columns >= least)


def label(row: StripRow, columns: int, fold: str, ascii_only: bool = False) -> tuple[str, str, str]:
    """What stands before a row in exactly so many columns: the mark of its fold, of its state, and its words."""
    room = columns - 4
    if not row.state:  # a twig has none
        return "  ", "  ", padded(row.name, room)
    symbol = f"{task_symbol(row.state, ascii_only)} "
    if row.kind == PART:
        settled = "done" if row.state in FINISHED else "over"
        count = padded(f"{row.left} left " if row.left else f"{settled} ", _COUNT_COLUMNS, right=True)
        return f"{fold} ", symbol, padded(row.name, room - _COUNT_COLUMNS) + count
    name = "" if row.again else row.name
    if columns >= _WHERE_FROM_COLUMNS:
        where = "  " + padded(row.where, _WHERE_COLUMNS) + " "
        return "  ", symbol, padded(name, room - display_width(where)) + where
    return "  ", symbol, padded(f"  {row.where}" if row.again else f"{name}, {row.where}", room - 1) + " "


def today_line(axis: Axis, today: date, ascii_only: bool = False) -> str:
    """A pointer to today's column with the day in words; empty where today is not on the axis."""
    if not axis.holds(today, today):
        return ""
    at, pointer, words = axis.middle(today), "v" if ascii_only else "▼", format_day(today, today)
    if at + 2 + len(words) <= axis.columns:
        return f"{' ' * at}{pointer} {words}"
    return f"{words} {pointer}".rjust(at + 1)


def span_line(axis: Axis) -> str:
    """ "Nov 2025 to Oct 2026", or the days of a shorter span."""
    if axis.days > 300:
        return f"{month_words(axis.first)} to {month_words(axis.last)}"
    return f"{short_day(axis.first, axis.last)} to {short_day(axis.last, axis.last)} {axis.last.year}"


def legend(ascii_only: bool = False) -> str:
    """What the marks of the strip mean."""
    marks = ", ".join(f"{strip_symbol(role, ascii_only)} {STRIP_MARKS[role].word}" for role in _LEGEND)
    return f"{_heights(ascii_only)}; {marks}"


def _heights(ascii_only: bool) -> str:
    low, high = height_symbol(1, ascii_only), height_symbol(99, ascii_only)
    return f"{low} to {high} how many jobs are open at once, the highest {high if ascii_only else 8} or more"


def rows_text(heads: Iterable[str], rows: Iterable[StripRow], label_width: int, ascii_only: bool = False) -> str:
    """The heads, then the rows with their labels."""
    lines = list(heads)
    for row in rows:
        lines.append("".join((*label(row, label_width, " ", ascii_only), *(run.text for run in row.runs))))
    return "\n".join(line.rstrip() for line in lines if line.strip())


def season_strip_text(
    plan: Plan, stages: Iterable[SpeciesStages], season: Season, width: int, ascii_only: bool = False
) -> str:
    """The season at a glance: the buds, a row for each part of the work, and what the marks mean."""
    columns = max(width, _LEAST_COLUMNS)
    label_width = label_columns(min(columns, _NARROW_COLUMNS))
    axis = zoomed(SEASON, plan.today, season, columns - label_width)
    strip = Strip(axis, plan.today, ascii_only)
    blank = " " * label_width
    heads = [blank + head(axis), blank + today_line(axis, plan.today, ascii_only)]
    rows = [*map(strip.buds, stages), *(part for part, _ in strip.parts(plan.tasks))]
    return "\n".join([rows_text(heads, rows, label_width, ascii_only), *wrapped(_heights(ascii_only), columns, "  ")])


def earliest_season(records: Records, season: Season) -> int:
    """The first season of which a record tells, which is at the latest this one."""
    days = [
        *(tick.day for tick in records.ticks),
        *(sighting.day for sighting in records.sightings),
        *(tasting.day for tasting in records.tastings),
        *(trouble.day for trouble in records.troubles),
        *(spray.day for spray in records.sprays),
        *(first_day(graft.set_on) for graft in records.grafts if graft.set_on is not None),
        *(bundle.cut_on for bundle in records.wood if bundle.cut_on is not None),
    ]
    return min((season_of(day, season.south).name for day in days), default=season.name)


def part_words(name: str, tasks: Sequence[Task]) -> str:
    """ "pruning: 53 jobs; 3 late, 38 coming, 12 done"."""
    states = ("late", "closing", "open", "waiting", "held", "coming", "missed", "done", "skipped")
    counts = [(sum(task.state == state for task in tasks), state) for state in states]
    said = ", ".join(f"{count} {state}" for count, state in counts if count)
    finished = all(task.state in FINISHED for task in tasks)
    return f"{name}: {counted(len(tasks), 'job')}; {'all done' if finished else said}"


def buds_words(held: SpeciesStages, today: date) -> str:
    """Where the buds of a species stand, and when the next stages are expected."""
    line = bud_line(held, today)
    now = f"{line.now}, seen {line.seen}" if line.seen else line.now
    after = f"; {line.after}" if line.after else ""
    coming = [stage for stage in held.stages if stage.state == "predicted" and stage.date is not None][1:]
    later = ", ".join(
        f"{plain(stage.stage)} {short_day(stage.date, today)}" for stage in coming if stage.date is not None
    )
    return f"{line.species}: {now or 'no stage yet'}{after}" + (f"; then {later}." if later else ".")


def job_lines(task: Task, today: date, columns: int, rows: int) -> list[str]:
    """The job under the cursor in at most so many lines: name, place and part, its window, why."""
    lines = [clipped(f"{plain(task.title)}, {where_words(task)} ({task.part}, {task.state})", columns)]
    lines += wrapped(window_sentence(task, today), columns)
    for reason in reason_sentences(task):
        lines += wrapped(reason, columns)
    return lines[:rows]

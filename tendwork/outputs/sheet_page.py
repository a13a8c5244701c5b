"""The week's sheet as plain text, for any printer or eye, and as an HTML page that prints on A4 and on Letter."""

from __future__ import annotations

from tendwork.outputs.page import page
from tendwork.outputs.sheet import Job, Sheet, UnitBox
from tendwork.view.text import display_width, padded, wrapped

_BOX = "[ ] "
_NO_BOX = "    "
_BETWEEN = "  "


def sheet_text(sheet: Sheet, columns: int = 80) -> str:
    """The sheet in so many columns, without a trailing newline."""
    lines = [*wrapped(f"{sheet.site_name}: {sheet.span}", columns), *wrapped(sheet.amount, columns)]
    lines += wrapped(sheet.how, columns) if sheet.how else []
    lines += wrapped("; ".join(sheet.mind), columns, "Every day: ") if sheet.mind else []
    for day in sheet.days:
        head = f"{day.name} "
        tail = f" {day.amount}"
        lines += ["", head + "-" * (columns - display_width(head) - display_width(tail)) + tail]
        lines += wrapped(", ".join(day.carry), columns, "Carry: ") if day.carry else []
        lines += wrapped("; ".join(day.mind), columns, "All day: ") if day.mind else []
        lines += [line for job in day.jobs for line in _job_lines(job, columns)]
    if sheet.wraps:
        lines += ["", *wrapped(sheet.wraps_said, columns)]
        for tree, wraps in sheet.wraps:
            lines += wrapped(f"{tree}: {wraps}", columns, "- ")
    if sheet.cautions:
        lines += ["", "Cautions " + "-" * (columns - 9)]
        for title, line in sheet.cautions:
            lines += wrapped(f"{title}: {line}", columns, "- ")
    return "\n".join([*lines, *(["", *wrapped(sheet.general, columns)] if sheet.days else [])])


def sheet_html(sheet: Sheet) -> str:
    """The sheet as one HTML file that asks for nothing else."""
    return page("sheet.html", sheet=sheet)


def _job_lines(job: Job, columns: int) -> list[str]:
    """A visit of one job, or the heading of several, with a line of its own before it."""
    if not job.parts:
        return ["", *_own_lines(job, columns, 0)]
    lines = ["", *_own_lines(job, columns, 0)]
    return lines + [line for part in job.parts for line in _own_lines(part, columns, len(_BOX))]


def _own_lines(job: Job, columns: int, inset: int) -> list[str]:
    under = " " * (inset + len(_BOX))
    end = f"  {padded(job.by, 21)} {padded(job.amount, 7, right=True)}".rstrip()
    begin = " " * inset + (_BOX if job.box else "" if job.parts else _NO_BOX)
    head, *rest = wrapped(job.heading, columns - 31, begin, begin if job.parts else under)
    lines = [(padded(head, columns - 31) + end).rstrip(), *rest]
    lines += wrapped(f"or {job.loss}", columns, under, under) if job.loss else []
    for unit in job.units:
        lines += _unit_lines(unit, columns, under)
    for word, note in (*job.notes, *([("Caution", job.caution)] if job.caution else [])):
        lines += wrapped(note, columns, f"{under}{word}: ", f"{under}  ")
    return [*lines, *([] if job.parts else wrapped(job.key, columns, under, under))]


def _unit_lines(unit: UnitBox, columns: int, under: str) -> list[str]:
    """A unit behind its box, and at the end of the line, or on the next one, the outcomes to circle."""
    *lines, last = wrapped(unit.words, columns, under + _BOX)
    room = columns - display_width(last) - len(_BETWEEN)
    if not unit.outcomes:
        return [*lines, last]
    if display_width(unit.outcomes) <= room:
        return [*lines, last + _BETWEEN + padded(unit.outcomes, room, right=True)]
    below = wrapped(unit.outcomes, columns, " " * len(under + _BOX))
    return [*lines, last, *(below if len(below) > 1 else [padded(unit.outcomes, columns, right=True)])]

"""The week's sheet as plain text, for any printer or eye, and as an HTML page that prints on A4 and on Letter."""

from __future__ import annotations

from tendwork.outputs.page import page
from tendwork.outputs.sheet import Job, Sheet
from tendwork.view.text import display_width, padded, wrapped

_BOX = "[ ] "
_UNDER_BOX = "      "


def sheet_text(sheet: Sheet, columns: int = 80) -> str:
    """The sheet in so many columns, without a trailing newline."""
    lines = [*wrapped(f"{sheet.site_name}: {sheet.span}", columns), *wrapped(sheet.amount, columns)]
    for day in sheet.days:
        head = f"{day.name} "
        tail = f" {day.amount}"
        lines += ["", head + "-" * (columns - display_width(head) - display_width(tail)) + tail]
        lines += wrapped(", ".join(day.carry), columns, "Carry: ") if day.carry else []
        lines += [line for job in day.jobs for line in _job_lines(job, columns)]
    if sheet.cautions:
        lines += ["", "Cautions " + "-" * (columns - 9)]
        for title, line in sheet.cautions:
            lines += wrapped(f"{title}: {line}", columns, "- ")
    return "\n".join([*lines, *(["", *wrapped(sheet.general, columns)] if sheet.days else [])])


def sheet_html(sheet: Sheet) -> str:
    """The sheet as one HTML file that asks for nothing else."""
    return page("sheet.html", sheet=sheet)


def _job_lines(job: Job, columns: int) -> list[str]:
    end = f"  {padded(job.by, 21)} {padded(job.amount, 7, right=True)}".rstrip()
    head, *rest = wrapped(f"{job.title}, {job.where}", columns - 31, _BOX)
    lines = ["", padded(head, columns - 31) + end, *rest]
    for unit in job.units:
        lines += wrapped(f"{unit.label}, {unit.place}".rstrip(", "), columns, f"    {_BOX}")
    for word, note in job.notes:
        lines += wrapped(note, columns, f"    {word}: ", _UNDER_BOX)
    return [*lines, *wrapped(job.key, columns, "    ")]

"""Rows of a CSV file of ticks: in known words, refused where a day is none, and what no job answers to by line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import msgspec

from tendwork.errors import PersonError, located
from tendwork.folder.csv_files import SHOWN_ROWS, CsvRows, refusal
from tendwork.folder.csv_values import from_text, to_text
from tendwork.folder.fields import TICKS, Field, Form
from tendwork.orchard.records import Record, Records, Tick
from tendwork.orchard.wording import listed_in_short
from tendwork.planning.brought_ticks import TickReading
from tendwork.planning.vocabulary import Template
from tendwork.planning.wishes import PLANNED_FOR, PUT_OFF, WHOLE_JOB

_DAY_OF_A_JOB = Field("note", "note", Form.DATE, required=True)


def in_known_words(rows: CsvRows, held: Records, templates: Iterable[Template]) -> CsvRows:
    """The rows with each outcome in the word that its job has for it; a tick that is held already stays as it is.

    Raises PersonError for a job that is put off until what is no day.
    """
    reading, equal = TickReading(held, templates), Counter[Record](held.ticks)
    records: list[Record] = []
    reworded = dict.fromkeys(rows.reworded)
    faults = []
    for record, line in zip(rows.records, rows.lines, strict=True):
        if not isinstance(record, Tick) or equal[record] > 0:
            equal[record] -= 1
            records.append(record)
            continue
        tick = reading.read(record)
        if tick.outcome != record.outcome:
            reworded[record.outcome, tick.outcome] = None
        try:
            records.append(_with_its_day(tick))
        except ValueError as error:
            faults.append(str(located(rows.file, str(error), line=line, key=_DAY_OF_A_JOB.column)))
    if faults:
        raise refusal(faults[:SHOWN_ROWS], len(faults))
    return msgspec.structs.replace(rows, records=tuple(records), reworded=tuple(reworded))


def unread_sentences(rows: CsvRows, new: Iterable[Record], after: Records, templates: Iterable[Template]) -> list[str]:
    """What no job or unit answers to of the ticks that are new, each once with its lines."""
    reading, coming = TickReading(after, templates), set(new)
    lines: dict[tuple[str, str], list[str]] = {}
    for record, line in zip(rows.records, rows.lines, strict=True):
        if isinstance(record, Tick) and record in coming:
            for unread in reading.unread(record):
                lines.setdefault((unread.field, unread.words), []).append(str(line))
    column = {field.name: field.column for field in TICKS.fields}
    sentences = [
        str(PersonError(f'{rows.file}, {_lines_words(where)}, key "{column[field]}": {words}'))
        for (field, words), where in lines.items()
    ]
    more = len(sentences) - SHOWN_ROWS
    return [*sentences[:SHOWN_ROWS], *([f"and {more} more of which no job speaks"] if more > 0 else [])]


def _with_its_day(tick: Tick) -> Tick:
    """A tick by which a job is put off, with its day as the program writes it. Raises ValueError for what is no day."""
    if tick.unit != WHOLE_JOB or tick.outcome not in (PLANNED_FOR, PUT_OFF):
        return tick
    return msgspec.structs.replace(tick, note=to_text(_DAY_OF_A_JOB, from_text(_DAY_OF_A_JOB, tick.note)))


def _lines_words(lines: list[str]) -> str:
    return f"line{'s' if len(lines) > 1 else ''} {listed_in_short(lines)}"

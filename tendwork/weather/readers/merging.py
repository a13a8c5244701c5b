"""New days laid into the days that are held: none doubled, none lost, and every change counted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tendwork.weather.readers.reading import DatedMinMax


def merge(
    held: Iterable[DatedMinMax], measured: Iterable[DatedMinMax]
) -> tuple[tuple[DatedMinMax, ...], tuple[str, ...]]:
    """The held rows with newly measured ones, by rising date, and words on what was added and changed.

    The new row of a day stands, since sources correct themselves. A held day is only ever replaced by a whole one.
    """
    rows: dict[date, DatedMinMax] = {}
    for row in held:
        rows.setdefault(row[0], row)
    added = same = completed = 0
    changed: list[tuple[float, date]] = []
    for row in measured:
        day, low, high = row
        before = rows.get(day)
        if low is None or high is None:
            continue
        if before is None:
            added += 1
        elif before[1] is None or before[2] is None:
            completed += 1
        elif before == row:
            same += 1
        else:
            changed.append((max(abs(low - before[1]), abs(high - before[2])), day))
        rows[day] = row
    words = [
        _words(added, "added"),
        _words(same, "held already"),
        _words(completed, "completed, of which one value was missing"),
    ]
    if changed:
        most, day = max(changed)
        words.append(f"{_words(len(changed), 'changed')[:-1]}, by up to {most:.1f} °C ({day}).")
    return tuple(rows[day] for day in sorted(rows)), tuple(word for word in words if word)


def _words(count: int, what: str) -> str:
    return f"{count} {'day' if count == 1 else 'days'} {what}." if count else ""

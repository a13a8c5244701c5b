"""New days laid into the days that are held: none doubled, none lost, and every change counted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tendwork.weather.readers.reading import Reading, Row


def merge(
    held: Iterable[Row], reading: Reading, *, held_forecast_from: date | None = None
) -> tuple[tuple[Row, ...], tuple[str, ...]]:
    """The held rows with those of `reading`, by rising date, and words on what was added, changed and kept.

    A measured day beats a forecast one (held days from `held_forecast_from` on are forecasts); between two of a kind
    the new one stands, since sources correct themselves. A held day is only ever replaced by a whole one.
    """
    rows: dict[date, Row] = {}
    for row in held:
        rows.setdefault(row[0], row)
    held_start = held_forecast_from or date.max
    new_start = reading.forecast_from or date.max
    added = same = completed = overtaken = kept = 0
    changed: list[tuple[float, date]] = []
    for row in reading.rows:
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
        elif day >= new_start and day < held_start:
            kept += 1
            continue
        elif day >= held_start and day < new_start:
            overtaken += 1
        else:
            changed.append((max(abs(low - before[1]), abs(high - before[2])), day))
        rows[day] = row
    words = [
        _words(added, "added"),
        _words(same, "held already"),
        _words(completed, "completed, of which one value was missing"),
        _words(overtaken, "measured now, forecast before"),
        _words(kept, "kept as measured, against a forecast"),
    ]
    if changed:
        most, day = max(changed)
        words.append(f"{_words(len(changed), 'changed')[:-1]}, by up to {most:.1f} °C ({day}).")
    return tuple(rows[day] for day in sorted(rows)), tuple(word for word in words if word)


def _words(count: int, what: str) -> str:
    return f"{count} {'day' if count == 1 else 'days'} {what}." if count else ""

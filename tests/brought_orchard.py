"""An orchard that somebody types in on a June day: five trees with a hundred grafts. All of it is invented."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

BROUGHT = date(2026, 6, 25)
_TREES = (
    ("t1", "Old Hallow", "apple", 1990),
    ("t2", "Gate apple", "apple", 2004),
    ("t3", "Wall pear", "pear", 2001),
    ("t4", "Lane plum", "plum", 1998),
    ("t5", "Barn cherry", "sweet cherry", 2008),
)
_COLUMNS = ("id", "tree", "variety", "method", "wrap", "state", "set_on", "height_m")


def write_tables(folder: Path) -> dict[str, Path]:
    """trees.csv and grafts.csv: thirty grafts of this spring, thirty of the last, forty that bear."""
    rows: list[tuple[object, ...]] = []
    for number in range(100):
        day, height_m = 5 + number % 20, 1 + number % 3
        if number < 30:
            method = ("whip and tongue", "cleft", "bark")[number % 3]
            wrap = ("PVC tape", "budding rubber", "")[number // 3 % 3]
            told: tuple[object, ...] = (method, wrap, "set", f"2026-04-{day:02d}")
        elif number < 60:
            method = ("whip and tongue", "cleft", "chip bud")[number % 3]
            told = (method, ("PVC tape", "")[number % 2], "took", f"2025-04-{day:02d}")
        else:
            told = ("", "", "bearing", f"{2010 + number % 12}-04-10")
        rows.append((f"g{number + 1}", f"t{number % 5 + 1}", f"Invented {number + 1}", *told, height_m))
    return {
        "trees": _write(folder / "trees.csv", ("id", "name", "species", "planted"), _TREES),
        "grafts": _write(folder / "grafts.csv", _COLUMNS, rows),
    }


def _write(file: Path, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> Path:
    with file.open("w", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(columns)
        writer.writerows(rows)
    return file

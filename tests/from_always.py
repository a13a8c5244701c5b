"""Tables of records that are known from always: an orchard that was there before the day on which a test brings it."""

from __future__ import annotations

from pathlib import Path


def from_always(table: str) -> str:
    """A table of trees, grafts or wood with the empty column that says so."""
    header, *rows = table.splitlines()
    return "\n".join([f"{header},known_since", *(f"{row}," for row in rows), ""])


def write_from_always(file: Path, kind: str, table: str) -> Path:
    """Write a table as such a one where it is of trees, grafts or wood, else as it is."""
    file.write_text(from_always(table) if kind in ("trees", "grafts", "wood") else table, encoding="utf-8")
    return file

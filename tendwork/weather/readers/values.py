"""Numbers as files write them, and the three units that temperatures come in."""

from __future__ import annotations

import re
from typing import Literal

Unit = Literal["c", "f", "tenths"]
UNIT_NAMES: dict[Unit, str] = {"c": "°C", "f": "°F", "tenths": "tenths of °C"}

_MISSING_WORDS = frozenset({"", "-", "--", "---", "--.-", "---.-", "na", "n/a", "#n/a", "null", "none", "m", "missing"})
_MISSING_NUMBERS = frozenset({-9999.0, -999.0, -999.9, -99.9, 999.0, 999.9, 9999.0, 9999.9})
_WRITTEN_UNIT = re.compile(r"\s*(?:[°º]\s*)?([cf℃℉])$", re.IGNORECASE)


def number(text: str) -> float | None:
    """The number in a cell, with decimal point or comma; None where the cell says that there is none.

    Raises ValueError for anything else. The numbers that files write for "missing" lie outside every unit's bounds.
    """
    try:
        value = float(text)
    except ValueError:
        word = text.strip().strip('"').strip()
        if word.lower() in _MISSING_WORDS:
            return None
        value = float(_WRITTEN_UNIT.sub("", word).replace("−", "-").replace(",", "."))
    if value in _MISSING_NUMBERS or value != value:
        return None
    if "_" in text:
        raise ValueError(text)
    return value


def to_celsius(value: float, unit: Unit) -> float:
    """`value` in °C, to a hundredth of a degree where it is converted."""
    if unit == "c":
        return value
    if unit == "tenths":
        return round(value / 10, 2)
    return round((value - 32) / 1.8, 2)


def written_unit(cell: str) -> Unit | None:
    """The unit that stands behind a number in its cell, as in `54.3 °F`."""
    found = _WRITTEN_UNIT.search(cell.strip().strip('"'))
    if found is None or not any(letter.isdigit() for letter in cell):
        return None
    return "c" if found.group(1).lower() in "c℃" else "f"

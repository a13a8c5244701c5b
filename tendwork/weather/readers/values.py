"""Numbers as files write them, and the units that temperatures come in."""

from __future__ import annotations

import re
from typing import Literal

Unit = Literal["c", "f", "k", "tenths"]
UNIT_NAMES: dict[Unit, str] = {"c": "°C", "f": "°F", "k": "K", "tenths": "tenths of °C"}

_MISSING_WORDS = frozenset({"", "-", "--", "---", "--.-", "---.-", "na", "n/a", "#n/a", "null", "none", "m", "missing"})
_MISSING_NUMBERS = frozenset({-9999.0, -999.0, -999.9, -99.9, 999.0, 999.9, 9999.0, 9999.9})
_WRITTEN_UNIT = re.compile(
    r"[ \t\xa0]{0,4}(?:[°º] ?|deg(?:rees?)?\.? ?)?(c|f|k|℃|℉|celsius|fahrenheit|kelvin)$", re.IGNORECASE
)
_LONGEST_NUMBER = 60  # characters, the unit behind it included
_LETTERS: dict[str, Unit] = {"c": "c", "℃": "c", "f": "f", "℉": "f", "k": "k"}


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
        if len(word) > _LONGEST_NUMBER:
            raise ValueError(f"could not convert {len(word)} characters to a number") from None
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
    if unit == "k":
        return round(value - 273.15, 2)
    return round((value - 32) / 1.8, 2)


def unit_of_letter(word: str) -> Unit:
    """The unit that a word such as "F", "℉" or "fahrenheit" begins to name."""
    return _LETTERS[word[0].lower()]


def written_unit(cell: str) -> Unit | None:
    """The unit that stands behind a number in its cell, as in `54.3 °F`."""
    word = cell.strip().strip('"').rstrip()
    if len(word) > _LONGEST_NUMBER or not any(letter.isdigit() for letter in word):
        return None
    found = _WRITTEN_UNIT.search(word)
    return None if found is None else unit_of_letter(found.group(1))

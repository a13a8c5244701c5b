"""One CSV cell into one value of a record and back, so that what was written reads back as the same bytes.

Outer blanks are taken off. A control character or a line break inside a cell is refused when read; one that a record
holds is written as its visible picture (U+2400 and following), so that a file of ours can always be read. A spreadsheet
would run text that begins like a formula (= + - @ |), so such text is written behind an apostrophe, which marks text
there, and one apostrophe before such a beginning is taken off when read: what was written still reads back the same.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any
from unicodedata import normalize

from tendwork.errors import nearest
from tendwork.folder.fields import DATES, NUMBERS, Field, Form, number_text, value_fault
from tendwork.folder.site import month_and_day
from tendwork.orchard.crown import facing_named
from tendwork.orchard.rough_dates import date_text, date_written, day_written
from tendwork.species import SPECIES, STAGES, species_named, stage_named

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_PICTURES = (
    {code: chr(0x2400 + code) for code in range(0x20)}
    | {0x7F: "\u2421", 0x2028: "\u2424", 0x2029: "\u2424"}
    | dict.fromkeys(range(128, 160), "�")
)
_FORMULA = re.compile(r"'*[=+\-@|＝＋－＠｜]")
_WRITTEN_FREELY = frozenset({Form.TEXT, Form.ID, Form.REFERENCE})
_FLAG_WORDS = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}


def to_text(field: Field, value: Any) -> str:
    """A field's value as the text of its cell."""
    if value is None or value is False:
        return ""
    if field.form in DATES:
        return date_text(value)
    if field.form is Form.MONTH_DAY:
        return f"{value[0]:02d}-{value[1]:02d}"
    if field.form in NUMBERS:
        return number_text(value)
    if value is True:
        return "yes"
    text = str(value).translate(_PICTURES).strip()
    return f"'{text}" if field.form in _WRITTEN_FREELY and _FORMULA.match(text) else text


def from_text(field: Field, text: str, species: str = "", decimal_comma: bool = False) -> Any:
    """The value of a cell; None where it is blank. `species` is that of the row, for the names of its stages.

    Raises ValueError whose words follow the column's name.
    """
    text = text.strip()
    if _CONTROL.search(text):
        raise ValueError("holds a control character or a line break; take it out")
    if not text:
        if field.required:
            raise ValueError("is missing")
        return None
    if field.form in _WRITTEN_FREELY and text.startswith("'") and _FORMULA.match(text):
        text = text[1:]
    value = _parsed(field, text, species, decimal_comma)
    if fault := value_fault(field, value):
        raise ValueError(fault)
    return value


def is_another_word(text: str, taken: str) -> bool:
    """Whether what was taken for a text differs from it by more than capitals and blanks."""
    return " ".join(text.split()).casefold() != taken.casefold()


def slug(text: str) -> str:
    """Small letters, numbers and hyphens of a name, in any script; empty for a name without any."""
    return re.sub(r"[\W_]+", "-", normalize("NFC", text.casefold())).strip("-")


def _parsed(field: Field, text: str, species: str, decimal_comma: bool) -> Any:
    if field.form is Form.DATE:
        return day_written(text)
    if field.form is Form.ROUGH_DATE:
        return date_written(text)
    if field.form is Form.MONTH_DAY:
        return _found(month_and_day(text), f'"{text}" is not a month and day, such as 09-15')
    if field.form is Form.FLAG:
        return _found(_FLAG_WORDS.get(text.lower()), f'"{text}" is neither yes nor no')
    if field.form in (Form.WHOLE, Form.NUMBER):
        return _number(text, field.form is Form.WHOLE, decimal_comma)
    if field.form is Form.YEAR:
        return _year(text)
    if field.form is Form.FACING:
        return _facing(text)
    if field.form is Form.SPECIES:
        return _found(species_named(text), f'"{text}" is not a species. {nearest(text, SPECIES)}')
    if field.form is Form.STAGE:
        known = [row[0] for row in STAGES[species]]
        return _found(stage_named(species, text), f'"{text}" is not a stage of {species}. {nearest(text, known)}')
    if field.choices and text not in field.choices:
        return _found(_lower_choice(text, field.choices), f'"{text}" is not known. {nearest(text, field.choices)}')
    return (field.meant(text) if field.meant is not None else "") or text


def _found(value: Any, words: str) -> Any:
    if value is None:
        raise ValueError(words)
    return value


def _lower_choice(text: str, choices: Sequence[str]) -> str | None:
    folded = " ".join(text.lower().split())
    return folded if folded in choices else None


def _facing(text: str) -> int:
    found = facing_named(text)
    if found is not None:
        return found
    degrees = text.removesuffix("°").strip()
    if not re.fullmatch(r"[0-9]{1,3}", degrees):
        raise ValueError(f'"{text}" is not a direction, such as SE, north-west, or degrees from north')
    return 0 if degrees == "360" else int(degrees)


def _year(text: str) -> int:
    """A year alone: of a day or a month nothing would be kept but its year, which the person is to see."""
    if re.fullmatch("[0-9]{1,4}", text):
        return int(text)
    years = re.findall(r"(?<![0-9])[0-9]{4}(?![0-9])", text)
    such = years[0] if len(years) == 1 else "one, such as 2019"
    raise ValueError(f'"{text}" is not a year alone; write {such}')


def _number(text: str, whole: bool, decimal_comma: bool) -> float:
    plain = text.replace(",", ".") if decimal_comma else text
    if not re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?", plain, re.ASCII):
        raise ValueError(f'"{text}" is not a number')
    number = float(plain)
    if not whole:
        return number
    if not number.is_integer():
        raise ValueError(f'"{text}" is not a whole number')
    return int(number)

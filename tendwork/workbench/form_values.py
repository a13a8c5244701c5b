"""What a person typed into a form, as values of a record: read by the same field list as a CSV cell.

A length in feet is easier to type than to store.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from tendwork.errors import PersonError
from tendwork.folder.csv_values import from_text
from tendwork.folder.fields import KINDS, Field
from tendwork.orchard.records import RecordKind
from tendwork.view.form_words import LENGTHS, field_label

_FEET = re.compile(r"(\d+(?:[.,]\d+)?) ?(?:ft|feet|foot|')", re.IGNORECASE)
_METRES_IN_A_FOOT = 0.3048


def values(kind: RecordKind, typed: Mapping[str, str]) -> dict[str, Any]:
    """Values by field name from texts by field name; a blank text is the field's nothing.

    Raises one PersonError that names every field with a text that cannot be.
    """
    found, faults = {}, []
    for field in KINDS[kind].fields:
        if field.name in typed:
            try:
                found[field.name] = _value(kind, field, typed[field.name].strip())
            except ValueError as error:
                faults.append(f"{_label(kind, field)} {str(error).rstrip('.')}.")
    if faults:
        raise PersonError(" ".join(faults))
    return found


def parted(names: Sequence[str] | str) -> tuple[str, ...]:
    """Names out of one text with commas between them, or as they are given."""
    apart = re.split("[,;]", names) if isinstance(names, str) else names
    return tuple(name.strip() for name in apart if name.strip())


def _value(kind: RecordKind, field: Field, text: str) -> Any:
    if field.name in LENGTHS and (feet := _FEET.fullmatch(text)):
        text = f"{float(feet.group(1).replace(',', '.')) * _METRES_IN_A_FOOT:.2f}"
    value = from_text(field, text, decimal_comma=True)
    if value is not None:
        return value
    if field.choices and field.filled:
        raise ValueError(f"is missing: {', '.join(field.choices)}")
    defaults = KINDS[kind].record.__struct_defaults__  # type: ignore[attr-defined]
    names = KINDS[kind].record.__struct_fields__  # type: ignore[attr-defined]
    place = names.index(field.name) - (len(names) - len(defaults))
    return defaults[place] if place >= 0 else ""


def _label(kind: RecordKind, field: Field) -> str:
    label = field_label(field.name, kind)
    return label[0].upper() + label[1:]

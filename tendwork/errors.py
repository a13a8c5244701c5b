"""The one error that a person is meant to read."""

from __future__ import annotations


class PersonError(Exception):
    """Something the person must mend: the message says what is wrong, where, and what to do."""


def located(file: str, what: str, *, line: int | None = None, key: str = "", remedy: str = "") -> PersonError:
    """A PersonError that names file, line and key in one form: `file, line 3, key "x": what. remedy`."""
    place = file
    if line is not None:
        place += f", line {line}"
    if key:
        place += f', key "{key}"'
    sentence = f"{place}: {what}"
    if remedy:
        sentence = f"{sentence.rstrip('.')}. {remedy}"
    return PersonError(sentence)

"""The bloom group of a variety where it stood before varieties had records: in the note of a graft."""

from __future__ import annotations

import re

_GROUP = re.compile(r"\bbloom group (\d{1,2})\b", re.IGNORECASE)
_WITH_SEPARATOR = re.compile(r"\s*[,;]?\s*" + _GROUP.pattern, re.IGNORECASE)


def group_in_note(note: str) -> int | None:
    """The bloom group that a graft's note gives, in the words "bloom group 3"; None where it gives none."""
    found = _GROUP.search(note)
    return None if found is None else int(found[1])


def without_group(note: str) -> str:
    """A graft's note without the bloom group; one that gives none stays as it is."""
    return note if group_in_note(note) is None else _WITH_SEPARATOR.sub("", note).strip(" ,;")

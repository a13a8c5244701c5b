"""The ids that the program gives to trees, grafts and bundles: one letter and a number that nobody has."""

from __future__ import annotations

import re
from collections.abc import Iterable

from tendwork.orchard.records import Graft, RecordKind, Records, Tree, Wood

_LETTERS = {"trees": "t", "grafts": "g", "wood": "w"}


def free_id(records: Records, kind: RecordKind) -> str:
    """The id of the next tree, graft or bundle."""
    return next_id(getattr(records, kind), _LETTERS[kind])


def id_like(records: Records, kind: RecordKind, identity: str) -> str:
    """The id of what comes from the tree, graft or bundle with this id, which keeps what stands before its number."""
    return next_id(getattr(records, kind), re.sub(r"\d+$", "", identity) or _LETTERS[kind])


def next_id(held: Iterable[Tree | Graft | Wood], prefix: str) -> str:
    """The next free id of the form prefix and number, after the largest in use and as wide as it: g61 after g60."""
    numbers = [found.group(1) for record in held if (found := re.fullmatch(re.escape(prefix) + r"(\d+)", record.id))]
    if not numbers:
        return f"{prefix}1"
    largest = max(numbers, key=int)
    return f"{prefix}{int(largest) + 1:0{len(largest)}d}"

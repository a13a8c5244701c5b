"""Whatever follows from the records, as rows that JSON can hold: names as in the code, ISO dates, stable order."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import msgspec
from msgspec import Struct


def json_rows(results: Iterable[Struct]) -> list[dict[str, Any]]:
    """One row for each result: a balance, age, rate, span, week, gap, overlap, suggestion, place or event."""
    return [msgspec.to_builtins(result) for result in results]

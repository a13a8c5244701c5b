"""A line of a table as cells. Each physical line stands alone, so that a lost quote costs one line and not the rest."""

from __future__ import annotations

import csv

DELIMITERS = (";", "\t", "|", ",")


def cells_of(line: str, delimiter: str) -> list[str]:
    """The cells of one line. Raises ValueError for a quote that does not close."""
    if '"' not in line:
        return line.split(delimiter)
    try:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True, strict=True))
    except (csv.Error, StopIteration) as error:
        raise ValueError("a quote does not close") from error

"""Rows of a CSV file that name a record which is not held: refused by line, with what may have been meant."""

from __future__ import annotations

from tendwork.errors import located
from tendwork.folder.csv_files import SHOWN_ROWS, CsvRows, refusal
from tendwork.folder.fields import KINDS
from tendwork.orchard.ids_meant import id_meant
from tendwork.orchard.records import RecordKind, Records


def refuse_loose_rows(rows: CsvRows, held: Records) -> None:
    """Raise PersonError for rows that refer to a tree or a graft that is not held."""
    faults = []
    for field in KINDS[rows.kind].fields:
        if not field.to:
            continue
        known = {record.id for record in getattr(held, field.to)}
        one = KINDS[field.to].one
        for record, line in zip(rows.records, rows.lines, strict=True):
            named = getattr(record, field.name)
            if named and named not in known:
                remedy = _id_meant(held, field.to, named) or f"Bring the {field.to} first."
                faults.append(
                    str(located(rows.file, f'there is no {one} "{named}"', line=line, key=field.column, remedy=remedy))
                )
    if faults:
        raise refusal(faults[:SHOWN_ROWS], len(faults))


def _id_meant(held: Records, kind: RecordKind, named: str) -> str:
    """What to write for a tree's name, or a graft's variety, that stands where its id belongs; empty for neither."""
    if kind == "trees":
        return id_meant(named, "a name", kind, [(tree.id, tree.name) for tree in held.trees])
    return id_meant(named, "a variety", kind, [(graft.id, graft.variety) for graft in held.grafts])

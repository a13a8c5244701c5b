"""The records as CSV files: read strictly, so that no row is half understood, and written in the same bytes always."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from contextlib import suppress
from itertools import count
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from tendwork.errors import PersonError, located, nearest
from tendwork.folder.csv_values import from_text, is_another_word, slug, to_text
from tendwork.folder.fields import GRAFTS, KINDS, RESERVED_IDS, TREES, VARIETIES, Field, Form, Kind
from tendwork.folder.files import exists, make_folder, read_given_text
from tendwork.folder.outward import refuse_kept, write_outward
from tendwork.orchard.records import Record, RecordKind, Records
from tendwork.variety_names import variety_key

SHOWN_ROWS = 20


class CsvRows(Struct, frozen=True):
    """What a file holds: its records, and for each its line and the fields that it speaks about.

    A blank cell speaks, too, except where the record has a word that is never blank, such as its state. `reworded` are
    the words of the file that were taken as a known one, each with that.
    """

    kind: RecordKind
    file: str
    records: tuple[Record, ...]
    lines: tuple[int, ...]
    given: tuple[frozenset[str], ...]
    reworded: tuple[tuple[str, str], ...] = ()


def read_csv(path: Path, kind: RecordKind) -> CsvRows:
    """The rows of a file of `kind` (a name in KINDS).

    UTF-8 with or without byte order mark, commas or semicolons (then also decimal commas). Columns may stand in any
    order and be left out unless required. An id that is left out is made from name or variety, the same for the same
    file. Raises one PersonError that names every bad row, the first 20 by line.
    """
    return parse_csv(read_given_text(path), kind, path.name)


def parse_csv(text: str, kind: RecordKind, file: str) -> CsvRows:
    """The rows of a CSV text; see `read_csv`. `file` is how to call it."""
    return _Reading(KINDS[kind], file).rows(text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n"))


def csv_text(kind: RecordKind, records: Iterable[Record]) -> str:
    """Records of one kind as CSV: every column, commas, one line each."""
    fields = KINDS[kind].fields
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(field.column for field in fields)
    writer.writerows([to_text(field, getattr(record, field.name)) for field in fields] for record in records)
    return stream.getvalue()


def give(records: Records, folder: Path, orchard: Path) -> tuple[Path, ...]:
    """Write all records into `folder`, one file for each kind. Raises PersonError rather than write over a file.

    `orchard` is the folder that they come from, where nothing that it keeps is written over. Where one cannot be
    written, those written before it and a folder made for them go again, so that the same can be asked once more.
    """
    files = {folder / f"{name}.csv": csv_text(name, getattr(records, name)) for name in KINDS}
    for path in files:
        refuse_kept(orchard, path)
        if exists(path):
            raise PersonError(f"{path}: stands there already. Nothing was written; name another folder.")
    made_here = not exists(folder)
    make_folder(folder, keep_rights=True)
    written: list[Path] = []
    try:
        for path, text in files.items():
            write_outward(orchard, path, text.encode("utf-8", "replace"), new=True)
            written.append(path)
    except BaseException:
        for path in written:
            with suppress(OSError):
                path.unlink()
        if made_here:
            with suppress(OSError):  # what somebody else put into it meanwhile stays
                folder.rmdir()
        raise
    return tuple(files)


def refusal(faults: list[str], bad_rows: int) -> PersonError:
    """One error for the faults of the first rows, how many bad rows more there are, and that nothing was taken."""
    more = bad_rows - SHOWN_ROWS
    rest = [f"and {more} more rows"] if more > 0 else []
    return PersonError("\n".join([*faults, *rest, "Nothing was taken from the file."]))


class _Reading:
    """One pass over a file that gathers the faults of all rows."""

    def __init__(self, kind: Kind, file: str) -> None:
        self.kind = kind
        self.file = file
        self.faults: list[str] = []
        self.bad_rows = 0
        self.reworded: dict[tuple[str, str], None] = {}

    def rows(self, text: str) -> CsvRows:
        header_line, _, _ = text.partition("\n")
        delimiter = ";" if header_line.count(";") > header_line.count(",") else ","
        table = self._table(text, delimiter)
        if not table:
            raise located(self.file, "is empty", remedy=f"Its first line must name columns: {_columns(self.kind)}.")
        columns = self._columns(table[0][1])
        values = [(line, self._values(line, cells, columns, delimiter == ";")) for line, cells in table[1:]]
        self._refuse_if_faulty()
        if self.kind.has_id:
            self._give_ids(values)
        elif self.kind is VARIETIES:
            self._refuse_twins(values)
        self._refuse_if_faulty()
        return CsvRows(
            self.kind.name,
            self.file,
            tuple(self.kind.record(**row) for _, row in values),
            tuple(line for line, _ in values),
            tuple(_spoken_of(columns, row) for _, row in values),
            tuple(self.reworded),
        )

    def _table(self, text: str, delimiter: str) -> list[tuple[int, list[str]]]:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
        table, line = [], 1
        try:
            for cells in reader:
                if any(cell.strip() for cell in cells):
                    table.append((line, cells))
                line = reader.line_num + 1
        except csv.Error as error:
            remedy = "Close the quotes, or double those inside a cell."
            raise located(self.file, f"cannot be taken apart ({error})", line=line, remedy=remedy) from None
        return table

    def _columns(self, header: list[str]) -> list[Field]:
        today = [field.column for field in self.kind.fields]
        by_column = {
            name: replace(field, column=name)  # a fault names the column as the file does
            for field in self.kind.fields
            for name in (field.column, *field.formerly)
        }
        names = ["_".join(cell.lower().split()) for cell in header]
        while names and not names[-1]:
            names.pop()
        for name, cell in zip(names, header, strict=False):
            if name not in by_column:
                what = "unknown column" if name else "a column has no name"
                fault = located(self.file, what, line=1, key=cell.strip(), remedy=nearest(name, today))
                self.faults.append(str(fault))
            elif [by_column[other].name for other in names if other in by_column].count(by_column[name].name) > 1:
                self.faults.append(str(located(self.file, "stands twice", line=1, key=name)))
        for field in self.kind.fields:
            if field.required and field.column not in names:
                self.faults.append(str(located(self.file, "this column is missing", line=1, key=field.column)))
        self._refuse_if_faulty()
        return [by_column[name] for name in names]

    def _values(self, line: int, cells: list[str], columns: list[Field], decimal_comma: bool) -> dict[str, Any]:
        faults: list[PersonError] = []
        row: dict[str, Any] = {}
        if len(cells) < len(columns) or any(cell.strip() for cell in cells[len(columns) :]):
            what = f"has {len(cells)} cells where the first line names {len(columns)} columns"
            faults.append(located(self.file, what, line=line))
            columns = []
        # The species comes first because the names of the stages hang on it.
        for field, cell in sorted(zip(columns, cells, strict=False), key=lambda pair: pair[0].form is not Form.SPECIES):
            if field.form is Form.STAGE and "species" not in row:
                continue
            try:
                value = from_text(field, cell, row.get("species", ""), decimal_comma)
            except ValueError as error:
                faults.append(located(self.file, str(error), line=line, key=field.column))
            else:
                if value is not None:
                    row[field.name] = value
                    if field.meant is not None and is_another_word(cell, value):
                        self.reworded[cell.strip(), value] = None
        if faults:
            self._count_bad_row(faults)
        return row

    def _give_ids(self, values: list[tuple[int, dict[str, Any]]]) -> None:
        taken = dict.fromkeys(RESERVED_IDS, 0)
        for line, row in values:
            if "id" in row and taken.setdefault(row["id"], line) != line:
                what = f'"{row["id"]}" stands in line {taken[row["id"]]} already'
                self._count_bad_row([located(self.file, what, line=line, key="id")])
        next_of: dict[str, Iterator[str]] = {}
        for line, row in values:
            if "id" not in row:
                base = _base_of_id(self.kind, row)
                names = next_of.setdefault(base, _numbered(base))
                row["id"] = next(name for name in names if name not in taken)
                taken[row["id"]] = line

    def _refuse_twins(self, values: list[tuple[int, dict[str, Any]]]) -> None:
        first: dict[tuple[str, str], int] = {}
        for line, row in values:
            there = first.setdefault(variety_key(row["species"], row["variety"]), line)
            if there != line:
                what = f'the {row["species"]} "{row["variety"]}" stands in line {there} already'
                fault = located(self.file, what, line=line, key="variety", remedy="Put both rows into one.")
                self._count_bad_row([fault])

    def _count_bad_row(self, faults: list[PersonError]) -> None:
        self.bad_rows += 1
        if self.bad_rows <= SHOWN_ROWS:
            self.faults += map(str, faults)

    def _refuse_if_faulty(self) -> None:
        if self.faults:
            raise refusal(self.faults, self.bad_rows)


def _spoken_of(columns: list[Field], row: dict[str, Any]) -> frozenset[str]:
    return frozenset(field.name for field in columns if field.name in row or not field.filled)


def _numbered(base: str) -> Iterator[str]:
    yield base
    yield from (f"{base}-{number}" for number in count(2))


def _base_of_id(kind: Kind, row: dict[str, Any]) -> str:
    """What an id is made from, so that another file seldom makes the same for another thing."""
    if kind is TREES:
        parts = [row["name"]]
    elif kind is GRAFTS:
        parts = [row["tree"], row["variety"]]
    else:
        parts = [row["variety"], str(row["cut_on"].year) if "cut_on" in row else ""]
    return "-".join(filter(None, map(slug, parts))) or kind.one.split()[0]


def _columns(kind: Kind) -> str:
    return ", ".join(field.column for field in kind.fields)

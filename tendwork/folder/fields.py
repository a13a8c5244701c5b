"""The kinds of record, field by field: their CSV columns, their bounds, and their cells in the database.

CSV files and database read the same list, so a column is described once.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date
from enum import Enum
from typing import Any

from msgspec import Struct

from tendwork.orchard.keeping import keeps_fault
from tendwork.orchard.records import (
    ANSWERS,
    GRAFT_STATES,
    KIND_OF,
    MOTHER_HEALTH,
    RECORD_KINDS,
    VERDICTS,
    Graft,
    Life,
    Record,
    RecordKind,
    Sighting,
    Spray,
    Tasting,
    Tick,
    Tree,
    Trouble,
    Variety,
    Wood,
)
from tendwork.orchard.rough_dates import date_of_text, date_text
from tendwork.orchard.tree_size import crown_fault
from tendwork.orchard.troubles import sign_named
from tendwork.orchard.variety_words import bloom_fault, pollen_fault, ripens_fault
from tendwork.plain_text import is_blank

_ID = re.compile(r"[^\s/,;\x00-\x20\x7f]+")
EARLIEST_YEAR, LATEST_YEAR = 1600, 2200  # no tree that stands is older, no plan reaches further
HIGHEST_M = 30
OLDEST_TREE_YEARS = 400
LONGEST_WAIT_DAYS = 365
LEAST_MINUTES, MOST_MINUTES = 0.01, 24 * 60  # of a unit, for which a tick of many may leave little
RESERVED_IDS = frozenset({"site"})


class Form(Enum):
    """What a field holds. REFERENCE is the id of another record, MONTH_DAY a (month, day) pair written MM-DD.

    FACING is whole degrees clockwise from north, read from a compass word, too.
    """

    TEXT = "text"
    ID = "an id"
    REFERENCE = "the id of another record"
    SPECIES = "a species"
    STAGE = "a stage"
    DATE = "a date"
    ROUGH_DATE = "a date, or its month or year"
    MONTH_DAY = "a month and day"
    WHOLE = "a whole number"
    YEAR = "a year"
    NUMBER = "a number"
    FACING = "a direction"
    FLAG = "yes or nothing"


DATES = (Form.DATE, Form.ROUGH_DATE)
NUMBERS = (Form.WHOLE, Form.YEAR, Form.NUMBER, Form.FACING)


class Field(Struct, frozen=True):
    """One field: its name in the record, its CSV column, form and bounds. `to` is the kind a reference points to.

    One that is `required` has no default; one that is `filled` has, so a file may leave it out, but it is never blank.
    `meant` gives the word of which a rule speaks for one that means the same; what it has none for is taken as it is.
    A file may still call it by a name that it had `formerly`.
    `fault` says why a value may not be given, empty where it may; one that is held already is read all the same.
    """

    name: str
    column: str
    form: Form = Form.TEXT
    required: bool = False
    filled: bool = False
    low: float = -math.inf
    high: float = math.inf
    choices: tuple[str, ...] = ()
    meant: Callable[[str], str] | None = None
    fault: Callable[[Any], str] | None = None
    to: RecordKind | None = None
    formerly: tuple[str, ...] = ()


class Kind(Struct, frozen=True):
    """One kind of record: `name` is also its table, its CSV file and its field of Records. Fields are in CSV order.

    `since` is the number of the first schema that has it.
    """

    one: str
    record: type
    fields: tuple[Field, ...]
    since: int = 1

    @property
    def name(self) -> RecordKind:
        return KIND_OF[self.record]

    @property
    def has_id(self) -> bool:
        return self.fields[0].form is Form.ID


def _field(name: str, form: Form = Form.TEXT, column: str = "", **rules: Any) -> Field:
    return Field(name, column or name, form, **rules)


TREES = Kind(
    "tree",
    Tree,
    (
        _field("id", Form.ID),
        _field("name", required=True),
        _field("species", Form.SPECIES, required=True),
        _field("stock"),
        _field("interstem"),
        _field("planted", Form.YEAR, low=EARLIEST_YEAR, high=LATEST_YEAR),
        _field("place"),
        _field("height_m", Form.NUMBER, low=0, high=HIGHEST_M, fault=crown_fault),
        _field("spread_m", Form.NUMBER, low=0, high=HIGHEST_M, fault=crown_fault),
        _field("form"),
        _field("crown_since", Form.YEAR, low=EARLIEST_YEAR, high=LATEST_YEAR),
        _field("note"),
        _field("known_since", Form.DATE),
    ),
)
GRAFTS = Kind(
    "graft",
    Graft,
    (
        _field("id", Form.ID),
        _field("tree", Form.REFERENCE, required=True, to="trees"),
        _field("species", Form.SPECIES),
        _field("variety", required=True),
        _field("method"),
        _field("wrap"),
        _field("seal"),
        _field("state", filled=True, choices=GRAFT_STATES),
        _field("set_on", Form.ROUGH_DATE),
        _field("facing", Form.FACING, low=0, high=359, formerly=("bearing",)),
        _field("height_m", Form.NUMBER, low=0, high=HIGHEST_M),
        _field("out_m", Form.NUMBER, low=0, high=HIGHEST_M),
        _field("wood"),  # no reference: the bundle may be used up and gone, or never have been kept here
        _field("chill", Form.NUMBER, low=0, high=200),
        _field("ripens_from", Form.MONTH_DAY),
        _field("ripens_to", Form.MONTH_DAY),
        _field("note"),
        _field("verdict", filled=True, choices=VERDICTS),
        _field("known_since", Form.DATE),
    ),
)
WOOD = Kind(
    "bundle of wood",
    Wood,
    (
        _field("id", Form.ID),
        _field("variety", required=True),
        _field("species", Form.SPECIES, required=True),
        _field("sticks", Form.WHOLE, required=True, low=0, high=10000),
        _field("cut_on", Form.DATE),
        _field("came_from", column="from"),
        _field("asked_on", Form.DATE),
        _field("answer", choices=ANSWERS),
        _field("mother_years", Form.WHOLE, low=0, high=OLDEST_TREE_YEARS),
        _field("mother_health", choices=MOTHER_HEALTH),
        _field("health_by"),
        _field("kept"),
        _field("promised_to"),
        _field("promised_sticks", Form.WHOLE, filled=True, low=0, high=10000),
        _field("note"),
        _field("known_since", Form.DATE),
    ),
)
SIGHTINGS = Kind(
    "sighting",
    Sighting,
    (
        _field("day", Form.DATE, column="date", required=True),
        _field("species", Form.SPECIES, required=True),
        _field("tree", Form.REFERENCE, to="trees"),
        _field("stage", Form.STAGE, required=True),
        _field("note"),
    ),
)
TASTINGS = Kind(
    "tasting",
    Tasting,
    (
        _field("day", Form.DATE, column="date", required=True),
        _field("graft", Form.REFERENCE, required=True, to="grafts"),
        _field("ripe"),
        _field("score", Form.WHOLE, low=1, high=5),
        _field("use"),
        _field("note"),
    ),
)
TICKS = Kind(
    "tick",
    Tick,
    (
        _field("day", Form.DATE, column="date", required=True),
        _field("task", required=True),
        _field("unit", required=True),
        _field("outcome", filled=True),
        _field("note"),
        _field("undone", Form.FLAG),
        _field("minutes", Form.NUMBER, low=LEAST_MINUTES, high=MOST_MINUTES),
    ),
)
LIVES = Kind(
    "earlier life",
    Life,
    (
        _field("graft", Form.REFERENCE, required=True, to="grafts"),
        _field("species", Form.SPECIES),
        _field("variety", required=True),
        _field("method"),
        _field("wrap"),
        _field("seal"),
        _field("state", filled=True, choices=tuple(state for state in GRAFT_STATES if state != "planned")),
        _field("set_on", Form.ROUGH_DATE),
        _field("ended_on", Form.ROUGH_DATE),
        _field("wood"),
        _field("verdict", filled=True, choices=VERDICTS),
        _field("note"),
    ),
    since=2,
)
TROUBLES_SEEN = Kind(
    "sign of disease",
    Trouble,
    (
        _field("day", Form.DATE, column="date", required=True),
        _field("tree", Form.REFERENCE, required=True, to="trees"),
        _field("what", column="trouble", required=True, meant=sign_named),
        _field("note"),
    ),
    since=3,
)
SPRAYS = Kind(
    "spray",
    Spray,
    (
        _field("day", Form.DATE, column="date", required=True),
        _field("tree", Form.REFERENCE, required=True, to="trees"),
        _field("product", required=True),
        _field("days_to_return", Form.WHOLE, low=0, high=LONGEST_WAIT_DAYS),
        _field("days_to_harvest", Form.WHOLE, low=0, high=LONGEST_WAIT_DAYS),
        _field("note"),
    ),
    since=3,
)
VARIETIES = Kind(
    "variety",
    Variety,
    (
        _field("species", Form.SPECIES, required=True),
        _field("variety", required=True),
        _field("also"),
        _field("bloom", fault=bloom_fault),
        _field("pollen", fault=pollen_fault),
        _field("ripens", fault=ripens_fault),
        _field("keeps", fault=keeps_fault),
        _field("vigour"),
        _field("chill", Form.NUMBER, low=0, high=200),
        _field("use"),
        _field("source"),
        _field("note"),
    ),
    since=7,
)
_ALL = (TREES, WOOD, GRAFTS, SIGHTINGS, TICKS, TASTINGS, LIVES, TROUBLES_SEEN, SPRAYS, VARIETIES)
KINDS: dict[RecordKind, Kind] = {name: next(kind for kind in _ALL if kind.name == name) for name in RECORD_KINDS}


def kind_of(record: Record) -> Kind:
    """The kind that a record is of."""
    return KINDS[KIND_OF[type(record)]]


def value_fault(field: Field, value: Any) -> str:
    """Why a field may not be given `value`, in words that follow the field's name; empty if it may."""
    is_nothing = value is None or (isinstance(value, str) and is_blank(value))
    return held_fault(field, value) or ("" if field.fault is None or is_nothing else field.fault(value))


def held_fault(field: Field, value: Any) -> str:
    """Why no record ever held `value` in a field, in words that follow the field's name; empty if one may."""
    if value is None or (isinstance(value, str) and is_blank(value)):
        return "is missing" if field.required or field.filled or field.form is Form.ID else ""
    if field.form is Form.ID and (not _ID.fullmatch(value) or value in RESERVED_IDS):
        return f'"{value}" cannot be an id: it must be one word without / , or ; and not "site"'
    if field.choices and value not in field.choices:
        return f'"{value}" is not one of {", ".join(field.choices)}'
    if field.form in DATES and not EARLIEST_YEAR <= value.year <= LATEST_YEAR:
        return f"{date_text(value)} is not between {EARLIEST_YEAR} and {LATEST_YEAR}"
    if field.form in NUMBERS and not field.low <= value <= field.high:
        return f"{value:g} is not between {field.low:g} and {field.high:g}"
    return ""


def record_fault(record: Record) -> str:
    """Why a record may not be kept, as `key: what is wrong`; empty if it may."""
    for field in kind_of(record).fields:
        if fault := value_fault(field, getattr(record, field.name)):
            return f"{field.column} {fault}"
    return ""


def to_cell(field: Field, value: Any) -> Any:
    """A field's value as the database keeps it: dates and days as ISO text, an empty reference as NULL."""
    if value is None or (field.form is Form.REFERENCE and value == ""):
        return None
    if field.form in DATES:
        return date_text(value)
    if field.form is Form.MONTH_DAY:
        return f"{value[0]:02d}-{value[1]:02d}"
    return int(value) if field.form is Form.FLAG else value


def from_cell(field: Field, cell: Any) -> Any:
    """The value of a field from its cell of the database. Raises ValueError for a cell that holds something else."""
    if cell is None:
        return "" if field.form is Form.REFERENCE else None
    if field.form is Form.DATE:
        return date.fromisoformat(cell)
    if field.form is Form.ROUGH_DATE:
        return date_of_text(cell)
    if field.form is Form.MONTH_DAY:
        month, day = cell.split("-")
        return int(month), int(day)
    return bool(cell) if field.form is Form.FLAG else cell


def number_text(value: float) -> str:
    """The shortest text that reads back as the same number: 2, 2.5, -0.1."""
    return repr(int(value)) if float(value).is_integer() and abs(value) < 1e15 else repr(value)

"""The published lists of varieties that ship with the program, read when somebody asks for them.

`varieties.csv` has a row for each value of each source, `sources.csv` says who they are, with a grade. What the lists
say of bloom stands in almanac/published_bloom.py, because the almanac goes by it, and is joined here. Only what the
almanac does not go by, hobby lists and places without days, stands in the CSV file. Other names stand in
variety_names.py, since all that compares varieties goes by them.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from tendwork.almanac.bloom_order import bloom_order
from tendwork.almanac.published_bloom import PUBLISHED
from tendwork.bloom_groups import group_of_days
from tendwork.folder.data_files import VARIETY_LISTS, data_folder
from tendwork.orchard.variety_reference import (
    LISTED_FIELDS,
    BloomPlace,
    ListedField,
    ListedVariety,
    Said,
    VarietyReference,
)
from tendwork.variety_names import OTHER_NAMES, Key, variety_key

HOBBY = "C"


@cache
def variety_reference() -> VarietyReference:
    """What the shipped lists say of varieties."""
    folder = data_folder(VARIETY_LISTS)
    hobby = {row["name"]: row["grade"] == HOBBY for row in _rows(folder / "sources.csv")}
    names: dict[Key, str] = {}
    said: dict[Key, dict[str, list[Said]]] = {}
    others = {
        variety_key(*variety): tuple(Said(name, source) for name, source in named.items())
        for variety, named in OTHER_NAMES.items()
    }

    def note(species: str, variety: str, field: str, value: Said) -> None:
        key = variety_key(species, variety)
        names.setdefault(key, variety)
        said.setdefault(key, {}).setdefault(field, []).append(value)

    for published in PUBLISHED:
        note(published.species, published.variety, "bloom", Said(published.place, published.source))
    for row in _rows(folder / "varieties.csv"):
        value = Said(row["value"], row["source"], hobby[row["source"]])
        note(row["species"], row["variety"], row["field"], value)
    return VarietyReference(_listed(key[0], name, said[key], others.get(key, ())) for key, name in names.items())


def _listed(species: str, variety: str, said: dict[str, list[Said]], also: tuple[Said, ...]) -> ListedVariety:
    fields: dict[ListedField, tuple[Said, ...]] = {name: tuple(said[name]) for name in LISTED_FIELDS if name in said}
    return ListedVariety(species, variety, also, fields, _bloom_place(species, variety))


def _bloom_place(species: str, variety: str) -> BloomPlace | None:
    """The variety's place in the bloom order, which the words name list by list."""
    order = bloom_order(species, variety)
    if order is None:
        return None
    rows = [row for row in PUBLISHED if variety_key(row.species, row.variety) == variety_key(species, variety)]
    words = "; ".join(f"{row.place} [{row.source}]" for row in rows)
    return BloomPlace(group_of_days(order.days), words)


def _rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))

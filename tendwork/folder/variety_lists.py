"""The published lists of varieties that ship with the program, read when somebody asks for them.

`varieties.csv` has a row for each value of each source, `sources.csv` says who they are, with a grade. What the lists
say of bloom stands in almanac/published_bloom.py, because the almanac goes by it, and is joined here. Only what the
almanac does not go by, hobby lists and places without days, stands in the CSV file. The same holds for other names.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from tendwork.almanac.bloom_order import DAYS_OF_A_GROUP, bloom_order
from tendwork.almanac.published_bloom import OTHER_NAMES, PUBLISHED
from tendwork.folder.data_files import VARIETY_LISTS, data_folder
from tendwork.orchard.variety_reference import (
    LISTED_FIELDS,
    BloomPlace,
    ListedField,
    ListedVariety,
    Said,
    VarietyReference,
)
from tendwork.plain_text import folded_name

HOBBY = "C"
_ALSO = "also"
_SPECIES_GROUP = 3.0
_BLOOM_ORDER = "the bloom order of almanac/published_bloom.py"


@cache
def variety_reference() -> VarietyReference:
    """What the shipped lists say of varieties."""
    folder = data_folder(VARIETY_LISTS)
    hobby = {row["name"]: row["grade"] == HOBBY for row in _rows(folder / "sources.csv")}
    names: dict[tuple[str, str], str] = {}
    said: dict[tuple[str, str], dict[str, list[Said]]] = {}

    def note(species: str, variety: str, field: str, value: Said) -> None:
        key = species, folded_name(variety)
        names.setdefault(key, variety)
        said.setdefault(key, {}).setdefault(field, []).append(value)

    for published in PUBLISHED:
        note(published.species, published.variety, "bloom", Said(published.place, published.source))
    for (species, variety), others in OTHER_NAMES.items():
        for other in others:
            note(species, variety, _ALSO, Said(other, _BLOOM_ORDER))
    for row in _rows(folder / "varieties.csv"):
        value = Said(row["value"], row["source"], hobby[row["source"]])
        note(row["species"], row["variety"], row["field"], value)
    return VarietyReference(_listed(key[0], name, said[key]) for key, name in names.items())


def _listed(species: str, variety: str, said: dict[str, list[Said]]) -> ListedVariety:
    fields: dict[ListedField, tuple[Said, ...]] = {name: tuple(said[name]) for name in LISTED_FIELDS if name in said}
    return ListedVariety(species, variety, tuple(said.get(_ALSO, ())), fields, _bloom_place(species, variety))


def _bloom_place(species: str, variety: str) -> BloomPlace | None:
    """The variety's place in the bloom order, which the words name list by list."""
    order = bloom_order(species, variety)
    if order is None:
        return None
    rows = [row for row in PUBLISHED if (row.species, folded_name(row.variety)) == (species, folded_name(variety))]
    words = "; ".join(f"{row.place} [{row.source}]" for row in rows)
    return BloomPlace(_SPECIES_GROUP + order.days / DAYS_OF_A_GROUP, words)


def _rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))

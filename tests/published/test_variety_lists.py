"""The shipped lists of varieties: rows against their sources of grade A and B, and the order of the tables.

Rows of grade C (hobby lists) and M (memory) are looked at for their form alone: what they say decides nothing here.
"""

from __future__ import annotations

import csv
from collections import Counter

import pytest

from tendwork.almanac.published_bloom import PUBLISHED
from tendwork.folder.data_files import VARIETY_LISTS, data_folder
from tendwork.folder.variety_lists import variety_reference
from tendwork.orchard.variety_reference import LISTED_FIELDS
from tendwork.orchard.variety_words import ripens_against
from tendwork.plain_text import folded_name
from tendwork.species import SPECIES
from tendwork.variety_names import OTHER_NAMES, listed_names, variety_key


def table(name: str) -> list[dict[str, str]]:
    file = data_folder(VARIETY_LISTS) / name
    return list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))


SOURCES = {row["name"]: row["grade"] for row in table("sources.csv")}
ROWS = table("varieties.csv")


@pytest.mark.parametrize(
    ("species", "variety", "field", "value", "source"),
    [
        # OMAFRA 02-037, Sweet and Tart Cherry Cultivars: incompatibility groups, first harvests at Vineland.
        ("sweet cherry", "Bing", "pollen", "incompatibility group III", "OMAFRA 02-037"),
        ("sweet cherry", "Van", "pollen", "incompatibility group II", "OMAFRA 02-037"),
        ("sweet cherry", "Lapins", "ripens", "Bing +18", "OMAFRA 02-037"),
        # Van Well Nursery: 'Lapins' a week after 'Bing' in Washington; the two disagree, and both stand.
        ("sweet cherry", "Lapins", "ripens", "Bing +7", "Van Well Nursery, undated"),
        # NC State HIL-302: 'McIntosh' 10 days before 'Red Delicious', 'Mutsu' with sterile pollen.
        ("apple", "McIntosh", "ripens", "Red Delicious -10", "NC State HIL-302, 1998"),
        ("apple", "Mutsu", "pollen", "sterile pollen", "NC State HIL-302, 1998"),
        # RHS, 10 AGM apples.
        ("apple", "Blenheim Orange", "pollen", "triploid", "RHS, 10 AGM apples, undated"),
        ("apple", "Blenheim Orange", "keeps", "Jan", "RHS, 10 AGM apples, undated"),
        ("apple", "Blenheim Orange", "bloom", "group 3", "RHS, 10 AGM apples, undated"),
        # K-State: 'Empire' keeps 150 days; Utah State: it does not keep. Both stand.
        ("apple", "Empire", "keeps", "150 days", "K-State (W. Upham), undated"),
        ("apple", "Empire", "keeps", "does not keep", "Intermountain fruit guide, undated"),
        # Fruition Horticulture in The Orchardist, 2019: 'Royal Gala' 135 days, 124 to 151 in 21 seasons.
        ("apple", "Royal Gala", "days from bloom", "135 (124-151)", "The Orchardist, 2019"),
        # Penn State: 'Bartlett' 110 to 133 days.
        ("pear", "Bartlett", "days from bloom", "110-133", "Penn State, pear maturity, undated"),
        # ANFIC, 2014; BBC Gardeners' World, 2021.
        ("sweet cherry", "Stella", "pollen", "self-fertile", "ANFIC, 2014"),
        ("apple", "James Grieve", "pollen", "partly self-fertile", "BBC Gardeners' World, 2021"),
    ],
)
def test_what_a_source_says_stands_under_its_name(
    species: str, variety: str, field: str, value: str, source: str
) -> None:
    assert SOURCES.get(source, "A") in ("A", "B")
    found = variety_reference().find(species, variety)
    assert found is not None
    (said,) = [one for one in found.said[field] if one.by == source and one.value == value]  # type: ignore[index]
    assert not said.hobby


@pytest.mark.parametrize(
    ("species", "written", "meant"),
    [
        ("apple", "crispin", "Mutsu"),  # of the bloom order
        ("apple", "Tompkins King", "King of Tompkins County"),
        ("pear", "Williams\u2019 bon chrétien", "Bartlett"),
        ("pear", "Williams", "Bartlett"),  # so the nurseries whose unions the table has call it
        ("sweet cherry", "ROYAL-ANN", "Napoleon"),
        ("pear", "Gräfin von Paris", "Graefin von Paris"),
        ("apple", "Bartlett", None),
    ],
)
def test_a_variety_is_found_by_its_other_names_and_in_its_species_alone(
    species: str, written: str, meant: str | None
) -> None:
    found = variety_reference().find(species, written)
    assert (None if found is None else found.variety) == meant


def test_every_row_has_a_species_a_field_a_value_and_a_source_with_a_grade() -> None:
    assert len(ROWS) > 500
    assert {row["species"] for row in ROWS} <= set(SPECIES)
    assert {row["field"] for row in ROWS} == set(LISTED_FIELDS)
    assert {row["source"] for row in ROWS} == set(SOURCES)
    assert set(SOURCES.values()) <= {"A", "B", "C", "M"}
    assert all(row["value"].strip() == row["value"] != "" and row["variety"] for row in ROWS)
    assert max(Counter(tuple(row.values()) for row in ROWS).values()) == 1


def test_what_is_of_a_hobby_list_says_so_wherever_it_stands() -> None:
    hobby = {name for name, grade in SOURCES.items() if grade == "C"}
    said = [one for listed in variety_reference().listed for those in listed.said.values() for one in those]
    assert {one.by for one in said if one.hobby} == hobby
    assert all(("[hobby list: " in one.words) == one.hobby for one in said)


def test_no_fact_of_the_bloom_order_is_kept_twice() -> None:
    """Of grade A and B only what has no place in days, or speaks beside days that were measured."""
    graded = {row["variety"] for row in ROWS if row["field"] == "bloom" and SOURCES[row["source"]] in ("A", "B")}
    assert graded == {"Cacanska Rana", "Surefire", "Marjorie's Seedling"}
    order = {row.source for row in PUBLISHED}
    assert not [row for row in ROWS if row["field"] == "bloom" and row["source"] in order]


def test_a_name_means_one_variety() -> None:
    reference = variety_reference()
    main = {(one.species, folded_name(one.variety)) for one in reference.listed}
    assert len(main) == len(reference.listed)
    also = {(one.species, folded_name(name.value), one.variety) for one in reference.listed for name in one.also}
    names = [(species, name) for species, name, _ in also]
    assert len(names) == len(set(names))
    assert not main & set(names)


def test_every_other_name_has_who_gives_it_and_means_one_variety_alone() -> None:
    main = {variety_key(*variety) for variety in OTHER_NAMES} | {
        variety_key(row["species"], row["variety"]) for row in ROWS
    }
    others = [variety_key(species, name) for (species, _), held in OTHER_NAMES.items() for name in held]
    assert len(others) == len(set(others))
    assert not main & set(others)
    assert all(source for held in OTHER_NAMES.values() for source in held.values())
    assert listed_names("pear", "WILLIAMS") == listed_names("pear", "bartlett") != ()
    assert listed_names("apple", "Bartlett") == ()


def test_ripening_is_against_a_variety_or_in_the_words_of_the_source() -> None:
    values = [row["value"] for row in ROWS if row["field"] == "ripens"]
    standards = Counter(found[0] for value in values if (found := ripens_against(value)) is not None)
    assert set(standards) == {"Red Delicious", "Gala", "Redhaven", "Bing", "Stanley", "Montmorency", "San Castrese"}
    rest = [value for value in values if ripens_against(value) is None]
    assert all(value.endswith(" in California") for value in rest)

"""The bloom order of varieties against the lists themselves.

The lists stand in data/bloom-order.csv, each row with its source and a grade: A university or station, B nursery, trade
press or learned society, C hobby page or forum. Only A and B are taken.
"""

from __future__ import annotations

import csv
import re
from datetime import date, timedelta
from functools import cache
from itertools import pairwise
from pathlib import Path
from statistics import mean, pstdev

import pytest
from reference_climates import CLIMATES

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.bloom_order import bloom_order
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.published_bloom import PUBLISHED, Published
from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import Normals, SourceDay, build_series
from tendwork.bloom_groups import DAYS_OF_A_GROUP

JULY, SEASON = date(2024, 7, 10), Season(2024)
# What is left out of the graded A and B rows, and why.
NO_DAYS = {
    "Surefire": "very late, but no list of sour cherries says in days how late that is",
    "Cacanska Lepotica": "the standard of a comparison with Japanese plums, not with its own species",
    "Cacanska Rana": "mid-early, in a list of which no other variety is known",
}
NORTH_CAROLINA = {"very early-early": 0, "early": 1, "early-mid": 2, "mid": 3, "late": 4}


def published() -> list[dict[str, str]]:
    file = Path(__file__).parent / "data" / "bloom-order.csv"
    return list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))


def graded() -> list[dict[str, str]]:
    return [row for row in published() if row["grade"] in "AB" and row["variety"] not in NO_DAYS]


def place_in_list(row: dict[str, str]) -> float | None:
    """The group's number, its letter as one, the rank of a word, or days; None where the row says it in a sentence."""
    said = row["bloom_group_or_days"].split("(")[0].strip()
    if said in NORTH_CAROLINA:
        return NORTH_CAROLINA[said]
    if re.fullmatch(r"[A-H]", said):
        return ord(said) - ord("A") + 1
    return float(said) if re.fullmatch(r"[+-]?\d+", said) else None


@pytest.mark.parametrize("row", graded(), ids=lambda row: f"{row['variety']}, {row['source'][:30]}")
def test_every_row_of_grade_a_or_b_is_in_the_table(row: dict[str, str]) -> None:
    assert bloom_order(row["species"], row["variety"]) is not None


def test_what_only_a_hobby_page_says_is_not_in_the_table() -> None:
    taken = {(row["species"], row["variety"]) for row in published() if row["grade"] in "AB"}
    only_c = {(row["species"], row["variety"]) for row in published()} - taken
    assert len(only_c) > 10
    assert not [held for held in PUBLISHED if (held.species, held.variety) in only_c]


def test_what_a_list_puts_later_is_later_within_each_list() -> None:
    """Of each list alone: days where it gives days, else the places; 'Gala', in two lists, stands between them."""
    compared = 0
    rows = [row for row in graded() if row["variety"] not in ("Gala", "Winter Nelis")]
    rows = [row for row in rows if not (row["variety"] == "Marjorie's Seedling" and "Pennard" in row["source"])]
    rows = [row for row in rows if row["variety"] != "Jonagold" or "NC State" in row["source"]]
    for one in rows:
        for other in rows:
            places = place_in_list(one), place_in_list(other)
            if one["species"] == other["species"] and one["source"] == other["source"] and None not in places:
                orders = [bloom_order(row["species"], row["variety"]) for row in (one, other)]
                days = [order.days for order in orders if order is not None]
                assert (days[0] < days[1]) == (places[0] < places[1]), (one["variety"], other["variety"])
                compared += places[0] != places[1]
    assert compared > 200


def test_plums_lie_within_the_days_seen_at_brogdale() -> None:
    """National Fruit Collection, full flower, days from 'Czar', 2013, 2019, 2022 and 2023: lowest to highest."""
    for row in published():
        found = re.search(r"\(([+-]?\d+) to ([+-]?\d+)\)", row["bloom_group_or_days"])
        if found:
            order = bloom_order(row["species"], row["variety"])
            assert order is not None
            assert int(found.group(1)) <= order.days <= int(found.group(2))


def test_a_group_is_as_long_as_in_the_one_list_that_dates_the_english_groups() -> None:
    """A hobby page: A 1-3 May, B 4-7, C 8-11, D 12-15, E 16-18, F 19-23, G 24-28 May."""
    groups = ((1, 3), (4, 7), (8, 11), (12, 15), (16, 18), (19, 23), (24, 28))
    steps = [mean(later) - mean(earlier) for earlier, later in pairwise(groups)]
    assert mean(steps) == pytest.approx(DAYS_OF_A_GROUP)


def test_a_group_is_no_longer_than_a_nursery_s_five_weeks_for_all_seven() -> None:
    """Tom the Apple Man, nursery: the earliest can flower up to five weeks before the latest."""
    assert 7 * DAYS_OF_A_GROUP <= 35


def test_a_lead_of_days_is_as_unsure_as_it_was_at_brogdale() -> None:
    """'Cambridge Gage' was in full flower 5, 3, 0 and 0 days after 'Czar' (2019, 2022, 2023, 2013)."""
    order = bloom_order("plum", "Cambridge Gage")
    assert order is not None
    assert order.days == mean((5, 3, 0, 0))
    assert order.sd_days == pytest.approx(pstdev((5, 3, 0, 0)), abs=0.5)


def test_sweet_cherries_differ_by_no_more_than_in_ontario() -> None:
    """OMAFRA 02-037: all kinds average 12 to 15 May, so none is further than 1.5 days from the middle."""
    rows = [held for held in PUBLISHED if held.species == "sweet cherry"]
    assert rows
    assert all(held.days is not None and abs(held.days) <= 1.5 for held in rows)


@pytest.mark.parametrize(
    ("species", "written", "meant"),
    [
        ("apple", "BLENHEIM-ORANGE", "Blenheim Orange"),
        ("apple", "Chatley\u2019s kernel", "Chatley's Kernel"),
        ("apple", "Bramleys Seedling", "Bramley's Seedling"),
        ("apple", "Tokyo Rose", "Akane"),
        ("apple", "delicious", "Red Delicious"),
        ("apple", "Zestar!", "Zestar"),
        ("pear", "Beurré Hardy", "Beurre Hardy"),
        ("pear", "Duchesse d\u2019Angoulême", "Duchesse d'Angouleme"),
        ("plum", " imperial  gage", "Denniston's Superb"),
    ],
)
def test_names_match_without_regard_to_case_spaces_accents_hyphens_and_quotes(
    species: str, written: str, meant: str
) -> None:
    found = bloom_order(species, written)
    assert found is not None
    assert found == bloom_order(species, meant)


@pytest.mark.parametrize(
    ("species", "variety"), [("apple", ""), ("apple", "Late Lamp"), ("pear", "Gala"), ("apple", "!")]
)
def test_a_name_that_no_list_has_is_not_found(species: str, variety: str) -> None:
    assert bloom_order(species, variety) is None


@cache
def almanac(climate: str = "East Malling") -> Almanac:
    latitude, minima, maxima, _ = CLIMATES[climate]
    normals = Normals(tuple(map(float, minima.split())), tuple(map(float, maxima.split())))
    rows = [SourceDay(*day, False) for day in invented_days(normals, 1, date(2022, 1, 1), JULY)]
    made, _ = build_series(rows, normals)
    return Almanac(Place(latitude), made, (), JULY)


def bloom(species: str, variety: str, stage: str = "full bloom") -> StageDate:
    return almanac().stage(species, stage, SEASON, variety)


@pytest.mark.parametrize("species", ["apple", "pear", "plum"])
def test_a_place_has_its_varieties_in_bloom_in_the_published_order(species: str) -> None:
    days = {row.variety: bloom_order(species, row.variety) for row in PUBLISHED if row.species == species}
    order = sorted(days, key=lambda variety: getattr(days[variety], "days", 0.0))
    dates = [bloom(species, variety).date for variety in order]
    assert None not in dates
    assert dates == sorted(date for date in dates if date is not None)
    assert dates[0] != dates[-1]


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: f"{row.variety}, {row.source[:20]}")
def test_the_reason_names_the_source_and_the_place_in_its_list(row: Published) -> None:
    (words,) = [word for word in bloom(row.species, row.variety).because if "in full bloom" in word]
    assert row.source in words
    assert row.place in words


def test_before_bloom_the_order_is_closer() -> None:
    days = []
    for stage in ("green tip", "tight cluster", "pink", "full bloom"):
        late, early = (bloom("apple", variety, stage).date for variety in ("Newton Wonder", "Ribston Pippin"))
        assert late is not None
        assert early is not None
        days.append(late - early)
    assert timedelta() <= days[0] < days[-1]
    assert days == sorted(days)


def test_where_the_heat_comes_fast_the_order_is_squeezed_and_nowhere_stretched() -> None:
    """Brogdale, late springs of 2013 and 2023: 'Cambridge Gage' with 'Czar', after 5 and 3 days in other years."""
    order = bloom_order("plum", "Marjorie's Seedling")
    assert order is not None
    slow, usual, fast = (order.days_at(1.0, rate) for rate in (0.02, 0.045, 0.09))
    assert slow == usual == order.days
    assert fast == order.days / 2

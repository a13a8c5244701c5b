"""Any graft in three key presses."""

from __future__ import annotations

import pytest
from orchard_records import graft

from tendwork.orchard.finding import found
from tendwork.orchard.records import Graft

NAMES = (
    "Ashmead's Kernel",
    "Annie Elizabeth",
    "Kestrel Pippin",
    "Belle de Boskoop",
    "Reinette d'Orléans",
    "Frost-on-the-Gate",
    "Bellringer",
)
GRAFTS = tuple(graft(f"g{number:02d}", variety=name) for number, name in enumerate(NAMES, 1))


@pytest.mark.parametrize(
    ("query", "first"),
    [
        ("g03", "Kestrel Pippin"),
        ("3", "Kestrel Pippin"),
        ("ak", "Ashmead's Kernel"),
        ("AE", "Annie Elizabeth"),
        ("kes", "Kestrel Pippin"),
        ("pip", "Kestrel Pippin"),
        ("bdb", "Belle de Boskoop"),
        ("orl", "Reinette d'Orléans"),
        ("Orlé", "Reinette d'Orléans"),
        ("fot", "Frost-on-the-Gate"),
        ("ring", "Bellringer"),
    ],
)
def test_a_short_query_brings_the_graft_that_is_meant_first(query: str, first: str) -> None:
    assert found(GRAFTS, query)[0].variety == first


def test_initials_go_before_beginnings_and_those_before_letters_within() -> None:
    grafts = (graft("x1", variety="Kabel"), graft("x2", variety="Abbot"), graft("x3", variety="Apple Bee"))
    assert [one.id for one in found(grafts, "ab")] == ["x3", "x2", "x1"]


def test_a_number_finds_its_graft_before_ids_that_begin_with_it() -> None:
    grafts = (graft("12-old"), graft("g120"), graft("g12"))
    assert [one.id for one in found(grafts, "12")] == ["g12", "12-old", "g120"]


def test_what_does_not_match_is_not_found() -> None:
    assert found(GRAFTS, "zq") == ()


@pytest.mark.parametrize("query", ["", "  ", "'"])
def test_an_empty_query_leaves_all_as_they_are(query: str) -> None:
    assert found(GRAFTS, query) == GRAFTS


def test_equal_matches_stay_in_the_order_of_entry() -> None:
    assert [one.id for one in found(GRAFTS, "bel")] == ["g04", "g07"]


def test_every_graft_of_an_orchard_with_hundreds_comes_first_in_three_presses() -> None:
    grafts = tuple(graft(f"g{number}", variety=f"Variety {number % 100}") for number in range(1, 1000))

    def presses(one: Graft) -> str:
        return one.id[1:]

    assert all(len(presses(one)) <= 3 and found(grafts, presses(one))[0] == one for one in grafts[::37])

"""What follows from the records of a graft that is of another species than its tree."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.orchard.bloom_overlap import bloom_overlaps, blooms
from tendwork.orchard.edits import applied
from tendwork.orchard.graft_species import species_grown, species_on, stock_words, variety_words
from tendwork.orchard.records import Graft, Life, Records, Sighting, Tree, Wood
from tendwork.orchard.ripening import ripening
from tendwork.orchard.series import Draft, set_grafts, species_to_set
from tendwork.orchard.sighting_edits import sighting_of
from tendwork.orchard.take_rates import trials
from tendwork.orchard.wood_balance import wood_balance

TODAY = date(2026, 4, 20)
PLUM = Tree("t1", "Shed plum", "plum")
PEACH = Graft("g1", "t1", "Early Peach", species="peach", state="bearing", set_on=date(2020, 5, 1), ripens_from=(8, 1))
VICTORIA = Graft("g2", "t1", "Victoria", state="bearing", set_on=date(2020, 4, 1), note="bloom group 3")
OTHER = Graft("g3", "t1", "Marjorie", state="bearing", set_on=date(2020, 4, 1), note="bloom group 3")
RECORDS = Records((PLUM,), (PEACH, VICTORIA, OTHER))


def wood(identity: str, species: str, variety: str = "Early Peach") -> Wood:
    return Wood(identity, variety, species, 3, date(2026, 3, 10))


def test_it_blooms_and_ripens_as_what_it_is_and_pairs_with_no_plum() -> None:
    seen = tuple(Sighting(date(2026, 4, 2), species, "full bloom", "t1") for species in ("peach", "plum"))
    assert blooms(replace(RECORDS, sightings=seen)).keys() == {("peach", "Early Peach")}
    assert [(one.species, one.one, one.other) for one in bloom_overlaps(RECORDS)] == [("plum", "Marjorie", "Victoria")]
    assert [(span.species, span.variety) for span in ripening(RECORDS)] == [("peach", "Early Peach")]


def test_its_planned_graft_needs_wood_of_its_species() -> None:
    waiting = replace(PEACH, state="planned", set_on=None)
    held = (wood("w1", "plum"), wood("w2", "peach"))
    balances = {one.species: one for one in wood_balance(Records((PLUM,), (waiting,), held), TODAY, ())}
    assert (balances["peach"].grafts, balances["peach"].held) == (1, 3)
    assert balances["plum"].grafts == 0


def test_what_took_and_what_failed_counts_for_its_species() -> None:
    lost = Life("g1", "Lost Apricot", "cleft", state="failed", species="apricot", set_on=date(2018, 4, 1))
    assert [one.species for one in trials(replace(RECORDS, lives=(lost,)))] == ["apricot", "peach", "plum", "plum"]


@pytest.mark.parametrize(
    ("held", "named", "species"),
    [
        ((), "", "plum"),
        ((wood("w1", "peach"),), "", "peach"),
        ((wood("w1", "peach"), wood("w2", "plum")), "", "plum"),
        ((wood("w1", "peach"), wood("w2", "plum")), "w1", "peach"),
        ((wood("w1", "apple"),), "", "plum"),
        ((wood("w1", "apple"),), "w1", "plum"),
    ],
)
def test_what_is_set_is_of_the_species_of_its_wood(held: tuple[Wood, ...], named: str, species: str) -> None:
    records = Records((PLUM,), wood=held)
    assert species_to_set(records, PLUM, "Early Peach", named) == species
    edit = set_grafts(records, [Draft("t1", "Early Peach", "cleft", "film", wood=named)], TODAY)
    (graft,) = applied(records, edit).grafts
    assert graft.species == ("" if species == "plum" else species)


def test_a_planned_graft_that_is_set_keeps_its_species_and_takes_its_wood() -> None:
    waiting = replace(PEACH, state="planned", set_on=None, method="cleft")
    records = Records((PLUM,), (waiting,), (wood("w1", "plum"), wood("w2", "peach")))
    (graft,) = applied(records, set_grafts(records, [Draft("t1", "Early Peach")], TODAY)).grafts
    assert (graft.species, graft.wood, graft.state) == ("peach", "w2", "set")


def test_a_stage_may_be_seen_of_what_grows_on_a_tree() -> None:
    assert sighting_of(RECORDS, "peach", "pink", TODAY, "t1", "").species == "peach"
    with pytest.raises(PersonError, match='Tree "t1" is plum, not apricot, and carries no graft of apricot'):
        sighting_of(RECORDS, "apricot", "first bloom", TODAY, "t1", "")


def test_species_grown_are_those_of_trees_and_of_what_lives_on_them() -> None:
    gone = Graft("g4", "t1", "Gone", species="apricot", state="failed")
    records = replace(RECORDS, grafts=(*RECORDS.grafts, gone))
    assert species_grown(records) == {"plum", "peach"}
    assert species_on(records, PLUM) == ("plum", "peach")


def test_the_species_is_told_only_where_it_is_not_the_trees() -> None:
    assert variety_words(PEACH, PLUM) == "Early Peach, peach"
    assert variety_words(replace(VICTORIA, species="plum"), PLUM) == "Victoria"


@pytest.mark.parametrize(
    ("stock", "interstem", "words"),
    [
        ("seedling", "M.9", "seedling, interstem M.9"),
        ("seedling", "", "seedling"),
        ("seedling", "none", "seedling"),
        ("", "M.9", "interstem M.9"),
        ("", "", ""),
    ],
)
def test_what_a_tree_stands_on_is_told_as_far_as_it_is_noted(stock: str, interstem: str, words: str) -> None:
    assert stock_words(replace(PLUM, stock=stock, interstem=interstem)) == words

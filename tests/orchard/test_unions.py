"""Unions of an orchard: what stands on what, what is said of it, and what is not known."""

from __future__ import annotations

from datetime import date
from itertools import product
from typing import get_args

import pytest
from msgspec.structs import replace

from tendwork.orchard.compatibility import (
    DEPENDS,
    NOT,
    PAIR_VERDICTS,
    PAIRS,
    POME,
    SHORT,
    STONE,
    TAKES,
    UNKNOWN,
    own_pairs,
    pair_of,
)
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.rough_dates import RoughDate
from tendwork.orchard.stocks import STOCKS, Kind, own_kind, stock_named
from tendwork.orchard.unions import (
    graft_hint,
    graft_union,
    hints,
    planned_hint,
    tree_hint,
    tree_hints,
    tree_union,
    union_words,
)
from tendwork.species import SPECIES, family_of

TODAY = date(2026, 1, 20)
ON_QUINCE = Tree("t1", "Wall pear", "pear", "Quince A", 2020)
BUSH = Tree("t2", "Bush", "quince", planted=2010)


def planned(variety: str = "Any", species: str = "", **more) -> Graft:
    return Graft("g1", "t1", variety, "cleft", species=species, **more)


def verdict(species: str, stock: str, interstem: str = "") -> str:
    union = tree_union(Tree("t1", "T", species, stock, interstem=interstem), TODAY)
    assert union is not None
    return union.verdict


@pytest.mark.parametrize("species", SPECIES)
@pytest.mark.parametrize("stock", ["seedling", "own roots", "Seedling of its own"])
def test_a_species_takes_on_its_own_seedling(species: str, stock: str) -> None:
    assert verdict(species, stock) == TAKES
    assert tree_hint(Tree("t1", "T", species, stock), TODAY) == ""


@pytest.mark.parametrize("species", SPECIES)
def test_a_graft_of_the_trees_own_species_takes_on_its_limbs(species: str) -> None:
    assert graft_hint(planned(), Tree("t1", "T", species), TODAY) == ""


def test_every_pair_has_a_row_or_is_not_known() -> None:
    kinds = get_args(Kind)
    unknown = {(one, kind) for one, kind in product(SPECIES, kinds) if pair_of(one, kind).verdict == UNKNOWN}
    assert {pair_of(one, kind).verdict for one, kind in product(SPECIES, kinds)} == set(PAIR_VERDICTS)
    no_row = {kind for _, kind in unknown}
    assert no_row == {"other", "medlar", "sour cherry"}  # no source that we know has a column for them
    assert all((one, "other") in unknown for one in SPECIES)


@pytest.mark.parametrize(("scion", "framework"), list(product(SPECIES, SPECIES)))
def test_nothing_takes_across_the_families_and_everything_on_itself(scion: str, framework: str) -> None:
    union = graft_union(planned(species=scion), Tree("t1", "T", framework), TODAY)
    if framework not in family_of(scion):
        assert union.verdict == NOT
    assert (union.verdict == TAKES) >= (scion == framework)


def test_no_row_of_the_table_is_never_reached() -> None:
    """The first row of a pair counts, so that a later one of the same pair is without effect, but for the rest."""
    general = (set(POME), set(STONE))
    for pair in PAIRS:
        if set(pair.stocks) not in general and "same species" not in pair.why:
            assert all(pair_of(pair.scion, kind) is pair for kind in pair.stocks), pair


@pytest.mark.parametrize(
    ("word", "species", "kind"),
    [
        ("Quince A", "pear", "quince"), ("quince a", "pear", "quince"), ("EMA quince", "pear", "quince"),
        ("BA29", "pear", "quince"), ("MM106", "apple", "apple"), ("M.26", "apple", "apple"),
        ("St Julien A", "plum", "plum"), ("St. Julien", "peach", "plum"), ("Myrobalan B", "plum", "myrobalan"),
        ("cherry plum", "plum", "myrobalan"), ("Marianna 2624", "apricot", "myrobalan"),
        ("Pyrodwarf", "pear", "pear"), ("OHxF 97", "pear", "pear"), ("OHxF97", "pear", "pear"),
        ("Gisela 5", "sweet cherry", "hybrid cherry"), ("GiSelA 6", "sweet cherry", "hybrid cherry"),
        ("Krymsk 5", "sweet cherry", "hybrid cherry"), ("Krymsk 1", "plum", "other"), ("Colt", "plum", "hybrid cherry"),
        ("F12/1", "sweet cherry", "mazzard"), ("SL64", "sour cherry", "mahaleb"), ("Sainte", "plum", None),
        ("apple seedling", "pear", "apple"), ("peach seedling", "plum", "peach"), ("hawthorn", "pear", "hawthorn"),
        ("EMLA 26", "apple", "apple"), ("emla26", "apple", "apple"), ("Malling Merton 106", "apple", "apple"),
        ("St Julian", "plum", "plum"), ("Saint Julian A", "peach", "plum"),
        ("Japanese plum", "plum", "japanese plum"), ("Boskoop", "apple", None), ("", "apple", None),
    ],
)  # fmt: skip
def test_a_stock_is_known_by_what_people_write(word: str, species: str, kind: str | None) -> None:
    stock = stock_named(word, species)
    assert (None if stock is None else stock.kind) == kind


def test_a_kind_of_every_stock_is_one_that_the_table_knows() -> None:
    assert {stock.kind for stock in STOCKS} - {None} <= set(get_args(Kind))
    assert {own_kind(species) for species in SPECIES} <= {*POME, *STONE}


def test_a_stock_that_nobody_knows_is_not_known_and_no_fault() -> None:
    union = tree_union(Tree("t1", "T", "apple", "93-7"), TODAY)
    assert union is not None
    assert (union.verdict, union.fails_late) == (UNKNOWN, False)
    assert union_words(union) == "Apple on 93-7: the stock is not one that the program knows."
    assert tree_union(Tree("t1", "T", "apple"), TODAY) is None


def test_the_sentence_has_the_reason_the_grade_how_late_it_shows_and_the_bridge() -> None:
    hint = tree_hint(ON_QUINCE, TODAY)
    assert hint.startswith("Pear on Quince A takes with some varieties and not with others (")
    for part in ("grade B", "8 to 10 years (grade C)", "Beurré Hardy or Comice"):
        assert part in hint
    assert hint.count(".") == 1


@pytest.mark.parametrize(
    ("interstem", "bridged"),
    [
        ("Hardy", True), ("Beurre  Hardy", True), ("Doyenné du Comice", True), ("Comice (pear) interstem", True),
        ("Hardy apple crab", False), ("Comice sport", False), ("Williams", False),
    ],
)  # fmt: skip
def test_only_a_whole_name_is_a_bridge(interstem: str, bridged: bool) -> None:
    union = tree_union(replace(ON_QUINCE, interstem=interstem), TODAY)
    assert union is not None
    assert union.is_bridged is bridged


@pytest.mark.parametrize(
    ("variety", "meant"),
    [
        ("William's Bon Chrétien", "Williams"), ("Williams Bon Chretien", "Williams"), ("bartlett", "Williams"),
        ("Packham's Triumph", "Packham"), ("Packham Triumph", "Packham"), ("Beurré Bosc", "Bosc"),
        ("Conference", "Conference"), ("Winter Nelis", "Winter Nelis"), ("Nelis", None), ("Hardy Williams", None),
    ],
)  # fmt: skip
def test_a_variety_is_known_by_its_whole_name_and_its_other_names(variety: str, meant: str | None) -> None:
    union = graft_union(planned(variety, species="pear"), BUSH, TODAY)
    assert (None if union.varietal is None else union.varietal.names[0]) == meant


def test_what_others_say_of_medlar_on_pear_stands_beside_its_source() -> None:
    union = tree_union(Tree("t1", "T", "medlar", "pear"), TODAY)
    assert union is not None
    assert "; others: takes as a rule (" in union_words(union)


def test_what_is_from_memory_says_so() -> None:
    words = union_words(graft_union(planned(species="quince"), Tree("t1", "T", "apple"), TODAY))
    assert words == "Quince on an apple limb does not take (from memory, no source)."


@pytest.mark.parametrize("interstem", ["Comice", "doyenné du comice", "Beurre Hardy", "Hardy"])
def test_an_interstem_that_bridges_turns_the_hint_off(interstem: str) -> None:
    assert tree_hint(ON_QUINCE, TODAY) != ""
    bridged = replace(ON_QUINCE, interstem=interstem)
    union = tree_union(bridged, TODAY)
    assert union is not None
    assert (union.verdict, union.is_bridged, tree_hint(bridged, TODAY)) == (TAKES, True, "")
    assert planned_hint(planned("Williams", height_m=0.2), bridged, TODAY) == ""


@pytest.mark.parametrize("interstem", ["Conference", "none"])
def test_another_interstem_does_not(interstem: str) -> None:
    hint = tree_hint(replace(ON_QUINCE, interstem=interstem), TODAY)
    assert "takes with some varieties" in hint
    assert ("that Conference bridges it is in no source" in hint) == (interstem == "Conference")


@pytest.mark.parametrize(
    ("species", "stock", "interstem", "words"),
    [
        ("apple", "M.9", "peach", "Apple on the interstem peach does not take ("),
        ("pear", "Quince A", "apple", "The interstem apple on Quince A does not take ("),
        ("pear", "Quince A", "zzz nonsense", "that zzz nonsense bridges it is in no source that we know"),
        ("apple", "M.9", "zzz nonsense", 'name the species, too: "zzz nonsense apple"'),
        ("sweet cherry", "Mazzard", "Quince A", "Sweet cherry on the interstem Quince A does not take ("),
        ("pear", "seedling", "Citation", "is not in the table of unions"),
        ("pear", "hawthorn", "Quince C", "Pear on the interstem Quince C takes with some varieties"),
    ],
)
def test_an_interstem_that_cannot_stand_between_or_that_nobody_knows_is_said(
    species: str, stock: str, interstem: str, words: str
) -> None:
    assert words in tree_hint(Tree("t1", "T", species, stock, interstem=interstem), TODAY)


@pytest.mark.parametrize(
    ("species", "stock", "interstem"),
    [
        ("apple", "MM.111", "M.9"), ("apple", "M.9", "Golden Delicious apple"), ("apple", "M.9", "seedling"),
        ("apple", "M.9", "none"), ("pear", "OHxF", "pear"),
    ],
)  # fmt: skip
def test_an_interstem_that_takes_above_and_below_says_nothing(species: str, stock: str, interstem: str) -> None:
    assert tree_hint(Tree("t1", "T", species, stock, interstem=interstem), TODAY) == ""


def test_sources_that_disagree_are_both_named() -> None:
    union = graft_union(planned("Conference", "pear"), BUSH, TODAY)
    assert (union.verdict, union.fails_late) == (DEPENDS, True)
    assert "said to take (Heritage" in union_words(union)
    assert "not to take (Woodbridge" in union_words(union)


@pytest.mark.parametrize(
    ("variety", "expected"), [("Williams' Bon Chrétien", SHORT), ("Bartlett", SHORT), ("Beurré Hardy", TAKES)]
)
def test_a_variety_that_sources_agree_about_is_judged_by_itself(variety: str, expected: str) -> None:
    assert graft_union(planned(variety, "pear"), BUSH, TODAY).verdict == expected


def test_a_bridge_is_judged_by_its_species_alone() -> None:
    assert graft_union(replace(planned("Hardy", "pear"), method="bridge"), BUSH, TODAY).verdict == DEPENDS


@pytest.mark.parametrize(("planted", "doubtful"), [(2016, True), (2015, False), (1980, False), (None, True)])
def test_who_outlived_the_latest_failure_published_suits_its_stock(planted: int | None, doubtful: bool) -> None:
    """Ten years of pear on quince; a year that nobody noted is not long ago."""
    assert bool(tree_hint(replace(ON_QUINCE, planted=planted), TODAY)) is doubtful


def test_what_is_short_lived_stays_so_however_old_it_is() -> None:
    assert tree_hint(Tree("t1", "T", "pear", "apple seedling", 1980), TODAY) != ""


def test_a_date_known_to_its_year_counts_by_it() -> None:
    old = planned("Any", "pear", state="bearing", set_on=RoughDate(2010))
    assert graft_hint(old, BUSH, TODAY) == ""
    assert graft_hint(replace(old, set_on=None), BUSH, TODAY) != ""


@pytest.mark.parametrize(("height_m", "on"), [(0.3, "Quince A"), (0.31, "a pear limb"), (None, "a pear limb")])
def test_a_graft_near_the_ground_stands_on_the_stock(height_m: float | None, on: str) -> None:
    assert graft_union(planned(height_m=height_m), ON_QUINCE, TODAY).on == on


def test_a_planned_graft_says_that_its_tree_will_not_last_where_nothing_is_against_itself() -> None:
    on_apple = Tree("t1", "T", "pear", "MM106", 2020)
    assert planned_hint(planned(), on_apple, TODAY) == tree_hint(on_apple, TODAY) != ""
    assert planned_hint(planned(), ON_QUINCE, TODAY) == ""  # it depends: said of the tree, not of each of its grafts
    assert graft_hint(planned(state="bearing"), on_apple, TODAY) == ""


@pytest.mark.parametrize("state", ["failed", "removed"])
def test_of_a_graft_that_is_gone_nothing_is_said(state) -> None:
    assert graft_hint(planned(species="peach", state=state), BUSH, TODAY) == ""


def test_a_planned_pair_that_nobody_knows_is_said_to_be_not_known() -> None:
    hint = planned_hint(planned(species="sweet cherry"), Tree("t1", "T", "sour cherry"), TODAY)
    assert hint == "Sweet cherry on a sour cherry limb is not in the table of unions, so whether it takes is not known."


def test_hints_that_are_alike_stand_once() -> None:
    grafts = tuple(Graft(f"g{number}", "t2", f"V{number}", species="pear") for number in range(3))
    records = Records((BUSH,), (*grafts, Graft("g9", "gone", "X")))
    (one,) = hints(records, records.grafts, TODAY)
    assert one.startswith("Union of g0, g1 and g2: Pear on a quince limb")
    assert len(tree_hints((ON_QUINCE, replace(ON_QUINCE, id="t9", name="Other")), TODAY)) == 1


@pytest.mark.parametrize(
    ("species", "stock", "named"),
    [
        ("apricot", "St. Julien A", "Apricot on St. Julien A (plum) "),
        ("plum", "Lovell", "Plum on Lovell (peach) "),
        ("pear", "Quince A", "Pear on Quince A "),
        ("plum", "St. Julien A", "Plum on St. Julien A "),
    ],
)
def test_a_stock_of_another_species_is_named_with_its_kind(species: str, stock: str, named: str) -> None:
    union = tree_union(Tree("t9", "T", species, stock), date(2026, 1, 1))
    assert union is not None
    assert union_words(union).startswith(named)


def test_a_species_without_a_kind_takes_on_nothing_for_sure() -> None:
    """As a loquat would be, before its kind is written; Citation is a stock of which nothing is known."""
    assert own_pairs(("loquat",)) == ()
    assert all("other" not in pair.stocks for pair in PAIRS)
    words = tree_hint(Tree("t1", "T", "loquat", "Citation"), TODAY)
    assert words == "Loquat on Citation is not in the table of unions, so whether it takes is not known."

"""What takes on what, cell by cell against the published sources that say so; grades A and B only, memory is no oracle.

A: University of New Hampshire, Grafting Fruit Trees in the Home Orchard, undated; Oregon State University, PNW 619,
2021; Raptopoulos and Kantartzis, abstract on cherries on Mahaleb, undated. B: L. H. Bailey, The Apple-Tree, 1922;
E. J. Wickson, California Fruits, undated; nurseries, all undated: Heritage Fruit Trees and Woodbridge Fruit Trees of
pears on quince, Keepers of quince and medlar, Walcot of plums, Maple Grove of stone fruit, Raintree of Marianna; an
organic orchard text, undated; the owner of Cummins Nursery, NAFEX list, 2001.
"""

from __future__ import annotations

import pytest

from tendwork.orchard.compatibility import DEPENDS, NOT, PAIRS, SHORT, TAKES, pair_of, varietal_of

CELLS = [
    ("apple", "apple", TAKES, "A", "New Hampshire"),
    ("pear", "pear", TAKES, "A", "New Hampshire"),
    ("peach", "peach", TAKES, "A", "New Hampshire"),
    ("apricot", "apricot", TAKES, "A", "New Hampshire"),
    ("pear", "apple", SHORT, "B", "Bailey"),
    ("pear", "quince", DEPENDS, "B", "Heritage"),
    ("pear", "quince", DEPENDS, "B", "Woodbridge"),
    ("pear", "peach", NOT, "B", "Wickson"),
    ("medlar", "pear", DEPENDS, "B", "Keepers"),
    ("medlar", "quince", TAKES, "B", "Keepers"),
    ("medlar", "hawthorn", TAKES, "B", "Keepers"),
    ("plum", "plum", TAKES, "B", "Walcot"),
    ("plum", "myrobalan", TAKES, "B", "organic orchard text"),
    ("plum", "peach", DEPENDS, "B", "organic orchard text"),
    ("japanese plum", "myrobalan", TAKES, "B", "organic orchard text"),
    ("sweet cherry", "plum", NOT, "B", "Maple Grove"),
    ("sweet cherry", "mazzard", TAKES, "A", "PNW 619"),
    ("sweet cherry", "mahaleb", DEPENDS, "A", "PNW 619"),
    ("sweet cherry", "mahaleb", DEPENDS, "A", "Raptopoulos"),
    ("sweet cherry", "hybrid cherry", DEPENDS, "A", "PNW 619"),
    ("sour cherry", "mahaleb", TAKES, "A", "Raptopoulos"),
    ("peach", "plum", DEPENDS, "B", "Maple Grove"),
    ("peach", "myrobalan", DEPENDS, "B", "Raintree"),
    ("apricot", "plum", DEPENDS, "B", "Cummins"),
    ("apricot", "plum", DEPENDS, "B", "Maple Grove"),
    ("apricot", "myrobalan", DEPENDS, "B", "Maple Grove"),
]


@pytest.mark.parametrize(("scion", "stock", "verdict", "grade", "source"), CELLS)
def test_a_published_cell_is_as_its_source_has_it(scion, stock, verdict, grade, source) -> None:
    pair = pair_of(scion, stock)
    assert (pair.verdict, pair.grade) == (verdict, grade)
    assert source in pair.source


def test_every_row_with_a_grade_a_or_b_is_held_to_its_source() -> None:
    """The rule that each species takes on itself is one statement for all of them."""
    graded = {(pair.scion, stock) for pair in PAIRS if pair.grade in ("A", "B") for stock in pair.stocks}
    own = {(pair.scion, stock) for pair in PAIRS if "same species" in pair.why for stock in pair.stocks}
    assert graded - own <= {(scion, stock) for scion, stock, *_ in CELLS} <= graded


@pytest.mark.parametrize(
    ("variety", "heritage", "woodbridge"),
    [("Conference", True, False), ("Winter Nelis", True, False), ("Packham", False, True), ("Williams", False, False)],
)
def test_the_two_nurseries_speak_of_pears_on_quince_as_they_do(variety, heritage, woodbridge) -> None:
    """They disagree about three varieties, and neither is left out; Williams needs an interstem by both."""
    varietal = varietal_of(pair_of("pear", "quince"), variety)
    assert varietal is not None
    assert {said.source.split()[0]: said.takes for said in varietal.said} == {
        "Heritage": heritage,
        "Woodbridge": woodbridge,
    }


def test_the_bridge_between_pear_and_quince_is_hardy_or_comice() -> None:
    assert pair_of("pear", "quince").bridges == ("Beurré Hardy", "Comice")


def test_sweet_cherries_on_mahaleb_died_at_six_years() -> None:
    """Raptopoulos and Kantartzis, abstract, undated (A)."""
    assert (pair_of("sweet cherry", "mahaleb").fails_after, pair_of("sweet cherry", "mahaleb").late_grade) == (
        (6, 6),
        "A",
    )


def test_a_row_has_a_grade_or_says_that_it_is_from_memory() -> None:
    for pair in PAIRS:
        assert bool(pair.grade) != ("no source" in pair.source), pair
        assert not pair.grade or pair.source.endswith(("undated", "2001", "2011", "2021", "1922")), pair
        assert bool(pair.fails_after) == bool(pair.late_grade), pair

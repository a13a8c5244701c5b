"""How large a tree is: by height, stock and age. Heights of stocks as their sources have them."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from tendwork.orchard.records import Tree
from tendwork.orchard.stocks import STOCKS, stock_named
from tendwork.orchard.tree_size import MIDDLE_TO_M, SMALL_TO_M, TreeSize, crown_reaches_m, crown_width_m, tree_size


def tree(stock: str = "", planted: int | None = None, height_m: float | None = None, species: str = "apple") -> Tree:
    return Tree("t1", "Old one", species, stock, planted, height_m=height_m)


@pytest.mark.parametrize(
    ("height_m", "size"), [(0.4, "small"), (2.5, "small"), (2.6, "middle-sized"), (4, "middle-sized"), (4.1, "large")]
)
def test_a_height_that_is_noted_decides_whatever_the_stock_says(height_m: float, size: str) -> None:
    assert tree_size(tree("seedling", 1962, height_m), 2026).size == size
    assert tree_size(tree("M.27", 1962, height_m), 2026).size == size
    assert f"{height_m:g} m high, as noted" in tree_size(tree(height_m=height_m), 2026).because


@pytest.mark.parametrize("noted_m", [0.0, 0.1])
def test_a_size_that_no_crown_has_is_not_known(noted_m: float) -> None:
    assert tree_size(tree("seedling", 1962, noted_m), 2026) == tree_size(tree("seedling", 1962), 2026)
    slip = replace(tree("seedling", 1962), spread_m=noted_m)
    assert crown_reaches_m(tree(height_m=noted_m)) is None
    assert crown_width_m(slip) is None


@pytest.mark.parametrize(
    ("stock", "species", "size"),
    [
        ("M.27", "apple", "small"), ("M27", "apple", "small"), ("M 9", "apple", "small"),
        ("m9 t337", "apple", "small"), ("M9 EMLA", "apple", "small"), ("EMLA 26", "apple", "small"),
        ("M.9-337", "apple", "small"),
        ("MM106", "apple", "middle-sized"), ("MM.106", "apple", "middle-sized"), ("mm 111", "apple", "large"),
        ("seedling", "apple", "large"), ("Antonovka seedling", "apple", "large"), ("seedling", "pear", "large"),
        ("Quince A", "pear", "middle-sized"), ("Quince C, from a friend", "pear", "middle-sized"),
        ("Gisela 5", "sweet cherry", "middle-sized"), ("Colt", "sweet cherry", "large"),
        ("Pixy", "plum", "middle-sized"), ("Brompton", "plum", "large"), ("Geneva 202", "apple", "middle-sized"),
    ],
)  # fmt: skip
def test_a_grown_tree_is_as_large_as_its_stock_makes_it(stock: str, species: str, size: str) -> None:
    found = tree_size(tree(stock, 1990, species=species), 2026)
    assert found.size == size
    assert f"on {stock} it grows to" in found.because


def test_the_size_of_a_stock_is_that_of_the_lower_height_of_its_source() -> None:
    """The heights are those of the Royal Horticultural Society (Rootstocks, undated) and of Horne Creek (undated)."""
    for stock in STOCKS:
        figures = [float(figure) for figure in re.findall(r"[0-9.]+", stock.said.split(" m high")[0])]
        if stock.size is None:
            assert (stock.said, stock.source) == ("", "")
            continue
        if " m high" in stock.said:
            low = min(figures)
            size = "small" if low <= SMALL_TO_M else "middle-sized" if low <= MIDDLE_TO_M else "large"
            assert stock.size == size, stock
        assert "no source" in stock.source or "undated" in stock.source


@pytest.mark.parametrize(
    ("planted", "size"),
    [(2026, "small"), (2023, "small"), (2022, "middle-sized"), (2017, "middle-sized"), (2016, "large")],
)
def test_a_young_tree_is_small_on_any_stock(planted: int, size: str) -> None:
    found = tree_size(tree("seedling", planted), 2026)
    assert found.size == size
    assert size == "large" or found.because == f"it was planted in {planted}"
    assert tree_size(tree("M.27", planted), 2026).size == "small"


@pytest.mark.parametrize("stock", ["", "Hibernal", "93-7", "M", "9", "seedling"])
def test_what_is_not_known_is_middle_sized_and_the_reason_says_so(stock: str) -> None:
    found = tree_size(tree(stock, species="peach"), 2026)
    assert found.size == "middle-sized"
    assert "not noted" in found.because
    assert not stock or f'"{stock}"' in found.because
    assert tree_size(tree(stock, 1962, species="peach"), 2026).size == "middle-sized"


def test_a_tree_is_never_smaller_than_its_highest_graft_shows() -> None:
    assert tree_size(tree("M.9", 1990), 2026, 5.2).because == "a graft on it is 5.2 m up"
    assert tree_size(tree("M.9", 1990), 2026, 5.2).size == "large"
    assert tree_size(tree(height_m=2.0), 2026, 3.0).size == "middle-sized"
    assert tree_size(tree("seedling", 1962), 2026, 1.0).size == "large"


def test_no_two_stocks_answer_to_one_name() -> None:
    for stock in STOCKS:
        for name in stock.names:
            for species in stock.species or ("apple",):
                assert stock_named(name, species) == stock, name


@pytest.mark.parametrize(
    ("height_m", "spread_m", "form", "size", "words"),
    [
        (2.4, 4.5, "", "large", "it is 2.4 m high and 4.5 m wide, as noted"),
        (2.4, 2.0, "", "small", "it is 2.4 m high, as noted"),
        (3.0, 3.5, "bush", "middle-sized", "it is 3 m high, as noted"),
        (2.0, 6.0, "Espalier, three tiers", "small", "it is 2 m high, as noted"),
        (None, 5.0, "", "large", "it is 5 m wide, as noted"),
        (None, 2.0, "", "middle-sized", "its height is not noted and its stock is not noted"),
    ],
)
def test_a_crown_that_is_wider_than_high_counts_by_its_width_unless_it_is_trained_flat(
    height_m: float | None, spread_m: float, form: str, size: str, words: str
) -> None:
    found = tree_size(replace(tree(height_m=height_m), spread_m=spread_m, form=form), 2026)
    assert (found.size, found.because) == (size, words)


@pytest.mark.parametrize(
    ("planted", "crown_since", "size", "because"),
    [
        (1962, 2024, "small", "its crown grows since 2024"),
        (1962, 2020, "middle-sized", "its crown grows since 2020"),
        (1962, 2010, "large", "on seedling it grows to about 9 m high unpruned (apples.extension.org, undated)"),
        (None, 2024, "small", "its crown grows since 2024"),
        (2024, 2024, "small", "it was planted in 2024"),
    ],
)
def test_a_crown_is_as_old_as_since_it_was_headed_back(
    planted: int | None, crown_since: int, size: str, because: str
) -> None:
    found = tree_size(replace(tree("seedling", planted), crown_since=crown_since), 2026)
    assert (found.size, found.because) == (size, because)


def test_a_tree_trained_flat_is_middle_sized_at_the_most_unless_its_height_is_noted() -> None:
    flat = replace(tree("seedling", 1962), form="fan")
    assert tree_size(flat, 2026) == TreeSize("middle-sized", "it is trained flat, as fan")
    assert tree_size(replace(flat, height_m=5.0), 2026).size == "large"
    assert tree_size(replace(tree("M.27", 1962), form="cordon"), 2026).size == "small"

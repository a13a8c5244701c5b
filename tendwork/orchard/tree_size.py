"""How large a tree is, for the minutes that its work takes: by its height as noted, else by its stock and its age.

A tree is small to 2.5 m, middle-sized to 4 m, and large above, where the work is done from a ladder. A crown that is
wider than high is as large as one of that height, but for a tree trained flat, whose width is worked along from the
ground. Of the heights that a source gives for a stock the lower one counts, to which a tree is kept that is pruned
every year. That, how a width counts, how large a tree trained flat is at the most, and how many years a crown needs for
its size, is common practice, no source. Only what is known makes a tree large: a stock or an age that nobody noted
leaves it middle-sized, and the reason says so.
"""

from __future__ import annotations

import re
from typing import Literal, get_args

from msgspec import Struct

from tendwork.orchard.records import Tree

Size = Literal["small", "middle-sized", "large"]
SIZES: tuple[Size, ...] = get_args(Size)
SMALL_TO_M, MIDDLE_TO_M = 2.5, 4.0
SMALL_BEFORE_YEARS, MIDDLE_BEFORE_YEARS = 4, 10
"""No crown is more than small, or more than middle-sized, in fewer years than these: since planting, or since it was
headed back or worked over.
"""
TRAINED_FLAT = ("cordon", "espalier", "fan", "step-over")


class Stock(Struct, frozen=True):
    """A stock by its names, what its source says of the trees on it, and the size that follows; no species is all."""

    names: tuple[str, ...]
    said: str
    size: Size
    source: str
    species: tuple[str, ...] = ()


class TreeSize(Struct, frozen=True):
    """A size, and in one sentence why it is that."""

    size: Size
    because: str


_RHS = "Royal Horticultural Society, Rootstocks, undated"
_HORNE_CREEK = "NC Historic Sites, Horne Creek, undated"
_NO_SOURCE = "common practice, no source"
STOCKS: tuple[Stock, ...] = (
    Stock(("M.27",), "1.5 to 1.8 m high", "small", _RHS),
    Stock(("M.9", "M.9 T337", "M.26"), "2.4 to 3.6 m high", "small", _RHS),
    Stock(("G.41", "Geneva 41"), "as large as on M.9", "small", "NC-140 as a nursery quotes it, undated"),
    Stock(("B.9", "Bud 9", "Budagovsky 9"), "1.8 to 3 m high", "small", _HORNE_CREEK),
    Stock(("G.202", "Geneva 202"), "3.7 to 4.3 m high", "middle-sized", _HORNE_CREEK),
    Stock(("MM.106",), "3.6 to 5.4 m high", "middle-sized", _RHS),
    Stock(("M.7",), "4.3 to 4.9 m high", "large", _HORNE_CREEK),
    Stock(("MM.111",), "4.6 to 7.6 m high", "large", _HORNE_CREEK),
    Stock(("seedling",), "about 9 m high unpruned", "large", "apples.extension.org, undated", ("apple",)),
    Stock(("seedling",), "a tall tree", "large", _NO_SOURCE, ("pear", "sweet cherry")),
    Stock(("Quince A",), "3 to 6 m high", "middle-sized", _RHS),
    Stock(("Quince C",), "3 to 5 m high", "middle-sized", _RHS),
    Stock(("Pixy",), "a semi-dwarf tree", "middle-sized", _RHS),
    Stock(("St Julien A",), "a semi-vigorous tree", "large", _RHS),
    Stock(("Brompton",), "up to 6 m high", "large", _RHS),
    Stock(("Gisela 5",), "3 to 4 m high", "middle-sized", _RHS),
    Stock(("Colt",), "6 to 8 m high", "large", _RHS),
)


def tree_size(tree: Tree, season: int, highest_graft_m: float | None = None) -> TreeSize:
    """How large a tree is in a season, named by its year; never smaller than its highest graft shows."""
    known = [height_m for height_m in (tree.height_m, highest_graft_m) if height_m is not None]
    high = max(known, default=0.0)
    wide = 0.0 if tree.spread_m is None or is_trained_flat(tree) else tree.spread_m
    if tree.height_m is not None:
        if SIZES.index(_size_of(wide)) > SIZES.index(_size_of(high)):
            return TreeSize(_size_of(wide), f"it is {high:g} m high and {wide:g} m wide, as noted")
        return TreeSize(_size_of(high), f"it is {high:g} m high, as noted")
    grown = _by_stock_and_age(tree, season)
    if SIZES.index(_size_of(wide)) > max(SIZES.index(grown.size), SIZES.index(_size_of(high))):
        return TreeSize(_size_of(wide), f"it is {wide:g} m wide, as noted")
    if SIZES.index(_size_of(high)) > SIZES.index(grown.size):
        return TreeSize(_size_of(high), f"a graft on it is {high:g} m up")
    return grown


def is_trained_flat(tree: Tree) -> bool:
    """Whether a tree is trained flat, in whatever capitals its form is written: "Espalier, three tiers"."""
    return any(form in tree.form.casefold() for form in TRAINED_FLAT)


def _size_of(height_m: float) -> Size:
    return "small" if height_m <= SMALL_TO_M else "middle-sized" if height_m <= MIDDLE_TO_M else "large"


def _by_stock_and_age(tree: Tree, season: int) -> TreeSize:
    since = max(filter(None, (tree.planted, tree.crown_since)), default=None)
    years = None if since is None else season - since
    stock = stock_named(tree.stock, tree.species)
    grown: Size = "middle-sized" if stock is None else stock.size
    if years is not None:
        allowed: Size = (
            "small" if years < SMALL_BEFORE_YEARS else "middle-sized" if years < MIDDLE_BEFORE_YEARS else "large"
        )
        if SIZES.index(allowed) < SIZES.index(grown):
            grows = since == tree.crown_since != tree.planted
            return TreeSize(allowed, f"its crown grows since {since}" if grows else f"it was planted in {since}")
    if grown == "large" and is_trained_flat(tree):
        return TreeSize("middle-sized", f"it is trained flat, as {tree.form}")
    if stock is None:
        what = f'nothing is known of the stock "{tree.stock}"' if tree.stock else "its stock is not noted"
        return TreeSize(grown, f"its height is not noted and {what}")
    return TreeSize(grown, f"on {tree.stock} it grows to {stock.said} ({stock.source})")


def stock_named(word: str, species: str) -> Stock | None:
    """The stock that a person's word means for a species, in whatever spelling ("MM106", "m 9 emla"); None for none."""
    parts = re.findall(r"[a-z]+|[0-9]+", word.casefold())
    return next(
        (
            stock
            for stock in sorted(STOCKS, key=lambda one: -max(map(len, one.names)))
            if not stock.species or species in stock.species
            if any(_named_in(parts, name) for name in stock.names)
        ),
        None,
    )


def _named_in(parts: list[str], name: str) -> bool:
    """Whether the letters and numbers of a name stand together in those of a word."""
    wanted = re.findall(r"[a-z]+|[0-9]+", name.casefold())
    return any(parts[at : at + len(wanted)] == wanted for at in range(len(parts)))

"""How large a tree is, for the minutes that its work takes: by its height as noted, else by its stock and its age.

A tree is small to 2.5 m, middle-sized to 4 m, and large above, where the work is done from a ladder. A crown that is
wider than high is as large as one of that height, but for a tree trained flat, whose width is worked along from the
ground. How a width counts, how large a tree trained flat is at the most, and how many years a crown needs for
its size, is common practice, no source. Only what is known makes a tree large: a stock or an age that nobody noted
leaves it middle-sized, and the reason says so.
"""

from __future__ import annotations

from msgspec import Struct

from tendwork.orchard.records import Tree
from tendwork.orchard.stocks import SIZES, Size, stock_named

SMALL_TO_M, MIDDLE_TO_M = 2.5, 4.0
SMALL_BEFORE_YEARS, MIDDLE_BEFORE_YEARS = 4, 10
"""No crown is more than small, or more than middle-sized, in fewer years than these: since planting, or since it was
headed back or worked over.
"""
LEAST_CROWN_M = 0.3
"""Less is taken for a slip, so that no caution goes by it: a step-over, the lowest crown that is trained, is about as
high (common practice, no source).
"""
TRAINED_FLAT = ("cordon", "espalier", "fan", "step-over")
_TIED = (*TRAINED_FLAT, "stepover", "palmette", "trellis", "wires")


class TreeSize(Struct, frozen=True):
    """A size, and in one sentence why it is that."""

    size: Size
    because: str


def tree_size(tree: Tree, season: int, highest_graft_m: float | None = None) -> TreeSize:
    """How large a tree is in a season, named by its year; never smaller than its highest graft shows."""
    reaches_m, wide_m = crown_reaches_m(tree), crown_width_m(tree)
    known = [height_m for height_m in (reaches_m, highest_graft_m) if height_m is not None]
    high = max(known, default=0.0)
    wide = 0.0 if wide_m is None or is_trained_flat(tree) else wide_m
    if reaches_m is not None:
        if SIZES.index(_size_of(wide)) > SIZES.index(_size_of(high)):
            return TreeSize(_size_of(wide), f"it is {high:g} m high and {wide:g} m wide, as noted")
        return TreeSize(_size_of(high), f"it is {high:g} m high, as noted")
    grown = _by_stock_and_age(tree, season)
    if SIZES.index(_size_of(wide)) > max(SIZES.index(grown.size), SIZES.index(_size_of(high))):
        return TreeSize(_size_of(wide), f"it is {wide:g} m wide, as noted")
    if SIZES.index(_size_of(high)) > SIZES.index(grown.size):
        return TreeSize(_size_of(high), f"a graft on it is {high:g} m up")
    return grown


def crown_reaches_m(tree: Tree) -> float | None:
    """How high a crown is noted to reach; None where nothing is noted, or what no crown is."""
    return _believed(tree.height_m)


def crown_width_m(tree: Tree) -> float | None:
    """How wide a crown is noted to be; None where nothing is noted, or what no crown is."""
    return _believed(tree.spread_m)


def _believed(noted_m: float | None) -> float | None:
    return None if noted_m is None or noted_m < LEAST_CROWN_M else noted_m


def crown_fault(noted_m: float) -> str:
    """Why a crown cannot be noted so high or wide, in words that follow the field's name; empty if it can."""
    return "0 is not the size of a crown; give metres, or leave it empty where it is not known" if noted_m <= 0 else ""


def is_trained_flat(tree: Tree) -> bool:
    """Whether a tree is trained flat, in whatever capitals its form is written: "Espalier, three tiers"."""
    return any(form in tree.form.casefold() for form in _TIED)


def _size_of(height_m: float) -> Size:
    return "small" if height_m <= SMALL_TO_M else "middle-sized" if height_m <= MIDDLE_TO_M else "large"


def _by_stock_and_age(tree: Tree, season: int) -> TreeSize:
    since = max(filter(None, (tree.planted, tree.crown_since)), default=None)
    years = None if since is None else season - since
    stock = stock_named(tree.stock, tree.species)
    grown: Size = "middle-sized" if stock is None or stock.size is None else stock.size
    if years is not None:
        allowed: Size = (
            "small" if years < SMALL_BEFORE_YEARS else "middle-sized" if years < MIDDLE_BEFORE_YEARS else "large"
        )
        if SIZES.index(allowed) < SIZES.index(grown):
            grows = since == tree.crown_since != tree.planted
            return TreeSize(allowed, f"its crown grows since {since}" if grows else f"it was planted in {since}")
    if grown == "large" and is_trained_flat(tree):
        return TreeSize("middle-sized", f"it is trained flat, as {tree.form}")
    if stock is None or stock.size is None:
        what = f'how large trees grow on "{tree.stock}" is not known' if tree.stock else "its stock is not noted"
        return TreeSize(grown, f"its height is not noted and {what}")
    return TreeSize(grown, f"on {tree.stock} it grows to {stock.said} ({stock.source})")

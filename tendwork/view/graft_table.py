"""The grafts of all trees as a table: which rows, in which order, and as many columns as a page has room for."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from tendwork.orchard.finding import found
from tendwork.orchard.graft_species import graft_species, variety_words
from tendwork.orchard.records import GRAFT_STATES, VERDICTS, Graft, Records, Tree
from tendwork.orchard.rough_dates import date_text
from tendwork.view.crown import GRAFT_MARKS
from tendwork.view.plain import graft_order
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, plain
from tendwork.view.words import in_units, month_words

BY_TREE = "tree"
ORDERS = (BY_TREE, "variety", "state", "verdict", "set", "height", "method")
_COLUMNS = ("id", "variety", "tree", MARK, "state", "verdict", "set", "height", "method")
_LEAST_VARIETY_COLUMNS, _WANTED_VARIETY_COLUMNS, _MOST_VARIETY_COLUMNS = 14, 24, 30
_MOST_TREE_COLUMNS = 14
_MOST_ID_COLUMNS = 10
_LAST = "\U0010ffff"  # sorts after every word: what is not noted stands at the end


class GraftRow(Struct, frozen=True):
    """One row: a graft, or a tree as the heading of its grafts."""

    tree: Tree
    graft: Graft | None = None

    @property
    def id(self) -> str:
        """The row's own id, since a tree and a graft may share one."""
        return f"tree/{self.tree.id}" if self.graft is None else f"graft/{self.graft.id}"


def graft_rows(records: Records, order: str = BY_TREE, backwards: bool = False) -> tuple[GraftRow, ...]:
    """All grafts in an order of ORDERS; by tree, each tree stands before its grafts, the lowest first."""
    trees = {tree.id: tree for tree in records.trees}
    rows = [GraftRow(trees[graft.tree], graft) for graft in records.grafts if graft.tree in trees]
    if order != BY_TREE:
        return tuple(sorted(rows, key=lambda row: _sort_key(row, order), reverse=backwards))
    of_tree: dict[str, list[GraftRow]] = {tree.id: [] for tree in records.trees}
    for row in rows:
        of_tree[row.tree.id].append(row)
    laid = []
    for tree in records.trees:
        own = sorted(of_tree[tree.id], key=lambda row: graft_order(_graft(row)), reverse=backwards)
        laid += [GraftRow(tree), *own]
    return tuple(laid)


def matching_rows(rows: tuple[GraftRow, ...], query: str) -> tuple[tuple[GraftRow, ...], str]:
    """The rows that a query may mean, in their order, with the trees they stand under; and the id of the likeliest.

    A graft is meant by its id, variety or initials (`finding.found`), or where all words stand somewhere in its row.
    """
    words = query.casefold().split()
    if not words:
        return rows, ""
    named = [graft.id for graft in found((row.graft for row in rows if row.graft is not None), query)]
    meant = set(named)
    kept = [row for row in rows if (row.graft is not None and row.graft.id in meant) or _has(row, words)]
    shown = {row.id for row in kept} | {f"tree/{row.tree.id}" for row in kept}
    under = tuple(row for row in rows if row.id in shown)
    first = next((row.id for row in under if row.graft is not None), under[0].id if under else "")
    return under, f"graft/{named[0]}" if named else first


def graft_columns(rows: Iterable[GraftRow], width: int, order: str = BY_TREE) -> tuple[Column, ...]:
    """The columns that a page of so many columns has room for; the variety takes what is left."""
    held = [row for row in rows if row.graft is not None]
    ids = min(max((display_width(plain(_graft(row).id)) for row in held), default=2), _MOST_ID_COLUMNS)
    names = max((display_width(plain(row.tree.name)) for row in held), default=0)
    varieties = max((display_width(plain(variety_words(_graft(row), row.tree))) for row in held), default=0)
    least = min(max(varieties, _LEAST_VARIETY_COLUMNS), _WANTED_VARIETY_COLUMNS, max(width - ids - 9, 8))
    wanted = {"id": ids, "variety": least, MARK: 1, "height": 7}
    wanted |= {} if order == BY_TREE else {"tree": min(max(names, 5), _MOST_TREE_COLUMNS)}
    wanted |= {"state": 7, "verdict": 8, "set": 8, "method": 15}
    return lay_columns(wanted, _COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def graft_cells(row: GraftRow, columns: tuple[Column, ...], units: str = "metric", ascii_only: bool = False) -> str:
    """The row of a graft in these columns."""
    graft = _graft(row)
    mark = GRAFT_MARKS[graft.state]
    cells = {
        "id": graft.id,
        "variety": variety_words(graft, row.tree),
        "tree": row.tree.name,
        MARK: mark.ascii if ascii_only else mark.symbol,
        "state": graft.state,
        "verdict": "" if graft.state in ("planned", "failed") else graft.verdict,
        "set": "" if graft.set_on is None else month_words(graft.set_on),
        "height": "" if graft.height_m is None else in_units(f"{graft.height_m:g} m", units),
        "method": graft.method,
    }
    return row_line(columns, cells)


def _graft(row: GraftRow) -> Graft:
    assert row.graft is not None
    return row.graft


def _has(row: GraftRow, words: list[str]) -> bool:
    tree, graft = row.tree, row.graft
    text = f"{tree.id} {tree.name} {tree.species} {tree.stock} {tree.interstem} {tree.form} {tree.place} {tree.note}"
    if graft is not None:
        text += f" {graft.id} {graft.variety} {graft.state} {graft.verdict} {graft.method} {graft.wrap} {graft.seal}"
        text += f" {graft.wood} {graft.note} {graft_species(graft, tree)}"
    folded = text.casefold()
    return all(word in folded for word in words)


def _sort_key(row: GraftRow, order: str) -> tuple[object, ...]:
    graft = _graft(row)
    own: object
    if order == "state":
        own = GRAFT_STATES.index(graft.state)
    elif order == "verdict":
        own = VERDICTS.index(graft.verdict)
    elif order == "set":
        own = _LAST if graft.set_on is None else date_text(graft.set_on)
    elif order == "height":
        own = float("inf") if graft.height_m is None else graft.height_m
    else:
        own = (graft.method if order == "method" else graft.variety).casefold() or _LAST
    return own, graft.variety.casefold(), graft.id

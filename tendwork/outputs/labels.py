"""Labels for trees, grafts and wood: a page to cut up, and one line a label for a label printer or an embosser.

Days are ISO: a label outlives the year, and is read by whoever comes after.
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from datetime import date

from msgspec import Struct

from tendwork.orchard.graft_species import stock_words, variety_words
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.rough_dates import date_text
from tendwork.orchard.wood_age import usable
from tendwork.outputs.page import page
from tendwork.planning.cutting_list import Cutting
from tendwork.planning.wood_parcels import Origins
from tendwork.view.text import plain
from tendwork.view.words import counted

HERE_WORDS, SPARE_WORDS = "for here", "to spare"
BARRED_WORDS = "barred, for disease on its tree: use none of it, give none away"
_ON_THE_TREE = ("planned", "set", "took", "bearing")


class Label(Struct, frozen=True):
    """One label; every text in it is safe to show.

    `name` is the variety, with its species where that is not the tree's, or the tree's name; `on` the tree that carries
    the graft, or the species and how the tree is trained; `since` the day on which it was set, or the year of planting,
    after the word `since_word`, and empty where it is not known; `how` the method, or the stock and the interstem.
    Of a bundle `on` is the species and where it grew, `id` how many sticks, `since` the day of cutting, `how` for whom
    it is.
    """

    name: str
    on: str
    id: str
    since_word: str
    since: str
    how: str


def labels_of(records: Records) -> tuple[Label, ...]:
    """A label for each tree, and after it one for each variety that is grafted on it or planned for it."""
    grafts: dict[str, list[Graft]] = {}
    for graft in records.grafts:
        if graft.state in _ON_THE_TREE and is_of_a_variety(graft):
            grafts.setdefault(graft.tree, []).append(graft)
    return tuple(
        label
        for tree in records.trees
        for label in (_tree(tree), *(_graft(graft, tree) for graft in grafts.get(tree.id, ())))
    )


def bundle_labels(
    records: Records, lines: Iterable[Cutting], today: date, barred: Container[str] = ()
) -> tuple[Label, ...]:
    """A label for each bundle that the cutting list makes, one for everybody who is to have of it, then for what is
    cut already: for each bundle one of what is promised and one of what stays here. The bundles `barred`, by id, go to
    nobody, and their labels say so.
    """
    found, origins = [], Origins(records.trees)
    for line in lines:
        on = ", ".join(filter(None, (line.species, line.tree_name)))
        promised = [(f"for {who}" if who else "", sticks) for who, sticks in line.promised]
        shares = [(_stays(line), line.here + line.spare), *promised]
        found += [_bundle(line.variety, on, "", sticks, whom) for whom, sticks in shares if sticks and line.tree]
    for bundle in records.wood:
        if bundle.cut_on is None or not usable(bundle, today):
            continue
        on = ", ".join(filter(None, (bundle.species, origins.words(bundle.came_from))))
        given = min(bundle.promised_sticks, bundle.sticks)
        whom = f"for {bundle.promised_to}" if bundle.promised_to else ""
        shares = [(HERE_WORDS, bundle.sticks - given), (whom, given)]
        shares = [(BARRED_WORDS, bundle.sticks)] if bundle.id in barred else shares
        cut_on = bundle.cut_on.isoformat()
        found += [_bundle(bundle.variety, on, cut_on, sticks, whom) for whom, sticks in shares if sticks]
    return tuple(found)


def labels_text(labels: Iterable[Label]) -> str:
    """One label a line, its fields between tabs: name, on, id, since, how."""
    return "\n".join("\t".join((label.name, label.on, label.id, label.since, label.how)) for label in labels)


def labels_html(labels: Iterable[Label], site_name: str) -> str:
    """Pages of labels with lines to cut along, the same cut on A4 and on Letter; one HTML file that asks for no other.

    An unknown day is left as a line to write on; what a label has no room for ends in an ellipsis.
    """
    return page("labels.html", labels=tuple(labels), site_name=plain(site_name))


def _stays(line: Cutting) -> str:
    """For whom the sticks are that are promised to nobody, as the cutting list says it."""
    if line.here and line.spare:
        return f"{line.here} {HERE_WORDS}, {line.spare} {SPARE_WORDS}"
    return HERE_WORDS if line.here else SPARE_WORDS


def _bundle(variety: str, on: str, cut_on: str, sticks: int, whom: str) -> Label:
    return Label(plain(variety), plain(on), counted(sticks, "stick"), "cut on", cut_on, plain(whom))


def _tree(tree: Tree) -> Label:
    planted = "" if tree.planted is None else str(tree.planted)
    trained = plain(f"{tree.species}, {tree.form}" if tree.form else tree.species)
    return Label(plain(tree.name), trained, plain(tree.id), "planted", planted, plain(stock_words(tree)))


def _graft(graft: Graft, tree: Tree) -> Label:
    set_on = "" if graft.set_on is None else date_text(graft.set_on)
    return Label(
        plain(variety_words(graft, tree)), plain(tree.name), plain(graft.id), "set", set_on, plain(graft.method)
    )

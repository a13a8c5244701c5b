"""Which trees are of a single variety."""

from __future__ import annotations

from datetime import date
from typing import Any

import msgspec

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.tree_varieties import single_varieties
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.subjects import Subjects
from tendwork.planning.vocabulary import Anchor, Template


def graft(number: int, tree: str, variety: str, state: Any = "bearing", method: str = "cleft") -> Graft:
    return Graft(f"g{number}", tree, variety, method=method, state=state)


def test_a_tree_is_of_the_variety_that_alone_has_taken_on_it() -> None:
    trees = tuple(Tree(f"t{number}", "A tree", "apple") for number in (1, 2, 3))
    grafts = (
        graft(1, "t1", "Lodi"),
        graft(2, "t1", "Lodi", "took"),
        graft(3, "t1", "Rome Beauty", "planned"),
        graft(4, "t1", "Rome Beauty", "failed"),
        graft(5, "t1", "Old wood", method="bridge"),
        graft(6, "t2", "Lodi"),
        graft(7, "t2", "Rome Beauty"),
        graft(8, "t3", "Lodi", "set"),
    )
    assert single_varieties(Records(trees, grafts)) == {("t1", "apple"): "Lodi"}


def test_each_species_on_a_tree_has_a_variety_of_its_own() -> None:
    peach = msgspec.structs.replace(graft(2, "t1", "Early Peach", "took"), species="peach")
    records = Records((Tree("t1", "Shed plum", "plum"),), (graft(1, "t1", "Victoria"), peach))
    assert single_varieties(records) == {("t1", "plum"): "Victoria", ("t1", "peach"): "Early Peach"}


def test_the_buds_of_such_a_tree_and_of_what_has_not_taken_on_it_are_its_variety_s() -> None:
    records = Records(
        trees=(Tree("t1", "Early tree", "apple"), Tree("t2", "Family tree", "apple")),
        grafts=(
            graft(1, "t1", "Lodi"),
            graft(2, "t1", "Rome Beauty", "planned"),
            graft(3, "t2", "Lodi"),
            graft(4, "t2", "Rome Beauty"),
            graft(5, "t2", "Gala", "set"),
        ),
    )
    buds = {}
    for each in ("tree", "graft"):
        template = Template("look", "Look", "aftercare", each, Anchor(stage="green tip"), Anchor(stage="full bloom"))  # type: ignore[arg-type]
        subjects = Subjects(Orchard(records, (template,), south=False, today=date(2026, 4, 1)))
        buds |= {subject.id: subject.bud_variety for subject in subjects.of(template, Season(2026))}
    assert buds == {"t1": "Lodi", "t2": "", "g1": "Lodi", "g2": "Lodi", "g3": "Lodi", "g4": "Rome Beauty", "g5": ""}

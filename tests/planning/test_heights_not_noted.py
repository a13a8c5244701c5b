"""A height that nobody noted is asked for: until then the work counts as high."""

from __future__ import annotations

from datetime import date

from tendwork.orchard.records import Graft, Records, Tree
from tendwork.planning.gaps import heights_not_noted
from tendwork.planning.indexed_records import Orchard
from tendwork.view.wraps import gap_sentences

LOW, UNKNOWN = Tree("t1", "Gate apple", "apple", height_m=1.8), Tree("t2", "Old Tom", "apple")


def graft(identity: str, tree: str, **more: object) -> Graft:
    return Graft(identity, tree, "Red Lamp", **more)  # type: ignore[arg-type]


def orchard(*grafts: Graft) -> Orchard:
    return Orchard(Records(trees=(LOW, UNKNOWN), grafts=grafts), (), False, date(2026, 5, 1))


def test_grafts_and_trees_without_a_height_are_named_and_a_low_tree_settles_its_grafts() -> None:
    (gap,) = heights_not_noted(orchard(graft("g1", "t1"), graft("g2", "t2"), graft("g3", "t2", height_m=1.0)))
    assert (gap.grafts, gap.tree) == (("g2",), "Old Tom")
    assert gap_sentences((gap,)) == (
        "No height is noted of the crowns of Old Tom and 1 graft (g2): the cautions for ladder work stand beside all"
        " their jobs in the crown. Note how high each tree is: one within your reach settles it for its grafts.",
    )


def test_a_removed_graft_is_not_asked_for_and_where_all_is_noted_nothing_is_said() -> None:
    (gap,) = heights_not_noted(orchard(graft("g2", "t2", state="removed")))
    assert gap.grafts == ()
    noted = Records(trees=(LOW,), grafts=(graft("g1", "t1"),))
    assert heights_not_noted(Orchard(noted, (), False, date(2026, 5, 1))) == ()

"""What can hardly be so of a tree is asked about, each in one sentence that says what to do."""

from __future__ import annotations

from typing import Any

import pytest

from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.tree_doubts import doubts_of_trees


def asked(tree: dict[str, Any], **graft: Any) -> tuple[str, ...]:
    grafts = (Graft("g1", "t1", "Red Lamp", **graft),) if graft else ()
    return doubts_of_trees(Records(trees=(Tree("t1", "Old Tom", "apple", **tree),), grafts=grafts))


@pytest.mark.parametrize(
    ("tree", "graft", "words"),
    [
        (
            {"height_m": 0.0},
            {},
            "Old Tom (t1): its crown is noted as 0 m high, which is no crown, so its height",
        ),
        ({"height_m": 0.1}, {}, "noted as 0.1 m high"),
        ({"spread_m": 0.0}, {}, "noted as 0 m wide"),
        ({"height_m": 3.0}, {"height_m": 25.0}, "Graft g1 (Red Lamp) is noted 25 m up, but the crown of Old Tom (t1)"),
        ({"spread_m": 3.0}, {"out_m": 25.0}, "is noted 25 m from the trunk, but the crown of Old Tom (t1) is 3 m wide"),
        ({"planted": 2012, "crown_since": 1990}, {}, "growing since 1990, but it was planted in 2012"),
    ],
)
def test_what_can_hardly_be_is_asked_about(tree: dict[str, Any], graft: dict[str, Any], words: str) -> None:
    (question,) = asked(tree, **graft)
    assert words in question


@pytest.mark.parametrize(
    ("tree", "graft"),
    [
        ({}, {"height_m": 25.0, "out_m": 25.0}),
        ({"height_m": 3.0, "spread_m": 3.0}, {"height_m": 3.8, "out_m": 2.4}),
        ({"height_m": 0.3, "spread_m": 0.3}, {}),
        ({"height_m": 0.0}, {"height_m": 2.0}),
        ({"planted": 2012, "crown_since": 2012}, {}),
        ({"planted": 2012, "crown_since": 2020}, {}),
        ({"crown_since": 1990}, {}),
    ],
)
def test_what_may_well_be_is_not(tree: dict[str, Any], graft: dict[str, Any]) -> None:
    assert [words for words in asked(tree, **graft) if "g1" in words or "height_m" not in tree] == []
    assert len(asked(tree, **graft)) == (tree.get("height_m") == 0.0)


def test_a_graft_whose_tree_is_not_there_is_left_to_the_faults() -> None:
    assert doubts_of_trees(Records(grafts=(Graft("g1", "t9", "Red Lamp", height_m=25.0),))) == ()

"""The ids that the program gives."""

from __future__ import annotations

import pytest
from orchard_records import graft, orchard

from tendwork.orchard.ids import free_id, id_like


@pytest.mark.parametrize(
    ("identity", "given"),
    [("scion12", "scion13"), ("scion", "scion13"), ("g7", "g8"), ("12", "g8"), ("row-a3", "row-a1")],
)
def test_what_comes_from_a_graft_keeps_what_stands_before_its_number(identity: str, given: str) -> None:
    assert id_like(orchard(graft("g7"), graft("scion12")), "grafts", identity) == given


def test_the_next_number_is_as_wide_as_the_largest_in_use() -> None:
    assert free_id(orchard(graft("g007"), graft("g12")), "grafts") == "g13"
    assert free_id(orchard(graft("g007")), "grafts") == "g008"
    assert free_id(orchard(), "grafts") == "g1"

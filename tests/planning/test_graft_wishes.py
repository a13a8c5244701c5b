"""Wishes about what to graft where: the newest holds, and what contradicts it gives way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.planning.choosing import Wishes
from tendwork.planning.graft_picks import Pick
from tendwork.planning.graft_wishes import (
    still_held,
    with_forbid,
    with_new,
    with_pin,
    with_swap,
    without_forbid,
    without_pin,
)

BOTH, ELSEWHERE, OTHER = Pick("Psalm", "g1"), Pick("Psalm", "g2"), Pick("Lamp", "g1")


def test_a_variety_is_pinned_once_and_a_place_has_one_pin() -> None:
    assert with_pin(with_pin(Wishes(), ELSEWHERE), BOTH).pins == (BOTH,)
    assert with_pin(with_pin(Wishes(), OTHER), BOTH).pins == (BOTH,)
    assert with_pin(Wishes(pins=(Pick("Lamp", "g2"),)), BOTH).pins == (Pick("Lamp", "g2"), BOTH)


@pytest.mark.parametrize("forbid", [BOTH, Pick("Psalm"), Pick("", "g1")])
def test_a_pin_and_what_forbids_it_do_not_stand_together(forbid: Pick) -> None:
    assert with_pin(Wishes(forbids=(forbid,)), BOTH) == Wishes(pins=(BOTH,))
    assert with_forbid(Wishes(pins=(BOTH,)), forbid) == Wishes(forbids=(forbid,))


@pytest.mark.parametrize("forbid", [Pick("Lamp"), Pick("", "g2"), ELSEWHERE, OTHER])
def test_a_pin_and_what_is_forbidden_elsewhere_stand_together(forbid: Pick) -> None:
    assert with_pin(Wishes(forbids=(forbid,)), BOTH) == Wishes(pins=(BOTH,), forbids=(forbid,))
    assert with_forbid(Wishes(pins=(BOTH,)), forbid) == Wishes(pins=(BOTH,), forbids=(forbid,))


def test_what_is_let_go_or_allowed_is_gone_and_nothing_else() -> None:
    wishes = Wishes(3, 2.0, (BOTH,), (Pick("Lamp"), Pick("", "g2")))
    assert without_pin(wishes, BOTH) == Wishes(3, 2.0, (), (Pick("Lamp"), Pick("", "g2")))
    assert without_forbid(wishes, Pick("Lamp")) == Wishes(3, 2.0, (BOTH,), (Pick("", "g2"),))


def test_a_swap_pins_each_of_two_where_the_other_was() -> None:
    wishes = with_swap(Wishes(pins=(BOTH,)), BOTH, Pick("Lamp", "g2"))
    assert set(wishes.pins) == {Pick("Psalm", "g2"), Pick("Lamp", "g1")}


@pytest.mark.parametrize(
    ("new", "step", "wanted"),
    [(None, -1, 4), (4, -1, 3), (9, -1, 4), (0, -1, 0), (None, 1, None), (4, 1, 5), (6, 1, None)],
)
def test_the_number_goes_by_one_from_what_is_proposed_or_wanted(new: int | None, step: int, wanted: int | None) -> None:
    # Five are proposed, and there are seven places: a limit of seven would be none.
    assert with_new(Wishes(new), 5, step, 7).new == wanted


def test_wishes_about_what_is_gone_are_dropped() -> None:
    wishes = Wishes(2, None, (BOTH, Pick("Lamp", "g2")), (Pick("Gone"), Pick("", "g3"), Pick("Lamp")))
    assert still_held(wishes, {"Psalm", "Lamp"}, {"g1"}) == Wishes(2, None, (BOTH,), (Pick("Lamp"),))


picks = st.builds(Pick, st.sampled_from(["Psalm", "Lamp", "Flagon"]), st.sampled_from(["g1", "g2", "g3"]))
wanted = st.lists(st.tuples(st.sampled_from(["pin", "forbid", "nowhere", "nothing"]), picks), max_size=12)


@given(wanted)
def test_whatever_is_wished_no_variety_and_no_place_has_two_pins_and_no_pin_is_forbidden(
    wishes_made: list[tuple[str, Pick]],
) -> None:
    wishes = Wishes()
    for kind, pick in wishes_made:
        if kind == "pin":
            wishes = with_pin(wishes, pick)
        else:
            whole = {"forbid": pick, "nowhere": Pick(pick.variety), "nothing": Pick("", pick.place)}[kind]
            wishes = with_forbid(wishes, whole)
    assert len({pin.variety for pin in wishes.pins}) == len({pin.place for pin in wishes.pins}) == len(wishes.pins)
    for pin in wishes.pins:
        assert not {pin, Pick(pin.variety), Pick("", pin.place)} & set(wishes.forbids)

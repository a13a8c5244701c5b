"""What is typed and tasted of when varieties are ripe, as days of the year."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import graft, orchard, tasting

from tendwork.orchard.records import Graft
from tendwork.orchard.ripening import Ripening, ripening


def ripe(identity: str, first: tuple[int, int], last: tuple[int, int], **changes: object) -> Graft:
    base: dict[str, object] = {"variety": identity, "state": "bearing", "ripens_from": first, "ripens_to": last}
    base["set_on"] = date(2020, 4, 1)
    return graft(identity, **{**base, **changes})


def spans(*grafts: Graft, south: bool = False, **kinds: object) -> tuple[Ripening, ...]:
    return ripening(orchard(*grafts, **kinds), south)


def test_a_variety_is_ripe_from_the_first_to_the_last_day_noted_on_any_of_its_grafts() -> None:
    one = ripe("g1", (9, 20), (10, 1), variety="Red Lamp")
    other = ripe("g2", (9, 15), (9, 28), variety="Red Lamp", state="took")
    assert spans(one, other) == (Ripening("apple", "Red Lamp", (9, 15), (10, 1), True, True, names=("Red Lamp",)),)


def test_tasting_it_ripe_makes_the_span_longer_and_an_unripe_or_overripe_bite_does_not() -> None:
    tastings = (
        tasting("g1", date(2025, 12, 28), 5),
        tasting("g1", date(2026, 8, 1), 1, "unripe"),
        tasting("g1", date(2026, 2, 1), 1, "over"),
    )
    (span,) = spans(ripe("g1", (10, 8), (10, 20)), tastings=tastings)
    assert (span.first, span.last, span.tasted) == ((10, 8), (12, 28), True)


def test_a_keeper_eaten_after_midwinter_stays_in_the_same_season() -> None:
    (span,) = spans(ripe("g1", (10, 10), (10, 24)), tastings=(tasting("g1", date(2026, 1, 25), 4),))
    assert (span.first, span.last) == ((10, 10), (1, 25))


def test_the_last_of_the_store_eaten_in_april_does_not_make_it_ripen_in_april() -> None:
    (span,) = spans(ripe("g1", (10, 10), (10, 24)), tastings=(tasting("g1", date(2026, 4, 20), 4),))
    assert (span.first, span.last) == ((10, 10), (3, 31))


def test_a_span_noted_into_the_next_spring_ends_with_the_fruit_year() -> None:
    (span,) = spans(ripe("g1", (11, 1), (4, 15)))
    assert (span.first, span.last) == ((11, 1), (3, 31))


def test_tastings_alone_give_a_span() -> None:
    one = graft(state="bearing", set_on=date(2020, 4, 1))
    (span,) = spans(one, tastings=(tasting("g1", date(2025, 9, 3)), tasting("g1", date(2026, 9, 9))))
    assert (span.first, span.last, span.noted, span.tasted) == ((9, 3), (9, 9), False, True)


@pytest.mark.parametrize("gone", [{"state": "removed"}, {"state": "failed"}, {"verdict": "cut"}])
def test_what_is_gone_or_going_is_left_out(gone: dict[str, object]) -> None:
    assert spans(ripe("g1", (9, 1), (9, 9), **gone)) == ()


def test_spans_are_in_the_order_in_which_they_ripen() -> None:
    names = [
        span.variety
        for span in spans(ripe("c", (1, 3), (1, 9)), ripe("b", (10, 1), (10, 9)), ripe("a", (8, 1), (8, 9)))
    ]
    assert names == ["a", "b", "c"]

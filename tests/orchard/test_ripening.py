"""Ripening spans, the weeks from high summer to midwinter, and the gaps in them."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import graft, orchard, planned, tasting

from tendwork.orchard.records import Graft, Records
from tendwork.orchard.ripening import Gap, Ripening, RipeWeek, ripening, ripening_gaps, ripening_weeks


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


def rows(*grafts: Graft, south: bool = False) -> tuple[RipeWeek, ...]:
    return ripening_weeks(spans(*grafts, south=south), south)


def test_the_weeks_run_from_21_june_to_midwinter() -> None:
    weeks = rows()
    assert (len(weeks), weeks[0].starts, weeks[-1].starts) == (27, (6, 21), (12, 20))


def test_in_the_south_they_run_from_21_december_to_its_midwinter() -> None:
    weeks = rows(south=True)
    assert (weeks[0].starts, weeks[-1].starts) == ((12, 21), (6, 21))


def test_a_variety_stands_in_each_week_that_it_touches() -> None:
    # weeks start on 5, 12 and 19 July: 11 to 19 July touches all three
    held = [week.starts for week in rows(ripe("g1", (7, 11), (7, 19))) if week.ripe == ("g1",)]
    assert held == [(7, 5), (7, 12), (7, 19)]


def test_what_does_not_bear_yet_is_to_come() -> None:
    weeks = rows(planned("g1", ripens_from=(7, 5), ripens_to=(7, 6)))
    assert [(week.ripe, week.to_come) for week in weeks if week.to_come] == [((), ("Red Lamp",))]


def test_early_cherries_and_keepers_bring_more_weeks() -> None:
    weeks = rows(ripe("early", (6, 10), (6, 20)), ripe("late", (10, 1), (1, 20)))
    assert (weeks[0].starts, weeks[-1].starts) == ((6, 7), (1, 17))


def test_gaps_by_hand() -> None:
    # ripe 21 June to 11 July (weeks of 21 and 28 June, 5 July) and 26 July to 27 December; bare 12 to 25 July
    weeks = rows(
        ripe("a", (6, 21), (7, 11)),
        ripe("b", (7, 26), (12, 27)),
        ripe("hope", (7, 20), (7, 21), state="took"),
    )
    assert ripening_gaps(weeks) == (Gap((7, 12), (7, 25), 2, ("hope",)),)


def test_two_gaps_stay_two() -> None:
    weeks = rows(ripe("a", (7, 12), (7, 18)), ripe("b", (7, 26), (12, 27)))
    assert [(gap.first, gap.weeks) for gap in ripening_gaps(weeks)] == [((6, 21), 3), ((7, 19), 1)]


def test_bare_weeks_before_high_summer_and_after_midwinter_are_no_gap() -> None:
    weeks = rows(ripe("early", (6, 7), (6, 8)), ripe("all", (6, 21), (12, 26)), ripe("late", (1, 20), (1, 21)))
    assert ripening_gaps(weeks) == ()


def test_an_orchard_without_any_day_is_one_gap() -> None:
    assert [gap.weeks for gap in ripening_gaps(ripening_weeks(ripening(Records())))] == [27]

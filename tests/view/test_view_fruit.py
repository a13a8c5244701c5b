"""The tables of fruit: what is ripe now and next, what is suggested, who blooms with whom, which places are free."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace

from tendwork.orchard.records import Graft, Records, Sighting, Tasting, Tree, Variety
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.verdicts import Suggestion
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.verdict_reasons import verdict_reasons
from tendwork.view.bloom import (
    BLOOM_ORDERS,
    bloom_cells,
    bloom_columns,
    bloom_in_order,
    bloom_lines,
    bloom_rows,
    bloom_summary,
)
from tendwork.view.fruit import TASTING_ORDERS, fruit_cells, fruit_columns, fruit_in_order, fruit_lines, fruit_rows
from tendwork.view.places import PLACE_ORDERS, place_cells, place_columns, place_lines, place_rows, places_in_order

APPLE, PEAR, QUINCE = Tree("t1", "Hill apple", "apple"), Tree("t2", "Barn pear", "pear"), Tree("t3", "Quince", "quince")
OCTOBER = date(2026, 10, 10)


def bearing(identity: str, variety: str, first: tuple[int, int] | None, last: tuple[int, int] | None, **more) -> Graft:
    base = {"tree": "t1", "state": "bearing", "set_on": date(2015, 4, 1)}
    return Graft(identity, variety=variety, ripens_from=first, ripens_to=last, **{**base, **more})


GRAFTS = (
    bearing("g1", "Now Lamp", (10, 1), (10, 20)),
    bearing("g2", "Soon Lamp", (10, 15), (10, 30)),
    bearing("g3", "Later Lamp", (8, 1), (8, 10)),
    bearing("g4", "Unknown Lamp", None, None),
    bearing("g5", "Young Lamp", (10, 1), (10, 20), state="took", set_on=date(2026, 4, 1)),
    bearing("g6", "Winter Lamp", (12, 20), (2, 10)),
    bearing("g7", "Gone Lamp", (9, 1), (9, 2), state="removed"),
)
TASTINGS = tuple(Tasting(date(year, 10, 5), "g1", "ripe", score) for year, score in ((2023, 2), (2024, 3), (2025, 2)))
RECORDS = Records((APPLE, PEAR, QUINCE), GRAFTS, tastings=TASTINGS)


def dates_of(grafts, *years: int) -> tuple[RipeDates, ...]:
    """The days noted on each graft, in each of the years: from the first to the last on the tree."""
    found = []
    for year in years:
        for graft in grafts:
            if graft.ripens_from is not None:
                first = date(year, *graft.ripens_from)
                last = date(year + (graft.ripens_to < graft.ripens_from), *graft.ripens_to)
                found.append(RipeDates("apple", graft.variety, first, first, first, last, None, (), first, last, first))
    return tuple(found)


DATES = dates_of(GRAFTS, 2026, 2027)


def rows(today: date = OCTOBER):
    reasons = verdict_reasons(RECORDS, (), VarietyBook(RECORDS), today)
    return fruit_rows(RECORDS, today, False, DATES, reasons)


def test_a_graft_is_ripe_now_soon_later_or_does_not_bear_yet() -> None:
    assert {row.id: row.state for row in rows()} == {
        "g1": "now", "g2": "soon", "g3": "later", "g4": "unknown", "g5": "young", "g6": "later",
    }  # fmt: skip


def test_by_ripeness_what_is_ripe_now_stands_first_and_what_bears_not_yet_last() -> None:
    # On 10 October: 5 days to 15 October, 71 to 20 December, 295 to 1 August.
    assert [row.id for row in fruit_in_order(rows(), "ripe")] == ["g1", "g2", "g6", "g3", "g4", "g5"]
    assert [row.away_days for row in rows()] == [0, 5, 295, None, 0, 71]


def test_a_span_over_the_new_year_is_ripe_on_both_sides_of_it() -> None:
    assert {rows(day)[-1].state for day in (date(2026, 12, 25), date(2027, 2, 10))} == {"now"}
    assert rows(date(2027, 2, 11))[-1].state == "later"


def kept_row(today: date, **changes: object):
    """A pear picked hard on 5 October, to eat from 12 October, good until 20 January."""
    pick = date(2026, 10, 5)
    kept = RipeDates(
        "apple", "Now Lamp", pick, pick, pick, pick, date(2027, 1, 20), (), pick, date(2026, 10, 11), date(2026, 10, 12)
    )
    (row,) = fruit_rows(Records((APPLE,), GRAFTS[:1]), today, False, (replace(kept, **changes),))
    return row, fruit_cells(row, fruit_columns((row,), 100))


def test_a_keeper_is_there_while_it_is_in_the_store_and_not_before_it_is_fit_to_eat() -> None:
    row, cells = kept_row(date(2026, 11, 30))
    assert (row.state, row.stored) == ("now", True)
    assert "store, to 20 Jan" in cells
    assert "in 4 days" in kept_row(date(2026, 10, 8))[1]
    assert kept_row(date(2027, 1, 21))[0].state == "unknown"  # over, and nothing is known of the next
    on_tree, cells = kept_row(date(2026, 10, 8), eat=date(2026, 10, 5))
    assert (on_tree.state, on_tree.stored) == ("now", False)
    assert "now, to 11 Oct" in cells


def test_when_to_pick_stands_below_with_the_range_and_the_year() -> None:
    row, _ = kept_row(date(2026, 11, 30), pick_low=date(2026, 9, 28), pick_high=date(2026, 10, 12))
    said = " ".join(fruit_lines(row, False, 200))
    assert (
        "Ripe about 5 Oct 2026 (28 Sep-12 Oct likely), look from 5 Oct; to eat from 12 Oct; good until 20 Jan 2027."
        in said
    )


def test_an_advice_stands_beside_each_graft_on_trial_and_its_reason_below() -> None:
    row = rows()[0]
    # 2, 3 and 2 of three crops: a mean of 2.3, which is not above 2.5; without dates nobody knows what would be missed.
    assert row.advice == "wait"
    assert fruit_lines(row, False, 200)[0] == (
        "3 crops seen (2023, 2024 and 2025), mean score 2.3 of 5: poor, but when it ripens is not known."
    )


def test_the_advice_in_the_row_is_that_of_its_reasons() -> None:
    (reason,) = (one for one in verdict_reasons(RECORDS, (), VarietyBook(RECORDS), OCTOBER) if one.graft == "g1")
    said = replace(reason, suggestion=Suggestion("g1", "Now Lamp", "cut", "Poor, and the season loses nothing."))
    row = fruit_rows(RECORDS, OCTOBER, south=False, reasons=[said])[0]
    assert row.advice == "cut"
    assert fruit_lines(row, False, 200)[0] == "Cut? Poor, and the season loses nothing. You decide."


def test_a_judged_graft_has_no_advice() -> None:
    judged = Records((APPLE,), (bearing("g1", "Now Lamp", None, None, verdict="keep"),))
    (row,) = fruit_rows(judged, OCTOBER, south=False)
    assert (row.advice, fruit_lines(row, False, 80)[0]) == ("", "Judged: keep.")


def test_a_first_crop_is_expected_of_a_judged_graft_that_took_and_bears_not_yet() -> None:
    judged = {"set_on": date(2025, 4, 1), "verdict": "keep"}
    grafts = (
        bearing("g1", "New Lamp", None, None, state="took", **judged),
        bearing("g2", "Old Lamp", None, None, **judged),
    )
    took, bears = fruit_rows(Records((APPLE,), grafts), OCTOBER, south=False)
    assert fruit_lines(took, False, 80) == ["Judged: keep.", "First crop to be expected in 2027 or 2028."]
    assert fruit_lines(bears, False, 80) == ["Judged: keep."]


def test_the_newest_scores_stand_first() -> None:
    columns = fruit_columns(rows(), 100)
    assert "2 3 2" in fruit_cells(rows()[0], columns)
    assert fruit_cells(rows()[1], columns).count("in 5 days") == 1


@pytest.mark.parametrize("width", [24, 36, 60, 78, 118])
def test_a_row_of_fruit_never_passes_the_page(width: int) -> None:
    columns = fruit_columns(rows(), width)
    assert max(len(fruit_cells(row, columns)) for row in rows()) <= width


BLOOMING = Records(
    (APPLE, PEAR, QUINCE),
    (
        bearing("g1", "Early Lamp", None, None),
        bearing("g2", "Mid Lamp", None, None, note="sharp"),
        bearing("g3", "Late Lamp", None, None),
        bearing("g4", "Odd Lamp", None, None),
        bearing("g5", "Lone Pear", None, None, tree="t2"),
        bearing("g6", "Self Quince", None, None, tree="t3"),
    ),
    sightings=(Sighting(date(2025, 5, 2), "apple", "full bloom", "t1", "Mid Lamp on the south side"),),
    varieties=(
        Variety("apple", "Early Lamp", bloom="1"),
        Variety("apple", "Mid Lamp", bloom="2"),
        Variety("apple", "Late Lamp", bloom="group 5"),
    ),
)


def test_a_variety_has_a_partner_none_or_one_that_is_not_known() -> None:
    states = {row.variety: row.state for row in bloom_rows(BLOOMING)}
    assert states == {
        "Early Lamp": "partner", "Mid Lamp": "partner", "Late Lamp": "unknown", "Odd Lamp": "unknown",
        "Lone Pear": "unknown", "Self Quince": "self",
    }  # fmt: skip


def test_one_whose_every_pair_blooms_apart_stands_alone() -> None:
    two = Records((APPLE,), (BLOOMING.grafts[0], BLOOMING.grafts[2]), varieties=BLOOMING.varieties)
    assert [row.state for row in bloom_rows(two)] == ["alone", "alone"]
    assert bloom_summary(bloom_rows(two)) == "0 with a partner in bloom, 2 without, 0 not known."


def test_the_lines_of_a_variety_say_with_whom_and_why() -> None:
    (early,) = [row for row in bloom_rows(BLOOMING) if row.variety == "Early Lamp"]
    assert bloom_lines(early, 200) == [
        "Together with Mid Lamp: bloom groups 1 and 2, same or adjacent.",
        "Apart with Late Lamp: bloom groups 1 and 5, not adjacent.",
        "Not known with Odd Lamp.",
        "Whether Mid Lamp gives pollen is not known.",
        "Bloom group 1 [you].",
    ]


def test_a_bloom_that_was_seen_stands_in_the_row_and_orders_it_first() -> None:
    ordered = bloom_in_order(bloom_rows(BLOOMING), "bloom")
    assert ordered[0].variety == "Mid Lamp"
    assert "2 May 25" in bloom_cells(ordered[0], bloom_columns(ordered, 78))
    assert all(len(bloom_in_order(ordered, order)) == 6 for order in BLOOM_ORDERS)


PLACES = Records(
    (APPLE, PEAR),
    (
        bearing("g1", "Cut Lamp", None, None, verdict="cut", facing=90, height_m=2.0, out_m=1.0),
        bearing("g2", "Gone Lamp", None, None, tree="t2", state="removed", facing=0, height_m=1.0, out_m=1.5),
        bearing("g3", "Kept Lamp", None, None, verdict="keep", facing=180, height_m=1.0, out_m=1.5),
    ),
)


def test_what_comes_off_and_what_is_free_stand_together_by_tree() -> None:
    assert [row.id for row in places_in_order(place_rows(PLACES), "tree")] == ["free/g2", "to cut/g1"]
    assert [row.id for row in places_in_order(place_rows(PLACES), "state")] == ["to cut/g1", "free/g2"]
    assert all(len(places_in_order(place_rows(PLACES), order)) == 2 for order in PLACE_ORDERS)


def test_a_place_says_where_it_is_in_the_units_of_the_orchard() -> None:
    (to_cut, free) = place_rows(PLACES)
    assert place_lines(to_cut, "metric", 200) == [
        "Cut Lamp (g1) comes off in its season; its place is free then: 2 m up, 1 m out, facing east."
    ]
    # 1 m is 3.3 ft and 1.5 m is 4.9 ft.
    assert "3.3 ft up, 4.9 ft out" in place_cells(free, place_columns((to_cut, free), 90), "us")


def test_a_wide_page_has_every_column_of_places_and_a_narrow_one_keeps_the_place() -> None:
    rows = place_rows(PLACES)
    wide, narrow = ([column.name for column in place_columns(rows, width)] for width in (110, 40))
    assert {"place", "state", "tree", "id", "variety"} <= {*wide}
    assert "place" in narrow
    assert "variety" not in narrow


def test_every_order_of_fruit_is_an_order() -> None:
    assert all(len(fruit_in_order(rows(), order, backwards=True)) == 6 for order in TASTING_ORDERS)

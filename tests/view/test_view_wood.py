"""The tables of wood: what stands in a row, in which order, and what presses."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace

from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.orchard.wood_balance import Balance, wood_balance
from tendwork.view.wood import (
    BUNDLE_ORDERS,
    bundle_cells,
    bundle_columns,
    bundle_lines,
    bundles,
    bundles_in_order,
    wood_warnings,
)
from tendwork.view.wood_balance import (
    balance_columns,
    balance_lines,
    balance_row,
    balance_state,
    balances_in_order,
)

TODAY = date(2026, 4, 11)
TREES = (Tree("t1", "Hill apple", "apple"),)
WOOD = (
    Wood("w1", "Green Lamp", "apple", 4, date(2026, 1, 20), "R. Dale", "fridge", "P. Weir", 1),
    Wood("w2", "Red Lamp", "apple", 2, date(2025, 11, 20), "t1", "sand pit"),
    Wood("w3", "Far Lamp", "apple", 3, None, "A. Holt"),
    Wood("w4", "Gone Lamp", "apple", 0, date(2026, 1, 20)),
    Wood("w5", "Dead Lamp", "apple", 2, date(2025, 10, 1), "", "", "S. Mill", 2),
)
TICKS = (Tick("check-wood/site/2026", "w1", date(2026, 4, 2), "dried", "new paper"),)
RECORDS = Records(TREES, (Graft("g1", "t1", "Red Lamp", "cleft"),), WOOD, (), TICKS)


def held(every_days: int | None = 12):
    return bundles(RECORDS, TODAY, every_days, False)


def test_a_bundle_is_fresh_fading_faded_not_cut_or_used_up() -> None:
    # Days since cutting: 81, 142, -, 81, 192; apple wood is good for 122 and counts for 152.
    assert [one.state for one in held()] == ["fresh", "fading", "not cut", "used up", "faded"]


def test_the_next_check_is_due_from_the_last_one() -> None:
    assert [one.due for one in held()] == [date(2026, 4, 14), date(2025, 12, 2), None, None, None]


def test_without_the_job_of_checking_no_check_is_due() -> None:
    assert {one.due for one in held(None)} == {None}


@pytest.mark.parametrize(
    ("order", "found"),
    [
        ("variety", ["w5", "w3", "w1", "w2", "w4"]),
        ("keeps", ["w5", "w2", "w1", "w3", "w4"]),
        ("check", ["w2", "w1", "w5", "w3", "w4"]),
        ("sticks", ["w1", "w3", "w5", "w2", "w4"]),
        ("kept", ["w1", "w2", "w5", "w3", "w4"]),
    ],
)
def test_bundles_in_order_have_what_is_used_up_last(order: str, found: list[str]) -> None:
    assert [one.wood.id for one in bundles_in_order(held(), order)] == found


@pytest.mark.parametrize("width", [24, 36, 60, 78, 118])
def test_a_row_never_passes_the_page(width: int) -> None:
    columns = bundle_columns(held(), width)
    assert max(len(bundle_cells(one, columns, TODAY)) for one in held()) <= width
    balances = wood_balance(RECORDS, TODAY, ())
    assert max(len(balance_row(one, balance_columns(balances, width))) for one in balances) <= width


def test_a_row_says_state_sticks_time_left_and_check() -> None:
    columns = bundle_columns(held(), 78)
    rows = [" ".join(bundle_cells(one, columns, TODAY, ascii_only=True).split()) for one in held()]
    assert rows[:3] == [
        "w1 Green Lamp # fresh 4 10 weeks due 14 Apr 1",
        "w2 Red Lamp = fading 2 10 days late, 2 Dec",
        "w3 Far Lamp ? to ask 3",
    ]


def test_the_lines_of_a_bundle_tell_its_checks_the_last_first() -> None:
    lines = bundle_lines(held()[0], 12, TODAY, 200)
    assert lines[0] == (
        "4 sticks; fresh, 12 weeks old, 10 weeks left; from R. Dale; kept fridge; 1 promised to P. Weir;"
        " checked 2 Apr: dried; check due Tue 14 Apr."
    )
    assert lines[-1] == "Thu 2 Apr 2026 checked: dried (new paper)"


def test_sticks_promised_to_nobody_by_name_are_told_without_one() -> None:
    nameless = replace(RECORDS, wood=(replace(WOOD[0], promised_to=""),))
    (one,) = bundles(nameless, TODAY, 12, False)
    assert "; 1 promised; checked 2 Apr" in bundle_lines(one, 12, TODAY, 200)[0]


@pytest.mark.parametrize(
    ("balance", "state"),
    [
        (Balance("apple", "X", grafts=1, needed=1, missing=1), "missing"),
        (Balance("apple", "X", grafts=1, needed=1, expected=2), "to come"),
        (Balance("apple", "X", grafts=1, needed=1, held=1), "enough"),
        (Balance("apple", "X", held=1, promised=1), "enough"),
    ],
)
def test_a_variety_is_missing_to_come_or_there(balance: Balance, state: str) -> None:
    assert balance_state(balance) == state


def test_what_is_missing_stands_first_in_the_balance() -> None:
    balances = (
        Balance("apple", "A", held=1),
        Balance("apple", "B", needed=1, expected=1),
        Balance("apple", "C", needed=1, missing=1),
    )
    assert [one.variety for one in balances_in_order(balances, "state")] == ["C", "B", "A"]
    assert [one.variety for one in balances_in_order(balances, "variety")] == ["A", "B", "C"]


def test_the_lines_of_a_variety_name_the_grafts_that_want_it_and_its_bundles() -> None:
    (balance,) = [one for one in wood_balance(RECORDS, TODAY, ()) if one.variety == "Red Lamp"]
    assert balance_lines(RECORDS, balance, 200) == [
        "Enough wood; 1 stick spare.",
        "Planned: g1 on Hill apple (cleft)",
        "Bundles: w2, 2 sticks",
    ]


def test_what_presses_is_said_by_urgency() -> None:
    grafts = (*RECORDS.grafts, Graft("g2", "t1", "Lost Lamp"))
    records = Records(TREES, grafts, WOOD, (), TICKS)
    assert wood_warnings(records, TODAY, bundles(records, TODAY, 12, False)) == (
        "Lost Lamp (apple): 1 stick missing for 1 planned graft. Cut more or ask for more while the wood is dormant.",
        "Red Lamp (w2): a check was due 2 Dec.",
        "Red Lamp (w2) is fading: 10 days left.",
        "Dead Lamp (w5) has faded, and 2 sticks of it were promised.",
    )


def test_every_order_is_an_order() -> None:
    assert all(len(bundles_in_order(held(), order, backwards=True)) == 5 for order in BUNDLE_ORDERS)

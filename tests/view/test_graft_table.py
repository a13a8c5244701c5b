"""The table of grafts: its orders, its filter, and the columns that fit."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.folder.data_files import SAMPLE_CONFIG, data_folder
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.view.graft_table import ORDERS, graft_cells, graft_columns, graft_rows, matching_rows
from tendwork.view.table import head_line
from tendwork.workbench.demo import sample_records

TREES = (Tree("t1", "Old apple", "apple"), Tree("t2", "Wall pear", "pear"), Tree("t3", "Bare plum", "plum"))
GRAFTS = (
    Graft("g1", "t1", "Red Lamp", "cleft", state="bearing", set_on=date(2015, 4, 1), height_m=3.0, verdict="keep"),
    Graft("g2", "t1", "Blue Lamp", state="planned"),
    Graft("g3", "t2", "Long Lamp", "bark", state="took", set_on=date(2025, 5, 1), height_m=1.0),
    Graft("g4", "t1", "Ashmead's Kernel", "side", state="failed", set_on=date(2024, 4, 1), height_m=2.0),
)
RECORDS = Records(trees=TREES, grafts=GRAFTS)


def ids(order: str, backwards: bool = False) -> list[str]:
    return [row.id for row in graft_rows(RECORDS, order, backwards)]


def test_by_tree_each_tree_stands_before_its_grafts_the_lowest_first() -> None:
    assert ids("tree") == ["tree/t1", "graft/g4", "graft/g1", "graft/g2", "tree/t2", "graft/g3", "tree/t3"]


@pytest.mark.parametrize(
    ("order", "found"),
    [
        ("variety", ["g4", "g2", "g3", "g1"]),
        ("state", ["g2", "g3", "g4", "g1"]),
        ("verdict", ["g4", "g2", "g3", "g1"]),
        ("set", ["g1", "g4", "g3", "g2"]),
        ("height", ["g3", "g4", "g1", "g2"]),
        ("method", ["g3", "g1", "g4", "g2"]),
    ],
)
def test_the_other_orders_are_of_grafts_alone_and_what_is_not_noted_comes_last(order: str, found: list[str]) -> None:
    assert ids(order) == [f"graft/{identity}" for identity in found]


def test_backwards_is_the_same_order_from_the_end() -> None:
    assert ids("variety", backwards=True) == ids("variety")[::-1]


def test_a_query_keeps_the_order_and_names_the_likeliest() -> None:
    rows, likeliest = matching_rows(graft_rows(RECORDS), "la")
    assert [row.id for row in rows] == ["tree/t1", "graft/g1", "graft/g2", "tree/t2", "graft/g3"]
    assert likeliest == "graft/g1"


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("ak", ["tree/t1", "graft/g4"]),
        ("planned", ["tree/t1", "graft/g2"]),
        ("pear took", ["tree/t2", "graft/g3"]),
        ("bare", ["tree/t3"]),
        ("nothing of it", []),
    ],
)
def test_a_query_is_of_grafts_by_name_or_of_words_in_their_rows(query: str, found: list[str]) -> None:
    assert [row.id for row in matching_rows(graft_rows(RECORDS), query)[0]] == found


@pytest.mark.parametrize("width", [24, 36, 60, 78, 120])
@pytest.mark.parametrize("order", ORDERS)
def test_a_row_never_passes_the_page(width: int, order: str) -> None:
    rows = [row for row in graft_rows(RECORDS, order) if row.graft]
    columns = graft_columns(rows, width, order)
    assert max(len(graft_cells(row, columns)) for row in rows) <= width
    assert len(head_line(columns, order, False)) <= width


def test_the_head_stands_over_its_cells_and_marks_the_order() -> None:
    (row,) = [row for row in graft_rows(RECORDS, "variety") if row.graft and row.graft.id == "g1"]
    columns = graft_columns([row], 78, "variety")
    head, line = head_line(columns, "variety", False, ascii_only=True), graft_cells(row, columns, ascii_only=True)
    assert "varietyv" in head
    for name, cell in (("variety", "Red Lamp"), ("tree", "Old apple"), ("state", "bearing"), ("set", "Apr 2015")):
        assert head.index(name) == line.index(cell)


def test_feet_where_the_orchard_has_feet() -> None:
    (row,) = [row for row in graft_rows(RECORDS, "variety") if row.graft and row.graft.id == "g1"]
    assert "9.8 ft" in graft_cells(row, graft_columns([row], 60, "variety"), "us")


def test_every_graft_of_the_sample_is_found_by_its_number_which_is_two_keys() -> None:
    records = sample_records(data_folder(SAMPLE_CONFIG))
    rows = graft_rows(records)
    numbers = {graft.id: str(int(graft.id.removeprefix("g"))) for graft in records.grafts}
    assert max(map(len, numbers.values())) <= 2
    assert [one for one, number in numbers.items() if matching_rows(rows, number)[1] != f"graft/{one}"] == []

"""Labels of trees and grafts, as lines for a label printer and as a page to cut up."""

from __future__ import annotations

from datetime import date

import pytest
from page_tags import tags_of

from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.rough_dates import RoughDate
from tendwork.outputs.labels import labels_html, labels_of, labels_text

TREES = (Tree("t1", "Old Tom", "apple", "M25", 1990), Tree("t2", "Wall pear", "pear"))


def graft(identity: str = "g1", **more: object) -> Graft:
    values = {"tree": "t1", "variety": "Red Lamp", "method": "cleft", "state": "took", "set_on": date(2024, 4, 6)}
    return Graft(identity, **(values | more))  # type: ignore[arg-type]


def lines(*grafts: Graft) -> list[list[str]]:
    return [line.split("\t") for line in labels_text(labels_of(Records(TREES, grafts))).split("\n")]


def test_a_graft_says_variety_tree_id_day_and_method_in_one_line() -> None:
    assert ["Red Lamp", "Old Tom", "g1", "2024-04-06", "cleft"] in lines(graft())


def test_a_tree_says_name_species_id_year_and_stock_in_one_line() -> None:
    assert lines()[0] == ["Old Tom", "apple", "t1", "1990", "M25"]


def test_a_label_says_what_another_species_it_is_and_the_year_alone_where_no_day_is_known() -> None:
    medlar = graft(tree="t2", variety="Nottingham", species="medlar", set_on=RoughDate(2019))
    assert ["Nottingham, medlar", "Wall pear", "g1", "2019", "cleft"] in lines(medlar)
    assert ["Red Lamp", "Old Tom", "g1", "2024-04", "cleft"] in lines(graft(species="apple", set_on=RoughDate(2024, 4)))


def test_a_trees_label_says_how_it_is_trained_and_on_what_it_stands() -> None:
    tree = Tree("t1", "Old Tom", "pear", "Quince A", 1990, interstem="Invented Hardy", form="espalier")
    (label,) = labels_of(Records((tree,)))
    assert (label.on, label.how) == ("pear, espalier", "Quince A, interstem Invented Hardy")


def test_what_is_not_known_is_an_empty_field_so_that_the_columns_stay() -> None:
    assert lines()[1] == ["Wall pear", "pear", "t2", "", ""]


def test_each_tree_is_followed_by_its_own_grafts() -> None:
    assert [line[2] for line in lines(graft("g1", tree="t2"), graft("g2"))] == ["t1", "g2", "t2", "g1"]


@pytest.mark.parametrize(("state", "labelled"), [
    ("planned", True), ("set", True), ("took", True), ("bearing", True), ("failed", False), ("removed", False),
])  # fmt: skip
def test_a_graft_has_a_label_as_long_as_it_is_or_will_be_on_the_tree(state: str, labelled: bool) -> None:
    assert ("g1" in [line[2] for line in lines(graft(state=state))]) == labelled


def test_tabs_and_line_breaks_in_a_name_move_no_field() -> None:
    assert lines(graft(variety="Red\tLamp\r\nof\x07old"))[1][0] == "Red Lamp  of␇old"


def test_the_page_has_a_line_to_write_the_day_of_a_planned_graft_on() -> None:
    planned = labels_html(labels_of(Records(TREES[:1], (graft(state="planned", set_on=None),))), "Test hill")
    dated = labels_html(labels_of(Records(TREES[:1], (graft(),))), "Test hill")
    assert (planned.count('class="blank"'), dated.count('class="blank"')) == (1, 0)


@pytest.mark.parametrize(("grafts", "pages"), [(0, 1), (22, 1), (23, 2), (148, 7)])
def test_a_page_holds_twenty_four_labels(grafts: int, pages: int) -> None:
    records = Records(TREES, tuple(graft(f"g{number}") for number in range(grafts)))
    page = labels_html(labels_of(records), "Test hill")
    assert page.count('class="sheet"') == pages
    assert page.count('class="label"') == grafts + 2


def test_markup_in_a_name_stays_text() -> None:
    tame, nasty = (
        tags_of(labels_html(labels_of(Records(TREES, (graft(variety=name, method=name),))), name))
        for name in ("x", "<b onclick=x>&lt;</title><script>")
    )
    assert nasty == tame


def test_the_same_records_give_the_same_page() -> None:
    first, second = (labels_html(labels_of(Records(TREES, (graft(),))), "Test hill") for _ in range(2))
    assert first == second

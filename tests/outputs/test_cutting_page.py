"""The cutting list and the labels of bundles on paper."""

from __future__ import annotations

from datetime import date

from page_tags import tags_of

from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.outputs.cutting_page import EMPTY, NO_TREE, cutting_html, cutting_page_of, cutting_text
from tendwork.outputs.labels import bundle_labels, labels_html, labels_text
from tendwork.planning.cutting_list import cutting_list

TODAY = date(2026, 1, 10)
NASTY = "<script>alert(1)</script> & {{ 7*7 }} \x1b[2J"
RECORDS = Records(
    trees=(Tree("t1", "Old Tom", "apple", planted=1990),),
    grafts=(
        Graft("g1", "t1", "Red Lamp", state="bearing", height_m=2.4, out_m=1.0, facing=135),
        Graft("g2", "t1", "Red Lamp", state="took"),
        Graft("g3", "t1", "Red Lamp", "cleft"),
        Graft("g4", "t1", "Far Lamp", "cleft"),
    ),
    wood=(
        Wood("w1", "Red Lamp", "apple", 2, None, "t1", promised_to="R. Dale", promised_sticks=2),
        Wood("w2", "Cold Lamp", "pear", 3, date(2026, 1, 2), "P. Hill", promised_to="S. Mill", promised_sticks=1),
        Wood("w3", "Old Lamp", "pear", 3, date(2025, 1, 2)),
    ),
)


def page(records: Records = RECORDS, units: str = "metric"):
    return cutting_page_of(cutting_list(records, TODAY, False), TODAY, "Test hill", units)


def labelled(records: Records = RECORDS) -> list[list[str]]:
    return [
        line.split("\t")
        for line in labels_text(bundle_labels(records, cutting_list(records, TODAY, False), TODAY)).split("\n")
    ]


def test_the_list_says_what_from_which_tree_and_place_how_many_and_for_whom() -> None:
    assert cutting_text(page()).split("\n") == [
        "Test hill: wood to cut, Sat 10 Jan 2026",
        "",
        "Old Tom",
        "[ ] Red Lamp, apple: 3 sticks (1 for here, 2 for R. Dale)",
        "    g1: 2.4 m up, 1 m out, facing south-east",
        "    g2: place not noted",
        "",
        NO_TREE,
        "[ ] Far Lamp, apple: 1 stick (1 for here)",
    ]


def test_heights_stand_in_the_person_s_units() -> None:
    assert "g1: 7.9 ft up, 3.3 ft out" in cutting_text(page(units="us"))


def test_nothing_to_cut_is_said() -> None:
    assert EMPTY.split(":")[0] in cutting_text(page(Records()))
    assert EMPTY.split(":")[0] in cutting_html(page(Records()))


def test_the_page_has_a_box_for_each_variety_and_says_the_same() -> None:
    made = cutting_html(page())
    assert made.count('class="box"') == 2
    for words in ("Old Tom", "Red Lamp, apple", "1 for here, 2 for R. Dale", "g2: place not noted"):
        assert words in made


def test_markup_in_a_name_stays_text_on_the_page_and_on_the_labels() -> None:
    def named(name: str) -> Records:
        return Records(
            (Tree("t1", name, "apple"),),
            (Graft("g1", "t1", name, state="took"),),
            (Wood("w1", name, "apple", 2, None, "t1", promised_to=name, promised_sticks=2),),
        )

    for make in (
        lambda records: cutting_html(page(records)),
        lambda records: labels_html(bundle_labels(records, cutting_list(records, TODAY, False), TODAY), "Hill"),
    ):
        assert tags_of(make(named(NASTY))) == tags_of(make(named("x")))
    assert "\x1b" not in cutting_text(page(named(NASTY)))


def test_a_label_says_variety_species_tree_sticks_day_and_for_whom() -> None:
    assert labelled() == [
        ["Red Lamp", "apple, Old Tom", "1 stick", "", "for here"],
        ["Red Lamp", "apple, Old Tom", "2 sticks", "", "for R. Dale"],
        ["Cold Lamp", "pear, P. Hill", "2 sticks", "2026-01-02", "for here"],
        ["Cold Lamp", "pear, P. Hill", "1 stick", "2026-01-02", "for S. Mill"],
    ]


def test_a_label_of_wood_that_is_not_cut_has_a_line_to_write_the_day_on() -> None:
    made = labels_html(bundle_labels(RECORDS, cutting_list(RECORDS, TODAY, False), TODAY), "Test hill")
    assert made.count('class="blank"') == 2
    assert made.count('class="label"') == 4
    assert "cut on" in made


def test_wood_that_is_barred_has_no_label_for_anybody_and_says_so() -> None:
    found = bundle_labels(RECORDS, (), TODAY, {"w2"})
    assert [(label.name, label.id, label.how) for label in found] == [
        ("Cold Lamp", "3 sticks", "barred, for disease on its tree: use none of it, give none away")
    ]
    assert "barred, for disease" in labels_html(found, "Test hill")


def test_labels_and_the_list_say_the_same_of_spare_sticks_and_tell_trees_of_one_name_apart() -> None:
    records = Records(
        trees=(Tree("t1", "Barn apple", "apple"), Tree("t2", "Barn apple", "apple")),
        wood=(
            Wood("w1", "Red Lamp", "apple", 1, came_from="t1"),
            Wood("w2", "Blue Lamp", "apple", 1, TODAY, "t2"),
            Wood("w3", "Grey Lamp", "apple", 1, TODAY, "barn apple"),
        ),
    )
    assert [label[1::3] for label in labelled(records)] == [
        ["apple, Barn apple (t1)", "to spare"],
        ["apple, Barn apple (t2)", "for here"],
        ["apple, barn apple (t1 or t2)", "for here"],
    ]
    assert "1 to spare" in cutting_text(page(records))

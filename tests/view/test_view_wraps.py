"""Wraps that are still on, and what is not noted, in words: which are overdue, since when, and until when."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace

from tendwork.orchard.methods import METHODS
from tendwork.orchard.rough_dates import RoughDate
from tendwork.planning.results import Gap, WrapOn
from tendwork.view.wraps import (
    NONE_ON,
    gap_sentences,
    wraps_by_tree,
    wraps_line,
    wraps_of_trees,
    wraps_sentence,
    wraps_shape,
    wraps_text,
)

TODAY = date(2026, 6, 20)
ON = WrapOn(
    graft="g1", tree="t1", tree_name="Old apple", variety="Red Lamp", wrap="raffia", set_on=date(2026, 4, 12), days=69,
    heat=410.4, state="open", by=date(2026, 7, 4), overdue=False, task="unwrap/t1/2026", place="2 m up",
)  # fmt: skip
OVERDUE = replace(ON, graft="g2", state="late", by=date(2026, 6, 1), overdue=True)
UNKNOWN = replace(
    ON, graft="g3", tree="t2", tree_name="Wall pear", wrap="", set_on=None, days=None, heat=None, by=None,
    state="no job", task="",
)  # fmt: skip


@pytest.mark.parametrize(
    ("wrap", "until"),
    [
        (ON, "off by 4 Jul"),
        (OVERDUE, "overdue, due 1 Jun"),
        (replace(OVERDUE, overdue=False), "late, due 1 Jun"),
        (replace(ON, state="held"), "held back, off by 4 Jul"),
        (replace(OVERDUE, state="held"), "overdue, held back"),
        (replace(ON, state="skipped"), "skipped"),
        (UNKNOWN, "no rule asks for it"),
    ],
)
def test_a_wrap_says_until_when_it_may_stay(wrap: WrapOn, until: str) -> None:
    assert wraps_by_tree((wrap,), TODAY)[0].rows[0].until == until


def test_what_is_not_noted_of_a_wrap_is_said_and_not_left_empty() -> None:
    (noted,), (unknown,) = (tree.rows for tree in wraps_by_tree((ON, UNKNOWN), TODAY, "us"))
    assert (noted.wrap, noted.since, noted.heat, noted.place) == ("raffia", "10 weeks", "410 degree-days", "6.6 ft up")
    assert (unknown.wrap, unknown.since, unknown.heat) == ("not noted", "day unknown", "heat not known")


def test_wraps_stand_by_tree_in_the_order_of_the_oldest_on_screen_and_on_paper() -> None:
    wraps = (UNKNOWN, ON, replace(UNKNOWN, graft="g4"), OVERDUE)
    assert [(tree.name, [row.graft for row in tree.rows]) for tree in wraps_by_tree(wraps, TODAY)] == [
        ("Wall pear", ["g3", "g4"]),
        ("Old apple", ["g1", "g2"]),
    ]
    assert wraps_of_trees(wraps[:2], TODAY) == (
        ("Wall pear", "Red Lamp (g3), not noted"),
        ("Old apple", "Red Lamp (g1), raffia since 12 Apr"),
    )
    assert wraps_of_trees((OVERDUE,), TODAY)[0][1].endswith("since 12 Apr, overdue")


def test_the_count_tells_the_oldest_whose_day_is_known_and_how_many_are_overdue() -> None:
    assert wraps_sentence((), TODAY) == NONE_ON
    assert wraps_sentence((UNKNOWN, ON), TODAY) == "Wraps still on: 2, the oldest since 12 Apr."
    assert wraps_sentence((UNKNOWN, ON, OVERDUE), TODAY).endswith("12 Apr; 1 overdue.")


GAPS = (
    Gap("wrap", ("g1", "g2")),
    Gap("wrap word", ("g3",), word="raphia"),
    Gap("method", ("g4",)),
    Gap("no method", ("g5", "g6", "g7"), species="apple", methods=(("cleft", date(2026, 4, 1), date(2026, 7, 1)),)),
    Gap("take", ("g8",)),
    Gap("spray days", (), word="Slow", tree="Old apple", day=date(2026, 6, 1), lacks="days to return", trees=1),
)


def test_a_narrow_line_counts_what_is_not_noted_by_what_it_is() -> None:
    assert wraps_line((ON, OVERDUE), GAPS, "x") == (
        "1 wrap overdue; not noted: label days of 1 spray, method of 3 planned grafts, wrap of 3 grafts,"
        " method of 1 graft (x)."
    )
    assert wraps_line((ON,), (), "x") == ""


@pytest.mark.parametrize(
    ("gap", "part"),
    [
        (GAPS[0], "2 grafts (g1 and g2) are on the tree with no wrap noted"),
        (GAPS[1], 'No rule knows the wrap "raphia" (g3): treated as one that neither stretches nor perishes.'),
        (GAPS[1], 'Did you mean "raffia"?'),
        (GAPS[2], "1 graft (g4) is on the tree without a method: only what holds for every graft is asked."),
        (replace(GAPS[2], word="clefd"), 'No rule knows the method "clefd" (g4): '),
        (replace(GAPS[2], word="clefd"), 'Did you mean "cleft"?'),
        (GAPS[3], "Open for apple: cleft (until 1 Jul)."),
        (replace(GAPS[3], word="clefd"), 'planned with a method that no rule knows ("clefd")'),
        (replace(GAPS[3], methods=(("cleft", date(2026, 7, 1), date(2026, 7, 9)),)), "apple: cleft (1-9 Jul)."),
        (GAPS[4], "nobody said whether it took."),
        (replace(GAPS[4], grafts=("g8", "g9")), "nobody said whether they took."),
        (GAPS[5], "Old apple was sprayed with Slow on 1 Jun, days to return not noted"),
        (replace(GAPS[5], trees=2), "were sprayed"),
        (Gap("wrap given up", ("g1",)), "only the winter check asks about it from now on"),
        (Gap("height", ("g1",), tree="Old apple"), "of the crowns of Old apple and 1 graft (g1): the cautions"),
        (Gap("wrap", ("g1", "g2", "g3", "g4", "g5", "g6")), "(g1, g2, g3, g4 and 2 more)"),
    ],
)
def test_a_gap_says_what_follows_from_it(gap: Gap, part: str) -> None:
    (said,) = gap_sentences((gap,), TODAY)
    assert part in said


def test_the_page_has_every_wrap_with_its_job_and_then_what_is_not_noted() -> None:
    lines = wraps_text((ON, UNKNOWN), GAPS[:1], TODAY, 100, ascii_only=True).splitlines()
    assert lines[0] == "Wraps still on: 2, the oldest since 12 Apr."
    assert lines[2] == "Old apple"
    assert lines[4].split() == ["off", "by", "4", "Jul", "unwrap/t1/2026"]
    assert lines[6] == "Wall pear"
    assert lines[8].strip() == "no rule asks for it"
    assert "Not noted:" in lines
    assert "Not noted:" not in wraps_text((ON,), (), TODAY, 100)


def test_the_json_has_days_as_days_and_none_where_nothing_is_known() -> None:
    shape = wraps_shape((ON, UNKNOWN), GAPS[3:4], TODAY)
    assert [(one["set_on"], one["heat"], one["by"]) for one in shape["wraps"]] == [
        ("2026-04-12", 410, "2026-07-04"),
        (None, None, None),
    ]
    assert shape["not_noted"][0]["methods"] == [{"method": "cleft", "opens": "2026-04-01", "closes": "2026-07-01"}]


@pytest.mark.parametrize(
    ("set_on", "text", "words"), [(RoughDate(2026), "2026", "2026"), (RoughDate(2026, 4), "2026-04", "Apr 2026")]
)
def test_a_wrap_of_which_no_day_is_known_says_its_month_or_year(set_on: RoughDate, text: str, words: str) -> None:
    rough = replace(ON, set_on=set_on, days=None, heat=None)
    (row,) = wraps_by_tree((rough,), TODAY)[0].rows
    assert (row.since, row.heat) == (words, "heat not known")
    assert wraps_shape((rough,), (), TODAY)["wraps"][0]["set_on"] == text
    assert f"the oldest since {words}" in wraps_text((rough,), (), TODAY, 100)


@pytest.mark.parametrize("word", ["approach", "root"])
def test_a_method_that_is_no_misspelt_one_gets_no_guess(word: str) -> None:
    (sentence,) = gap_sentences((replace(GAPS[2], kind="method word", word=word),))
    assert "Did you mean" not in sentence
    assert all(method in sentence.partition("Rules know ")[2] for method in METHODS)

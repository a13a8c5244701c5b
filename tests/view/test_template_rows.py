"""The templates as rows: how each stands, what moves and by how much, the site's shift."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.almanac.seasons import Season
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.planning.preview import Move
from tendwork.planning.vocabulary import Anchor, Template
from tendwork.view.template_rows import (
    TEMPLATE_MARKS,
    count_words,
    move_days,
    move_groups,
    moves_sentence,
    shift_words,
    states_of,
    template_groups,
)

SEASON = Season(2026)
TODAY = date(2026, 4, 15)
LATE, LOOK = (
    Template(name, title, part, "graft", Anchor(after="set", days=9), Anchor(after="set", days=20))  # type: ignore[arg-type]
    for name, title, part in (("late", "Look [/b] late", "upkeep"), ("look", "Look early", "wood"))
)
CHANGED = Adjustments(template={"look": Adjustment(opens_later_days=2)})
LEFT_OUT = Adjustments(template={"look": Adjustment(off=True)})


def a_move(before: tuple[int, int] | None, after: tuple[int, int] | None, week: str = "") -> Move:
    """A move between windows of April, given by their first and last day."""
    ends = [None if days is None else (date(2026, 4, days[0]), date(2026, 4, days[1])) for days in (before, after)]
    return Move("look/t1/2026", "Look", "the tree", ends[0], ends[1], None, week)


def test_templates_stand_by_part_of_the_year() -> None:
    groups = template_groups((LATE, LOOK), Adjustments(), Adjustments(), {}, SEASON)
    assert [(group.part, [row.id for row in group.rows]) for group in groups] == [
        ("wood", ["look"]),
        ("upkeep", ["late"]),
    ]


@pytest.mark.parametrize(
    ("saved", "now", "absent", "states"),
    [
        (Adjustments(), Adjustments(), False, ("kept",)),
        (Adjustments(), Adjustments(), True, ("absent",)),
        (CHANGED, CHANGED, False, ("adjusted",)),
        (CHANGED, CHANGED, True, ("adjusted", "absent")),
        (LEFT_OUT, LEFT_OUT, True, ("left out",)),
        (Adjustments(), CHANGED, False, ("unsaved", "adjusted")),
        (CHANGED, Adjustments(), False, ("unsaved",)),
    ],
)
def test_a_template_says_how_it_stands_the_most_telling_first(
    saved: Adjustments, now: Adjustments, absent: bool, states: tuple[str, ...]
) -> None:
    assert states_of("look", saved, now, absent) == states


def test_a_row_says_what_the_adjusted_template_waits_for() -> None:
    (group,) = template_groups((LOOK,), CHANGED, CHANGED, {}, SEASON)
    assert group.rows[0].waits_for == "11 days after it was set"


@pytest.mark.parametrize(
    ("words", "found"),
    [("", ["look", "late"]), ("ADJUSTED", ["look"]), ("early wood", ["look"]), ("no quince", ["late"])],
)
def test_the_filter_looks_in_title_part_state_and_condition(words: str, found: list[str]) -> None:
    absences = {"late": "No graft has the species quince."}
    groups = template_groups((LATE, LOOK), CHANGED, CHANGED, absences, SEASON, words)
    assert [row.id for group in groups for row in group.rows] == found


def test_no_two_states_share_a_mark() -> None:
    assert len({mark.symbol for mark in TEMPLATE_MARKS.values()}) == len(TEMPLATE_MARKS)
    assert len({mark.ascii for mark in TEMPLATE_MARKS.values()}) == len(TEMPLATE_MARKS)


def test_the_count_names_what_is_changed_or_away() -> None:
    groups = template_groups((LATE, LOOK), CHANGED, CHANGED, {"late": "No graft."}, SEASON)
    assert count_words(groups) == "2 templates, 1 adjusted, 1 absent this season"


@pytest.mark.parametrize(
    ("shift", "units", "words"),
    [
        (SiteShift(), "metric", ""),
        (SiteShift(degrees_c=0.0), "metric", ""),
        (SiteShift(degrees_c=1.5), "metric", "1.5 °C colder"),
        (SiteShift(degrees_c=-0.5), "metric", "0.5 °C warmer"),
        (SiteShift(degrees_c=2), "us", "3.6 °F colder"),
        (SiteShift(elevation_m=120), "metric", "120 m higher"),
        (SiteShift(elevation_m=-100), "us", "328.1 ft lower"),
        (SiteShift(days=1), "metric", "1 day behind"),
        (SiteShift(days=-6), "metric", "6 days ahead"),
    ],
)
def test_the_sites_shift_says_by_how_much_and_which_way(shift: SiteShift, units: str, words: str) -> None:
    """A difference of 1 °C is one of 1.8 °F and 1 m is 1/0.3048 ft: NIST SP 811 (2008), appendix B.8."""
    assert shift_words(shift, units) == words


@pytest.mark.parametrize(
    ("before", "after", "days"),
    [
        ((1, 10), (4, 10), ("+3 d", "same")),
        ((4, 10), (1, 8), ("-3 d", "-2 d")),
        (None, (4, 10), ("", "")),
        ((4, 10), None, ("", "")),
    ],
)
def test_a_move_says_by_how_many_days_each_end_moves(
    before: tuple[int, int] | None, after: tuple[int, int] | None, days: tuple[str, str]
) -> None:
    assert move_days(a_move(before, after)) == days


def test_what_enters_or_leaves_this_week_stands_first_and_what_is_over_last() -> None:
    over, enters, moves = a_move((1, 3), (2, 4)), a_move((25, 28), (16, 20), "enters"), a_move((20, 28), (21, 28))
    names = [group.name for group in move_groups((over, enters, moves), TODAY)]
    assert names == ["Enters this week", "Moves", "Closed by now, before and after"]


@pytest.mark.parametrize(
    ("moves", "words"),
    [
        ((), "No window of this season moves."),
        ((a_move((1, 3), (2, 4)),), "1 window of this season moves."),
        (
            (a_move((25, 28), (16, 20), "enters"), a_move((16, 20), (26, 28), "leaves")),
            "2 windows of this season move; 1 job enters this week, 1 job leaves it.",
        ),
        ((a_move((16, 20), None, "leaves"),), "1 window of this season moves; 1 job leaves this week."),
    ],
)
def test_one_sentence_counts_what_moves(moves: tuple[Move, ...], words: str) -> None:
    assert moves_sentence(moves) == words

"""What notes of minutes make of the usual time: known values, and what holds whatever was noted."""

from __future__ import annotations

from random import Random

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st

from tendwork.orchard.minutes_noted import MOST_TIMES, MinutesNote, times_the_usual

NOTES = st.lists(st.builds(MinutesNote, st.sampled_from(("t1", "t2", "t3", "")), st.floats(0.001, 1000)), max_size=12)


def of(tree: str, *times: float) -> list[MinutesNote]:
    return [MinutesNote(tree, one) for one in times]


def test_without_a_note_the_rule_stands() -> None:
    assert times_the_usual([], "t1") == 1


@pytest.mark.parametrize(
    ("notes", "tree", "times"),
    [
        (of("t1", 2), "t1", 1.19),  # 2 to the power of 1 in 4: the rule counts as three notes
        (of("t1", 2, 2, 2), "t1", 1.41),  # of 3 in 6
        (of("t1", *[2] * 27), "t1", 1.87),  # of 27 in 30
        (of("t1", 0.5), "t1", 0.84),
        (of("t1", 2, 0.5), "t1", 1.0),  # double and half are as far off
        (of("t2", 2), "t1", 1.19),  # what was noted of others alone
        (of("t2", 2) + of("t1", 2), "t1", 1.35),  # (3 x 1/4 + 1) in 4: those of others count as three notes
        (of("t2", *[2] * 97) + of("t1", 1), "t1", 1.66),  # 3 x 97/100 in 4
    ],
)
def test_known_values(notes: list[MinutesNote], tree: str, times: float) -> None:
    assert times_the_usual(notes, tree) == times


@pytest.mark.parametrize("absurd", [1000.0, 1e-6])
def test_one_absurd_note_counts_as_four_times_and_no_more(absurd: float) -> None:
    bound = MOST_TIMES if absurd > 1 else 1 / MOST_TIMES
    assert times_the_usual(of("t1", 1, 1, 1, absurd), "t1") == times_the_usual(of("t1", 1, 1, 1, bound), "t1")
    assert 0.8 < times_the_usual(of("t1", 1, 1, 1, absurd), "t1") < 1.25


@examples(200)
@given(NOTES, st.randoms(use_true_random=False), st.sampled_from(("t1", "t2", "")))
def test_the_order_of_the_notes_does_not_matter(notes: list[MinutesNote], chance: Random, tree: str) -> None:
    mixed = list(notes)
    chance.shuffle(mixed)
    assert times_the_usual(mixed, tree) == times_the_usual(notes, tree)


@examples(200)
@given(NOTES.filter(bool), st.data(), st.floats(1, 50), st.sampled_from(("t1", "t2", "")))
def test_more_minutes_in_any_note_never_make_it_less(
    notes: list[MinutesNote], data: st.DataObject, more: float, tree: str
) -> None:
    place = data.draw(st.integers(0, len(notes) - 1))
    longer = list(notes)
    longer[place] = MinutesNote(notes[place].tree, notes[place].times * more)
    assert times_the_usual(longer, tree) >= times_the_usual(notes, tree)


@examples(200)
@given(NOTES, st.floats(0.01, 100), st.sampled_from(("t1", "t2", "")))
def test_one_note_more_moves_it_towards_that_note(notes: list[MinutesNote], times: float, tree: str) -> None:
    before, after = times_the_usual(notes, tree), times_the_usual([*notes, MinutesNote(tree, times)], tree)
    counted = MinutesNote(tree, times).counts_as
    near = 0.01  # it is given to two decimals
    assert min(before, counted) - near <= after <= max(before, counted) + near


@examples(200)
@given(NOTES, st.sampled_from(("t1", "t2", "")))
def test_it_never_leaves_a_quarter_to_four_times(notes: list[MinutesNote], tree: str) -> None:
    assert 1 / MOST_TIMES <= times_the_usual(notes, tree) <= MOST_TIMES

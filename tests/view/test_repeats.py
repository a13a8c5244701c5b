"""Of the rounds of a repeating job one stands in the week, with a word about the others."""

from __future__ import annotations

from datetime import timedelta

from jobs import TODAY, task, unit, window

from tendwork.view.repeats import rounds_words, without_later_rounds
from tendwork.view.week import week_groups

DUE = task("look", again=TODAY + timedelta(days=5))
SOON = task("look", "coming", key="look/t1/2026.2", window=window(2, 9))
LATER = task("look", "coming", key="look/t1/2026.3", window=window(3, 9), units=(unit("g2"), unit("g3")))
OTHER_TREE = task("look", "coming", key="look/t2/2026", subject="t2", window=window(2, 9))


def keys(*tasks: object) -> list[str]:
    return [held.key for held in without_later_rounds(tasks)]  # type: ignore[arg-type]


def test_a_coming_round_stands_back_behind_one_that_is_due() -> None:
    assert keys(SOON, DUE) == [DUE.key]


def test_of_several_coming_rounds_the_first_to_open_stands() -> None:
    assert keys(LATER, SOON) == [SOON.key]


def test_rounds_that_are_due_all_stand_for_each_is_about_other_units() -> None:
    also = task("look", key="look/t1/2026.2", units=(unit("g2"),))
    assert keys(DUE, also) == [DUE.key, also.key]


def test_the_rounds_of_another_tree_stand_for_themselves() -> None:
    assert keys(DUE, OTHER_TREE) == [DUE.key, OTHER_TREE.key]


def test_a_round_that_was_ticked_stays_beside_the_next_one() -> None:
    done = task("look", "done")
    assert keys(done, SOON) == [done.key, SOON.key]


def test_the_list_by_urgency_shows_one_round() -> None:
    assert [row.key for group in week_groups((DUE, SOON, LATER), TODAY) for row in group.rows] == [DUE.key]


def test_a_word_says_when_the_next_round_opens_and_what_other_rounds_come() -> None:
    words = rounds_words(DUE, (DUE, LATER, OTHER_TREE), TODAY)
    assert words == "Next round from Tue 17 Mar. Another round, of 2 units, from Sun 15 Mar."


def test_a_job_that_comes_once_says_nothing_of_rounds() -> None:
    assert rounds_words(task("prune"), (DUE, SOON), TODAY) == ""

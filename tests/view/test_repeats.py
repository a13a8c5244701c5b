"""A word about the next round of a repeating job."""

from __future__ import annotations

from datetime import timedelta

from jobs import TODAY, task

from tendwork.view.job import rounds_words


def test_a_word_says_when_the_next_round_opens() -> None:
    assert rounds_words(task("look", again=TODAY + timedelta(days=5)), TODAY) == "Next round from Tue 17 Mar."


def test_a_job_that_comes_once_says_nothing_of_rounds() -> None:
    assert rounds_words(task("prune"), TODAY) == ""

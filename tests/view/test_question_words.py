"""The questions about grafts that came in, of one and of many."""

from __future__ import annotations

import pytest

from tendwork.planning.questions import Question
from tendwork.planning.results import STILL_ON, TOOK, Gap
from tendwork.view.question_words import about_words
from tendwork.view.wraps import gap_sentences


@pytest.mark.parametrize(
    ("name", "grafts", "words"),
    [
        ("took", ("g1",), "1 graft is noted as set, and nobody said whether it took."),
        ("took", ("g1", "g2"), "2 grafts are noted as set, and nobody said whether they took."),
        ("wraps", ("g1",), "1 graft came in after the time for its wrap was over, and nobody said whether this is"),
        ("wraps", ("g1", "g2"), "2 grafts came in after the time for their wraps was over, and nobody said whether"),
    ],
)
def test_a_question_says_of_how_many_it_asks(name, grafts: tuple[str, ...], words: str) -> None:
    assert about_words(Question(name, grafts)).startswith(words)


@pytest.mark.parametrize(
    ("kind", "grafts", "words"),
    [
        (TOOK, ("g1",), "1 graft (g1) came in as set: did it take? `tendwork ask took` takes the answer."),
        (TOOK, ("g1", "g2"), "2 grafts (g1 and g2) came in as set: did they take?"),
        (STILL_ON, ("g1",), "1 graft (g1) came in after the time for its wrap: is it still on?"),
        (STILL_ON, ("g1", "g2"), "came in after the time for their wraps: are these still on?"),
    ],
)
def test_check_asks_of_as_many_as_it_names(kind, grafts: tuple[str, ...], words: str) -> None:
    (sentence,) = gap_sentences((Gap(kind, grafts),))
    assert words in sentence

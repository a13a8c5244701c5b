"""Which outcome a tick may mean that says none."""

from __future__ import annotations

import pytest

from tendwork.orchard.outcomes import default_outcome


@pytest.mark.parametrize(
    ("outcomes", "each", "expected"),
    [
        (("done",), "site", "done"),
        (("done", "none found"), "tree", "done"),
        (("off", "not yet"), "graft", "off"),
        (("set", "not yet", "skipped"), "graft", "set"),
        (("cut", "got from elsewhere"), "variety", "cut"),
        (("swept",), "site", "swept"),
    ],
)
def test_work_is_what_a_tick_without_a_word_means(outcomes: tuple[str, ...], each: str, expected: str) -> None:
    assert default_outcome(outcomes, each) == expected


@pytest.mark.parametrize(
    ("outcomes", "each"),
    [
        (("took", "not yet", "failed"), "graft"),
        (("keep", "cut", "on trial"), "graft"),
        (("cut", "keep"), "graft"),
        (("middle", "strong", "weak"), "graft"),
        (("all well", "gnawed", "mended"), "tree"),
        (("none found", "cut out"), "site"),
        (("still good", "used", "thrown out"), "wood"),
        (("swept", "left"), "site"),
        (("took",), "graft"),
        (("all well",), "site"),
    ],
)
def test_a_finding_or_a_choice_of_unknown_words_is_for_the_person_to_say(outcomes: tuple[str, ...], each: str) -> None:
    assert default_outcome(outcomes, each) == ""

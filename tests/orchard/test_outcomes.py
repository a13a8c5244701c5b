"""Which outcome a tick may mean that says none, and which cannot be true of a graft."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import graft, planned

from tendwork.orchard.outcomes import default_outcome, refusal
from tendwork.orchard.records import Graft


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


SET_ON = date(2026, 4, 1)
NEVER_SET = graft(state="took", set_on=None)


@pytest.mark.parametrize(
    ("one", "outcome", "day", "said"),
    [
        (planned(), "took", SET_ON, "so it cannot have took"),
        (planned(), "failed", SET_ON, "so it cannot have failed"),
        (NEVER_SET, "took", SET_ON, "so it cannot have took"),
        (planned(), "off", SET_ON, "so it has no wrap"),
        (graft(), "off", date(2026, 3, 31), "after 2026-03-31: give the day on which its wrap came off"),
        (graft(), "took", date(2026, 3, 31), "after 2026-03-31: give the day on which you looked"),
        (graft(), "off", SET_ON, ""),
        (graft(), "failed", SET_ON, ""),
        (NEVER_SET, "off", date(2026, 3, 31), ""),
        (planned(), "set", SET_ON, ""),
        (graft(), "not yet", date(2026, 3, 31), ""),
    ],
)
def test_what_cannot_be_true_of_a_graft_is_refused_with_what_to_do(
    one: Graft, outcome: str, day: date, said: str
) -> None:
    why = refusal(one, outcome, day)
    assert said in why
    assert bool(why) == bool(said)

"""What a tick on a job about a bundle leaves in it."""

from __future__ import annotations

import pytest
from orchard_records import bundle

from tendwork.orchard.outcomes import wood_after

PROMISED = bundle(sticks=5, promised_to="R. Dale", promised_sticks=2)


def test_sent_sticks_leave_the_bundle_and_are_owed_no_more() -> None:
    assert wood_after(PROMISED, "sent") == bundle(sticks=3, promised_to="R. Dale")


def test_more_sent_than_there_was_leaves_none() -> None:
    assert wood_after(bundle(sticks=1, promised_sticks=3), "sent").sticks == 0


@pytest.mark.parametrize("outcome", ["lost", "used", "thrown out"])
def test_lost_wood_is_gone_and_its_promise_is_still_owed(outcome: str) -> None:
    assert wood_after(PROMISED, outcome) == bundle(sticks=0, promised_to="R. Dale", promised_sticks=2)


@pytest.mark.parametrize("outcome", ["all well", "mould", "still good", "not yet", "cannot be sent", "done"])
def test_every_other_word_leaves_the_bundle_as_it_is(outcome: str) -> None:
    assert wood_after(PROMISED, outcome) == PROMISED

"""A window that a date holds at its earliest or latest day says so, and what it would be without."""

from __future__ import annotations

from datetime import date

import pytest
from steady_almanac import SteadyAlmanac

from tendwork.almanac.seasons import Season
from tendwork.planning.anchors import Anchors
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import Anchor, Template
from tendwork.planning.windows import opening_of

BLOOM = Anchor(stage="full bloom")  # 28 April
HEAT = Anchor(stage="full bloom", heat=850)  # 85 days of ten degree-days: 22 July
SET = Anchor(after="set", weeks=5)
TREE = Subject("g1", "Red Lamp", "t1", "Old apple", "", ("apple",), {"set": date(2026, 4, 12)})


def opens(*, latest_of: tuple[Anchor, ...] = (), earliest_of: tuple[Anchor, ...] = ()) -> str:
    anchor = Anchor(latest_of=list(latest_of)) if latest_of else Anchor(earliest_of=list(earliest_of))
    template = Template("look", "Look", "aftercare", "graft", anchor, Anchor(date="10-20"))
    opening = opening_of(template, TREE, Anchors(SteadyAlmanac(), Season(2026)))
    assert opening is not None
    return opening.because[0]


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (
            opens(earliest_of=(Anchor(date="07-01"), HEAT)),
            "Opens 1 Jul at the latest, else 22 Jul: 850 degree-days after apple full bloom, expected 28 Apr",
        ),
        (
            opens(latest_of=(Anchor(date="06-01"), BLOOM)),
            "Opens 1 Jun at the earliest, else 28 Apr: apple full bloom, expected 28 Apr",
        ),
        (
            opens(latest_of=(SET, Anchor(date="06-01"))),
            "Opens 1 Jun at the earliest, else 17 May: 5 weeks after it was set on 12 Apr.",
        ),
        (
            opens(latest_of=(Anchor(date="06-01"), Anchor(earliest_of=[Anchor(date="07-01"), HEAT]))),
            "Opens 1 Jul at the latest, else 22 Jul: ",
        ),
        (opens(latest_of=(Anchor(date="06-01"), Anchor(date="05-01"))), "Opens 1 Jun, by the calendar."),
        (opens(latest_of=(Anchor(date="04-01"), BLOOM)), "Opens 28 Apr: apple full bloom, expected 28 Apr"),
    ],
)
def test_the_reason_names_the_limit_and_what_it_holds(said: str, words: str) -> None:
    assert said.startswith(words)

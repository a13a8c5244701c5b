"""What is offered to a person who is asked for the wrap of a graft."""

from __future__ import annotations

from datetime import date

from tendwork.orchard.records import Graft, Records
from tendwork.orchard.wrap_choices import to_be_set, wrap_choices
from tendwork.orchard.wraps import WRAPS

NEWEST = Graft("g1", "t1", "Red Lamp", wrap="raffia", state="set", set_on=date(2026, 4, 20))
OLDER = Graft("g2", "t1", "Blue Lamp", wrap="film", state="took", set_on=date(2025, 4, 20))
BARE = Graft("g3", "t1", "Green Lamp")
PLANNED = Graft("g4", "t1", "Long Lamp", wrap="cloth")
OTHER = Graft("g5", "t1", "Lost Lamp", wrap="string")
RECORDS = Records(grafts=(NEWEST, OLDER, BARE, PLANNED, OTHER))


def said(*grafts: Graft, records: Records = RECORDS) -> list[str]:
    return [choice.said for choice in wrap_choices(records, grafts)]


def test_the_wrap_of_the_graft_that_was_set_last_stands_first() -> None:
    assert said(BARE)[0] == "raffia"


def test_the_planned_wrap_stands_before_it() -> None:
    assert said(PLANNED)[0] == "cloth"


def test_different_planned_wraps_can_be_kept_together() -> None:
    first = wrap_choices(RECORDS, (PLANNED, OTHER))[0]
    assert (first.said, first.wrap) == ("as planned: cloth, string", None)


def test_every_known_word_is_offered_once_and_that_it_is_not_known_last() -> None:
    for grafts in ((BARE,), (PLANNED,), (PLANNED, OTHER)):
        offered = said(*grafts)
        assert sorted(word for word in offered if word in WRAPS) == sorted(WRAPS)
        assert (offered[-1], offered.count("do not know")) == ("do not know", 1)


def test_without_any_record_the_words_of_the_trade_stand_alone() -> None:
    assert said(BARE, records=Records(grafts=(BARE,))) == [*WRAPS, "do not know"]


def test_only_what_this_sets_is_asked_about() -> None:
    units = ("g1", "g3")
    assert to_be_set(RECORDS, units, "set") == (BARE,)
    assert to_be_set(RECORDS, units, "not yet") == ()

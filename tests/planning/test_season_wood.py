"""Wood that came and went in a season, and whom to thank for it."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace
from season_orchard import RECORDS

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Records, Wood
from tendwork.orchard.wording import NOBODY_NOTED
from tendwork.planning.season_wood import Awaited, Given, Received, Thanks, season_wood

FOUND = season_wood(RECORDS, Season(2026))


def test_received_is_what_was_cut_that_season_and_came_from_somebody_with_what_became_of_it() -> None:
    assert FOUND.received == (Received("P. Hill", "apple", "Red Lamp", date(2026, 1, 3), 2, 2, 1),)
    assert [one.variety for one in season_wood(RECORDS, Season(2025)).received] == ["Old Wood"]


def test_what_was_sent_has_its_day_and_what_was_only_promised_its_sticks() -> None:
    assert FOUND.given == (
        Given("R. Dale", "apple", "Blue Lamp", 1, None),
        Given("S. Mill", "pear", "Grey Lamp", 0, date(2026, 1, 25)),
    )


def test_what_was_asked_for_and_did_not_come_has_its_answer() -> None:
    assert FOUND.awaited == (Awaited("A. Weir", "pear", "Far Pear", 2, "refused"),)


def test_own_wood_is_counted_by_bundle_and_by_what_is_left() -> None:
    assert (FOUND.own_bundles, FOUND.own_sticks) == (1, 3)


def test_thanks_go_to_whoever_gave() -> None:
    assert FOUND.thanks == (Thanks("P. Hill", ("Red Lamp",), ("Red Lamp",)),)


def test_somebody_not_noted_is_not_thanked_by_that_name() -> None:
    records = Records(wood=(Wood("w1", "Any", "apple", 2, date(2026, 1, 3), asked_on=date(2025, 12, 1)),))
    found = season_wood(records, Season(2026))
    assert ([one.who for one in found.received], found.thanks) == ([NOBODY_NOTED], ())


def test_in_the_south_wood_of_july_is_of_the_spring_after_it() -> None:
    moved = replace(RECORDS, wood=(Wood("w1", "Any", "apple", 2, date(2026, 7, 3), "P. Hill"),))
    assert len(season_wood(moved, Season(2026, south=True)).received) == 1
    assert season_wood(moved, Season(2025, south=True)).received == ()

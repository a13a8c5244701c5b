"""Which sightings are asked about once more, and which are not."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tendwork.almanac.results import StageDate
from tendwork.orchard.records import Sighting
from tendwork.planning.doubts import LEAST_DAYS, MARGIN_DAYS, doubts, order_doubt, range_doubt

LOW, BEST, HIGH = date(2026, 5, 2), date(2026, 5, 8), date(2026, 5, 14)
BLOOM = StageDate("full bloom", 65, "predicted", BEST, LOW, HIGH)
DAY = timedelta(days=1)
FURTHEST = (HIGH - LOW) + MARGIN_DAYS * DAY


def seen(day: date, stage: str, tree: str = "", species: str = "apple") -> Sighting:
    return Sighting(day, species, stage, tree)


def test_full_bloom_a_month_early_is_asked_about() -> None:
    said = range_doubt(BEST - 30 * DAY, BLOOM)
    assert said == "the almanac expected it from 2 May to 14 May, 24 days later"


def test_an_early_or_late_spring_is_not_asked_about() -> None:
    assert range_doubt(BEST - 14 * DAY, BLOOM) == ""
    assert range_doubt(BEST + 14 * DAY, BLOOM) == ""


@pytest.mark.parametrize("step", [-1, 1])
def test_the_doubt_begins_a_day_beyond_the_width_of_the_range_and_the_margin(step: int) -> None:
    edge = LOW - FURTHEST if step < 0 else HIGH + FURTHEST
    assert range_doubt(edge, BLOOM) == ""
    assert range_doubt(edge + step * DAY, BLOOM) != ""


def test_a_narrow_range_leaves_time_to_note_what_lasts() -> None:
    narrow = StageDate("fruit set", 71, "past", BEST, BEST, BEST + 2 * DAY)
    assert range_doubt(narrow.high + LEAST_DAYS * DAY, narrow) == ""
    assert range_doubt(narrow.high + (LEAST_DAYS + 1) * DAY, narrow) != ""


def test_where_the_almanac_foresees_nothing_nothing_contradicts_it() -> None:
    assert range_doubt(BEST, None) == ""
    assert range_doubt(BEST, StageDate("full bloom", 65, "unreached", None, None, None)) == ""


def test_an_earlier_stage_after_a_later_one_is_asked_about() -> None:
    said = order_doubt(seen(BEST, "pink"), [seen(BEST - DAY, "full bloom")], south=False)
    assert said == '"full bloom", which comes after it, was seen on 7 May'


def test_a_later_stage_before_an_earlier_one_is_asked_about() -> None:
    assert order_doubt(seen(LOW, "full bloom"), [seen(BEST, "pink")], south=False) != ""


@pytest.mark.parametrize(
    "other",
    [
        seen(BEST, "full bloom"),  # on the same day
        seen(BEST - DAY, "green tip"),
        seen(BEST - DAY, "full bloom", "t2"),  # another tree
        seen(BEST - DAY, "full bloom", species="pear"),
        seen(date(2025, 5, 7), "full bloom"),  # another season
    ],
)
def test_what_is_no_contradiction_is_not_asked_about(other: Sighting) -> None:
    assert order_doubt(seen(BEST, "pink"), [other], south=False) == ""


def test_leaf_fall_in_november_belongs_to_the_season_before() -> None:
    assert order_doubt(seen(date(2026, 3, 20), "green tip"), [seen(date(2025, 11, 8), "leaf fall")], south=False) == ""


def test_of_many_the_one_out_of_order_is_named_once() -> None:
    early, late = seen(LOW, "full bloom"), seen(BEST, "pink")
    assert list(doubts([late, early], {}, south=False)) == [late]

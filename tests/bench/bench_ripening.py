"""Picking dates at a made cool place, beside what a calendar and constant days from bloom would say.

Run with `-m bench -s`. The errors of the simple ways are those that sixty years at one cool place gave, so the made
place is as hard as that one; the reports of Michigan State University are in days against Red Delicious alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, timedelta
from itertools import chain
from statistics import fmean
from typing import NamedTuple

import pytest
from made_ripening import LATITUDE_DEG, MadePlace, MadeSeason, made_place, normals_of

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.kept_progress import KeptProgress
from tendwork.almanac.results import SeenStage
from tendwork.almanac.ripe_evidence import RIPE, AgainstOther, NotedDay, PickDate, RipeEvidence, Tasted
from tendwork.almanac.seasons import Season

pytestmark = pytest.mark.bench

FIRST_TESTED, EVERY = 12, 3
PLACES = range(4)

# Predicted peak dates for Grand Rapids in 2011, 2020 and 2021, in days against Red Delicious (Michigan State University
# Extension, as printed by MLive).
REPORTS: dict[int, dict[str, int]] = {
    2011: {
        "Paulared": -41, "Ginger Gold": -39, "Gala": -24, "McIntosh": -20, "Honeycrisp": -16, "Empire": -12,
        "Jonathan": -7, "Jonagold": -6, "Golden Delicious": -2, "Idared": 6, "Rome Beauty": 11, "Fuji": 21,
        "Braeburn": 21, "GoldRush": 28,
    },
    2020: {
        "Paulared": -39, "Ginger Gold": -37, "Gala": -22, "McIntosh": -17, "Honeycrisp": -13, "Empire": -8,
        "Jonathan": -6, "Jonagold": -6, "Golden Delicious": -4, "Idared": 5, "Rome Beauty": 10, "Fuji": 20,
        "Braeburn": 20, "GoldRush": 27,
    },
    2021: {
        "Paulared": -48, "Ginger Gold": -46, "Gala": -33, "McIntosh": -33, "Honeycrisp": -22, "Empire": -15,
        "Jonathan": -6, "Jonagold": -6, "Golden Delicious": -6, "Idared": 0, "Rome Beauty": 7, "Fuji": 13,
        "Braeburn": 13, "GoldRush": 23,
    },
}  # fmt: skip
# The same by lists of other institutions, of which the mean is taken.
LISTED = {
    "Paulared": (-49, -35, -34), "Ginger Gold": (-21, -51, -34), "Gala": (-14, -21, -32, -23),
    "McIntosh": (-10, -14, -20, -17), "Honeycrisp": (-5, -15), "Empire": (-4, -15, 9), "Jonathan": (-7, -14),
}  # fmt: skip


class Judged(NamedTuple):
    """Mean absolute error and mean error in days, share of dates within the range, and its mean width in days."""

    error_days: float
    bias_days: float
    held: float
    width_days: float


def judged(dates: Iterable[tuple[PickDate, date]]) -> Judged:
    rows = [((one.pick - day).days, one.low <= day <= one.high, (one.high - one.low).days) for one, day in dates]
    errors = [error for error, _, _ in rows]
    return Judged(
        fmean(map(abs, errors)),
        fmean(errors),
        fmean(held for _, held, _ in rows),
        fmean(width for _, _, width in rows),
    )


def foretold(
    place: MadePlace, seasons: int, bloom_always_seen: bool, asked: dict[bytes, tuple[int, bytes]]
) -> Iterable[tuple[PickDate, date]]:
    """Every third year's dates on 31 July, from so many seasons before, with what was picked by then known."""
    for index in range(FIRST_TESTED, len(place.seasons), EVERY):
        now, past = place.seasons[index], place.seasons[index - seasons : index]
        today = date(now.year, 7, 31)
        seen = [SeenStage(one.bloom, "apple", "full bloom") for one in ((*past, now) if bloom_always_seen else (now,))]
        almanac = Almanac(Place(LATITUDE_DEG), place.series, seen, today, KeptProgress(asked))
        evidence = [
            RipeEvidence(
                "apple",
                variety,
                tuple(Tasted(one.picked[variety], RIPE) for one in (*past, now) if one.picked[variety] <= today),
            )
            for variety in now.picked
        ]
        for found in almanac.pick_dates(evidence, Season(now.year)):
            if not found.seen:
                yield found, now.picked[found.variety]


def simply(place: MadePlace, seasons: int, begin: Callable[[MadeSeason], date]) -> float:
    """Mean absolute error of the mean of so many seasons, counted from a day of each."""
    errors = []
    for index in range(FIRST_TESTED, len(place.seasons), EVERY):
        now, past = place.seasons[index], place.seasons[index - seasons : index]
        for variety, picked in now.picked.items():
            usual = fmean((one.picked[variety] - begin(one)).days for one in past)
            errors.append(abs(usual - (picked - begin(now)).days))
    return fmean(errors)


def test_beside_the_calendar_and_constant_days_from_bloom() -> None:
    places = [made_place(seed) for seed in PLACES]
    asked: list[dict[bytes, tuple[int, bytes]]] = [{} for _ in places]
    print("\nseasons   calendar   bloom + days   this bloom seen: error, bias, held, width   all blooms seen")
    for seasons in (1, 3, 10):
        calendar = fmean(simply(place, seasons, lambda one: date(one.year, 1, 1)) for place in places)
        constant = fmean(simply(place, seasons, lambda one: one.bloom) for place in places)
        ways = [
            judged(
                chain.from_iterable(
                    foretold(place, seasons, always, own) for place, own in zip(places, asked, strict=True)
                )
            )
            for always in (False, True)
        ]
        words = "      ".join(
            f"{way.error_days:5.1f} {way.bias_days:+5.1f} {way.held:6.0%} {way.width_days:5.1f}" for way in ways
        )
        print(f"{seasons:7}   {calendar:8.1f}   {constant:12.1f}   {words}")
        for way in ways:
            assert way.error_days < 0.85 * min(calendar, constant)
            assert 0.75 <= way.held <= 0.90


def test_reports_of_one_region_with_normals_only() -> None:
    """Only distances to Red Delicious are printed, so each year's reports are laid around one mean day."""
    print("\nDays that a report of Grand Rapids errs by, of each year from the others, with normals only")
    normals = normals_of("Geneva NY")
    place = Place(43.0, normals_min_c=normals.minimum_c, normals_max_c=normals.maximum_c)
    errors: dict[int, list[Judged]] = {}
    for year in REPORTS:
        others = [other for other in REPORTS if other != year]
        for seasons in range(len(others) + 1):
            almanac = Almanac(place, None, (), date(year, 7, 31))
            standard = RipeEvidence("apple", "Red Delicious", noted=(NotedDay(9, 20, "made"),))
            # What was reported in another year stands in a year before, at the same distance from now for all.
            past = {year - 1 - place: REPORTS[other] for place, other in enumerate(others[:seasons])}
            evidence = [standard, *(_reported(variety, past) for variety in LISTED)]
            dates = [one for one in almanac.pick_dates(evidence, Season(year)) if one.variety in LISTED]
            truth = _laid(year, REPORTS[year])
            errors.setdefault(seasons, []).append(judged((one, truth[one.variety]) for one in dates))
    for seasons, ways in errors.items():
        print(f"  order and {seasons} seasons: {fmean(way.error_days for way in ways):.1f}", end="")
        print(f", held {fmean(way.held for way in ways):.0%}")
    assert fmean(way.error_days for way in errors[0]) <= 8
    assert fmean(way.error_days for way in errors[1]) <= 6
    assert fmean(way.error_days for way in errors[2]) <= 4.1


def _laid(year: int, reports: dict[str, int]) -> dict[str, date]:
    """The reports as days of a year, such that the mean of those that lists have too is 1 September."""
    mean = round(fmean(reports[variety] for variety in LISTED))
    return {variety: date(year, 9, 1) + timedelta(days=days - mean) for variety, days in reports.items()}


def _reported(variety: str, past: dict[int, dict[str, int]]) -> RipeEvidence:
    tasted = tuple(Tasted(_laid(year, reports)[variety], RIPE) for year, reports in past.items())
    against = tuple(AgainstOther("Red Delicious", days, "a list") for days in LISTED[variety])
    return RipeEvidence("apple", variety, tasted, against=against)

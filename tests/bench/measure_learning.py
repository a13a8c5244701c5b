"""The almanac in hindcast on observed full bloom: with no local data, a usual date, and one, three, five springs.

    python tests/bench/measure_learning.py DATA

DATA as for compare_development_models.py. Each station's seasons are put one after the other as if its years followed
on each other; the usual date is the station's mean, four days off at random. Prints the table of
almanac-comparison.md.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
from compare_development_models import DAYS, stations

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.results import SeenStage
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import DailySeries

FIRST_YEAR, FIRST_TESTED = 1990, 10
SPECIES = {
    "pear, Korea": "pear",
    "peach, Korea": "peach",
    "cherry, Korea": "sweet cherry",
    "cherry, Japan": "sweet cherry",
}
WAYS = (
    ("nothing", False, 0),
    ("usual date", True, 0),
    ("1 spring", False, 1),
    ("3 springs", False, 3),
    ("5 springs", False, 5),
)


def orchards(data: Path) -> Iterator[tuple[str, DailySeries, list[date]]]:
    """(group, one series, the days of full bloom) of each station with enough seasons."""
    for group, clusters in stations(data).items():
        for at in clusters:
            for site in np.unique(at["site"]):
                mine = np.flatnonzero(at["site"] == site)
                if len(mine) > FIRST_TESTED + 5:
                    yield (group, *_joined(at, mine))


def _joined(at: dict[str, Any], mine: Any) -> tuple[DailySeries, list[date]]:
    low: list[float] = []
    high: list[float] = []
    blooms = []
    for position, row in enumerate(mine):
        first, following = (date(FIRST_YEAR + position + shift, 9, 1) for shift in (-1, 0))
        summer = (following - first).days - DAYS
        low += [*map(float, at["low"][row]), *[12.0] * summer]
        high += [*map(float, at["high"][row]), *[22.0] * summer]
        blooms.append(first + timedelta(days=int(at["bloom"][row])))
    return DailySeries(date(FIRST_YEAR - 1, 9, 1), tuple(low), tuple(high), "m" * len(low)), blooms


def main() -> None:
    results: dict[str, dict[str, list[tuple[int, int, bool]]]] = {}
    for number, (group, series, blooms) in enumerate(orchards(Path(sys.argv[1]))):
        species = SPECIES[group]
        of_year = [(bloom - date(bloom.year, 1, 1)).days for bloom in blooms]
        usual = date(2001, 1, 1) + timedelta(days=round(sum(of_year) / len(of_year) + Random(number).gauss(0, 4)))
        for position in range(FIRST_TESTED, len(blooms), 3):
            bloom = blooms[position]
            for name, has_usual, springs in WAYS:
                place = Place(36.0, usual_dates=(UsualDate(species, "full bloom", usual.month, usual.day),) * has_usual)
                seen = tuple(SeenStage(day, species, "full bloom") for day in blooms[position - springs : position])
                row = Almanac(place, series, seen, date(bloom.year, 7, 30)).stage(
                    species, "full bloom", Season(bloom.year)
                )
                assert row.date is not None
                assert row.low is not None
                assert row.high is not None
                kept = ((row.date - bloom).days, (row.high - row.low).days, row.low <= bloom <= row.high)
                results.setdefault(group, {}).setdefault(name, []).append(kept)
            mean = round(sum(of_year[position - 10 : position]) / 10)
            results[group].setdefault("mean of ten years", []).append((mean - of_year[position], 0, False))
    names = [*(name for name, _, _ in WAYS), "mean of ten years"]
    print("| stations | " + " | ".join(names) + " |\n|---|" + "---|" * len(names))
    for group, by_way in results.items():
        cells = []
        for name in names:
            judged = by_way[name]
            error = sum(abs(days) for days, _, _ in judged) / len(judged)
            inside = sum(hit for _, _, hit in judged) / len(judged)
            width = sum(days for _, days, _ in judged) / len(judged)
            cells.append(f"{error:.1f}" if name == names[-1] else f"{error:.1f} ({inside:.0%} in {width:.0f} d)")
        print(f"| {group} | " + " | ".join(cells) + " |")


if __name__ == "__main__":
    main()

"""The almanac in hindcast on full bloom: with no local data, a usual date, and one, three, five springs.

    python tests/bench/measure_learning.py DATA

DATA as for compare_development_models.py. Each station's seasons are put one after the other as if its years followed
on each other; the usual date is the middle of the ten seasons before, rounded to five days, as people know it. Besides
the stations, invented orchards in warm winters bloom by rules that the almanac does not hold. Prints the tables of
almanac-comparison.md; takes about ten minutes.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import groupby
from math import exp, log
from pathlib import Path
from random import Random
from statistics import fmean, median
from typing import Any, NamedTuple

import numpy as np
from compare_development_models import DAYS, chill_first, invented, lengthening, reached, stations
from reference_climates import CLIMATES

from tendwork.almanac import requirements
from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.development import first_day, last_day, ways_forward
from tendwork.almanac.ensemble import Trace
from tendwork.almanac.requirements import heat_to_bloom
from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import DailySeries

FIRST_YEAR, FIRST_TESTED, STEP = 1990, 10, 3
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
TEN_YEARS = "mean of ten years"
MILD_CLIMATES = (("Zaragoza", 0.0), ("Davis CA", 0.0), ("Davis CA", 1.5), ("Meknes", 0.0), ("Meknes", 1.5))
TEMPERATE = ("Bonn", "Belgrade", "Trento", "East Malling", "Geneva NY", "Wenatchee")
# Published chill needs in portions, mean and spread over varieties: sources in tests/almanac/test_chill_doubt.py; peach
# after the standard varieties of UC ANR.
PORTIONS = {"apple": (62.0, 12.0), "sweet cherry": (47.0, 11.0), "peach": (66.0, 11.0)}
SEASON_SD_DAYS, SITE_SD = 3.0, 0.12

Judged = tuple[int, int, bool]
"""Days too late, width of the range in days, and whether it held."""


class Orchard(NamedTuple):
    group: str
    climate: str
    species: str
    latitude: float
    series: DailySeries
    blooms: list[date]


def orchards(data: Path) -> Iterator[Orchard]:
    """Each station with enough seasons."""
    for group, clusters in stations(data).items():
        for at in clusters:
            for site in np.unique(at["site"]):
                mine = np.flatnonzero(at["site"] == site)
                if len(mine) > FIRST_TESTED + 5:
                    series, blooms = _joined(at["low"][mine], at["high"][mine], at["bloom"][mine])
                    yield Orchard(group, at["name"], SPECIES[group], 36.0, series, blooms)


def invented_orchards() -> Iterator[Orchard]:
    """Orchards in mild winters that bloom by a rule and some noise.

    The rules: chill first with a variety's published need, and heat as days lengthen with another effect of chill.
    """
    random = Random(7)
    temperate = [invented(name) for name in TEMPERATE]
    for name, warmer_c in MILD_CLIMATES:
        at = invented(name, 22, warmer_c)
        for species, (portions, spread) in PORTIONS.items():
            for rule in ("chill first", "chill first", "days lengthen"):
                needed, surplus = random.gauss(portions, spread), random.uniform(3.0, 8.0)

                def progress(
                    of: dict[str, Any], needed: float = needed, surplus: float = surplus, by: str = rule
                ) -> Any:
                    if by == "chill first":
                        return chill_first(of, needed, 4.0, 0.0)
                    return lengthening(of, surplus, 80.0, 18.0, 0.5)

                usual = fmean(CLIMATES[place][3][species] + 121 for place in TEMPERATE if species in CLIMATES[place][3])
                heat = _heat_for(usual, [progress(of) for of in temperate]) * exp(random.gauss(0, SITE_SD))
                run = progress(at)
                if (run[:, -1] < heat).any():
                    continue
                blooms = reached(run, heat) + [random.gauss(0, SEASON_SD_DAYS) for _ in run]
                series, days = _joined(at["low"], at["high"], blooms)
                climate = f"{name} +{warmer_c} °C" if warmer_c else name
                yield Orchard(f"invented, {rule}", climate, species, CLIMATES[name][0], series, days)


def _heat_for(day: float, runs: Sequence[Any]) -> float:
    low, high = 1.0, 100000.0
    while high / low > 1.001:
        middle = (low * high) ** 0.5
        later = fmean(float(reached(run, middle).mean()) for run in runs)
        low, high = (middle, high) if later < day else (low, middle)
    return low


def _joined(lows: Any, highs: Any, blooms_after: Any) -> tuple[DailySeries, list[date]]:
    """One series of the seasons one after the other, and the days of bloom."""
    low: list[float] = []
    high: list[float] = []
    blooms = []
    for position, (season_low, season_high, bloom) in enumerate(zip(lows, highs, blooms_after, strict=True)):
        first, following = (date(FIRST_YEAR + position + shift, 9, 1) for shift in (-1, 0))
        summer = (following - first).days - DAYS
        low += [*map(float, season_low), *[12.0] * summer]
        high += [*map(float, season_high), *[22.0] * summer]
        blooms.append(first + timedelta(days=int(bloom)))
    return DailySeries(date(FIRST_YEAR - 1, 9, 1), tuple(low), tuple(high), "m" * len(low)), blooms


def log_ratios(orchard: Orchard) -> list[list[float]]:
    """For each model, the log of (heat at bloom / heat as shipped) in each season."""
    ratios: list[list[float]] = [[] for _ in heat_to_bloom(orchard.species)]
    for bloom in orchard.blooms:
        season = Season(bloom.year)
        first = (first_day(season) - orchard.series.first_day).days
        part = slice(first, first + (last_day(season) - first_day(season)).days + 1)
        days = Trace(orchard.series.tmin_c[part], orchard.series.tmax_c[part])
        progress = ways_forward(days, [Trace((), ())], season, orchard.latitude)[0]
        for model, heat in enumerate(heat_to_bloom(orchard.species)):
            ratios[model].append(log(max(progress.at(model, (bloom - first_day(season)).days), 1.0) / heat))
    return ratios


def hindcast(orchard: Orchard, today_before: int | None = None) -> dict[str, list[Judged]]:
    """By what is known of the place. `today_before` is days before bloom; else the season is over."""
    of_year = [(bloom - date(bloom.year, 1, 1)).days for bloom in orchard.blooms]
    judged: dict[str, list[Judged]] = {}
    for position in range(FIRST_TESTED, len(orchard.blooms), STEP):
        bloom = orchard.blooms[position]
        ten_years = fmean(of_year[position - 10 : position])
        usual = date(2001, 1, 1) + timedelta(days=5 * round(ten_years / 5))
        today = date(bloom.year, 8, 10) if today_before is None else bloom - timedelta(days=today_before)
        for name, has_usual, springs in WAYS:
            known = (UsualDate(orchard.species, "full bloom", usual.month, usual.day),) * has_usual
            place = Place(orchard.latitude, usual_dates=known)
            before = orchard.blooms[position - springs : position]
            seen = tuple(SeenStage(day, orchard.species, "full bloom") for day in before)
            row = Almanac(place, orchard.series, seen, today).stage(orchard.species, "full bloom", Season(bloom.year))
            judged.setdefault(name, []).append(_judge(row, bloom))
        judged.setdefault(TEN_YEARS, []).append((round(ten_years) - of_year[position], 0, False))
    return judged


def _judge(row: StageDate, bloom: date) -> Judged:
    if row.date is None or row.low is None or row.high is None:
        end = date(bloom.year, 7, 30)
        return (end - bloom).days, (end - bloom).days, False
    return (row.date - bloom).days, (row.high - row.low).days, row.low <= bloom <= row.high


def print_table(title: str, rows: dict[str, dict[str, list[Judged]]]) -> None:
    names = [*(name for name, _, _ in WAYS), TEN_YEARS]
    print(f"\n**{title}**\n\n| | " + " | ".join(names) + " |\n|---|" + "---|" * len(names))
    for label, by_way in rows.items():
        cells = []
        for name in names:
            judged = by_way[name]
            error, late = fmean(abs(days) for days, _, _ in judged), fmean(days for days, _, _ in judged)
            inside, width = fmean(hit for _, _, hit in judged), fmean(days for _, days, _ in judged)
            cells.append(
                f"{error:.1f} ({late:+.1f}" + (")" if name == TEN_YEARS else f"; {inside:.0%} in {width:.0f} d)")
            )
        print(f"| {label} | " + " | ".join(cells) + " |")


def gathered(several: Sequence[dict[str, list[Judged]]]) -> dict[str, list[Judged]]:
    return {name: [judged for each in several for judged in each[name]] for name in several[0]}


def in_left_out_climates(found: Sequence[Orchard]) -> dict[str, dict[str, list[Judged]]]:
    """Each climate's hindcasts with the need that the group's other climates give."""
    ratios = [log_ratios(orchard) for orchard in found]
    rows: dict[str, dict[str, list[Judged]]] = {}
    for group, climate in dict.fromkeys((orchard.group, orchard.climate) for orchard in found):
        elsewhere = [
            each
            for orchard, each in zip(found, ratios, strict=True)
            if orchard.group == group and orchard.climate != climate
        ]
        species = SPECIES[group]
        shipped = heat_to_bloom(species)
        moved = (median(value for each in elsewhere for value in each[model]) for model in range(len(shipped)))
        requirements._HEAT_TO_FULL_BLOOM[species] = tuple(
            heat * exp(by) for heat, by in zip(shipped, moved, strict=True)
        )
        here = [hindcast(each) for each in found if (each.group, each.climate) == (group, climate)]
        requirements._HEAT_TO_FULL_BLOOM[species] = shipped
        rows[f"{group}, {climate}"] = gathered(here)
    return rows


def main() -> None:
    found = list(orchards(Path(sys.argv[1])))
    by_group = {group: list(members) for group, members in groupby(found, key=lambda orchard: orchard.group)}
    as_shipped = {group: gathered([hindcast(each) for each in members]) for group, members in by_group.items()}
    print_table("Needs as shipped, season over", as_shipped)
    left_out = in_left_out_climates(found)
    print_table("Each climate left out, season over", left_out | {"all": gathered(list(left_out.values()))})
    ahead = {group: gathered([hindcast(each, 30) for each in members]) for group, members in by_group.items()}
    print_table("Needs as shipped, thirty days before bloom", ahead)
    mild: dict[str, list[dict[str, list[Judged]]]] = {}
    for orchard in invented_orchards():
        mild.setdefault(f"{orchard.climate}, {orchard.group}", []).append(hindcast(orchard))
    print_table("Invented orchards in mild winters", {label: gathered(several) for label, several in mild.items()})


if __name__ == "__main__":
    main()

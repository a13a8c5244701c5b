"""Dated field observations of bud stages beside heat sums, against the shares of heat that the almanac gives them.

The sums are published from 1 January above 42 or 43 °F (Cornell Scaffolds, UMass Healthy Fruit, MSU Extension: the
source stands in each row of data/stage-observations.csv); the sum to bloom is published, too (UMass Healthy Fruit 2010
for McIntosh; the middle of the New York range of Cornell Scaffolds 8(6), 26 Apr 1999, for the others). The share of the
one in the other must lie within one stage of what was seen: stages were noted as "early" or "late", and the almanac
counts heat by the hour, not by the day.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tendwork.almanac.requirements import share_of_bloom
from tendwork.species import STAGES, bbch, stage_named

# Degree-days F to bloom. Tart cherry has none published: its white bud, 291.5 (Scaffolds 1999), over our share of it.
BLOOM_DEGREE_DAYS_F = {"apple": 384.0, "sweet cherry": 256.5, "peach": 337.5, "sour cherry": 291.5 / 0.7}
SEEN = {
    "late half-inch green": "half-inch green",
    "half-inch green": "half-inch green",
    "early white bud": "white bud",
    "bud burst": "bud burst",
    "early pink": "pink",
    "half-inch green+ (not yet tight cluster)": "half-inch green",
    "bloom+": "full bloom",
    "petal fall official 2009-05-11": "petal fall",
    "green tip Apr 22, 1/4-inch Apr 23, half-inch Apr 24": "half-inch green",
    "tight cluster, some open cluster": "tight cluster",
    "first bloom (DD as of May 2)": "first bloom",
    "first pink at a few sites": "pink",
    "tight cluster, a little pink": "tight cluster",
}


def observations() -> list[dict[str, str]]:
    file = Path(__file__).parent / "data" / "stage-observations.csv"
    rows = list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
    return [row for row in rows if not row["crop"].startswith("pear")]  # no published sum to pear bloom was found


def species_of(crop: str) -> str:
    for name, species in (("sweet cherry", "sweet cherry"), ("tart cherry", "sour cherry"), ("peach", "peach")):
        if crop.startswith(name):
            return species
    return "apple"


@pytest.mark.parametrize(
    "row", observations(), ids=lambda row: f"{row['crop']}, {row['site']} {row['date']} ({row['source'][:40]})"
)
def test_the_stage_seen_is_within_one_of_the_stage_that_the_share_of_heat_gives(row: dict[str, str]) -> None:
    species = species_of(row["crop"])
    share = float(row["cumulative_DD_from_Jan1"]) / BLOOM_DEGREE_DAYS_F[species]
    stages = [name for name, _, code in STAGES[species] if share_of_bloom(species, code) is not None]
    reached = [name for name in stages if (share_of_bloom(species, bbch(species, name)) or 0.0) <= share]
    seen = stage_named(species, SEEN[row["observed_stage"]])
    assert seen is not None
    assert abs(stages.index(reached[-1]) - stages.index(seen)) <= 1, (share, reached[-1], seen)


def test_every_row_that_can_be_judged_is_judged() -> None:
    assert len(observations()) == 13

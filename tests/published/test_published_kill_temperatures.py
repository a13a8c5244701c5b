"""Kill temperatures by bud stage against the published table, row by row."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tendwork.almanac.frost import kill_temperatures
from tendwork.species import species_named, stage_named

SPECIES_OF = {"European plum / prune": "plum"}
ROWS = [
    (SPECIES_OF.get(row["crop"]) or species_named(row["crop"]), row)
    for row in csv.DictReader((Path(__file__).parent / "data" / "critical-temps.csv").open())
]
FROM_MEMORY = {("sour cherry", "side green"), ("sour cherry", "open cluster")}
PUBLISHED = [
    pytest.param(species, row, id=f"{row['source'][:13]}, {species}, {row['stage']}")
    for species, row in ROWS
    if species is not None and (species, row["stage"]) not in FROM_MEMORY
]


def test_the_table_has_rows_for_all_seven_species_that_have_a_published_one() -> None:
    """56 rows were seen on a page and two are from memory; a second peach table has no stage names and is left out."""
    assert len(PUBLISHED) == 56


@pytest.mark.parametrize(("species", "row"), PUBLISHED)
def test_ten_and_ninety_percent_kill_are_the_published_ones(species: str, row: dict[str, str]) -> None:
    """MSU Extension table of WSU bulletins (as at Penn State Extension); Intermountain Fruit for tart cherry."""
    stage = stage_named(species, row["stage"].split(" (")[0])
    assert stage is not None
    kill = kill_temperatures(species, stage)
    assert kill is not None
    assert (kill.kill10_c, kill.kill90_c) == (
        pytest.approx(float(row["kill10_C"]), abs=0.06),
        pytest.approx(float(row["kill90_C"]), abs=0.06) if row["kill90_C"] else None,
    )


@pytest.mark.parametrize(
    ("species", "stage", "kill10_f", "kill90_f"),
    [("apple", "full bloom", 28, 25), ("pear", "full white", 26, 22), ("sour cherry", "tight cluster", 26, 24)],
)
def test_published_fahrenheit_comes_back_within_a_tenth(species: str, stage: str, kill10_f: int, kill90_f: int) -> None:
    """Penn State Extension, orchard frost critical temperatures; Intermountain Fruit for tart cherry; as printed."""
    kill = kill_temperatures(species, stage)
    assert kill is not None
    assert kill.kill90_c is not None
    assert (kill.kill10_c * 1.8 + 32, kill.kill90_c * 1.8 + 32) == pytest.approx((kill10_f, kill90_f), abs=0.1)


@pytest.mark.parametrize(("species", "stage"), sorted(FROM_MEMORY))
def test_values_from_memory_say_so(species: str, stage: str) -> None:
    kill = kill_temperatures(species, stage)
    assert kill is not None
    assert "from memory" in kill.source

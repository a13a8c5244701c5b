"""The CSV tables of an orchard that nobody planted, made by chance from a seed, for comparing and for trying."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from pathlib import Path
from random import Random

FIRST_DAY, LAST_DAY = date(2010, 1, 1), date(2025, 12, 2)
SPECIES = ("apple", "pear", "plum", "sweet cherry", "peach", "apricot", "quince")
METHODS = ("cleft", "whip and tongue", "bark", "side", "chip bud", "T-bud", "bridge", "")
WRAPS = ("PVC tape", "electrical tape", "raffia", "film", "cloth", "budding rubber", "", "none")
STATES = ("planned", "set", "took", "failed", "bearing", "removed")
GRAFTS = (
    "id,tree,variety,method,wrap,seal,state,set_on,facing,height_m,out_m,wood,chill"
    ",ripens_from,ripens_to,note,verdict,species"
)


def write_chance_tables(place: Path, chance: Random) -> None:
    """Write trees, grafts, wood, sightings, ticks, tastings, troubles, sprays and temperatures into `place`."""
    trees = [f"t{number}" for number in range(1, 9)]
    write_table(
        place / "trees.csv", "id,name,species,stock,planted,place,height_m", (_tree(tree, chance) for tree in trees)
    )
    grafts = [_graft(f"g{number:03}", chance.choice(trees), chance) for number in range(1, 121)]
    write_table(place / "grafts.csv", GRAFTS, grafts)
    wood = [f"w{number:02}" for number in range(1, 25)]
    write_table(
        place / "wood.csv",
        "id,variety,species,sticks,cut_on,from,kept,promised_to,promised_sticks,note",
        (_bundle(bundle, chance) for bundle in wood),
    )
    write_table(place / "sightings.csv", "date,species,tree,stage,note", sorted(_sightings(chance)))
    ticked = {(date(2026, 2, chance.randint(1, 28)), chance.choice(wood)) for _ in range(6)}
    ticks = ((day, f"check-wood/{bundle}/2026.1", bundle, "done", "") for day, bundle in sorted(ticked))
    write_table(place / "ticks.csv", "date,task,unit,outcome,note", ticks)
    bearing = (str(graft[0]) for graft in grafts if graft[6] == "bearing")
    write_table(
        place / "tastings.csv",
        "date,graft,ripe,score,use,note",
        sorted(_tasting(graft, chance) for graft in bearing),
    )
    troubles = [(date(2026, 6, 14), "t3", "fire blight", ""), (date(2026, 5, 2), "t5", "canker", "")]
    write_table(place / "troubles.csv", "date,tree,trouble,note", troubles)
    washed = (date(2026, 3, 15), "t2", "a wash (invented)", 2, 30, "")
    dusted = (date(2026, 7, 20), "t4", "a dust (invented)", "", "", "")
    write_table(place / "sprays.csv", "date,tree,product,days_to_return,days_to_harvest,note", [washed, dusted])
    write_temperatures(place, chance, mean_c=8.0, swing_c=11.0)


def write_temperatures(place: Path, chance: Random, mean_c: float, swing_c: float) -> None:
    """Write temperatures.csv: sixteen years of a yearly course and of errors that hang together from day to day."""

    def rows() -> Iterator[tuple[object, ...]]:
        day, error_c = FIRST_DAY, 0.0
        while day <= LAST_DAY:
            error_c = 0.7 * error_c + chance.gauss(0, 2)
            level_c = mean_c - swing_c * math.cos((day.timetuple().tm_yday - 20) / 365.25 * math.tau) + error_c
            yield day, round(level_c - 4.5, 1), round(level_c + 4.5, 1)
            day += timedelta(days=1)

    write_table(place / "temperatures.csv", "date,minimum_c,maximum_c", rows())


def write_table(file: Path, header: str, rows: Iterable[tuple[object, ...]]) -> None:
    with file.open("w", newline="", encoding="utf-8") as stream:
        csv.writer(stream, lineterminator="\n").writerows([header.split(","), *rows])


def _tree(tree: str, chance: Random) -> tuple[object, ...]:
    stock, planted = chance.choice(("", "seedling", "M26")), chance.choice(("", 1999, 2014))
    place, height_m = chance.choice(("", "by the wall", "in the meadow")), chance.choice(("", 1.9, 3.4, 5.5))
    return tree, f"Tree {tree[1:]}", chance.choice(SPECIES), stock, planted, place, height_m


def _graft(graft: str, tree: str, chance: Random) -> tuple[object, ...]:
    (state,) = chance.choices(STATES, (3, 2, 4, 1, 8, 1))
    year = 2026 if state == "set" else chance.randint(2016, 2025)
    day = date(year, 4, 1) + timedelta(days=chance.randint(0, 40))
    set_on = "" if state == "planned" else chance.choice((day, day, day, f"{day:%Y-%m}", f"{day:%Y}"))
    species = chance.choice(("", "", "", "peach", "medlar", "pear"))
    method, wrap, seal = chance.choice(METHODS), chance.choice(WRAPS), chance.choice(("wax", "compound", "", "none"))
    where = chance.choice(("", 90, 250)), chance.choice(("", 1.2, 2.4, 3.6)), chance.choice(("", 0.8, 2.1))
    ripens = chance.choice((("", ""), ("08-10", "08-24"), ("10-01", "10-20")))
    verdict = chance.choice(("", "on trial", "keep", "cut")) if state in ("took", "bearing") else ""
    chill = chance.choice(("", "", 45, 60))
    variety = f"Variety {chance.randint(1, 60)}"
    return graft, tree, variety, method, wrap, seal, state, set_on, *where, "", chill, *ripens, "", verdict, species


def _bundle(bundle: str, chance: Random) -> tuple[object, ...]:
    cut_on = chance.choice(("", date(2026, 1, chance.randint(2, 30))))
    kept = chance.choice(("", "fridge", "sand in the cellar"))
    promised = chance.choice((("", 0), ("B. Friend (invented)", 1)))
    variety, species, sticks = f"Variety {chance.randint(1, 60)}", chance.choice(SPECIES), chance.randint(1, 6)
    return bundle, variety, species, sticks, cut_on, chance.choice(("", "A. Neighbour (invented)")), kept, *promised, ""


def _sightings(chance: Random) -> Iterator[tuple[object, ...]]:
    for year in range(2019, 2027):
        for species, month, stage in (("apple", 4, "green tip"), ("apple", 5, "full bloom"), ("pear", 4, "full bloom")):
            if chance.random() < 0.7:
                yield date(year, month, chance.randint(3, 27)), species, "", stage, ""


def _tasting(graft: str, chance: Random) -> tuple[object, ...]:
    day = date(chance.randint(2023, 2025), 9, chance.randint(1, 30))
    ripe, use = chance.choice(("ripe", "over", "unripe")), chance.choice(("eating", "cooking", "keeping"))
    return day, graft, ripe, chance.randint(1, 5), use, ""

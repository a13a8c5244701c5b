"""The hours that an orchard takes in a year, against what is published per acre and per hectare.

Grade B, an orchard teacher's budget for a small orchard worked mostly by hand (groworganicapples.com, phorum 3,2112,
2016): 120 hours an acre for pruning and clearing the brush away, 80 hours for thinning by hand. Grade A, peach trees
trained as a vase in Murcia (Martin-Gorriz and others, Scientia Horticulturae 129, 2011): 385 hours a hectare for
thinning by hand. How many trees stand on an acre or a hectare is an assumption: 40 standard, 100 semi-dwarf or 300
small trees, 500 to 670 peach trees. Pruning is what cuts in the crown: in winter, in summer, and water sprouts; suckers
belong to the budget's work under the trees. Setting up is left out, since an orchard sets up once for many trees.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tendwork.planning.results import Task
from tendwork.workbench.bench import Workbench

AUTUMN = date(2025, 11, 2)
PRUNING = {"winter-prune-pome", "summer-prune-apple", "water-sprouts-pome"}
HOURS_AN_ACRE = {"pruning": 120, "thinning": 80}
TREES_AN_ACRE = {"standard": 40, "semi-dwarf": 100, "small": 300}
STOCKS = {"standard": "seedling", "semi-dwarf": "MM106", "small": "M27"}
COUNT = 4


def season_of(place: Path, *rows: str) -> list[Task]:
    """All jobs of the season on an invented site with these trees."""
    bench = Workbench.begin(place / "orchard", name="Any", timezone="Europe/London", latitude=52.1, longitude=-3.0)
    table = place / "trees.csv"
    table.write_text("id,name,species,stock,planted\n" + "".join(f"{row}\n" for row in rows))
    bench.records.bring(table, "trees", AUTUMN)
    tasks = [task for task in bench.plan.of(AUTUMN).plan.tasks if task.season == 2026]
    bench.close()
    return tasks


def hours(tasks: list[Task], templates: set[str]) -> float:
    chosen = [task for task in tasks if task.template in templates]
    assert {task.template for task in chosen} == templates
    return sum(task.minutes - task.setup_minutes for task in chosen) / 60


@pytest.mark.parametrize("kind", TREES_AN_ACRE)
def test_a_year_of_apple_trees_takes_the_hours_of_the_budget_within_a_quarter(tmp_path: Path, kind: str) -> None:
    rows = (f"a{number},Tree {number},apple,{STOCKS[kind]},1990" for number in range(COUNT))
    tasks = season_of(tmp_path, *rows)
    share = COUNT / TREES_AN_ACRE[kind]
    assert hours(tasks, PRUNING) == pytest.approx(HOURS_AN_ACRE["pruning"] * share, rel=0.25)
    assert hours(tasks, {"thin-apple-pear"}) == pytest.approx(HOURS_AN_ACRE["thinning"] * share, rel=0.25)


def test_peach_trees_are_thinned_in_the_hours_of_the_trial_within_a_quarter(tmp_path: Path) -> None:
    tasks = season_of(tmp_path, *(f"p{number},Peach {number},peach,,2010" for number in range(COUNT)))
    found = hours(tasks, {"thin-stone-fruit"})
    assert COUNT * 385 / 670 * 0.75 <= found <= COUNT * 385 / 500 * 1.25

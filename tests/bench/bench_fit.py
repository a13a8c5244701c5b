"""Planning and fitting a season of invented orchards: 150 grafts, then up to 20,000, and how the time grows.

The weather is thirty invented years, the templates thirty of the shipped ones with a job for grafts or trees. Times are
of the processor, so that what else runs does not count. Warm is with the plan at hand and yesterday's placing kept.
Run with `-m bench -s`.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from time import process_time
from typing import Any

import pytest

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.place import Place
from tendwork.almanac.temperature import Normals, SourceDay, build_series
from tendwork.folder.templates import load_templates
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.planning.fit import fit_week, placing_of
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan
from tendwork.planning.vocabulary import Template
from tendwork.planning.windows import Openings

pytestmark = pytest.mark.bench

TODAY = date(2026, 5, 9)
PLACE = Place(latitude=52.0)
NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
SPECIES = ("apple", "pear", "plum", "sweet cherry", "apple")
GRAFTS_A_TREE = 10
MOST_SECONDS_COLD, MOST_SECONDS_WARM = 0.5, 0.05
MOST_TIMES_LINEAR = 2.0


def orchard(grafts: int) -> Records:
    """Invented trees of ten grafts each, every graft set in the last weeks."""
    trees = tuple(
        Tree(f"t{number}", f"Tree {number}", SPECIES[number % len(SPECIES)], planted=1990)
        for number in range(grafts // GRAFTS_A_TREE)
    )
    held = tuple(
        Graft(
            f"g{number}",
            f"t{number // GRAFTS_A_TREE}",
            f"Variety {number % 97}",
            method="whip and tongue",
            wrap="PVC tape",
            state="took" if number % 3 else "set",
            set_on=TODAY - timedelta(days=10 + number % 35),
            height_m=1.0 + number % 4 * 0.5,
        )
        for number in range(grafts)
    )
    return Records(trees=trees, grafts=held)


def almanac() -> Almanac:
    days = invented_days(NORMALS, 1, TODAY - timedelta(days=30 * 365), TODAY + timedelta(days=7))
    series, _ = build_series([SourceDay(*row, row[0] > TODAY) for row in days], NORMALS)
    return Almanac(PLACE, series, (), TODAY)


def thirty_templates() -> tuple[Template, ...]:
    found = [template for template in load_templates(None).templates if template.each in ("graft", "tree")]
    return tuple(found[:30])


def planned(records: Records, weather: Almanac, templates: tuple[Template, ...], held: Openings | None = None) -> Plan:
    return plan(SiteLimits(latitude_deg=52.0), records, weather, templates, TODAY, held)


def timed(run: Callable[[], Any]) -> tuple[float, Any]:
    gc.collect()
    before = process_time()
    result = run()
    return process_time() - before, result


def test_plan_and_fit_of_150_grafts_take_half_a_second_cold_and_a_twentieth_warm() -> None:
    records, templates = orchard(150), thirty_templates()
    weather = almanac()
    cold_plan, made = timed(lambda: planned(records, weather, templates))
    cold_fit, week = timed(lambda: fit_week(made))
    kept = placing_of(week.tasks)
    warm_fit = min(timed(lambda: fit_week(made, kept=kept))[0] for _ in range(5))
    warm_plan = min(timed(lambda: planned(records, weather, templates))[0] for _ in range(5))
    print(f"\n150 grafts, {len(templates)} templates, {len(made.tasks)} tasks, {len(week.short)} short")
    print(f"cold: almanac and plan {cold_plan * 1000:.1f} ms, fit {cold_fit * 1000:.1f} ms")
    print(f"warm: plan {warm_plan * 1000:.1f} ms, fit {warm_fit * 1000:.1f} ms")
    assert cold_plan + cold_fit <= MOST_SECONDS_COLD
    assert warm_fit <= MOST_SECONDS_WARM


def test_the_time_grows_with_the_grafts_and_no_faster() -> None:
    templates, weather = thirty_templates(), almanac()
    planned(orchard(150), weather, templates)
    print("\n grafts   tasks  short    plan ms     fit ms   plan / graft   fit / graft")
    per_graft: list[tuple[float, float]] = []
    for grafts in (1250, 5000, 20000):
        records = orchard(grafts)
        plan_seconds, made = timed(partial(planned, records, weather, templates))
        fit_seconds, week = timed(partial(fit_week, made))
        per_graft.append((plan_seconds / grafts, fit_seconds / grafts))
        ratios = [now / first for now, first in zip(per_graft[-1], per_graft[0], strict=True)]
        print(
            f"{grafts:7} {len(made.tasks):7} {len(week.short):6} {plan_seconds * 1000:10.0f} {fit_seconds * 1000:10.0f}"
            f" {ratios[0]:14.2f} {ratios[1]:13.2f}"
        )
    assert max(per_graft[-1][0] / per_graft[0][0], per_graft[-1][1] / per_graft[0][1]) <= MOST_TIMES_LINEAR

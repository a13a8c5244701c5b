"""A plan beside an empty one, as the folder gives it, and how its time grows with templates, years and all three.

Planning and fitting of 150 grafts by themselves, and their growth to 20,000, stand in bench_fit.py; here the same
orchard stands beside one without a tree, then in a real folder, then with more templates and years. Cold is with
nothing held. Warm is the orchard made again after one tick, with the almanac held; the workbench holds its windows too,
and that is printed beside it. Times are of the processor. Run with `-m bench -s`.
"""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from pathlib import Path

import pytest
from bench_acts import tick_job
from bench_fit import NORMALS, PLACE, TODAY, orchard, planned, thirty_templates, timed
from msgspec.structs import replace

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.temperature import SourceDay, build_series
from tendwork.folder.orchard_folder import RECORDS_FILE
from tendwork.folder.records_db import RecordStore
from tendwork.folder.temperatures_csv import write_temperatures
from tendwork.folder.templates import load_templates
from tendwork.orchard.records import Records, Tick
from tendwork.planning.fit import fit_week
from tendwork.planning.results import FittedWeek
from tendwork.planning.vocabulary import Template
from tendwork.planning.windows import Openings
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.bench

MOST_SECONDS_COLD, MOST_SECONDS_WARM = 0.5, 0.05
MOST_TIMES_LINEAR = 2.0


def days(years: int) -> list[tuple[date, float, float]]:
    return invented_days(NORMALS, 1, TODAY - timedelta(days=years * 365), TODAY + timedelta(days=7))


def almanac(years: int) -> Almanac:
    series, _ = build_series([SourceDay(*row, row[0] > TODAY) for row in days(years)], NORMALS)
    return Almanac(PLACE, series, (), TODAY)


def grafting_templates(count: int) -> tuple[Template, ...]:
    found = [template for template in load_templates(None).templates if template.each in ("graft", "tree")]
    assert len(found) >= count
    return tuple(found[:count])


def timed_plan(
    records: Records, weather: Almanac, templates: tuple[Template, ...], held: Openings | None = None
) -> FittedWeek:
    return fit_week(planned(records, weather, templates, held))


def ticked(grafts: int, ticks: tuple[Tick, ...]) -> Records:
    return replace(orchard(grafts), ticks=ticks)


def test_150_grafts_beside_an_orchard_without_a_tree() -> None:
    templates = thirty_templates()
    timed_plan(orchard(10), almanac(3), templates)  # fills what is made once a process
    cold, empty = almanac(30), almanac(30)
    held = Openings(cold)
    ours, week = timed(lambda: timed_plan(orchard(150), cold, templates, held))
    least, _ = timed(lambda: timed_plan(Records(), empty, templates))
    job = next(task for task in week.tasks if task.state == "open")
    tick = Tick(job.key, job.units[0].id, TODAY, job.outcomes[0])
    warm = min(timed(lambda: timed_plan(ticked(150, (tick,)), cold, templates))[0] for _ in range(5))
    warmest = min(timed(lambda: timed_plan(ticked(150, (tick,)), cold, templates, held))[0] for _ in range(5))
    warm_least = min(timed(lambda: timed_plan(Records(), empty, templates))[0] for _ in range(5))
    print(f"\ncold: {ours * 1000:.1f} ms beside {least * 1000:.1f} ms without a tree: {ours / least:.1f} x")
    print(f"warm, after a tick, the almanac held: {warm * 1000:.1f} ms beside {warm_least * 1000:.1f} ms", end=" ")
    print(f"without a tree: {warm / warm_least:.1f} x; with its windows too: {warmest * 1000:.1f} ms")
    assert ours <= MOST_SECONDS_COLD
    assert warm <= MOST_SECONDS_WARM
    assert warmest < warm


def begin_orchard(folder: Path, grafts: int, years: int) -> None:
    """Make the folder of an invented orchard with so many grafts, and with temperatures up to TODAY."""
    Workbench.begin(folder, name="Invented", timezone="UTC", latitude=52.0, longitude=0.0).close()
    held = {day: (low, high) for day, low, high in days(years) if day < TODAY}
    write_temperatures(folder / "temperatures" / "invented.csv", held)
    with (folder / "site.toml").open("a", encoding="utf-8") as site:
        site.write('\n[[temperatures]]\nfile = "temperatures/*.csv"\n')
    records = orchard(grafts)
    with RecordStore.open(folder / RECORDS_FILE) as store, store.act("an invented orchard") as act:
        for tree in records.trees:
            act.add(tree)
        for graft in records.grafts:
            act.add(graft)


def test_a_folder_of_150_grafts_and_thirty_years_cold_after_a_tick_and_kept(tmp_path: Path) -> None:
    folder = tmp_path / "orchard"
    begin_orchard(folder, 150, 30)
    bench = Workbench.open(folder)
    cold, week = timed(lambda: bench.plan.of(TODAY).week)
    job = next(task for task in week.tasks if task.state == "open")
    tick_job(bench, job.key, (job.units[0].id,), TODAY, job.outcomes[0])
    ticked, _ = timed(lambda: bench.plan.of(TODAY).week)
    bench.close()
    again = Workbench.open(folder)
    kept, _ = timed(lambda: again.plan.summary(TODAY))
    again.close()
    print(f"\nall shipped templates: cold {cold * 1000:.0f} ms, after a tick {ticked * 1000:.0f} ms, kept", end=" ")
    print(f"{kept * 1000:.0f} ms: a kept plan is {kept / cold:.3f} of a cold one")
    assert kept < cold


def test_the_time_grows_with_templates_and_years_and_no_faster() -> None:
    timed_plan(orchard(10), almanac(3), grafting_templates(60))
    print("\n grafts templates years    cold ms   against the first   ms a graft")
    few = ((150, 15, 30), (150, 30, 30), (150, 60, 30), (150, 30, 15), (150, 30, 60))
    sizes = (*few, *((grafts, 60, 60) for grafts in (150, 1250, 5000, 20000)))
    seconds = {}
    for grafts, templates, years in sizes:
        records, weather, rules = orchard(grafts), almanac(years), grafting_templates(templates)
        seconds[grafts, templates, years], _ = timed(partial(timed_plan, records, weather, rules))
        ratio = seconds[grafts, templates, years] / seconds[sizes[0]]
        taken = seconds[grafts, templates, years] * 1000
        print(f"{grafts:7} {templates:9} {years:5} {taken:10.0f} {ratio:19.1f} {taken / grafts:12.2f}")
    assert seconds[150, 30, 60] <= 4 * MOST_TIMES_LINEAR * seconds[150, 30, 15]
    assert seconds[20000, 60, 60] / 20000 <= MOST_TIMES_LINEAR * seconds[1250, 60, 60] / 1250

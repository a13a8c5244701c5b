"""What is kept spares time and changes nothing: whatever is edited, the plan is the one made of nothing but the inputs.

Three make each plan after the same edits: a workbench that stays open, one that is opened with all that was kept, and
one with nothing kept but the plans of before, whose days and news are inputs. That one writes every task of every
season, also those that can have no place in the plan.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from contextlib import suppress
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest
from chance_orchard import write_chance_tables
from examples import examples
from hypothesis import HealthCheck, given
from hypothesis import strategies as st
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.folder.temperatures_csv import read_temperatures, write_temperatures
from tendwork.orchard.records import Graft, Sighting, Spray, Tasting, Tick, Tree, Trouble, Wood
from tendwork.orchard.rough_dates import RoughDate
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.planning.task_writer import TaskWriter
from tendwork.workbench.bench import Workbench
from tendwork.workbench.plan_cache import CACHE_FILE, EARLIER_FILE, PlannedDay

FIRST = date(2025, 12, 2)  # the day after the last temperature of the tables
DAYS_ON = 330
KINDS = ("trees", "grafts", "wood", "sightings", "ticks", "tastings", "troubles", "sprays", "varieties")
OWN = """[[template]]
id = "{name}"
title = "Look again"
part = "aftercare"
each = "{each}"
opens = {{ {opens} }}
closes = {{ {opens}, days = {days} }}
effort = {{ setup_minutes = 5, minutes_each = {days} }}
steps = ["One look."]
"""


class Ground:
    """A folder with a workbench that stays open, the day on which it is looked at, and where chance comes from."""

    def __init__(self, folder: Path, chance: Random) -> None:
        self.folder = folder
        self.chance = chance
        self.day = FIRST + timedelta(days=chance.randrange(DAYS_ON))
        self.bench = Workbench.open(folder)

    def act(self, change: Callable[[Any], None]) -> None:
        with self.bench._folder.records.act("an edit") as act:
            change(act)

    def any_graft(self) -> Graft:
        return self.chance.choice(self.bench.records.read().grafts)

    def any_tree(self) -> Tree:
        return self.chance.choice(self.bench.records.read().trees)


def next_day(ground: Ground) -> None:
    ground.day += timedelta(days=ground.chance.choice((1, 1, 1, 2, 20, 90)))


def day_before(ground: Ground) -> None:
    ground.day -= timedelta(days=1)


def tick(ground: Ground) -> None:
    last = ground.bench.plan.last()
    jobs = [] if last is None else [task for task in last.plan.tasks if task.outcomes]
    if jobs:
        job = ground.chance.choice(jobs)
        unit, outcome = ground.chance.choice(job.units), ground.chance.choice(job.outcomes)
        day = ground.day - timedelta(days=ground.chance.choice((0, 0, 3)))
        minutes = ground.chance.choice((None, None, 5.0, 90.0))
        ground.act(lambda act: act.add(Tick(job.key, unit.id, day, outcome, minutes=minutes)))


def take_back(ground: Ground) -> None:
    ground.bench.records.undo(ground.day)


def put_off(ground: Ground) -> None:
    last = ground.bench.plan.last()
    if last is not None and last.week.tasks:
        job, days = ground.chance.choice(last.week.tasks), ground.chance.choice((1, 3, 9))
        later = ground.day + timedelta(days=days)
        ground.act(lambda act: act.add(Tick(job.key, "*", ground.day, "snoozed", later.isoformat())))


def change_graft(ground: Ground) -> None:
    graft, chance = ground.any_graft(), ground.chance
    changes: list[dict[str, object]] = [
        {"state": chance.choice(("set", "took", "bearing", "failed"))},
        {"set_on": ground.day - timedelta(days=chance.choice((1, 20, 200, 900)))},
        {"wrap": chance.choice(("PVC tape", "raffia", "none", ""))},
        {"height_m": chance.choice((None, 1.0, 4.5))},
        {"set_on": RoughDate(ground.day.year - chance.choice((0, 1, 5)), chance.choice((None, 4)))},
        {"species": chance.choice(("", "peach", "quince"))},
        {"variety": "Another"},
        {"verdict": chance.choice(("keep", "cut", "on trial"))},
        {"known_since": chance.choice((None, ground.day, ground.day - timedelta(days=60)))},
    ]
    ground.act(lambda act: act.replace(replace(graft, **chance.choice(changes))))


def new_graft(ground: Ground) -> None:
    identity, tree = f"n{ground.chance.randrange(10**9)}", ground.any_tree().id
    ground.act(lambda act: act.add(Graft(identity, tree, "New one", "cleft", "PVC tape", "wax", "planned")))


def change_tree(ground: Ground) -> None:
    since = ground.chance.choice((None, ground.day, ground.day - timedelta(days=40)))
    height_m = ground.chance.choice((None, 1.5, 6.0))
    spread_m, crown_since = ground.chance.choice((None, 5.0)), ground.chance.choice((None, 2024))
    tree = replace(ground.any_tree(), height_m=height_m, name="Renamed", known_since=since)
    tree = replace(tree, spread_m=spread_m, crown_since=crown_since, form=ground.chance.choice(("", "fan")))
    ground.act(lambda act: act.replace(tree))


def see(ground: Ground) -> None:
    species = ground.any_tree().species
    day = ground.day - timedelta(days=ground.chance.choice((0, 5)))
    stage = ground.chance.choice(("green tip", "full bloom", "leaf fall"))
    ground.act(lambda act: act.add(Sighting(day, species, stage)))


def note(ground: Ground) -> None:
    tree, graft = ground.any_tree().id, ground.any_graft()
    records = (
        Trouble(ground.day, tree, ground.chance.choice(("fire blight", "canker", "gnawed"))),
        Spray(ground.day, tree, f"a wash {ground.chance.random()}", 3, 20),
        Tasting(ground.day, graft.id, "ripe", 3),
        Wood(f"n{ground.chance.randrange(10**9)}", graft.variety, "apple", 3, ground.day, came_from=tree),
    )
    ground.act(lambda act: act.add(ground.chance.choice(records)))


def edit_site(ground: Ground) -> None:
    file = ground.folder / "site.toml"
    lines = [line for line in file.read_text().splitlines() if not line.startswith(("elevation_m", "reach_m"))]
    head = [f"elevation_m = {ground.chance.randrange(900)}", f"reach_m = {ground.chance.choice((1.0, 2.5))}"]
    place = next((at for at, line in enumerate(lines) if line.startswith("[")), len(lines))
    file.write_text("\n".join([*lines[:place], *head, *lines[place:], ""]))


def own_template(ground: Ground) -> None:
    each = ground.chance.choice(("site", "tree", "graft"))
    opens = ground.chance.choice(('stage = "bud burst"', 'date = "11-20"', 'date = "06-02"', 'after = "planted"'))
    text = OWN.format(name="own-look", each=each, opens=opens, days=ground.chance.randint(1, 30))
    (ground.folder / "templates" / "own.toml").write_text(text)


def adjust(ground: Ground) -> None:
    days = ground.chance.choice((-200, -9, 9, 200))
    name = ground.chance.choice([template.id for template in ground.bench.templates.loaded().templates])
    after = Adjustments(SiteShift(days=ground.chance.choice((None, 4))), {name: Adjustment(opens_later_days=days)})
    ground.bench.templates.adjust(ground.bench.templates.adjustments(), after, ground.day)


def leave_out_or_take_in(ground: Ground) -> None:
    """Whatever cannot be left out, or is left out already, stays as it is."""
    templates, chance = ground.bench.templates, ground.chance
    name = chance.choice(["fire-blight-watch", "spring-bud", *(held.id for held in templates.loaded().templates)])
    tree, this_season = chance.choice(("", ground.any_tree().id)), chance.choice((True, False))
    with suppress(PersonError):
        templates.leave_out(name, tree, this_season, today=ground.day)
    lines = templates.left_out(ground.day)
    if lines and chance.random() < 0.5:
        line = chance.choice(lines)
        templates.take_in(line.template, line.tree, today=ground.day)


def measure(ground: Ground) -> None:
    file = next((ground.folder / "temperatures").glob("*.csv"))
    days = dict(read_temperatures(file).days)
    first = ground.chance.choice((max(days) + timedelta(days=1), ground.day - timedelta(days=5)))
    for step in range(ground.chance.choice((1, 7, 40))):
        low = round(ground.chance.uniform(-5, 12), 1)
        days[first + timedelta(days=step)] = (low, low + 9.5)
    write_temperatures(file, days)


def damage(ground: Ground) -> None:
    """Any one file of the cache: it is dropped without a word."""
    kept = sorted((ground.folder / "cache").glob("*.msgpack"))
    if kept:
        file = ground.chance.choice([one for one in kept if one.name not in (CACHE_FILE, EARLIER_FILE)] or kept)
        content = bytearray(file.read_bytes())
        content[ground.chance.randrange(len(content))] ^= 0x55
        file.write_bytes(content)


EDITS = (
    next_day, day_before, tick, tick, tick, take_back, put_off, change_graft, change_graft, new_graft, change_tree, see,
    note, edit_site, own_template, adjust, measure, damage,
    leave_out_or_take_in, leave_out_or_take_in,
)  # fmt: skip


@pytest.fixture(scope="module")
def chance_orchard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("chance")
    write_chance_tables(place, Random(20))
    folder = place / "orchard"
    bench = Workbench.begin(folder, name="Any", timezone="Europe/London", latitude=48.2, longitude=0.0)
    for kind in KINDS:
        bench.records.bring(place / f"{kind}.csv", kind, date(2026, 12, 20))
    bench.temperatures.add(place / "temperatures.csv", FIRST, dry_run=False, dates=None, unit="celsius")
    bench.close()
    with (folder / "site.toml").open("a") as site:
        site.write('\n[usual_dates.plum]\n"full bloom" = "04-20"\n')
    return folder


def made_again(folder: Path, day: date) -> PlannedDay:
    bench = Workbench.open(folder)
    try:
        return bench.plan.of(day)
    finally:
        bench.close()


def with_nothing_left_out(folder: Path, day: date) -> PlannedDay:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TaskWriter, "_may_be_shown", lambda *_: True)
        patch.setattr(TaskWriter, "_is_far_off", lambda *_: False)
        return made_again(folder, day)


@examples(12, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(seed=st.integers(0, 10**6), edits=st.lists(st.lists(st.sampled_from(EDITS), max_size=3), min_size=2, max_size=4))
def test_kept_and_fresh_plans_are_equal_whatever_is_edited(
    seed: int, edits: list[list[Callable[[Ground], None]]], chance_orchard: Path, tmp_path_factory
) -> None:
    place = tmp_path_factory.mktemp("edited")
    folder = Path(shutil.copytree(chance_orchard, place / "orchard"))
    ground, cache, before, kept = Ground(folder, Random(seed)), folder / "cache", place / "before", place / "kept"
    cache.mkdir(exist_ok=True)
    for step in ([], *edits):
        for edit in step:
            edit(ground)
        shutil.rmtree(before, ignore_errors=True)
        shutil.copytree(cache, before)
        held = ground.bench.plan.of(ground.day)
        shutil.rmtree(kept, ignore_errors=True)
        shutil.copytree(cache, kept)
        for name in (CACHE_FILE, EARLIER_FILE):
            _put_back(before / name, cache / name)
        assert made_again(folder, ground.day) == held
        shutil.rmtree(cache)
        cache.mkdir()
        for name in (CACHE_FILE, EARLIER_FILE):
            _put_back(before / name, cache / name)
        assert with_nothing_left_out(folder, ground.day) == held
        shutil.rmtree(cache)
        shutil.copytree(kept, cache)
    ground.bench.close()
    shutil.rmtree(place)


def test_a_day_of_setting_that_was_taken_back_leaves_no_trace_in_the_heat_of_the_wraps(
    chance_orchard: Path, tmp_path: Path
) -> None:
    """The almanac stays while the workbench is open, and has counted the heat from further back by then."""
    folder, day = Path(shutil.copytree(chance_orchard, tmp_path / "orchard")), FIRST
    ground = Ground(folder, Random(0))
    wrapped = next(wrap.graft for wrap in ground.bench.plan.of(day).plan.wraps if wrap.heat)
    graft = next(graft for graft in ground.bench.records.read().grafts if graft.id == wrapped)
    ground.act(lambda act: act.replace(replace(graft, set_on=day.replace(year=day.year - 11))))
    ground.bench.plan.of(day)
    take_back(ground)
    held = ground.bench.plan.of(day).plan
    ground.bench.close()
    shutil.rmtree(folder / "cache")
    assert made_again(folder, day).plan == held


def _put_back(kept: Path, to: Path) -> None:
    if kept.exists():
        shutil.copy2(kept, to)
    else:
        to.unlink(missing_ok=True)

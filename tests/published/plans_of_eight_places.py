"""A season's plan of one invented orchard at eight places, as text: what a grower there can read from end to end.

The orchard is invented: a grown tree of every species with grafts planned, in their third year and judged to go, and
three young trees. Three of the grown ones, whose buds go different ways, have all ages and wraps: grafts of this spring
and summer (each set on the best day of its job), of last summer and of last spring; nurse limbs were marked on them
last winter, on apple in this one too. Pear had fire blight last June, and quince has it this June; summer pruning is
done on its best day. The normals are from memory, rounded: inputs, never oracles.
`python tests/published/plans_of_eight_places.py` draws the kept texts again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import cycle
from pathlib import Path

import msgspec
from timing_orchard import SITES, TEMPLATES, place

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.seasons import Season
from tendwork.almanac.winters import DRY_COLD_WINTERS, winter_of
from tendwork.orchard.records import Graft, Records, Tick, Tree, Trouble, Wood
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task, Window
from tendwork.species import SPECIES

KEPT = Path(__file__).parent / "plans"
SPRING = 2027
_METHODS = ("whip and tongue", "bark", "chip bud")
_EVERY_METHOD = ("whip and tongue", "cleft", "bark", "side", "chip bud", "T-bud", "bridge")
_WITH_ALL_AGES = ("apple", "plum", "peach")
_FEW = 2
_WRAPS = ("PVC tape", "budding rubber", "film", "raffia", "electrical tape", "")


def _from_normals_alone(site: Place) -> Place:
    return msgspec.structs.replace(site, usual_dates=())


PLACES = {
    "alaska": SITES["Alaska"],
    "manitoba": place(
        49.9,
        235,
        "-21.5 -18.5 -10.5 -2 4.5 10.5 13.5 12 6.5 -0.5 -9 -18",
        "-11.5 -8 -1 11 18.5 23 26 25.5 19 10.5 -0.5 -8.5",
    ),
    "michigan": _from_normals_alone(SITES["cold continental"]),
    "england": _from_normals_alone(SITES["maritime"]),
    "bavaria": _from_normals_alone(SITES["central European"]),
    "sacramento": _from_normals_alone(SITES["warm"]),
    "gulf coast": SITES["Gulf Texas"],
    "hobart": place(
        -42.9,
        50,
        "12 12 11 9 7 5.5 4.5 5 6.5 8 9.5 11",
        "22.5 22 20.5 18 15 12.5 12 13.5 15.5 17 19 20.5",
    ),
}


def kept_file(name: str) -> Path:
    return KEPT / f"{name.replace(' ', '-')}.txt"


def plan_text(name: str) -> str:
    """The plan of the place on its season's first day: one line for each window, in the order of the year."""
    where = PLACES[name]
    season = Season(SPRING, where.latitude < 0)
    almanac = Almanac(where, None, (), season.start)
    limits = SiteLimits(south=season.south)

    def tasks(records: Records) -> tuple[Task, ...]:
        found = plan(limits, records, almanac, TEMPLATES, season.start).tasks
        return tuple(task for task in found if task.season == season.name)

    orchard = _orchard(season)
    orchard = _with_this_year_done(orchard, tasks(orchard))
    return "".join(f"{line}\n" for line in (*_heading(name), *_lines(name, tasks(orchard))))


def redraw() -> None:
    """Write the plan of every place over the kept one."""
    KEPT.mkdir(exist_ok=True)
    for name in PLACES:
        kept_file(name).write_text(plan_text(name), encoding="utf-8", newline="\n")


def _orchard(season: Season) -> Records:
    """Every species with grafts of several ages; the newest of them are planned."""
    trees = [Tree(species, species, species, planted=SPRING - 20, height_m=3.5) for species in SPECIES]
    trees += [
        Tree(f"young {species}", f"young {species}", species, planted=SPRING - 1, height_m=1.8)
        for species in ("apple", "plum", "peach")
    ]
    grafts = [graft for species in SPECIES for graft in _grafts_on(species, season)]
    wood = [Wood(f"wood of {species}", f"Lamp {species}", species, 4) for species in SPECIES]
    marked = season.previous
    ticks = [Tick(f"mark-nurse-limbs/{tree}/{marked.name}", tree, marked.on(2, 1)) for tree in _WITH_ALL_AGES]
    ticks.append(Tick(f"mark-nurse-limbs/apple/{season.name}", "apple", season.on(2, 1)))
    ticks += [
        Tick(f"fit-guards/{tree}/{season.name}", tree, season.on(11, 20))
        for tree in ("young apple", "young plum", "young peach")
    ]
    strikes = {"pear": season.previous, "quince": season}
    blight = tuple(Trouble(when.on(6, 10), tree, "fire blight") for tree, when in strikes.items())
    return Records(tuple(trees), tuple(grafts), tuple(wood), ticks=tuple(ticks), troubles=blight)


def _grafts_on(tree: str, season: Season) -> Iterator[Graft]:
    """Their ids are the tree, and what tells them from others of their tree."""
    variety = f"Lamp {tree}"
    for method in _EVERY_METHOD if tree == "apple" else _METHODS:
        yield Graft(f"{tree}: planned {method}", tree, variety, method, "PVC tape")
    third = Season(season.name - 3, season.south).on(4, 20)
    yield Graft(f"{tree}: third year", tree, variety, "cleft", "none", "wax", "bearing", third, height_m=2.5)
    yield Graft(f"{tree}: to go", tree, variety, "cleft", "none", "wax", "bearing", third, verdict="cut")
    if tree in _WITH_ALL_AGES:
        summer, spring = season.previous.on(8, 5), season.previous.on(4, 20)
        yield Graft(f"{tree}: last summer", tree, variety, "chip bud", "PVC tape", "", "set", summer)
        yield Graft(f"{tree}: last spring", tree, variety, "bark", "PVC tape", "wax", "took", spring, height_m=1.5)


def _with_this_year_done(records: Records, tasks: Iterable[Task]) -> Records:
    """The records after grafts are set, with every wrap in turn, and trees cut in summer, each on its best day."""
    planned = {graft.id: graft for graft in records.grafts if graft.state == "planned" and graft.tree in _WITH_ALL_AGES}
    wraps = cycle(_WRAPS)
    new, ticks = [], list(records.ticks)
    for task in tasks:
        if task.template.startswith("summer-prune-"):
            ticks += [Tick(task.key, unit.id, unit.window.best) for unit in task.units]
        for unit in task.units if "set" in task.outcomes else ():
            graft = planned.get(unit.id)
            if graft is not None:
                name = f"{graft.tree}: {graft.method} by {task.template}"
                kept = msgspec.structs.replace
                new.append(kept(graft, id=name, wrap=next(wraps), state="set", set_on=unit.window.best))
    return msgspec.structs.replace(records, grafts=(*records.grafts, *new), ticks=tuple(ticks))


def _heading(name: str) -> Iterator[str]:
    where = PLACES[name]
    yield f"# {name}, {where.latitude}°, {where.elevation_m} m: an invented orchard, planned from monthly normals"
    yield "# opens       best        closes      lapses      job, * if it is left out by default: units"
    yield ""


def _lines(place_name: str, tasks: Iterable[Task]) -> list[str]:
    """One line for all units of a job with one window, in the order of the year; of rounds the first and the last."""
    winter = winter_of(PLACES[place_name].normals_min_c)
    known = {"fire blight"} | ({DRY_COLD_WINTERS} if winter == "dry-cold" else set())
    left_out = {template.id for template in TEMPLATES if template.unasked(known)}
    lines: dict[tuple[Window, str], list[str]] = {}
    for task in tasks:
        if task.round not in (1, task.rounds):
            continue
        name = f"{task.template}{'*' if task.template in left_out else ''}"
        name += f" {task.round}/{task.rounds}" if task.rounds > 1 else ""
        for unit in task.units:
            lines.setdefault((_dates(unit.window), name), []).append(unit.id)
    ordered = sorted(lines.items(), key=lambda item: (item[0][0].opens, item[0][0].best, item[0][1]))
    return [f"{_dated(window)}  {name}: {_together(units)}" for (window, name), units in ordered]


def _dates(window: Window) -> Window:
    return Window(window.opens, window.best, window.closes, window.lapses)


def _dated(window: Window) -> str:
    return "  ".join(str(day) for day in (window.opens, window.best, window.closes, window.lapses))


def _together(units: list[str]) -> str:
    """The trees, those alike together: with what tells their grafts apart, or how many those are."""
    grafts: dict[str, list[str]] = {}
    for unit in units:
        tree, _, what = unit.partition(": ")
        grafts.setdefault(tree, []).append(what)
    alike: dict[str, list[str]] = {}
    for tree, what in grafts.items():
        words = ", ".join(what) if len(what) <= _FEW else f"{len(what)} grafts"
        alike.setdefault(words, []).append(tree)
    return "; ".join(", ".join(trees) + (f" ({words})" if words else "") for words, trees in alike.items())


if __name__ == "__main__":
    redraw()

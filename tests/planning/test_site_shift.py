"""A colder or later site: what hangs on buds and heat moves as the almanac says, the rest stays, nothing is lost."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import msgspec
import pytest

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import DailySeries, Normals, build_series
from tendwork.folder.site import Normals as SiteNormals
from tendwork.folder.site import Site
from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.planning.adjustments import Adjustments, SiteShift, adjusted
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.preview import moves
from tendwork.planning.results import Plan, Unit
from tendwork.planning.vocabulary import Anchor, Template, TemplateFile
from tendwork.species import stage_named
from tendwork.workbench.plan_inputs import place_of

FOLDER = Path(__file__).parents[2] / "task_templates"
TEMPLATES = tuple(
    template
    for file in sorted(FOLDER.glob("*.toml"))
    for template in msgspec.convert(tomllib.loads(file.read_text(encoding="utf-8")), TemplateFile).template
)
TODAY = date(2026, 5, 20)
SEASON = Season(2026)
SET_ON = date(2026, 4, 14)
SPECIES = ("apple", "sweet cherry", "peach")
MADE = (
    ("cleft", "PVC tape"),
    ("cleft", "budding rubber"),
    ("whip and tongue", "raffia"),
    ("bridge", "PVC tape"),
    ("T-bud", "raffia"),
)
NORMALS = Normals(  # invented, for a hill in the west of Europe; so are the days drawn around them
    (0.4, 0.4, 1.7, 3.2, 6.0, 8.8, 10.8, 10.6, 8.5, 5.9, 2.9, 1.0),
    (6.0, 6.6, 9.2, 12.5, 15.9, 18.6, 20.6, 20.1, 17.4, 13.0, 8.9, 6.5),
)
SITE = Site("Invented hill", "Europe/London", 52.2, -3.1, normals=SiteNormals(NORMALS.minimum_c, NORMALS.maximum_c))
SHIFTS = {
    "2 degrees": SiteShift(degrees_c=2),
    "300 m": SiteShift(elevation_m=300),
    "8 days": SiteShift(days=8),
}
NO_SHIFT = SiteShift()
AUTUMN_STAGES = ("dormant", "leaf fall", "shoot stop")  # these come, or may come, earlier where it is colder
every_shift = pytest.mark.parametrize("shift", SHIFTS.values(), ids=SHIFTS.keys())


def orchard() -> Records:
    """A tree of each species with grafts planned, set, taken and bearing, and a bundle of wood each."""
    trees, grafts, wood = [], [], []
    for species in SPECIES:
        trees.append(Tree(species, species, species, planted=2005))
        wood.append(Wood(f"wood of {species}", "", species, 6, date(2026, 1, 12), promised_to="a friend"))
        for method, wrap in MADE:
            for state, set_on in (
                ("planned", None),
                ("set", SET_ON),
                ("took", SET_ON),
                ("took", date(2025, 8, 1)),
                ("bearing", date(2020, 4, 14)),
            ):
                grafts.append(Graft(f"g{len(grafts)}", species, "", method, wrap, state=state, set_on=set_on))
    return Records(tuple(trees), tuple(grafts), tuple(wood))


ORCHARD = orchard()


@cache
def series() -> DailySeries | None:
    days = invented_days(NORMALS, 20260520, date(2024, 9, 1), TODAY - timedelta(days=1))
    return build_series([(day, low, high, False) for day, low, high in days], None)[0]


@cache
def almanac(shift: SiteShift) -> Almanac:
    return Almanac(place_of(SITE, shift), series(), (), TODAY)


@cache
def planned(shift: SiteShift) -> Plan:
    return plan(SiteLimits(), ORCHARD, almanac(shift), adjusted(TEMPLATES, Adjustments(site=shift)), TODAY)


@cache
def units(shift: SiteShift) -> dict[tuple[str, str], Unit]:
    """The first rounds of this season by template and unit."""
    return {
        (task.template, unit.id): unit
        for task in planned(shift).tasks
        if task.key.endswith(f"/{SEASON.name}")
        for unit in task.units
    }


def leaves(anchor: Anchor) -> Iterator[Anchor]:
    if not anchor.parts:
        yield anchor
    for part in anchor.parts:
        yield from leaves(part)


def species_of(unit: Unit) -> tuple[str, ...]:
    return (unit.species,) if unit.species else SPECIES


@cache
def anchor_day(shift: SiteShift, anchor: Anchor, species: tuple[str, ...], variety: str) -> date:
    """The almanac's own day for a plain anchor: of several species the first; events are all the day of setting."""
    day = SET_ON
    if anchor.stage is not None:
        stages = [(name, stage_named(name, anchor.stage)) for name in species]
        found = [almanac(shift).stage(name, stage, SEASON, variety).date for name, stage in stages if stage]
        day = min(one for one in found if one is not None)
    if anchor.heat is None:
        return day
    reached = almanac(shift).heat_after(day, anchor.heat).day
    assert reached is not None
    return reached


def moved_by(shift: SiteShift, anchor: Anchor, unit: Unit) -> int:
    """Days by which the almanac moves a plain anchor: none for dates and events that no heat follows."""
    there, here = (anchor_day(site, anchor, species_of(unit), unit.variety) for site in (shift, NO_SHIFT))
    return (there - here).days


def ends_of(template: Template, unit: Unit) -> Iterator[tuple[Anchor, date]]:
    yield template.opens, unit.window.opens
    if template.repeats is None:
        yield template.closes, unit.window.closes


def shifts_of_windows(shift: SiteShift) -> Iterator[tuple[Template, Unit, Anchor, int]]:
    """(template, unit, anchor of an end of its window, days by which that end has moved)."""
    by_id = {template.id: template for template in TEMPLATES}
    after = units(shift)
    for key, unit in units(NO_SHIFT).items():
        template = by_id[key[0]]
        for (anchor, before), (_, then) in zip(ends_of(template, unit), ends_of(template, after[key]), strict=True):
            yield template, unit, anchor, (then - before).days


@every_shift
def test_a_window_bound_to_one_stage_moves_by_what_the_almanac_gives_for_the_stage(shift: SiteShift) -> None:
    bound = 0
    for template, unit, anchor, days in shifts_of_windows(shift):
        if anchor.stage is not None and anchor.heat is None:
            assert days == moved_by(shift, anchor, unit), f"{template.id} of {unit.id}"
            bound += anchor.stage not in AUTUMN_STAGES
    assert bound > 50


@every_shift
@pytest.mark.parametrize("species", SPECIES)
def test_every_stage_of_spring_comes_later(shift: SiteShift, species: str) -> None:
    for row, now in zip(almanac(shift).stages(species, SEASON), almanac(NO_SHIFT).stages(species, SEASON), strict=True):
        if row.stage not in AUTUMN_STAGES:
            assert row.date is not None
            assert now.date is not None
            assert row.date > now.date, row.stage


@every_shift
def test_windows_bound_to_spring_buds_and_heat_never_come_earlier(shift: SiteShift) -> None:
    for template, unit, anchor, days in shifts_of_windows(shift):
        if not any(leaf.stage in AUTUMN_STAGES for leaf in leaves(anchor)):
            assert days >= 0, f"{template.id} of {unit.id}"


@every_shift
def test_calendar_and_record_bound_windows_stay(shift: SiteShift) -> None:
    stayed = 0
    for template, unit, anchor, days in shifts_of_windows(shift):
        if all(leaf.stage is None and leaf.heat is None for leaf in leaves(anchor)):
            assert days == 0, f"{template.id} of {unit.id}"
            stayed += 1
    assert stayed > 50


@every_shift
def test_a_window_of_several_anchors_moves_within_what_its_anchors_move(shift: SiteShift) -> None:
    several = 0
    for template, unit, anchor, days in shifts_of_windows(shift):
        graft = next((graft for graft in ORCHARD.grafts if graft.id == unit.id), None)
        if anchor.stage is None and anchor.date is None and (graft is None or graft.set_on in (None, SET_ON)):
            amounts = [moved_by(shift, leaf, unit) for leaf in leaves(anchor)]
            assert min(amounts) <= days <= max(amounts), f"{template.id} of {unit.id}"
            several += len(amounts) > 1
    assert several > 50


@pytest.mark.parametrize("shift", [SHIFTS["2 degrees"], SHIFTS["300 m"]], ids=["2 degrees", "300 m"])
def test_wraps_that_wait_for_heat_come_off_as_much_later_as_the_heat_does(shift: SiteShift) -> None:
    led_by_heat = 0
    for template, unit, anchor, days in shifts_of_windows(shift):
        if not template.id.startswith("wraps-") or unit.window.opens < SET_ON:
            continue
        waits = next(leaf for leaf in leaves(anchor) if leaf.heat is not None)
        warm, cold = (anchor_day(site, waits, (), "") for site in (NO_SHIFT, shift))
        assert cold > warm
        if anchor == template.opens and unit.window.opens == warm:
            assert days == (cold - warm).days, f"{template.id} of {unit.id}"
            led_by_heat += 1
    assert led_by_heat > 10


def test_300_m_are_as_cold_as_the_standard_atmosphere_has_it() -> None:
    """International Standard Atmosphere, ISO 2533:1975: 6.5 °C to the kilometre."""
    assert place_of(SITE, SHIFTS["300 m"]).colder_by_c == pytest.approx(1.95)


def test_8_days_move_every_stage_of_spring_by_8_days() -> None:
    for species in SPECIES:
        rows = almanac(SHIFTS["8 days"]).stages(species, SEASON)
        for row, now in zip(rows, almanac(NO_SHIFT).stages(species, SEASON), strict=True):
            if row.stage not in AUTUMN_STAGES:
                assert row.date is not None
                assert now.date is not None
                assert (row.date - now.date).days == 8, f"{species} {row.stage}"


@every_shift
def test_no_task_of_the_season_is_lost_or_made(shift: SiteShift) -> None:
    assert units(shift).keys() == units(NO_SHIFT).keys()


@pytest.mark.parametrize(
    ("first", "second"),
    [*((NO_SHIFT, shift) for shift in SHIFTS.values()), (SHIFTS["2 degrees"], NO_SHIFT)],
    ids=[*SHIFTS, "back from 2 degrees"],
)
def test_nothing_already_ticked_is_lost(first: SiteShift, second: SiteShift) -> None:
    """What has opened this season is ticked, then the site is shifted, or shifted back: every tick still stands."""
    ticks = tuple(
        Tick(task.key, unit.id, unit.window.opens, task.outcomes[0])
        for task in planned(first).tasks
        for unit in task.units
        if f"/{SEASON.name}" in task.key and unit.window.opens <= TODAY and unit.done_on is None
        if task.outcomes[0] != "set"  # which would make another record of a planned graft
    )
    assert len(ticks) > 100
    ticked = msgspec.structs.replace(ORCHARD, ticks=ticks)
    after = plan(SiteLimits(), ticked, almanac(second), adjusted(TEMPLATES, Adjustments(site=second)), TODAY)
    standing = {(task.key, unit.id): unit for task in after.tasks for unit in task.units}
    for tick in ticks:
        unit = standing.get((tick.task, tick.unit))
        assert unit is not None, f"{tick.task} of {tick.unit} is gone"
        assert (unit.state, unit.done_on, unit.outcome) == ("done", tick.day, tick.outcome), tick.task


@pytest.mark.parametrize("zero", [SiteShift(degrees_c=0), SiteShift(elevation_m=0), SiteShift(days=0)])
def test_a_shift_of_nothing_is_the_place_itself(zero: SiteShift) -> None:
    assert place_of(SITE, zero) == place_of(SITE, NO_SHIFT)


def test_back_to_zero_restores_every_date() -> None:
    before = planned(NO_SHIFT)
    assert moves(before, planned(SHIFTS["2 degrees"]))
    fresh = Almanac(place_of(SITE, NO_SHIFT), series(), (), TODAY)
    after = plan(SiteLimits(), ORCHARD, fresh, adjusted(TEMPLATES, Adjustments(site=NO_SHIFT)), TODAY)
    assert after == before

"""Windows kept from an earlier plan change nothing: a warm plan is the cold one, whatever happened between the two."""

from __future__ import annotations

import tomllib
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from steady_almanac import SteadyAlmanac

from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.orchard.records import SIGNS, Graft, GraftState, Records, Spray, Tasting, Tick, Tree, Trouble, Wood
from tendwork.planning.adjustments import Adjustment, Adjustments, adjusted
from tendwork.planning.anchors import Anchors
from tendwork.planning.fit import fit_week
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.planner import Planner, SiteLimits, plan
from tendwork.planning.subjects import Subjects
from tendwork.planning.task_writer import TaskWriter
from tendwork.planning.vocabulary import Anchor, Template, TemplateFile
from tendwork.planning.windows import Openings, opening_of

FOLDER = Path(__file__).parents[2] / "task_templates"
TEMPLATES = tuple(
    template
    for file in sorted(FOLDER.glob("*.toml"))
    for template in msgspec.convert(tomllib.loads(file.read_text(encoding="utf-8")), TemplateFile).template
    if template.each in ("graft", "tree", "variety")
)
TODAY = date(2026, 5, 9)
EARLY = "Early Lamp"
TREES = (Tree("t1", "Old apple", "apple", planted=1990), Tree("t2", "Wall pear", "pear"), Tree("t3", "Plum", "plum"))
LOOK = Template("look", "Look", "aftercare", "graft", Anchor(stage="green tip"), Anchor(stage="full bloom"))


class OneEarlyVariety(SteadyAlmanac):
    """The steady almanac in which one variety is computed by itself, a week before its species."""

    def standing_for(self, species: str, variety: str) -> str:  # noqa: ARG002
        return variety if variety == EARLY else ""

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate:
        found = super().stage(species, stage, season, variety)
        if variety != EARLY or found.date is None:
            return found
        return msgspec.structs.replace(found, date=found.date - timedelta(days=7))

    def not_before(self, species: str, stage: str, season: Season) -> date:
        return self.stage(species, stage, season, EARLY).date or date.min


def grafts() -> st.SearchStrategy[tuple[Graft, ...]]:
    one = st.builds(
        Graft,
        id=st.just(""),
        tree=st.sampled_from([tree.id for tree in TREES]),
        variety=st.sampled_from((EARLY, "Red Lamp", "Long Lamp")),
        method=st.sampled_from(("cleft", "whip and tongue", "T-bud", "chip bud")),
        wrap=st.sampled_from(("PVC tape", "raffia", "budding rubber", "")),
        state=st.sampled_from(("planned", "set", "took", "bearing", "failed")),
        set_on=st.none() | st.sampled_from([TODAY - timedelta(days=days) for days in (1, 12, 24, 30, 290, 1200)]),
        height_m=st.none() | st.sampled_from((1.0, 3.5)),
    )
    drawn = st.lists(one, min_size=1, max_size=8)
    return drawn.map(lambda held: tuple(msgspec.structs.replace(one, id=f"g{n}") for n, one in enumerate(held)))


def ticked(data: st.DataObject, records: Records, almanac: SteadyAlmanac) -> tuple[Tick, ...]:
    """A few ticks on jobs of these records, with outcomes that their templates offer."""
    offered = [
        Tick(task.key, unit.id, TODAY - timedelta(days=days), outcome)
        for task in plan(SiteLimits(), records, almanac, TEMPLATES, TODAY).tasks
        for unit in task.units
        for days, outcome in enumerate((*task.outcomes, "skipped", "not yet"))
    ]
    return tuple(data.draw(st.lists(st.sampled_from(offered), max_size=6))) if offered else ()


def beside(data: st.DataObject, grown: tuple[Graft, ...]) -> dict[str, Any]:
    """Now and then what bars or tells of another tree: signs of disease, sprays, wood of theirs, tastings."""
    day, tree = TODAY - timedelta(days=2), data.draw(st.sampled_from([tree.id for tree in TREES]))
    return data.draw(
        st.sampled_from(
            (
                {},
                {},
                {"troubles": (Trouble(day, tree, "fire blight"),)},
                {"sprays": (Spray(day, tree, "a wash (invented)", 5, 20),)},
                {"wood": (Wood("w1", EARLY, "apple", 3, day, came_from=tree),)},
                {"tastings": (Tasting(day, grown[0].id, "ripe", 3),)},
            )
        )
    )


@examples(25)
@given(
    grown=grafts(),
    day=st.dates(date(2025, 11, 1), date(2026, 12, 31)),
    south=st.booleans(),
    moved=st.sampled_from((0, -250, -60, 60, 250)),
    data=st.data(),
)
def test_what_is_not_written_has_no_place_in_the_plan(
    grown: tuple[Graft, ...], day: date, south: bool, moved: int, data: st.DataObject
) -> None:
    ground, almanac = SiteLimits(south=south), OneEarlyVariety()
    changes = {template.id: Adjustment(opens_later_days=moved, closes_later_days=moved) for template in TEMPLATES[::3]}
    rules = adjusted(TEMPLATES, Adjustments(template=changes if moved else {}), SIGNS)
    records = Records(trees=TREES, grafts=grown)
    records = msgspec.structs.replace(records, ticks=ticked(data, records, almanac))
    made = plan(ground, records, almanac, rules, day)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TaskWriter, "_may_be_shown", lambda *_: True)
        patch.setattr(TaskWriter, "_is_far_off", lambda *_: False)
        assert plan(ground, records, almanac, rules, day) == made


@examples(10)
@given(before=grafts(), after=grafts(), south=st.booleans(), data=st.data())
def test_a_warm_plan_and_its_week_equal_cold_ones_after_ticks_and_other_grafts(
    before: tuple[Graft, ...], after: tuple[Graft, ...], south: bool, data: st.DataObject
) -> None:
    ground, almanac = SiteLimits(south=south), OneEarlyVariety()
    planner = Planner(almanac, Openings(almanac))
    first = Records(trees=TREES, grafts=before)
    planner.plan(ground, first, TEMPLATES, TODAY)
    for grown in (before, before, after):
        records = Records(trees=TREES, grafts=grown, ticks=ticked(data, first, almanac), **beside(data, grown))
        warm, cold = planner.plan(ground, records, TEMPLATES, TODAY), plan(ground, records, almanac, TEMPLATES, TODAY)
        assert warm == cold
        assert fit_week(warm) == fit_week(cold)


def test_a_plan_made_again_knows_of_a_tasting_since() -> None:
    almanac = SteadyAlmanac()
    planner = Planner(almanac, Openings(almanac))
    again = Template("again", "Taste again", "fruit", "graft", Anchor(after="tasted", days=3), Anchor(after="tasted"))
    records = Records(trees=TREES, grafts=(Graft("g1", "t1", EARLY, state="bearing"),))
    assert planner.plan(SiteLimits(), records, (again,), TODAY).tasks == ()
    tasted = msgspec.structs.replace(records, tastings=(Tasting(TODAY, "g1", "ripe", 3),))
    (task,) = planner.plan(SiteLimits(), tasted, (again,), TODAY).tasks
    assert task.window.opens == TODAY + timedelta(days=3)


@examples(8)
@given(held=grafts())
def test_units_that_count_as_alike_have_the_window_each_has_by_itself(held: tuple[Graft, ...]) -> None:
    almanac, season = OneEarlyVariety(), Season(2026)
    subjects = Subjects(Orchard(Records(trees=TREES, grafts=held), (), south=False, today=date(2026, 6, 1)))
    openings = Openings(almanac)
    for template in (*TEMPLATES, LOOK):
        for subject in subjects.of(template, season):
            alone = opening_of(template, subject, Anchors(almanac, season))
            assert openings.of(template, season).unit(subject) == alone


def test_a_variety_that_is_computed_by_itself_keeps_its_own_window() -> None:
    red, early = windows_of_two("bearing")
    assert red - early == timedelta(days=7)


@pytest.mark.parametrize("state", ["planned", "set"])
def test_the_buds_of_the_tree_decide_about_a_graft_that_has_not_taken(state: GraftState) -> None:
    red, early = windows_of_two(state)
    assert red == early


def windows_of_two(state: GraftState) -> list[date]:
    grafts = tuple(Graft(name, "t1", variety, state=state) for name, variety in (("g1", "Red Lamp"), ("g2", EARLY)))
    (task,) = plan(SiteLimits(), Records(trees=TREES, grafts=grafts), OneEarlyVariety(), (LOOK,), TODAY).tasks
    return [unit.window.opens for unit in task.units]


def test_a_changed_template_gets_new_windows() -> None:
    records, almanac = Records(trees=TREES, grafts=(Graft("g1", "t1", "Red Lamp"),)), SteadyAlmanac()
    openings = Openings(almanac)
    later = msgspec.structs.replace(LOOK, opens=Anchor(stage="green tip", days=3))
    opens = [
        plan(SiteLimits(), records, almanac, (template,), TODAY, openings).tasks[0].window.opens
        for template in (LOOK, later)
    ]
    assert opens[1] - opens[0] == timedelta(days=3)


def test_windows_of_another_almanac_are_not_taken() -> None:
    records = Records(trees=TREES, grafts=(Graft("g1", "t1", EARLY),))
    openings = Openings(SteadyAlmanac())
    plan(SiteLimits(), records, openings.almanac, (LOOK,), TODAY, openings)
    early = OneEarlyVariety()
    assert plan(SiteLimits(), records, early, (LOOK,), TODAY, openings) == plan(
        SiteLimits(), records, early, (LOOK,), TODAY
    )

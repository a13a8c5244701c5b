"""What holds a job back: sprays, sick trees, an arborist. It stays in sight, says why, and takes no day."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from steady_almanac import SteadyAlmanac

from tendwork.orchard.outcomes import ARBORIST
from tendwork.orchard.records import Graft, Records, Spray, Tick, Tree, Trouble, Wood
from tendwork.planning.fit import fit_week
from tendwork.planning.gaps import open_questions
from tendwork.planning.held_back import speaks_against
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan, Task
from tendwork.planning.vocabulary import Anchor, Effort, Repeats, Template, Tool, Where

TREES = (Tree("t1", "Old Tom", "apple", height_m=4.0), Tree("t2", "Young Tom", "apple", height_m=1.5))
TOOLS = {"pruning saw": Tool("pruning saw", uses=("cuts wood", "saws")), "snips": Tool("snips")}
DAY = date(2026, 6, 4)


def template(**changes: object) -> Template:
    base: dict[str, object] = {
        "id": "care",
        "title": "Care",
        "part": "aftercare",
        "each": "graft",
        "opens": Anchor(date="06-01"),
        "closes": Anchor(date="06-20"),
        "lapses": Anchor(date="07-10"),
        "effort": Effort(setup_minutes=5, minutes_each=10),
    }
    return Template(**{**base, **changes})  # type: ignore[arg-type]


def graft(identity: str = "g1", tree: str = "t1", **changes: object) -> Graft:
    base: dict[str, object] = {"variety": "Red Lamp", "state": "took", "set_on": date(2025, 4, 1), "height_m": 1.0}
    return Graft(identity, tree, **{**base, **changes})  # type: ignore[arg-type]


def spray(tree: str = "t1", back: int | None = 6, harvest: int | None = 20, day: date = DAY) -> Spray:
    return Spray(day, tree, "Invented spray", back, harvest)


def made(*templates: Template, on: date = DAY, grafts: tuple[Graft, ...] = (graft(),), **records: object) -> Plan:
    held = Records(trees=TREES, grafts=grafts, **records)  # type: ignore[arg-type]
    return plan(SiteLimits(), held, SteadyAlmanac(), templates, on, tools=TOOLS)


def only(held: Plan, subject: str = "t1") -> Task:
    (task,) = [task for task in held.tasks if task.subject == subject and task.season == held.season]
    return task


def test_a_sprayed_tree_holds_its_grafts_back_until_the_labels_days_are_over() -> None:
    task = only(made(template(), sprays=(spray(),)))
    (unit,) = task.units
    assert (task.state, unit.state, unit.held_until) == ("held", "held", date(2026, 6, 11))
    assert unit.held_by == (
        "Old Tom was sprayed with Invented spray on 4 Jun: its label says 6 days to return,"
        " so no work in it up to and including 10 Jun."
    )
    assert task.because[0] == unit.held_by
    assert task.minutes == 0
    assert only(made(template(), sprays=(spray(),), on=date(2026, 6, 11))).state == "open"


def test_days_not_noted_bar_the_tree_and_say_how_to_tell_them() -> None:
    unit = only(made(template(), sprays=(spray(back=None),))).units[0]
    assert (unit.state, unit.held_until) == ("held", None)
    assert "days to return not noted: read the label and note them with `tendwork spray`" in unit.held_by
    assert "at most up to and including 3 Jun 2027" in unit.held_by


def test_a_bar_that_ends_before_the_job_opens_holds_nothing() -> None:
    assert only(made(template(), sprays=(spray(day=date(2026, 5, 20)),), on=date(2026, 5, 22))).state == "coming"
    assert only(made(template(), sprays=(spray(day=date(2026, 5, 28)),), on=date(2026, 5, 29))).state == "held"


@pytest.mark.parametrize(
    ("job", "held"),
    [
        ({"part": "pruning", "each": "tree"}, True),
        ({"part": "upkeep", "each": "tree", "work_at": "ground"}, True),
        ({"part": "planning", "each": "tree", "work_at": "ground"}, False),
        ({"part": "preparing", "each": "tree", "work_at": "indoors"}, False),
    ],
)
def test_work_in_a_tree_or_under_it_is_held_and_work_on_paper_is_not(job: dict[str, object], held: bool) -> None:
    assert (only(made(template(**job), sprays=(spray(),))).state == "held") == held


@pytest.mark.parametrize(
    ("identity", "part", "until"),
    [
        ("taste-apples", "fruit", date(2026, 6, 25)),
        ("pick-my-own", "fruit", date(2026, 6, 25)),
        ("thin-apple-pear", "fruit", date(2026, 6, 11)),
        ("care", "aftercare", date(2026, 6, 11)),
    ],
)
def test_only_what_is_eaten_waits_for_the_days_to_harvest(identity: str, part: str, until: date) -> None:
    task = only(made(template(id=identity, part=part), sprays=(spray(),)))
    assert task.units[0].held_until == until


def test_a_task_of_which_one_unit_is_held_is_not_held_and_its_unit_says_so() -> None:
    grafts = (graft(), graft("g2", wood="w1", state="planned", set_on=None))
    wood = (Wood("w1", "Red Lamp", "apple", 3, date(2026, 1, 5), came_from="t2"),)
    seen = (Trouble(date(2025, 12, 1), "t2", "canker"),)
    task = only(made(template(outcomes=("set", "not yet")), grafts=grafts, wood=wood, troubles=seen))
    assert (task.state, [unit.state for unit in task.units]) == ("open", ["open", "held"])
    assert "Red Lamp (w1) was cut from Young Tom, where canker was seen on 1 Dec 2025" in task.units[1].held_by
    assert task.units[1].held_until is None
    assert task.minutes == 15


def wood_job(**changes: object) -> Template:
    values: dict[str, object] = {
        "id": "collect", "part": "wood", "each": "variety", "acts": ("takes wood",),
        "where": Where(state=("planned",)), "outcomes": ("cut", "got from elsewhere", "not needed"),
    }  # fmt: skip
    return template(**{**values, **changes})


PLANNED = graft("g9", "t2", state="planned", set_on=None)


def test_a_variety_is_held_only_where_every_tree_that_bears_it_is_barred() -> None:
    both = (graft(), graft("g2", "t2"), PLANNED)
    blight = (Trouble(date(2026, 5, 20), "t1", "fire blight"),)
    free = only(made(wood_job(), grafts=both, troubles=blight), "site")
    assert free.state == "open"
    assert free.not_now == ("No wood or buds from Old Tom before 1 Jun 2027: fire blight was seen on 20 May.",)
    gone = only(made(wood_job(), grafts=both[::2], troubles=blight), "site")
    assert (gone.state, gone.units[0].held_until) == ("held", date(2027, 5, 31) + timedelta(days=1))


def test_wood_without_a_known_source_stays_allowed_and_says_what_is_barred() -> None:
    virus = (Trouble(date(2020, 5, 20), "t1", "mosaic or rings"),)
    task = only(made(wood_job(), grafts=(PLANNED,), troubles=virus), "site")
    assert task.state == "open"
    assert task.not_now == ("No wood or buds from Old Tom ever again: mosaic or rings was seen on 20 May 2020.",)


def test_buds_are_held_where_the_variety_stands_on_barred_trees_alone_unless_a_bundle_is_noted() -> None:
    bud = template(id="bud", acts=("takes wood",), where=Where(state=("planned",)), outcomes=("set", "not yet"))
    blight = (Trouble(date(2026, 5, 20), "t1", "fire blight"),)
    assert only(made(bud, grafts=(graft(), PLANNED), troubles=blight), "t2").state == "held"
    bundle = (Wood("w1", "Red Lamp", "apple", 3, date(2026, 1, 5), came_from="a neighbour"),)
    with_wood = graft("g9", "t2", state="planned", set_on=None, wood="w1")
    assert only(made(bud, grafts=(graft(), with_wood), troubles=blight, wood=bundle), "t2").state == "open"


def test_promised_wood_of_a_sick_tree_is_not_sent() -> None:
    send = template(id="send-promised-wood", part="wood", each="wood", acts=("carries wood",), work_at="indoors")
    bundle = (Wood("w1", "Red Lamp", "apple", 3, date(2026, 1, 5), came_from="t1", promised_to="A friend"),)
    blight = (Trouble(date(2026, 5, 20), "t1", "fire blight"),)
    task = only(made(send, wood=bundle, troubles=blight), "site")
    assert task.state == "held"
    assert task.units[0].held_by.endswith("Use none of it, and give none away.")


def test_a_wrap_that_strangles_is_held_and_stays_in_sight_and_overdue_in_words() -> None:
    wrap = template(id="off", outcomes=("off", "not yet"), opens=Anchor(after="set", weeks=6),
                    closes=Anchor(after="set", weeks=8), lapses=Anchor(after="set", weeks=10))  # fmt: skip
    held = made(wrap, grafts=(graft(wrap="PVC tape", state="took"),), sprays=(spray(),))
    (task,) = held.tasks
    assert task.title == "Overdue: care"
    assert task.state == "held"
    assert fit_week(held).tasks[0].key == task.key
    assert held.wraps[0].overdue


def saw(**changes: object) -> Template:
    return template(**{"tools": ("pruning saw",), "each": "tree", "part": "pruning", **changes})


def test_sawing_above_reach_may_be_given_to_an_arborist_and_stays_in_sight_until_it_is_ticked_otherwise() -> None:
    task = only(made(saw()))
    assert task.outcomes == ("done", ARBORIST)
    assert only(made(saw()), "t2").outcomes == ("done",)
    assert only(made(template(tools=("snips",), each="tree"))).outcomes == ("done",)
    ticks = (Tick(task.key, "t1", date(2026, 6, 5), ARBORIST),)
    late = "With an arborist since 5 Jun; its time ended 10 Jul."
    for on, said in (
        (date(2026, 6, 5), "With an arborist since 5 Jun."),
        (date(2026, 7, 10), "With an arborist since 5 Jun."),
        (date(2026, 7, 11), late),
        (date(2026, 11, 9), late),
        (date(2027, 10, 31), "With an arborist since 5 Jun 2026; its time ended 10 Jul 2026."),
        (date(2029, 3, 1), "With an arborist since 5 Jun 2026; its time ended 10 Jul 2026."),
    ):
        held = made(saw(), on=on, ticks=ticks)
        (given,) = [one for one in held.tasks if one.key == task.key]
        assert (given.state, given.units[0].held_by) == ("held", said)
        assert task.key in [one.key for one in fit_week(held).tasks]
    ended = (*ticks, Tick(task.key, "t1", date(2026, 11, 10), "done"))
    assert task.key not in [one.key for one in made(saw(), on=date(2026, 12, 1), ticks=ended).tasks]
    done = only(made(saw(), ticks=(*ticks, Tick(task.key, "t1", date(2026, 6, 7), "done")), on=date(2026, 6, 8)))
    assert done.state == "done"


def test_what_was_done_although_it_was_held_is_asked_about_and_what_was_not_done_is_not() -> None:
    task = only(made(template(), sprays=(spray(),)))
    assert speaks_against(task, ("g1",), "done") == (task.units[0].held_by,)
    assert speaks_against(task, ("g1",), "skipped") == ()
    assert speaks_against(task, ("g1",), "not yet") == ()
    given = only(made(saw(), ticks=(Tick("care/t1/2026", "t1", DAY, ARBORIST),)))
    assert speaks_against(given, ("t1",), "done") == ()


def test_a_round_that_is_held_holds_the_one_after_it_behind() -> None:
    weekly = template(repeats=Repeats(every_days=7, times=3))
    week = fit_week(made(weekly, sprays=(spray(),)))
    assert [(task.key, task.state) for task in week.tasks] == [("care/t1/2026", "held")]


def test_a_spray_without_its_days_is_named_among_what_is_not_noted() -> None:
    records = Records(trees=TREES, sprays=(spray(back=None), spray("t2")))
    (gap,) = open_questions(Orchard(records, (), False, DAY), DAY)
    assert (gap.kind, gap.tree, gap.lacks) == ("spray days", "Old Tom (t1)", "days to return")


days = st.none() | st.integers(0, 40)
sprays = st.lists(
    st.builds(spray, st.sampled_from(["t1", "t2"]), days, days, st.dates(date(2026, 5, 1), DAY)), max_size=3
)
troubles = st.lists(
    st.builds(
        Trouble, st.dates(date(2025, 5, 1), DAY), st.sampled_from(["t1", "t2"]),
        st.sampled_from(["fire blight", "canker", "mosaic or rings", "scab"]),
    ),
    max_size=2,
)  # fmt: skip
JOBS = (
    template(),
    template(id="tree", each="tree", part="pruning"),
    template(id="site", each="site", part="upkeep", where=Where(species=("apple",))),
    template(id="often", repeats=Repeats(every_days=7, times=3)),
    wood_job(),
)
GRAFTS = (graft(), graft("g2"), graft("g3", "t2"), PLANNED)


@examples(60)
@given(sprays, troubles, st.integers(0, 40))
def test_holding_never_removes_a_job_and_never_plans_what_is_held(
    sprayed: list[Spray], seen: list[Trouble], later: int
) -> None:
    on = DAY + timedelta(days=later)
    free = made(*JOBS, on=on, grafts=GRAFTS)
    held = made(*JOBS, on=on, grafts=GRAFTS, sprays=tuple(sprayed), troubles=tuple(seen))
    assert [task.key for task in held.tasks] == [task.key for task in free.tasks]
    week = fit_week(held)
    assert {task.key for task in fit_week(free).tasks} <= {task.key for task in week.tasks}
    for task in week.tasks:
        for unit in task.units:
            assert (unit.state == "held") == bool(unit.held_by)
            if unit.state == "held":
                assert unit.planned is None
                assert unit.held_until is None or unit.held_until > on
        assert task.state != "held" or not task.days


@examples(20)
@given(st.integers(0, 300))
def test_without_sprays_and_signs_nothing_is_held(later: int) -> None:
    held = made(*JOBS, on=DAY + timedelta(days=later), grafts=GRAFTS, troubles=(Trouble(DAY, "t1", "scab"),))
    assert all(unit.state != "held" for task in held.tasks for unit in task.units)


@pytest.mark.parametrize(
    ("bridge", "held"),
    [
        ({"state": "planned", "set_on": None}, True),
        ({"state": "took", "set_on": date(2026, 4, 18)}, True),
        ({"state": "took", "set_on": date(2025, 4, 18)}, False),
    ],
)
def test_the_suckers_of_a_tree_that_was_bridged_this_season_are_kept(bridge: dict[str, object], held: bool) -> None:
    """Where a bridge fails suckers are grafted in above the wound (USDA Leaflet 508, The bridge graft)."""
    rule = template(id="suckers", each="tree", part="pruning", work_at="ground")
    task = only(made(rule, grafts=(graft(method="bridge", **bridge),)))
    assert (task.state == "held") is held
    assert only(made(rule, grafts=(graft(method="bridge", **bridge),)), "t2").state != "held"

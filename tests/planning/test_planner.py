"""The planner on small orchards whose every date can be worked out by hand."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task
from tendwork.planning.sight import in_sight
from tendwork.planning.vocabulary import Anchor, Effort, Repeats, Template, Weather, Where
from tendwork.planning.week import week_of

APPLE = Tree("t1", "Old apple", "apple", place="by the gate")
PEAR = Tree("t2", "Wall pear", "pear")


def template(**changes: object) -> Template:
    base: dict[str, object] = {
        "id": "look",
        "title": "Look",
        "part": "aftercare",
        "each": "graft",
        "opens": Anchor(after="set", days=21),
        "closes": Anchor(after="set", days=42),
        "lapses": Anchor(after="set", days=70),
    }
    return Template(**{**base, **changes})  # type: ignore[arg-type]


def graft(identity: str = "g1", **changes: object) -> Graft:
    base: dict[str, object] = {"tree": "t1", "variety": "Red Lamp", "state": "set", "set_on": date(2026, 4, 1)}
    return Graft(identity, **{**base, **changes})  # type: ignore[arg-type]


def tasks(records: Records, *templates: Template, on: date, almanac: SteadyAlmanac | None = None) -> tuple[Task, ...]:
    return plan(SiteLimits(), records, almanac or SteadyAlmanac(), templates, on).tasks


def orchard(*grafts: Graft, ticks: tuple[Tick, ...] = (), wood: tuple[Wood, ...] = ()) -> Records:
    return Records(trees=(APPLE, PEAR), grafts=grafts, ticks=ticks, wood=wood)


@pytest.mark.parametrize(
    ("on", "state"),
    [
        (date(2026, 4, 21), "coming"),
        (date(2026, 4, 22), "open"),
        (date(2026, 5, 5), "open"),
        (date(2026, 5, 6), "closing"),
        (date(2026, 5, 13), "closing"),
        (date(2026, 5, 14), "late"),
        (date(2026, 6, 10), "late"),
        (date(2026, 6, 11), "missed"),
    ],
)
def test_a_unit_goes_through_its_states_on_the_days_its_window_gives(on: date, state: str) -> None:
    # set 1 April: opens 22 April, closes 13 May, lapses 10 June
    (task,) = tasks(orchard(graft()), template(), on=on)
    assert task.state == state


def test_a_key_is_template_subject_and_season_and_holds_no_date() -> None:
    (task,) = tasks(orchard(graft()), template(), on=date(2026, 5, 1))
    assert task.key == "look/t1/2026"


def test_units_of_one_tree_gather_into_one_task() -> None:
    found = tasks(orchard(graft("g1"), graft("g2"), graft("g3", tree="t2")), template(), on=date(2026, 5, 1))
    assert {task.subject: [unit.id for unit in task.units] for task in found} == {"t1": ["g1", "g2"], "t2": ["g3"]}


def test_a_tick_makes_the_unit_done_and_taking_it_back_opens_it_again() -> None:
    tick = Tick("look/t1/2026", "g1", date(2026, 5, 2))
    back = Tick("look/t1/2026", "g1", date(2026, 5, 3), undone=True)
    (done,) = tasks(orchard(graft(), ticks=(tick,)), template(), on=date(2026, 5, 4))
    (again,) = tasks(orchard(graft(), ticks=(tick, back)), template(), on=date(2026, 5, 4))
    assert (done.state, again.state) == ("done", "open")


def test_not_yet_keeps_the_unit_open() -> None:
    tick = Tick("look/t1/2026", "g1", date(2026, 4, 30), "not yet")
    (task,) = tasks(orchard(graft(), ticks=(tick,)), template(), on=date(2026, 5, 1))
    assert (task.state, task.units[0].outcome) == ("open", "not yet")


def test_a_tick_survives_an_edited_window() -> None:
    tick = Tick("look/t1/2026", "g1", date(2026, 5, 2))
    moved = template(opens=Anchor(after="set", days=28), closes=Anchor(after="set", days=90))
    (task,) = tasks(orchard(graft(), ticks=(tick,)), moved, on=date(2026, 5, 4))
    assert task.state == "done"


def test_a_graft_whose_state_the_tick_changed_stays_in_its_task_as_done() -> None:
    tick = Tick("look/t1/2026", "g1", date(2026, 5, 2), "took")
    found = tasks(
        orchard(graft(state="took"), ticks=(tick,)), template(where=Where(state=("set",))), on=date(2026, 5, 4)
    )
    assert [task.state for task in found] == ["done"]


def test_a_job_that_hangs_on_an_event_does_not_come_back_in_later_seasons() -> None:
    seasonal = template(opens=Anchor(latest_of=(Anchor(after="set", days=21), Anchor(date="06-01"))))
    old = graft(state="took", set_on=date(2024, 4, 1))
    assert tasks(orchard(old), seasonal, on=date(2026, 6, 5)) == ()


def test_a_job_may_wait_from_an_event_of_one_season_for_the_buds_of_the_next() -> None:
    head_back = template(
        opens=Anchor(latest_of=(Anchor(after="budded", days=120), Anchor(stage="bud swell"))),
        closes=Anchor(stage="green tip"),
        lapses=Anchor(stage="full bloom"),
    )
    budded = graft(method="chip bud", set_on=date(2025, 8, 10))
    (task,) = tasks(orchard(budded), head_back, on=date(2026, 3, 12))
    assert (task.key, task.window.opens) == ("look/t1/2026", date(2026, 3, 10))


def test_a_stage_word_of_one_species_stands_for_the_same_code_in_another() -> None:
    green = template(
        each="tree", opens=Anchor(stage="green tip", days=-7), closes=Anchor(stage="full bloom"), lapses=None
    )
    found = tasks(Records(trees=(APPLE, PEAR)), green, on=date(2026, 3, 20))
    assert [task.window.opens for task in found] == [date(2026, 3, 18)] * 2


def test_the_reason_names_the_stage_its_date_and_its_range() -> None:
    green = template(
        each="tree", opens=Anchor(stage="green tip", days=-7), closes=Anchor(stage="full bloom"), lapses=None
    )
    task = tasks(Records(trees=(APPLE,)), green, on=date(2026, 3, 20))[0]
    assert "7 days before apple green tip, expected 25 Mar (20 Mar to 30 Mar)" in task.because[0]


def test_heat_moves_a_window_by_the_almanac_s_days() -> None:
    warm = template(opens=Anchor(after="set", heat=200))
    (task,) = tasks(orchard(graft()), warm, on=date(2026, 4, 25))
    assert task.window.opens == date(2026, 4, 1) + timedelta(days=20)


def test_rounds_follow_the_day_on_which_the_last_was_done() -> None:
    weekly = template(repeats=Repeats(every_days=21, times=3))
    tick = Tick("look/t1/2026", "g1", date(2026, 5, 2))
    found = tasks(orchard(graft(), ticks=(tick,)), weekly, on=date(2026, 5, 4))
    assert {task.key: task.window.opens for task in found} == {
        "look/t1/2026": date(2026, 4, 22),
        "look/t1/2026.2": date(2026, 5, 23),
        "look/t1/2026.3": date(2026, 6, 13),
    }


def test_a_round_that_was_let_pass_ends_when_the_next_one_opens() -> None:
    weekly = template(repeats=Repeats(every_days=21, times=3))
    found = tasks(orchard(graft()), weekly, on=date(2026, 5, 20))
    assert [task.state for task in found] == ["missed", "open", "coming"]


def test_varieties_of_planned_grafts_are_units_until_their_wood_is_cut() -> None:
    collect = template(
        id="cut-wood",
        each="variety",
        where=Where(state=("planned",)),
        opens=Anchor(date="12-15"),
        closes=Anchor(date="02-20"),
        lapses=Anchor(date="03-01"),
        outcomes=("cut", "from elsewhere"),
    )
    planned = (
        graft("g1", state="planned", set_on=None),
        graft("g2", state="planned", set_on=None, variety="Blue Lamp"),
    )
    bundle = Wood("w1", "Blue Lamp", "apple", 3, cut_on=date(2026, 1, 10))
    (task,) = tasks(orchard(*planned, wood=(bundle,)), collect, on=date(2026, 1, 20))
    assert {unit.id: unit.state for unit in task.units} == {"red-lamp.apple": "open", "blue-lamp.apple": "done"}


def test_a_unit_above_reach_brings_the_ladder_caution() -> None:
    (low,) = tasks(orchard(graft(height_m=1.9)), template(cautions=("knife",)), on=date(2026, 5, 1))
    (high,) = tasks(orchard(graft(height_m=2.1)), template(cautions=("knife",)), on=date(2026, 5, 1))
    assert "ladder" not in {caution.card for caution in low.cautions}
    assert [caution.card for caution in high.cautions][:2] == ["ladder", "power-lines"]


def test_an_open_job_waits_while_the_measured_day_is_too_cold() -> None:
    on = date(2026, 5, 1)
    cold = SteadyAlmanac({on: (-3.0, 1.0, "m")})
    guarded = template(weather=Weather(min_c=5))
    (task,) = tasks(orchard(graft()), guarded, on=on, almanac=cold)
    assert task.state == "waiting"


def test_a_day_filled_from_normals_never_holds_a_job_back() -> None:
    on = date(2026, 5, 1)
    (task,) = tasks(
        orchard(graft()), template(weather=Weather(min_c=5)), on=on, almanac=SteadyAlmanac({on: (-3, 1, "n")})
    )
    assert task.state == "open"


def test_minutes_count_the_setting_up_once_and_each_unit_to_do() -> None:
    timed = template(effort=Effort(setup_minutes=5, minutes_each=2))
    tick = Tick("look/t1/2026", "g1", date(2026, 4, 30))
    (task,) = tasks(orchard(graft("g1"), graft("g2"), graft("g3"), ticks=(tick,)), timed, on=date(2026, 5, 1))
    assert task.minutes == 9


def test_the_task_closes_with_its_most_pressing_unit() -> None:
    early, late = graft("g1", set_on=date(2026, 4, 1)), graft("g2", set_on=date(2026, 4, 20))
    (task,) = tasks(orchard(early, late), template(), on=date(2026, 5, 12))
    assert task.window.closes == date(2026, 5, 13)


def test_the_south_gets_the_same_job_six_months_later() -> None:
    dated = template(each="tree", opens=Anchor(date="02-01"), closes=Anchor(date="03-01"), lapses=None)
    south = plan(SiteLimits(south=True), Records(trees=(APPLE,)), SteadyAlmanac(), (dated,), date(2026, 8, 5))
    assert [(task.key, task.window.opens) for task in south.tasks] == [("look/t1/2026", date(2026, 8, 1))]


def test_what_still_lives_from_the_last_season_is_shown_in_the_new_one() -> None:
    autumn = template(each="tree", opens=Anchor(date="10-20"), closes=Anchor(date="10-30", days=10), lapses=None)
    found = tasks(Records(trees=(APPLE,)), autumn, on=date(2026, 11, 4))
    assert [task.key for task in found if task.state == "closing"] == ["look/t1/2026"]


def test_the_week_holds_what_opens_within_six_days_and_nothing_later() -> None:
    early = template(id="early", each="tree", opens=Anchor(date="05-06"), closes=Anchor(date="06-01"), lapses=None)
    later = template(id="later", each="tree", opens=Anchor(date="05-12"), closes=Anchor(date="06-01"), lapses=None)
    made = plan(SiteLimits(), Records(trees=(APPLE,)), SteadyAlmanac(), (early, later), date(2026, 5, 5))
    assert [task.template for task in week_of(made)] == ["early"]


def test_the_same_input_gives_the_same_plan() -> None:
    records = orchard(graft("g1"), graft("g2", tree="t2"))
    assert tasks(records, template(), on=date(2026, 5, 1)) == tasks(records, template(), on=date(2026, 5, 1))


def test_a_wrap_that_came_off_in_one_job_is_off_in_every_other() -> None:
    slit = template(id="slit", outcomes=("off", "not yet"))
    look = template(id="look", outcomes=("all well", "off"), repeats=Repeats(every_days=21, times=2))
    tick = Tick("slit/t1/2026", "g1", date(2026, 5, 2), "off")
    found = tasks(orchard(graft(), ticks=(tick,)), slit, look, on=date(2026, 5, 4))
    assert {task.key: task.state for task in found} == {
        "slit/t1/2026": "done",
        "look/t1/2026": "done",
        "look/t1/2026.2": "done",
    }


def test_work_at_the_ground_needs_no_ladder_however_high_the_crown() -> None:
    dug = template(each="tree", work_at="ground", opens=Anchor(date="04-20"), closes=Anchor(date="06-01"), lapses=None)
    (task,) = [task for task in tasks(orchard(graft(height_m=3.5)), dug, on=date(2026, 5, 1)) if task.subject == "t1"]
    assert "ladder" not in {caution.card for caution in task.cautions}


def test_no_round_opens_after_the_day_that_the_template_sets() -> None:
    weekly = template(repeats=Repeats(every_days=21, times=9, until=Anchor(date="06-10")))
    found = tasks(orchard(graft()), weekly, on=date(2026, 4, 25))
    # 22 April, 13 May, 3 June; the fourth would open on 24 June
    assert [task.window.opens for task in found] == [date(2026, 4, 22), date(2026, 5, 13), date(2026, 6, 3)]


def test_what_no_longer_matches_keeps_the_rounds_that_were_done_and_opens_no_further_ones() -> None:
    weekly = template(
        id="look", each="wood", opens=Anchor(after="cut", days=8), closes=Anchor(after="cut", days=14),
        lapses=None, repeats=Repeats(every_days=12, times=4),
    )  # fmt: skip
    used_up = Wood("w1", "Red Lamp", "apple", 0, cut_on=date(2026, 1, 10))
    tick = Tick("look/site/2026", "w1", date(2026, 1, 20))
    found = tasks(orchard(ticks=(tick,), wood=(used_up,)), weekly, on=date(2026, 2, 4))
    assert [(task.key, task.state) for task in found] == [("look/site/2026", "done")]


def test_a_job_of_wood_is_for_its_species_only_and_for_bundles_that_have_sticks() -> None:
    pears = template(
        each="wood", opens=Anchor(after="cut", days=8), closes=Anchor(after="cut", days=30), lapses=None,
        where=Where(species=("pear",)),
    )  # fmt: skip
    cut_on = date(2026, 1, 10)
    bundles = (
        Wood("w1", "Red Lamp", "apple", 3, cut_on=cut_on),
        Wood("w2", "Long Lamp", "pear", 3, cut_on=cut_on),
        Wood("w3", "Late Lamp", "pear", 0, cut_on=cut_on),
    )
    (task,) = tasks(orchard(wood=bundles), pears, on=date(2026, 1, 20))
    assert [unit.id for unit in task.units] == ["w2"]


def test_a_job_whose_sum_of_heat_comes_after_the_season_is_over_is_not_of_that_season() -> None:
    # Ten degree-days a day: 1 April and 2,000 is 18 October, and 2,200 is 7 November, in the next season.
    for heat, seasons in ((2000, ["look/site/2026"]), (2200, [])):
        late = template(each="site", opens=Anchor(date="04-01", heat=heat), closes=Anchor(date="11-30"), lapses=None)
        found = tasks(orchard(), late, on=date(2026, 10, 20))
        assert [task.key for task in found if task.season == 2026] == seasons


def test_a_job_of_last_season_that_lapses_in_this_one_is_told_of_as_missed() -> None:
    late = template(
        opens=Anchor(date="10-10"),
        best=None,
        closes=Anchor(date="10-10", days=63),
        lapses=Anchor(date="10-10", days=92),
    )
    (lapsed,) = (one for one in tasks(orchard(graft()), late, on=date(2026, 1, 12)) if one.key.endswith("/2025"))
    assert lapsed.state == "missed"
    assert in_sight(lapsed, date(2026, 1, 12))

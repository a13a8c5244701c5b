"""How long a job takes in the plan: by the size of its tree, by the person's notes, and what was spent today."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace
from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.planning.fit import fit_week
from tendwork.planning.planner import Planner, SiteLimits, plan
from tendwork.planning.results import Task
from tendwork.planning.vocabulary import Anchor, Effort, Repeats, Template
from tendwork.planning.windows import Openings

TODAY = date(2026, 6, 1)
PRUNE = Template(
    "prune",
    "Prune",
    "pruning",
    "tree",
    opens=Anchor(date="05-20"),
    closes=Anchor(date="06-20"),
    effort=Effort(setup_minutes=10, minutes_by_size=(15, 45, 120)),
    outcomes=("done", "not yet", "not needed"),
)
LABEL = replace(PRUNE, id="label", each="graft", effort=Effort(setup_minutes=4, minutes_each=2))
TREES = (
    Tree("t1", "Old one", "apple", "seedling", 1962),
    Tree("t2", "Gate", "apple", "MM106", 2011, height_m=3.6),
    Tree("t3", "Step-over", "apple", "M27", 2001),
    Tree("t4", "Nobody knows", "apple"),
)
GRAFTS = tuple(Graft(f"g{number}", "t2", "Red", state="bearing") for number in range(1, 5))


def tasks(*ticks: Tick, rules: tuple[Template, ...] = (PRUNE,), grafts: tuple[Graft, ...] = ()) -> dict[str, Task]:
    records = Records(trees=TREES, grafts=grafts, ticks=ticks)
    made = plan(SiteLimits(), records, SteadyAlmanac(), rules, TODAY)
    return {task.key: task for task in made.tasks}


def noted(tree: str, minutes: float, season: int = 2025, outcome: str = "done") -> Tick:
    return Tick(f"prune/{tree}/{season}", tree, date(season, 6, 2), outcome, minutes=minutes)


def minutes(*ticks: Tick) -> list[float]:
    return [tasks(*ticks)[f"prune/{tree.id}/2026"].minutes for tree in TREES]


def test_a_tree_takes_the_minutes_of_its_size_after_the_same_setting_up() -> None:
    assert minutes() == [10 + 120, 10 + 45, 10 + 15, 10 + 45]
    assert {task.setup_minutes for task in tasks().values()} == {10}


def test_why_says_of_what_size_the_tree_is_and_how_that_is_known() -> None:
    said = [tasks()[f"prune/{tree.id}/2026"].because[-1] for tree in TREES]
    assert said == [
        "Minutes of a large tree: on seedling it grows to about 9 m high unpruned (apples.extension.org, undated).",
        "Minutes of a middle-sized tree: it is 3.6 m high, as noted.",
        "Minutes of a small tree: on M27 it grows to 1.5 to 1.8 m high (Royal Horticultural Society, Rootstocks, "
        "undated).",
        "Minutes of a middle-sized tree: its height is not noted and its stock is not noted.",
    ]


def test_a_graft_takes_the_minutes_of_the_tree_that_it_is_on() -> None:
    by_size = replace(LABEL, effort=Effort(minutes_by_size=(1, 2, 5)))
    assert tasks(rules=(by_size,), grafts=GRAFTS)["label/t2/2026"].minutes == 4 * 2


def test_minutes_that_were_noted_move_the_job_of_that_tree_and_less_those_of_others() -> None:
    # Twice the usual 130 min: 2 ** (1 / 4) is 1.19, of the tree itself as of the others.
    twice = tasks(noted("t1", 260))
    assert twice["prune/t1/2026"].minutes == pytest.approx(1.19 * 130)
    assert twice["prune/t1/2026"].because[-1] == "Minutes by 1 note of your own: 1.19 times the usual."
    assert twice["prune/t3/2026"].minutes == pytest.approx(1.19 * 25)
    said = "Minutes by 1 note of your own, none of this tree: 1.19 times the usual."
    assert twice["prune/t3/2026"].because[-1] == said
    both = tasks(noted("t1", 260), noted("t2", 55))
    assert both["prune/t1/2026"].minutes > both["prune/t3/2026"].minutes / 25 * 130
    assert "by 2 notes of your own, 1 of this tree:" in both["prune/t1/2026"].because[-1]


def test_minutes_as_usual_leave_the_rule_as_it_is() -> None:
    same = tasks(noted("t1", 130))
    assert same["prune/t1/2026"].minutes == 130
    assert same["prune/t1/2026"].because[-1] == "Minutes by 1 note of your own: as usual."


def test_another_rule_learns_nothing_from_it() -> None:
    other = replace(PRUNE, id="thin")
    assert tasks(noted("t1", 500), rules=(PRUNE, other))["thin/t1/2026"].minutes == 130


@pytest.mark.parametrize("outcome", ["not yet", "skipped", "not needed", "not mine: arborist"])
def test_minutes_of_what_was_not_done_count_for_nothing(outcome: str) -> None:
    assert minutes(noted("t1", 500, outcome=outcome)) == minutes()


def test_ticks_that_are_undone_count_for_nothing() -> None:
    one = noted("t1", 500)
    assert minutes(one, replace(one, undone=True)) == minutes()


@pytest.mark.parametrize("key", ["prune", "prune/t1", "gone/t1/2025", "prune/t99/2025", "prune/t1/late", "a/b/c/2025"])
def test_ticks_that_no_job_answers_to_count_for_nothing(key: str) -> None:
    assert minutes(Tick(key, "t1", date(2025, 6, 2), minutes=900)) == minutes()


def test_units_ticked_on_one_day_are_one_note_with_one_setting_up() -> None:
    """Three labels take 4 + 3 x 2 minutes; 20 are twice that, however they are shared and in whatever order."""
    for shares in ((10, 5, 5), (6.67, 6.67, 6.66), (1, 1, 18)):
        ticks = [
            Tick("label/t2/2025", f"g{place}", date(2025, 6, 2), minutes=share) for place, share in enumerate(shares, 1)
        ]
        for held in (ticks, ticks[::-1]):
            task = tasks(*held, rules=(LABEL,), grafts=GRAFTS)["label/t2/2026"]
            assert task.minutes == pytest.approx(1.19 * (4 + 4 * 2))
            assert "Minutes by 1 note of your own: 1.19 times" in task.because[-1]


def test_units_of_several_rounds_ticked_in_one_walk_are_one_note() -> None:
    again = replace(LABEL, repeats=Repeats(7, 3))
    ticks = [
        Tick("label/t2/2025", "g1", date(2025, 6, 2), minutes=10),
        Tick("label/t2/2025.2", "g2", date(2025, 6, 2), minutes=6),
    ]
    task = tasks(*ticks, rules=(again,), grafts=GRAFTS)["label/t2/2026"]
    assert "Minutes by 1 note of your own: 1.19 times" in task.because[-1]


def test_notes_of_one_tree_reach_the_tasks_of_others_that_are_taken_over_from_the_plan_before() -> None:
    almanac = SteadyAlmanac()
    planner = Planner(almanac, Openings(almanac))
    records = Records(trees=TREES)
    before = planner.plan(SiteLimits(), records, (PRUNE,), TODAY)
    after_it = replace(records, ticks=(noted("t1", 260),))
    after = planner.plan(SiteLimits(), after_it, (PRUNE,), TODAY)
    assert after.tasks != before.tasks
    assert after.tasks == plan(SiteLimits(), after_it, almanac, (PRUNE,), TODAY).tasks
    assert planner.plan(SiteLimits(), records, (PRUNE,), TODAY).tasks == before.tasks


def test_the_week_is_fitted_by_these_minutes() -> None:
    records = Records(trees=TREES[:1], ticks=(noted("t1", 260),))
    week = fit_week(plan(SiteLimits(minutes_by_weekday=(200,) * 7), records, SteadyAlmanac(), (PRUNE,), TODAY))
    (task,) = week.tasks
    assert [whole for _, whole in task.days] == [pytest.approx(task.minutes)] == [pytest.approx(1.19 * 130)]


def spent(*ticks: Tick) -> float:
    records = Records(trees=TREES, grafts=GRAFTS, ticks=ticks)
    week = fit_week(plan(SiteLimits(), records, SteadyAlmanac(), (PRUNE, LABEL), TODAY))
    return week.days[0].spent


def test_what_was_done_today_took_the_minutes_that_were_noted_else_those_of_such_a_job() -> None:
    assert spent() == 0
    assert spent(Tick("prune/t2/2026", "t2", TODAY)) == 55
    assert spent(Tick("prune/t2/2026", "t2", TODAY, minutes=80)) == 80
    assert spent(Tick("prune/t2/2026", "t2", TODAY, minutes=80), Tick("prune/t3/2026", "t3", TODAY)) > 80 + 25
    labels = (Tick("label/t2/2026", f"g{number}", TODAY, minutes=4) for number in (1, 2, 3))
    assert spent(*labels) == 12

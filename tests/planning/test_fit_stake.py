"""A week that is too full leaves out what has the least at stake, and says so."""

from __future__ import annotations

from examples import examples
from fitting import TODAY, hours, plan_of, task, weeks
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tendwork.planning.fit import fit_week
from tendwork.planning.results import FittedWeek, Plan
from tendwork.planning.vocabulary import STAKES, Stake


def short(week: FittedWeek) -> list[str]:
    return [entry.task.partition("/")[0] for entry in week.short]


def planned_units(week: FittedWeek, name: str) -> int:
    (held,) = (held for held in week.tasks if held.template == name)
    return sum(unit.planned is not None for unit in held.units)


def test_of_two_that_cannot_both_be_in_time_the_one_with_less_at_stake_comes_short_and_says_so() -> None:
    jobs = (
        task("notebook", closes=0, each=20, stake="little"),
        task("wood", closes=0, each=20, stake="year"),
        task("tape", closes=0, each=20, stake="graft"),
        task("bridge", closes=0, each=20, stake="tree"),
    )
    lacking = "20 more minutes on 4 May would do."
    for minutes, words in (
        (60, [f"{lacking} Left out: little is lost by it."]),
        (40, [f"{lacking} This year's chance is lost by it.", f"{lacking} Left out: little is lost by it."]),
        (
            0,
            [
                f"{lacking} A tree is at stake: find the time.",
                f"{lacking} A graft is at stake: find the time.",
                f"{lacking} This year's chance is lost by it.",
                f"{lacking} Left out: little is lost by it.",
            ],
        ),
    ):
        week = fit_week(plan_of(*jobs, days=hours(minutes)))
        assert [entry.words for entry in week.short] == words


def test_a_long_job_with_a_graft_at_stake_goes_before_any_number_of_short_ones_with_little() -> None:
    small = [task(f"taste{number}", closes=0, each=10, stake="little") for number in range(3)]
    week = fit_week(plan_of(*small, task("tape", closes=0, each=30, stake="graft"), days=hours(30)))
    assert short(week) == ["taste0", "taste1", "taste2"]


def test_of_the_same_stake_the_fewest_come_short() -> None:
    small = [task(f"tape{number}", closes=0, each=10, stake="graft") for number in range(3)]
    week = fit_week(plan_of(task("tape", closes=0, each=30, stake="graft"), *small, days=hours(30)))
    assert short(week) == ["tape"]


def test_a_grave_job_that_does_not_fit_whole_has_what_time_there_is_before_one_with_little_at_stake() -> None:
    notebook = task("notebook", closes=0, each=20, stake="little")
    tape = task("tape", closes=0, units=6, each=10, stake="graft")
    week = fit_week(plan_of(notebook, tape, days=hours(40)))
    assert (planned_units(week, "tape"), planned_units(week, "notebook")) == (4, 0)
    assert short(week) == ["tape", "notebook"]


def test_what_is_late_with_a_graft_at_stake_presses_this_week_though_it_lapses_later() -> None:
    tape = task("tape", opens=-120, closes=-80, lapses=20, each=20, stake="graft")
    notebook = task("notebook", closes=0, each=20, stake="little")
    assert short(fit_week(plan_of(notebook, tape, days=hours(20)))) == ["notebook"]
    perch = replace(tape, stake="year")
    assert short(fit_week(plan_of(notebook, perch, days=hours(20)))) == []


def test_what_a_kept_placing_had_in_time_gives_way_to_what_has_more_at_stake() -> None:
    notebook, tape = (task(name, closes=0, each=20, stake=stake) for name, stake in (("a", "little"), ("b", "graft")))  # type: ignore[arg-type]
    week = fit_week(plan_of(notebook, tape, days=hours(20)), kept={"a/t/2026": {"a0": TODAY}})
    assert short(week) == ["a"]


def test_a_stake_that_nobody_says_is_given_no_words_and_goes_before_little() -> None:
    jobs = (task("little", closes=0, each=20, stake="little"), task("own", closes=0, each=20))
    assert short(fit_week(plan_of(*jobs, days=hours(20)))) == ["little"]
    (entry,) = fit_week(plan_of(jobs[1], days=hours(0, 20))).short
    assert entry.words == "20 more minutes on 4 May would do."


def test_what_has_less_at_stake_is_placed_only_once_all_that_has_more_was_exchanged() -> None:
    """Whichever of the two trees comes short, it is one: the graft has only the minute that they leave."""
    days = hours(0, 0, 1, 2)
    short_one = task("b", closes=2, each=1, stake="tree", unsuited=(0, 1))
    long_one = task("c", closes=3, units=3, each=1, stake="tree", unsuited=(0, 1))
    barred = task("a", closes=0, each=1, units=2, stake="tree", unsuited=(0,))
    both = replace(barred, units=(*barred.units, *short_one.units))
    graft = task("d", closes=3, each=1, stake="graft", unsuited=(0, 1, 2))
    assert short(fit_week(plan_of(both, long_one, days=days))) == ["a"]
    assert short(fit_week(plan_of(both, graft, long_one, days=days))) == ["a", "d"]


@examples(80)
@given(weeks(most_tasks=6, most_days=4, least_each=1), st.lists(st.sampled_from(STAKES), min_size=6, max_size=6))
def test_nothing_with_less_at_stake_makes_the_worst_come_short(plan: Plan, stakes: list[Stake]) -> None:
    tasks = tuple(replace(held, stake=stake) for held, stake in zip(plan.tasks, stakes, strict=False))
    worst = min((STAKES.index(held.stake) for held in tasks if held.stake), default=0)
    alone = tuple(held for held in tasks if held.stake == STAKES[worst])
    names = {held.key for held in alone}
    together = [entry for entry in fit_week(replace(plan, tasks=tasks)).short if entry.task in names]
    assert len(together) <= len(fit_week(replace(plan, tasks=alone)).short)

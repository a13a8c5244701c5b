"""What every fit keeps to, and which of several fits is chosen."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import pytest
from examples import examples
from fitting import LAST, TODAY, day, hours, plan_of, task, task_of, unit, weeks
from hypothesis import given
from msgspec.structs import replace

from tendwork.planning.fit import fit_week, placing_of
from tendwork.planning.fit_days import week_days
from tendwork.planning.fit_pieces import Wishes
from tendwork.planning.results import DayHours, FittedWeek, Plan, Task

BIG = weeks(most_tasks=7, most_days=7)


def days_of(week: FittedWeek) -> dict[str, list[int]]:
    return {held.template: [(when - TODAY).days for when, _ in held.days] for held in week.tasks}


@examples(60)
@given(BIG)
def test_no_day_has_more_work_than_minutes_nor_more_ladder_work_than_light(plan: Plan) -> None:
    used: Counter[date] = Counter()
    ladder: Counter[date] = Counter()
    for held in fit_week(plan).tasks:
        dated = [planned for planned in held.units if planned.planned]
        for when in {planned.planned for planned in dated}:
            used[when] += held.setup_minutes
        for planned in dated:
            used[planned.planned] += held.minutes_each
            ladder[planned.planned] += held.minutes_each if planned.above_reach else 0
    for given_day in plan.days:
        assert used[given_day.day] <= given_day.minutes
        assert ladder[given_day.day] <= given_day.ladder_minutes


@examples(60)
@given(BIG)
def test_no_unit_is_planned_before_it_opens_after_it_lapses_or_in_weather_that_is_against_it(plan: Plan) -> None:
    for held in fit_week(plan).tasks:
        for planned in (planned for planned in held.units if planned.planned):
            assert max(planned.window.opens, TODAY) <= planned.planned <= min(planned.window.lapses, LAST)
            assert planned.planned not in held.unsuited


@examples(60)
@given(BIG)
def test_the_minutes_of_the_tasks_are_those_of_their_units_and_of_the_days(plan: Plan) -> None:
    week = fit_week(plan)
    by_day: Counter[date] = Counter()
    for held in week.tasks:
        units = Counter(planned.planned for planned in held.units if planned.planned)
        assert dict(held.days) == {
            when: held.setup_minutes + count * held.minutes_each for when, count in sorted(units.items())
        }
        for when, minutes in held.days:
            by_day[when] += minutes
    assert [given_day.used for given_day in week.days] == [by_day[given_day.day] for given_day in week.days]


@examples(60)
@given(BIG)
def test_a_placing_that_is_kept_does_not_move(plan: Plan) -> None:
    week = fit_week(plan)
    assert fit_week(plan, kept=placing_of(week.tasks)) == week


def with_the_minutes_named(plan: Plan, week: FittedWeek) -> tuple[DayHours, ...]:
    wanted = {f"{when.day} {when:%b}": 0 for when in (given_day.day for given_day in plan.days)}
    for entry in week.short:
        for wish in entry.words.removesuffix(" would do.").split(" and "):
            if " more minute" in wish:
                wanted[wish.rpartition(" on ")[2].partition(" would")[0]] += int(wish.split()[0])
    return tuple(
        DayHours(held.day, held.minutes + extra, held.ladder_minutes + extra)
        for held, extra in zip(plan.days, wanted.values(), strict=True)
    )


@examples(60)
@given(BIG)
def test_the_minutes_named_on_the_days_named_let_everything_fit(plan: Plan) -> None:
    week = fit_week(plan)
    more = with_the_minutes_named(plan, week)
    barred = {entry.task for entry in week.short if "No day until" in entry.words}
    assert {entry.task for entry in fit_week(plan, more, placing_of(week.tasks)).short} == barred


def test_the_minutes_named_do_where_only_one_placing_has_room_for_all() -> None:
    """With them 4 May has 9, 5 May 10 and 7 May 5 minutes: all of the first two are needed, and 4.5 of the last."""
    half_done = task_of("a", (unit("a0", 0, 3, 3, 0, True), unit("a1", 0, 3, 3, 0, False)), 4.5, 0, (0, 2))
    high = task("b", closes=1, each=4.5, setup=1, ladders=1)
    two = task_of("c", (unit("c0", 0, 1, 1, 0, True), unit("c1", 0, 1, 1, 0, False)), 4.5, 0)
    plan = plan_of(half_done, high, two, days=hours(0, 5, 0, 1))
    week = fit_week(plan)
    assert len(week.short) == 3
    more = with_the_minutes_named(plan, week)
    assert [held.minutes for held in more[:4]] == [9, 10, 0, 5]
    assert not fit_week(plan, more, placing_of(week.tasks)).short


def test_the_order_of_sets_in_this_run_does_not_show() -> None:
    probe = """
from fitting import hours, plan_of, task
from tendwork.planning.fit import fit_week
tools = (("saw", "gloves", "twine"), ("snips", "canes"), ("canes", "snips"))
tasks = [task(str(n), units=3, best=n % 5, each=4, setup=2, subject=f"t{n % 4}", tools=tools[n % 3]) for n in range(12)]
print([(held.key, held.days) for held in fit_week(plan_of(*tasks, days=hours(*[30] * 7))).tasks])
"""
    here = Path(__file__).parent
    outputs = set()
    for seed in ("1", "2", "3"):
        environment = os.environ | {
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": os.pathsep.join((str(here), str(here.parents[1]))),
        }
        outputs.add(
            subprocess.run([sys.executable, "-c", probe], env=environment, capture_output=True, check=True).stdout
        )
    assert len(outputs) == 1


def test_each_task_is_near_its_best_day() -> None:
    plan = plan_of(task("a", best=4), task("b", best=1), task("c", opens=-3, best=-2), days=hours(*[60] * 7))
    assert days_of(fit_week(plan)) == {"a": [4], "b": [1], "c": [0]}


def test_work_on_one_tree_falls_on_one_day() -> None:
    plan = plan_of(
        task("a", best=3, subject="t1"), task("b", best=5, subject="t1"), task("c", best=5), days=hours(*[60] * 7)
    )
    found = days_of(fit_week(plan))
    assert found["a"] == found["b"]
    assert found["c"] == [5]


def test_work_with_one_kit_falls_on_one_day_if_it_is_no_farther_from_the_best() -> None:
    plan = plan_of(
        task("a", best=3, tools=("saw",)),
        task("b", best=3, unsuited=(3,), tools=("knife",)),
        task("c", best=4, unsuited=(4,), tools=("knife", "tape")),
        task("d", best=2, unsuited=(2,), tools=("saw",)),
        days=hours(*[60] * 7),
    )
    assert days_of(fit_week(plan))["d"] == days_of(fit_week(plan))["a"]


def test_a_task_that_fits_on_one_day_is_not_split() -> None:
    week = fit_week(plan_of(task("a", units=4, each=10, best=0), days=hours(30, 30, 30, 30, 30, 240, 120)))
    assert days_of(week) == {"a": [5]}


def test_a_longer_task_is_split_over_as_few_days_as_can_be() -> None:
    week = fit_week(plan_of(task("a", units=6, each=10), days=hours(30, 10, 10, 30, 20)))
    assert week.tasks[0].days == ((day(0), 30), (day(3), 30))


def test_pressing_work_takes_the_day_that_work_with_time_would_like() -> None:
    plan = plan_of(task("calm", closes=20, best=1, each=30), task("now", closes=1, each=30), days=hours(0, 30, 30))
    assert days_of(fit_week(plan)) == {"calm": [2], "now": [1]}


def test_late_work_goes_before_open_work_that_has_time() -> None:
    plan = plan_of(
        task("open", closes=9, each=30), task("late", opens=-9, closes=-1, lapses=20, each=30), days=hours(30)
    )
    assert days_of(fit_week(plan)) == {"open": [], "late": [0]}


def test_work_that_is_best_after_the_week_waits_while_the_next_week_has_room_for_it() -> None:
    waits = task("a", closes=13, best=10, each=60)
    assert days_of(fit_week(plan_of(waits, days=hours(60)))) == {"a": []}


def test_work_that_is_best_after_the_week_is_drawn_into_it_if_the_next_week_is_too_full() -> None:
    waits = task("a", closes=13, best=10, each=60)
    comes = task("b", opens=8, closes=12, each=30)
    assert days_of(fit_week(plan_of(waits, comes, days=hours(60)))) == {"a": [0]}


def test_ladder_work_is_not_done_without_light_but_work_from_the_ground_is() -> None:
    plan = plan_of(task("high", ladders=1), task("low"), days=hours(60, 60, ladder=(0, 60)))
    assert days_of(fit_week(plan)) == {"high": [1], "low": [0]}


def test_of_one_task_the_units_at_the_ground_may_be_done_in_the_dark() -> None:
    plan = plan_of(task("a", units=2, ladders=1, each=20), days=hours(20, 20, ladder=(0, 20)))
    planned = {unit.id: unit.planned for unit in fit_week(plan).tasks[0].units}
    assert planned == {"a0": day(1), "a1": day(0)}


def test_setting_up_is_work_on_the_ground() -> None:
    plan = plan_of(task("a", ladders=1, each=20, setup=10), days=hours(30, ladder=(20,)))
    assert days_of(fit_week(plan)) == {"a": [0]}


def test_weather_that_is_against_a_task_moves_it_to_another_day() -> None:
    assert days_of(fit_week(plan_of(task("a", unsuited=(0, 1)), days=hours(60, 60, 60)))) == {"a": [2]}


def test_the_day_that_the_person_chose_goes_before_best_day_and_weather() -> None:
    plan = plan_of(task("a", best=1, closes=30, unsuited=(3,)), days=hours(*[60] * 7))
    assert days_of(fit_week(plan, wishes=Wishes(chosen={"a/t/2026": day(3)}))) == {"a": [3]}


def test_a_chosen_day_outside_the_window_is_not_taken() -> None:
    plan = plan_of(task("a", opens=2, closes=6), days=hours(*[60] * 7))
    assert days_of(fit_week(plan, wishes=Wishes(chosen={"a/t/2026": day(1)}))) == {"a": [2]}


def test_a_task_put_off_beyond_the_week_takes_no_time_and_is_not_short() -> None:
    plan = plan_of(task("a", closes=3), days=hours(60))
    for wishes in (Wishes(chosen={"a/t/2026": day(7)}), Wishes(snoozed={"a/t/2026": day(7)})):
        week = fit_week(plan, wishes=wishes)
        assert (days_of(week), week.short) == ({"a": []}, ())


def test_a_snoozed_task_comes_on_the_day_on_which_it_wakes() -> None:
    plan = plan_of(task("a", best=0), days=hours(*[60] * 7))
    assert days_of(fit_week(plan, wishes=Wishes(snoozed={"a/t/2026": day(2)}))) == {"a": [2]}


@pytest.mark.parametrize("state", ["done", "skipped", "missed"])
def test_what_is_done_skipped_or_missed_takes_no_time(state: str) -> None:
    week = fit_week(plan_of(task("a", state=state), days=hours(60)))
    assert [given_day.used for given_day in week.days] == [0] * 7


def test_what_was_ticked_today_has_used_today_s_minutes() -> None:
    done = (replace(held, state="done", done_on=TODAY) for held in task("a", units=2).units)
    ticked = task_of("a", tuple(done), 10, 5)
    week = fit_week(plan_of(ticked, task("b", each=10, best=0), days=hours(30, 30)))
    assert (week.days[0].spent, week.days[0].used, week.days[0].free) == (25, 0, 5)
    assert days_of(week)["b"] == [1]


def test_a_new_task_moves_nothing_if_it_finds_room() -> None:
    old = [task(str(number), best=number, closes=6, units=2, each=5, subject="t1") for number in range(5)]
    had = fit_week(plan_of(*old, days=hours(*[30] * 7)))
    new = task("new", closes=2, each=8, subject="t1")
    now = fit_week(plan_of(new, *old, days=hours(*[30] * 7)), kept=placing_of(had.tasks))
    assert now.tasks[1:] == had.tasks


def test_what_was_kept_stays_where_it_was_even_if_another_day_would_be_nearer_to_the_best() -> None:
    pressing, calm = task("now", best=0), task("calm", closes=20, best=0)
    kept = {"now/t/2026": {"now0": day(3)}, "calm/t/2026": {"calm0": day(4)}}
    assert days_of(fit_week(plan_of(pressing, calm, days=hours(*[60] * 7)), kept=kept)) == {"now": [3], "calm": [4]}


def test_each_unit_that_was_kept_stays_on_its_own_day() -> None:
    kept = {"a/t/2026": {"a0": day(4), "a1": day(2), "a2": day(4)}}
    (held,) = fit_week(plan_of(task("a", units=3), days=hours(*[60] * 7)), kept=kept).tasks
    assert {unit.id: unit.planned for unit in held.units} == kept["a/t/2026"]


def test_a_kept_day_on_which_the_weather_is_now_against_it_is_given_up() -> None:
    week = fit_week(plan_of(task("a", unsuited=(3,)), days=hours(60)), kept={"a/t/2026": {"a0": day(3)}})
    assert days_of(week) == {"a": [0]}


def test_room_that_gathering_makes_is_given_to_what_had_none() -> None:
    plan = plan_of(
        task("moves", closes=8, best=1, each=20, subject="t1"),
        task("waits", closes=9, each=20, unsuited=(0, 2, 3, 4, 5, 6)),
        task("draws", closes=10, each=10, unsuited=(1, 2, 3, 4, 5, 6), subject="t1"),
        days=hours(30, 30),
    )
    assert days_of(fit_week(plan)) == {"moves": [0], "waits": [1], "draws": [0]}


def test_what_comes_short_is_still_done_before_it_lapses_if_there_is_time() -> None:
    week = fit_week(plan_of(task("a", closes=0, lapses=3), days=hours(0, 0, 60)))
    assert (days_of(week), len(week.short)) == ({"a": [2]}, 1)


def test_the_units_that_are_still_to_do_stay_where_they_were_after_a_tick() -> None:
    whole = task("a", units=4, each=10)
    had = fit_week(plan_of(whole, days=hours(20, 20)))
    done = replace(whole.units[0], state="done", done_on=TODAY)
    ticked = task_of("a", (done, *whole.units[1:]), 10, 0)
    now = fit_week(plan_of(ticked, days=hours(20, 20)), kept=placing_of(had.tasks))
    assert [held.planned for held in now.tasks[0].units[1:]] == [held.planned for held in had.tasks[0].units[1:]]


def test_yesterday_s_plan_of_a_day_that_is_past_is_planned_again() -> None:
    kept = {"a/t/2026": {"a0": TODAY - timedelta(days=1)}}
    assert days_of(fit_week(plan_of(task("a"), days=hours(60)), kept=kept)) == {"a": [0]}


@pytest.mark.parametrize(
    ("work", "given_hours", "words"),
    [
        (task("a", each=40), hours(25), "15 more minutes on 4 May would do."),
        (task("a", each=26), hours(25), "1 more minute on 4 May would do."),
        (
            task("a", ladders=1, each=20),
            hours(25, ladder=(0,)),
            "20 more minutes fit for the ladder on 4 May would do.",
        ),
        (task("a", closes=1, unsuited=(0, 1)), hours(60, 60), "No day until 5 May has the weather that it needs."),
    ],
)
def test_what_would_do_for_a_short_task_is_said_in_one_sentence(
    work: Task, given_hours: tuple[DayHours, ...], words: str
) -> None:
    assert [entry.words for entry in fit_week(plan_of(work, days=given_hours)).short] == [words]


def test_two_short_tasks_do_not_count_on_the_same_minutes() -> None:
    week = fit_week(plan_of(task("a", closes=0, each=10), task("b", closes=0, each=10), days=hours(5)))
    assert [entry.minutes for entry in week.short] == [5, 10]


def test_setting_up_is_lacking_once_for_ladder_and_ground() -> None:
    week = fit_week(plan_of(task("a", closes=0, units=2, ladders=1, each=10, setup=5), days=hours()))
    assert [entry.minutes for entry in week.short] == [25]


def test_a_week_without_hours_of_its_own_has_the_usual_ones() -> None:
    assert [held.minutes for held in fit_week(plan_of()).days] == [30, 30, 30, 30, 30, 240, 120]


def test_short_hours_of_a_weekday_are_taken_after_work_and_have_light_only_until_sunset() -> None:
    # The sun sets before five in December at 52 degrees north, and after eight in June.
    winter, summer = week_days(date(2026, 12, 14), latitude_deg=52.0), week_days(date(2026, 6, 15), latitude_deg=52.0)
    assert [held.ladder_minutes for held in winter] == [0, 0, 0, 0, 0, 240, 120]
    assert [held.ladder_minutes for held in summer] == [30, 30, 30, 30, 30, 240, 120]


def test_long_hours_of_a_weekday_are_taken_by_day() -> None:
    winter = week_days(date(2026, 12, 14), (180,) * 7, latitude_deg=52.0)
    assert [held.ladder_minutes for held in winter] == [180] * 7


def test_no_more_of_a_day_is_light_than_the_sun_gives() -> None:
    (first, *_) = week_days(date(2026, 12, 14), (600,) * 7, latitude_deg=52.0)
    assert 7 * 60 < first.ladder_minutes < 8 * 60  # the shortest days at 52 degrees have some seven and a half hours


def test_in_polar_night_no_minute_is_for_the_ladder() -> None:
    assert {held.ladder_minutes for held in week_days(date(2026, 12, 14), latitude_deg=75.0)} == {0}


def test_on_a_windy_day_no_minute_is_for_the_ladder() -> None:
    windy = week_days(TODAY, windy={day(1)})
    assert [held.ladder_minutes for held in windy] == [30, 0, 30, 30, 30, 240, 120]


def test_the_first_task_to_open_after_the_week_follows_it() -> None:
    plan = plan_of(task("a"), task("b", opens=20, closes=30), task("c", opens=9, closes=30), days=hours(60))
    following = fit_week(plan).following
    assert following is not None
    assert following.template == "c"

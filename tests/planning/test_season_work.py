"""Jobs and hours of a season: counts and sums worked by hand, and that they add up."""

from __future__ import annotations

import itertools
from datetime import date, timedelta

from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from invented_jobs import task_with
from msgspec.structs import replace

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Records, Tick, Tree
from tendwork.planning.results import TASK_STATES, Task, Unit, Window
from tendwork.planning.season_work import Jobs, MissedJob, quarter_days, season_work

SEASON = Season(2026)
OPEN = Window(date(2026, 3, 1), date(2026, 3, 10), date(2026, 3, 20), date(2026, 4, 1))
ON_TIME, LATE = date(2026, 3, 20), date(2026, 3, 21)
TREES = (Tree("t1", "Barn apple", "apple"), Tree("t2", "Path pear", "pear"))


def unit(name: str, state: str, done_on: date | None = None) -> Unit:
    return Unit(name, f"Variety {name}", state, OPEN, done_on=done_on)  # type: ignore[arg-type]


def job(name: str, *units: Unit, **more: object) -> Task:
    made = task_with(name, units[0].state, "graft", units, window=OPEN)
    return replace(made, **{"season": 2026, "template": name, "subject": "t1", **more})  # type: ignore[arg-type]


def test_each_job_is_counted_once_and_late_is_what_was_done_after_it_closed() -> None:
    jobs = (
        job("on-time", unit("g1", "done", ON_TIME)),
        job("late", unit("g1", "done", ON_TIME), unit("g2", "done", LATE)),
        job("skipped", unit("g1", "skipped", LATE)),
        job("half", unit("g1", "done", ON_TIME), unit("g2", "missed"), stake="graft"),
        job("missed", unit("g1", "missed"), stake="little"),
        job("open", unit("g1", "open"), unit("g2", "done", ON_TIME)),
        job("other-year", unit("g1", "done", LATE), season=2025),
    )
    counted = season_work(Records(TREES), jobs, SEASON).jobs
    assert counted == Jobs(done=2, late=1, skipped=1, missed=2, grave=1, partly=1, still_to_do=1)
    assert counted.total == 6


def test_what_was_missed_with_a_tree_or_a_graft_at_stake_is_named_by_rule_the_tree_first() -> None:
    jobs = (
        job(
            "wrap",
            unit("g1", "missed"),
            unit("g2", "done", ON_TIME),
            stake="graft",
            loss="the tape cuts in",
            title="Wraps",
        ),
        job("wrap", unit("g3", "missed"), stake="graft", loss="the tape cuts in", title="Wraps", subject="t2"),
        job("guard", unit("t1", "missed"), stake="tree", loss="voles gnaw it", title="Guards"),
        job("note", unit("g1", "missed"), stake="year", title="Notes"),
        job("unsaid", unit("g1", "missed"), stake=None, title="Unsaid"),
    )
    assert season_work(Records(TREES), jobs, SEASON).missed == (
        MissedJob("guard", "Guards", "tree", "voles gnaw it", 1, 1, ("Barn apple",)),
        MissedJob("wrap", "Wraps", "graft", "the tape cuts in", 2, 3, ("Barn apple", "Path pear")),
    )


def test_of_a_repeating_job_each_unit_counts_by_its_last_round_alone() -> None:
    def turn(number: int, **states: str) -> Task:
        units = (unit(name, state, ON_TIME if state == "done" else None) for name, state in states.items())
        return job("wraps", *units, stake="graft", loss="the tape cuts in", title="Wraps", round=number, rounds=3)

    rounds = (turn(1, g1="missed", g2="missed", g3="missed"), turn(2, g1="done", g2="missed"), turn(3, g2="missed"))
    found = season_work(Records(TREES), rounds, SEASON)
    # g1 was done in the second round; g2's last round was missed, and so was g3's only one
    assert found.missed == (MissedJob("wraps", "Wraps", "graft", "the tape cuts in", 2, 3, ("Barn apple",)),)
    assert (found.jobs.missed, found.jobs.grave, found.jobs.partly) == (3, 2, 1)


def ticked(task: Task, name: str, day: date, minutes: float | None = None, outcome: str = "done") -> Tick:
    return Tick(task.key, name, day, outcome, minutes=minutes)


def test_noted_minutes_stand_beside_planned_ones_each_in_its_quarter() -> None:
    prune = replace(
        job("prune", unit("t1", "done"), unit("t2", "done")), key="prune/t1/2026", setup_minutes=10, minutes_each=30
    )
    tie = replace(job("tie", unit("g1", "done")), key="tie/t1/2026", setup_minutes=5, minutes_each=3)
    ticks = (
        ticked(prune, "t1", date(2025, 12, 5)),  # 10 to set up and 30
        ticked(prune, "t2", date(2025, 12, 6)),  # on another day, so 10 and 30 again
        ticked(tie, "g1", date(2026, 2, 10), 12),
        ticked(tie, "g2", date(2026, 2, 10)),  # the same walk: its setting up is in the note, so 3
        ticked(tie, "g3", date(2026, 8, 1), outcome="not needed"),
        ticked(tie, "g4", date(2026, 8, 1), outcome="skipped"),
        Tick("gone/t1/2026", "t1", date(2026, 5, 1)),
        Tick("gone/t2/2026", "t2", date(2026, 5, 1), minutes=7),
        Tick("tie/t1/2025", "g1", date(2026, 5, 1), minutes=99),
        Tick("prune/t1/2026", "*", date(2026, 5, 1), "put off", "2026-06-01"),
    )
    hours = season_work(Records(TREES, ticks=ticks), (prune, tie), SEASON).hours
    assert [(one.noted, one.planned, one.unknown) for one in hours] == [(0, 80, 0), (12, 3, 0), (7, 0, 1), (0, 0, 0)]


def test_a_tick_that_was_undone_takes_no_hours() -> None:
    tie = replace(job("tie", unit("g1", "open")), key="tie/t1/2026", setup_minutes=5, minutes_each=3)
    tick = ticked(tie, "g1", date(2026, 2, 10), 12)
    hours = season_work(Records(TREES, ticks=(tick, replace(tick, undone=True))), (tie,), SEASON).hours
    assert not any(one.noted or one.planned for one in hours)


def test_ticks_of_the_season_are_counted_those_that_were_undone_not() -> None:
    ticks = (Tick("a/t1/2026", "g1", ON_TIME), Tick("b/t1/2025", "g1", ON_TIME), Tick("c/t1/2026.2", "g1", LATE))
    assert season_work(Records(TREES, ticks=ticks), (), SEASON).ticks == 2
    assert season_work(Records(TREES, ticks=(*ticks, replace(ticks[0], undone=True))), (), SEASON).ticks == 1


def test_the_quarters_of_a_season_are_all_its_days_in_north_and_south() -> None:
    assert quarter_days(SEASON)[0] == (date(2025, 11, 1), date(2026, 1, 31))
    assert quarter_days(Season(2026, south=True))[1] == (date(2026, 8, 1), date(2026, 10, 31))
    for season in (SEASON, Season(2024), Season(2023, south=True)):
        bounds = quarter_days(season)
        assert (bounds[0][0], bounds[-1][1]) == (season.start, season.end)
        assert all(last + timedelta(days=1) == first for (_, last), (first, _) in itertools.pairwise(bounds))


UNITS = st.tuples(st.sampled_from(TASK_STATES), st.sampled_from([None, ON_TIME, LATE]))
MINUTES = st.one_of(st.none(), st.floats(0, 500))
TICKED = st.lists(st.tuples(st.integers(0, 3), st.integers(0, 400), MINUTES), max_size=12)


@given(st.lists(st.lists(UNITS, min_size=1, max_size=4), max_size=8))
@examples(100)
def test_every_job_is_done_skipped_missed_or_still_to_do(rows: list[list[tuple[str, date | None]]]) -> None:
    jobs = [
        job(f"j{number}", *(unit(f"g{at}", state, day) for at, (state, day) in enumerate(units)))
        for number, units in enumerate(rows)
    ]
    counted = season_work(Records(TREES), jobs, SEASON).jobs
    assert counted.total == len(rows)
    assert counted.late <= counted.done
    assert max(counted.grave, counted.partly) <= counted.missed


@given(TICKED)
@examples(100)
def test_all_noted_minutes_are_in_one_quarter_and_no_tick_is_counted_twice(
    rows: list[tuple[int, int, float | None]],
) -> None:
    tie = replace(job("tie", unit("g1", "done")), key="tie/t1/2026", setup_minutes=0, minutes_each=1)
    ticks = {
        at: Tick(tie.key, f"g{at}", SEASON.start + timedelta(days=day), minutes=minutes) for at, day, minutes in rows
    }
    hours = season_work(Records(TREES, ticks=tuple(ticks.values())), (tie,), SEASON).hours
    noted = [tick.minutes for tick in ticks.values() if tick.minutes is not None]
    assert abs(sum(one.noted for one in hours) - sum(noted)) < 1e-6
    assert sum(one.planned for one in hours) == len(ticks) - len(noted)

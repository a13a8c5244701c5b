"""Visits: which jobs one walk with one kit does, and what a visit says of them. The jobs are invented."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import combinations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.planning.fit import fit_week
from tendwork.planning.results import Caution, DayHours, Plan, Task, Unit, Window
from tendwork.planning.states import TO_DO
from tendwork.planning.visit_ticks import shared_minutes, ticks_of_visit
from tendwork.planning.visits import parts_named, visits_of
from tendwork.view.week import visit_row

TODAY = date(2026, 6, 13)


def job(name: str, tree: str = "t1", visit: str = "aftercare", state: str = "open", **more: object) -> Task:
    """A job with one unit of two minutes after three minutes of setting up."""
    opens, closes = TODAY + timedelta(days=more.pop("opens", -3)), TODAY + timedelta(days=more.pop("closes", 9))  # type: ignore[arg-type]
    best = max(opens, TODAY + timedelta(days=more.pop("best", -99)))  # type: ignore[arg-type]
    window = Window(opens, best, closes, closes + timedelta(days=more.pop("lapses", 5)))  # type: ignore[arg-type]
    values = {
        "key": f"{name}/{tree}/2026", "template": name, "title": f"Do {name}", "part": "aftercare", "each": "graft",
        "subject": tree, "place": f"Tree {tree}", "window": window, "state": state, "minutes": 5.0,
        "units": (Unit("g1", "Blue", state, window),), "cautions": (), "tools": (name,), "steps": (),  # type: ignore[arg-type]
        "outcomes": ("done",), "because": (), "source": "", "setup_minutes": 3.0, "minutes_each": 2.0, "visit": visit,
        "stake": "graft", "default_outcome": "done",
    }  # fmt: skip
    return Task(**(values | more))  # type: ignore[arg-type]


def keys(*tasks: Task) -> list[tuple[str, list[str]]]:
    return [(visit.key, [part.template for part in visit.parts]) for visit in visits_of(tasks, TODAY)]


def test_jobs_of_one_tree_with_one_word_are_one_visit_and_the_most_pressing_leads() -> None:
    assert keys(job("tie"), job("slit", closes=2, state="closing"), job("rub", "t2"), job("dig", visit="")) == [
        ("aftercare/t1", ["slit", "tie"]),
        ("dig/t1/2026", ["dig"]),
        ("rub/t2/2026", ["rub"]),
    ]


def test_a_walk_takes_in_all_trees_and_a_word_that_ends_so_too() -> None:
    found = keys(*(job("suckers", tree, "walk") for tree in ("t1", "t2")), job("taste", "t3", "tasting-walk"))
    assert found == [("walk/site", ["suckers", "suckers"]), ("taste/t3/2026", ["taste"])]


def test_jobs_that_no_day_has_in_common_are_two_visits() -> None:
    closing, coming = job("slit", closes=1, state="closing"), job("tie", opens=3, state="coming")
    assert keys(closing, coming) == [("slit/t1/2026", ["slit"]), ("tie/t1/2026", ["tie"])]
    assert keys(job("slit", closes=3), coming) == [("aftercare/t1", ["slit", "tie"])]


def test_a_round_that_comes_this_week_is_done_with_the_visit_made_before() -> None:
    (visit,) = visits_of((job("slit", closes=1), job("rub", opens=3, state="coming", rounds=7)), TODAY)
    assert [part.template for part in visit.now] == ["slit", "rub"]
    (visit,) = visits_of((job("slit", closes=9), job("tie", opens=3, state="coming")), TODAY)
    assert [part.template for part in visit.now] == ["slit"]


def test_what_is_held_back_put_off_done_or_missed_stands_with_its_like() -> None:
    later = TODAY + timedelta(days=3)
    tasks = (job("a"), job("b", state="held"), job("c", put_off=later), job("d", state="done"), job("e", state="done"))
    found = dict(keys(*tasks, job("f", state="missed"), job("g", state="missed", stake="little")))
    assert sorted(map(tuple, found.values())) == [("a",), ("b",), ("c",), ("d", "e"), ("f",), ("g",)]


def test_a_visit_sets_up_once_and_has_its_tools_once_and_the_worst_at_stake() -> None:
    (visit,) = visits_of((job("a", stake="little"), job("b", setup_minutes=4.0, minutes=8.0)), TODAY)
    assert visit.minutes == 4 + 2 + 4
    assert (visit.tools, visit.stake, visit.subject) == (("a", "b"), "graft", "t1")


def test_a_visit_names_what_can_kill_first_whichever_job_asks_for_it() -> None:
    low = job("a", cautions=(Caution("knife", "so"), Caution("ladder", "so", "if you leave the ground")))
    high = job("b", cautions=(Caution("both-hands", "so"), Caution("ladder", "so"), Caution("sprays", "so")))
    (visit,) = visits_of((low, high), TODAY)
    assert [(one.card, one.only) for one in visit.cautions] == [
        ("both-hands", ""), ("ladder", ""), ("knife", ""), ("sprays", ""),
    ]  # fmt: skip


def test_a_second_visit_to_a_tree_has_a_number() -> None:
    late = [job(name, closes=1, state="closing") for name in "ab"]
    coming = [job(name, opens=4, state="coming") for name in "cd"]
    assert [key for key, _ in keys(*late, *coming)] == ["aftercare/t1", "aftercare/t1.2"]


JOBS = st.builds(
    job,
    st.sampled_from("abcdef"),
    st.sampled_from(["t1", "t2"]),
    st.sampled_from(["", "aftercare", "walk"]),
    st.sampled_from(["late", "closing", "open", "waiting", "held", "coming", "done", "missed"]),
    opens=st.integers(-20, 6),
    closes=st.integers(-5, 20),
    rounds=st.sampled_from([1, 4]),
)


@given(st.lists(JOBS, max_size=12, unique_by=lambda task: task.key))
def test_every_job_is_in_one_visit_and_all_parts_of_one_are_alike(tasks: list[Task]) -> None:
    visits = visits_of(tasks, TODAY)
    assert sorted(part.key for visit in visits for part in visit.parts) == sorted(task.key for task in tasks)
    assert len({visit.key for visit in visits}) == len(visits)
    assert [visit.urgency for visit in visits] == sorted(visit.urgency for visit in visits)
    for visit in visits:
        assert len({part.visit for part in visit.parts}) == 1
        assert visit.is_walk or len({part.subject for part in visit.parts}) == 1
        assert len({(part.state in TO_DO, part.state == "held", part.state == "waiting") for part in visit.parts}) == 1
    for one, other in combinations(visits, 2):
        assert {part.key for part in one.parts}.isdisjoint(part.key for part in other.parts)


def test_a_tick_of_a_visit_leaves_out_what_only_the_person_can_say() -> None:
    looked = job("look", default_outcome="", outcomes=("took", "failed"))
    (visit,) = visits_of((job("tie"), looked), TODAY)
    ticks, left = ticks_of_visit(visit, ())
    assert ([tick.task.template for tick in ticks], [task.template for task in left]) == (["tie"], ["look"])
    ticks, left = ticks_of_visit(visit, ("look",), "took")
    assert [(tick.task.template, tick.outcome) for tick in ticks] == [("look", "took")]
    with pytest.raises(PersonError, match=r"only you can say how they went: look/t1/2026 \(took, failed\)"):
        ticks_of_visit(visit, ("look",))


def test_a_part_that_there_is_not_is_named() -> None:
    (visit,) = visits_of((job("tie"), job("rub")), TODAY)
    with pytest.raises(PersonError, match='aftercare/t1 has no part "dig"'):
        parts_named(visit, ("dig",))


def fitted(*tasks: Task, minutes: float) -> dict[str, dict[date, float]]:
    """The minutes of each job on each day of a week with so many minutes on its first day and its fifth."""
    given_minutes = [minutes, 0, 0, 0, minutes, 0, 0]
    days = tuple(DayHours(TODAY + timedelta(days=step), free, free) for step, free in enumerate(given_minutes))
    return {task.template: dict(task.days) for task in fit_week(Plan(TODAY, 2026, tasks), days).tasks}


def test_the_fit_sets_up_once_for_a_visit() -> None:
    parts = (job("a", closes=0, state="closing"), job("b", closes=0, state="closing"))
    assert fitted(*parts, minutes=7) == {"a": {TODAY: 5}, "b": {TODAY: 2}}  # 3 + 2 + 2, and not 3 + 2 twice
    apart = fitted(*(job(name, closes=0, lapses=0, state="closing", visit="") for name in "ab"), minutes=7)
    assert sorted(map(len, apart.values())) == [0, 1]


def test_the_fit_makes_a_visit_on_one_day() -> None:
    for visit, days in (("aftercare", [0]), ("", [0, 4])):
        parts = (
            job("a", closes=3, visit=visit),
            job("b", best=4, minutes=2.0, setup_minutes=0.0, visit=visit),
        )
        found = fitted(*parts, minutes=60)
        assert sorted({(day - TODAY).days for placed in found.values() for day in placed}) == days


def test_minutes_of_a_visit_are_shared_as_they_were_planned() -> None:
    (visit,) = visits_of((job("a", minutes=6.0), job("b", minutes=2.0)), TODAY)
    ticks, _ = ticks_of_visit(visit, (), minutes=20)
    assert [tick.minutes for tick in ticks] == [15, 5]
    assert shared_minutes(9, [job(name, minutes=0.0) for name in "abc"]) == (3, 3, 3)
    assert shared_minutes(None, [job("a")]) == (None,)


def test_a_round_that_was_kept_up_gives_way_to_what_closes() -> None:
    closing = job("slit", closes=1, lapses=1, state="closing", minutes=9.0, minutes_each=6.0)
    rubbing = job("rub", "t2", closes=0, lapses=0, state="closing", minutes=10.0, minutes_each=7.0)
    for kept_up, first in ((True, "slit"), (False, "rub")):
        found = fitted(closing, msgspec.structs.replace(rubbing, rounds=8, kept_up=kept_up), minutes=10)
        assert found[first].keys() == {TODAY}, kept_up


def test_a_short_job_of_many_grafts_is_done_as_far_as_the_hours_reach() -> None:
    window = job("brace", closes=1, lapses=1, state="closing").window
    units = tuple(Unit(f"g{number}", "Blue", "closing", window) for number in range(6))
    brace = job(
        "brace", closes=1, lapses=1, state="closing", units=units, minutes=65.0, setup_minutes=5.0, minutes_each=10.0
    )
    others = [job(name, closes=1, lapses=1, state="closing", stake="year", minutes=20.0, visit="") for name in "abc"]
    assert fitted(brace, *others, minutes=60)["brace"] == {TODAY: 55}


def test_of_work_for_fuller_weeks_to_come_what_ends_first_is_done_now() -> None:
    """Each Saturday has 60 minutes; the two weeks after this one are asked for 180 with grafts at stake."""
    window = Window(TODAY, TODAY, TODAY + timedelta(days=13), TODAY + timedelta(days=13))
    unit = Unit("g1", "Blue", "open", window)
    many = [
        job(name, f"t{name}", window=window, units=(unit,), minutes=30.0, setup_minutes=0.0, minutes_each=30.0)
        for name in "abcd"
    ]
    little = job(
        "dig",
        "t9",
        closes=0,
        lapses=0,
        state="closing",
        stake="little",
        minutes=60.0,
        setup_minutes=0.0,
        minutes_each=60.0,
    )
    days = tuple(DayHours(TODAY + timedelta(days=step), 60 if step == 0 else 0, 60) for step in range(7))
    week = fit_week(Plan(TODAY, 2026, (*many, little)), days)
    pressed = [task for task in week.tasks if task.pressed]
    assert len(pressed) == 2
    assert all(task.days for task in pressed)
    assert not next(task for task in week.tasks if task.template == "dig").days
    assert "The weeks to come are too full for it: do it now." in pressed[0].because


def test_a_visit_that_is_not_open_yet_is_not_ticked_as_a_whole() -> None:
    (visit,) = visits_of([job(name, opens=3, state="coming") for name in ("tie", "brace")], TODAY)
    with pytest.raises(PersonError, match="opens on 16 Jun"):
        ticks_of_visit(visit, ())
    ticks, _ = ticks_of_visit(visit, ("tie",))
    assert [tick.task.template for tick in ticks] == ["tie"]


def test_what_is_later_this_week_is_said_to_be_later() -> None:
    (visit,) = visits_of((job("slit", closes=9), job("tie", opens=3, state="coming")), TODAY)
    assert [(part.title, part.later) for part in visit_row(visit, TODAY).parts] == [
        ("Do slit", False),
        ("Do tie", True),
    ]

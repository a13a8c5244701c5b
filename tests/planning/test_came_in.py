"""Units that came into the records in the middle of a season: what was due before then is not asked for.

The cases are the common sense of a grower, no source: who types in an orchard in June is told what to do from then on.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan, Task
from tendwork.planning.vocabulary import Anchor, Repeats, Template, Where

CAME_IN = date(2026, 6, 25)
APPLE = Tree("t1", "Old Hallow", "apple", known_since=CAME_IN)
GRAFT = Graft("g1", "t1", "Invented", "cleft", "raffia", state="took", set_on=date(2026, 4, 1), known_since=CAME_IN)


def rule(closes: str, lapses: str = "", **more: object) -> Template:
    """A job by the calendar that opens on 1 May."""
    base: dict[str, object] = {"id": "look", "title": "Look", "part": "aftercare", "each": "graft"}
    days = {"opens": Anchor(date="05-01"), "closes": Anchor(date=closes), "lapses": Anchor(date=lapses or closes)}
    return Template(**{**base, **days, **more})  # type: ignore[arg-type]


def planned(template: Template, on: date = CAME_IN, *, since: date | None = CAME_IN, **more: object) -> Plan:
    records = Records(
        (replace(APPLE, known_since=since),),
        (replace(GRAFT, known_since=since),),
        (Wood("w1", "Invented", "apple", 3, known_since=since),),
    )
    return plan(SiteLimits(), replace(records, **more), SteadyAlmanac(), (template,), on)


def states(template: Template, on: date = CAME_IN, *, since: date | None = CAME_IN, **more: object) -> list[str]:
    return [unit.state for task in planned(template, on, since=since, **more).tasks for unit in task.units]


@pytest.mark.parametrize("each", ["site", "tree", "graft", "wood"])
@pytest.mark.parametrize(
    ("closes", "lapses", "here", "from_always"),
    [
        ("06-24", "07-20", [], ["late"]),  # it was over the day before: neither late ...
        ("06-10", "06-20", [], ["missed"]),  # ... nor missed
        ("06-25", "07-20", ["closing"], ["closing"]),  # its last day
        ("08-10", "08-20", ["open"], ["open"]),
    ],
)
def test_what_was_due_before_it_came_in_is_neither_late_nor_missed(
    each: str, closes: str, lapses: str, here: list[str], from_always: list[str]
) -> None:
    template = rule(closes, lapses, each=each, stake="year")
    assert states(template) == here
    assert states(template, since=None) == from_always


def test_what_was_open_then_turns_late_after_its_own_close() -> None:
    template = rule("06-28", "07-20", stake="year")
    found = [states(template, CAME_IN + timedelta(days=days)) for days in (0, 3, 4, 25, 26)]
    assert found == [["closing"], ["closing"], ["late"], ["late"], ["missed"]]


@pytest.mark.parametrize("stake", ["tree", "graft"])
def test_what_can_still_be_saved_is_asked_for_to_its_last_useful_day_and_says_why(stake: str) -> None:
    template = rule("06-10", "07-20", stake=stake)
    (task,) = planned(template).tasks
    assert (task.state, task.window.closes, task.window.lapses) == ("open", date(2026, 7, 20), date(2026, 7, 20))
    assert "It came into the records on 25 Jun, after its time (10 Jun); still useful until 20 Jul." in task.because
    assert states(template, date(2026, 7, 19)) == ["closing"]
    assert states(template, date(2026, 7, 21)) == ["missed"]  # from then on it was asked for
    assert states(rule("06-10", "06-24", stake=stake)) == []


@pytest.mark.parametrize("stake", ["year", "little"])
def test_what_comes_again_another_year_is_not(stake: str) -> None:
    assert states(rule("06-10", "07-20", stake=stake)) == []


def test_of_a_repeating_job_only_the_round_of_that_day_is_due() -> None:
    weekly = rule("05-03", "05-07", stake="graft", repeats=Repeats(every_days=7, times=9))
    tasks = planned(weekly).tasks
    # rounds open on 1 May, 8 May, ... 19 June, 26 June; that of 19 June closes on the 21st and serves to the 25th
    assert [(task.round, task.state) for task in tasks] == [(8, "closing"), (9, "coming")]
    assert len(planned(weekly, since=None).tasks) == 9
    assert [task.round for task in planned(replace(weekly, stake="year")).tasks] == [9]


def test_what_was_ticked_stays_however_late_it_came_in() -> None:
    tick = Tick("look/t1/2026", "g1", date(2026, 5, 4), "done")
    assert states(rule("06-10", stake="year"), ticks=(tick,)) == ["done"]


def test_the_site_is_known_since_its_first_tree_and_a_variety_since_its_first_graft() -> None:
    second = replace(APPLE, id="t2", known_since=date(2026, 6, 1))
    assert states(rule("06-10", "06-30", each="site", stake="year"), trees=(APPLE, second)) == ["late"]
    early = replace(GRAFT, id="g2", known_since=None)
    variety = rule("06-10", "06-30", each="variety", stake="year")
    assert states(variety) == []
    assert states(variety, trees=(replace(APPLE, known_since=None),), grafts=(GRAFT, early)) == ["late"]


def test_a_plan_for_a_day_before_it_came_in_takes_it_as_known() -> None:
    template = rule("06-10", "07-20", stake="year")
    assert states(template, CAME_IN - timedelta(days=1)) == ["late"]


@given(
    opens=st.dates(date(2026, 1, 1), date(2026, 5, 1)),
    closes=st.integers(0, 60),
    lapses=st.integers(0, 60),
    stake=st.sampled_from(("tree", "graft", "year", "little", None)),
    on=st.integers(0, 120),
)
@examples(150)
def test_nothing_is_late_or_missed_whose_time_was_over_and_all_else_is_as_for_what_is_known_from_always(
    opens: date, closes: int, lapses: int, stake: str | None, on: int
) -> None:
    last, useful = opens + timedelta(days=closes), opens + timedelta(days=closes + lapses)
    template = rule(f"{last:%m-%d}", f"{useful:%m-%d}", opens=Anchor(date=f"{opens:%m-%d}"), stake=stake)
    today = CAME_IN + timedelta(days=on)
    now, always = states(template, today), states(template, today, since=None)
    if last >= CAME_IN:
        assert now == always
    elif stake in ("tree", "graft") and useful >= CAME_IN:
        assert now
        assert now == (["missed"] if today > useful else now)
        assert "late" not in now
    else:
        assert now == []


WRAPS = Template(
    "wraps",
    "Slit the tape",
    "aftercare",
    "graft",
    where=Where(wrap=("raffia", "unknown")),
    opens=Anchor(after="set", weeks=4),
    closes=Anchor(after="set", weeks=8),
    lapses=Anchor(after="set", weeks=10),
    outcomes=("off", "not yet"),
)


def asked(made: Plan) -> tuple[list[str], list[tuple[str, tuple[str, ...]]]]:
    return [wrap.state for wrap in made.wraps], [(gap.kind, gap.grafts) for gap in made.gaps]


def overdue(made: Plan) -> list[Task]:
    return [task for task in made.tasks if task.state == "late" and task.window.is_overdue(made.today)]


def test_a_wrap_that_came_in_late_is_a_question_and_no_job() -> None:
    made = planned(WRAPS)
    assert made.tasks == ()
    assert asked(made) == (["not known"], [("still on", ("g1",))])
    always = planned(WRAPS, since=None)
    assert (len(overdue(always)), asked(always)) == (1, (["late"], []))


def test_a_wrap_whose_time_is_still_to_close_is_a_job_like_any_other() -> None:
    early = replace(GRAFT, set_on=date(2026, 5, 10))
    made = planned(WRAPS, grafts=(early,))
    assert ([task.state for task in made.tasks], asked(made)) == (["open"], (["open"], []))
    late = planned(WRAPS, date(2026, 7, 20), grafts=(early,))
    assert len(overdue(late)) == 1


def test_once_it_is_said_to_be_on_it_is_overdue_and_said_to_be_off_it_is_gone() -> None:
    key = "wraps/t1/2026"
    on = planned(WRAPS, ticks=(Tick(key, "g1", CAME_IN, "not yet"),))
    assert (len(overdue(on)), asked(on)) == (1, (["late"], []))
    off = planned(WRAPS, ticks=(Tick(key, "g1", CAME_IN, "off"),))
    assert (off.tasks, asked(off)) == ((), ([], []))
    done = planned(WRAPS, ticks=(Tick(key, "g1", CAME_IN, "not yet"), Tick(key, "g1", CAME_IN, "off")))
    assert done.wraps == ()


def test_what_was_said_of_a_wrap_before_it_came_in_does_not_answer_whether_it_is_on_now() -> None:
    made = planned(WRAPS, ticks=(Tick("wraps/t1/2026", "g1", date(2026, 5, 20), "not yet"),))
    assert asked(made) == (["not known"], [("still on", ("g1",))])
    off = planned(WRAPS, ticks=(Tick("wraps/t1/2026", "g1", date(2026, 5, 20), "off"),))
    assert (off.wraps, [unit.state for task in off.tasks for unit in task.units]) == ((), ["done"])


def test_whether_it_took_is_asked_where_that_could_be_seen_when_it_came_in() -> None:
    takes = rule("06-10", stake="year", outcomes=("took", "not yet", "failed"))
    here = replace(GRAFT, state="set", wrap="none")
    assert asked(planned(takes, grafts=(here,)))[1] == [("took", ("g1",))]
    always = replace(here, known_since=None)
    assert asked(planned(takes, since=None, grafts=(always,)))[1] == []
    young = replace(here, set_on=CAME_IN - timedelta(days=42))
    assert asked(planned(takes, grafts=(young,)))[1] == []
    looked = Tick("look/t1/2026", "g1", CAME_IN, "not yet")
    assert asked(planned(takes, grafts=(here,), ticks=(looked,)))[1] == []

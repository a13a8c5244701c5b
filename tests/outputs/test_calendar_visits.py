"""Visits in the calendar: one event for what one walk does, and no job lost or doubled when the file is written again.

Sections are those of RFC 5545, https://www.rfc-editor.org/rfc/rfc5545. The jobs are invented.
"""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from pathlib import Path

from bench_acts import tick_job
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from output_jobs import CARDS, TODAY, day, plan, task, unit, window
from strict_icalendar import Component, read_strictly

from tendwork.outputs.calendar import calendar_of
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.planning.repeats import lines_of
from tendwork.planning.results import Task
from tendwork.planning.states import TO_DO
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard
from tendwork.workbench.exports import write_calendar

SITE = CalendarSite("Test hill", "Europe/London")
WHY = "tendwork why "


def part(name: str, *offsets: int, **more: object) -> Task:
    """A job of the visit "aftercare" on these days."""
    return task(name, **({"visit": "aftercare", "days": tuple((day(offset), 20.0) for offset in offsets)} | more))


def written(*tasks: Task, today: date = TODAY, before: bytes = b"") -> bytes:
    """The calendar of these jobs, as the week has placed them, over the one before."""
    bare = (replace(job, days=()) for job in tasks)
    return calendar_of(events_of(plan(*bare, today=today), tasks, SITE, CARDS), today, SITE, before)


def events(content: bytes, status: str = "CONFIRMED") -> list[Component]:
    return [one for one in read_strictly(content).named("VEVENT") if one.one("STATUS").value == status]


def jobs_in(event: Component) -> list[str]:
    """The keys of the jobs that an event is about."""
    lines = event.one("DESCRIPTION").text.split("\n")
    return [line.removeprefix(WHY) for line in lines if line.startswith(WHY)]


def summaries(content: bytes, status: str = "CONFIRMED") -> list[str]:
    return [event.one("SUMMARY").text for event in events(content, status)]


TIE = part("tie", 1, units=(unit("g1"),), tools=("ties",), cautions=("knife",), steps=("Tie.",))
SLIT = part(
    "slit", 1, state="closing", window=window(-9, 4), loss="the tape cuts in", stake="graft",
    units=(unit("g1", place="2.5 m up"), unit("g2")), tools=("ties", "blade"), cautions=("ladder", "knife"),
)  # fmt: skip
RUB = part("rub", 3, window=window(2, 20))


def test_the_placed_jobs_of_one_visit_are_one_event_with_the_title_of_the_most_pressing() -> None:
    (event,) = events(written(TIE, SLIT, RUB))
    assert event.one("SUMMARY").text == "Do slit, 2 more, Old Tom"
    assert (event.one("DTSTART").value, event.one("DTEND").value) == ("20260313", "20260316")
    assert event.one("LOCATION").text == "Old Tom"


def test_what_is_not_placed_and_what_is_of_another_tree_or_visit_has_its_own_event() -> None:
    others = (
        part("unplaced"),
        part("held", 1, state="held"),
        part("plum", 1, subject="t2", key="plum/t2/2026", place="Plum"),
        part("prune", 1, visit="pruning"),
        part("dig", 1, visit=""),
    )
    found = summaries(written(TIE, SLIT, *others))
    names = [
        "Do dig, Old Tom",
        "Do plum, Plum",
        "Do prune, Old Tom",
        "Do slit, 1 more, Old Tom",
        "Do unplaced, Old Tom",
    ]
    assert sorted(found) == sorted([*names, "Held back: Do held, Old Tom"])


def test_the_description_has_tools_and_cautions_once_and_each_job_with_its_day_its_loss_and_its_units() -> None:
    (event,) = events(written(TIE, SLIT, RUB))
    lines = event.one("DESCRIPTION").text.split("\n")
    assert lines[:4] == [
        "Takes 1 h in all.",
        "Carry: ties, blade",
        f"Caution, Ladders: {CARDS['ladder'].line}",
        f"Caution, Knives and cleft tools: {CARDS['knife'].line}",
    ]
    assert sum(line.startswith(("Carry", "Caution")) for line in lines) == 3
    assert lines[5:12] == [
        "",
        "Do slit, Old Tom: Fri 13 Mar 2026",
        "The window opens Tue 3 Mar 2026, best Tue 3 Mar 2026, closes Mon 16 Mar 2026, lapses Mon 16 Mar 2026.",
        "If missed: the tape cuts in (the graft is at stake).",
        "- Variety g1 (g1), 2.5 m up",
        "- Variety g2 (g2)",
        "tendwork why slit/t1/2026",
    ]
    assert lines[-4:] == [
        "",
        "Do rub, Old Tom: Sun 15 Mar 2026",
        "The window opens Sat 14 Mar 2026, best Sat 14 Mar 2026, closes Wed 1 Apr 2026, lapses Wed 1 Apr 2026.",
        "tendwork why rub/t1/2026",
    ]
    assert "1. Tie." in lines


def test_a_job_alone_says_its_loss_too() -> None:
    (event,) = events(written(SLIT))
    assert "If missed: the tape cuts in (the graft is at stake)." in event.one("DESCRIPTION").text.split("\n")


def test_it_rings_as_its_most_pressing_job_does_and_on_each_morning_on_which_others_begin() -> None:
    (event,) = events(written(TIE, SLIT, RUB))
    assert [(one.one("TRIGGER").value[:8], one.one("DESCRIPTION").text) for one in event.named("VALARM")] == [
        ("20260313", "Do slit, 1 more, Old Tom"),
        ("20260314", "Until Mon 16 Mar 2026: Do slit, 2 more, Old Tom"),
        ("20260315", "Do rub, Old Tom"),
    ]


def test_a_walk_is_one_event_of_the_orchard_in_which_the_same_chore_counts_once() -> None:
    trees = [
        part("suckers", 1, visit="walk", key=f"suckers/{tree}/2026", subject=tree, place=f"Tree {tree}",
             units=(unit(tree),), steps=("Tear.",))
        for tree in ("t1", "t2")
    ]  # fmt: skip
    (event,) = events(written(*trees, part("guards", 1, visit="walk", subject="t2", place="Tree t2")))
    assert event.one("SUMMARY").text == "Do guards, 1 more, the orchard"
    assert event.one("LOCATION").text == "Test hill"
    assert event.one("DESCRIPTION").text.count("1. Tear.") == 1
    assert sorted(jobs_in(event)) == ["guards/t1/2026", "suckers/t1/2026", "suckers/t2/2026"]


def test_3_8_4_7_the_event_of_a_visit_keeps_its_uid_when_its_day_moves_and_when_its_first_job_is_ticked() -> None:
    first = written(TIE, SLIT, RUB)
    moved = written(*(replace(one, days=((day(4), 20.0),)) for one in (TIE, SLIT, RUB)), today=day(1), before=first)
    ticked = written(TIE, replace(SLIT, state="done"), RUB, today=day(2), before=moved)
    assert summaries(ticked) == ["Do tie, 1 more, Old Tom"]
    uids = {events(content)[0].one("UID").value for content in (first, moved, ticked)}
    assert len(uids) == 1


def test_a_job_that_a_visit_takes_in_is_cancelled_and_comes_back_with_a_higher_sequence() -> None:
    alone = written(TIE)
    joined = written(TIE, SLIT, before=alone)
    assert (summaries(joined), summaries(joined, "CANCELLED")) == (["Do slit, 1 more, Old Tom"], ["Do tie, Old Tom"])
    again = written(TIE, replace(SLIT, state="done"), before=joined)
    assert (summaries(again), summaries(again, "CANCELLED")) == (["Do tie, Old Tom"], ["Do slit, 1 more, Old Tom"])
    found = [
        {event.one("UID").value: int(event.one("SEQUENCE").value) for event in read_strictly(content).named("VEVENT")}
        for content in (alone, joined, again)
    ]
    (uid,) = found[0]
    assert found[0][uid] < found[1][uid] < found[2][uid]


def test_a_rule_with_the_name_of_a_visit_never_has_the_visit_s_uid() -> None:
    alone = events(written(part("aftercare", 1)))[0].one("UID").value
    assert alone != events(written(TIE, SLIT))[0].one("UID").value


class Phone:
    """A calendar that imports files: of each UID it keeps what has the highest SEQUENCE (RFC 5545, 3.8.7.4)."""

    def __init__(self) -> None:
        self.events: dict[str, tuple[int, str, Component]] = {}

    def bring_in(self, content: bytes) -> None:
        for event in read_strictly(content).named("VEVENT"):
            uid, sequence = event.one("UID").value, int(event.one("SEQUENCE").value)
            said = "\n".join(f"{held.name}:{held.value}" for held in event.properties)
            known = self.events.get(uid)
            if known is not None and known[0] == sequence:
                assert known[1] == said, "3.8.7.4: what is not the same has another SEQUENCE"
            if known is None or known[0] < sequence:
                self.events[uid] = (sequence, said, event)

    def jobs(self) -> Counter[str]:
        live = (event for _, _, event in self.events.values() if event.one("STATUS").value == "CONFIRMED")
        return Counter(key for event in live for key in jobs_in(event))


@st.composite
def one_day(draw: st.DrawFn) -> list[Task]:
    """Up to eight jobs on two trees as a day may find them: of any state and visit, placed or not."""
    names = draw(st.lists(st.tuples(st.sampled_from("abcd"), st.sampled_from(["t1", "t2"])), unique=True))
    tasks = []
    for name, tree in names:
        visit = {"a": "aftercare", "b": "aftercare", "c": draw(st.sampled_from(["aftercare", "walk"])), "d": "walk"}
        state = draw(
            st.sampled_from(["late", "closing", "open", "open", "waiting", "held", "coming", "done", "missed"])
        )
        offsets = draw(st.sets(st.integers(0, 6), max_size=2))
        tasks.append(
            part(name, *sorted(offsets), state=state, subject=tree, key=f"{name}/{tree}/2026", place=f"Tree {tree}",
                 visit=visit[name], units=(unit(tree, state),))
        )  # fmt: skip
    return tasks


@examples(30)
@given(st.lists(st.tuples(one_day(), st.integers(0, 3), st.booleans()), min_size=2, max_size=8))
def test_through_weeks_of_writing_each_job_to_do_is_in_one_live_event_and_nothing_else_is(
    days: list[tuple[list[Task], int, bool]],
) -> None:
    always = task("always", "coming", key="always/t9/2026", window=window(60, 80))  # a calendar needs an event: 3.4
    today, content, phone = TODAY, b"", Phone()
    for tasks, step, is_brought_in in days:
        today += timedelta(days=step)
        content = written(*tasks, always, today=today, before=content)
        expected = Counter(job.key for job in (*tasks, always) if job.state in TO_DO)
        assert Counter(key for event in events(content) for key in jobs_in(event)) == expected
        assert written(*tasks, always, today=today, before=content) == content
        if is_brought_in:
            phone.bring_in(content)
            assert phone.jobs() == expected


def test_through_three_weeks_of_a_real_orchard_each_job_to_do_is_in_one_live_event(tmp_path: Path) -> None:
    start, file, phone = date(2026, 5, 28), tmp_path / "orchard.ics", Phone()
    bench = Workbench.open(demo_orchard(start, tmp_path / "orchard"))
    joined = 0
    for step in range(0, 21, 5):
        today = start + timedelta(days=step)
        write_calendar(bench, file, today)
        phone.bring_in(file.read_bytes())
        planned = bench.plan.of(today)
        assert phone.jobs() == Counter(line.key for line in lines_of(planned.plan) if line.state in TO_DO)
        joined += sum(len(jobs_in(event)) > 1 for event in events(file.read_bytes()))
        for job in planned.week.tasks:
            if job.default_outcome and any(on == today for on, _ in job.days):
                tick_job(bench, job.key, (), today)
    bench.close()
    assert joined > 8

"""The sheet of the week: what stands on it, as text of 80 columns and as an HTML page."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from output_jobs import CARDS, TODAY, busy_week, day, task, unit, window

from tendwork.outputs.sheet import Day, Job, Sheet, sheet_of
from tendwork.outputs.sheet_page import sheet_html, sheet_text
from tendwork.planning.results import Task, Unit
from tendwork.view.text import display_width
from tendwork.view.words import format_day
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard

NASTY = "<script>alert(1)</script> & \"x\" 'y' {{ 7*7 }} [b]\x1b[2J\n\u202e漢字"


def sheet(*tasks: Task, units: str = "metric") -> Sheet:
    return sheet_of(tasks, TODAY, CARDS, "Test hill", units)


def placed(name: str, *offsets: int, units: tuple[Unit, ...] = (), **more: object) -> Task:
    """A job on these days; its units are planned for the first of them, unless they say another."""
    units = tuple(replace(held, planned=held.planned or day(offsets[0])) for held in units)
    days = tuple((day(offset), 20.0) for offset in offsets)
    return task(name, **({"days": days} | more | ({"units": units} if units else {})))


class Page(HTMLParser):
    """The tags, attributes and texts of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[str] = []
        self.texts: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [name for name, _ in attrs]

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def test_a_job_that_is_held_back_has_its_reason_and_no_box() -> None:
    held = unit("g1", "held", held_by="Old Tom was sprayed.", held_until=day(5))
    found = sheet(placed("prune", 1), task("unwrap", "held", units=(held,)))
    assert [one.name for one in found.days] == ["Fri 13 Mar", "Held back, not to be done yet"]
    (job,) = found.days[1].jobs
    assert (job.box, job.units, job.by, job.notes) == (
        False, (), "not before Tue 17 Mar", (("Held back", "Old Tom was sprayed."),),
    )  # fmt: skip
    assert found.amount.startswith("1 job")
    text = sheet_text(found)
    assert "[ ] Do unwrap" not in text
    assert "    Do unwrap, Old Tom" in text
    boxes = sheet_html(found).count('<span class="box"></span>')
    assert boxes == 1


def test_a_unit_that_is_held_in_a_job_that_is_not_has_no_box_and_says_why() -> None:
    held = unit("g2", "held", label="Blue Lamp", held_by="Its wood is barred.")
    (job,) = sheet(placed("graft", 1, units=(unit("g1"),), outcomes=("set", "not yet"))).days[0].jobs
    assert [one.label for one in job.units] == ["Variety g1 (g1)"]
    mixed = placed("graft", 1, units=(unit("g1", planned=day(1)),))
    (job,) = sheet(replace(mixed, units=(*mixed.units, held))).days[0].jobs
    assert [one.label for one in job.units] == ["Variety g1 (g1)"]
    assert ("Held back", "Blue Lamp (g2): Its wood is barred.") in job.notes


def test_jobs_stand_under_their_days_in_order() -> None:
    found = sheet(placed("later", 3), placed("sooner", 1))
    assert [(held.name, [job.title for job in held.jobs]) for held in found.days] == [
        ("Fri 13 Mar", ["Do sooner"]),
        ("Sun 15 Mar", ["Do later"]),
    ]


def test_a_job_of_two_days_stands_under_both_with_the_minutes_of_each() -> None:
    job = task("long", minutes=50.0, days=((day(1), 30.0), (day(3), 20.0)))
    assert [(held.amount, held.jobs[0].amount) for held in sheet(job).days] == [
        ("1 job, 30 min", "30 min"),
        ("1 job, 20 min", "20 min"),
    ]


def boxes(found: Sheet) -> list[list[str]]:
    """The units with a box, day by day."""
    return [[box.label for job in held.jobs for box in job.units] for held in found.days]


def test_each_day_has_boxes_for_the_units_that_are_planned_on_it_and_says_where_the_job_goes_on() -> None:
    job = placed("long", 1, 3, 5, units=(unit("g1"), unit("g2", planned=day(3)), unit("g3", planned=day(5))))
    found = sheet(job)
    assert boxes(found) == [["Variety g1 (g1)"], ["Variety g2 (g2)"], ["Variety g3 (g3)"]]
    assert [held.jobs[0].notes for held in found.days] == [
        (("Goes on", "Sun 15 Mar, Tue 17 Mar"),),
        (("Goes on from", "Fri 13 Mar"), ("Goes on", "Tue 17 Mar")),
        (("Goes on from", "Fri 13 Mar, Sun 15 Mar"),),
    ]


def test_a_unit_that_comes_later_has_no_box_and_one_that_is_due_without_a_day_is_named() -> None:
    units = (unit("g1", planned=day(1)), unit("g2", "coming"), unit("g3", "late"))
    job = task("a", days=((day(1), 20.0),), units=units)
    found = sheet(job)
    assert boxes(found) == [["Variety g1 (g1)"]]
    assert found.days[0].jobs[0].notes == (("No day has room for", "Variety g3 (g3)"),)


@pytest.mark.parametrize("today", [date(2026, 2, 14), date(2026, 4, 27), date(2026, 5, 21)])
def test_in_the_sample_s_week_no_graft_stands_twice_for_the_same_job_and_each_on_its_own_day(
    tmp_path: Path, today: date
) -> None:
    bench = Workbench.open(demo_orchard(today, tmp_path / "orchard"))
    week = bench.plan.of(today).week.tasks
    found = sheet_of(week, today, bench.templates.loaded().cards, bench.site.name)
    trees = {tree.id for tree in bench.records.read().trees}
    planned = Counter(
        (format_day(held.planned, today), job.title, held.id)
        for job in week
        for held in job.units
        if held.planned is not None and held.id != job.subject
    )
    on_days = [held for held in found.days if held.name != "No day has room for these"]
    shown = Counter((held.name, *box) for held in on_days for box in ticked(held) if box[1] not in trees)
    once = Counter(box for held in found.days for box in ticked(held))
    assert shown == planned
    assert max(once.values()) == 1


def rows(held: Day) -> list[Job]:
    """The jobs of a day, those of a visit one by one."""
    return [row for job in held.jobs for row in job.parts or (job,)]


def ticked(held: Day) -> list[tuple[str, str]]:
    """(title, unit) of each unit that a box of the day is for; the box of a tree is for the grafts that it names."""
    return [
        (row.title, name) for row in rows(held) for box in row.units for name in re.findall(r"\(([\w.-]+)\)", box.label)
    ]


def aftercare(name: str, *offsets: int, **more: object) -> Task:
    """A job of the visit "aftercare" that takes 5 of its 20 minutes to set up."""
    return placed(name, *offsets, **({"visit": "aftercare", "setup_minutes": 5.0} | more))


def test_a_visit_has_one_heading_over_its_jobs_with_its_minutes_and_cautions_once() -> None:
    found = sheet(
        aftercare("tie", 1, tools=("ties",), cautions=("knife",), units=(unit("g1"), unit("g2"))),
        aftercare("slit", 1, state="closing", loss="the tape cuts in", tools=("ties", "blade"),
                  cautions=("ladder", "knife"), days=((day(1), 15.0),), window=window(-9, 2)),
        placed("dig", 1, key="dig/t2/2026", subject="t2", place="Young plum", units=(unit("t2"),)),
    )  # fmt: skip
    (held,) = found.days
    assert (found.amount, held.amount) == ("3 jobs in 2 visits, 55 min", "3 jobs in 2 visits, 55 min")
    assert held.carry == ("ties", "blade")
    assert sheet_text(found).splitlines()[5:19] == [
        "",
        "Old Tom: aftercare                                                        35 min",
        "    Caution: Ladder work: firm feet, three points of contact, never on the last",
        "      two steps. Also: Knives and cleft tools.",
        "    [ ] Do slit                                    by Sat 14 Mar",
        "        or the tape cuts in",
        "        slit/t1/2026",
        "    [ ] Do tie                                     by Sat 21 Mar",
        "        [ ] Variety g1 (g1)",
        "        [ ] Variety g2 (g2)",
        "        tie/t1/2026",
        "",
        "[ ] Do dig, Young plum                             by Sat 21 Mar          20 min",
        "    dig/t2/2026",
    ]


def test_the_page_has_the_same_visit_with_a_box_for_each_of_its_jobs_and_none_of_its_own() -> None:
    html = sheet_html(sheet(aftercare("tie", 1), aftercare("slit", 1, state="late", loss="<b>it</b> is lost")))
    assert html.count('<span class="box"></span>') == 2
    assert html.count("Old Tom: aftercare") == 1
    assert 'or <span class="name">&lt;b&gt;it&lt;/b&gt; is lost</span>' in html


def test_the_loss_of_a_job_stands_only_where_it_is_late_or_closing() -> None:
    jobs = [placed(state, 1, state=state, loss="it is lost") for state in ("late", "closing", "open", "coming")]
    assert {row.key.partition("/")[0]: row.loss for row in rows(sheet(*jobs).days[0])} == {
        "late": "it is lost", "closing": "it is lost", "open": "", "coming": "",
    }  # fmt: skip


def test_the_jobs_of_a_visit_stand_on_their_own_days_and_those_without_one_at_the_end_set_up_once() -> None:
    found = sheet(aftercare("a", 1), aftercare("b", 3), aftercare("c", days=()), aftercare("d", days=()))
    assert [(held.name, held.amount, [row.title for row in rows(held)]) for held in found.days] == [
        ("Fri 13 Mar", "1 job, 20 min", ["Do a"]),
        ("Sun 15 Mar", "1 job, 20 min", ["Do b"]),
        ("No day has room for these", "2 jobs in 1 visit, 35 min", ["Do c", "Do d"]),
    ]
    assert found.amount == "4 jobs in 1 visit, 1 h 15"


def test_what_all_jobs_of_a_visit_note_stands_once_under_its_heading() -> None:
    (visit,) = sheet(
        aftercare("a", 1, mind=("Do this tree last.",)),
        aftercare("b", 1, mind=("Do this tree last.",), not_now=("Not g9.",)),
    ).days[0].jobs  # fmt: skip
    assert visit.notes == (("Mind", "Do this tree last."),)
    assert [row.notes for row in visit.parts] == [(), (("Mind", "Not g9."),)]


def walk(name: str, tree: str, **more: object) -> Task:
    place = f"Tree {tree}"
    values = {"key": f"{name}/{tree}/2026", "subject": tree, "place": place, "units": (unit(tree, label=place),)}
    return placed(name, 1, **({"visit": "walk", "template": name, "default_outcome": "done"} | values | more))


def test_a_walk_has_each_chore_once_with_a_box_for_each_tree_and_the_sick_one_last() -> None:
    found = sheet(
        walk("suckers", "t1", mind=("t1 is sick.",)),
        walk("suckers", "t2"),
        walk("guards", "t2"),
        walk("water", "t2", units=(unit("g1"), unit("g2"))),
        walk("water", "t1", units=(unit("g3"),)),
        walk("judge", "t2", units=(unit("g1"), unit("g2")), default_outcome="", outcomes=("keep", "cut")),
    )
    (visit,) = found.days[0].jobs
    assert visit.title == "The orchard: walk"
    assert [(row.title, [box.words for box in row.units]) for row in visit.parts] == [
        ("Do guards", ["Tree t2 (t2)"]),
        ("Do judge", ["Variety g1 (g1), Tree t2", "Variety g2 (g2), Tree t2"]),
        ("Do suckers", ["Tree t2 (t2)", "Tree t1 (t1)"]),
        ("Do water", ["Tree t2: Variety g1 (g1), Variety g2 (g2)", "Tree t1: Variety g3 (g3)"]),
    ]
    assert [box.outcomes for box in visit.parts[1].units] == ["keep / cut", "keep / cut"]
    assert visit.parts[2].notes == (("Mind", "t1 is sick."),)
    assert found.amount.startswith("4 jobs in 1 visit,")
    assert "        suckers/t2/2026, suckers/t1/2026" in sheet_text(found).splitlines()


def test_a_walk_says_where_in_each_crown_its_grafts_stand() -> None:
    units = (unit("g1", place="2.4 m up, 1.1 m out, facing south-east"), unit("g2"))
    found = sheet(walk("pick", "t1", units=units), walk("pick", "t2", units=(unit("g3"),)))
    (visit,) = found.days[0].jobs
    (row,) = visit.parts or (visit,)
    assert [box.words for box in row.units] == [
        "Tree t1: Variety g1 (g1), 2.4 m up, facing south-east; Variety g2 (g2)",
        "Tree t2: Variety g3 (g3)",
    ]


def test_jobs_of_one_visit_that_are_held_back_stand_under_one_heading_without_boxes() -> None:
    jobs = [task(name, "held", visit="aftercare", units=(unit("g1", "held", held_by="Sprayed."),)) for name in "ab"]
    (visit,) = sheet(*jobs).days[0].jobs
    assert (visit.title, visit.notes) == ("Old Tom: aftercare", (("Held back", "Sprayed."),))
    assert "[ ]" not in sheet_text(sheet(*jobs))


def test_what_the_weather_of_every_day_asks_is_said_once() -> None:
    found = sheet(placed("a", 1, cautions=("ticks",)), placed("b", 2, cautions=("ticks",)))
    assert (found.mind, [held.mind for held in found.days]) == (("Ticks",), [(), ()])
    assert "Every day: Ticks" in sheet_text(found)
    assert "Every day: Ticks" in sheet_html(found)
    turned = sheet(placed("a", 1, cautions=("ticks", "heat")), placed("b", 2, cautions=("heat", "ticks")))
    assert turned.mind == ("Ticks", "heat")
    found = sheet(placed("a", 1, cautions=("ticks",)), placed("b", 2))
    assert (found.mind, [held.mind for held in found.days]) == ((), [("Ticks",), ()])


def test_a_job_that_opens_after_the_week_does_not_lack_room_in_it() -> None:
    found = sheet(task("here", "coming", window=window(6, 9)), task("later", "coming", window=window(7, 9)))
    assert [row.title for held in found.days for row in rows(held)] == ["Do here"]


@pytest.mark.parametrize("state", ["done", "skipped", "missed"])
def test_a_job_that_is_over_is_not_on_the_sheet(state: str) -> None:
    assert sheet(placed("a", 1, state=state)).days == ()


def test_a_job_without_a_day_stands_at_the_end() -> None:
    found = sheet(task("a", days=()), placed("b", 1))
    assert [held.name for held in found.days] == ["Fri 13 Mar", "No day has room for these"]


def test_a_job_put_off_beyond_the_week_is_not_on_the_sheet_and_one_put_off_within_it_is() -> None:
    found = sheet(task("gone", put_off=day(9)), placed("here", 3, put_off=day(2)), task("unplaced"))
    assert [job.title for held in found.days for job in held.jobs] == ["Do here", "Do unplaced"]


def test_work_on_one_tree_stands_together_the_tree_with_the_most_pressing_job_first() -> None:
    found = sheet(
        placed("a", 1, subject="t1", window=window(-3, 5)),
        placed("b", 1, subject="t2", window=window(-3, 2)),
        placed("c", 1, subject="t1", window=window(-3, 3)),
        placed("d", 1, subject="t2", window=window(-3, 9)),
    )
    assert [job.title for job in found.days[0].jobs] == ["Do b", "Do d", "Do c", "Do a"]


def test_what_is_barred_beside_a_job_stands_with_it_as_a_note() -> None:
    (job,) = sheet(placed("a", 1, not_now=("Not Cherry before 20 Aug.",), mind=("Sick [last].",))).days[0].jobs
    assert job.notes == (("Mind", "Not Cherry before 20 Aug."), ("Mind", "Sick [last]."))
    assert "Mind: Not Cherry before 20 Aug." in sheet_text(sheet(placed("a", 1, not_now=job.notes[0][1:])))


def test_a_tree_with_fire_blight_comes_last_in_the_day_with_all_its_jobs_and_the_orchard_does_not() -> None:
    found = sheet(
        placed("a", 1, subject="t1", window=window(-3, 1)),
        placed("b", 1, subject="t1", window=window(-3, 2), mind=("Do this tree last.",)),
        placed("c", 1, subject="t2", window=window(-3, 8)),
        placed("d", 1, subject="site", place="", window=window(-3, 3), mind=("Do this tree last.",)),
    )
    assert [job.title for job in found.days[0].jobs] == ["Do d", "Do c", "Do a", "Do b"]


def test_tools_are_listed_once_for_each_day_and_the_ladder_first_where_work_is_high() -> None:
    high = unit("g1", above_reach=True)
    found = sheet(
        placed("a", 1, tools=("knife", "tape")), placed("b", 1, tools=("tape", "saw"), units=(high,)), placed("c", 2)
    )
    assert [held.carry for held in found.days] == [("ladder", "knife", "tape", "saw"), ()]


def test_no_ladder_is_carried_for_work_that_is_never_done_from_one() -> None:
    high = (unit("g1", above_reach=True, planned=day(1)),)
    carried = [
        sheet(placed("a", 1, units=high, tools=("knife",), cautions=cautions)).days[0].carry
        for cautions in (("ladder",), ("both-hands", "ladder"), ("saw-aloft", "ladder"))
    ]
    assert carried == [("ladder", "knife"), ("knife",), ("knife",)]


def test_the_ladder_is_carried_only_on_the_days_whose_units_are_high() -> None:
    units = (unit("g1", planned=day(1)), unit("g2", planned=day(3), above_reach=True))
    assert [held.carry for held in sheet(placed("a", 1, 3, units=units)).days] == [(), ("ladder",)]


def test_a_unit_that_is_done_has_no_box() -> None:
    (job,) = sheet(placed("a", 1, units=(unit("g1", "done"), unit("g2"), unit("g3")))).days[0].jobs
    assert [box.label for box in job.units] == ["Variety g2 (g2)", "Variety g3 (g3)"]


def test_the_tree_itself_needs_no_second_box() -> None:
    (job,) = sheet(placed("a", 1, subject="t1", units=(unit("t1"),))).days[0].jobs
    assert job.units == ()


def test_paper_names_the_day_and_never_how_many_days_are_left() -> None:
    jobs = sheet(placed("a", 1, window=window(-9, 4)), placed("b", 1, state="late", window=window(-9, -2, 6)))
    assert {job.by for job in jobs.days[0].jobs} == {"by Mon 16 Mar", "late, by Wed 18 Mar"}


def test_every_job_has_one_caution_and_a_line_that_was_told_that_day_is_only_named_again() -> None:
    jobs = sheet(
        placed("a", 1, cautions=("ladder", "knife")),
        placed("b", 1, cautions=("ladder", "knife")),
        placed("c", 1, cautions=("ladder", "knife")),
        placed("d", 2, cautions=("knife",)),
    )
    assert [job.caution for held in jobs.days for job in held.jobs] == [
        f"{CARDS['ladder'].line} Also: Knives and cleft tools.",
        f"Ladders, as above. {CARDS['knife'].line}",
        "Ladders, Knives and cleft tools, as above",
        CARDS["knife"].line,
    ]


def test_the_end_tells_each_caution_of_the_week_once_and_who_decides() -> None:
    found = sheet(placed("a", 1, cautions=("ladder",)), placed("b", 2, cautions=("ladder", "saw")))
    assert found.cautions == (("Ladders", CARDS["ladder"].line), ("Saws, loppers and shears", CARDS["saw"].line))
    for shown in (sheet_text(found), sheet_html(found)):
        assert "local codes" in " ".join(shown.split())


def test_a_caution_card_that_is_missing_is_named() -> None:
    (job,) = sheet(placed("a", 1, cautions=("dragons",))).days[0].jobs
    assert "dragons" in job.caution


def test_places_and_weather_are_in_feet_and_fahrenheit_where_the_site_says_so() -> None:
    job = placed("a", 1, units=(unit("g1", place="2.5 m up"),), weather_words="at least 10 °C")
    (found,) = sheet(job, units="us").days[0].jobs
    assert found.units[0].place == "8.2 ft up"
    assert found.notes[0] == ("Wants", "at least 50 °F")


def test_a_box_says_how_high_and_which_way_and_no_more() -> None:
    job = placed("a", 1, units=(unit("g1", place="2.5 m up, 1.8 m out, facing 195°", above_reach=True),))
    assert sheet(job).days[0].jobs[0].units[0].place == "2.5 m up, facing 195°, above reach"


def test_the_outcomes_of_a_job_stand_beside_each_unit_to_be_circled() -> None:
    found = sheet(placed("a", 1, units=(unit("g1"), unit("g2")), outcomes=("took", "not yet", "failed")))
    assert [box.outcomes for box in found.days[0].jobs[0].units] == ["took / not yet / failed"] * 2
    assert found.days[0].jobs[0].notes == ()
    for shown in (sheet_text(found), sheet_html(found)):
        assert shown.count("took / not yet / failed") == 2
        assert "circle the one that fits" in " ".join(shown.split())


def test_the_outcomes_of_a_job_without_units_of_its_own_stand_with_the_job() -> None:
    found = sheet(placed("a", 1, outcomes=("took", "failed")))
    assert found.days[0].jobs[0].notes == (("Circle", "took / failed"),)


def test_a_job_that_is_only_done_or_not_has_nothing_to_circle() -> None:
    found = sheet(placed("a", 1, units=(unit("g1"), unit("g2"))))
    assert [box.outcomes for box in found.days[0].jobs[0].units] == ["", ""]
    assert "circle the one" not in sheet_text(found) + sheet_html(found)


def test_outcomes_end_the_line_of_their_unit_or_stand_whole_on_the_next_one() -> None:
    wordy = ("all well", "dried", "mould", "swelling", "lost", "given away")
    near, far = unit("g1"), unit("g2", place="2.5 m up, facing 195°", above_reach=True)
    lines = sheet_text(sheet(placed("a", 1, units=(near, far), outcomes=wordy))).splitlines()
    assert lines[-8:-5] == [
        "    [ ] Variety g1 (g1)" + f"{' / '.join(wordy):>57}",
        "    [ ] Variety g2 (g2), 2.5 m up, facing 195°, above reach",
        f"{' / '.join(wordy):>80}",
    ]


def test_the_caution_has_a_line_of_its_own() -> None:
    found = sheet(placed("a", 1, cautions=("ladder",), weather_words="a dry day"))
    line = CARDS["ladder"].line
    assert found.days[0].jobs[0].caution == line
    assert f'<p class="more"><b>Caution:</b> <span class="name">{line}</span></p>' in sheet_html(found)
    cautious = [text for text in sheet_text(found).splitlines() if "Caution:" in text]
    assert cautious == ["    Caution: Ladder work: firm feet, three points of contact, never on the last"]


def test_a_week_without_a_job_says_so() -> None:
    assert sheet_text(sheet()).splitlines() == [
        "Test hill: Thu 12 Mar 2026 to Wed 18 Mar 2026",
        "Nothing to do this week.",
    ]


def test_the_text_of_a_job_has_a_box_a_place_a_day_and_the_key() -> None:
    job = placed("a", 1, units=(unit("g1", place="2.5 m up", above_reach=True), unit("g2")), tools=("knife",))
    assert sheet_text(sheet(job)).splitlines()[3:] == [
        "Fri 13 Mar ------------------------------------------------------- 1 job, 20 min",
        "Carry: ladder, knife",
        "",
        "[ ] Do a, Old Tom                                  by Sat 21 Mar          20 min",
        "    [ ] Variety g1 (g1), 2.5 m up, above reach",
        "    [ ] Variety g2 (g2)",
        "    a/t1/2026",
        "",
        "These are the usual cautions, not all of them, and no law: follow the labels of",
        "tools and products, local codes and licensed practice wherever they are",
        "stricter, and leave what needs a licensed or trained person to them.",
    ]


def test_the_text_keeps_to_eighty_columns() -> None:
    long = placed("a", 1, title="漢字" * 60, place="x" * 200, units=(unit("g1", label="y" * 300),), tools=("z" * 100,))
    lines = sheet_text(sheet(*busy_week(), long)).splitlines()
    assert max(map(display_width, lines)) <= 80


def test_the_page_fetches_nothing_and_runs_nothing() -> None:
    page = Page(sheet_html(sheet(*busy_week())))
    assert not {"script", "link", "img", "iframe", "object", "embed", "form", "base"} & set(page.tags)
    assert not [name for name in page.attributes if name in ("src", "href") or name.startswith("on")]


def test_markup_and_controls_in_a_name_stay_text_on_the_page() -> None:
    tame = Page(sheet_html(sheet(placed("a", 1, title="x", place="x", tools=("x",), units=(unit("g1", label="x"),)))))
    nasty = placed("a", 1, title=NASTY, place=NASTY, tools=(NASTY,), units=(unit("g1", label=NASTY),))
    page = Page(sheet_html(sheet(nasty)))
    assert page.tags == tame.tags
    assert "<script>alert(1)</script> & \"x\" 'y' {{ 7*7 }} [b]␛[2J ?漢字" in page.texts


def test_the_page_holds_no_control_character() -> None:
    assert not [
        character
        for character in sheet_html(sheet(placed("a", 1, title=NASTY)))
        if character < " " != "\n" != character
    ]


def test_the_same_week_gives_the_same_page() -> None:
    assert sheet_html(sheet(*busy_week())) == sheet_html(sheet(*busy_week()))


@examples(25)
@given(text=st.text(max_size=120))
def test_no_text_of_a_person_adds_a_tag_or_a_line(text: str) -> None:
    jobs = [placed("a", 1, title=held, place=held, units=(unit("g1", label=held),)) for held in ("x", text)]
    tame, shown = (Page(sheet_html(sheet(job))) for job in jobs)
    assert shown.tags == tame.tags
    assert all(character.isprintable() or character in "\n" for character in sheet_text(sheet(jobs[1])))

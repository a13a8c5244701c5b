"""A season of asking and giving on a real folder: needed, asked for, promised, here; and what is sent to others."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from bench_acts import tick_job

from tendwork.errors import PersonError
from tendwork.orchard.records import Wood
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.planning.results import Task
from tendwork.view.wood import bundles
from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]

NOVEMBER, JANUARY, FEBRUARY = date(2026, 11, 20), date(2027, 1, 10), date(2027, 2, 1)
ASK = "ask-for-wood-apple-pear/site/2027"
REMIND = "remind-of-wood/site/2027"
GREEN = "green-lamp.apple"
GIVEN = {"variety": "Green Lamp", "species": "apple", "sticks": "2", "cut_on": "2025-01-10", "came_from": "P. Hill"}


@pytest.fixture
def bench(orchard_path: Path) -> Workbench:
    """One graft of Green Lamp is planned; P. Hill gave wood of it two winters ago, which is used up."""
    bench = Workbench.open(orchard_path)
    bench.records.entries.add("wood", {**GIVEN, "sticks": "0"}, NOVEMBER)
    return bench


def wood(bench: Workbench) -> list[Wood]:
    return list(bench.records.read().wood[1:])


def job(bench: Workbench, template: str, today: date) -> Task:
    return next(task for task in bench.plan.of(today).plan.tasks if task.template == template)


def shown(bench: Workbench, today: date) -> list[str]:
    return [one.shown for one in bundles(bench.records.read(), today, 12, False)][1:]


def test_a_wish_goes_from_needed_over_asked_and_promised_to_a_stored_bundle(bench: Workbench) -> None:
    asking = job(bench, "ask-for-wood-apple-pear", NOVEMBER)
    assert [unit.label for unit in asking.units] == ["Green Lamp for 1 apple graft: 1 stick, of P. Hill"]
    tick_job(bench, ASK, (), NOVEMBER)
    (held,) = wood(bench)
    assert (held.variety, held.sticks, held.came_from, held.asked_on, held.cut_on) == (
        "Green Lamp", 1, "P. Hill", NOVEMBER, None,
    )  # fmt: skip
    assert shown(bench, NOVEMBER) == ["asked"]
    assert job(bench, "ask-for-wood-apple-pear", NOVEMBER).units[0].outcome == "asked"

    reminding = job(bench, "remind-of-wood", JANUARY)
    assert [unit.label for unit in reminding.units] == ["Green Lamp (1 stick), asked of P. Hill"]
    tick_job(bench, REMIND, (), JANUARY, "promised")
    assert wood(bench)[0].answer == "promised"
    assert shown(bench, JANUARY) == ["coming"]

    bench.records.entries.change("wood", [held.id], {"cut_on": "2027-01-30", "mother_years": "6"}, FEBRUARY)
    assert shown(bench, FEBRUARY) == ["fresh"]
    storing = job(bench, "store-wood", FEBRUARY)
    assert [unit.id for unit in storing.units] == [held.id]


def test_one_undo_takes_the_tick_and_the_bundle_that_it_made_away(bench: Workbench) -> None:
    tick_job(bench, ASK, (), NOVEMBER)
    assert len(wood(bench)) == 1
    bench.records.undo(NOVEMBER)
    assert wood(bench) == []
    assert not list(standing_ticks(bench.records.read().ticks))


def test_an_answer_that_is_unticked_is_open_again(bench: Workbench) -> None:
    tick_job(bench, ASK, (), NOVEMBER)
    tick_job(bench, REMIND, (), JANUARY, "refused")
    assert wood(bench)[0].answer == "refused"
    bench.records.untick(REMIND, (), JANUARY)
    assert wood(bench)[0].answer == ""


def test_not_yet_leaves_the_answer_open(bench: Workbench) -> None:
    tick_job(bench, ASK, (), NOVEMBER)
    tick_job(bench, REMIND, (), JANUARY, "not yet")
    assert wood(bench)[0].answer == ""


def test_who_said_no_stands_there_and_another_can_be_asked(bench: Workbench) -> None:
    tick_job(bench, ASK, (), NOVEMBER)
    tick_job(bench, REMIND, (), JANUARY, "refused")
    assert shown(bench, JANUARY) == ["refused"]
    bench.records.entries.asked([wood(bench)[0].id], {"came_from": "R. Dale", "asked_on": "2027-01-10"}, JANUARY)
    assert shown(bench, JANUARY) == ["asked"]
    assert wood(bench)[0].came_from == "R. Dale"


def test_nobody_was_asked_in_the_future(bench: Workbench) -> None:
    with pytest.raises(PersonError, match="was asked for on 2027-02-01, in the future"):
        bench.records.entries.add("wood", {**GIVEN, "cut_on": "", "asked_on": "2027-02-01"}, NOVEMBER)


@pytest.mark.parametrize("field", [{"answer": "perhaps"}, {"mother_health": "fine"}, {"mother_years": "500"}])
def test_a_word_that_says_nothing_is_refused(bench: Workbench, field: dict[str, str]) -> None:
    with pytest.raises(PersonError):
        bench.records.entries.add("wood", {**GIVEN, **field}, NOVEMBER)


SENT = {"variety": "Red Lamp", "species": "apple", "sticks": "5", "cut_on": "2027-01-05", "came_from": "t1"}


def sending(bench: Workbench) -> Task:
    bench.records.entries.add("wood", {**SENT, "promised_to": "R. Dale", "promised_sticks": "3"}, JANUARY)
    return job(bench, "send-promised-wood", JANUARY)


def test_the_job_of_sending_says_how_many_sticks_go_to_whom_and_what_stands_on_the_label(bench: Workbench) -> None:
    task = sending(bench)
    assert [unit.label for unit in task.units] == ["Red Lamp (3 of 5 sticks to R. Dale)"]
    assert "For R. Dale, on the label: Red Lamp, apple; from Old apple; cut 2027-01-05; 3 sticks." in task.because
    assert {caution.card for caution in task.cautions} >= {"plant-health"}


def test_wood_of_a_sick_tree_is_still_not_sent(bench: Workbench) -> None:
    bench.records.entries.note("troubles", "t1", {"what": "fire blight", "day": "2026-12-01"}, JANUARY)
    (unit,) = sending(bench).units
    assert unit.state == "held"
    assert "give none away" in unit.held_by


def test_wood_of_a_sick_tree_is_not_offered_by_the_job_either(bench: Workbench) -> None:
    for graft in ("g1", "g2"):
        bench.records.entries.change("grafts", [graft], {"state": "took", "verdict": "keep"}, NOVEMBER)
    bench.records.entries.note("troubles", "t1", {"what": "canker", "day": "2026-11-02"}, NOVEMBER)
    (task,) = [task for task in bench.plan.of(NOVEMBER).plan.tasks if task.key == "offer-wood/site/2026"]
    assert [(unit.label, unit.state) for unit in task.units] == [
        ("Blue Lamp, 1 apple graft", "held"),
        ("Red Lamp, 1 apple graft", "held"),
    ]


def test_the_commands_print_a_message_for_each_person(run: Run, orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    bench.records.entries.add("wood", {**GIVEN, "sticks": "0"}, NOVEMBER)
    bench.records.entries.add("wood", {**GIVEN, "cut_on": "", "asked_on": "2026-11-12"}, NOVEMBER)
    bench.records.entries.add("grafts", {"variety": "Far Lamp", "tree": "t2", "method": "cleft"}, NOVEMBER)
    bench.close()
    asked = run("wood", "--ask", "--on", "2026-11-20").stdout
    assert "To ask of somebody not noted" in asked
    assert "- Far Lamp, pear: 1 stick, by Sun 31 Jan 2027, before it is cut" in asked
    assert "To remind" not in asked
    assert "- Green Lamp, apple: 2 sticks, of P. Hill; remind them from Sun 3 Jan 2027" in asked
    asked = run("wood", "--ask", "--on", "2027-01-05").stdout
    assert "To remind: P. Hill" in asked
    assert "- Green Lamp, apple: 2 sticks, asked on Thu 12 Nov 2026" in asked
    held = json.loads(run("wood", "--json", "--on", "2026-11-20").stdout)
    assert [(wish["state"], wish["variety"]) for wish in held["ask"]] == [
        ("unanswered", "Green Lamp"), ("to ask for", "Far Lamp"),
    ]  # fmt: skip
    assert {"offer", "pack", "cut"} <= held.keys()
    assert "No wood is promised to anybody." in run("wood", "--pack", "--on", "2026-11-20").stdout


def test_the_cutting_list_and_its_labels_come_as_text_and_as_pages(
    run: Run, orchard_path: Path, tmp_path: Path
) -> None:
    bench = Workbench.open(orchard_path)
    bench.records.entries.add("grafts", {"variety": "Red Lamp", "tree": "t1", "method": "cleft"}, NOVEMBER)
    bench.records.entries.add(
        "wood", {**SENT, "cut_on": "", "promised_to": "R. Dale", "promised_sticks": "3"}, NOVEMBER
    )
    bench.close()
    text = run("sheet", "--cutting", "--on", "2026-12-20").stdout
    assert "Old apple\n[ ] Red Lamp, apple: 5 sticks (1 for here, 3 for R. Dale, 1 to spare)\n    g1: 2.5 m up" in text
    labels = run("labels", "--bundles", "--on", "2026-12-20").stdout
    assert labels.splitlines() == [
        "Red Lamp\tapple, Old apple\t2 sticks\t\t1 for here, 1 to spare",
        "Red Lamp\tapple, Old apple\t3 sticks\t\tfor R. Dale",
    ]
    for words in (("sheet", "--cutting"), ("labels", "--bundles")):
        page = tmp_path / f"{words[0]}.html"
        assert "Wrote" in run(*words, "--html", str(page), "--on", "2026-12-20").stdout
        assert "Red Lamp" in page.read_text()


def test_a_command_is_asked_for_one_sheet_at_a_time(run: Run) -> None:
    done = run("sheet", "--cards", "--cutting")
    assert done.returncode == 2
    assert "two sheets" in done.stderr
    done = run("wood", "--ask", "--offer", "--pack")
    assert (done.returncode, done.stdout) == (2, "")
    assert "--ask and --offer and --pack are texts of their own" in done.stderr
    done = run("wood", "--pack", "--json")
    assert (done.returncode, done.stdout) == (2, "")
    assert 'under "pack"' in done.stderr


def test_wood_that_was_refused_is_asked_of_somebody_else(bench: Workbench) -> None:
    tick_job(bench, ASK, (), NOVEMBER)
    assert job(bench, "ask-for-wood-apple-pear", NOVEMBER).state == "done"
    tick_job(bench, REMIND, (), JANUARY, "refused")
    again = job(bench, "ask-for-wood-apple-pear", JANUARY)
    assert again.units[0].outcome == ""
    assert again.state not in ("done", "skipped")


def test_the_asking_closes_with_the_cutting_of_its_own_spring(bench: Workbench) -> None:
    for state in ("bearing", "planned"):
        bench.records.entries.add("grafts", {"variety": "Old Lamp", "tree": "t1", "state": state}, NOVEMBER)
    cutting, asking = (job(bench, f"{name}-apple-pear", NOVEMBER) for name in ("collect-wood", "ask-for-wood"))
    assert asking.key.endswith("/2027")
    assert date(2026, 12, 31) < asking.window.closes <= cutting.window.closes
    assert asking.window.lapses <= cutting.window.lapses


PROMISED_OPAL = {"variety": "Opal", "species": "apple", "sticks": "3", "came_from": "t1", "promised_to": "Ida"}


def units(bench: Workbench, template: str, today: date) -> list[tuple[str, str]]:
    tasks = [task for task in bench.plan.of(today).plan.tasks if task.template == template]
    return [(unit.label, unit.state) for task in tasks if task.season == 2027 for unit in task.units]


def test_wood_that_is_promised_is_cut_before_it_is_sent(bench: Workbench) -> None:
    bench.records.entries.add("wood", {**PROMISED_OPAL, "promised_sticks": "3"}, NOVEMBER)
    assert ("Opal: 3 sticks, of them 3 for Ida", "open") in units(bench, "collect-wood-apple-pear", JANUARY)
    for day in (JANUARY, date(2027, 3, 20)):
        assert units(bench, "send-promised-wood", day) == []
    tick_job(bench, "collect-wood-apple-pear/site/2027", ("opal.apple",), JANUARY)
    assert wood(bench)[0].cut_on == JANUARY
    assert [label for label, _ in units(bench, "send-promised-wood", JANUARY)] == ["Opal (3 of 3 sticks to Ida)"]
    bench.records.entries.add("wood", {**PROMISED_OPAL, "promised_sticks": "3"}, FEBRUARY)
    assert [unit for unit in units(bench, "collect-wood-apple-pear", FEBRUARY) if unit[1] != "done"]


def test_wood_that_no_tree_here_has_is_asked_for_and_not_cut(bench: Workbench) -> None:
    for variety in ("Far Lamp", "Coming Lamp"):
        bench.records.entries.add("grafts", {"variety": variety, "tree": "t1", "method": "cleft"}, NOVEMBER)
    coming = {**GIVEN, "variety": "Coming Lamp", "cut_on": "", "asked_on": "2026-11-01", "answer": "promised"}
    bench.records.entries.add("wood", coming, NOVEMBER)
    assert units(bench, "collect-wood-apple-pear", date(2026, 12, 28)) == []
    asking = units(bench, "ask-for-wood-apple-pear", date(2026, 12, 28))
    assert [label.partition(" for ")[0] for label, _ in asking] == ["Far Lamp", "Green Lamp"]


def test_wood_of_a_tree_that_only_a_bundle_names_is_held_with_that_tree(bench: Workbench) -> None:
    bench.records.entries.note("troubles", "t1", {"what": "mosaic or rings", "day": "2026-11-02"}, NOVEMBER)
    bench.records.entries.add("wood", {**PROMISED_OPAL, "promised_sticks": "3"}, NOVEMBER)
    ((_, state),) = units(bench, "collect-wood-apple-pear", JANUARY)
    assert state == "held"


def test_no_request_is_written_for_wood_that_was_ticked_as_not_needed(run: Run, bench: Workbench) -> None:
    asked = run("wood", "--ask", "--on", "2026-11-20").stdout
    assert "Green Lamp, apple: 1 stick" in asked
    tick_job(bench, ASK, (), NOVEMBER, "not needed")
    bench.close()
    assert "Green Lamp" not in run("wood", "--ask", "--on", "2026-11-20").stdout
    assert json.loads(run("wood", "--json", "--on", "2026-11-20").stdout)["ask"] == []
    assert "Green Lamp, apple: 1 stick" in run("wood", "--ask", "--on", "2027-11-20").stdout


def test_nobody_is_reminded_on_the_day_of_the_asking_nor_somebody_who_is_not_noted(run: Run, bench: Workbench) -> None:
    bench.records.entries.add("grafts", {"variety": "Far Lamp", "tree": "t1", "method": "cleft"}, NOVEMBER)
    tick_job(bench, ASK, (), NOVEMBER)
    bench.close()
    for day in ("2026-11-20", "2027-01-05"):
        said = run("wood", "--ask", "--on", day).stdout
        assert "To remind: somebody" not in said
        assert "Far Lamp, apple: 1 stick, of somebody not noted; note on Wood whom you asked" in " ".join(said.split())
        assert ("To remind: P. Hill" in said) == (day == "2027-01-05")


def bring_wood(run: Run, tmp_path: Path, *rows: str) -> subprocess.CompletedProcess[str]:
    file = tmp_path / "wood.csv"
    heading = "id,variety,species,sticks,cut_on,from,asked_on,answer,promised_to,promised_sticks"
    file.write_text("\n".join((heading, *rows)) + "\n")
    return run("bring", str(file), "--as", "wood", "--on", "2027-01-20")


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (
            "c1,Beta,apple,3,2027-01-02,P. Hill,2027-01-09,,,",
            "was asked for on 2027-01-09, after it was cut on 2027-01-02",
        ),
        ("c1,Beta,apple,3,2027-01-02,P. Hill,2026-12-09,refused,,", "was refused, and yet cut on 2027-01-02"),
    ],
)
def test_wood_that_contradicts_itself_is_refused_where_it_is_brought(
    run: Run, tmp_path: Path, orchard_path: Path, row: str, words: str
) -> None:
    done = bring_wood(run, tmp_path, row)
    assert done.returncode == 1
    assert words in " ".join(done.stderr.split())
    bench = Workbench.open(orchard_path)
    with bench._folder.records.act("kept by an earlier version") as act:
        refused = "refused" in row
        asked_on = date(2026, 12, 9) if refused else JANUARY
        act.add(
            Wood("c1", "Beta", "apple", 3, date(2027, 1, 2), "P. Hill", asked_on=asked_on, answer="refused" * refused)
        )
    bench.close()
    found = run("check", "--on", "2027-01-20")
    assert found.returncode == 1
    assert words.partition(" on ")[0] in " ".join(found.stdout.split())


def test_doubtful_wood_is_said_where_it_is_brought_and_by_check(run: Run, tmp_path: Path) -> None:
    rows = ("c2,Beta,apple,3,2027-01-02,t1,,,Ann,9", "c3,Gamma,pear,2,,t1,,,,", "c4,Good,pear,2,,t2,,,Ann,2")
    done = bring_wood(run, tmp_path, *rows)
    assert done.returncode == 0
    for said in (done.stdout, run("check", "--on", "2027-01-20").stdout):
        told = " ".join(said.split())
        assert 'Bundle "c2" of Beta has 3 sticks, and 9 of it are promised: 6 missing.' in told
        assert 'Bundle "c3" of Gamma (pear) is from Old apple, on which no pear was ever noted.' in told
        assert '"c4"' not in told

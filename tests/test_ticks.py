"""Ticks on a real folder: what is ticked stays, many are one act, a finding is never made up, a wrap is noted."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from bench_acts import tick_job

from tendwork.errors import PersonError
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.workbench.bench import Workbench
from tendwork.workbench.records_room import JobTick

Run = Callable[..., subprocess.CompletedProcess[str]]

MAY = date(2026, 5, 8)
LATER = date(2026, 5, 11)
APRIL = date(2026, 4, 24)
TAKE = "check-take/t1/2026"
PEAR_TAKE = "check-take/t2/2026"


@pytest.fixture
def bench(orchard_path: Path) -> Workbench:
    return Workbench.open(orchard_path)


def standing(bench: Workbench) -> list[tuple[str, str]]:
    return [(tick.unit, tick.outcome) for tick in standing_ticks(bench.records.read().ticks)]


def graft(bench: Workbench, identity: str):
    return next(held for held in bench.records.read().grafts if held.id == identity)


def cleft(bench: Workbench) -> str:
    """The job in which the planned graft g3 is set."""
    return next(
        task.key
        for task in bench.plan.of(APRIL).plan.tasks
        if "set" in task.outcomes and any(unit.id == "g3" for unit in task.units)
    )


def test_a_second_tick_says_since_when_and_one_undo_takes_the_tick_away(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    said = tick_job(bench, TAKE, ("g1",), LATER, "took")
    assert said.endswith("Red Lamp: took since 8 May already; nothing was changed.")
    bench.records.undo(LATER)
    assert standing(bench) == []


def test_of_several_units_the_rest_is_ticked_and_those_before_are_named(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    said = tick_job(bench, TAKE, ("g1", "g2"), LATER, "took")
    assert "Blue Lamp: took. Red Lamp: took since 8 May already." in said
    bench.records.undo(LATER)
    assert standing(bench) == [("g1", "took")]


def test_another_outcome_takes_the_place_of_the_first_and_undo_brings_the_first_back(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    said = tick_job(bench, TAKE, ("g1",), LATER, "failed")
    assert said.endswith("Red Lamp: failed instead of took.")
    assert graft(bench, "g1").state == "failed"
    bench.records.undo(LATER)
    assert (graft(bench, "g1").state, standing(bench)) == ("took", [("g1", "took")])


def test_untick_of_another_outcome_restores_the_first_with_what_it_changed(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    tick_job(bench, TAKE, ("g1",), LATER, "failed")
    bench.records.untick(TAKE, ("g1",), LATER)
    assert (graft(bench, "g1").state, standing(bench)) == ("took", [("g1", "took")])
    bench.records.untick(TAKE, ("g1",), LATER)
    assert (graft(bench, "g1").state, standing(bench)) == ("set", [])


def test_what_a_replaced_outcome_changed_is_changed_back(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    tick_job(bench, TAKE, ("g1",), MAY, "failed")
    tick_job(bench, TAKE, ("g1",), LATER, "not yet")
    assert graft(bench, "g1").state == "set"
    bench.records.untick(TAKE, ("g1",), LATER)
    assert graft(bench, "g1").state == "failed"


def test_a_graft_that_was_set_by_mistake_is_planned_again_when_it_is_not_yet_set(bench: Workbench) -> None:
    job = cleft(bench)
    bench.records.tick((JobTick(job, ("g3",)),), APRIL, "film")
    tick_job(bench, job, ("g3",), APRIL, "not yet")
    assert (graft(bench, "g3").state, graft(bench, "g3").set_on, graft(bench, "g3").wrap) == (
        "planned",
        None,
        "budding rubber",
    )


@pytest.mark.parametrize("back", ["tick", "untick"])
def test_a_graft_that_took_since_is_not_made_one_that_was_never_set(bench: Workbench, back: str) -> None:
    job, june = cleft(bench), date(2026, 6, 1)
    tick_job(bench, job, ("g3",), APRIL)
    tick_job(bench, TAKE, ("g3",), june, "took")
    undo = {
        "untick": lambda: bench.records.untick(job, ("g3",), june),
        "tick": lambda: tick_job(bench, job, ("g3",), june, "not yet"),
    }
    with pytest.raises(PersonError, match="Undo first what was ticked since"):
        undo[back]()
    assert (graft(bench, "g3").state, graft(bench, "g3").set_on) == ("took", APRIL)


def test_not_yet_on_another_day_is_news(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "not yet")
    tick_job(bench, TAKE, ("g1",), MAY, "not yet")
    tick_job(bench, TAKE, ("g1",), LATER, "not yet")
    assert [tick.day for tick in bench.records.read().ticks] == [MAY, LATER]


def test_a_note_on_what_is_ticked_is_kept_with_the_day_of_the_tick(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    said = tick_job(bench, TAKE, ("g1",), LATER, "took", "two buds")
    (tick,) = standing_ticks(bench.records.read().ticks)
    assert (tick.day, tick.note) == (MAY, "two buds")
    assert said.endswith("took since 8 May already, note added.")


def test_ticks_of_several_jobs_are_one_act_and_undo_says_how_many(bench: Workbench) -> None:
    jobs = (JobTick(TAKE, ("g1", "g2"), "took"), JobTick(PEAR_TAKE, ("g4",), "took"))
    assert bench.records.tick(jobs, MAY) == "3 ticks in 2 jobs: took."
    assert bench.records.undo(MAY) == "Undone: 3 ticks in 2 jobs: took."
    assert standing(bench) == []
    assert {held.state for held in bench.records.read().grafts} == {"set", "planned"}


def test_undo_says_how_many_units_of_one_job_it_undid(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1", "g2"), MAY, "took")
    assert bench.records.undo(MAY).startswith("Undone: 2 ticks of ")


def test_where_one_tick_cannot_be_none_is_made(bench: Workbench) -> None:
    jobs = (JobTick(TAKE, ("g1",), "took"), JobTick(PEAR_TAKE, ("g4",), "maybe"))
    with pytest.raises(PersonError, match='"maybe" is no outcome'):
        bench.records.tick(jobs, MAY)
    assert bench.records.read().ticks == ()


def test_several_jobs_are_put_off_in_one_act(bench: Workbench) -> None:
    said = bench.records.put_off((TAKE, PEAR_TAKE), LATER, MAY)
    assert said == "2 jobs: put off until Mon 11 May 2026."
    assert bench.records.put_off((TAKE, PEAR_TAKE), LATER, MAY).endswith("Mon 11 May 2026 already.")
    bench.records.undo(MAY)
    assert standing(bench) == []


def test_where_one_job_cannot_be_put_off_none_is(bench: Workbench) -> None:
    with pytest.raises(PersonError, match="Nothing was put off"):
        bench.records.put_off((TAKE, PEAR_TAKE), date(2026, 12, 24), MAY)
    assert bench.records.read().ticks == ()


def test_without_a_terminal_a_finding_is_asked_for_by_its_words(run: Run) -> None:
    done = run("tick", TAKE, "g1", "--on", "2026-05-08")
    assert (done.returncode, done.stdout) == (1, "")
    assert '"took", "not yet", "failed", "skipped"' in done.stderr
    assert "took" not in run("trees").stdout


def test_work_needs_no_outcome(bench: Workbench) -> None:
    tick_job(bench, cleft(bench), ("g3",), APRIL)
    assert standing(bench) == [("g3", "set")]


def test_a_list_of_words_of_one_s_own_is_asked_and_a_single_one_is_not(bench: Workbench, orchard_path: Path) -> None:
    (orchard_path / "templates").mkdir(exist_ok=True)
    (orchard_path / "templates" / "own.toml").write_text(
        "".join(
            f'[[template]]\nid = "{name}"\ntitle = "Sweep"\npart = "upkeep"\neach = "site"\n'
            f'opens = {{ date = "05-01" }}\ncloses = {{ date = "05-30" }}\noutcomes = {outcomes}\n'
            for name, outcomes in (("many", '["swept", "left"]'), ("one", '["swept"]'), ("found", '["all well"]'))
        )
    )
    bench.refresh_files()
    tick_job(bench, "one/site/2026", (), MAY)
    for name in ("many", "found"):
        with pytest.raises(PersonError, match="is for you to say"):
            tick_job(bench, f"{name}/site/2026", (), MAY)
    assert standing(bench) == [("site", "swept")]


def test_the_wrap_is_noted_with_the_graft_and_goes_back_with_its_tick(bench: Workbench) -> None:
    job = cleft(bench)
    bench.records.tick((JobTick(job, ("g3",)),), APRIL, "film")
    assert (graft(bench, "g3").state, graft(bench, "g3").wrap) == ("set", "film")
    bench.records.untick(job, ("g3",), APRIL)
    assert (graft(bench, "g3").state, graft(bench, "g3").wrap) == ("planned", "budding rubber")


def test_without_a_word_the_planned_wrap_stays(bench: Workbench) -> None:
    assert "wrap not noted" not in tick_job(bench, cleft(bench), ("g3",), APRIL)
    assert graft(bench, "g3").wrap == "budding rubber"


def test_a_wrap_that_nobody_knows_is_left_empty_and_said(bench: Workbench) -> None:
    said = bench.records.tick((JobTick(cleft(bench), ("g3",)),), APRIL, "")
    assert said.endswith("Green Lamp: set; wrap not noted: Green Lamp.")
    assert graft(bench, "g3").wrap == ""


def test_no_wrap_is_a_word_of_its_own(bench: Workbench) -> None:
    said = bench.records.tick((JobTick(cleft(bench), ("g3",)),), APRIL, "none")
    assert (graft(bench, "g3").wrap, "not noted" in said) == ("none", False)


@pytest.mark.parametrize(("typed", "kept"), [("PVC  Tape", "PVC tape"), ("pvc tape", "PVC tape"), (" Film ", "film")])
def test_a_wrap_is_known_whatever_its_capitals(bench: Workbench, typed: str, kept: str) -> None:
    bench.records.tick((JobTick(cleft(bench), ("g3",)),), APRIL, typed)
    assert graft(bench, "g3").wrap == kept


def test_a_strange_wrap_is_kept_and_the_nearest_known_one_is_named(bench: Workbench) -> None:
    said = bench.records.tick((JobTick(cleft(bench), ("g3",)),), APRIL, "buding rubber")
    assert graft(bench, "g3").wrap == "buding rubber"
    assert 'Did you mean "budding rubber"?' in said


def test_a_wrap_can_be_noted_after_the_graft_was_set(bench: Workbench) -> None:
    job = cleft(bench)
    bench.records.tick((JobTick(job, ("g3",)),), APRIL, "")
    said = bench.records.tick((JobTick(job, ("g3",)),), APRIL, "raffia")
    assert (graft(bench, "g3").wrap, said.endswith("already, wrap noted.")) == ("raffia", True)
    bench.records.undo(APRIL)
    assert (graft(bench, "g3").wrap, graft(bench, "g3").state) == ("", "set")


def test_a_wrap_on_what_is_no_grafting_is_refused(bench: Workbench) -> None:
    with pytest.raises(PersonError, match='A wrap is noted with the outcome "set"'):
        bench.records.tick((JobTick(TAKE, ("g1",), "took"),), MAY, "film")


def test_the_command_notes_the_wrap(run: Run, bench: Workbench) -> None:
    done = run("tick", cleft(bench), "g3", "--wrap", "raffia", "--on", "2026-04-24")
    assert (done.returncode, done.stderr) == (0, "")
    assert graft(bench, "g3").wrap == "raffia"


def at_a_terminal(orchard: Path, typed: str, *words: str) -> str:
    """What the command shows at a terminal where a person types."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "tendwork", "--orchard", str(orchard), *words]
    child = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=os.environ.copy())
    os.close(theirs)
    os.write(ours, typed.encode())
    shown, until = b"", time.monotonic() + 60
    while time.monotonic() < until:
        if select.select([ours], [], [], 0.1)[0]:
            try:
                shown += os.read(ours, 4096)
            except OSError:
                break
        elif child.poll() is not None:
            break
    child.wait(timeout=60)
    os.close(ours)
    return shown.decode()


def test_at_a_terminal_the_outcome_is_asked_with_numbers(bench: Workbench, orchard_path: Path) -> None:
    shown = at_a_terminal(orchard_path, "3\n", "tick", TAKE, "g1", "--on", "2026-05-08")
    assert "1  took" in shown
    assert standing(bench) == [("g1", "failed")]


def test_at_a_terminal_the_wrap_is_asked_where_the_graft_has_none(bench: Workbench, orchard_path: Path) -> None:
    bench.records.entries.change("grafts", ("g3",), {"wrap": ""}, APRIL)
    shown = at_a_terminal(orchard_path, "\n", "tick", cleft(bench), "g3", "--on", "2026-04-24")
    assert "1  raffia" in shown  # the wrap of g4, which was set last
    assert graft(bench, "g3").wrap == "raffia"


GREEN = "id,variety,species,sticks,cut_on,from\nw1,Green Lamp,apple,{},2026-01-20,t2\n"


def bring_green(bench: Workbench, folder: Path, sticks: int) -> None:
    """A bundle of the planned graft's variety; the tree that it is said to be from is not the one grafted on."""
    file = folder / "wood.csv"
    file.write_text(GREEN.format(sticks))
    bench.records.bring(file, "wood", APRIL)


def sticks(bench: Workbench) -> int | None:
    (bundle,) = bench.records.read().wood
    return bundle.sticks


def before_the_act(
    monkeypatch: pytest.MonkeyPatch, orchard: Path, write: Callable[[Workbench], object], name: str = "act"
) -> None:
    """Let another write right before the next act, when the one who acts has looked at all that it looks at before."""
    act = getattr(RecordStore, name)

    def waited(store: RecordStore, *words: object) -> object:
        monkeypatch.setattr(RecordStore, name, act)
        other = Workbench.open(orchard)
        write(other)
        other.close()
        return act(store, *words)

    monkeypatch.setattr(RecordStore, name, waited)


def test_a_graft_takes_no_sticks_of_wood_from_a_blighted_tree(bench: Workbench, tmp_path: Path) -> None:
    bring_green(bench, tmp_path, 4)
    job = cleft(bench)
    tick_job(bench, job, ("g3",), APRIL, "set")
    assert (graft(bench, "g3").wood, sticks(bench)) == ("w1", 3)
    bench.records.undo(APRIL)
    bench.records.entries.note("troubles", "t2", {"what": "fire blight"}, APRIL)
    tick_job(bench, job, ("g3",), APRIL, "set", sure=True)
    assert (graft(bench, "g3").state, graft(bench, "g3").wood, sticks(bench)) == ("set", "", 4)


def test_a_graft_takes_no_sticks_of_a_tree_on_which_blight_is_noted_at_the_last_moment(
    bench: Workbench, orchard_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bring_green(bench, tmp_path, 4)
    job = cleft(bench)
    before_the_act(
        monkeypatch,
        orchard_path,
        lambda other: other.records.entries.note("troubles", "t2", {"what": "fire blight"}, APRIL),
    )
    tick_job(bench, job, ("g3",), APRIL, "set")
    assert (graft(bench, "g3").state, graft(bench, "g3").wood, sticks(bench)) == ("set", "", 4)


def test_what_was_seen_is_of_the_tree_as_another_has_just_left_it(
    bench: Workbench, orchard_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.records.entries.add("trees", {"name": "Young", "species": "apple"}, APRIL)
    before_the_act(
        monkeypatch,
        orchard_path,
        lambda other: other.records.entries.change("trees", ("t3",), {"species": "pear"}, APRIL),
    )
    with pytest.raises(PersonError, match='Tree "t3" is pear, not apple'):
        bench.records.saw("apple", "full bloom", APRIL, "t3", sure=True)
    assert bench.records.read().sightings == ()


def test_a_job_is_undone_with_its_act_where_that_is_the_newest_and_else_by_itself(bench: Workbench) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    bench.records.entries.add("trees", {"name": "Young", "species": "plum"}, MAY)
    assert "undone" in bench.records.undo_job(TAKE, ("g1",), MAY)
    assert standing(bench) == []
    assert [tree.id for tree in bench.records.read().trees] == ["t1", "t2", "t3"]
    tick_job(bench, TAKE, ("g1", "g2"), MAY, "took")
    assert bench.records.undo_job(TAKE, ("g1", "g2"), MAY).startswith("Undone: ")
    assert standing(bench) == []


def test_an_act_that_another_did_at_the_last_moment_is_not_undone_with_a_job(
    bench: Workbench, orchard_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tick_job(bench, TAKE, ("g1",), MAY, "took")
    young = {"name": "Young", "species": "plum"}
    before_the_act(monkeypatch, orchard_path, lambda other: other.records.entries.add("trees", young, MAY), "undo_last")
    bench.records.undo_job(TAKE, ("g1",), MAY)
    assert standing(bench) == []
    assert [tree.id for tree in bench.records.read().trees] == ["t1", "t2", "t3"]


def test_sticks_that_are_gone_meanwhile_are_not_counted_below_none(bench: Workbench, tmp_path: Path) -> None:
    bring_green(bench, tmp_path, 1)
    job = cleft(bench)
    tick_job(bench, job, ("g3",), APRIL, "set")
    assert sticks(bench) == 0
    tick_job(bench, job, ("g3",), APRIL, "not yet")
    assert sticks(bench) == 1
    bench.records.entries.change("wood", ("w1",), {"sticks": "0"}, APRIL)
    bench.records.untick(job, ("g3",), APRIL)
    assert (graft(bench, "g3").state, sticks(bench)) == ("set", 0)

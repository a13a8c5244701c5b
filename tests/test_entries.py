"""What a person records from a front: each edit is one act, goes back with one undo, and is refused in a sentence."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import msgspec
import pytest
from ticks_taken_back import take_back

from tendwork.errors import PersonError
from tendwork.orchard.records import Graft, Records, Tasting, Wood
from tendwork.species import SPECIES
from tendwork.workbench.bench import Workbench
from tendwork.workbench.entries import Entries

TODAY = date(2026, 11, 2)
Edit = Callable[[Entries], str]
WOOD = "id,variety,species,sticks,cut_on,promised_to,promised_sticks\nw1,Red Lamp,apple,4,2026-01-20,R. Dale,1\n"


@pytest.fixture
def bench(orchard_path: Path, tmp_path: Path) -> Workbench:
    """Two trees, four grafts (g1, g2 and g4 set in April 2026, g3 planned), a bundle."""
    bench = Workbench.open(orchard_path)
    file = tmp_path / "wood.csv"
    file.write_text(WOOD)
    bench.records.bring(file, "wood", TODAY)
    return bench


def graft(bench: Workbench, identity: str) -> Graft:
    return next(graft for graft in bench.records.read().grafts if graft.id == identity)


def without_ticks(records: Records) -> Records:
    return msgspec.structs.replace(records, ticks=())


RED = {"variety": "Red Lamp", "method": "cleft", "wood": "w1", "facing": "SE"}
EDITS: dict[str, Edit] = {
    "Young plum (t3) added.": lambda entries: entries.add("trees", {"name": "Young plum", "species": "Plum"}, TODAY),
    "Far Lamp (g5) added.": lambda entries: entries.add(
        "grafts", {"tree": "t2", "variety": "Far Lamp", "method": "cleft"}, TODAY
    ),
    "Far Lamp (w2) added.": lambda entries: entries.add(
        "wood", {"variety": "Far Lamp", "species": "pear", "sticks": "3"}, TODAY
    ),
    "Old apple (t1) changed.": lambda entries: entries.change("trees", ("t1",), {"place": "by the well"}, TODAY),
    "Red Lamp (g1) changed.": lambda entries: entries.change("grafts", ("g1",), {"state": "took", "wrap": ""}, TODAY),
    "3 grafts changed.": lambda entries: entries.change("grafts", ("g1", "g2", "g4"), {"state": "took"}, TODAY),
    "Red Lamp (w1) changed.": lambda entries: entries.change("wood", ("w1",), {"kept": "sand pit"}, TODAY),
    "2 grafts changed.": lambda entries: entries.move(("g1", "g2"), "t2", {}, TODAY),
    "Blue Lamp (g2) changed.": lambda entries: entries.move(("g2",), "", {"facing": "SE", "height_m": "8 ft"}, TODAY),
    "Red Lamp (g1) split, g5 added.": lambda entries: entries.split_graft("g1", {"facing": "90"}, TODAY),
    "2 sticks of w1 put into w2.": lambda entries: entries.split_bundle("w1", {"sticks": "2"}, TODAY),
    "Green Lamp (g3) removed.": lambda entries: entries.remove("grafts", ("g3",), TODAY),
    "2 grafts removed.": lambda entries: entries.remove("grafts", ("g1", "g2"), TODAY),
    "Red Lamp (w1) removed.": lambda entries: entries.remove("wood", ("w1",), TODAY),
    "Red Lamp (g5) set, 3 sticks left in w1, 1 promised; Red Lamp (g6) set, 3 sticks left in w1, 1 promised.": (
        lambda entries: entries.set_grafts("t1", (RED,) * 2, TODAY)
    ),
    "Red Lamp (g1) tasted.": lambda entries: entries.taste({"graft": "g1", "score": "4", "ripe": "ripe"}, TODAY),
    "2 grafts judged: cut.": lambda entries: entries.judge(("g1", "g2"), "cut", TODAY),
}


@pytest.mark.parametrize("words", EDITS)
def test_a_deed_is_one_act_that_says_what_it_did_and_goes_back_with_one_undo(bench: Workbench, words: str) -> None:
    before = bench.records.read()
    assert EDITS[words](bench.records.entries) == words
    assert bench.records.read() != before
    assert bench.records.undo(TODAY) == f"Undone: {words}"
    assert bench.records.read() == before


def test_a_whole_day_goes_back_act_by_act(bench: Workbench) -> None:
    seen = [bench.records.read()]
    for words in ("Young plum (t3) added.", "3 grafts changed.", "Red Lamp (g1) tasted.", "2 grafts judged: cut."):
        EDITS[words](bench.records.entries)
        seen.append(bench.records.read())
    for before in reversed(seen[:-1]):
        bench.records.undo(TODAY)
        assert bench.records.read() == before


REFUSED: dict[str, Edit] = {
    'There is already a graft "g1". Choose another id.': lambda entries: entries.add(
        "grafts", {"id": "g1", "tree": "t1", "variety": "Red Lamp"}, TODAY
    ),
    'There is already a tree "t1". Choose another id.': lambda entries: entries.add(
        "trees", {"id": "t1", "name": "Other", "species": "apple"}, TODAY
    ),
    'Graft g5 "Red Lamp" is on tree "t9", which is not there. Add the tree, or name another.': lambda entries: (
        entries.add("grafts", {"tree": "t9", "variety": "Red Lamp"}, TODAY)
    ),
    'Graft g1 "Red Lamp" was set on 2026-01-02, before its wood "w1" was cut on 2026-01-20. Mend one of the two dates,'
    " or name other wood.": lambda entries: entries.change(
        "grafts", ("g1",), {"wood": "w1", "set_on": "2026-01-02"}, TODAY
    ),
    'Graft g3 "Green Lamp" is "took" but was never set. Give the day on which it was set.': lambda entries: (
        entries.change("grafts", ("g3",), {"state": "took"}, TODAY)
    ),
    'Graft g1 "Red Lamp" is set on 2026-11-03, in the future. Mend the date, or plan it without.': (
        lambda entries: entries.change("grafts", ("g1",), {"set_on": "2026-11-03"}, TODAY)
    ),
    "Old apple carries Red Lamp (g1), Blue Lamp (g2) and Green Lamp (g3). Move or remove its grafts first.": (
        lambda entries: entries.remove("trees", ("t1",), TODAY)
    ),
    'There is no graft "g9". Choose one that is there.': lambda entries: entries.remove("grafts", ("g9",), TODAY),
    'There is no bundle of wood "w9". Choose one that is there.': lambda entries: entries.change(
        "wood", ("w9",), {"kept": "fridge"}, TODAY
    ),
    'Green Lamp (g3) is "planned", so it has no fruit: choose another graft.': lambda entries: entries.taste(
        {"graft": "g3", "score": "4"}, TODAY
    ),
    'Bundle "w1" has 4 sticks: split off at least one, and leave at least one.': lambda entries: entries.split_bundle(
        "w1", {"sticks": "4"}, TODAY
    ),
    'Height "high" is not a number.': lambda entries: entries.move(("g1",), "", {"height_m": "high"}, TODAY),
    "Facing 400 is not between 0 and 359.": lambda entries: entries.split_graft("g1", {"facing": "400"}, TODAY),
    f'Species "oak" is not a species. Known: {", ".join(SPECIES)}.': lambda entries: entries.add(
        "trees", {"name": "New", "species": "oak"}, TODAY
    ),
    "Name is missing.": lambda entries: entries.add("trees", {"name": " ", "species": "apple"}, TODAY),
    'Set on "12/4/26" is not a date, such as 2026-03-15.': lambda entries: entries.change(
        "grafts", ("g1",), {"set_on": "12/4/26"}, TODAY
    ),
    "State is missing: planned, set, took, failed, bearing, removed.": lambda entries: entries.change(
        "grafts", ("g1",), {"state": ""}, TODAY
    ),
    "Nothing was changed.": lambda entries: entries.change("grafts", ("g1",), {}, TODAY),
}


@pytest.mark.parametrize("words", REFUSED)
def test_what_cannot_be_is_refused_in_a_sentence_and_changes_nothing(bench: Workbench, words: str) -> None:
    before = bench.records.read()
    with pytest.raises(PersonError) as refused:
        REFUSED[words](bench.records.entries)
    assert str(refused.value) == words
    assert bench.records.read() == before


def test_one_bad_graft_among_many_refuses_all(bench: Workbench) -> None:
    before = bench.records.read()
    with pytest.raises(PersonError, match="never set"):
        bench.records.entries.change("grafts", ("g1", "g3"), {"state": "took"}, TODAY)
    assert bench.records.read() == before


def test_a_change_leaves_what_was_not_typed(bench: Workbench) -> None:
    before = graft(bench, "g1")
    bench.records.entries.change("grafts", ("g1",), {"note": "low limb"}, TODAY)
    assert graft(bench, "g1") == msgspec.structs.replace(before, note="low limb")


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("SE", 135),
        ("south-east", 135),
        ("North west", 315),
        ("n", 0),
        ("west", 270),
        ("360", 0),
        ("SSW", 202),
        ("135°", 135),
        ("47", 47),
        ("", None),
    ],
)
def test_a_direction_may_be_typed_in_letters_or_degrees(bench: Workbench, typed: str, degrees: int | None) -> None:
    bench.records.entries.move(("g1",), "", {"facing": typed}, TODAY)
    assert graft(bench, "g1").facing == degrees


# 1 foot = 0.3048 m exactly (international yard and pound agreement, 1959): 8 ft = 2.4384 m, 6.5 ft = 1.9812 m.
@pytest.mark.parametrize(
    ("typed", "metres"), [("8 ft", 2.44), ("6.5ft", 1.98), ("8'", 2.44), ("2,5", 2.5), ("2.5", 2.5)]
)
def test_a_length_may_be_typed_in_feet_and_with_a_decimal_comma(bench: Workbench, typed: str, metres: float) -> None:
    bench.records.entries.move(("g1",), "", {"height_m": typed}, TODAY)
    assert graft(bench, "g1").height_m == metres


def test_a_tree_that_carries_nothing_is_removed(bench: Workbench) -> None:
    bench.records.entries.move(("g4",), "t1", {}, TODAY)
    bench.records.entries.remove("trees", ("t2",), TODAY)
    assert [tree.id for tree in bench.records.read().trees] == ["t1"]


def test_a_moved_graft_loses_the_place_it_had(bench: Workbench) -> None:
    bench.records.entries.move(("g1", "g2"), "t2", {}, TODAY)
    assert (graft(bench, "g1").tree, graft(bench, "g1").height_m) == ("t2", None)


def test_a_series_counts_the_wood_down_and_uses_up_what_was_planned(bench: Workbench) -> None:
    series = [{"variety": "Green Lamp", "method": "cleft"}, *[RED] * 4]
    bench.records.entries.set_grafts("t1", series, date(2026, 4, 20))
    assert (graft(bench, "g3").state, graft(bench, "g3").set_on) == ("set", date(2026, 4, 20))
    assert [one.wood for one in bench.records.read().grafts[4:]] == ["w1"] * 4
    assert bench.records.read().wood[0].sticks == 2  # four grafts at three a stick open two of the four sticks


def test_a_tasting_makes_a_graft_that_took_bear(bench: Workbench) -> None:
    bench.records.entries.change("grafts", ("g1",), {"state": "took"}, TODAY)
    bench.records.entries.taste({"graft": "g1", "score": "5", "ripe": "ripe", "note": "sharp"}, TODAY)
    assert graft(bench, "g1").state == "bearing"
    assert bench.records.read().tastings == (Tasting(TODAY, "g1", "ripe", 5, "", "sharp"),)


def test_sticks_split_off_leave_the_promise_with_the_old_bundle(bench: Workbench) -> None:
    bench.records.entries.split_bundle("w1", {"sticks": "3"}, TODAY)
    assert [(one.id, one.sticks, one.promised_sticks) for one in bench.records.read().wood] == [
        ("w1", 1, 1),
        ("w2", 3, 0),
    ]


OCTOBER = date(2026, 10, 10)


@pytest.fixture
def in_october(bench: Workbench) -> Workbench:
    """An old graft bears, so its tasting and its judging are asked for."""
    typed = {"tree": "t1", "variety": "Old Lamp", "state": "bearing", "set_on": "2015-04-01"}
    typed |= {"ripens_from": "10-01", "ripens_to": "10-20"}
    bench.records.entries.add("grafts", typed, TODAY)
    bench.plan.of(OCTOBER)
    return bench


def unit_states(bench: Workbench, template: str) -> list[str]:
    return [
        unit.state
        for task in bench.plan.of(OCTOBER).plan.tasks
        if task.template == template and task.key.endswith("2026")
        for unit in task.units
        if unit.id == "g5"
    ]


def test_a_verdict_ticks_the_job_that_asked_for_it(in_october: Workbench) -> None:
    assert set(unit_states(in_october, "judge-varieties")) <= {"open", "closing"}
    in_october.records.entries.judge(("g5",), "keep", OCTOBER)
    assert unit_states(in_october, "judge-varieties") in ([], ["done"])
    assert [(tick.unit, tick.outcome) for tick in in_october.records.read().ticks] == [("g5", "keep")]


def test_a_verdict_goes_back_with_its_tick(in_october: Workbench) -> None:
    in_october.records.entries.judge(("g5",), "cut", OCTOBER)
    key = in_october.records.read().ticks[0].task
    take_back(in_october._folder.records, key, "g5", OCTOBER)
    assert graft(in_october, "g5").verdict == "on trial"


def test_a_tasting_ticks_the_job_that_asked_for_it_and_stays_when_the_tick_goes(in_october: Workbench) -> None:
    in_october.records.entries.taste({"graft": "g5", "score": "4", "ripe": "ripe"}, OCTOBER)
    assert unit_states(in_october, "taste-apples") == ["done"]
    take_back(in_october._folder.records, in_october.records.read().ticks[0].task, "g5", OCTOBER)
    assert len(in_october.records.read().tastings) == 1


def test_unripe_fruit_leaves_the_job_of_tasting_open(in_october: Workbench) -> None:
    in_october.records.entries.taste({"graft": "g5", "score": "2", "ripe": "unripe"}, OCTOBER)
    assert unit_states(in_october, "taste-apples") in (["open"], ["closing"])


def test_a_second_tasting_ticks_nothing_twice(in_october: Workbench) -> None:
    for score in ("4", "5"):
        in_october.records.entries.taste({"graft": "g5", "score": score}, OCTOBER)
    assert len(in_october.records.read().ticks) == 1


def test_what_another_process_wrote_meanwhile_is_not_lost(bench: Workbench, orchard_path: Path) -> None:
    other = Workbench.open(orchard_path)
    assert bench.records.read() == other.records.read()
    other.records.entries.change("wood", ("w1",), {"kept": "sand pit"}, TODAY)
    bench.records.entries.change("wood", ("w1",), {"sticks": "2"}, TODAY)
    assert [(one.kept, one.sticks) for one in bench.records.read().wood] == [("sand pit", 2)]
    other.close()


def test_an_id_may_be_chosen_and_an_empty_one_is_the_next_free(bench: Workbench) -> None:
    for identity in ("barn-1", "", ""):
        typed = {"id": identity, "variety": "Red Lamp", "species": "apple", "sticks": "1"}
        bench.records.entries.add("wood", typed, TODAY)
    assert [one.id for one in bench.records.read().wood] == ["w1", "barn-1", "w2", "w3"]
    assert isinstance(bench.records.read().wood[1], Wood)


def test_a_graft_that_is_planned_without_a_method_is_told_at_once(bench: Workbench) -> None:
    said = bench.records.entries.add("grafts", {"tree": "t1", "variety": "New Lamp"}, TODAY)
    assert "planned with no method, so no grafting job comes." in said
    (added,) = [graft for graft in bench.records.read().grafts if graft.variety == "New Lamp"]
    said = bench.records.entries.change("grafts", [added.id], {"method": "cleft"}, TODAY)
    assert "no method" not in said


def window_of(bench: Workbench, template: str) -> tuple[date, date]:
    """When a job of this season opens and closes."""
    (window,) = (
        task.window
        for task in bench.plan.of(OCTOBER).plan.tasks
        if task.template == template and task.key.endswith("2026") and any(unit.id == "g5" for unit in task.units)
    )
    return window.opens, window.closes


def test_a_bite_moves_the_picking_to_its_day_at_once(in_october: Workbench) -> None:
    """Noted as ripe from 1 to 20 October, for 20 days: tasted ripe on the 10th, it is picked from then to the 29th."""
    assert window_of(in_october, "pick-apples")[0] < OCTOBER
    in_october.records.entries.taste({"graft": "g5", "score": "4", "ripe": "ripe"}, OCTOBER)
    assert window_of(in_october, "pick-apples") == (OCTOBER, date(2026, 10, 29))


def test_fruit_that_is_good_before_its_job_was_to_come_ticks_that_job(in_october: Workbench) -> None:
    august = date(2026, 8, 30)
    opens, _ = window_of(in_october, "taste-apples")
    assert august < opens
    in_october.plan.of(august)
    in_october.records.entries.taste({"graft": "g5", "score": "4", "ripe": "ripe"}, august)
    assert [(tick.task.split("/")[0], tick.outcome) for tick in in_october.records.read().ticks] == [
        ("taste-apples", "tasted")
    ]


def test_unripe_fruit_ticks_no_job_that_is_still_to_come(in_october: Workbench) -> None:
    in_october.records.entries.taste({"graft": "g5", "score": "1", "ripe": "unripe"}, date(2026, 8, 30))
    assert in_october.records.read().ticks == ()

"""Ticks as plain edits: what is refused, what is taken back and what is left, without a database."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace

from tendwork.orchard.edits import Add, Replace, applied
from tendwork.orchard.records import Graft, Records, Spray, Tasting, Tick, Tree, Variety, Wood
from tendwork.orchard.taking_back import Followed, TickedActs
from tendwork.planning.results import Task, Unit, Window
from tendwork.planning.tick_edits import TaskTick, tick_edit, untick_edit
from tendwork.planning.work_edits import tasting_edit

TODAY = date(2026, 6, 1)
SUMMER = Window(date(2026, 5, 1), date(2026, 5, 1), date(2026, 8, 1), date(2026, 9, 1))
GRAFT = Graft("g1", "t1", "Red Lamp", wrap="film", state="set", set_on=date(2026, 4, 1))
RECORDS = Records(trees=(Tree("t1", "Old apple", "apple"),), grafts=(GRAFT,))
UNIT = Unit("g1", "Red Lamp", "open", SUMMER)
JOB = Task(
    key="check-take/t1/2026",
    template="check-take",
    title="See which took",
    part="aftercare",
    each="graft",
    subject="t1",
    place="Old apple",
    window=SUMMER,
    state="open",
    minutes=10.0,
    units=(UNIT,),
    tools=(),
    steps=(),
    cautions=(),
    outcomes=("took", "failed", "tasted"),
    because=(),
    source="invented",
)
TOOK = Tick(JOB.key, "g1", TODAY, "took")
TAKEN = replace(GRAFT, state="took")


def asked(outcome: str, job: Task = JOB) -> list[TaskTick]:
    return [TaskTick(job, ("g1",), outcome)]


@pytest.mark.parametrize("told", ["Very Strong", "very strong", " VERY  strong "])
def test_an_outcome_that_a_template_writes_with_capitals_is_ticked_in_whatever_capitals(told: str) -> None:
    job = replace(JOB, outcomes=("took", "Very Strong"))
    assert tick_edit(RECORDS, TickedActs(), asked(told, job), TODAY).added == (replace(TOOK, outcome="Very Strong"),)


def test_a_tick_stands_before_what_follows_from_it() -> None:
    edit = tick_edit(RECORDS, TickedActs(), asked("took"), TODAY)
    assert edit.changes == (Add(TOOK), Replace(TAKEN))
    assert (edit.words, edit.sentence) == ("See which took, Red Lamp: took", "See which took, Red Lamp: took.")


@pytest.mark.parametrize("records", [RECORDS, replace(RECORDS, ticks=(TOOK, replace(TOOK, undone=True)))])
def test_what_is_not_ticked_cannot_be_unticked(records: Records) -> None:
    refused = untick_edit(records, TickedActs(), JOB, ("g1",), TODAY).refused
    assert refused == ('Nothing is ticked for "g1" of check-take/t1/2026.',)


def test_what_cannot_be_without_a_tick_refuses_its_untick() -> None:
    planned = replace(GRAFT, state="planned", set_on=None)
    acts = TickedActs({(JOB.key, "g1"): ((Followed(1, planned, GRAFT),),)}, {"grafts": (1,)})
    records = replace(RECORDS, grafts=(TAKEN,), ticks=(replace(TOOK, outcome="set"),))
    assert untick_edit(records, acts, JOB, ("g1",), TODAY).refused == (
        'Graft g1 "Red Lamp" is "took" but was never set. Give the day on which it was set.',
        "Undo first what was ticked since. Nothing was changed.",
    )


def test_what_followed_from_a_tick_of_an_earlier_graft_is_left_where_only_the_record_says_what_happened() -> None:
    # The place was given to another graft, whose job was done by another one: no tick of its own is replaced.
    acts = TickedActs({(JOB.key, "g1"): ((Followed(1, replace(GRAFT, wrap=""), GRAFT),),)}, {"grafts": (1,)})
    job = replace(JOB, units=(replace(UNIT, outcome="failed", done_on=date(2026, 5, 9)),))
    edit = tick_edit(RECORDS, acts, asked("took", job), TODAY)
    assert edit.changes == (Add(TOOK), Replace(TAKEN))


def test_a_first_tasting_stays_when_the_tick_that_it_made_goes() -> None:
    records = replace(RECORDS, grafts=(TAKEN,))
    edit = tasting_edit(records, (JOB,), Tasting(TODAY, "g1", "ripe", 4), TODAY, south=False, sure=True)
    tick = Tick(JOB.key, "g1", TODAY, "tasted")
    bears = replace(TAKEN, state="bearing")
    assert edit.changes == (Add(Tasting(TODAY, "g1", "ripe", 4)), Add(tick), Replace(bears))
    assert applied(records, edit).tastings == (Tasting(TODAY, "g1", "ripe", 4),)


def test_a_unit_that_is_named_twice_is_ticked_once() -> None:
    edit = tick_edit(RECORDS, TickedActs(), [TaskTick(JOB, ("g1", "Red Lamp"), "took")], TODAY)
    assert edit.added == (TOOK,)


@pytest.mark.parametrize(("waiting", "sticks"), [(0, 1), (1, 1), (3, 1), (4, 2)])
def test_wood_that_is_cut_is_enough_for_the_grafts_of_its_variety_that_wait_for_it(waiting: int, sticks: int) -> None:
    others = (
        Graft("o1", "t1", "Blue Lamp"),  # another variety
        Graft("o2", "t2", "Red Lamp"),  # a pear of this name
        replace(GRAFT, id="o3"),  # set already
    )
    trees = (*RECORDS.trees, Tree("t2", "Wall pear", "pear"))
    grafts = tuple(Graft(f"g{number}", "t1", "Red Lamp") for number in range(waiting))
    unit = replace(UNIT, id="red-lamp.apple", label="Red Lamp", species="apple", variety="red lamp")
    job = replace(
        JOB, key="collect/site/2026", template="collect", each="variety", outcomes=("cut", "not needed"), units=(unit,)
    )
    asked_for = [TaskTick(job, ("red-lamp.apple",), "cut")]
    edit = tick_edit(Records(trees=trees, grafts=(*grafts, *others)), TickedActs(), asked_for, TODAY)
    assert edit.changes[-1] == Add(Wood("w1", "red lamp", "apple", sticks, cut_on=TODAY, came_from="t1"))


def test_wood_that_waited_to_be_cut_is_the_bundle_that_is_cut() -> None:
    waiting = Wood("w3", "Red Lamp", "apple", 5)
    others = (Wood("w1", "Red Lamp", "pear", 5), Wood("w2", "Red Lamp", "apple", 5, cut_on=date(2026, 1, 5)))
    unit = replace(UNIT, id="red-lamp.apple", label="Red Lamp", species="apple", variety="red lamp")
    job = replace(
        JOB, key="collect/site/2026", template="collect", each="variety", outcomes=("cut", "not needed"), units=(unit,)
    )
    records = replace(RECORDS, wood=(*others, waiting))
    edit = tick_edit(records, TickedActs(), [TaskTick(job, ("red-lamp.apple",), "cut")], TODAY)
    assert edit.changes[1:] == (Replace(replace(waiting, cut_on=TODAY, came_from="t1")),)


def cut_tick(
    *wood: Wood,
    outcome: str = "cut",
    grafts: tuple[Graft, ...] = (),
    trees: int = 1,
    varieties: tuple[Variety, ...] = (),
) -> tuple[Wood, ...]:
    """The bundles after the job of cutting was ticked for Red Lamp, which grows on this many trees."""
    grown = tuple(Tree(f"t{number}", f"Tree {number}", "apple") for number in range(1, trees + 1))
    bearing = tuple(Graft(f"b{tree.id}", tree.id, "Red Lamp", state="bearing") for tree in grown)
    unit = replace(UNIT, id="red-lamp.apple", label="Red Lamp", species="apple", variety="Red Lamp")
    outcomes = ("cut", "got from elsewhere", "not needed")
    job = replace(JOB, key="collect/site/2026", template="collect", each="variety", outcomes=outcomes, units=(unit,))
    records = Records(trees=grown, grafts=(*bearing, *grafts), wood=wood, varieties=varieties)
    return applied(records, tick_edit(records, TickedActs(), [TaskTick(job, (), outcome)], TODAY)).wood


PLANNED = (Graft("g1", "t1", "Red Lamp"),)
ASKED = Wood("w1", "Red Lamp", "apple", 4, came_from="P. Hill", asked_on=date(2026, 5, 1), mother_health="tested")


@pytest.mark.parametrize("answer", ["", "promised", "refused"])
def test_cutting_ones_own_wood_takes_no_bundle_that_somebody_else_was_asked_for(answer: str) -> None:
    asked = replace(ASKED, answer=answer)
    held, *more = cut_tick(asked, grafts=PLANNED)
    assert held == asked
    assert [(one.sticks, one.came_from, one.cut_on) for one in more][:1] == [(1, "t1", TODAY)]


def test_all_bundles_of_a_variety_that_wait_are_cut_and_what_they_lack_is_a_new_one() -> None:
    mine = Wood("w1", "Red Lamp", "apple", 3, came_from="t1", promised_to="Ida", promised_sticks=3)
    held = cut_tick(mine, replace(mine, id="w2", sticks=2, promised_to="Ann", promised_sticks=2), grafts=PLANNED)
    assert [(one.sticks, one.promised_to, one.came_from, one.cut_on) for one in held] == [
        (3, "Ida", "t1", TODAY), (2, "Ann", "t1", TODAY), (1, "", "t1", TODAY),
    ]  # fmt: skip


def test_wood_of_which_several_trees_may_be_the_source_says_the_one_that_the_cutting_list_names() -> None:
    assert cut_tick(grafts=PLANNED, trees=2)[0].came_from == "t1"


def test_wood_from_elsewhere_is_the_bundle_that_was_promised_and_else_the_one_asked_for() -> None:
    promised = replace(ASKED, id="w2", answer="promised")
    unasked = replace(ASKED, id="w3", asked_on=None)
    refused = replace(ASKED, id="w4", answer="refused")
    held = (ASKED, promised, unasked, refused)
    assert [one.cut_on for one in cut_tick(*held, outcome="got from elsewhere")] == [None, TODAY, None, None]
    held = (ASKED, unasked, refused)
    assert [one.cut_on for one in cut_tick(*held, outcome="got from elsewhere")] == [TODAY, None, None]
    assert cut_tick(refused, outcome="got from elsewhere") == (refused,)


@pytest.mark.parametrize(
    ("of_bundle", "varieties"), [("red  LAMP", ()), ("Cox", (Variety("apple", "Cox", "Red Lamp"),))]
)
def test_wood_under_another_name_of_the_variety_is_what_was_cut_or_came(
    of_bundle: str, varieties: tuple[Variety, ...]
) -> None:
    mine = Wood("w1", of_bundle, "apple", 3, came_from="t1", promised_to="Ida", promised_sticks=1)
    (held,) = cut_tick(mine, grafts=PLANNED, varieties=varieties)
    assert held == replace(mine, cut_on=TODAY)
    theirs = replace(ASKED, variety=of_bundle)
    (came,) = cut_tick(theirs, outcome="got from elsewhere", varieties=varieties)
    assert came == replace(theirs, cut_on=TODAY)


def test_a_tick_on_wood_changes_no_graft_of_the_same_id() -> None:
    bundle = Wood("g1", "Red Lamp", "apple", 5, cut_on=date(2026, 1, 5))
    job = replace(
        JOB, key="check-wood/site/2026", template="check-wood", each="wood", outcomes=("still good", "lost", "removed")
    )
    for outcome, changed in (("lost", (Replace(replace(bundle, sticks=0)),)), ("removed", (Replace(bundle),))):
        asked_for = [TaskTick(job, ("g1",), outcome)]
        edit = tick_edit(replace(RECORDS, wood=(bundle,)), TickedActs(), asked_for, TODAY)
        assert edit.changes[1:] == changed


def test_a_tasting_of_sprayed_fruit_is_refused_until_it_is_said_twice() -> None:
    tasting = Tasting(TODAY, "g1", "ripe", 4)
    spray = Spray(TODAY, "t1", "Slow", days_to_return=1, days_to_harvest=30)
    records = replace(RECORDS, grafts=(TAKEN,), sprays=(spray,))
    (why,) = tasting_edit(records, (), tasting, TODAY, south=False, sure=False).refused
    assert why.startswith("Held back: Old apple was sprayed with Slow on 1 Jun")
    assert why.endswith(" Nothing was recorded.")
    said_twice = tasting_edit(records, (), tasting, TODAY, south=False, sure=True)
    assert (said_twice.refused, said_twice.added[0]) == ((), tasting)
    (other,) = tasting_edit(records, (), replace(tasting, graft="g9"), TODAY, south=False, sure=False).refused
    assert other == 'There is no graft "g9". Choose one that is there.'


def test_wood_is_cut_for_the_grafts_of_its_variety_on_trees_of_its_species_alone() -> None:
    trees = (Tree("t1", "Old apple", "apple"), Tree("t2", "Wall pear", "pear"))
    grafts = [Graft(f"g{number}", "t2", "Late") for number in range(7)]
    records = Records(trees=trees, grafts=(*grafts, Graft("g7", "t1", "late"), Graft("g8", "t1", "Early")))
    for species, sticks in (("apple", 1), ("pear", 3)):  # one graft, seven grafts, three to a stick
        unit = Unit(f"late.{species}", "Late", "open", SUMMER, variety="Late", species=species)
        job = replace(JOB, each="variety", units=(unit,), outcomes=("cut",))
        edit = tick_edit(records, TickedActs(), [TaskTick(job, outcome="cut")], TODAY)
        assert edit.added[1:] == (Wood("w1", "Late", species, sticks, cut_on=TODAY),)

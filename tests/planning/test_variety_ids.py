"""A variety is one unit under one id, whoever else is recorded, and ticks under the ids of before still count."""

from __future__ import annotations

from datetime import date

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tick, Tree, Variety, Wood
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Unit
from tendwork.planning.variety_ids import variety_id
from tendwork.planning.vocabulary import Anchor, Template, Where
from tendwork.planning.work_bars import wishes_on
from tendwork.variety_names import variety_key

CUT = Template(
    "cut-wood",
    "Cut wood",
    "wood",
    "variety",
    opens=Anchor(date="12-15"),
    closes=Anchor(date="02-10"),
    where=Where(species=("apple", "pear"), state=("planned",)),
    outcomes=("cut",),
)
KEY, ON = "cut-wood/site/2026", date(2026, 1, 10)
TREES = (Tree("t1", "Old apple", "apple"), Tree("t2", "Wall pear", "pear"))
APPLE, PEAR = Graft("g1", "t1", "Clapp", state="planned"), Graft("g2", "t2", "Clapp", state="planned")


def units(*grafts: Graft, ticks: tuple[Tick, ...] = ()) -> dict[str, Unit]:
    tasks = plan(SiteLimits(), Records(trees=TREES, grafts=grafts, ticks=ticks), SteadyAlmanac(), (CUT,), ON).tasks
    return {unit.id: unit for task in tasks for unit in task.units if task.key == KEY}


def test_a_pear_does_not_take_over_the_tick_of_an_apple_of_the_same_name() -> None:
    ticks = (Tick(KEY, "clapp.apple", ON, "cut"),)
    assert units(APPLE, PEAR, ticks=ticks)["clapp.apple"].state == "done"
    assert units(PEAR, ticks=ticks)["clapp.pear"].state != "done"


def test_two_species_with_one_name_are_told_apart_by_label() -> None:
    assert len({unit.label for unit in units(APPLE, PEAR).values()}) == 2
    wood = tuple(Wood(f"w{n}", "Clapp", species, 3, ON) for n, species in enumerate(("apple", "pear")))
    look = Template("look", "Look", "wood", "wood", Anchor(after="cut"), Anchor(after="cut", days=20))
    (task,) = plan(SiteLimits(), Records(trees=TREES, wood=wood), SteadyAlmanac(), (look,), ON).tasks
    assert [unit.label for unit in task.units] == ["Clapp, apple (3 sticks)", "Clapp, pear (3 sticks)"]


def test_a_tick_under_the_id_of_before_counts_for_the_one_it_meant() -> None:
    old = (Tick(KEY, "clapp", ON, "cut"),)
    assert units(PEAR, ticks=old)["clapp.pear"].state == "done"
    both = units(APPLE, PEAR, ticks=old)
    assert (both["clapp.apple"].state, both["clapp.pear"].state != "done") == ("done", True)
    second = units(APPLE, PEAR, ticks=(Tick(KEY, "clapp-2", ON, "cut"),))
    assert (second["clapp.apple"].state != "done", second["clapp.pear"].state) == (True, "done")


def test_the_third_variety_that_looked_alike_keeps_the_tick_of_its_number() -> None:
    alike = Graft("g3", "t1", "Clapp Early", state="planned")
    apart = replace(alike, id="g4", variety="clapp-early!")
    found = units(APPLE, alike, ticks=(Tick(KEY, "clapp-early", ON, "cut"),))
    assert [unit.variety for unit in found.values() if unit.state == "done"] == ["Clapp Early"]
    found = units(APPLE, alike, apart, ticks=(Tick(KEY, "clapp-early-2", ON, "cut"),))
    assert [unit.variety for unit in found.values() if unit.state == "done"] == ["Clapp Early"]


@pytest.mark.parametrize("ticked", ["Bramley", "Bramley's Seedling", "Bramleys  Seedling"])
def test_all_names_of_a_variety_are_one_unit_and_a_tick_under_any_of_them_counts(ticked: str) -> None:
    """Lists call it both, in every spelling; what was ticked before the other name came in stays done."""
    names = ("Bramley's Seedling", "Bramley", "Bramleys  Seedling")
    grafts = [replace(APPLE, id=f"g{number}", variety=name) for number, name in enumerate(names)]
    (unit,) = units(*grafts, ticks=(Tick(KEY, variety_id(ticked, "apple"), ON, "cut"),)).values()
    assert (unit.id, unit.label, unit.state) == ("bramley.apple", "Bramley for 3 apple grafts", "done")


def test_a_record_s_other_names_are_its_unit_s_too() -> None:
    own = Variety("pear", "Williams", also="Poire Lampe")
    grafts = (replace(PEAR, id="g1", variety="Poire Lampe"), replace(PEAR, variety="Bartlett"))
    records = Records(trees=TREES, grafts=grafts, varieties=(own,), ticks=(Tick(KEY, "williams.pear", ON, "cut"),))
    (task,) = (one for one in plan(SiteLimits(), records, SteadyAlmanac(), (CUT,), ON).tasks if one.key == KEY)
    assert [(unit.variety, unit.state) for unit in task.units] == [("Bartlett", "done")]


def test_wood_to_be_cut_under_several_names_is_one_unit_and_is_cut_under_each() -> None:
    """One for the graft here under the name that lists have, one promised under the name on the bundle."""
    grafts = (
        replace(PEAR, variety="Bartlett", method="cleft"),
        replace(PEAR, id="g3", variety="Williams", state="bearing"),
    )
    promised = Wood("w1", "Williams", "pear", 2, came_from="t2", promised_to="P. Hill", promised_sticks=2)
    rule = replace(CUT, where=replace(CUT.where, wood="to cut"))
    records = Records(trees=TREES, grafts=grafts, wood=(promised,))
    (task,) = (one for one in plan(SiteLimits(), records, SteadyAlmanac(), (rule,), ON).tasks if one.key == KEY)
    assert [unit.label for unit in task.units] == ["Bartlett for 1 pear graft: 3 sticks, of them 2 for P. Hill"]
    fresh = replace(promised, cut_on=ON)
    for held, left in (((fresh,), ["Bartlett for 1 pear graft: 1 stick"]), ((replace(fresh, sticks=3),), [])):
        tasks = plan(SiteLimits(), replace(records, wood=held), SteadyAlmanac(), (rule,), ON).tasks
        assert [unit.label for one in tasks if one.key == KEY for unit in one.units] == left


@pytest.mark.parametrize("ticked", ["bartlett.pear", "williams.pear"])
def test_wood_that_is_not_needed_is_asked_for_under_no_name(ticked: str) -> None:
    grafts = (replace(PEAR, variety="Bartlett", method="cleft"), replace(PEAR, id="g3", variety="Williams"))
    ticks = (Tick("ask-for-wood-apple-pear/site/2026", ticked, ON, "not needed"),)
    records = Records(trees=TREES, grafts=grafts)
    assert [wish.variety for wish in wishes_on(records, ON, south=False)] == ["Bartlett"]
    assert wishes_on(replace(records, ticks=ticks), ON, south=False) == ()
    refused = Wood("w1", "Williams", "pear", 1, came_from="P. Hill", asked_on=ON, answer="refused")
    records = replace(records, ticks=ticks, wood=(refused,))
    assert [wish.variety for wish in wishes_on(records, ON, south=False)] == ["Bartlett"]


def test_an_old_tick_knows_the_id_under_which_it_can_be_taken_back() -> None:
    assert units(PEAR, ticks=(Tick(KEY, "clapp", ON, "cut"),))["clapp.pear"].ticked_as == "clapp"


@examples(40)
@given(
    st.lists(st.sampled_from(["Clapp", "Clapp's", "Clapp-s", "Clapp s", "!!", "??", "Äpfel"]), min_size=1, unique=True)
)
def test_the_id_of_a_variety_does_not_depend_on_who_else_is_there(names: list[str]) -> None:
    together = {
        unit.variety: unit.id
        for unit in units(
            *[Graft(f"g{number}", "t1", name, state="planned") for number, name in enumerate(names)]
        ).values()
    }
    assert len(together) == len({variety_key("apple", name) for name in names})
    for name in together:
        assert together[name] == variety_id(name, "apple")
        assert list(units(Graft("g1", "t1", name, state="planned"))) == [together[name]]

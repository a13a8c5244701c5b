"""What was ticked under the id that a template had before it was renamed or split still counts, and can be undone."""

from __future__ import annotations

from datetime import date

import pytest
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.orchard.named_templates import FORMER_IDS
from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.orchard.taking_back import TickedActs
from tendwork.planning.brought_ticks import TickReading
from tendwork.planning.former_ids import by_any_id
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task
from tendwork.planning.tick_edits import unit_key, untick_edit

ON = date(2026, 4, 20)
TREES = (Tree("t1", "Wall quince", "quince"), Tree("t2", "Old medlar", "medlar"), Tree("t3", "Peach", "peach"))
GRAFTS = (
    *(Graft(f"g{number}", tree.id, "Lamp", state="planned", method="cleft") for number, tree in enumerate(TREES)),
    *(Graft(f"old-{tree.id}", tree.id, "Lamp", state="bearing") for tree in TREES),
    Graft("g4", "t1", "Lamp", state="planned", method="bark"),
    Graft("g5", "t3", "Lamp", state="planned", method="bark"),
    Graft("g3", "t3", "Lamp", state="took", method="cleft", set_on=date(2026, 4, 1)),
)
BEFORE = {  # the key and the unit of before, by the template of now
    "graft-quince": ("graft-quince-medlar/t1/2026", "g0", "skipped"),
    "graft-medlar": ("graft-quince-medlar/t2/2026", "g1", "skipped"),
    "collect-wood-peach-apricot": ("collect-wood-stone/site/2026", "lamp.peach", "cut"),
    "bark-quince-medlar": ("graft-quince-medlar/t1/2026", "g4", "skipped"),
    "bark-peach-apricot": ("graft-peach-apricot/t3/2026", "g5", "leave for summer"),
    "choose-one-shoot-stone": ("choose-one-shoot/t3/2026", "g3", "done"),
    "rub-off-monthly-stone": ("rub-off-monthly/t3/2026", "g3", "done"),
}


def task(name: str, *ticks: Tick) -> Task:
    records = Records(TREES, GRAFTS, ticks=ticks)
    rules = [template for template in TEMPLATES if template.id in (*FORMER_IDS, *FORMER_IDS.values())]
    tasks = plan(SiteLimits(), records, SteadyAlmanac(), rules, ON).tasks
    (found,) = (task for task in tasks if task.template == name and task.round == 1)
    return found


def test_every_former_id_is_tried_here() -> None:
    assert BEFORE.keys() == FORMER_IDS.keys()


@pytest.mark.parametrize("name", FORMER_IDS)
def test_a_tick_under_the_former_id_counts(name: str) -> None:
    key, unit, outcome = BEFORE[name]
    assert task(name).state not in ("done", "skipped")
    assert [held.outcome for held in task(name, Tick(key, unit, ON, outcome)).units] == [outcome]


@pytest.mark.parametrize("name", FORMER_IDS)
def test_it_can_be_undone(name: str) -> None:
    key, unit, outcome = BEFORE[name]
    tick = Tick(key, unit, ON, outcome)
    ticked = task(name, tick)
    assert unit_key(ticked, ticked.units[0]) == (key, unit)
    edit = untick_edit(Records(TREES, GRAFTS, ticks=(tick,)), TickedActs(), ticked, (), ON)
    assert edit.changes


def test_a_tick_from_a_file_is_read_under_the_former_id() -> None:
    reading = TickReading(Records(TREES, GRAFTS), TEMPLATES)
    assert reading.unread(Tick("graft-quince-medlar/t1/2026", "g0", ON, "set")) == ()


def test_an_id_that_a_template_still_has_means_that_template() -> None:
    assert by_any_id(TEMPLATES)["collect-wood-stone"].id == "collect-wood-stone"

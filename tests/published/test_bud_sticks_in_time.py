"""Bud sticks that nobody here can give are asked for before the summer's budding begins, at eight places.

Budding by fresh buds of the same summer: State garden academy of Rhineland-Palatinate, Obstgarten im August, undated.
Six weeks ahead is common practice, no source: asking and budding are held to one another.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from plans_of_eight_places import PLACES
from test_wood_keeps_to_the_graft import season_at, tasks_at
from timing_orchard import TEMPLATES

from tendwork.orchard.named_templates import ASK_FOR_BUD_STICKS
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.wood_wishes import wood_wishes
from tendwork.planning.results import Task, Window
from tendwork.species import SPECIES
from tendwork.view.wood_swaps import ask_text, closing_days

TREES = tuple(Tree(species, species, species, planted=2005) for species in SPECIES)
LATE = frozenset(one.id for one in TEMPLATES if one.left_out)
BUDS = tuple(Graft(species, species, f"Lamp {species}", "chip bud", state="planned") for species in SPECIES)


MOST_DAYS_AHEAD = 77
"""Where summers are hot, all but apple, peach and kin are budded after the heat, and asked for together with apple."""


def asking(tasks: list[Task]) -> dict[str, Window]:
    """The window of asking by species."""
    return {unit.species: unit.window for one in tasks if one.template in ASK_FOR_BUD_STICKS for unit in one.units}


@pytest.mark.parametrize("place", PLACES)
def test_bud_sticks_are_asked_for_weeks_before_their_budding_and_at_best_before_it_opens(place: str) -> None:
    tasks = tasks_at(place, Records(TREES, BUDS))
    budding = {
        unit.species: unit.window
        for one in tasks
        if one.template.startswith("bud-") and one.template not in LATE and "set" in one.outcomes
        for unit in one.units
    }
    asked = asking(tasks)
    assert set(asked) == set(budding) == set(SPECIES)
    for species, window in asked.items():
        buds = budding[species]
        assert 28 <= (buds.opens - window.opens).days <= MOST_DAYS_AHEAD, species
        assert window.best < window.closes <= buds.opens, species
        assert window.lapses < buds.closes, species


def test_it_is_asked_in_june_and_july_in_england_and_half_a_year_later_in_tasmania() -> None:
    months = {one.closes.month for one in asking(tasks_at("england", Records(TREES, BUDS))).values()}
    assert months == {7}
    south = {one.opens.month for one in asking(tasks_at("hobart", Records(TREES, BUDS))).values()}
    assert south <= {11, 12, 1}


def test_nothing_is_asked_for_that_grows_here_or_is_set_from_stored_wood() -> None:
    grown = Graft("g1", "apple", "Lamp apple", "cleft", state="bearing")
    stored = replace(BUDS[1], wood="w1")
    held = Wood("w1", stored.variety, "pear", 1)
    records = Records(TREES, (grown, BUDS[0], stored), (held,))
    assert asking(tasks_at("england", records)) == {}


def test_the_text_to_copy_asks_for_them_while_the_job_is_to_be_done() -> None:
    records = Records(TREES, BUDS[:1], (Wood("w1", "Lamp apple", "apple", 0, came_from="P. Hill"),))
    tasks = tasks_at("england", records)
    season = season_at("england")
    wishes = wood_wishes(records, season.start, lambda _: season.start)
    assert [(one.state, one.sticks, one.grafts) for one in wishes] == [("buds to ask for", 1, 1)]
    assert "bud sticks" not in ask_text(wishes, closing_days(tasks, wishes, records, season.start), season.start, 80)
    window = asking(tasks)["apple"]
    now = [replace(one, units=tuple(replace(unit, state="open") for unit in one.units)) for one in tasks]
    text = ask_text(wishes, closing_days(now, wishes, records, window.opens), window.opens, 80)
    assert "could you cut bud sticks for me this summer" in text
    assert "dormant" not in text

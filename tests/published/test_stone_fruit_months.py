"""In which months stone fruit is cut, at eight places from Alaska to Hobart.

Silver-leaf spores fly from September to May: prune stone fruit from June to August (Amateur Gardening, on silver leaf,
2017, B). The kept plans are those that test_plans_of_eight_places.py holds to the templates.
"""

from __future__ import annotations

import re
from datetime import date

import pytest
from plans_of_eight_places import PLACES, kept_file
from timing_orchard import TEMPLATES

STONE = ("plum", "japanese plum", "sweet cherry", "sour cherry", "peach", "apricot")
BLADES = {"bypass shears", "shears", "fine saw", "pruning saw", "saw"}
SAID_OTHERWISE = {
    "spring-prune-peach": "Cornell, New Jersey and central Europe: peach is cut at bloom",
    "late-winter-prune-stone": "Minnesota and Utah: only where winters are dry or cold",
    "prune-young-plum": "Petersfield: plums up to three years old, lightly in spring",
    "take-off-regrowth-stone": "RHS: trained trees, in autumn; left out by default",
    "summer-prune-peach": "Britain: by mid September at the latest; it bears on what it grew last year",
    "second-year-training": "bends and ties now, and says that cuts on stone fruit wait for dry summer",
    "suckers": "torn, and says that a cut on stone fruit is for June to August",
}
"""Jobs with a blade at stone fruit in other months, and who says so or what they say of it themselves."""


def months_of(name: str) -> list[tuple[str, int, int]]:
    """Each line about stone fruit: its job, and the first and the last month, as in the north."""
    south = PLACES[name].latitude < 0
    found = []
    for line in kept_file(name).read_text(encoding="utf-8").splitlines():
        if line.startswith("#") or not line.strip():
            continue
        dates, _, units = line.partition(": ")
        opens, _, _, lapses, job = dates.split(maxsplit=4)
        trees = re.sub(r" \([^)]*\)", "", units).replace(";", ",").replace("young ", "").split(",")
        if any(tree.strip() in STONE for tree in trees):
            months = [(date.fromisoformat(day).month + (5 if south else -1)) % 12 + 1 for day in (opens, lapses)]
            found.append((job.split()[0].rstrip("*"), months[0], months[1]))
    return found


def cuts_after_grafting() -> set[str]:
    parts = ("aftercare", "pruning")
    return {rule.id for rule in TEMPLATES if rule.part in parts and BLADES & set(rule.tools)} - SAID_OTHERWISE.keys()


@pytest.mark.parametrize("name", PLACES)
def test_what_cuts_stone_fruit_opens_in_june_and_is_over_with_august(name: str) -> None:
    cuts = cuts_after_grafting()
    asked = [entry for entry in months_of(name) if entry[0] in cuts]
    assert {"tidy-stubs-stone", "summer-prune-apricot"} <= {job for job, _, _ in asked}
    assert [entry for entry in asked if not 6 <= entry[1] <= entry[2] <= 8] == []


@pytest.mark.parametrize("name", PLACES)
def test_late_stock_shoots_and_the_choice_of_a_shoot_are_by_thumb_and_over_with_august(name: str) -> None:
    asked = [entry for entry in months_of(name) if entry[0] in ("choose-one-shoot-stone", "rub-off-monthly-stone")]
    assert asked
    assert [entry for entry in asked if entry[2] > 8] == []
    rules = {rule.id: rule for rule in TEMPLATES}
    assert all(not BLADES & set(rules[job].tools) for job, _, _ in asked)


def test_no_step_of_stone_fruit_cuts_in_winter_or_into_the_collar() -> None:
    for rule in TEMPLATES:
        if rule.id in SAID_OTHERWISE or (rule.where.species and not set(rule.where.species) & set(STONE)):
            continue
        said = " ".join(rule.steps).casefold()
        assert "cut them out in winter" not in said, rule.id
        assert not ("cut" in said and "flush" in said and rule.part != "grafting"), rule.id

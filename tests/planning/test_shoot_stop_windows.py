"""The jobs that wait for the end of shoot growth, in each of the reference climates."""

from __future__ import annotations

from datetime import date
from functools import cache

import pytest
from reference_climates import CLIMATES
from shipped import TEMPLATES

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import Normals, SourceDay, build_series
from tendwork.planning.anchors import Anchors, bases_of
from tendwork.planning.results import Window
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import Template
from tendwork.planning.windows import opening_of

TODAY, SEASON = date(2024, 3, 10), Season(2024)
BOUND = [
    template for template in TEMPLATES if any(base.stage == "shoot stop" for base in bases_of(template.opens))
]  # a round that ends with it needs no window of it

PRUNING = [template for template in BOUND if template.part == "pruning"]

HOT = ("Trento", "Belgrade", "Nîmes", "Zaragoza", "Davis CA", "Meknes")
"""Where the usual day of July reaches 28 °C, and bloom is over before May; Wenatchee blooms in May."""


@cache
def almanac(climate: str) -> Almanac:
    latitude, minima, maxima, _ = CLIMATES[climate]
    normals = Normals(tuple(map(float, minima.split())), tuple(map(float, maxima.split())))
    made, _ = build_series(
        [SourceDay(*day, False) for day in invented_days(normals, 1, date(2014, 1, 1), TODAY)], normals
    )
    return Almanac(Place(latitude), made, (), TODAY)


def window(template: Template, species: str, climate: str) -> Window:
    tree = Subject("t1", "a tree", "t1", "a tree", "", (species,), {})
    opening = opening_of(template, tree, Anchors(almanac(climate), SEASON))
    assert opening is not None
    return opening.window


def test_these_jobs_wait_for_it() -> None:
    summer_pruning = {"summer-prune-apple", "summer-prune-pear-quince"}
    assert {template.id for template in PRUNING} == summer_pruning
    assert {template.id for template in BOUND} == summer_pruning | {"let-in-light", "let-in-light-buds"}


@pytest.mark.parametrize("climate", CLIMATES)
@pytest.mark.parametrize("template", BOUND, ids=lambda template: template.id)
def test_every_climate_has_a_fortnight_for_it_in_summer(template: Template, climate: str) -> None:
    for species in template.where.species or ():
        found = window(template, species, climate)
        assert date(2024, 6, 10) <= found.opens <= found.best < found.closes <= date(2024, 9, 8)
        assert (found.closes - found.opens).days >= 14


@pytest.mark.parametrize("climate", HOT)
@pytest.mark.parametrize("template", PRUNING, ids=lambda template: template.id)
def test_where_summers_are_hot_it_begins_in_the_second_half_of_july(template: Template, climate: str) -> None:
    """By heat, also where shoots stop later, but not in June: those cuts regrow (University of Wisconsin, 2020)."""
    first = date(2024, 7, 20) if template.id == "summer-prune-apple" else date(2024, 7, 15)
    for species in template.where.species or ():
        assert first <= window(template, species, climate).opens <= date(2024, 7, 28)


@pytest.mark.parametrize("climate", sorted({*CLIMATES} - {*HOT}))
@pytest.mark.parametrize("template", BOUND, ids=lambda template: template.id)
def test_none_begins_before_the_shoots_may_have_stopped(template: Template, climate: str) -> None:
    for species in template.where.species or ():
        low = almanac(climate).stage(species, "shoot stop", SEASON).low
        assert low is not None
        assert low <= window(template, species, climate).opens


def test_apple_is_summer_pruned_when_the_sources_say() -> None:
    """RHS, England: mid to late August; Utah State: late July to early August, in a dry inland climate like it."""
    (template,) = (template for template in BOUND if template.id == "summer-prune-apple")
    england, inland = (window(template, "apple", climate) for climate in ("East Malling", "Wenatchee"))
    assert date(2024, 8, 8) <= england.opens <= date(2024, 8, 15)
    assert date(2024, 8, 11) <= england.best <= date(2024, 8, 31)
    assert date(2024, 7, 20) <= inland.opens <= date(2024, 7, 31)
    assert date(2024, 7, 21) <= inland.best <= date(2024, 8, 10)

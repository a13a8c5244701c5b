"""Nights that hurt buds and days that suit grafts."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.callus import callus_range, callus_share
from tendwork.almanac.frost import frost_nights, has_kill_temperatures, kill_temperatures
from tendwork.almanac.results import FrostNight
from tendwork.almanac.temperature import DailySeries
from tendwork.species import SPECIES, STAGES

NIGHT = date(2026, 4, 20)
species_and_stages = pytest.mark.parametrize(
    ("species", "stage"), [(species, stage) for species in SPECIES for stage, _, _ in STAGES[species]]
)


@species_and_stages
def test_where_there_is_a_value_ninety_percent_die_at_no_warmer_a_night_than_ten(species: str, stage: str) -> None:
    kill = kill_temperatures(species, stage)
    assert kill is None or kill.kill90_c is None or kill.kill90_c < kill.kill10_c < 0


@pytest.mark.parametrize("species", filter(has_kill_temperatures, SPECIES))
def test_every_stage_from_swelling_to_young_fruit_has_a_value(species: str) -> None:
    inside = [stage for stage, _, code in STAGES[species] if 50 < code < 90]
    assert all(kill_temperatures(species, stage) is not None for stage in inside)


@pytest.mark.parametrize("stage", ["dormant", "shoot stop", "leaf fall"])
def test_buds_asleep_and_autumn_have_none(stage: str) -> None:
    assert kill_temperatures("apple", stage) is None


@pytest.mark.parametrize("species", ["quince", "medlar"])
def test_a_species_without_published_values_has_none(species: str) -> None:
    assert kill_temperatures(species, "full bloom") is None
    assert not has_kill_temperatures(species)


def test_japanese_plum_takes_the_values_of_european_plum_and_says_so() -> None:
    japanese, european = (kill_temperatures(species, "full bloom") for species in ("japanese plum", "plum"))
    assert japanese is not None
    assert european is not None
    assert (japanese.kill10_c, japanese.kill90_c) == (european.kill10_c, european.kill90_c)
    assert "none are published for japanese plum" in japanese.source


def test_a_stage_between_published_ones_takes_the_next_and_says_so() -> None:
    late_pink, first_bloom = (kill_temperatures("peach", stage) for stage in ("late pink", "first bloom"))
    assert late_pink is not None
    assert first_bloom is not None
    assert (late_pink.kill10_c, late_pink.source) == (
        first_bloom.kill10_c,
        f"{first_bloom.source}; first bloom stands for late pink",
    )


def test_an_unknown_stage_is_refused() -> None:
    with pytest.raises(KeyError):
        kill_temperatures("apple", "popcorn")


def test_only_nights_at_or_below_the_ten_percent_temperature_are_reported() -> None:
    later = date(2026, 4, 21)
    nights = frost_nights("apple", [(NIGHT, -2.2, "full bloom"), (later, -2.1, "full bloom")])
    source = "MSU Extension table of WSU bulletins (EB0913, Red Delicious)"
    assert nights == (FrostNight(NIGHT, "apple", "full bloom", -2.2, -2.2, -3.9, source),)


def test_the_same_night_hurts_open_flowers_and_not_swelling_buds() -> None:
    nights = frost_nights("pear", [(NIGHT, -3.0, "swollen bud"), (NIGHT, -3.0, "full bloom")])
    assert [night.stage for night in nights] == ["full bloom"]


@given(st.floats(-30, 5), st.floats(0, 10))
def test_a_colder_night_is_never_left_out_where_a_warmer_one_is_reported(tmin_c: float, colder: float) -> None:
    reported = frost_nights("apple", [(NIGHT, tmin_c, "pink")])
    assert len(frost_nights("apple", [(NIGHT, tmin_c - colder, "pink")])) >= len(reported)


@pytest.mark.parametrize("species", SPECIES)
def test_every_species_has_a_callus_range_that_names_its_source(species: str) -> None:
    found = callus_range(species)
    assert found.lowest_c < found.highest_c
    assert re.search("growingfruit.org|no source|from memory", found.source), found.source


def test_callus_share_counts_days_by_their_maximum_with_both_edges() -> None:
    lowest, highest = callus_range("apple").lowest_c, callus_range("apple").highest_c
    days = [(0.0, lowest), (0.0, highest), (0.0, lowest - 0.1), (0.0, highest + 0.1)]
    assert callus_share("apple", days) == 0.5


def test_no_days_have_no_callus_share() -> None:
    assert callus_share("peach", []) == 0.0


def test_a_mild_week_suits_apple_and_not_peach() -> None:
    mild = [(5.0, 15.0)] * 7
    assert (callus_share("apple", mild), callus_share("peach", mild)) == (1.0, 0.0)


def test_how_far_nights_are_forecast_is_known_and_nothing_where_none_is() -> None:
    today = date(2026, 4, 20)
    held = DailySeries(today - timedelta(days=9), (2.0,) * 14, (12.0,) * 14, "m" * 9 + "f" * 5)
    assert Almanac(Place(50.0), held, (), today).forecast_to == today + timedelta(days=4)
    for series in (None, DailySeries(today - timedelta(days=9), (2.0,) * 10, (12.0,) * 10, "m" * 10)):
        assert Almanac(Place(50.0), series, (), today).forecast_to is None


@pytest.mark.parametrize(
    ("today", "is_unknown"),
    [(date(2026, 1, 15), False), (date(2026, 4, 20), True), (date(2026, 6, 20), False)],  # dormant, in bud, high summer
)
def test_frost_that_nobody_forecast_is_unknown_while_it_may_come_and_hurt(today: date, is_unknown: bool) -> None:
    assert Almanac(Place(52.1), None, (), today).frost_is_unknown(["apple", "plum"]) is is_unknown
    week = [today + timedelta(days=step) for step in range(-5, 8)]
    known = DailySeries(week[0], (4.0,) * 13, (12.0,) * 13, "m" * 6 + "f" * 7)
    assert not Almanac(Place(52.1), known, (), today).frost_is_unknown(["apple", "plum"])

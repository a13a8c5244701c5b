"""How buds go forward through chill and heat."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from reference_formulas import chill_portions, growing_degree_hours_anderson

from tendwork.almanac.development import SEASON_DAYS, Progress, chill_and_heat, first_day, last_day, ways_forward
from tendwork.almanac.ensemble import Trace, invented_days
from tendwork.almanac.hourly import hours_of_series
from tendwork.almanac.requirements import (
    CHILL_FIRST_PORTIONS,
    LENGTHENING_DAYS,
    MODEL_WORDS,
    heat_to_bloom,
    model_weights,
    share_of_bloom,
)
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import Normals
from tendwork.species import SPECIES, STAGES

COOL = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
WARM = Normals((7, 8, 10, 12, 15, 18, 21, 22, 20, 17, 12, 8), (17, 18, 20, 22, 26, 29, 32, 32, 29, 26, 21, 18))
SEASON = Season(2021)
LATITUDE = 48.0
FIRST_OF_APRIL = (date(2021, 4, 1) - first_day(SEASON)).days
MAIN = 0


def trace(normals: Normals = COOL, seed: int = 1, season: Season = SEASON) -> Trace:
    days = invented_days(normals, seed, first_day(season), last_day(season))
    return Trace(tuple(low for _, low, _ in days), tuple(high for _, _, high in days))


def progress(of: Trace, season: Season = SEASON, latitude: float = LATITUDE) -> Progress:
    return ways_forward(of, [Trace((), ())], season, latitude)[0]


def warmed(of: Trace, first: int, last: int, degrees: float) -> Trace:
    def shifted(values: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(value + degrees if first <= index <= last else value for index, value in enumerate(values))

    return Trace(shifted(of.tmin_c), shifted(of.tmax_c))


def test_chill_and_heat_from_tables_are_those_of_the_hourly_functions() -> None:
    whole = trace()
    days = Trace(whole.tmin_c[60:220], whole.tmax_c[60:220])  # no hour above 25 °C, where the two part on purpose
    portions, heat = chill_and_heat(days, first_day(SEASON), LATITUDE)
    hours = hours_of_series(days.tmin_c, days.tmax_c, first_day(SEASON), LATITUDE)
    assert portions[-1] == pytest.approx(chill_portions(hours)[-1], rel=0.01)
    assert sum(heat) == pytest.approx(growing_degree_hours_anderson(hours)[-1], rel=0.01)


@given(seed=st.integers(0, 50), degrees=st.floats(-8, 12))
@examples(25)
def test_progress_never_falls(seed: int, degrees: float) -> None:
    for model in progress(warmed(trace(seed=seed), 0, SEASON_DAYS, degrees)).models:
        assert all(later >= earlier for earlier, later in pairwise(model))


@given(seed=st.integers(0, 50), degrees=st.floats(0, 8), length=st.integers(1, 60))
@examples(40)
def test_a_warmer_spring_is_never_later(seed: int, degrees: float, length: int) -> None:
    days = trace(seed=seed)
    as_it_was = progress(days)
    warmer = progress(warmed(days, FIRST_OF_APRIL, FIRST_OF_APRIL + length, degrees))
    for model, needed in enumerate(heat_to_bloom("apple")):
        before, after = as_it_was.day_reached(model, needed), warmer.day_reached(model, needed)
        assert before is not None
        assert after is not None
        assert after <= before + 0.01


@given(seed=st.integers(0, 50))
@examples(15)
def test_more_heat_is_never_reached_sooner(seed: int) -> None:
    of = progress(trace(seed=seed))
    for model, needed in enumerate(heat_to_bloom("pear")):
        days = [of.day_reached(model, needed * share) for share in (0.3, 0.6, 1.0, 1.3)]
        assert days == sorted(days, key=lambda day: 999 if day is None else day)


def test_no_bud_waits_for_ever_where_the_winter_brings_hardly_any_chill() -> None:
    hot = Trace(tuple(low + 6 for low in trace(WARM).tmin_c), tuple(high + 6 for high in trace(WARM).tmax_c))
    portions, _ = chill_and_heat(hot, first_day(SEASON), 33.0)
    assert portions[FIRST_OF_APRIL] < 15
    of = progress(hot, latitude=33.0)
    for species in SPECIES:
        assert of.day_reached(MAIN, heat_to_bloom(species)[MAIN]) is not None, species


def test_less_chill_needs_more_heat() -> None:
    cold, warm = trace(), trace(WARM)
    until = FIRST_OF_APRIL - 60
    mixed = Trace(warm.tmin_c[:until] + cold.tmin_c[until:], warm.tmax_c[:until] + cold.tmax_c[until:])
    after_cold, after_warm = (progress(days).day_reached(MAIN, heat_to_bloom("apple")[MAIN]) for days in (cold, mixed))
    assert after_cold is not None
    assert after_warm is not None
    assert after_warm > after_cold + 3


def test_a_winter_of_hard_frost_is_not_short_of_chill_as_a_warm_one_is() -> None:
    """The Dynamic Model gives neither any portions; our own choice, no source."""
    days = trace()
    winter = range((date(2020, 12, 1) - first_day(SEASON)).days, (date(2021, 2, 10) - first_day(SEASON)).days)

    def with_winter_at(low: float, high: float) -> float:
        lows, highs = (
            tuple(value if index in winter else of for index, of in enumerate(kept))
            for value, kept in ((low, days.tmin_c), (high, days.tmax_c))
        )
        bloom = progress(Trace(lows, highs)).day_reached(MAIN, heat_to_bloom("apple")[MAIN])
        assert bloom is not None
        return bloom

    assert with_winter_at(-22, -12) < with_winter_at(16, 20) - 5


def test_the_south_mirrors_the_north() -> None:
    days = trace()
    south = Season(2021, south=True)
    north_days = [progress(days).day_reached(MAIN, heat) for heat in (500, 1500, 3500)]
    south_days = [progress(days, south, -LATITUDE).day_reached(MAIN, heat) for heat in (500, 1500, 3500)]
    for north_day, south_day in zip(north_days, south_days, strict=True):
        assert south_day == pytest.approx(north_day, abs=1.5)


def test_ways_forward_share_what_is_known() -> None:
    days, other = trace(), trace(seed=9)
    cut = 180
    known = Trace(days.tmin_c[:cut], days.tmax_c[:cut])
    ways = ways_forward(
        known,
        [Trace(of.tmin_c[cut:], of.tmax_c[cut:]) for of in (days, other)],
        SEASON,
        LATITUDE,
    )
    assert ways[0].models[MAIN][: cut - 1] == ways[1].models[MAIN][: cut - 1]
    assert ways[0].models[MAIN][-1] == pytest.approx(progress(days).models[MAIN][-1], rel=0.01)


def test_nothing_known_yet_and_nothing_to_come_give_an_empty_progress() -> None:
    of = ways_forward(Trace((), ()), [Trace((), ())], SEASON, LATITUDE)[0]
    assert of.day_reached(MAIN, 1.0) is None


def test_heat_is_known_for_every_model_and_the_shares_of_the_stages_rise_to_bloom_and_past_it() -> None:
    for species in SPECIES:
        models = len(LENGTHENING_DAYS) + len(CHILL_FIRST_PORTIONS)
        assert len(heat_to_bloom(species)) == len(model_weights(species)) == len(MODEL_WORDS) == models
        shares = [share_of_bloom(species, code) for _, _, code in STAGES[species] if 0 < code < 90]
        assert shares == sorted(shares, key=lambda share: share or 0.0), species
        assert share_of_bloom(species, 65) == 1.0


def test_the_beliefs_in_the_models_add_up() -> None:
    for species in SPECIES:
        assert sum(model_weights(species)) == pytest.approx(1.0)


def test_species_bloom_in_the_published_order() -> None:
    """Apricot, then peach and plum, then cherry, then pear and apple: Capital Press, 2010 and 2019."""
    of = progress(trace())
    order = ("apricot", "peach", "sweet cherry", "apple")
    days = [of.day_reached(MAIN, heat_to_bloom(species)[MAIN]) for species in order]
    assert days == sorted(days, key=lambda day: 999 if day is None else day)

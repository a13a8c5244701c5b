"""What sightings and usual dates teach."""

from __future__ import annotations

from math import erf, log, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac import learning
from tendwork.almanac.learning import Learned, Lesson, offset, range_80
from tendwork.almanac.requirements import SPREAD, model_weights

WEIGHTS = model_weights("apple")
MODELS = len(WEIGHTS)
RATES = (0.05,) * MODELS


def learn(lessons: list[Lesson], rates: tuple[float, ...], site_days: float = SPREAD.site_days) -> Learned:
    return learning.learn(lessons, rates, WEIGHTS, site_days)


def lesson(days_late: float, sd_days: float = 3.0, spring: bool = True) -> Lesson:
    return Lesson((days_late * 0.05,) * MODELS, RATES, sd_days, spring)


def test_without_lessons_the_published_requirement_stands() -> None:
    learned = learn([], RATES)
    assert [belief.log_factor for belief in learned.beliefs] == [0.0] * MODELS
    assert [belief.weight for belief in learned.beliefs] == pytest.approx(WEIGHTS)
    assert learned.season_days == SPREAD.season_days


def test_one_lesson_moves_the_factor_by_the_normal_rule() -> None:
    """Prior variance / (prior variance + the lesson's), as any textbook on normal means has it."""
    learned = learn([lesson(5.0, sd_days=3.0)], RATES)
    share = SPREAD.site_days**2 / (SPREAD.site_days**2 + 3.0**2)
    assert learned.beliefs[0].log_factor == pytest.approx(5.0 * 0.05 * share)


@given(days=st.lists(st.floats(-15, 15), min_size=1, max_size=6))
def test_the_order_of_the_lessons_does_not_matter(days: list[float]) -> None:
    forward, backward = (learn([lesson(day) for day in order], RATES) for order in (days, days[::-1]))
    assert forward.beliefs[0].log_factor == pytest.approx(backward.beliefs[0].log_factor)
    assert forward.beliefs[0].weight == pytest.approx(backward.beliefs[0].weight)


@given(days=st.floats(-15, 15), count=st.integers(1, 8))
def test_more_springs_make_surer(days: float, count: int) -> None:
    fewer, more = learn([lesson(days)] * count, RATES), learn([lesson(days)] * (count + 1), RATES)
    assert more.beliefs[0].log_sd < fewer.beliefs[0].log_sd


@given(days=st.floats(-15, 15))
def test_a_factor_stays_between_published_and_seen(days: float) -> None:
    factor = learn([lesson(days)], RATES).beliefs[0].log_factor
    assert min(0.0, days * 0.05) <= factor <= max(0.0, days * 0.05)


def test_a_usual_date_teaches_less_than_a_spring() -> None:
    usual, spring = (learn([lesson(6.0, sd, sd == 3.0)], RATES).beliefs[0].log_factor for sd in (5.0, 3.0))
    assert 0 < usual < spring


def test_belief_moves_to_the_model_that_foresaw_the_springs() -> None:
    others_wrong = Lesson((0.0,) + (2.0,) * (MODELS - 1), RATES, 3.0, True)
    assert learn([others_wrong] * 2, RATES).beliefs[0].weight > 0.95
    last_right = Lesson((2.0,) * (MODELS - 1) + (0.0,), RATES, 3.0, True)
    assert learn([last_right] * 3, RATES).best == MODELS - 1


def test_restless_springs_widen_the_season() -> None:
    restless = learn([lesson(day) for day in (-9, 9, -9, 9)], RATES)
    steady = learn([lesson(0.0)] * 4, RATES)
    assert steady.season_days < SPREAD.season_days < restless.season_days


def test_a_variety_is_moved_part_of_the_way() -> None:
    learned = learn([lesson(0.0)] * 5, RATES)
    assert 0 < offset(learned, [lesson(6.0)]) < 6
    assert offset(learned, []) == 0


@given(mean=st.floats(50, 250), sd=st.floats(0.5, 20))
def test_the_range_of_one_normal_part_is_the_normal_one(mean: float, sd: float) -> None:
    low, middle, high = range_80([(1.0, mean, sd)])
    assert middle == pytest.approx(mean, abs=0.05)
    assert (1 + erf((high - mean) / sd / sqrt(2))) / 2 == pytest.approx(0.9, abs=0.02)
    assert mean - low == pytest.approx(high - mean, abs=0.1)


def test_models_that_disagree_make_the_range_wide() -> None:
    low, _, high = range_80([(0.5, 100.0, 3.0), (0.5, 130.0, 3.0)])
    assert low < 101
    assert high > 129


def test_rates_turn_days_into_the_models_terms() -> None:
    slow = learn([], (0.03,) * MODELS).beliefs[0].log_sd
    fast = learn([], (0.06,) * MODELS).beliefs[0].log_sd
    assert fast == pytest.approx(2 * slow)
    assert log(1.5) > slow

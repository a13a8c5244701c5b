"""Wilson's score interval against published worked values."""

from __future__ import annotations

import pytest

from tendwork.orchard.take_rates import wilson_interval


@pytest.mark.parametrize(
    ("took", "tried", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0000, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_the_four_examples_of_newcombe(took: int, tried: int, low: float, high: float) -> None:
    """R. G. Newcombe, Two-sided confidence intervals for the single proportion, Statistics in Medicine 17, 1998.

    Method 3, score without continuity correction, 95 %; the figures were computed again with scipy (see below).
    """
    assert wilson_interval(took, tried) == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize(
    ("took", "tried", "low", "high"),
    [
        (14, 16, 0.639771727342413, 0.9650225122567595),
        (3, 4, 0.30064184258240184, 0.9544127391902995),
        (5, 5, 0.5655175352168251, 1.0),
        (0, 1, 0.0, 0.7934506856227626),
        (81, 263, 0.2552885198782742, 0.36620957698280004),
    ],
)
def test_small_numbers_as_scipy_has_them(took: int, tried: int, low: float, high: float) -> None:
    """scipy 1.17.1, stats.binomtest(took, tried).proportion_ci(0.95, method="wilson")."""
    assert wilson_interval(took, tried) == pytest.approx((low, high), abs=1e-12)

"""What was worked out of a season before is found again by its days alone, and is the same to the last bit."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.development import SEASON_DAYS, Begun, Progress, first_day
from tendwork.almanac.ensemble import Trace, invented_days
from tendwork.almanac.kept_progress import KeptProgress
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import Normals

NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
SEASON, LATITUDE = Season(2026), 52.0
KNOWN_DAYS = 200


def trace(seed: int, first: date, days: int) -> Trace:
    rows = invented_days(NORMALS, seed, first, first + timedelta(days=days - 1))
    return Trace(tuple(low for _, low, _ in rows), tuple(high for _, _, high in rows))


KNOWN = trace(1, first_day(SEASON), KNOWN_DAYS)
COMING = [trace(seed, first_day(SEASON) + timedelta(days=KNOWN_DAYS), SEASON_DAYS - KNOWN_DAYS) for seed in (2, 3, 4)]


def models(ways: list[Progress]) -> list[list[list[float]]]:
    return [[list(model) for model in way.models] for way in ways]


@pytest.mark.parametrize(
    ("known", "coming"), [(KNOWN, COMING), (trace(1, first_day(SEASON), SEASON_DAYS), [Trace((), ())])]
)
def test_what_is_kept_is_what_was_made(known: Trace, coming: list[Trace]) -> None:
    first = KeptProgress()
    made = first.ways_forward(known, coming, SEASON, LATITUDE)
    again = KeptProgress(first.asked)
    assert models(again.ways_forward(known, coming, SEASON, LATITUDE)) == models(made)
    assert again.asked == first.asked


def test_any_other_day_season_or_latitude_is_worked_out_by_itself() -> None:
    kept = KeptProgress()
    warmer = Trace((KNOWN.tmin_c[0] + 0.1, *KNOWN.tmin_c[1:]), KNOWN.tmax_c)
    shorter = Trace(KNOWN.tmin_c[:-1], KNOWN.tmax_c[:-1])
    longer = [Trace((KNOWN.tmin_c[-1], *way.tmin_c), (KNOWN.tmax_c[-1], *way.tmax_c)) for way in COMING]
    for known, coming, season, latitude in (
        (KNOWN, COMING, SEASON, LATITUDE),
        (warmer, COMING, SEASON, LATITUDE),
        (shorter, longer, SEASON, LATITUDE),
        (KNOWN, COMING[:2], SEASON, LATITUDE),
        (KNOWN, COMING, Season(2025), LATITUDE),
        (KNOWN, COMING, Season(2026, south=True), LATITUDE),
        (KNOWN, COMING, SEASON, LATITUDE + 1e-9),
    ):
        kept.ways_forward(known, coming, season, latitude)
    assert len(kept.asked) == 7


@given(
    st.lists(st.tuples(st.floats(0, 1.5), st.floats(0, 500), st.floats(-40, 40)), min_size=1, max_size=SEASON_DAYS),
    st.integers(0, SEASON_DAYS),
)
def test_a_season_carried_on_from_any_day_is_the_season_at_once(
    days: list[tuple[float, float, float]], at: int
) -> None:
    portions = [sum(chill for chill, _, _ in days[: number + 1]) for number in range(len(days))]
    heat = [degree_hours for _, degree_hours, _ in days]
    highs = [maximum for _, _, maximum in days]
    whole = Progress.of_sums(portions, heat, highs, LATITUDE)
    begun = Begun(portions[:at], heat[:at], highs[:at], LATITUDE)
    carried = begun.carried_on(portions[at:], heat[at:], highs[at:])
    assert models([carried]) == models([whole])
    assert all(before <= after for model in whole.models for before, after in pairwise(model))

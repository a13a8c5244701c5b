"""How stages lie before and between others: in mild winters, between sightings, and as a site has them."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference_climates import CLIMATES

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.development import MODELS, Progress, first_day, last_day, ways_forward
from tendwork.almanac.ensemble import Trace, invented_days
from tendwork.almanac.requirements import heat_to_bloom, share_of_bloom
from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.seasons import Season
from tendwork.almanac.stage_days import day_of_stage, log_need_ratio
from tendwork.almanac.stage_habits import StageHabits
from tendwork.almanac.temperature import Normals
from tendwork.species import STAGES

SEASON, DECEMBER = Season(2027), date(2026, 12, 1)
SHARES = [share for _, _, code in STAGES["apple"] if (share := share_of_bloom("apple", code)) is not None]


def normals(climate: str) -> Normals:
    _, minima, maxima, _ = CLIMATES[climate]
    low, high = (tuple(float(value) for value in row.split()) for row in (minima, maxima))
    return Normals(low, high)


def in_climate(climate: str, *usual: UsualDate) -> Place:
    held = normals(climate)
    return Place(CLIMATES[climate][0], normals_min_c=held.minimum_c, normals_max_c=held.maximum_c, usual_dates=usual)


def apple(almanac: Almanac, stage: str) -> StageDate:
    return almanac.stage("apple", stage, SEASON)


def day(row: StageDate) -> date:
    assert row.date is not None
    return row.date


def spring_in(climate: str) -> Progress:
    days = invented_days(normals(climate), 1, first_day(SEASON), last_day(SEASON))
    trace = Trace(tuple(low for _, low, _ in days), tuple(high for _, _, high in days))
    return ways_forward(trace, [Trace((), ())], SEASON, CLIMATES[climate][0])[0]


@pytest.mark.parametrize("climate", list(CLIMATES))
def test_green_tip_lies_three_to_seven_weeks_before_full_bloom_in_every_climate(climate: str) -> None:
    """Peach Ridge, Michigan: 31 days (MSU Extension 2014). McIntosh sums of UMass Healthy Fruit 2010 and 2019, 85 and
    359 degree-days (43 °F), are about 25 days at 13 °C and 45 at 9 °C, as in the mildest and the coolest of these."""
    almanac = Almanac(in_climate(climate), None, (), DECEMBER)
    apart = (day(apple(almanac, "full bloom")) - day(apple(almanac, "green tip"))).days
    assert 21 <= apart <= 50


def test_green_tips_seen_in_a_mild_place_do_not_throw_bloom_weeks_out() -> None:
    place = in_climate("Meknes")
    untaught = day(apple(Almanac(place, None, (), DECEMBER), "full bloom"))
    tips = [SeenStage(seen, "apple", "green tip") for seen in (date(2024, 3, 18), date(2025, 3, 25), date(2026, 3, 22))]
    taught = Almanac(place, None, tips, DECEMBER)
    assert abs((day(apple(taught, "full bloom")) - untaught).days) <= 7
    assert abs(day(apple(taught, "green tip")) - date(2027, 3, 22)) <= timedelta(days=6)


def test_two_usual_dates_of_one_species_are_both_kept_to() -> None:
    told = UsualDate("apple", "green tip", 3, 5), UsualDate("apple", "full bloom", 3, 28)
    almanac = Almanac(in_climate("Davis CA", *told), None, (), DECEMBER)
    assert abs(day(apple(almanac, "green tip")) - date(2027, 3, 5)) <= timedelta(days=5)
    assert abs(day(apple(almanac, "full bloom")) - date(2027, 3, 28)) <= timedelta(days=5)


@pytest.mark.parametrize("climate", ["Bonn", "Davis CA", "Meknes"])
@pytest.mark.parametrize("model", range(MODELS))
def test_what_a_stage_says_of_the_need_gives_its_day_again(climate: str, model: int) -> None:
    """A day seen is a whole one, and is given back as such: what is said of the need is off by that half day alone."""
    progress, published = spring_in(climate), heat_to_bloom("apple")[model]
    came = 0
    for share, percent in product(SHARES, range(-20, 31)):
        reached = day_of_stage(progress, "apple", model, published * (1 + percent / 100), share)
        if reached is None:  # the chill of a mild winter may never be enough
            continue
        came += 1
        said = log_need_ratio(progress, "apple", model, share, round(reached))
        again = day_of_stage(progress, "apple", model, published * exp(said), share)
        assert again == pytest.approx(round(reached), abs=1e-6), (share, percent)
    assert came > 200


def test_stages_before_and_between_sightings_are_spread_by_the_heat() -> None:
    seen = [SeenStage(date(2027, 3, 20), "apple", "green tip"), SeenStage(date(2027, 4, 4), "apple", "pink")]
    almanac = Almanac(in_climate("Meknes"), None, seen, date(2027, 4, 4))
    silver, half, cluster = (day(apple(almanac, stage)) for stage in ("silver tip", "half-inch green", "tight cluster"))
    assert date(2027, 3, 8) <= silver < date(2027, 3, 20)
    assert date(2027, 3, 23) <= half < cluster <= date(2027, 4, 3)
    assert apple(almanac, "half-inch green").because == (
        "counted between the green tip seen on 2027-03-20 and the pink seen on 2027-04-04",
    )


def test_a_stage_seen_beside_bloom_in_other_springs_keeps_its_distance_here() -> None:
    place = in_climate("Bonn")
    untaught = Almanac(place, None, (), DECEMBER)
    apart = (day(apple(untaught, "full bloom")) - day(apple(untaught, "green tip"))).days
    seen = []
    for year in (2022, 2023, 2024, 2025, 2026):
        seen.append(SeenStage(date(year, 4, 27), "apple", "full bloom"))
        seen.append(SeenStage(date(year, 4, 27) - timedelta(days=apart - 12), "apple", "green tip"))
    taught = Almanac(place, None, seen, DECEMBER)
    assert (day(apple(taught, "full bloom")) - day(apple(taught, "green tip"))).days <= apart - 6
    assert any(
        "later here than bloom foretells, learned from 5 springs" in w for w in apple(taught, "green tip").because
    )


@given(share=st.floats(0, 2), days=st.floats(-20, 20))
def test_a_habit_fades_towards_bloom_and_leaves_bloom_alone(share: float, days: float) -> None:
    habits = StageHabits(((0.1, days),), 3)
    assert abs(habits.days_at(share)) <= abs(days)
    assert habits.days_at(1.0) == 0.0
    assert habits.days_at(0.05) == days


def test_one_mistaken_spring_does_not_undo_ten() -> None:
    place = in_climate("Bonn")
    true = [SeenStage(date(year, 4, 27), "apple", "full bloom") for year in range(2016, 2026)]
    alone = Almanac(place, None, true, DECEMBER)
    wrong = Almanac(place, None, [*true, SeenStage(date(2026, 6, 1), "apple", "full bloom")], DECEMBER)
    assert abs((day(apple(wrong, "full bloom")) - day(apple(alone, "full bloom"))).days) <= 2


def test_where_only_a_latitude_is_known_one_usual_date_moves_every_species() -> None:
    told = UsualDate("apple", "full bloom", 4, 20)
    taught = Almanac(Place(47.0, usual_dates=(told,)), None, (), DECEMBER)
    order = ("apricot", "plum", "sweet cherry", "pear", "apple")
    dates = [day(taught.stage(species, "full bloom", SEASON)) for species in order]
    assert dates == sorted(dates)
    assert any("what is known here of apple moves it" in word for word in taught.stages("pear", SEASON)[7].because)

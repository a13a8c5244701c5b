"""The almanac of a place: stage dates, what sightings do to them, and what it says of bad input."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from itertools import pairwise
from math import cos, pi
from time import process_time

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from reference_climates import CLIMATES

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.temperature import DailySeries, Normals, SourceDay, build_series
from tendwork.species import SPECIES, STAGES

NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
PLACE = Place(latitude=49.0, elevation_m=200.0)
FIRST = date(1999, 1, 1)
MARCH, JULY = date(2024, 3, 10), date(2024, 7, 10)
SEASON = Season(2024)


@cache
def series(last: date = JULY, first: date = FIRST, warmer_c: float = 0.0) -> DailySeries:
    rows = [(day, low + warmer_c, high + warmer_c, False) for day, low, high in invented_days(NORMALS, 3, first, last)]
    made, _ = build_series(rows, NORMALS)
    assert made is not None
    return made


def almanac(today: date = JULY, *seen: SeenStage, place: Place = PLACE) -> Almanac:
    return Almanac(place, series(today), seen, today)


def seen(day: date, stage: str = "full bloom", variety: str = "", species: str = "apple") -> SeenStage:
    return SeenStage(day, species, stage, variety)


def width(row: StageDate) -> int:
    assert row.low is not None
    assert row.high is not None
    return (row.high - row.low).days


def middle(row: StageDate) -> date:
    assert row.date is not None
    return row.date


def in_order(rows: tuple[StageDate, ...]) -> bool:
    dates = [middle(row) for row in rows]
    return dates == sorted(dates)


BLOOM = middle(almanac().stage("apple", "full bloom", SEASON))


@pytest.mark.parametrize("species", SPECIES)
def test_every_stage_of_every_species_comes_in_order_with_a_range_and_a_reason(species: str) -> None:
    rows = almanac(MARCH).stages(species, SEASON)
    assert [row.stage for row in rows] == [stage for stage, _, _ in STAGES[species]]
    assert in_order(rows)
    for row in rows:
        assert row.low is not None
        assert row.high is not None
        assert row.low <= middle(row) <= row.high
        assert row.because


def test_the_same_input_gives_the_same_dates() -> None:
    assert almanac(MARCH).stages("plum", SEASON) == almanac(MARCH).stages("plum", SEASON)


def test_dormant_wood_dates_from_the_leaf_fall_of_the_autumn_before() -> None:
    made = almanac()
    assert middle(made.stage("apple", "dormant", SEASON)) == middle(made.stage("apple", "leaf fall", SEASON.previous))


def test_a_stage_is_past_or_predicted_by_its_date() -> None:
    assert almanac(JULY).stage("apple", "full bloom", SEASON).state == "past"
    assert almanac(MARCH).stage("apple", "full bloom", SEASON).state == "predicted"


def test_the_range_narrows_as_the_season_comes_near() -> None:
    autumn, march, july = (
        width(almanac(day).stage("apple", "full bloom", SEASON)) for day in (date(2023, 11, 20), MARCH, JULY)
    )
    assert autumn >= march > july


def test_the_range_narrows_with_own_springs() -> None:
    springs = [seen(middle(almanac().stage("apple", "full bloom", Season(year)))) for year in range(2017, 2022)]
    none, one, five = (width(almanac(JULY, *springs[:n]).stage("apple", "full bloom", SEASON)) for n in (0, 1, 5))
    assert none > one > five
    assert five <= 12


def test_springs_that_were_late_make_the_next_one_late() -> None:
    made = almanac()
    late = [seen(middle(made.stage("apple", "full bloom", Season(y))) + timedelta(days=8)) for y in (2019, 2020, 2021)]
    moved = (middle(almanac(JULY, *late).stage("apple", "full bloom", SEASON)) - BLOOM).days
    assert 4 <= moved <= 9


def test_a_usual_date_moves_every_season_towards_it() -> None:
    usual = BLOOM + timedelta(days=10)
    place = Place(latitude=49.0, usual_dates=(UsualDate("apple", "full bloom", usual.month, usual.day),))
    taught = almanac(place=place)
    untaught = almanac()
    moved = [
        (
            middle(taught.stage("apple", "full bloom", Season(year)))
            - middle(untaught.stage("apple", "full bloom", Season(year)))
        ).days
        for year in (2010, 2024)
    ]
    assert len({day > 0 for day in moved}) == 1
    assert any("usual date" in word for word in taught.stage("apple", "full bloom", SEASON).because)


def test_a_usual_date_of_another_species_changes_nothing() -> None:
    place = Place(latitude=49.0, elevation_m=200.0, usual_dates=(UsualDate("pear", "full bloom", 5, 20),))
    assert almanac(place=place).stages("apple", SEASON) == almanac().stages("apple", SEASON)


def test_a_seen_stage_is_a_fact() -> None:
    day = date(2024, 4, 2)
    row = almanac(JULY, seen(day, "green tip")).stage("apple", "green tip", SEASON)
    assert (row.state, row.date, row.low, row.high) == ("seen", day, day, day)


@given(
    stage=st.sampled_from(["silver tip", "green tip", "tight cluster", "pink", "first bloom", "full bloom"]),
    shift=st.integers(-25, 25),
)
@examples(25)
def test_what_was_not_seen_gives_way_to_what_was(stage: str, shift: int) -> None:
    day = middle(almanac().stage("apple", stage, SEASON)) + timedelta(days=shift)
    rows = almanac(JULY, seen(day, stage)).stages("apple", SEASON)
    assert in_order(rows)
    assert next(row for row in rows if row.stage == stage).date == day


@given(shift=st.integers(-10, 10))
@examples(10)
def test_a_later_sighting_never_moves_an_earlier_one(shift: int) -> None:
    first = seen(BLOOM - timedelta(days=25), "green tip")
    second = seen(BLOOM + timedelta(days=shift))
    alone, both = almanac(JULY, first), almanac(JULY, first, second)
    assert alone.stage("apple", "green tip", SEASON) == both.stage("apple", "green tip", SEASON)


def test_later_stages_follow_from_a_seen_one() -> None:
    early, late = (
        middle(almanac(JULY, seen(BLOOM + timedelta(days=shift), "first bloom")).stage("apple", "full bloom", SEASON))
        for shift in (-12, 2)
    )
    assert (late - early).days >= 8


def test_green_tip_seen_this_spring_narrows_bloom() -> None:
    tip = middle(almanac().stage("apple", "green tip", SEASON))
    today = tip + timedelta(days=1)
    with_it = Almanac(PLACE, series(today), (seen(tip, "green tip"),), today).stage("apple", "full bloom", SEASON)
    without = Almanac(PLACE, series(today), (), today).stage("apple", "full bloom", SEASON)
    assert width(with_it) < width(without)


def test_a_variety_seen_late_is_late_and_the_species_less_so() -> None:
    made = almanac()
    known = {year: middle(made.stage("apple", "full bloom", Season(year))) for year in range(2016, 2022)}
    sightings = [seen(day) for day in known.values()]
    sightings += [seen(day + timedelta(days=7), variety="Late Keeper") for day in known.values()]
    taught = almanac(JULY, *sightings)
    species = middle(taught.stage("apple", "full bloom", SEASON))
    variety = middle(taught.stage("apple", "full bloom", SEASON, "Late Keeper"))
    other = middle(taught.stage("apple", "full bloom", SEASON, "Never Seen"))
    assert 3 <= (variety - species).days <= 7
    assert other == species


@pytest.mark.parametrize("variety", ["Late Keeper", "Never Seen", ""])
def test_a_variety_has_the_stages_of_the_name_that_it_is_computed_under(variety: str) -> None:
    taught = almanac(JULY, seen(date(2026, 5, 8)), seen(date(2026, 5, 16), variety="Late Keeper"))
    name = taught.standing_for("apple", variety)
    assert taught.stages("apple", SEASON, variety) == taught.stages("apple", SEASON, name)


def test_varieties_that_no_sighting_names_are_computed_under_one_name() -> None:
    taught = almanac(JULY, seen(JULY - timedelta(days=60), variety="Late Keeper"))
    late, one, other = (taught.standing_for("apple", name) for name in ("Late Keeper", "Never Seen", "Nor This"))
    assert one == other != late


def test_colder_by_degrees_is_later_and_by_days_is_later_by_just_those() -> None:
    colder = almanac(place=Place(latitude=49.0, elevation_m=200.0, colder_degrees_c=1.5))
    higher = almanac(place=Place(latitude=49.0, elevation_m=200.0, colder_elevation_m=230.0))
    moved = almanac(place=Place(latitude=49.0, elevation_m=200.0, colder_days=6))
    assert middle(colder.stage("apple", "full bloom", SEASON)) > BLOOM
    assert (
        abs(
            (
                middle(higher.stage("apple", "full bloom", SEASON))
                - middle(colder.stage("apple", "full bloom", SEASON))
            ).days
        )
        <= 1
    )
    assert middle(moved.stage("apple", "full bloom", SEASON)) == BLOOM + timedelta(days=6)


def test_south_mirrors_north() -> None:
    north = series()
    # 181 days bring 1 September to 1 March and 1 January to 1 July.
    south = DailySeries(north.first_day + timedelta(days=181), north.tmin_c, north.tmax_c, north.marks)
    today = JULY + timedelta(days=181)
    made = Almanac(Place(latitude=-49.0, elevation_m=200.0), south, (), today)
    season = season_of(today, south=True)
    for stage in ("green tip", "full bloom", "petal fall"):
        moved = middle(made.stage("apple", stage, season)) - middle(almanac().stage("apple", stage, SEASON))
        assert abs(moved.days - 181) <= 2


def test_heat_after_a_day_counts_measured_days_then_the_ensemble() -> None:
    past = almanac(JULY).heat_after(date(2024, 4, 1), 100)
    assert past.day == past.low == past.high
    coming = almanac(MARCH).heat_after(MARCH, 150)
    assert coming.day is not None
    assert coming.low is not None
    assert coming.high is not None
    assert MARCH < coming.low <= coming.day <= coming.high
    assert almanac(MARCH).heat_after(MARCH, 100_000).day is None


@given(less=st.floats(1, 400), more=st.floats(0, 200))
@examples(20)
def test_more_heat_is_never_sooner(less: float, more: float) -> None:
    made = almanac(MARCH)
    first, second = made.heat_after(MARCH, less), made.heat_after(MARCH, less + more)
    assert first.day is not None
    assert second.day is not None
    assert first.day <= second.day


def test_a_forecast_frost_at_bloom_is_a_frost_night() -> None:
    today = BLOOM + timedelta(days=1)
    rows = [(day, low, high, False) for day, low, high in invented_days(NORMALS, 3, FIRST, today)]
    rows += [(today + timedelta(days=step), low, 12.0, True) for step, low in ((1, 4.0), (2, -3.5), (3, 3.0))]
    made, _ = build_series(rows, NORMALS)
    nights = Almanac(PLACE, made, (seen(BLOOM),), today).frost_nights(["apple"])
    assert [(night.night, night.stage) for night in nights] == [(today + timedelta(days=2), "full bloom")]


def test_callus_weather_counts_days_of_a_fortnight_and_names_its_source() -> None:
    weather = almanac(MARCH).callus_weather("apple")
    assert 0 <= weather.warm_days <= weather.days == 14
    assert weather.source


def test_measured_days_after_today_are_not_used() -> None:
    long, short = Almanac(PLACE, series(JULY), (), MARCH), Almanac(PLACE, series(MARCH), (), MARCH)
    assert long.stages("apple", SEASON) == short.stages("apple", SEASON)


def test_without_temperatures_but_with_normals_dates_come_with_a_wide_range_and_say_so() -> None:
    place = Place(latitude=49.0, normals_min_c=NORMALS.minimum_c, normals_max_c=NORMALS.maximum_c)
    row = Almanac(place, None, (), JULY).stage("apple", "full bloom", SEASON)
    assert abs((middle(row) - BLOOM).days) < 15
    assert width(row) > width(almanac().stage("apple", "full bloom", SEASON))
    assert any("the site's normals" in word for word in row.because)


@pytest.mark.parametrize("latitude", [-43.0, 0.0, 25.0, 38.0, 60.0, 69.0])
def test_with_nothing_but_a_latitude_there_are_still_ranges_and_no_crash(latitude: float) -> None:
    made = Almanac(Place(latitude=latitude), None, (), MARCH)
    season = season_of(MARCH, latitude < 0)
    for species in SPECIES:
        row = made.stage(species, "full bloom", season)
        assert row.state == "unreached" or width(row) > 25
        assert any("guessed" in word for word in row.because)


def test_one_day_of_temperatures_is_enough_to_answer() -> None:
    made = Almanac(PLACE, DailySeries(MARCH, (1.0,), (9.0,), "m"), (), MARCH)
    assert made.stage("apple", "full bloom", SEASON).date is not None


@pytest.mark.parametrize("kept", [0, 4])
def test_a_year_without_days_and_sixty_percent_gaps_give_a_wide_range_and_a_word(kept: int) -> None:
    rows = [
        (day, low, high, False)
        for day, low, high in invented_days(NORMALS, 3, FIRST, JULY)
        if day < date(2023, 8, 1) or day.toordinal() % 10 < kept
    ]
    made, _ = build_series(rows, NORMALS)
    assert made is not None
    row = Almanac(PLACE, made, (), JULY).stage("apple", "full bloom", SEASON)
    assert row.date is not None
    if kept == 0:
        assert any("are held" in word for word in row.because)
        assert width(row) > width(almanac().stage("apple", "full bloom", SEASON))


def test_fahrenheit_taken_for_celsius_is_said_out_loud() -> None:
    days = invented_days(NORMALS, 3, date(2020, 1, 1), JULY)
    fahrenheit = DailySeries(
        date(2020, 1, 1),
        tuple(low * 1.8 + 32 for _, low, _ in days),
        tuple(high * 1.8 + 32 for _, _, high in days),
        "m" * len(days),
    )
    made = Almanac(PLACE, fahrenheit, (), JULY)
    made.stages("apple", SEASON)
    assert any("°F" in word for word in made.warnings())
    told = "the temperatures look like °F taken for °C, so no date here can be trusted"
    assert told in made.stage("apple", "green tip", SEASON).because


def test_sightings_after_today_are_left_out_with_a_word() -> None:
    made = almanac(MARCH, seen(date(2024, 4, 25)))
    assert made.stages("apple", SEASON) == almanac(MARCH).stages("apple", SEASON)
    assert any("after 2024-03-10" in word for word in made.warnings())


def test_sightings_that_contradict_each_other_teach_nothing_and_say_so() -> None:
    made = almanac(JULY, seen(date(2024, 4, 5)), seen(date(2024, 4, 28), "green tip"))
    assert any("contradict" in word for word in made.warnings())
    petal_fall = made.stage("apple", "petal fall", SEASON)
    assert any("contradict" in word for word in petal_fall.because)
    assert width(petal_fall) > width(almanac().stage("apple", "petal fall", SEASON))
    assert made.stages("apple", Season(2020)) == almanac().stages("apple", Season(2020))


def test_a_place_too_cold_for_a_species_says_unreached() -> None:
    arctic = Normals((-25,) * 12, (-15,) * 12)
    place = Place(latitude=80.0, normals_min_c=arctic.minimum_c, normals_max_c=arctic.maximum_c)
    row = Almanac(place, None, (), JULY).stage("apple", "full bloom", SEASON)
    assert (row.state, row.date) == ("unreached", None)


def test_all_species_with_twenty_five_years_and_a_usual_date_take_under_a_second_of_the_processor() -> None:
    place = Place(latitude=49.0, usual_dates=tuple(UsualDate(species, "full bloom", 5, 1) for species in SPECIES))

    def seconds() -> float:
        start = process_time()
        made = almanac(MARCH, place=place)
        for species in SPECIES:
            made.stages(species, SEASON)
        return process_time() - start

    assert any(seconds() < 1.0 for _ in range(3))  # a busy machine slows the processor's time as well


def test_leaf_fall_seen_in_november_is_the_leaf_fall_of_the_season_before() -> None:
    made = almanac(date(2024, 1, 10), seen(date(2023, 11, 8), "leaf fall"))
    assert made.stage("apple", "leaf fall", Season(2023)).state == "seen"
    dormant = made.stage("apple", "dormant", SEASON)
    assert (dormant.state, dormant.date) == ("seen", date(2023, 11, 8))


def test_a_stage_seen_earlier_never_makes_a_later_one_later() -> None:
    """An early green tip that put bloom back would not be believed by anybody."""
    today = date(2026, 3, 25)
    series = DailySeries(date(2014, 1, 1), *_mild_days(date(2014, 1, 1), today))
    blooms = []
    for step in range(0, 30, 5):
        seen = (SeenStage(date(2026, 2, 20) + timedelta(days=step), "apple", "green tip"),)
        rows = Almanac(Place(50.0), series, seen, today).stages("apple", Season(2026))
        blooms.append({row.stage: row.date for row in rows if row.bbch > 53})
    for earlier, later in pairwise(blooms):
        assert all(earlier[stage] <= later[stage] for stage in earlier)
    assert blooms[0]["full bloom"] < blooms[-1]["full bloom"]


def _mild_days(first: date, last: date) -> tuple[tuple[float, ...], tuple[float, ...], str]:
    """A plain wave of the year about 10 °C."""
    days = [(first + timedelta(days=step)).timetuple().tm_yday for step in range((last - first).days + 1)]
    means = [10 - 9 * cos(2 * pi * (day - 15) / 365) for day in days]
    return tuple(mean - 5 for mean in means), tuple(mean + 5 for mean in means), "m" * len(days)


def test_varieties_that_no_sighting_names_share_one_computation() -> None:
    today = date(2026, 3, 25)
    series = DailySeries(date(2014, 1, 1), *_mild_days(date(2014, 1, 1), today))
    seen = (SeenStage(date(2025, 4, 20), "apple", "full bloom", "Red Lamp"),)
    almanac = Almanac(Place(50.0), series, seen, today)
    blue, green = (almanac.stages("apple", Season(2026), name) for name in ("Blue Lamp", "Green Lamp"))
    assert blue is green
    assert almanac.stages("apple", Season(2026), "Red Lamp") is not blue


@pytest.mark.parametrize("place", [PLACE, Place(49.0, 200.0, colder_degrees_c=1.5, colder_days=6)])
def test_the_heat_since_a_past_day_agrees_with_the_day_on_which_so_much_is_reached(place: Place) -> None:
    made = almanac(JULY, place=place)
    set_on = date(2024, 4, 20)
    heat = made.heat_between(set_on, JULY)
    assert heat is not None
    assert made.heat_after(set_on, heat - 0.01).day == JULY
    later = made.heat_after(set_on, heat + 0.01).day
    assert later is not None
    assert later > JULY


@pytest.mark.parametrize("climate", ["Bonn", "East Malling", "Trento", "Geneva NY"])
def test_quince_shows_green_before_apple_and_medlar_with_it_though_both_bloom_after_it(climate: str) -> None:
    """Common practice, no source: quince up to ten days before apple, medlar up to a week after, in any climate."""
    latitude, minima, maxima, _ = CLIMATES[climate]
    normals = Normals(tuple(map(float, minima.split())), tuple(map(float, maxima.split())))
    days = invented_days(normals, 1, date(2022, 1, 1), JULY)
    made, _ = build_series([SourceDay(*day, False) for day in days], normals)
    place = Almanac(Place(latitude), made, (), JULY)

    def after_apple(species: str, stage: str) -> int:
        return (middle(place.stage(species, stage, SEASON)) - middle(place.stage("apple", stage, SEASON))).days

    assert -10 <= after_apple("quince", "green tip") < 0 <= after_apple("medlar", "green tip") <= 7
    assert 0 < after_apple("quince", "full bloom") < after_apple("medlar", "full bloom")

"""Picking dates: each piece of evidence alone by hand, then together, then what must hold of any of them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from math import hypot, sqrt
from random import Random

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.days import Days
from tendwork.almanac.joint_normal import JointNormal
from tendwork.almanac.place import Place
from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.ripe_evidence import (
    OVER,
    RIPE,
    STORED,
    UNRIPE,
    AgainstOther,
    DaysFromBloom,
    NotedDay,
    PickDate,
    RipeEvidence,
    Tasted,
)
from tendwork.almanac.ripe_weather import POME, STONE
from tendwork.almanac.ripening import SPREAD, Ripening
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import MEASURED, DailySeries, Normals

NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
PLACE = Place(49.0, normals_min_c=NORMALS.minimum_c, normals_max_c=NORMALS.maximum_c)
TODAY = date(2025, 8, 15)
NOW = Season(2025)
USUAL_BLOOM = (5, 1)
DAY = timedelta(days=1)
ONE_SEASON = hypot(SPREAD.year_days, SPREAD.variety_year_days)


def ripening(
    blooms: Mapping[int, date] | None = None,
    warmer_c: Mapping[date, float] | None = None,
    today: date = TODAY,
    south: bool = False,
) -> Ripening:
    """A place with usual days but for those that are warmer, and full bloom on 1 May but in the years given."""
    seen, warmer = blooms or {}, warmer_c or {}
    begin = date(2010, 1, 1)
    days = [begin + step * DAY for step in range((today - begin).days + 1)]
    usual = [NORMALS.day(day) for day in days]
    low = tuple(pair[0] + warmer.get(day, 0.0) for day, pair in zip(days, usual, strict=True))
    high = tuple(pair[1] + warmer.get(day, 0.0) for day, pair in zip(days, usual, strict=True))
    series = DailySeries(begin, low, high, MEASURED * len(days))

    def bloom_of(_species: str, _variety: str, season: Season) -> StageDate:
        day = seen.get(season.name, season.on(*USUAL_BLOOM))
        return StageDate("full bloom", 65, "seen", day, day, day)

    return Ripening(Days(PLACE, series, today), PLACE.latitude, south, bloom_of)


def evidence(variety: str = "Red Lamp", species: str = "apple", **known: tuple[object, ...]) -> RipeEvidence:
    return RipeEvidence(species, variety, **known)  # type: ignore[arg-type]


def picked(*known: RipeEvidence, place: Ripening | None = None, season: Season = NOW) -> PickDate:
    """The date of the first."""
    dates = (place or ripening()).dates(known, season)
    return next(one for one in dates if one.variety == known[0].variety)


def ripe_on(*days: date) -> tuple[Tasted, ...]:
    return tuple(Tasted(day, RIPE) for day in days)


def test_joint_normal_is_the_rule_for_two_measurements_of_one_number() -> None:
    joint = JointNormal([0.0], [1000.0])
    joint.see({0: 1.0}, 10.0, 4.0)
    joint.see({0: 1.0}, 16.0, 2.0)
    # Weighted by 1/4 and 1/2: (10 / 4 + 16 / 2) / 0.75 = 14, variance 1 / 0.75.
    mean, variance = joint.mean_and_variance({0: 1.0})
    assert (round(mean, 3), round(variance, 3)) == (14.0, 1.333)


def test_joint_normal_of_a_sum_shares_what_it_departs_by_the_variances() -> None:
    joint = JointNormal([0.0, 0.0], [3.0, 1.0])
    joint.see({0: 1.0, 1: 1.0}, 10.0, 2.0)
    # Prior variances 9 and 1, noise 2: of 10 the first takes 9/12, the second 1/12.
    assert joint.mean_and_variance({0: 1.0})[0] == pytest.approx(7.5)
    assert joint.mean_and_variance({1: 1.0})[0] == pytest.approx(10 / 12)
    assert joint.mean_and_variance({0: 1.0, 1: 1.0})[1] == pytest.approx(10 - 100 / 12)


def test_joint_normal_is_the_same_in_any_order() -> None:
    random = Random(3)
    seen = [
        ({random.randrange(6): random.uniform(-2, 2), 6: 1.0}, random.gauss(0, 9), random.uniform(1, 9))
        for _ in range(40)
    ]
    ways = []
    for order in (seen, seen[::-1]):
        joint = JointNormal([1.0] * 7, [20.0] * 7)
        for row, value, variance in order:
            joint.see(row, value, variance)
        ways.append([joint.mean_and_variance({place: 1.0}) for place in range(7)])
    assert [pytest.approx(pair) for pair in ways[0]] == ways[1]


def test_joint_normal_is_the_covariance_rule_one_sum_at_a_time() -> None:
    """The other way to the same answer: C - C r rT C / (rT C r + v) for each sum seen, on the whole matrix."""
    random = Random(11)
    for count in (1, 3, 14):
        sds, means = [random.uniform(1, 40) for _ in range(count)], [random.gauss(0, 5) for _ in range(count)]
        joint = JointNormal(means, sds)
        covariance = [[sds[one] ** 2 if one == other else 0.0 for other in range(count)] for one in range(count)]
        for _ in range(3 * count):
            row = {random.randrange(count): random.uniform(-2, 2) for _ in range(3)} | {0: 1.0}
            value, variance = random.gauss(0, 9), random.uniform(1, 9)
            joint.see(row, value, variance)
            across = [sum(line[place] * factor for place, factor in row.items()) for line in covariance]
            spread = sum(across[place] * factor for place, factor in row.items()) + variance
            short = value - sum(means[place] * factor for place, factor in row.items())
            means = [mean + reach * short / spread for mean, reach in zip(means, across, strict=True)]
            for one in range(count):
                for other in range(count):
                    covariance[one][other] -= across[one] * across[other] / spread
        for row in ({0: 1.0}, {count - 1: 1.0, 0: -1.0}, dict.fromkeys(range(count), 0.5)):
            mean = sum(means[place] * factor for place, factor in row.items())
            variance = sum(covariance[one][other] * row[one] * row[other] for one in row for other in row)
            assert joint.mean_and_variance(row) == pytest.approx((mean, variance))


def test_nothing_is_guessed_where_nothing_is_known() -> None:
    known = evidence(), evidence("Dim Lamp", against=(AgainstOther("Far Lamp", 9, "a list"),)), evidence("Far Lamp")
    assert ripening().dates(known, NOW) == ()


def test_a_noted_day_stands_with_the_range_of_a_single_season() -> None:
    found = picked(evidence(noted=(NotedDay(9, 10, "you"),)))
    assert found.pick == date(2025, 9, 10)
    half = 1.2816 * hypot(SPREAD.noted_days, ONE_SEASON)
    assert [(found.high - found.pick).days, (found.pick - found.low).days] == pytest.approx([half, half], abs=0.5)
    assert found.because[:2] == (
        "as you noted: ripe from 10 Sep; a single season may be 6 days off",
        "so 10 Sep if the season were as usual",
    )


def test_one_season_tasted_and_a_usual_spring_say_its_day_again() -> None:
    found = picked(evidence(tasted=ripe_on(date(2024, 9, 10))))
    assert found.pick == date(2025, 9, 10)
    # Two seasons apart: each its own, and half a day of drift.
    sd = sqrt(2 * ONE_SEASON**2 + SPREAD.drift_days_a_year**2)
    assert (found.high - found.low).days == pytest.approx(2 * 1.2816 * sd, abs=1)
    assert found.because[0] == "tasted ripe here on 10 Sep 2024"


def test_bloom_moves_it_only_in_part_and_an_early_season_tasted_is_taken_as_early() -> None:
    late = ripening({2025: date(2025, 5, 11)})
    assert picked(evidence(tasted=ripe_on(date(2024, 9, 10))), place=late).pick == date(2025, 9, 14)
    early = ripening({2024: date(2024, 4, 21)})
    found = picked(evidence(tasted=ripe_on(date(2024, 9, 10))), place=early)
    assert found.pick == date(2025, 9, 14)
    both = ripening({2024: date(2024, 4, 21), 2025: date(2025, 4, 21)})
    assert picked(evidence(tasted=ripe_on(date(2024, 9, 10))), place=both).pick == date(2025, 9, 10)
    assert (
        "full bloom on 11 May (seen), 10 days later than usual: 4 days later"
        in picked(evidence(noted=(NotedDay(9, 10, "you"),)), place=late).because
    )


@pytest.mark.parametrize(
    ("first", "last", "degrees", "days"),
    [
        (date(2025, 5, 2), date(2025, 5, 16), 3.0, 3 * POME.early),  # the first fifteen days after bloom
        (date(2025, 5, 17), date(2025, 7, 30), 2.0, 75 * 2 * POME.later),  # from then to ninety
        (date(2025, 7, 31), date(2025, 8, 15), 5.0, 0.0),
        (date(2025, 3, 1), date(2025, 5, 1), 5.0, 0.0),  # before bloom it moves bloom, and nothing else
    ],
)
def test_warmth_after_bloom_brings_it_forward(first: date, last: date, degrees: float, days: float) -> None:
    warmer = {first + step * DAY: degrees for step in range((last - first).days + 1)}
    found = picked(evidence(noted=(NotedDay(9, 10, "you"),)), place=ripening(warmer_c=warmer))
    assert (found.pick - date(2025, 9, 10)).days == round(days)


def test_stone_fruit_goes_by_growing_degree_hours_of_the_first_thirty_days() -> None:
    warmer = {date(2025, 5, 2) + step * DAY: 3.0 for step in range(30)}
    found = picked(evidence(species="peach", noted=(NotedDay(8, 10, "you"),)), place=ripening(warmer_c=warmer))
    # Between 4 and 25 °C a degree more is at most some 1.6 degree hours an hour: 30 days of 3 °C bring 2,000 to 3,500.
    assert 2000 * -STONE.early < (date(2025, 8, 10) - found.pick).days < 3500 * -STONE.early
    assert any("growing degree hours more than usual" in why for why in found.because)


def test_sixty_years_near_bonn() -> None:
    """Bloom came 11 to 14 days earlier and fruit 4 to 12 (Kunz & Blanke 2022), while it became some 1.5 °C warmer."""
    for days_earlier in (11, 14):
        warmer = {date(2025, 4, 1) + step * DAY: 1.5 for step in range(150)}
        place = ripening({2025: date(2025, 5, 1) - days_earlier * DAY}, warmer)
        found = picked(evidence(noted=(NotedDay(9, 10, "you"),)), place=place)
        assert 4 <= (date(2025, 9, 10) - found.pick).days <= 12


def test_order_against_another_variety_hangs_on_its_date_and_on_how_far_lists_differ() -> None:
    standard = evidence("Red Delicious", tasted=ripe_on(*(date(year, 9, 20) for year in range(2015, 2025))))
    early = evidence(against=(AgainstOther("Red Delicious", -12, "a list"),))
    found = picked(early, standard)
    assert found.pick == date(2025, 9, 8)
    assert (found.high - found.low).days / 2.5632 == pytest.approx(hypot(7, ONE_SEASON), abs=1.0)
    lists = tuple(AgainstOther("Red Delicious", days, "a list") for days in (-12, -10, -14))
    assert (found.high - found.low) > (more := picked(evidence(against=lists), standard)).high - more.low
    assert found.because[0] == "12 days before Red Delicious [a list]; lists differ by 7 days"


def test_what_is_known_of_a_later_variety_dates_its_standard() -> None:
    late = evidence(
        "Tardy Lamp", noted=(NotedDay(10, 5, "you"),), against=(AgainstOther("Red Delicious", 15, "a list"),)
    )
    found = picked(evidence("Red Delicious"), late)
    assert found.pick == date(2025, 9, 20)
    assert found.because[0] == "what is known of Tardy Lamp, said to ripen so many days from it"


def test_days_from_bloom_are_counted_from_the_usual_bloom() -> None:
    known = evidence(from_bloom=(DaysFromBloom(130, "a list"),))
    found = picked(known)
    assert found.pick == date(2025, 5, 1) + 130 * DAY
    assert 10 < (found.high - found.low).days / 2.5632 < 14
    assert picked(known, place=ripening({2025: date(2025, 4, 21)})).pick == found.pick - 4 * DAY


def test_against_a_standard_that_only_days_from_bloom_date_it_is_no_surer_than_they_are() -> None:
    standard = evidence("Red Delicious", from_bloom=(DaysFromBloom(130, "a list"),))
    early = evidence(against=(AgainstOther("Red Delicious", -12, "a list"),))
    found = picked(early, standard)
    assert found.pick == date(2025, 5, 1) + (130 - 12) * DAY
    # 8 and 9 of days from bloom, 5 and 5 of days against another, and what one season does.
    sd_days = sqrt(8**2 + 9**2 + 5**2 + 5**2 + ONE_SEASON**2)
    assert (found.high - found.low).days / 2.5632 == pytest.approx(sd_days, abs=0.5)
    of_standard = picked(standard, early)
    assert 10 < (of_standard.high - of_standard.low).days / 2.5632 < (found.high - found.low).days / 2.5632
    assert found.because[0] == (
        "12 days before Red Delicious [a list]; lists differ by 7 days;"
        " of Red Delicious itself only days from full bloom are known, good to 10 to 14 days"
    )


@pytest.mark.parametrize(
    "dated",
    [
        (evidence("Red Delicious", from_bloom=(DaysFromBloom(130, "a list"),), noted=(NotedDay(9, 20, "you"),)),),
        (
            evidence("Red Delicious", from_bloom=(DaysFromBloom(130, "a list"),)),
            evidence(
                "Tardy", tasted=ripe_on(date(2024, 9, 30)), against=(AgainstOther("Red Delicious", 15, "a list"),)
            ),
        ),
    ],
)
def test_a_standard_that_anything_dates_is_surer(dated: tuple[RipeEvidence, ...]) -> None:
    early = evidence(against=(AgainstOther("Red Delicious", -12, "a list"),))
    alone = picked(early, evidence("Red Delicious", from_bloom=(DaysFromBloom(130, "a list"),)))
    found = picked(early, *dated)
    assert found.high - found.low < alone.high - alone.low
    assert found.because[0].endswith("lists differ by 7 days")


def test_a_day_of_another_place_tells_less_than_one_of_this() -> None:
    here, there = (picked(evidence(noted=(NotedDay(9, 10, "you", here=own),))) for own in (True, False))
    assert there.high - there.low > here.high - here.low
    assert there.because[0] == "as you noted: ripe from 10 Sep at another place; that may be 12 days off here"
    both = picked(evidence(noted=(NotedDay(9, 10, "you"), NotedDay(9, 20, "a list", here=False))))
    assert both.because[1].startswith("as a list says: ripe from 20 Sep at another place")
    told = picked(evidence(noted=(NotedDay(9, 10, "you, from R. Dale", here=False),)))
    assert told.because[0].startswith("as you noted from R. Dale: ripe from 10 Sep at another place")
    assert both.pick == date(2025, 9, 12)  # weighted by 1/36 and 1/144


def test_ripe_this_season_is_the_day() -> None:
    found = picked(evidence(tasted=(Tasted(date(2025, 8, 1), UNRIPE), Tasted(date(2025, 8, 9), RIPE))))
    assert (found.low, found.pick, found.high, found.seen) == (*(date(2025, 8, 9),) * 3, True)
    assert found.because == ("tasted ripe on 9 Aug",)


def test_unripe_makes_it_later_and_over_earlier() -> None:
    known = ripe_on(date(2024, 8, 15))
    plain = picked(evidence(tasted=known))
    later = picked(evidence(tasted=(*known, Tasted(date(2025, 8, 15), UNRIPE))))
    assert later.pick > plain.pick
    assert later.low >= date(2025, 8, 14)
    assert "tasted unripe on 15 Aug: not ripe before" in later.because
    sooner = picked(evidence(tasted=(*known, Tasted(date(2025, 8, 12), OVER))))
    assert sooner.pick < plain.pick
    assert sooner.high <= date(2025, 8, 14)
    assert "ripe by 12 Aug, as it tasted then" in sooner.because


def test_what_was_unripe_in_another_season_moves_the_usual_day_too_and_says_so() -> None:
    """Else a season that no weather moved would stand there as later than usual."""
    noted = (NotedDay(9, 10, "you"),)
    found = picked(evidence(noted=noted, tasted=(Tasted(date(2024, 9, 14), UNRIPE),)))
    assert found.pick > date(2025, 9, 10)
    assert abs((found.usual - found.pick).days) <= 1
    days = (found.usual - date(2025, 9, 10)).days
    assert f"tasted unripe or over in other seasons: {days} days later" in found.because
    over = picked(evidence(noted=noted, tasted=(Tasted(date(2024, 9, 6), OVER),)))
    assert over.usual < date(2025, 9, 10)
    ripe = ripe_on(date(2025, 7, 20))
    now = picked(evidence(noted=noted, tasted=(Tasted(date(2024, 9, 14), UNRIPE), *ripe)))
    assert (now.pick, now.usual >= date(2025, 9, 10)) == (date(2025, 7, 20), True)


def test_between_unripe_and_over_of_another_season_it_was_ripe() -> None:
    two = (Tasted(date(2024, 9, 5), UNRIPE), Tasted(date(2024, 9, 15), OVER))
    found = picked(evidence(tasted=two))
    assert found.pick == date(2025, 9, 10)
    exact = picked(evidence(tasted=ripe_on(date(2024, 9, 10))))
    assert found.high - found.low > exact.high - exact.low


def test_fruit_of_several_grafts_is_taken_at_the_mean_and_out_of_the_store_not_at_all() -> None:
    two = (Tasted(date(2024, 9, 6), RIPE, "g1"), Tasted(date(2024, 9, 14), RIPE, "g2"))
    assert picked(evidence(tasted=two)).pick == date(2025, 9, 10)
    stored = (*two, Tasted(date(2025, 1, 20), RIPE, "g1"))
    assert picked(evidence(tasted=stored)) == picked(evidence(tasted=two))
    assert ripening().dates([evidence(tasted=ripe_on(date(2025, 1, 20)))], NOW) == ()
    noted = (NotedDay(9, 10, "you"),)
    assert picked(evidence(tasted=(Tasted(date(2024, 10, 30), STORED),), noted=noted)).pick == date(2025, 9, 10)


def test_what_was_tasted_after_today_is_not_known_yet() -> None:
    known = ripe_on(date(2024, 9, 10))
    assert picked(evidence(tasted=(*known, Tasted(date(2025, 9, 1), RIPE)))) == picked(evidence(tasted=known))


def test_what_ripened_early_this_season_brings_the_rest_forward() -> None:
    early = [
        evidence(f"Early {name}", tasted=ripe_on(*(date(year, 7, 20) for year in (2022, 2023, 2024)))) for name in "AB"
    ]
    ripe = [evidence(one.variety, tasted=(*one.tasted, *ripe_on(date(2025, 7, 8)))) for one in early]
    late = evidence(tasted=ripe_on(date(2024, 9, 10)))
    moved = picked(late, *ripe)
    assert -12 < (moved.pick - picked(late, *early).pick).days < -2
    assert any(why.startswith("what ripened before it this season (2 varieties): ") for why in moved.because)
    assert moved.high - moved.low < (plain := picked(late, *early)).high - plain.low
    pear = evidence("Pear Lamp", "pear", tasted=ripe_on(date(2024, 9, 10)))
    assert picked(pear, *ripe).pick == date(2025, 9, 10)


def test_a_variety_that_was_not_yet_due_says_nothing_of_the_season_by_being_early() -> None:
    """Of those due after today only early ones can have been tasted ripe: they would always make the season early."""
    known = evidence("Early", tasted=ripe_on(*(date(year, 8, 20) for year in (2022, 2023, 2024)), date(2025, 8, 12)))
    assert picked(evidence(tasted=ripe_on(date(2024, 9, 10))), known).pick == date(2025, 9, 10)


def test_many_seasons_teach_the_reaction_of_the_place() -> None:
    """Where fruit follows bloom day by day, twelve seasons move the share from four tenths towards the whole."""
    random = Random(5)
    off = {year: random.randint(-12, 12) for year in range(2012, 2025)}
    blooms = {year: date(year, 5, 1) + days * DAY for year, days in off.items()} | {2025: date(2025, 5, 11)}
    tasted = ripe_on(*(date(year, 9, 10) + days * DAY for year, days in off.items()))
    found = picked(evidence(tasted=tasted), place=ripening(blooms))
    assert date(2025, 9, 16) <= found.pick <= date(2025, 9, 20)


def test_without_days_of_a_season_its_date_is_less_sure() -> None:
    almanac = Almanac(PLACE, None, (), TODAY)
    known = evidence(tasted=ripe_on(date(2024, 9, 10)))
    (found,) = almanac.pick_dates([known], NOW)
    measured = picked(known)
    assert found.high - found.low > measured.high - measured.low


def test_the_almanac_goes_by_the_bloom_seen() -> None:
    known = evidence(noted=(NotedDay(9, 10, "you"),))
    (plain,) = Almanac(PLACE, None, (), TODAY).pick_dates([known], NOW)
    seen = SeenStage(date(2025, 4, 10), "apple", "full bloom")
    (early,) = Almanac(PLACE, None, [seen], TODAY).pick_dates([known], NOW)
    assert early.pick < plain.pick
    assert any("10 Apr (seen)" in why for why in early.because)


def test_in_the_south_the_fruit_year_begins_in_october() -> None:
    place = ripening(today=date(2025, 2, 1), south=True)
    known = evidence(tasted=ripe_on(date(2023, 3, 10)))
    assert picked(known, place=place, season=Season(2024, True)).pick == date(2025, 3, 10)
    noted = evidence(noted=(NotedDay(3, 10, "you"),))
    assert picked(noted, place=place, season=Season(2024, True)).pick == date(2025, 3, 10)


TASTES = st.lists(
    st.builds(
        Tasted,
        st.dates(date(2022, 6, 1), date(2025, 11, 30)),
        st.sampled_from([UNRIPE, RIPE, OVER, STORED]),
        st.sampled_from(["g1", "g2"]),
    ),
    max_size=8,
).map(tuple)


@given(TASTES, TASTES, st.booleans())
@examples(60)
def test_whatever_was_tasted_the_range_is_in_order_and_says_why(
    one: tuple[Tasted, ...], other: tuple[Tasted, ...], is_noted: bool
) -> None:
    noted = (NotedDay(9, 10, "you"),) if is_noted else ()
    against = (AgainstOther("Dim Lamp", 10, "a list"),)
    known = [
        evidence(tasted=one, noted=noted),
        evidence("Dim Lamp", tasted=other),
        evidence("Far Lamp", against=against),
    ]
    for found in ripening().dates(known, NOW):
        assert found.low <= found.pick <= found.high
        assert found.because
        assert abs((found.pick - date(2025, 8, 30)).days) < 200

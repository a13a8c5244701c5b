"""What one season's sightings and tastings did to the dates of the next: by a real almanac, with and without them."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.place import Place
from tendwork.almanac.results import SeenStage
from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tasting, Tree
from tendwork.orchard.variety_reference import NO_REFERENCE
from tendwork.planning.season_learned import SeasonLearned, season_learned, seen_until

TODAY = date(2026, 11, 20)
SEASON = Season(2026)
PLACE = Place(latitude=52.0)
RECORDS = Records(
    (Tree("t1", "Any", "apple"),),
    (
        Graft("g1", "t1", "Red Lamp", state="bearing", set_on=date(2020, 4, 1), ripens_from=(9, 20)),
        Graft("g2", "t1", "Blue Lamp", state="bearing", set_on=date(2020, 4, 1)),
        Graft("g3", "t1", "Still Lamp", state="bearing", set_on=date(2020, 4, 1), ripens_from=(8, 1)),
    ),
)


def almanac(seen: tuple[SeenStage, ...], place: Place = PLACE, today: date = TODAY) -> Almanac:
    return Almanac(place, None, seen, today)


def learned(seen: tuple[SeenStage, ...], records: Records = RECORDS) -> SeasonLearned:
    with_own, without = (almanac(seen_until(seen, SEASON, own)) for own in (True, False))
    return season_learned(records, NO_REFERENCE, seen, with_own, without, SEASON, TODAY)


def foreseen(stage: str = "full bloom") -> date:
    found = almanac(()).stage("apple", stage, SEASON).date
    assert found is not None
    return found


def test_a_late_spring_that_was_seen_moves_the_next_full_bloom_later_and_an_early_one_earlier() -> None:
    late = (SeenStage(foreseen() + timedelta(days=20), "apple", "full bloom"),)
    early = (SeenStage(foreseen() - timedelta(days=20), "apple", "full bloom"),)
    (move,) = learned(late).stages
    assert (move.species, move.stage, move.sightings) == ("apple", "full bloom", 1)
    assert move.days > 3
    assert move.before == almanac(()).stage("apple", "full bloom", Season(2027)).date
    assert move.after == almanac(late).stage("apple", "full bloom", Season(2027)).date
    assert learned(early).stages[0].days < -3


def test_a_sighting_of_leaf_fall_moves_leaf_fall_alone() -> None:
    found = learned((SeenStage(date(2026, 11, 18), "apple", "leaf fall"),))  # of the season that was over then
    assert [(move.stage, move.sightings) for move in found.stages] == [("leaf fall", 1)]


def test_what_was_seen_in_other_seasons_is_not_counted_to_this_one() -> None:
    seen = (
        SeenStage(date(2025, 5, 9), "apple", "full bloom"),
        SeenStage(date(2026, 5, 9), "apple", "full bloom"),
        SeenStage(date(2026, 11, 18), "pear", "dormant"),
    )
    assert seen_until(seen, SEASON, True) == seen[:2]
    assert seen_until(seen, SEASON, False) == seen[:1]
    assert learned(seen).sightings == 1


def test_nothing_seen_and_nothing_tasted_is_nothing_learned() -> None:
    assert learned(()) == SeasonLearned(2027, 0, (), 0, ())


def test_tastings_move_picking_dates_the_largest_move_after_those_that_are_new() -> None:
    records = Records(
        RECORDS.trees,
        RECORDS.grafts,
        tastings=(
            Tasting(date(2025, 9, 25), "g1", "ripe", 4),
            Tasting(date(2026, 10, 3), "g1", "ripe", 4),
            Tasting(date(2026, 9, 1), "g2", "ripe", 3),
            Tasting(date(2026, 9, 2), "g2", "", 3),
        ),
    )
    found = learned((), records)
    assert found.tastings == 2  # with a word for how ripe it was
    assert [(move.variety, move.tastings, move.before is None) for move in found.picks] == [
        ("Blue Lamp", 1, True),  # of which no date was known
        ("Red Lamp", 1, False),
    ]
    assert (found.picks[1].days or 0) >= 2  # thirteen days after the day noted


def test_in_the_south_a_tasting_of_march_is_of_the_season_before() -> None:
    season, today = Season(2026, south=True), date(2027, 6, 1)
    records = Records(RECORDS.trees, RECORDS.grafts, tastings=(Tasting(date(2027, 3, 20), "g2", "ripe", 4),))
    one = almanac((), Place(latitude=-42.0), today)
    found = season_learned(records, NO_REFERENCE, (), one, one, season, today)
    assert [(move.variety, move.after.year) for move in found.picks] == [("Blue Lamp", 2028)]

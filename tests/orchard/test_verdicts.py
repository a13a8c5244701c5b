"""Suggestions to keep, cut or wait, the first crop, the cut list and empty places."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import graft, orchard, planned, tasting, tick

from tendwork.orchard.crown import CrownPlace
from tendwork.orchard.records import Graft, Records, Tasting, Tick
from tendwork.orchard.verdicts import EmptyPlace, Suggestion, cut_list, empty_places, first_crop_years, suggestions

TODAY = date(2026, 11, 15)
BEARING = graft(state="bearing", set_on=date(2020, 4, 10))


def suggested(
    *tastings: Tasting, ticks: tuple[Tick, ...] = (), one: Graft = BEARING, south: bool = False
) -> Suggestion:
    (found,) = suggestions(orchard(one, tastings=tastings, ticks=ticks), TODAY, south)
    return found


def crops(**scores: int) -> tuple[Tasting, ...]:
    """One tasting in September of each year: y2024=4."""
    return tuple(tasting("g1", date(int(year[1:]), 9, 20), score) for year, score in scores.items())


def test_a_hand_worked_suggestion() -> None:
    # (4 + 5 + 3) / 3 = 4.0
    assert suggested(*crops(y2024=4, y2025=5, y2026=3)) == Suggestion(
        "g1",
        "Red Lamp",
        "keep",
        "3 crops seen (2024, 2025 and 2026), mean score 4.0 of 5: good enough to keep.",
        (2024, 2025, 2026),
        (),
        4.0,
    )


@pytest.mark.parametrize(
    ("scores", "verdict"),
    [((5, 5, 5), "keep"), ((4, 4, 3), "on trial"), ((3, 3, 2), "on trial"), ((3, 2, 2), "cut"), ((1, 1, 1), "cut")],
)
def test_three_crops_decide_by_their_mean_score(scores: tuple[int, int, int], verdict: str) -> None:
    one, two, three = scores
    assert suggested(*crops(y2024=one, y2025=two, y2026=three)).suggested == verdict


def test_two_crops_are_waited_over_however_good() -> None:
    found = suggested(*crops(y2025=5, y2026=5))
    assert found.suggested == "on trial"
    assert found.because == "2 crops seen (2025 and 2026), mean score 5.0 of 5: wait for 3."


def test_the_best_tasting_of_a_year_stands_for_it() -> None:
    # 2026: 1 while unripe, 5 when ripe; (4 + 4 + 5) / 3 = 4.33
    more = (*crops(y2024=4, y2025=4, y2026=5), tasting("g1", date(2026, 9, 1), 1, "unripe"))
    assert suggested(*more).score == pytest.approx(13 / 3)


def test_fruit_eaten_in_january_is_no_second_crop() -> None:
    stored = (tasting("g1", date(2025, 10, 20), 4), tasting("g1", date(2026, 1, 20), 4))
    assert suggested(*stored).years == (2025,)


def test_in_the_south_an_autumn_is_in_the_first_half_of_the_year() -> None:
    stored = (tasting("g1", date(2026, 2, 20), 4), tasting("g1", date(2026, 8, 20), 4))
    assert suggested(*stored, south=True).years == (2025,)


def test_a_tasting_without_a_score_is_no_crop() -> None:
    assert suggested(tasting("g1", date(2026, 9, 20))).years == ()


def test_a_kind_that_skips_years_is_waited_for_longer() -> None:
    bare = (tick("taste-apples", "g1", date(2023, 10, 1), "no fruit", "2023"),)
    found = suggested(*crops(y2022=5, y2024=5, y2026=5), ticks=bare)
    assert (found.suggested, found.bare_years) == ("on trial", (2023,))
    assert found.because.endswith("no fruit in 2023: wait for 5 from a kind that skips years.")


def test_five_crops_of_a_kind_that_skips_years_decide() -> None:
    bare = (tick("taste-apples", "g1", date(2021, 10, 1), "no fruit", "2021"),)
    assert suggested(*crops(y2020=5, y2022=5, y2023=5, y2024=5, y2026=5), ticks=bare).suggested == "keep"


def test_a_bare_year_before_the_first_crop_is_youth_not_shyness() -> None:
    bare = (tick("taste-apples", "g1", date(2023, 10, 1), "no fruit", "2023"),)
    assert suggested(*crops(y2024=5, y2025=5, y2026=5), ticks=bare).suggested == "keep"


def test_a_no_fruit_that_was_taken_back_does_not_count() -> None:
    day = date(2025, 10, 1)
    back = (
        tick("taste-apples", "g1", day, "no fruit", "2025"),
        tick("taste-apples", "g1", day, "no fruit", "2025", undone=True),
    )
    assert suggested(*crops(y2024=5, y2026=5), ticks=back).bare_years == ()


def test_before_the_first_crop_it_is_said_when_to_expect_it() -> None:
    young = graft(state="took", set_on=date(2025, 4, 10))
    assert suggested(one=young).because == "No crop tasted yet: expect the first in 2027 or 2028."


def test_a_crop_that_is_overdue_is_said() -> None:
    assert suggested().because == "No crop tasted yet, though the first was to be expected in 2022 or 2023."


@pytest.mark.parametrize("changes", [{"verdict": "keep"}, {"state": "set"}, {"state": "removed"}])
def test_only_growing_grafts_on_trial_are_judged(changes: dict[str, object]) -> None:
    assert suggestions(orchard(graft(**{"state": "bearing", **changes})), TODAY) == ()


def test_a_summer_bud_counts_from_the_spring_after() -> None:
    assert first_crop_years(graft(method="chip bud", set_on=date(2025, 8, 9))) == (2028, 2029)


def test_a_graft_without_a_day_of_setting_has_no_expected_crop() -> None:
    assert first_crop_years(planned()) is None


def test_the_cut_list_holds_what_still_stands_by_tree() -> None:
    grafts = (
        graft("g3", tree="t2", verdict="cut", state="bearing"),
        graft("g2", verdict="cut", state="removed"),
        graft("g1", verdict="cut", state="took"),
        graft("g4", verdict="keep", state="bearing"),
    )
    assert [one.id for one in cut_list(orchard(*grafts))] == ["g1", "g3"]


def at(identity: str, state: str, facing: int, **changes: object) -> Graft:
    base: dict[str, object] = {"state": state, "facing": facing, "height_m": 2.0, "out_m": 1.0}
    return graft(identity, **{**base, **changes})


def test_places_of_removed_and_failed_grafts_are_free_and_of_cut_ones_will_be() -> None:
    grafts = (
        at("g1", "bearing", 0, verdict="cut"),
        at("g2", "removed", 90),
        at("g3", "failed", 180),
        at("g4", "bearing", 270),
    )
    places = empty_places(orchard(*grafts))
    assert [(place.was, place.free_now) for place in places] == [("g2", True), ("g3", True), ("g1", False)]
    assert places[0] == EmptyPlace("t1", CrownPlace(90, 2.0, 1.0), "g2", "Red Lamp", True)


@pytest.mark.parametrize(("facing", "free"), [(17, 0), (18, 1)])
def test_a_graft_within_thirty_centimetres_has_taken_the_place(facing: int, free: int) -> None:
    # at 1 m from the trunk: the chord of 17° is 2 sin 8.5° = 0.296 m, that of 18° 0.313 m
    assert len(empty_places(orchard(at("g1", "removed", 0), at("g2", "took", facing)))) == free


def test_a_planned_graft_takes_the_place_and_one_on_another_tree_does_not() -> None:
    assert empty_places(orchard(at("g1", "removed", 0), at("g2", "planned", 0))) == ()
    assert len(empty_places(orchard(at("g1", "removed", 0), at("g2", "took", 0, tree="t2")))) == 1


def test_a_place_that_was_emptied_twice_is_listed_once_by_the_later_graft() -> None:
    assert [place.was for place in empty_places(orchard(at("g1", "removed", 0), at("g2", "failed", 0)))] == ["g2"]


def test_a_place_without_a_bearing_cannot_be_found_again() -> None:
    assert empty_places(orchard(graft(state="removed"))) == ()


def test_an_empty_orchard_has_nothing_to_judge() -> None:
    assert (suggestions(Records(), TODAY), empty_places(Records()), cut_list(Records())) == ((), (), ())

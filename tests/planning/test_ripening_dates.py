"""From records and lists to the picking dates of a season: what counts as evidence, and until when fruit is good."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec.structs import replace

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.place import Place
from tendwork.almanac.ripe_evidence import (
    OVER,
    RIPE,
    STORED,
    UNRIPE,
    AgainstOther,
    DaysFromBloom,
    NotedDay,
    RipeEvidence,
    Tasted,
)
from tendwork.orchard.records import Graft, Records, Tasting, Tick, Tree, Variety
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import ListedVariety, Said, VarietyReference
from tendwork.planning.ripe_known import RipeKnown
from tendwork.planning.ripening_dates import RipeDates, ripening_dates

TODAY = date(2025, 7, 31)
TREES = (Tree("t1", "Old apple", "apple"), Tree("t2", "Wall pear", "pear"))
LISTS = VarietyReference(
    (
        ListedVariety(
            "apple",
            "Gala",
            said={
                "ripens": (Said("Red Delicious -21", "one list"), Said("Red Delicious -27", "another list")),
                "days from bloom": (Said("110-115", "a page"), Said("135 (124-151)", "a paper")),
                "keeps": (Said("120 days", "a station"), Said("Mar", "a nursery"), Said("does not keep", "a page")),
            },
        ),
        ListedVariety("apple", "Red Delicious", said={"days from bloom": (Said("145", "a station"),)}),
    )
)
ALMANAC = Almanac(
    Place(
        49.0,
        normals_min_c=(-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1),
        normals_max_c=(4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5),
    ),
    None,
    (),
    TODAY,
)


def records(*grafts: Graft, varieties: Iterable[Variety] = (), tastings: Iterable[Tasting] = ()) -> Records:
    return Records(TREES, grafts, varieties=tuple(varieties), tastings=tuple(tastings))


def graft(variety: str, identity: str = "g1", **more: object) -> Graft:
    return Graft(identity, "t1", variety, state="bearing", **more)  # type: ignore[arg-type]


def known(held: Records, lists: VarietyReference = LISTS) -> dict[str, RipeEvidence]:
    found = RipeKnown(held, VarietyBook(held, lists), TODAY)
    return {one.variety: one for one in (*found.own, *found.others)}


def dates(held: Records, lists: VarietyReference = LISTS) -> dict[str, RipeDates]:
    return {one.variety: one for one in ripening_dates(held, lists, ALMANAC, False, TODAY)}


def test_lists_are_evidence_with_who_says_it_and_their_standard_comes_along() -> None:
    found = known(records(graft("gala")))
    assert found["gala"].against == (
        AgainstOther("Red Delicious", -21, "one list"),
        AgainstOther("Red Delicious", -27, "another list"),
    )
    assert found["gala"].from_bloom == (DaysFromBloom(112.5, "a page"), DaysFromBloom(135, "a paper"))
    assert found["Red Delicious"].from_bloom == (DaysFromBloom(145, "a station"),)


def test_a_standard_that_grows_here_under_another_name_is_the_same_variety() -> None:
    held = records(graft("Gala"), graft("Delicious", "g2"))
    assert known(held)["Gala"].against[0].variety == "Delicious"


def test_the_person_s_word_on_the_order_goes_before_the_lists() -> None:
    own = Variety("apple", "Gala", ripens="Red Delicious -30", source="R. Dale")
    assert known(records(graft("Gala"), varieties=[own]))["Gala"].against == (
        AgainstOther("Red Delicious", -30, "you, from R. Dale"),
    )


def test_days_noted_on_grafts_are_of_this_place_and_those_of_somebody_else_of_another() -> None:
    on_graft = records(graft("Red Lamp", ripens_from=(9, 10), ripens_to=(9, 20)))
    assert known(on_graft)["Red Lamp"].noted == (NotedDay(9, 10, "you"),)
    for source, is_here in (("", True), ("R. Dale", False)):
        own = Variety("apple", "Red Lamp", ripens="09-15 to 10-02", source=source)
        (noted,) = known(records(graft("Red Lamp"), varieties=[own]))["Red Lamp"].noted
        assert (noted.month, noted.day, noted.here, noted.span_days) == (9, 15, is_here, 0)
    own = Variety("apple", "Red Lamp", ripens="Sep")
    (noted,) = known(records(graft("Red Lamp"), varieties=[own]))["Red Lamp"].noted
    assert (noted.month, noted.day, noted.span_days) == (9, 15, 29)


def test_tastings_are_evidence_and_one_long_after_the_days_noted_is_out_of_the_store() -> None:
    tastings = [
        Tasting(date(2024, 9, 1), "g1", "unripe"),
        Tasting(date(2024, 9, 12), "g1", "ripe"),
        Tasting(date(2024, 10, 20), "g1", "ripe"),
        Tasting(date(2024, 9, 29), "g1", "over"),
        Tasting(date(2024, 9, 5), "g1", ""),
        Tasting(date(2025, 9, 12), "g1", "ripe"),
    ]
    noted = {"ripens_from": (9, 10), "ripens_to": (9, 20)}
    assert set(known(records(graft("Red Lamp", **noted), tastings=tastings))["Red Lamp"].tasted) == {
        Tasted(date(2024, 9, 1), UNRIPE, "g1"),
        Tasted(date(2024, 9, 12), RIPE, "g1"),
        Tasted(date(2024, 10, 20), STORED, "g1"),
        Tasted(date(2024, 9, 29), OVER, "g1"),
    }


def test_dates_are_of_what_is_grown_or_recorded_and_known_and_not_of_the_standards_of_lists() -> None:
    own = Variety("apple", "Owl Lamp", ripens="Red Lamp +10")
    held = records(graft("Red Lamp", ripens_from=(9, 10)), graft("Dim Lamp", "g2"), varieties=[own])
    found = dates(held)
    assert set(found) == {"Red Lamp", "Owl Lamp"}
    assert found["Owl Lamp"].pick == date(2025, 9, 20)
    assert set(dates(records(graft("Gala")))) == {"Gala"}


def test_look_comes_a_week_before_the_first_likely_day() -> None:
    found = dates(records(graft("Red Lamp", ripens_from=(9, 10))))["Red Lamp"]
    assert (found.pick_low - found.look).days == 7
    assert found.pick_low < found.pick < found.pick_high


def test_good_until_is_the_soonest_that_is_said_else_by_the_span_noted_else_unknown() -> None:
    listed = dates(records(graft("Gala", ripens_from=(9, 10), ripens_to=(9, 20))))["Gala"]
    assert listed.until is not None
    assert (listed.until - listed.pick).days == 120
    assert listed.because[-1] == "keeps: 120 days [a station]; others say longer"
    noted = dates(records(graft("Red Lamp", ripens_from=(9, 10), ripens_to=(10, 10))))["Red Lamp"]
    assert noted.until is not None
    assert ((noted.until - noted.pick).days, noted.because[-1]) == (30, "ripe for 30 days, as you noted")
    only_from = dates(records(graft("Red Lamp", ripens_from=(9, 10))))["Red Lamp"]
    assert (only_from.until, only_from.because[-1]) == (None, "how long it keeps is not known")
    own = Variety("apple", "Gala", keeps="does not keep")
    gala = dates(records(graft("Gala"), varieties=[own]))["Gala"]
    assert (gala.until, gala.because[-1]) == (max(gala.hangs, gala.pick_high), "does not keep")


def test_it_hangs_as_long_as_noted_else_a_week() -> None:
    noted = dates(records(graft("Red Lamp", ripens_from=(9, 10), ripens_to=(9, 20))))["Red Lamp"]
    assert (noted.hangs - noted.pick).days == 10
    plain = dates(records(graft("Red Lamp", ripens_from=(9, 10))))["Red Lamp"]
    assert (plain.hangs - plain.pick).days == 7


def test_it_is_eaten_when_picked_unless_its_use_begins_later() -> None:
    """Pears a week after picking (Colorado State: 5 to 10 days in the warm); a keeper from its first month of use."""
    at_once = dates(records(graft("Red Lamp", ripens_from=(9, 10))))["Red Lamp"]
    assert at_once.eat == at_once.pick
    keeper = Variety("apple", "Red Lamp", keeps="Dec-Mar")
    later = dates(records(graft("Red Lamp", ripens_from=(10, 10)), varieties=[keeper]))["Red Lamp"]
    assert (later.eat, later.until) == (date(2025, 12, 1), date(2026, 3, 31))
    pear = replace(graft("Wall Lamp", ripens_from=(9, 10)), tree="t2")
    hard = dates(records(pear))["Wall Lamp"]
    assert (hard.eat - hard.pick).days == 7


def test_what_was_picked_was_ripe_then_and_a_bite_after_it_is_out_of_the_store() -> None:
    picked = Tick("pick-apples/t1/2025", "g1", date(2025, 7, 1), "picked")
    bites = [Tasting(date(2025, 6, 25), "g1", "unripe"), Tasting(date(2025, 7, 25), "g1", "ripe")]
    held = replace(records(graft("Red Lamp"), tastings=bites), ticks=(picked,))
    assert set(known(held)["Red Lamp"].tasted) == {
        Tasted(date(2025, 6, 25), UNRIPE, "g1"),
        Tasted(date(2025, 7, 1), RIPE, "g1"),
        Tasted(date(2025, 7, 25), STORED, "g1"),
    }
    assert dates(held)["Red Lamp"].pick == date(2025, 7, 1)


def test_a_bite_out_of_the_store_moves_no_other_variety() -> None:
    """Ripe on the tree on the day of picking; what is tasted weeks later says nothing of what ripens after it."""
    grafts = (graft("Red Lamp", ripens_from=(7, 1)), graft("Late Lamp", "g2", ripens_from=(10, 1)))
    picked = Tick("pick-apples/t1/2025", "g1", date(2025, 7, 1), "picked")
    before = replace(records(*grafts), ticks=(picked,))
    after = replace(records(*grafts, tastings=[Tasting(date(2025, 7, 28), "g1", "ripe")]), ticks=(picked,))
    assert dates(after)["Late Lamp"] == dates(before)["Late Lamp"]

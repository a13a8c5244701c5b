"""Editing without a screen: the fields of a template and of the site, and the draft that holds what is unsaved."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.seasons import Season
from tendwork.dashboard.screens.templates_draft import Draft
from tendwork.dashboard.screens.templates_fields import (
    Refused,
    fields_of,
    own_value,
    site_fields,
    site_stepped,
    stepped,
    turned,
)
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift, carried
from tendwork.planning.vocabulary import Anchor, Effort, Repeats, Template, Weather, Where
from tendwork.species import SPECIES
from tendwork.view.template_words import laid_over

LOOK = Template(
    "look",
    "Look",
    "aftercare",
    "graft",
    Anchor(after="set", days=21),
    Anchor(after="set", days=42),
    where=Where(species=("apple", "pear")),
    repeats=Repeats(7, 3),
    weather=Weather(min_c=5, max_c=30),
    effort=Effort(3, 1.5),
)
NUMBERS = (
    "opens",
    "closes",
    "whole window",
    "min_c",
    "max_c",
    "frost_free_nights",
    "setup_minutes",
    "every_days",
    "times",
)
OWN = Adjustment()


def value(field: str, change: Adjustment, template: Template = LOOK) -> str:
    return next(held.value for held in fields_of(template, change, Season(2026), "metric") if held.id == field)


def test_only_what_the_template_gives_can_be_edited() -> None:
    once = Template("once", "Once", "upkeep", "site", Anchor(date="01-05"), Anchor(date="02-05"))
    fields = {field.id for field in fields_of(once, OWN, Season(2026), "metric")}
    assert not fields & {"best", "lapses", "every_days", "times"}


def test_a_step_moves_one_end_by_a_day_and_a_big_one_by_a_week() -> None:
    assert stepped(LOOK, OWN, "opens", 1, big=False) == Adjustment(opens_later_days=1)
    assert stepped(LOOK, OWN, "closes", -1, big=True) == Adjustment(closes_later_days=-7)


def test_the_whole_window_moves_the_ends_that_the_template_gives() -> None:
    assert stepped(LOOK, OWN, "whole window", 1, big=False) == Adjustment(opens_later_days=1, closes_later_days=1)


@given(st.sampled_from(NUMBERS), st.sampled_from((1, -1)), st.booleans())
def test_a_step_and_its_opposite_leave_nothing_changed(field: str, direction: int, big: bool) -> None:
    if field in ("frost_free_nights", "times") and direction < 0:  # these stand near their least value
        direction = 1
    if field in ("every_days", "setup_minutes") and direction < 0 and big:
        direction = 1
    there = stepped(LOOK, OWN, field, direction, big)
    assert there != OWN
    assert stepped(LOOK, there, field, -direction, big) == OWN


@pytest.mark.parametrize(("field", "least"), [("minutes_each", "0"), ("every_days", "1"), ("times", "1")])
def test_a_number_stops_at_its_least(field: str, least: str) -> None:
    change = OWN
    for _ in range(20):
        change = stepped(LOOK, change, field, -1, big=True)
    assert value(field, change) == least


def test_a_limit_that_the_template_does_not_give_begins_at_a_usual_value() -> None:
    free = Template("free", "Free", "upkeep", "site", Anchor(date="01-05"), Anchor(date="02-05"))
    change = stepped(free, OWN, "max_c", 1, big=False)
    assert (value("max_c", OWN, free), value("max_c", change, free)) == ("no limit", "30 °C")


def test_the_least_warmth_may_not_pass_the_most() -> None:
    change = Adjustment(min_c=30.0)
    with pytest.raises(Refused):
        stepped(LOOK, change, "min_c", 1, big=False)


def test_a_window_does_not_move_by_more_than_half_a_year() -> None:
    with pytest.raises(Refused):
        stepped(LOOK, Adjustment(opens_later_days=180), "opens", 1, big=True)


@pytest.mark.parametrize("field", ["use", "dry", "species:apple", "species:quince", "min_c", "max_c"])
def test_yes_and_no_turn_and_turn_back_to_nothing_changed(field: str) -> None:
    there = turned(LOOK, OWN, field)
    assert there != OWN
    assert turned(LOOK, there, field) == OWN


def test_a_limit_that_the_template_gives_can_be_taken_away() -> None:
    change = turned(LOOK, OWN, "min_c")
    assert (value("min_c", change), value("max_c", change)) == ("no limit", "30 °C")
    assert laid_over(LOOK, change).weather == Weather(max_c=30)


def test_a_limit_that_is_turned_on_may_not_pass_the_other() -> None:
    free = Template("free", "Free", "upkeep", "site", Anchor(date="01-05"), Anchor(date="02-05"))
    with pytest.raises(Refused):
        turned(free, Adjustment(min_c=35.0), "max_c")


def test_a_species_can_be_added_and_taken_away() -> None:
    assert turned(LOOK, OWN, "species:quince").species == ("apple", "pear", "quince")
    assert turned(LOOK, OWN, "species:apple").species == ("pear",)


def test_a_template_of_all_species_loses_one() -> None:
    every = Template("all", "All", "upkeep", "tree", Anchor(date="01-05"), Anchor(date="02-05"))
    assert turned(every, OWN, "species:plum").species == tuple(name for name in SPECIES if name != "plum")


def test_the_last_species_stays() -> None:
    with pytest.raises(Refused, match="leave it out"):
        turned(LOOK, Adjustment(species=("apple",)), "species:apple")


@pytest.mark.parametrize("field", ["opens", "every_days"])
def test_a_number_cannot_be_turned(field: str) -> None:
    with pytest.raises(Refused):
        turned(LOOK, OWN, field)


@pytest.mark.parametrize("field", ["dry", "use", "species:apple"])
def test_a_yes_cannot_be_stepped(field: str) -> None:
    with pytest.raises(Refused):
        stepped(LOOK, OWN, field, 1, big=False)


@pytest.mark.parametrize(
    ("field", "left"),
    [
        ("opens", Adjustment(off=True, closes_later_days=2, species=("pear",), min_c=1.0)),
        ("whole window", Adjustment(off=True, species=("pear",), min_c=1.0)),
        ("use", Adjustment(opens_later_days=1, closes_later_days=2, species=("pear",), min_c=1.0)),
        ("min_c", Adjustment(off=True, opens_later_days=1, closes_later_days=2, species=("pear",))),
        ("species:apple", Adjustment(off=True, opens_later_days=1, closes_later_days=2, min_c=1.0)),
        ("species:pear", Adjustment(off=True, opens_later_days=1, closes_later_days=2, species=("pear",), min_c=1.0)),
    ],
)
def test_a_field_goes_back_to_its_own_value_alone(field: str, left: Adjustment) -> None:
    change = Adjustment(off=True, opens_later_days=1, closes_later_days=2, species=("pear",), min_c=1.0)
    assert own_value(LOOK, change, field) == left


def test_the_site_is_shifted_by_one_of_the_three() -> None:
    colder = site_stepped(SiteShift(), SiteShift(), "degrees_c", 1, big=True)
    assert colder == SiteShift(degrees_c=1.0)
    assert site_stepped(colder, SiteShift(), "elevation_m", 1, big=True) == SiteShift(elevation_m=100.0)


def test_a_shift_back_at_nothing_is_not_kept() -> None:
    assert site_stepped(SiteShift(days=1.0), SiteShift(), "days", -1, big=False) == SiteShift()


def test_a_site_that_has_its_own_shift_begins_from_it() -> None:
    own = SiteShift(degrees_c=1.2)
    assert site_stepped(SiteShift(), own, "degrees_c", 1, big=False) == SiteShift(degrees_c=1.3)
    assert site_stepped(SiteShift(degrees_c=1.3), own, "degrees_c", -1, big=False) == SiteShift()


def test_no_shift_must_be_said_where_the_site_has_its_own() -> None:
    assert site_stepped(SiteShift(degrees_c=0.1), SiteShift(degrees_c=1.2), "degrees_c", -1, big=False) == SiteShift(
        degrees_c=0.0
    )


def test_the_sites_own_shift_says_where_it_comes_from() -> None:
    fields = site_fields(SiteShift(), SiteShift(elevation_m=150), "metric")
    assert [(field.value, field.gives) for field in fields] == [
        ("not used", ""),
        ("150 m higher", "from site.toml"),
        ("not used", ""),
    ]


def one(name: str, days: int = 1) -> Adjustments:
    return Adjustments(template={name: Adjustment(opens_later_days=days)})


def test_a_change_and_its_taking_back_leave_nothing_unsaved() -> None:
    draft = Draft().changed(one("a")).changed(one("a", 2))
    assert draft.stepped_back().now == one("a")
    assert not draft.stepped_back().stepped_back().unsaved


def test_where_the_changes_before_are_forgotten_all_of_them_go_back() -> None:
    draft = Draft().changed(one("a")).changed(one("a", 2)).read(one("b"))
    assert draft.stepped_back().now == one("b")


def test_a_change_back_to_what_is_saved_is_not_unsaved() -> None:
    assert not Draft().changed(one("a")).changed(Adjustments()).unsaved


def test_what_another_process_wrote_stays_beside_the_draft() -> None:
    draft = Draft().changed(one("a")).read(one("b"))
    assert (draft.saved, draft.now) == (one("b"), Adjustments(template={**one("b").template, **one("a").template}))


def test_a_change_made_while_a_save_runs_is_still_unsaved() -> None:
    saved = Draft().changed(one("a"))
    draft = saved.changed(one("a", 2)).after_save(saved)
    assert (draft.saved, draft.now, draft.unsaved) == (one("a"), one("a", 2), True)


def test_a_save_that_was_read_first_is_the_same_as_one_told_first() -> None:
    saved = Draft().changed(one("a"))
    assert saved.read(one("a")).after_save(saved) == saved.after_save(saved)


def test_taking_a_save_back_leaves_what_was_before_it() -> None:
    saved = Draft(one("b"), one("b")).changed(Adjustments())
    after = saved.after_save(saved)
    assert after.after_undo(after) == Draft(one("b"), one("b"))


def test_the_change_of_one_template_carries_no_other() -> None:
    before, after = one("a"), Adjustments(SiteShift(days=3.0), one("a", 5).template)
    onto = Adjustments(template={**one("a").template, **one("b").template})
    made = carried(before, after, onto)
    assert made == Adjustments(SiteShift(days=3.0), {**one("b").template, **one("a", 5).template})


@pytest.mark.parametrize(
    ("now", "words"),
    [
        (one("a"), "1 template"),
        (Adjustments(SiteShift(days=1.0)), "the site's shift"),
        (Adjustments(SiteShift(days=1.0), one("a").template), "1 template and the site's shift"),
    ],
)
def test_the_draft_says_what_is_unsaved(now: Adjustments, words: str) -> None:
    assert Draft().changed(now).unsaved_words() == words


def test_minutes_by_size_are_shown_and_a_step_begins_at_those_of_a_middle_sized_tree() -> None:
    by_size = msgspec.structs.replace(LOOK, effort=Effort(10, minutes_by_size=(15, 45, 120)))
    assert value("minutes_each", OWN, by_size) == "15, 45, 120 by size"
    change = stepped(by_size, OWN, "minutes_each", 1, big=True)
    assert change == Adjustment(minutes_each=50)
    assert value("minutes_each", change, by_size) == "50"
    assert own_value(by_size, change, "minutes_each") == OWN

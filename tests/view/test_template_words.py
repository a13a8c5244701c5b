"""A template in words: what it waits for, its units, its weather, effort and rounds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.seasons import Season
from tendwork.folder.templates import load_templates
from tendwork.planning.adjustments import Adjustment
from tendwork.planning.vocabulary import Anchor, Effort, Repeats, Template, UnionState, Weather, Where
from tendwork.view.template_words import (
    anchor_words,
    effort_words,
    laid_over,
    opening_words,
    rounds_words,
    template_text,
    units_words,
    window_words,
    wish_words,
)

NORTH = Season(2026)
SOUTH = Season(2026, south=True)
SHIPPED = load_templates(None).templates


def a_template(
    opens: Anchor, closes: Anchor, best: Anchor | None = None, lapses: Anchor | None = None, **other: object
) -> Template:
    return Template(
        "look",
        "Look",
        "aftercare",
        "graft",
        opens,
        closes,
        best=best,
        lapses=lapses,
        **other,  # type: ignore[arg-type]
    )


def after_set(**amount: float) -> Anchor:
    return Anchor(after="set", **amount)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("anchor", "words"),
    [
        (Anchor(date="12-15"), "15 Dec"),
        (Anchor(date="12-15", days=3), "3 days after 15 Dec"),
        (Anchor(stage="green tip"), "green tip"),
        (Anchor(stage="green tip", days=-10), "10 days before green tip"),
        (Anchor(stage="green tip", days=1), "1 day after green tip"),
        (Anchor(after="set"), "the day it was set"),
        (Anchor(after="set", days=21), "21 days after it was set"),
        (Anchor(after="took", days=30), "30 days after it was seen to take"),
        (Anchor(after="cut", weeks=9), "9 weeks after it was cut"),
        (Anchor(after="cut", weeks=9, days=-3), "60 days after it was cut"),
        (Anchor(after="set", heat=330), "330 degree-days after it was set"),
        (Anchor(after="set", heat=330, days=3), "330 degree-days counted from 3 days after it was set"),
    ],
)
def test_an_anchor_says_how_far_it_lies_from_what(anchor: Anchor, words: str) -> None:
    assert anchor_words(anchor, NORTH) == words


def test_a_stage_names_the_species_where_there_is_but_one() -> None:
    anchor = Anchor(stage="green tip", days=-10)
    assert anchor_words(anchor, NORTH, ("apple",)) == "10 days before apple green tip"
    assert anchor_words(anchor, NORTH, ("apple", "pear")) == "10 days before green tip"


def test_a_day_of_the_calendar_is_the_one_that_the_season_gives_in_the_south() -> None:
    assert anchor_words(Anchor(date="12-15"), SOUTH) == "15 Jun"


@pytest.mark.parametrize(
    ("anchor", "words"),
    [
        (
            Anchor(latest_of=(after_set(days=21), Anchor(stage="green tip"))),
            "the later of 21 days after it was set and green tip",
        ),
        (
            Anchor(latest_of=(after_set(weeks=5), after_set(heat=330))),
            "the later of 5 weeks and 330 degree-days after it was set",
        ),
        (
            Anchor(earliest_of=(Anchor(date="01-05"), Anchor(date="02-01"), Anchor(stage="pink"))),
            "the earliest of 5 Jan, 1 Feb and pink",
        ),
        (
            Anchor(latest_of=(Anchor(date="06-01"), Anchor(earliest_of=(Anchor(date="08-01"), Anchor(stage="pink"))))),
            "the later of 1 Jun and (the earlier of 1 Aug and pink)",
        ),
        (
            Anchor(latest_of=(Anchor(date="03-15"), Anchor(stage="pink")), days=5),
            "5 days after the later of 15 Mar and pink",
        ),
        (
            Anchor(first_known=(Anchor(after="look"), Anchor(stage="full bloom", days=75))),
            "a week before the fruit may be ripe or, where that is not known, 75 days after full bloom",
        ),
        (
            Anchor(first_known=(Anchor(after="use by"), Anchor(date="11-30")), days=-7),
            "7 days before (the last day on which the fruit is known to be good in store or, where that is not known,"
            " 30 Nov)",
        ),
    ],
)
def test_joined_anchors_say_which_of_them_counts(anchor: Anchor, words: str) -> None:
    assert anchor_words(anchor, NORTH) == words


@pytest.mark.parametrize(
    ("template", "words"),
    [
        (
            a_template(after_set(days=21), after_set(days=42), lapses=after_set(days=70)),
            "from 21 days after it was set until 42; late until 70",
        ),
        (
            a_template(after_set(days=21), after_set(days=42), after_set(days=28), after_set(days=70)),
            "from 21 days after it was set, best 28, until 42; late until 70",
        ),
        (
            a_template(
                Anchor(first_known=(Anchor(after="ripens"), Anchor(stage="full bloom", days=75))),
                Anchor(first_known=(Anchor(after="ripens", days=9), Anchor(stage="full bloom", days=165))),
            ),
            "from the day on which the fruit is likely to be ripe until 9 days after that; where that is not known,"
            " from 75 days after full bloom until 165",
        ),
        (
            a_template(after_set(), after_set(days=10), lapses=after_set(days=60)),
            "from the day it was set until 10 days after that; late until 60",
        ),
        (
            a_template(Anchor(stage="swollen bud", days=-28), Anchor(stage="pink"), best=Anchor(stage="green tip")),
            "from 28 days before swollen bud, best at green tip, until pink",
        ),
        (
            a_template(Anchor(stage="swollen bud", days=-28), Anchor(stage="swollen bud", days=-7)),
            "from 28 days before swollen bud until 7 days before swollen bud",
        ),
        (
            a_template(after_set(days=21), after_set(weeks=8)),
            "from 21 days after it was set until 8 weeks after it was set",
        ),
        (a_template(Anchor(date="08-01"), Anchor(date="08-31")), "from 1 Aug until 31 Aug"),
    ],
)
def test_a_window_is_short_where_its_ends_are_counted_from_the_same(template: Template, words: str) -> None:
    assert window_words(template, NORTH) == words


def test_the_ends_of_a_joined_window_say_that_they_are_counted_from_the_same() -> None:
    joined = Anchor(latest_of=(Anchor(date="03-15"), Anchor(stage="pink")))
    moved = a_template(
        joined, Anchor(latest_of=joined.latest_of, days=5), lapses=Anchor(latest_of=joined.latest_of, days=6)
    )
    assert window_words(moved, NORTH) == (
        "from the later of 15 Mar and pink until 5 days after that; late until 6 days after the same"
    )


@pytest.mark.parametrize("template", SHIPPED, ids=lambda template: template.id)
def test_every_day_and_amount_of_a_shipped_rule_stands_in_its_words(template: Template) -> None:
    """The file itself is the oracle: each number of its window's table stands in the sentence, none is dropped."""
    words = window_words(template, NORTH)
    for name in ("opens", "best", "closes", "lapses"):
        for anchor in _leaves(getattr(template, name)):
            for amount in (abs(anchor.days), anchor.weeks, anchor.heat):
                assert not amount or f"{amount:g}" in words
            assert anchor.stage is None or anchor.stage in words


@given(st.integers(-180, 180))
def test_a_shift_of_the_opening_changes_its_words_unless_it_is_none(days: int) -> None:
    template = a_template(after_set(days=200), after_set(days=400))
    moved = opening_words(laid_over(template, Adjustment(opens_later_days=days)), NORTH)
    assert moved == f"{200 + days} days after it was set"


def test_units_say_species_state_method_wrap_verdict_height_and_age() -> None:
    where = Where(
        species=("apple", "pear"),
        state=("set", "took"),
        method=("cleft",),
        wrap=("raffia",),
        verdict=("on trial",),
        above_m=2,
        age_years=(0, 0),
    )
    template = a_template(Anchor(date="01-05"), Anchor(date="02-05"), where=where)
    assert units_words(template, "metric") == (
        "each graft of apple or pear, set or took, by cleft, wrapped in raffia, with the verdict on trial, "
        "above 2 m, in its first season"
    )


@pytest.mark.parametrize(("union", "known"), [("fails late", "known"), ("no doubt", "not known")])
def test_units_say_whether_their_union_is_known_to_fail_late(union: UnionState, known: str) -> None:
    template = a_template(Anchor(date="01-05"), Anchor(date="02-05"), where=Where(union=union))
    assert units_words(template, "metric") == f"each graft, whose union is {known} to fail late"


@pytest.mark.parametrize(("flat", "words"), [(True, "trained flat"), (False, "not trained flat")])
def test_units_say_how_their_tree_is_trained(flat: bool, words: str) -> None:
    template = a_template(Anchor(date="01-05"), Anchor(date="02-05"), where=Where(trained_flat=flat))
    assert units_words(template, "metric") == f"each graft, {words}"


def test_a_height_is_in_feet_where_the_person_wants_it_so() -> None:
    template = a_template(Anchor(date="01-05"), Anchor(date="02-05"), where=Where(above_m=2))
    assert units_words(template, "us") == "each graft, above 6.6 ft"


@pytest.mark.parametrize(
    ("years", "words"),
    [
        ((0, 0), "in its first season"),
        ((1, 1), "in its second season"),
        ((0, 3), "in its first 4 seasons"),
        ((4, 80), "4 to 80 seasons old"),
    ],
)
def test_an_age_is_counted_in_seasons(years: tuple[int, int], words: str) -> None:
    template = a_template(Anchor(date="01-05"), Anchor(date="02-05"), where=Where(age_years=years))
    assert units_words(template, "metric") == f"each graft, {words}"


@pytest.mark.parametrize(
    ("years", "words"),
    [
        ((1, 1), "in its second season of growth"),
        ((0, 1), "in its first 2 seasons of growth"),
        ((1, 5), "1 to 5 seasons after its first of growth"),
    ],
)
def test_years_of_growth_are_told_from_an_age(years: tuple[int, int], words: str) -> None:
    template = a_template(Anchor(date="01-05"), Anchor(date="02-05"), where=Where(growing_years=years))
    assert units_words(template, "metric") == f"each graft, {words}"


def test_the_weather_is_in_the_persons_degrees() -> None:
    template = a_template(Anchor(date="01-05"), Anchor(date="02-05"), weather=Weather(dry=True, min_c=10, max_c=30))
    assert wish_words(template, "us") == "a dry day, 50 to 86 °F"


def test_a_job_that_wants_no_weather_takes_any() -> None:
    assert wish_words(a_template(Anchor(date="01-05"), Anchor(date="02-05")), "metric") == "any weather"


@pytest.mark.parametrize(
    ("effort", "each", "words"),
    [
        (Effort(10, 1.5), "graft", "10 min to set up, 1.5 min each"),
        (Effort(0, 2), "graft", "2 min each"),
        (Effort(10, 0, (15, 45, 120)), "tree", "10 min to set up, 15, 45 or 120 min by the size of the tree"),
        (Effort(0, 0, (1, 2.5, 5)), "graft", "1, 2.5 or 5 min each by the size of the tree"),
        (Effort(30, 0), "site", "30 min to set up"),
        (Effort(0, 5), "site", "5 min"),
        (Effort(), "graft", "no time of its own"),
    ],
)
def test_the_effort_is_to_set_up_and_for_each(effort: Effort, each: str, words: str) -> None:
    assert effort_words(effort, each) == words


def test_rounds_say_how_often_and_until_when() -> None:
    assert rounds_words(Repeats(7, 8, Anchor(date="09-10")), NORTH) == "every 7 days, 8 rounds, none after 10 Sep"
    assert rounds_words(Repeats(1, 1), NORTH) == "every 1 day, 1 round"
    assert rounds_words(None, NORTH) == ""


def test_the_text_of_a_template_names_its_source_and_lets_nothing_act() -> None:
    template = a_template(Anchor(date="01-05"), Anchor(date="02-05"), source="A book, 1990", note="Mind\x1b[2J this.")
    text = template_text(template, NORTH, "metric", 80)
    assert "A book, 1990" in text
    assert "\x1b" not in text


def _leaves(anchor: Anchor | None) -> list[Anchor]:
    if anchor is None:
        return []
    parts = anchor.parts
    return [anchor, *(leaf for part in parts for leaf in _leaves(part))]

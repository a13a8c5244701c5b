"""The advised day of each pruning job against published spans, for sites given by monthly normals alone.

The day must lie in the span or within ten days of it, and must be the same before the season's cold and in the middle
of it. Normals are from memory, rounded: inputs, never oracles. Grades as in timing_checks.py.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from msgspec import Struct
from timing_orchard import SITES, Year

NEAR = timedelta(days=10)
DAYS = {"15 January": Year(today=date(2027, 1, 15)), "1 November": Year(today=date(2026, 11, 1))}
APPLE, PEAR, PLUM, CHERRY = "summer-prune-apple", "summer-prune-pear-quince", "summer-prune-plum", "summer-prune-cherry"
APRICOT, PEACH, AT_BLOOM = "summer-prune-apricot", "summer-prune-peach", "spring-prune-peach"
BEFORE_GROWTH, SPROUTS, WINTER = "late-winter-prune-stone", "water-sprouts-pome", "winter-prune-pome"


class Span(Struct, frozen=True):
    """What a source says of a job at a place, as a span of days."""

    site: str
    job: str
    species: str
    first: str
    last: str
    source: str
    planted: int = 2005


PUBLISHED = (
    Span("maritime", APPLE, "apple", "08-11", "08-31", "RHS (J. Arbury), Summer pruning fruit trees, undated, A"),
    Span("Utah", APPLE, "apple", "07-21", "08-10", "Utah State University Extension, When to prune, undated, A"),
    Span("Norway", APPLE, "apple", "08-16", "08-31", "Ystaas, Acta Horticulturae 322, 1992, A"),
    Span("northern England", APPLE, "apple", "09-01", "09-10", "Hartlepool Mail, on summer pruning, undated, B"),
    Span("northern England", APPLE, "apple", "08-21", "08-31", "Westmorland Gazette (T. Attwood), undated, B"),
    Span("Massachusetts", APPLE, "apple", "08-01", "08-31", "UMass, Healthy Fruit 9(17), 2001, A"),
    Span("warm", SPROUTS, "apple", "05-21", "05-31", "UC Master Gardeners, Sacramento, monthly tips, undated, A"),
    Span("maritime", PEAR, "pear", "07-21", "08-10", "RHS (J. Arbury), Summer pruning fruit trees, undated, A"),
    Span("northern England", PEAR, "pear", "07-21", "08-10", "Hartlepool Mail; Westmorland Gazette, undated, B"),
    Span("maritime", PLUM, "plum", "06-01", "07-31", "Amateur Gardening, on silver leaf, 2017, B"),
    Span("maritime", CHERRY, "sweet cherry", "06-01", "07-31", "Amateur Gardening, on silver leaf, 2017, B"),
    Span("central European", CHERRY, "sweet cherry", "08-11", "08-20", "pressedienst-landundgarten.de, undated, B"),
    Span("Pacific North West", CHERRY, "sweet cherry", "08-01", "08-31", "Ask Extension, Oregon, 2024, A"),
    Span("warm", CHERRY, "sweet cherry", "06-15", "08-31", "UC Master Gardeners, Contra Costa, undated, A"),
    Span("warm", APRICOT, "apricot", "06-15", "08-31", "UC Master Gardeners, Contra Costa, undated, A"),
    Span("maritime", PEACH, "peach", "07-01", "08-31", "Simply Vegetables, on peach, 2022, B"),
    Span("maritime", AT_BLOOM, "peach", "04-01", "04-30", "Simply Vegetables: from April on, 2022, B"),
    Span(
        "Minnesota",
        BEFORE_GROWTH,
        "plum",
        "03-01",
        "03-31",
        "UMN Extension, Growing stone fruits, undated, A",
    ),
    Span("Colorado", BEFORE_GROWTH, "plum", "03-01", "03-31", "Grand Junction Sentinel, garden column, undated, B"),
    Span("Colorado", BEFORE_GROWTH, "apricot", "03-01", "03-31", "Grand Junction Sentinel, garden column, undated, B"),
    Span("Utah", WINTER, "apple", "02-01", "04-30", "Utah State University Extension, When to prune, undated, A"),
    Span("Alaska", WINTER, "apple", "04-30", "04-30", "Alaska Pioneer Fruit Growers, calendar, undated, B"),
    Span("maritime", "prune-young-plum", "plum", "04-01", "05-31", "Petersfield council group, 2024, B", 2025),
)


@pytest.mark.parametrize("span", PUBLISHED, ids=lambda span: f"{span.site}-{span.job}-{span.species}-{span.first}")
@pytest.mark.parametrize("today", DAYS)
def test_the_advised_day_lies_in_the_published_span_or_near_it(today: str, span: Span) -> None:
    year = DAYS[today]
    best = year.window(span.site, span.job, span.species, planted=span.planted).best
    assert year.day(span.first) - NEAR <= best <= year.day(span.last) + NEAR, span.source


@pytest.mark.parametrize("span", PUBLISHED, ids=lambda span: f"{span.site}-{span.job}-{span.species}-{span.first}")
def test_the_advice_of_january_is_that_of_november(span: Span) -> None:
    first, last = (year.window(span.site, span.job, span.species, planted=span.planted).best for year in DAYS.values())
    assert abs(first - last) <= timedelta(days=3)


@pytest.mark.parametrize("site", ["maritime", "central European", "Norway", "Alaska", "cold continental"])
def test_in_a_cool_climate_no_apple_is_summer_pruned_before_20_july(site: str) -> None:
    assert DAYS["15 January"].window(site, APPLE).opens >= date(2027, 7, 20)


@pytest.mark.parametrize("site", ["warm", "Texas", "Gulf Texas", "US South"])
def test_where_summers_are_hot_apple_is_not_cut_in_june_either(site: str) -> None:
    """New York trials, told by the University of Wisconsin, 2020 (A): cuts of June regrow 20 cm, of August nothing.

    That crowns are lowered from late May on (UC Master Gardeners, Sacramento) stands with the water sprouts.
    """
    window = DAYS["15 January"].window(site, APPLE)
    assert date(2027, 7, 20) <= window.opens <= window.best <= date(2027, 8, 10)


@pytest.mark.parametrize("site", SITES)
def test_no_peach_is_advised_to_be_pruned_from_september_to_january(site: str) -> None:
    """Virginia: not before February; NC State, 2007: regrowth of autumn freezes; Britain: by mid September."""
    year = DAYS["15 January"]
    for job in (AT_BLOOM, PEACH):
        window = year.window(site, job, "peach")
        assert date(2027, 2, 1) <= window.opens <= window.best <= window.closes <= date(2027, 8, 31)
        assert window.lapses <= date(2027, 9, 10)


@pytest.mark.parametrize("site", ["Alaska", "Wyoming"])
def test_where_leaves_fall_early_no_peach_is_cut_in_the_eight_weeks_before(site: str) -> None:
    year = DAYS["15 January"]
    leaf_fall = year.stage(site, "leaf fall", "peach")
    assert (leaf_fall - year.window(site, PEACH, "peach").closes).days >= 56


@pytest.mark.parametrize("site", SITES)
def test_peach_is_pruned_while_it_blooms_and_in_warm_places_not_before(site: str) -> None:
    year = DAYS["15 January"]
    window, bloom = year.window(site, AT_BLOOM, "peach"), year.stage(site, "full bloom", "peach")
    assert window.best == bloom
    assert window.closes == year.stage(site, "petal fall", "peach") + timedelta(days=14)
    assert window.opens >= year.stage(site, "pink", "peach")
    if bloom < date(2027, 3, 1):
        assert window.opens >= year.stage(site, "first bloom", "peach")


def test_sweet_cherry_is_never_pruned_before_it_grows() -> None:
    """Rutgers, Canker removal while pruning, undated: stone fruit except sweet cherry."""
    before_summer = [
        template
        for template in DAYS["15 January"].templates.values()
        if template.part == "pruning" and "sweet cherry" in (template.where.species or ())
    ]
    for template in before_summer:
        opens = DAYS["15 January"].rounds("Utah", template.id, "sweet cherry")
        assert all(window.opens >= date(2027, 6, 1) for window in opens), template.id


STRONG_IN_SUMMER = "Of several varieties shorten the strong grafts to the length of the weak"
STRONG_IN_WINTER = "Of strong grafts take whole shoots out, and shorten little"


@pytest.mark.parametrize("job", [APPLE, PEAR, PLUM, CHERRY, APRICOT, PEACH, AT_BLOOM, BEFORE_GROWTH, WINTER])
def test_every_pruning_takes_from_the_strong_and_spares_the_weak(job: str) -> None:
    """Dave Wilson Nursery, quoted 2013: the strongest back most, the weak not at all; UC Master Gardeners, 2020."""
    steps = DAYS["15 January"].steps(job)
    wanted = STRONG_IN_SUMMER if job.startswith("summer-prune-") else STRONG_IN_WINTER
    assert wanted in steps
    assert "leave weak ones uncut" in steps


def test_no_job_on_a_tree_with_fire_blight_waits_for_weather_that_may_never_come() -> None:
    """Illinois cuts blighted trees only in hot dry weather, which many places never have."""
    for template in DAYS["15 January"].templates.values():
        if template.part == "pruning" and {"apple", "pear"} & {*(template.where.species or ())}:
            assert "hot dry" not in " ".join(template.steps), template.id
            assert template.weather.min_c is None or template.weather.min_c <= 0, template.id


@pytest.mark.parametrize(
    ("job", "words"),
    [
        # WSU, Pruning fire blight, 2023; WSU, Cutting fire blight strikes, 2018: speed before cleaning
        ("fire-blight-watch", "at once, dry, 30 to 45 cm into healthy wood of two years"),
        ("fire-blight-watch", "speed counts before a clean blade"),
        ("fire-blight-watch", "stub of 10 to 13 cm, marked with paint"),
        ("fire-blight-watch", "a graft under two years comes off whole"),
        ("fire-blight-watch", "leave strikes to winter, unless they near the trunk or a graft union"),
        ("fire-blight-every-third-day", "A graft under two years comes off whole"),
        # Michigan; Cornell, 2004: strikes stop with the shoots, so what came late is cut in winter, and looked for then
        ("cut-out-blight-stubs", "strikes left since shoots stopped"),
        ("cut-out-blight-stubs", "cut strikes and cankers 20 to 30 cm into sound wood"),
        # Rutgers; NC State, 2007: never September to January
        (AT_BLOOM, "never from September to January"),
        # RHS on trained stone fruit: back to one leaf
        ("take-off-regrowth-stone", "back to one leaf"),
    ],
)
def test_the_steps_say_what_no_date_can(job: str, words: str) -> None:
    assert words in DAYS["15 January"].steps(job)

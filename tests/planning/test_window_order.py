"""Windows that close before they open: told from the anchors, or from the days of a season."""

from __future__ import annotations

import re
from datetime import date

import pytest
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Records, Tree
from tendwork.planning.anchors import Anchors
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.vocabulary import Anchor, Repeats, Template, Weather, Where
from tendwork.planning.window_order import always_out_of_order, out_of_order, probes

TREES = Records((Tree("t1", "Old apple", "apple", planted=1990),))


def template(opens: Anchor, closes: Anchor, **more: object) -> Template:
    values = {"id": "mine", "title": "Mine", "part": "upkeep", "each": "tree", "opens": opens, "closes": closes}
    return Template(**(values | more))  # type: ignore[arg-type]


def on(written: str, days: int = 0) -> Anchor:
    return Anchor(date=written, days=days)


def keys(found: Template) -> list[str]:
    return [".".join(wrong.key) for wrong in always_out_of_order(found)]


@pytest.mark.parametrize(
    ("opens", "closes", "words"),
    [
        (on("06-10"), on("06-01"), "comes before opens: 1 Jun is before 10 Jun"),
        (on("06-10"), on("06-20", -11), "comes before opens: 9 Jun is before 10 Jun"),
        (on("02-09"), on("12-01"), "comes before opens: 1 Dec is before 9 Feb of the next year"),
        (on("02-09", 400), on("04-27"), "comes before opens: 27 Apr is before 16 Mar of the next year"),
        (on("02-09", 800), on("12-01"), "comes before opens: 1 Dec is before 19 Apr 3 years later"),
        (
            Anchor(stage="green tip", days=5),
            Anchor(stage="green tip", days=3),
            "comes before opens: 3 days after green tip is before 5 days after green tip",
        ),
        (
            Anchor(after="set", weeks=6),
            Anchor(after="set", days=41),
            "comes before opens: 41 days after it was set is before 42 days after it was set",
        ),
        (
            Anchor(after="set", heat=300),
            Anchor(after="set", heat=200),
            "comes before opens: 200 degree-days after it was set is before 300 degree-days after it was set",
        ),
        (
            Anchor(stage="full bloom"),
            Anchor(stage="green tip", days=-1),
            "comes before opens: 1 day before green tip is before full bloom",
        ),
        (
            Anchor(latest_of=(on("06-01"), Anchor(after="set")), days=9),
            Anchor(latest_of=(on("06-01"), Anchor(after="set")), days=8),
            "comes before opens: 8 days after the point that both go by is before 9 days after the point that both "
            "go by",
        ),
    ],
)
def test_a_window_that_closes_before_it_opens_is_told(opens: Anchor, closes: Anchor, words: str) -> None:
    (wrong,) = always_out_of_order(template(opens, closes))
    assert wrong.key == ("closes",)
    assert wrong.words == words


@pytest.mark.parametrize(
    ("opens", "closes"),
    [
        (on("12-20"), on("01-10")),  # over the new year
        (on("11-01"), on("10-31")),  # the whole season
        (on("06-10"), on("06-10")),
        (Anchor(stage="green tip"), Anchor(stage="full bloom")),
        (Anchor(stage="full bloom", days=-30), Anchor(stage="green tip")),  # only the weather decides
        (Anchor(after="set", weeks=3), on("08-01")),
        (Anchor(stage="green tip"), on("02-01")),
        (Anchor(after="set", days=10), Anchor(after="set", days=5, heat=100)),
    ],
)
def test_a_window_that_is_right_or_hangs_on_the_weather_is_let_be(opens: Anchor, closes: Anchor) -> None:
    assert keys(template(opens, closes)) == []


def test_a_window_over_the_first_day_of_a_season_is_told_how_it_is_written() -> None:
    (wrong,) = always_out_of_order(template(on("10-15"), on("11-20")))
    assert wrong.remedy.endswith('such as { date = "10-15", days = 36 }.')
    assert keys(template(on("10-15"), on("10-15", 36))) == []


def test_best_lapses_and_until_stand_in_order_too() -> None:
    assert keys(template(on("06-10"), on("06-20"), best=on("06-25"))) == ["closes"]
    assert keys(template(on("06-10"), on("06-20"), best=on("06-05"))) == ["best"]
    assert keys(template(on("06-10"), on("06-20"), lapses=on("06-15"))) == ["lapses"]
    repeats = Repeats(every_days=7, times=3, until=on("06-01"))
    assert keys(template(on("06-10"), on("06-20"), repeats=repeats)) == ["repeats.until"]


@pytest.mark.parametrize("found", TEMPLATES, ids=lambda found: found.id)
def test_no_shipped_template_is_out_of_order(found: Template) -> None:
    assert keys(found) == []


def test_what_only_the_weather_decides_is_told_with_the_days_of_the_season() -> None:
    found = template(Anchor(stage="green tip"), on("02-01"))
    anchors = Anchors(SteadyAlmanac(), Season(2026))
    (wrong,) = out_of_order(found, probes(found, ("apple",)), anchors)
    green_tip = anchors.resolve(found.opens, probes(found, ("apple",))[0])
    assert green_tip is not None
    assert wrong.key == ("closes",)
    day = f"{green_tip.day.day} {green_tip.day:%b}"
    assert wrong.words == f"comes before opens this season (apple): 1 Feb is before {day}"


def test_days_of_different_years_are_told_with_their_years() -> None:
    found = template(Anchor(stage="green tip", days=300), on("04-27"))
    (wrong,) = out_of_order(found, probes(found, ("apple",)), Anchors(SteadyAlmanac(), Season(2026)))
    assert re.search(r": 27 Apr 2026 is before \d+ (Jan|Feb) 2027$", wrong.words)


def test_limits_that_no_day_can_keep_are_told() -> None:
    (wrong,) = always_out_of_order(template(on("06-10"), on("06-20"), weather=Weather(min_c=30, max_c=10)))
    assert (wrong.key, wrong.words) == (("weather", "min_c"), "30 is above max_c, 10")
    assert keys(template(on("06-10"), on("06-20"), weather=Weather(min_c=10, max_c=10))) == []


def test_only_species_that_the_template_is_for_are_tried() -> None:
    found = template(Anchor(stage="green tip"), on("02-01"), where=Where(species=("plum",)))
    assert [subject.label for subject in probes(found, ("apple", "plum"))] == ["plum"]


def test_a_window_that_closes_before_it_opens_keeps_its_job_and_says_so() -> None:
    found = template(on("06-10"), on("06-01"))
    (task,) = [task for task in plan(SiteLimits(), TREES, SteadyAlmanac(), [found], date(2026, 6, 10)).tasks if task]
    assert task.window.opens == task.window.closes == date(2026, 6, 10)
    assert any("close before it opens" in reason for reason in task.because)

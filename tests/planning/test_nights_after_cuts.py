"""How cold it may be on the day of a cut and in the nights after it, in the shipped pruning rules.

A winter cut makes peach less hardy for about two weeks (Virginia Cooperative Extension 422-020, undated); a German
nursery stops at -5 °C (Baumschule Andresen, 2012). The limit of -10 °C for the nights is our own choice.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.planning.vocabulary import Weather
from tendwork.planning.weather import suits, weather_words

DAY = date(2027, 3, 20)
CUTS = {template.id: template for template in TEMPLATES if template.part == "pruning"}
POME, STONE = {"apple", "pear", "quince", "medlar"}, {"plum", "japanese plum", "sour cherry", "peach", "apricot"}


class Forecast(SteadyAlmanac):
    """Sixteen days of 4 °C, whose nights are as cold as they are said to be, by their number after the day."""

    def __init__(self, nights_c: dict[int, float]) -> None:
        self.nights_c = nights_c

    def day(self, day: date) -> tuple[float, float, str] | None:
        after = (day - DAY).days
        return (self.nights_c.get(after, -3.0), 4.0, "f") if 0 <= after <= 16 else None


@pytest.mark.parametrize(
    ("job", "nights_c", "suits_it"),
    [
        ("late-winter-prune-stone", {}, True),
        ("late-winter-prune-stone", {14: -10.0}, False),
        ("late-winter-prune-stone", {15: -18.0}, True),
        ("spring-prune-peach", {5: -4.9, 6: -9.0}, True),
        ("spring-prune-peach", {5: -5.0}, False),
        ("winter-prune-pome", {1: -20.0}, True),
    ],
)
def test_a_hard_night_after_a_cut_speaks_against_it_where_it_does_harm(
    job: str, nights_c: dict[int, float], suits_it: bool
) -> None:
    assert suits(CUTS[job].weather, DAY, Forecast(nights_c)) == suits_it


def test_frost_is_zero_where_a_rule_says_no_other() -> None:
    assert suits(Weather(frost_free_nights=1), DAY, Forecast({1: 0.0})) is False
    assert suits(Weather(frost_free_nights=1), DAY, Forecast({1: 0.1})) is True


def test_the_wish_says_how_cold_the_nights_may_be() -> None:
    assert weather_words(CUTS["late-winter-prune-stone"].weather) == (
        "a dry day, at least 0 °C, no night of -10 °C or colder in the 14 nights after"
    )
    assert weather_words(Weather(frost_free_nights=2)) == "no frost in the 2 nights after"


def test_pome_fruit_is_cut_down_to_five_degrees_of_frost_and_stone_fruit_to_none() -> None:
    limits = {
        (min_c, bool(STONE & {*(template.where.species or ())}))
        for template in CUTS.values()
        if (min_c := template.weather.min_c) is not None
    }
    assert limits == {(-5.0, False), (0.0, True)}


def test_the_day_itself_counts_by_its_warmest_hour() -> None:
    cold = Forecast({})
    assert suits(Weather(min_c=4.0), DAY, cold) is True
    assert suits(Weather(min_c=4.5), DAY, cold) is False
    assert suits(Weather(min_c=0.0), DAY + timedelta(days=40), cold) is None

"""The plan of a year against 46 published timing statements, for sites given by normals and usual dates alone."""

from __future__ import annotations

from datetime import date

import pytest
import timing_cold
import timing_mild
import timing_warm
from timing_checks import NEAR_DAYS, Statement, advised_days_off, shortfall
from timing_orchard import TEMPLATES, Year

from tendwork.planning.adjustments import Adjustment, Adjustments, adjusted

STATEMENTS = (*timing_cold.STATEMENTS, *timing_mild.STATEMENTS, *timing_warm.STATEMENTS)
YEAR = Year()
every_statement = pytest.mark.parametrize("statement", STATEMENTS, ids=lambda statement: statement.id)


def met(year: Year) -> list[str]:
    return [statement.id for statement in STATEMENTS if not shortfall(statement, year)]


def moved(days: int) -> Year:
    """The year by templates whose every window stands so many days later."""
    later = {
        template.id: Adjustment(
            asked=True,
            opens_later_days=days,
            best_later_days=days,
            closes_later_days=days,
            lapses_later_days=days,
        )
        for template in TEMPLATES
    }
    return Year(adjusted(tuple(TEMPLATES), Adjustments(template=later)))


@every_statement
def test_the_plan_agrees_with_the_statement(statement: Statement) -> None:
    reason = shortfall(statement, YEAR)
    assert not reason, f"{statement.words} [{statement.coded}], {statement.source}, grade {statement.grade}: {reason}"


def test_there_are_46_statements() -> None:
    assert len({statement.id for statement in STATEMENTS}) == 46


@pytest.mark.parametrize("days", [-75, 75])
def test_few_statements_would_be_met_by_windows_two_and_a_half_months_off(days: int) -> None:
    assert len(met(moved(days))) <= 8


NOT_ADVISED = ("O67",)
"""Statements that give no day for the advised one to be judged by: here only the length of a shoot."""

FAR_OFF = {
    "O09": "wood some weeks before a bark graft in May: Michigan itself cuts in late January and early February",
    "O47": "Oregon, 15 February to 1 March: two weeks before swelling there, while north-west Washington has December",
}
"""Statements of which the advised day may lie further off, each with the source that it would contradict."""


def far_off(year: Year) -> dict[str, int]:
    """By how many days the advised days lie off that are further from their statement than they may be."""
    days = {statement.id: advised_days_off(statement, year) for statement in STATEMENTS}
    assert tuple(name for name, off in days.items() if off is None) == NOT_ADVISED
    return {name: off for name, off in days.items() if off is not None and off > NEAR_DAYS}


@pytest.mark.parametrize("today", [date(2026, 11, 1), date(2027, 1, 15)])
def test_the_advised_day_lies_in_the_published_span_or_within_ten_days_of_it(today: date) -> None:
    off = far_off(Year(today=today))
    assert off.keys() <= FAR_OFF.keys(), off
    assert len(STATEMENTS) - len(NOT_ADVISED) - len(off) >= 40


def test_all_are_met_on_the_first_day_of_the_season_too() -> None:
    assert len(met(Year(today=date(2026, 11, 1)))) == len(STATEMENTS)


@pytest.mark.slow
@pytest.mark.parametrize("today", [date(2027, 4, 1), date(2027, 10, 31)])
def test_all_are_met_on_other_days_of_the_season(today: date) -> None:
    assert len(met(Year(today=today))) == len(STATEMENTS)

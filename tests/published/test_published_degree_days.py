"""Degree-days and growing degree hours against published worked examples and other people's programs."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date, timedelta
from itertools import accumulate
from pathlib import Path

import pytest

from tendwork.almanac.heat import (
    average,
    double_sine,
    double_triangle,
    growing_degree_hours_anderson,
    single_sine,
    single_triangle,
)

DATA = Path(__file__).parent / "data"
OJAI = list(csv.DictReader((DATA / "degree-day-ucipm.csv").open()))
ROUNDED = 0.005 + 1e-9
LOWER_C, UPPER_C = 12.0, 33.0


def ojai_day(row: dict[str, str]) -> date:
    month, day, year = map(int, row["date"].split("/"))
    return date(year, month, day)


NEXT_MINIMUM = {ojai_day(row) - timedelta(days=1): float(row["tmin_C"]) for row in OJAI}


@pytest.mark.parametrize("row", OJAI, ids=lambda row: f"UC IPM, Ojai {row['date']}")
def test_single_sine_and_triangle_agree_with_uc_ipm_to_the_printed_hundredth(row: dict[str, str]) -> None:
    """UC IPM degree-day calculator, Ojai CA 2016, 12/33 °C horizontal; as kept with the tests of TrenchR."""
    low, high = float(row["tmin_C"]), float(row["tmax_C"])
    sine = single_sine(low, high, LOWER_C, UPPER_C)
    triangle = single_triangle(low, high, LOWER_C, UPPER_C)
    assert (sine, triangle) == (
        pytest.approx(float(row["DD_single_sine"]), abs=ROUNDED),
        pytest.approx(float(row["DD_single_triangle"]), abs=ROUNDED),
    )


@pytest.mark.parametrize("row", OJAI, ids=lambda row: f"UC IPM, Ojai {row['date']}")
def test_double_sine_and_triangle_agree_with_uc_ipm_to_the_printed_hundredth(row: dict[str, str]) -> None:
    """Same source. Where the file does not hold the next day, one whole °F as its minimum must explain both methods."""
    low, high = float(row["tmin_C"]), float(row["tmax_C"])
    known = NEXT_MINIMUM.get(ojai_day(row))
    tried = [known] if known is not None else [round((fahrenheit - 32) / 1.8, 1) for fahrenheit in range(20, 80)]
    wanted_sine, wanted_triangle = float(row["DD_double_sine"]), float(row["DD_double_triangle"])
    assert any(
        abs(double_sine(low, high, following, LOWER_C, UPPER_C) - wanted_sine) <= ROUNDED
        and abs(double_triangle(low, high, following, LOWER_C, UPPER_C) - wanted_triangle) <= ROUNDED
        for following in tried
    )


@pytest.mark.parametrize(
    ("method", "column"), [(single_sine, "ACC_single_sine"), (single_triangle, "ACC_single_triangle")]
)
def test_a_fortnight_adds_up_as_at_uc_ipm(method: Callable[..., float], column: str) -> None:
    """Same source, 1 to 14 January; tolerance 0.05 as for the whole year."""
    rows = OJAI[:14]
    assert [ojai_day(row) for row in rows] == [date(2016, 1, day) for day in range(1, 15)]
    daily = [method(float(row["tmin_C"]), float(row["tmax_C"]), LOWER_C, UPPER_C) for row in rows]
    assert list(accumulate(daily)) == [pytest.approx(float(row[column]), abs=0.05) for row in rows]


@pytest.mark.parametrize(
    ("low", "high", "lower", "upper", "wanted"),
    [
        pytest.param(64, 64, 53, None, 11, id="UC IPM citrus page, mean 64 °F"),
        pytest.param(40, 65, 50, None, 2.5, id="MSU, J. Nugent, 65/40 °F"),
        pytest.param(35, 60, 50, None, 0, id="MSU, J. Nugent, 60/35 °F"),
        pytest.param(50, 70, 50, None, 10, id="Iowa State Agronomy 541, 70/50 °F"),
        pytest.param(61, 83, 50, None, 22, id="eddssupplies.com, 83/61 °F"),
        pytest.param(33, 57, 50, None, 0, id="eddssupplies.com, 57/33 °F"),
        pytest.param(43, 63, 50, None, 3, id="kandstreeservice.com, 63/43 °F"),
        pytest.param(75, 75, 65, None, 10, id="MRCC, mean 75 °F"),
        pytest.param(60, 80, 50, 86, 20, id="CPAN Temperature::Calculate::DegreeDays 0.50, ceiling 86 °F"),
    ],
)
def test_the_average_method_gives_the_printed_figure(
    low: float, high: float, lower: float, upper: float | None, wanted: float
) -> None:
    assert average(low, high, lower, upper) == wanted


@pytest.mark.parametrize(
    ("low", "high", "wanted"),
    [
        pytest.param(35, 60, 2.808719548290818, id="Baskerville-Emin formula, gddPy 1.0.3, 60/35 °F"),
        pytest.param(40, 65, 5.308719548290818, id="Baskerville-Emin formula, gddPy 1.0.3, 65/40 °F"),
    ],
)
def test_single_sine_gives_what_another_library_computes(low: float, high: float, wanted: float) -> None:
    assert single_sine(low, high, 50) == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    ("low", "high", "wanted"),
    [(7, 14, 0.47), (13, 14, 1.5), (13, 40, 12.94), (7, 40, 10.94), (7, 20, 2.87), (7, 10, 0)],
)
def test_single_sine_gives_the_figures_of_trenchr(low: float, high: float, wanted: float) -> None:
    """TrenchR documentation of degree_days and its tests (test-19-DDFunctions.R), thresholds 12 and 33 °C."""
    assert single_sine(low, high, LOWER_C, UPPER_C) == pytest.approx(wanted, abs=0.005)


@pytest.mark.parametrize(
    ("low", "high", "wanted"), [(7, 14, 0.29), (13, 40, 13.59), (7, 40, 11.14), (35, 40, 21), (7, 20, 2.46)]
)
def test_single_triangle_gives_the_figures_of_trenchr(low: float, high: float, wanted: float) -> None:
    """Same source."""
    assert single_triangle(low, high, LOWER_C, UPPER_C) == pytest.approx(wanted, abs=0.005)


def test_a_day_wholly_above_the_cutoff_counts_the_whole_distance_between_the_thresholds() -> None:
    """Computed from the definition of a horizontal cut-off; TrenchR's own single sine returns max - min here, a bug."""
    assert single_sine(35, 40, LOWER_C, UPPER_C) == 21


SEATTLE = [
    (date.fromisoformat(row["date"]), float(row["tmin_c"]) * 1.8 + 32, float(row["tmax_c"]) * 1.8 + 32)
    for row in csv.DictReader((DATA / "seattle-daily.csv").open())
]


@pytest.mark.parametrize(
    ("method", "year", "wanted"),
    [
        (single_sine, 2012, 438.16),
        (single_sine, 2013, 523.77),
        (single_sine, 2014, 617.89),
        (single_sine, 2015, 797.96),
        (average, 2012, 370.61),
        (average, 2013, 458.82),
        (average, 2014, 562.57),
        (average, 2015, 749.61),
    ],
)
def test_seattle_springs_add_up_to_the_computed_sums(method: Callable[..., float], year: int, wanted: float) -> None:
    """Base 43 °F, 1 January to 30 April, computed apart from this project on vega-datasets seattle_weather (NOAA)."""
    spring = [(low, high) for day, low, high in SEATTLE if day.year == year and day.month <= 4]
    assert sum(method(low, high, 43) for low, high in spring) == pytest.approx(wanted, abs=0.006)


def test_degree_hours_on_two_cosines_give_the_figures_of_chillr() -> None:
    """chillR 0.77, GDH; Anderson, Richardson & Kesner 1986."""
    hours = [4, 5, 7, 10, 14.5, 18, 25, 30, 36, 40]
    wanted = [0, 0.117276, 1.039827, 3.953357, 10.5, 15.75, 21, 7.247925, 0, 0]
    each = [growing_degree_hours_anderson([hour])[0] for hour in hours]
    assert each == [pytest.approx(value, abs=1e-6) for value in wanted]

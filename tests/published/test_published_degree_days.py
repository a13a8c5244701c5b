"""The degree-days of the single sine against published worked examples and other people's programs."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest

from tendwork.almanac.heat import sine_sums

DATA = Path(__file__).parent / "data"
ROUNDED = 0.005 + 1e-9
LOWER_C, UPPER_C = 12.0, 33.0
# No day with heat above the upper threshold, of which the program knows none.
OJAI = [row for row in csv.DictReader((DATA / "degree-day-ucipm.csv").open()) if float(row["tmax_C"]) <= UPPER_C]


def of_day(tmin: float, tmax: float, lower: float) -> float:
    return sine_sums([tmin], [tmax], lower)[0]


@pytest.mark.parametrize("row", OJAI, ids=lambda row: f"UC IPM, Ojai {row['date']}")
def test_a_day_agrees_with_uc_ipm_to_the_printed_hundredth(row: dict[str, str]) -> None:
    """UC IPM degree-day calculator, Ojai CA 2016, 12/33 °C horizontal; as kept with the tests of TrenchR."""
    heat = of_day(float(row["tmin_C"]), float(row["tmax_C"]), LOWER_C)
    assert heat == pytest.approx(float(row["DD_single_sine"]), abs=ROUNDED)


def test_a_fortnight_adds_up_as_at_uc_ipm() -> None:
    """Same source, 1 to 14 January; tolerance 0.05 as for the whole year."""
    rows = OJAI[:14]
    assert [row["date"][:5] for row in rows] == [f"01/{day:02}" for day in range(1, 15)]
    sums = sine_sums([float(row["tmin_C"]) for row in rows], [float(row["tmax_C"]) for row in rows], LOWER_C)
    assert sums == [pytest.approx(float(row["ACC_single_sine"]), abs=0.05) for row in rows]


@pytest.mark.parametrize(
    ("low", "high", "wanted"),
    [
        pytest.param(35, 60, 2.808719548290818, id="Baskerville-Emin formula, gddPy 1.0.3, 60/35 °F"),
        pytest.param(40, 65, 5.308719548290818, id="Baskerville-Emin formula, gddPy 1.0.3, 65/40 °F"),
    ],
)
def test_a_day_has_what_another_library_computes(low: float, high: float, wanted: float) -> None:
    assert of_day(low, high, 50) == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(("low", "high", "wanted"), [(7, 14, 0.47), (13, 14, 1.5), (7, 20, 2.87), (7, 10, 0)])
def test_a_day_has_the_figure_of_trenchr(low: float, high: float, wanted: float) -> None:
    """TrenchR documentation of degree_days and its tests (test-19-DDFunctions.R), lower threshold 12 °C."""
    assert of_day(low, high, LOWER_C) == pytest.approx(wanted, abs=0.005)


SEATTLE = [
    (date.fromisoformat(row["date"]), float(row["tmin_c"]) * 1.8 + 32, float(row["tmax_c"]) * 1.8 + 32)
    for row in csv.DictReader((DATA / "seattle-daily.csv").open())
]


@pytest.mark.parametrize(("year", "wanted"), [(2012, 438.16), (2013, 523.77), (2014, 617.89), (2015, 797.96)])
def test_seattle_springs_add_up_to_the_computed_sums(year: int, wanted: float) -> None:
    """Base 43 °F, 1 January to 30 April, computed apart from this project on vega-datasets seattle_weather (NOAA)."""
    spring = [(low, high) for day, low, high in SEATTLE if day.year == year and day.month <= 4]
    lows, highs = zip(*spring, strict=True)
    assert sine_sums(lows, highs, 43)[-1] == pytest.approx(wanted, abs=0.006)

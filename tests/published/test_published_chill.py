"""The Dynamic Model and degree hours against figures of other people's programs, and against published statements."""

from __future__ import annotations

import csv
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest
from reference_formulas import chill_portions, growing_degree_hours_anderson

from tendwork.almanac.hourly import hours_of_series

DATA = Path(__file__).parent / "data"
CONSTANT = list(csv.DictReader((DATA / "chill-portions-constant-temp.csv").open()))
LONG = 2400


@pytest.mark.parametrize("row", CONSTANT, ids=lambda row: f"chillR at {row['temp_C']} °C")
@pytest.mark.parametrize("after_hours", [240, 480, 720, 1000, 2400])
def test_portions_at_a_constant_temperature_are_those_of_chillr(row: dict[str, str], after_hours: int) -> None:
    """chillR 0.77, Dynamic_Model: TK = T + 273, previous hour."""
    portions = chill_portions([float(row["temp_C"])] * LONG)
    assert portions[after_hours - 1] == pytest.approx(float(row[f"CP_at_{after_hours}h"]), abs=1e-3)


@pytest.mark.parametrize("row", CONSTANT, ids=lambda row: f"chillR at {row['temp_C']} °C")
def test_the_first_portion_falls_in_the_same_hour_as_in_chillr(row: dict[str, str]) -> None:
    """chillR 0.77, Dynamic_Model; hours counted from 1, empty where none ever falls."""
    portions = chill_portions([float(row["temp_C"])] * LONG)
    first = next((str(hour) for hour, total in enumerate(portions, start=1) if total > 0), "")
    assert first == row["index_of_first_portion_hour_1based"]


def test_at_six_degrees_a_portion_falls_every_28_hours() -> None:
    """chillR 0.77: after hour 30, every 28 h."""
    portions = chill_portions([6.0] * 720)
    falls = [hour for hour in range(1, 720) if portions[hour] > portions[hour - 1]]
    assert {later - earlier for earlier, later in pairwise(falls)} == {28}


def test_the_kelvin_offset_of_xclim_gives_the_figure_of_xclim() -> None:
    """xclim 0.62, chill_portions: 720 h at 6 °C with TK = T + 273.15."""
    assert chill_portions([6.0] * 720, kelvin_offset=273.15)[-1] == pytest.approx(24.5528, abs=1e-3)


@pytest.mark.parametrize("temp_c", [6.0, 7.2, 8.0])
def test_the_best_constant_temperature_gives_about_0_83_portions_a_day(temp_c: float) -> None:
    """APAL, intensive pear production, climate and aspect: 0.83 chill portions a day at 6 to 8 °C."""
    assert chill_portions([temp_c] * LONG)[-1] / (LONG / 24) == pytest.approx(0.83, abs=0.02)


SIX_AND_FOURTEEN = ([6.0] * 16 + [14.0] * 8) * 30
FOUR_AND_TWENTY_FOUR = ([4.0] * 16 + [24.0] * 8) * 30
NOUGHT_AND_TEN = ([0.0] * 12 + [10.0] * 12) * 60
SIX_AND_EIGHTEEN = ([6.0] * 16 + [18.0] * 8) * 30


@pytest.mark.parametrize(
    ("hours", "portions", "degree_hours"),
    [
        pytest.param(SIX_AND_FOURTEEN, 21.4117, 2555.593, id="chillR, 16 h 6 °C + 8 h 14 °C"),
        pytest.param(FOUR_AND_TWENTY_FOUR, 0, 5011.854, id="chillR, 16 h 4 °C + 8 h 24 °C"),
        pytest.param(NOUGHT_AND_TEN, 44.6908, 2846.417, id="chillR, 12 h 0 °C + 12 h 10 °C"),
    ],
)
def test_daily_cycles_give_the_figures_of_chillr(hours: list[float], portions: float, degree_hours: float) -> None:
    """chillR 0.77: Dynamic_Model and GDH."""
    sums = (chill_portions(hours)[-1], growing_degree_hours_anderson(hours)[-1])
    assert sums == (pytest.approx(portions, abs=1e-3), pytest.approx(degree_hours, abs=1e-3))


def test_degree_hours_on_two_cosines_give_the_figures_of_chillr() -> None:
    """chillR 0.77, GDH; Anderson, Richardson & Kesner 1986."""
    hours = [4, 5, 7, 10, 14.5, 18, 25, 30, 36, 40]
    wanted = [0, 0.117276, 1.039827, 3.953357, 10.5, 15.75, 21, 7.247925, 0, 0]
    each = [growing_degree_hours_anderson([hour])[0] for hour in hours]
    assert each == [pytest.approx(value, abs=1e-6) for value in wanted]


def test_the_order_of_hours_of_fruclimadapt_gives_its_own_figure() -> None:
    """fruclimadapt 0.4.5, chill_portions: 16 h 6 °C + 8 h 14 °C, 30 days; current hour."""
    assert chill_portions(SIX_AND_FOURTEEN, hour_order="current")[-1] == pytest.approx(21.3975, abs=1e-3)


def test_eight_hours_at_eighteen_degrees_take_back_a_third() -> None:
    """chillR 0.77: 16 h 6 °C + 8 h 18 °C, 30 days."""
    assert chill_portions(SIX_AND_EIGHTEEN)[-1] == pytest.approx(14.7290, abs=1e-3)


SEATTLE = list(csv.DictReader((DATA / "seattle-daily.csv").open()))
SEATTLE_FIRST = date(2012, 1, 1)
SEATTLE_HOURS = hours_of_series(
    [float(row["tmin_c"]) for row in SEATTLE], [float(row["tmax_c"]) for row in SEATTLE], SEATTLE_FIRST, 47.45
)


def winter(year: int) -> list[float]:
    first, end = ((day - SEATTLE_FIRST).days * 24 for day in (date(year, 10, 1), date(year + 1, 3, 1)))
    return SEATTLE_HOURS[first:end]


@pytest.mark.parametrize(("year", "portions"), [(2012, 103.787), (2013, 109.349), (2014, 93.677)])
def test_seattle_winters_give_the_portions_of_chillr_within_one(year: int, portions: float) -> None:
    """chillR 0.77 on vega-datasets seattle_weather (NOAA), latitude 47.45, 1 October to end of February."""
    assert chill_portions(winter(year))[-1] == pytest.approx(portions, abs=1)


@pytest.mark.parametrize(("year", "portions"), [(2012, 104.377), (2013, 108.859), (2014, 93.325)])
def test_seattle_winters_give_the_portions_of_xclim_within_one(year: int, portions: float) -> None:
    """xclim 0.62, same series and winters; current hour, TK = T + 273.15."""
    ours = chill_portions(winter(year), kelvin_offset=273.15, hour_order="current")[-1]
    assert ours == pytest.approx(portions, abs=1)

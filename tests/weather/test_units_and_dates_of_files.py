"""What a file does not say: its unit is tested for plausibility and said, day and month are never guessed.

All numbers are invented.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.weather.readers import read_temperatures, usual_of
from tendwork.weather.readers.values import number, to_celsius

NORTH = usual_of(False, None, ())
BONN = usual_of(  # from memory, as in tests/bench/reference_climates.py
    False,
    (
        (-0.4, -0.4, 1.8, 4.2, 8.2, 11.2, 13, 12.6, 9.6, 6.8, 3.4, 0.8),
        (5, 6.3, 10.6, 15.2, 19.4, 22.3, 24.4, 24.2, 20, 14.8, 9, 5.6),
    ),
    (),
)


def read(tmp_path: Path, text: str, order=None, usual=NORTH, unit=None):
    path = tmp_path / "days.csv"
    path.write_text(text, encoding="utf-8")
    return read_temperatures(path, "Europe/London", order, usual=lambda: usual, unit=unit)


def month_of(number_of_month: int, low, high, header: str = "date,tmin,tmax") -> str:
    first = date(2024, number_of_month, 1)
    return header + "\n" + "".join(f"{first + timedelta(days=day)},{low},{high}\n" for day in range(20))


@pytest.mark.parametrize(
    ("header", "low_c"),
    [
        ("date,tmin_c,tmax_c", 20.0),
        ("date,tmin_f,tmax_f", -6.67),
        ("date,Min Temp (°F),Max Temp (°F)", -6.67),
        ("date,TN (0.1 °C),TX (0.1 °C)", 2.0),
        ("date,tmin ℃,tmax ℃", 20.0),
        ("date,Tmin [deg F],Tmax [deg F]", -6.67),
    ],
)
def test_the_unit_in_the_name_of_a_column_is_obeyed(tmp_path, header, low_c):
    assert read(tmp_path, month_of(1, 20, 30, header)).rows[0][1] == low_c


def test_the_unit_behind_the_numbers_is_obeyed(tmp_path):
    assert read(tmp_path, month_of(1, "20.0 °F", "32.0 °F")).rows[0][2] == 0.0


@pytest.mark.parametrize(
    ("month", "low", "high", "unit"),
    [
        (7, 131, 246, "tenths of °C"),  # a summer in tenths
        (1, -95, -22, "tenths of °C"),  # a winter in tenths, by its daily range
        (7, 55, 78, "°F"),
        (1, 28, 46, "°F"),
        (7, 14.2, 27.9, "°C"),
        (7, 12, 25, "°C"),  # whole degrees
    ],
)
def test_an_unstated_unit_is_told_by_plausibility_and_the_ground_is_said(tmp_path, month, low, high, unit):
    reading = read(tmp_path, month_of(month, low, high))
    assert reading.unit == unit
    assert any(word.startswith(f"The file does not say its unit; taken as {unit}, because") for word in reading.words)


def test_a_cold_winter_in_fahrenheit_is_not_taken_for_a_warm_one_in_celsius(tmp_path):
    with pytest.raises(PersonError, match=r"days\.csv, line 1: .*may be °C as well as °F.*tmin_c,tmax_c"):
        read(tmp_path, month_of(1, 15, 28))


def test_day_and_month_are_not_guessed_when_both_stay_possible(tmp_path):
    text = "date,tmin_c,tmax_c\n" + "".join(f"{day:02}/03/2024,1,9\n" for day in range(1, 13))
    with pytest.raises(PersonError, match=r"line 2: .*Say which with --dates day-first or --dates month-first"):
        read(tmp_path, text)


def test_one_day_beyond_twelve_settles_the_order_of_the_whole_file(tmp_path):
    assert read(tmp_path, "date,tmin_c,tmax_c\n04/03/2024,1,9\n13/03/2024,1,9\n").rows[0][0] == date(2024, 3, 4)
    assert read(tmp_path, "date,tmin_c,tmax_c\n04/03/2024,1,9\n04/13/2024,1,9\n").rows[0][0] == date(2024, 4, 3)


@pytest.mark.parametrize(("order", "day"), [("dmy", date(2024, 3, 4)), ("mdy", date(2024, 4, 3))])
def test_the_person_s_word_settles_the_order(tmp_path, order, day):
    assert read(tmp_path, "date,tmin_c,tmax_c\n04/03/2024,1,9\n", order).rows[0][0] == day


def test_an_order_that_the_file_contradicts_is_refused(tmp_path):
    text = "date,tmin_c,tmax_c\n" + "".join(f"04/{day}/2024,1,9\n" for day in range(10, 31))
    with pytest.raises(PersonError, match=r'line 5: "04/13/2024" has no day in first place'):
        read(tmp_path, text, "dmy")


def test_a_few_dates_of_another_order_than_the_person_says_are_no_slip(tmp_path):
    text = "date,tmin_c,tmax_c\n" + "".join(f"04/{day:02}/2024,1,9\n" for day in range(1, 15))
    with pytest.raises(PersonError, match=r'line 14: "04/13/2024" has no day in first place, as --dates day-first'):
        read(tmp_path, text, "dmy")


def test_both_orders_in_one_file_are_refused_with_both_lines(tmp_path):
    with pytest.raises(
        PersonError, match=r'line 3: "04/13/2024" has its month first, but "13/04/2024" on line 2 its day'
    ):
        read(tmp_path, "date,tmin_c,tmax_c\n13/04/2024,1,9\n04/13/2024,1,9\n")


def test_dates_with_points_are_day_first(tmp_path):
    assert read(tmp_path, "date;tmin_c;tmax_c\n04.03.2024;1,5;9,0\n").rows == ((date(2024, 3, 4), 1.5, 9.0),)


def test_a_year_of_two_digits_is_not_guessed(tmp_path):
    with pytest.raises(PersonError, match=r'line 2: .*"24/03/04" is no date'):
        read(tmp_path, "date,tmin_c,tmax_c\n24/03/04,1,9\n")


@given(st.floats(min_value=-60, max_value=60).map(lambda value: round(value, 1)))
def test_a_number_reads_the_same_with_point_comma_and_minus_sign(value):
    written = f"{value:.1f}"
    assert number(written) == number(written.replace(".", ",")) == number(written.replace("-", "−")) == value


@pytest.mark.parametrize("word", ["", "  ", "--", "---", "--.-", "NA", "null", "-999", "-9999", "9999.9", "nan"])
def test_the_ways_of_writing_nothing_are_nothing(word):
    assert number(word) is None


@pytest.mark.parametrize("word", ["1_0", "1.2.3", "warm", "1,234.5"])
def test_what_is_no_number_is_refused(word):
    with pytest.raises(ValueError, match=r"could not convert|1_0"):
        number(word)


def test_freezing_and_boiling_are_where_they_are():
    # The Fahrenheit scale's own definition: water freezes at 32 °F = 0 °C and boils at 212 °F = 100 °C.
    assert (to_celsius(32, "f"), to_celsius(212, "f")) == (0.0, 100.0)

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


def test_a_winter_month_in_fahrenheit_from_a_cold_place_is_not_taken_for_a_mild_one(tmp_path):
    # Read as °C, a mean of 5 is a mild January; in °F it is a hard frost of -15 °C.
    with pytest.raises(PersonError, match=r"fit neither °C nor °F|may be °C as well as °F"):
        read(tmp_path, month_of(1, -4, 14))
    cold = usual_of(False, ((-20.0,) * 12, (-10.0,) * 12), ())
    assert read(tmp_path, month_of(1, -4, 14), usual=cold).unit == "°F"


def test_months_that_fit_the_normals_in_one_unit_alone_are_taken_and_the_ground_says_so(tmp_path):
    reading = read(tmp_path, month_of(1, -3.5, 3), usual=BONN)
    assert reading.unit == "°C"
    (ground,) = (word for word in reading.words if "does not say its unit" in word)
    assert ground == (
        "The file does not say its unit; taken as °C, because in °F 2024-01 has a mean of -17.9 °C, 20 from the 2.3 °C "
        "that is usual; the normals in site.toml agree with it."
    )


def test_months_that_fit_the_normals_in_no_unit_are_refused_with_what_is_usual(tmp_path):
    with pytest.raises(PersonError, match=r"fit neither °C nor °F: .*in °F 2024-01 .* that is usual.*--unit celsius"):
        read(tmp_path, month_of(1, 70, 78), usual=BONN)


def test_without_anything_to_compare_with_the_person_is_asked_for_the_unit(tmp_path):
    with pytest.raises(PersonError, match=r"no normals in site\.toml .*--unit celsius or --unit fahrenheit"):
        read(tmp_path, month_of(1, 2, 9))


def test_months_in_two_units_are_refused_though_most_of_them_fit(tmp_path):
    text = month_of(5, 9, 19) + month_of(7, 55, 76).partition("\n")[2]
    with pytest.raises(PersonError, match="fit neither °C nor °F"):
        read(tmp_path, text, usual=BONN)


@pytest.mark.parametrize(("unit", "low_c"), [("c", 21.5), ("f", -5.83), ("tenths", 2.15)])
def test_the_person_s_word_settles_the_unit_of_a_silent_file(tmp_path, unit, low_c):
    reading = read(tmp_path, month_of(7, 21.5, 30), unit=unit)
    assert reading.rows[0][1] == low_c
    assert any("because --unit says so" in word for word in reading.words)


def test_a_word_that_does_not_fit_the_place_is_obeyed_and_doubted(tmp_path):
    words = read(tmp_path, month_of(7, 13, 24), unit="f", usual=BONN).words
    assert any("Look at this once more: in °F the mean of 2024-07 is -7.5 °C" in word for word in words)


@pytest.mark.parametrize(
    "text",
    [
        month_of(7, 13, 24, "date,tmin_c,tmax_c"),
        month_of(7, "13 °C", "24 °C"),
        month_of(7, 130, 240, "date,TN (0.1 °C),TX (0.1 °C)"),
        month_of(7, 286, 297, "date,tmin (K),tmax (K)"),
    ],
)
def test_a_word_against_what_the_file_says_is_refused(tmp_path, text):
    with pytest.raises(
        PersonError, match=r"days\.csv, line \d+: the file says .* but --unit says °F\. Leave --unit away"
    ):
        read(tmp_path, text, unit="f")


@pytest.mark.parametrize(
    "sample", ["ghcn.dly", "ghcn_lines.csv", "ghcn_access.csv", "open_meteo.json", "met_norway.json"]
)
def test_a_word_against_a_format_with_a_unit_of_its_own_is_refused(sample):
    with pytest.raises(PersonError, match=r"the file says .*°C \(it is .*but --unit says °F"):
        read_temperatures(Path(__file__).parent / "samples" / sample, "Europe/London", unit="f")


@pytest.mark.parametrize(
    "text",
    [
        "date,tmin,tmax\n2024-01-01,12,28\n2024-01-02,13,30\n2024-01-03,12.5 F,29\n",  # in the third row alone
        "date,min,max\n,Temp (°F),Temp (°F)\n2024-01-01,12,28\n",  # in the second line of the header
        "date,tmin,tmax\n,°F,°F\n2024-01-01,12,28\n",  # a row of units
        "date;tmin;tmax\nyyyy-mm-dd;[degF];[degF]\n2024-01-01;12,0;28,0\n",
        "date,tmin,tmax\n# as it came\n,F,F\n2024-01-01,12,28\n",
        "date,tmin,tmax,unit\n2024-01-01,12,28,F\n2024-01-02,12,28,F\n",  # a column of units
        "Date,MinTempF,MaxTempF\n2024-01-01,12,28\n",
        month_of(1, 12, 28) + "2023-01-01,12,28\n" * 80 + "2024-04-02,12 F,28\n",  # beyond the first rows
    ],
)
def test_a_unit_anywhere_in_a_column_is_its_unit(tmp_path, text):
    reading = read(tmp_path, text)
    assert reading.unit == "°F"
    assert reading.rows[-1][1] in (-11.11, -10.83)
    assert not any(why.startswith('"') for _, why in reading.rejected)


@pytest.mark.parametrize(
    ("text", "line", "first"),
    [
        ("date,tmin,tmax\n2024-01-01,12 F,28 F\n2024-01-02,-1 C,28 F\n", 3, 2),
        ("date,tmin_f,tmax_f\n2024-01-01,12,28\n2024-01-02,-1 °C,28\n", 3, 1),
        ("date,tmin_c,tmax_c\n,°F,°F\n2024-01-02,12,28\n", 2, 1),
        ("date,tmin,tmax,unit\n2024-01-01,12,28,F\n2024-01-02,1,8,C\n", 3, 2),
    ],
)
def test_two_units_in_one_column_are_refused_with_the_line(tmp_path, text, line, first):
    with pytest.raises(PersonError, match=rf'line {line}: column "tmin.*" is in °. here, but in °. on line {first}'):
        read(tmp_path, text)


def test_kelvin_that_is_stated_is_read_and_that_is_not_is_refused(tmp_path):
    assert read(tmp_path, month_of(7, 285.15, 297.15, "date,tmin_k,tmax_k")).rows[0][1:] == (12.0, 24.0)
    with pytest.raises(PersonError, match=r"neither °C nor °F: in °C most days are outside -60 to 60 °C"):
        read(tmp_path, month_of(7, 285.15, 297.15), usual=BONN)


@pytest.mark.parametrize("usual", [NORTH, BONN])
def test_a_cold_winter_in_tenths_is_not_taken_for_degrees(tmp_path, usual):
    reading = read(tmp_path, month_of(1, -30, 40), usual=usual)
    assert (reading.unit, reading.rows[0][1:]) == ("tenths of °C", (-3.0, 4.0))


def test_a_log_without_a_unit_is_judged_by_its_days(tmp_path):
    hours = [(day, hour) for day in range(1, 29) for hour in range(24)]
    rows = "".join(f"2024-01-{day:02} {hour:02}:00,{30 + abs(12 - hour)}\n" for day, hour in hours)
    assert read(tmp_path, "time,temperature\n" + rows, usual=BONN).unit == "°F"
    with pytest.raises(PersonError, match="--unit fahrenheit"):
        read(tmp_path, "time,temperature\n" + rows, usual=usual_of(False, ((12.0,) * 12, (22.0,) * 12), ()))


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

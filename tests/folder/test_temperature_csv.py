"""The house format of daily temperatures."""

from __future__ import annotations

import time
from datetime import date, timedelta
from pathlib import Path

import pytest
from examples import examples
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.folder.temperatures_csv import read_temperatures, write_temperatures

HEADER = "date,tmin_c,tmax_c\n"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "days.csv"


def read(file: Path, text: str) -> dict[date, tuple[float, float]]:
    file.write_bytes(text.encode())
    return read_temperatures(file, "days.csv").days


def test_days_are_read_in_their_order_however_they_stand(file: Path) -> None:
    days = read(file, HEADER + "2026-01-02,-1.5,3\n2026-01-01,0,4.25\n")
    assert list(days.items()) == [(date(2026, 1, 1), (0.0, 4.25)), (date(2026, 1, 2), (-1.5, 3.0))]


def test_byte_order_mark_line_ends_quotes_and_blanks_are_forgiven(file: Path) -> None:
    text = '\ufeff"Date", "tmin_c", "tmax_c"\r\n"2026-01-01","1","2"\r\n\r\n 2026-01-02 , 1 , 2 \r\n'
    assert read(file, text) == {date(2026, 1, 1): (1.0, 2.0), date(2026, 1, 2): (1.0, 2.0)}


def test_a_file_in_fahrenheit_comes_back_in_celsius(file: Path) -> None:
    # 32 °F is 0 °C and 212 °F is 100 °C by definition, so 50 °F is 10 °C.
    file.write_text(HEADER + "2026-01-01,32,50\n")
    assert read_temperatures(file, fahrenheit=True).days == {date(2026, 1, 1): (0.0, 10.0)}


def test_the_later_line_of_a_day_wins(file: Path) -> None:
    assert read(file, HEADER + "2026-01-01,1,2\n2026-01-01,3,4\n") == {date(2026, 1, 1): (3.0, 4.0)}


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("2026-01-01,-61,2", "-61 to 2 °C is not between -60 and 60 °C"),
        ("2026-01-01,5,61", "5 to 61 °C is not between -60 and 60 °C"),
        ("2026-01-01,5,4", "the minimum of 5 °C is above the maximum of 4 °C"),
        ("2026-01-01,,4", "a temperature is missing"),
        ("2026-01-01,nan,4", "a temperature is missing"),
        ("2026-01-01,-inf,4", "-inf to 4 °C is not between -60 and 60 °C"),
    ],
)
def test_values_that_nobody_can_believe_are_set_aside_and_told(file: Path, line: str, words: str) -> None:
    file.write_text(f"{HEADER}2025-12-31,1,2\n{line}\n")
    held = read_temperatures(file, "days.csv")
    assert list(held.days) == [date(2025, 12, 31)]
    assert held.set_aside == (f"days.csv, line 3: {words}; set aside",)


@pytest.mark.parametrize(
    "line", ["soon,1,2", "2026-01-01,1", "2026-01-01,1,2,3", "2026-02-30,1,2", "2026-01-01,a,2", '"']
)
def test_a_line_that_is_no_date_and_two_numbers_is_told_with_its_number(file: Path, line: str) -> None:
    with pytest.raises(PersonError, match=r"days.csv, line 3: .* is not a date and two temperatures"):
        read(file, f"{HEADER}2026-01-01,1,2\n{line}\n")


def test_another_form_of_file_is_told(file: Path) -> None:
    with pytest.raises(PersonError, match=r'days.csv, line 1: the first line must be "date,tmin_c,tmax_c"'):
        read(file, "Datum;Min;Max\n")


def test_a_missing_file_is_told(file: Path) -> None:
    with pytest.raises(PersonError, match=r"cannot be read \(no such file or directory\)"):
        read_temperatures(file)


def test_a_place_that_cannot_be_written_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(PersonError, match="cannot be written"):
        write_temperatures(tmp_path / "absent" / "days.csv", {})
    assert list(tmp_path.iterdir()) == []


_VALUES = st.tuples(st.floats(-60, 60), st.floats(-60, 60)).map(lambda pair: (min(pair), max(pair)))


@examples(50, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(st.dates(date(1900, 1, 1)), _VALUES, max_size=20))
def test_days_that_were_written_read_back_the_same(file: Path, days: dict[date, tuple[float, float]]) -> None:
    write_temperatures(file, days)
    assert read_temperatures(file).days == days


@examples(100, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(st.sampled_from('0123456789-.,"\n\re naif'), max_size=40))
def test_no_text_at_all_makes_anything_but_days_or_a_sentence(file: Path, text: str) -> None:
    said = "days.csv, line "
    try:
        read(file, HEADER + text)
    except PersonError as error:
        said = str(error)
    assert said.startswith("days.csv, line ")


def test_sixty_years_are_read_well_under_a_second(file: Path) -> None:
    start = date(1966, 1, 1)
    write_temperatures(file, {start + timedelta(days=number): (-1.5, 12.25) for number in range(21_915)})
    started = time.perf_counter()
    assert len(read_temperatures(file).days) == 21_915
    assert time.perf_counter() - started < 0.5


def test_a_first_line_in_fahrenheit_is_read_in_fahrenheit_whatever_site_toml_says_of_the_source(tmp_path: Path) -> None:
    file = tmp_path / "days.csv"
    file.write_text("date,tmin_f,tmax_f\n2026-03-01,32,50\n")
    for fahrenheit in (False, True):
        assert read_temperatures(file, "days.csv", fahrenheit).days == {date(2026, 3, 1): (0.0, 10.0)}


def test_a_first_line_without_a_unit_is_refused_and_shows_how_to_say_it(tmp_path: Path) -> None:
    file = tmp_path / "days.csv"
    file.write_text("date,tmin,tmax\n2026-03-01,32,50\n")
    with pytest.raises(PersonError, match=r'days\.csv, line 1: .*"date,tmin_c,tmax_c", or "date,tmin_f,tmax_f" for °F'):
        read_temperatures(file, "days.csv")

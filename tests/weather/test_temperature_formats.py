"""Every format that is known, on small samples of our own: the numbers and station names in tests/weather/samples are
invented.
"""

from __future__ import annotations

import gzip
import zipfile
from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.weather.readers import Usual, read_temperatures

SAMPLES = Path(__file__).parent / "samples"
DWD = "produkt_klima_tag_20230301_20230320_99901.txt"

# name, format, unit, days, missing in between, first row
EXPECTED = [
    ("plain.csv", "a table of days", "°C", 20, 0, (date(2023, 3, 1), -2.7, 3.5)),
    ("decimal_comma.csv", "a table of days", "°C", 20, 0, (date(2023, 3, 1), -2.7, 3.5)),
    ("fahrenheit.tsv", "a table of days", "°F", 20, 0, (date(2023, 3, 1), -2.72, 3.5)),
    ("pipes.txt", "a table of days", "°C", 20, 0, (date(2023, 3, 1), -2.7, 3.5)),
    ("ghcn.dly", "GHCN-Daily (.dly)", "tenths of °C", 58, 1, (date(2023, 2, 1), -4.6, 2.7)),
    ("ghcn_lines.csv", "GHCN-Daily (one line an element)", "tenths of °C", 18, 2, (date(2023, 3, 1), -2.7, 3.5)),
    (
        "ghcn_lines_with_header.csv",
        "GHCN-Daily (one line an element)",
        "tenths of °C",
        18,
        2,
        (date(2023, 3, 1), -2.7, 3.5),
    ),
    ("ghcn_access.csv", "GHCN-Daily (one line a day)", "tenths of °C", 18, 2, (date(2023, 3, 1), -2.7, 3.5)),
    ("ncei_metric.csv", "NCEI daily summaries", "°C", 20, 0, (date(2023, 6, 1), 9.9, 22.7)),
    ("ncei_standard.csv", "NCEI daily summaries", "°F", 20, 0, (date(2023, 6, 1), 10.0, 22.78)),
    ("ncei_tenths.csv", "NCEI daily summaries", "tenths of °C", 20, 0, (date(2023, 6, 1), 9.9, 22.7)),
    ("gsod.csv", "GSOD, global summary of the day", "°F", 19, 1, (date(2023, 6, 1), 9.89, 22.72)),
    (DWD, "DWD daily climate (KL)", "°C", 19, 1, (date(2023, 3, 1), -2.7, 3.5)),
    ("environment_canada.csv", "Environment Canada daily", "°C", 16, 1, (date(2023, 3, 1), -2.7, 3.5)),
    ("open_meteo.json", "Open-Meteo daily", "°C", 11, 0, (date(2026, 2, 20), -3.6, 7.8)),
    ("met_norway.json", "MET Norway locationforecast", "°C", 5, 0, (date(2026, 2, 21), -2.6, 7.4)),
    ("station_spring.csv", "a station log", "°C", 3, 0, (date(2023, 3, 25), 3.0, 13.0)),
    ("station_autumn.tsv", "a station log", "°C", 3, 0, (date(2023, 10, 28), 3.0, 13.0)),
    ("station_utc.csv", "a station log", "°F", 3, 0, (date(2023, 6, 10), 3.0, 13.0)),
    ("station_two_columns.csv", "a station log", "°C", 3, 0, (date(2023, 6, 13), 3.0, 13.0)),
]


def sample(name: str, timezone: str = "Europe/London"):
    return read_temperatures(SAMPLES / name, timezone, usual=lambda: Usual(south=False))


def read(tmp_path: Path, text: str, **options):
    path = tmp_path / "days.csv"
    path.write_text(text, encoding="utf-8")
    return read_temperatures(path, "Europe/London", **options)


def test_every_sample_has_its_row():
    elsewhere = {"nws_gridpoint.json"}  # tests/weather/test_saved_forecasts.py reads it in a zone of its own
    without = {file.name for file in SAMPLES.iterdir()} - {row[0] for row in EXPECTED} - elsewhere
    assert not without, f"EXPECTED lacks a row for {without}"


@pytest.mark.parametrize("expected", EXPECTED, ids=lambda expected: expected[0])
def test_a_sample_is_told_by_its_content_and_read(expected):
    name, form, unit, days, gaps, first = expected
    reading = sample(name)
    assert (reading.format, reading.unit, len(reading.rows), reading.gaps, reading.rows[0]) == (
        form,
        unit,
        days,
        gaps,
        first,
    )


def test_the_words_begin_with_file_format_unit_and_span():
    assert sample("ghcn_lines.csv").words[:2] == (
        "ghcn_lines.csv is read as GHCN-Daily (one line an element), in tenths of °C.",
        "18 days from 2023-03-01 to 2023-03-20; 2 days are missing in between.",
    )


def test_the_columns_are_named_as_they_stand_without_what_a_terminal_would_obey(tmp_path):
    words = read(tmp_path, "date,\x1bLow (°C),tmax_c\n2023-03-01,-2.7,3.5\n").words
    assert 'Minimum from column "Low (°C)", maximum from "tmax_c".' in words


def test_a_flagged_value_is_set_aside_with_its_line_and_reason():
    assert sample("ghcn_access.csv").rejected == (
        (6, "2023-03-05: TMAX is flagged I by the source, inconsistent within itself"),
    )


def test_a_flag_in_a_line_of_fixed_width_sets_that_day_aside():
    assert date(2023, 2, 10) not in {day for day, _, _ in sample("ghcn.dly").rows}


def test_a_station_read_in_the_morning_is_warned_of():
    assert "The station is read in the morning (mostly at 07:00)" in " ".join(sample("ghcn_lines.csv").words)


def test_a_german_archive_is_read_inside_its_zip(tmp_path):
    path = tmp_path / "tageswerte_KL_99901_akt.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("Metadaten_Geographie_99901.txt", "Stationsname: Erfunden")
        archive.write(SAMPLES / DWD, DWD)
    assert read_temperatures(path, "Europe/Berlin").rows == sample(DWD).rows


def test_a_zip_with_several_other_files_is_refused_and_names_them(tmp_path):
    path = tmp_path / "two.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("a.csv", "date,tmin_c,tmax_c\n")
        archive.writestr("b.csv", "date,tmin_c,tmax_c\n")
    with pytest.raises(PersonError, match=r"two\.zip, line 1: .* a\.csv, b\.csv\. Unpack it"):
        read_temperatures(path, "Europe/Berlin")


def test_a_gzipped_file_is_unpacked(tmp_path):
    path = tmp_path / "XXM00099001.csv.gz"
    path.write_bytes(gzip.compress((SAMPLES / "ghcn_lines.csv").read_bytes()))
    assert read_temperatures(path, "Europe/London").rows == sample("ghcn_lines.csv").rows


def test_a_file_in_utf_16_is_read(tmp_path):
    path = tmp_path / "export.csv"
    path.write_bytes((SAMPLES / "plain.csv").read_text(encoding="utf-8").encode("utf-16"))
    assert read_temperatures(path, "Europe/London").rows == sample("plain.csv").rows


def test_german_and_canadian_day_definitions_are_told():
    assert "00 to 24 UTC" in " ".join(sample(DWD).words)
    assert "06 UTC" in " ".join(sample("environment_canada.csv").words)


def test_rows_of_blanks_are_counted_as_days_without_a_value():
    assert "No value at all: 3 days." in sample("environment_canada.csv").words


def test_the_attribution_of_a_known_archive_is_carried_along():
    assert sample(DWD).attribution == "Quelle: Deutscher Wetterdienst (CC BY 4.0)"


def test_a_day_with_only_one_value_is_a_missing_day(tmp_path):
    reading = read(tmp_path, "date,tmin_c,tmax_c\n2024-01-01,1,5\n2024-01-02,,6\n2024-01-03,2,7\n")
    assert (len(reading.rows), reading.gaps) == (2, 1)


def test_a_value_out_of_bounds_is_set_aside_and_counted(tmp_path):
    reading = read(tmp_path, "date,tmin_c,tmax_c\n2024-01-01,1,5\n2024-01-02,1,61\n2024-01-03,2,7\n")
    assert reading.rejected == ((3, "2024-01-02: 1 and 61 °C are not both between -60 and 60"),)


def test_a_minimum_above_the_maximum_is_set_aside_and_counted(tmp_path):
    reading = read(tmp_path, "date,tmin_c,tmax_c\n2024-01-01,1,5\n2024-01-02,8,6\n2024-01-03,2,7\n")
    assert reading.rejected == ((3, "2024-01-02: the minimum of 8 °C is above the maximum of 6 °C"),)


def test_of_a_day_that_stands_twice_the_first_is_kept(tmp_path):
    reading = read(tmp_path, "date,tmin_c,tmax_c\n2024-01-01,1,5\n2024-01-01,2,6\n2024-01-02,2,7\n")
    assert reading.rows[0] == (date(2024, 1, 1), 1.0, 5.0)
    assert reading.rejected == ((3, "2024-01-01 stands on line 2 already, which is kept"),)


def test_several_values_of_one_fault_are_counted_in_one_sentence(tmp_path):
    days = "".join(f"2024-01-{day:02},1,{99 if day < 4 else 9}\n" for day in range(1, 20))
    words = read(tmp_path, "date,tmin_c,tmax_c\n" + days).words
    assert words[2].startswith("Set aside, 3 outside -60 to 60 °C, the first: line 2, 2024-01-01:")


def test_exchanged_columns_are_refused_rather_than_set_aside(tmp_path):
    days = "".join(f"2024-01-{day:02},9,1\n" for day in range(1, 20))
    with pytest.raises(PersonError, match=r"days\.csv, line 2: .*19 lines against 0 of use.*which column"):
        read(tmp_path, "date,tmin_c,tmax_c\n" + days)


def test_a_decimal_comma_in_a_comma_file_is_refused_with_its_line(tmp_path):
    with pytest.raises(PersonError, match=r"line 2: .* 5 columns where the header has 3"):
        read(tmp_path, "date,tmin_c,tmax_c\n2024-01-01,1,5,9,5\n2024-01-02,1,5,9,5\n")


def test_a_second_station_is_refused_with_its_line(tmp_path):
    with pytest.raises(PersonError, match=r"line 3: a second station begins here, B after A"):
        read(tmp_path, "station,date,tmin_c,tmax_c\nA,2024-01-01,1,5\nB,2024-01-02,1,5\n")


def test_a_table_without_a_maximum_says_which_columns_it_has(tmp_path):
    with pytest.raises(PersonError, match=r"line 1: no column for the maximum of a day among: date, tmin, rain"):
        read(tmp_path, "date,tmin_c,rain\n2024-01-01,1,5\n")


def test_a_table_without_a_header_is_refused_with_an_example(tmp_path):
    with pytest.raises(PersonError, match=r"days\.csv, line 1: .*date,tmin_c,tmax_c"):
        read(tmp_path, "2024-01-01,1,5\n2024-01-02,1,5\n")


def test_an_unknown_timezone_is_refused_by_name():
    with pytest.raises(PersonError, match="Europe/Atlantis"):
        sample("plain.csv", "Europe/Atlantis")

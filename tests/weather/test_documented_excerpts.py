"""Readers against lines that the formats' own documentation or archives show; what completes a file is invented."""

from __future__ import annotations

import json
from datetime import date

import pytest

from tendwork.weather.readers import read_temperatures


@pytest.fixture
def read(tmp_path):
    def reading(name: str, text: str, timezone: str = "Europe/London"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return read_temperatures(path, timezone)

    return reading


def test_a_line_of_fixed_width_gives_tenths_of_a_degree(read):
    # NOAA NCEI, GHCN-Daily readme (section III, format of ".dly" files) and station file ACW00011604, January 1949.
    maxima = "ACW00011604194901TMAX  289  X  289  X  283  X  283  X  289  X" + "-9999   " * 26
    minima = "ACW00011604194901TMIN" + "  200  X" * 5 + "-9999   " * 26
    reading = read("ACW00011604.dly", f"{maxima}\n{minima}\n")
    assert [high for _, _, high in reading.rows] == [28.9, 28.9, 28.3, 28.3, 28.9]


def test_lines_of_fixed_width_that_cannot_be_read_are_told_by_their_number(read):
    def line(month: str, element: str, *values: int) -> str:
        return f"ACW00011604{month}{element}" + "".join(f"{value:5}  X" for value in (*values, *[-9999] * 31)[:31])

    lines = (
        line("194901", "TMAX", 289, 290, 283, 283),
        line("194901", "TMIN", 200, 201, 200, 200),
        "",
        line("194913", "TMAX", 289),
        line("194901", "TMAX", 255),
        "no such line",
        "ACW00011604194902TMAX  289",
    )
    reading = read("ACW00011604.dly", "\n".join(lines))
    assert [(day.day, low, high) for day, low, high in reading.rows[:2]] == [(1, 20.0, 28.9), (2, 20.1, 29.0)]
    assert [number for number, _ in reading.rejected] == [4, 5, 6, 7]
    told = [why for _, why in reading.rejected]
    assert told[0] == '"194913" is no year and month'
    assert told[1].startswith("1949-01-01 stands on line 1 already")
    assert told[2] == "not a station, month, element and values of fixed width"
    assert told[3] == "TMAX from day 2 on: cut short or out of its columns"


def test_a_quality_flag_of_the_long_form_sets_its_value_aside(read):
    # NOAA NCEI, GHCN-Daily by_station documentation: ID, date, element, value, M, Q, S flag, time; station IN022021900.
    text = (
        "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"
        "IN022021900,20230928,TMAX,352,,,S,\n"
        "IN022021900,20230928,TMIN,241,,,S,\n"
        "IN022021900,20230930,TMAX,999,,X,S,\n"
        "IN022021900,20230930,TMIN,240,,,S,\n"
    )
    assert read("IN022021900.csv", text).rows == ((date(2023, 9, 28), 24.1, 35.2),)


def test_a_blank_padded_number_of_the_wide_form_is_in_tenths(read):
    # NOAA NCEI, GHCN-Daily "access" file of JA000047759, 12 January 1995: TMAX is 8.4 °C.
    text = (
        '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","SNWD","SNWD_ATTRIBUTES",'
        '"TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES","TAVG","TAVG_ATTRIBUTES"\n'
        '"JA000047759","1995-01-12","35.017","135.733","46.0","KYOTO, JA",,,,,"   84",",,S","   11",",,S",'
        '"   42","H,,S"\n'
    )
    assert read("JA000047759.csv", text, "Asia/Tokyo").rows == ((date(1995, 1, 12), 1.1, 8.4),)


def test_a_line_of_the_german_archive_gives_the_two_metre_extremes(read):
    # DWD Climate Data Center, daily KL, station 433 on 5 February 2025: TXK 3.8 and TNK -3.2; TGK is at 5 cm.
    text = (
        "STATIONS_ID;MESS_DATUM;QN_3;  FX;  FM;QN_4; RSK;RSKF; SDK;SHK_TAG;  NM; VPM;  PM; TMK; UPM; TXK; TNK;"
        " TGK;eor\n"
        "        433;20250205;   10;   9.1;   2.8;    9;   0.0;   0;-999;   0;   5.9;   6.0; 1029.10;    1.2;   88.00;"
        "    3.8;   -3.2;   -7.5;eor\n"
    )
    assert read("produkt_klima_tag.txt", text, "Europe/Berlin").rows == ((date(2025, 2, 5), -3.2, 3.8),)


def test_a_line_of_the_canadian_archive_gives_maximum_before_minimum(read):
    # Environment and Climate Change Canada, daily data, Kitchener/Waterloo (6144239), 18 April 2010: 13.6 and 2.5 °C.
    text = (
        '"Longitude (x)","Latitude (y)","Station Name","Climate ID","Date/Time","Year","Month","Day","Data Quality",'
        '"Max Temp (°C)","Max Temp Flag","Min Temp (°C)","Min Temp Flag","Mean Temp (°C)"\n'
        '"-80.38","43.46","KITCHENER/WATERLOO","6144239","2010-04-18","2010","04","18","","13.6","","2.5","","8.1"\n'
    )
    assert read("canada.csv", text, "America/Toronto").rows == ((date(2010, 4, 18), 2.5, 13.6),)


def test_a_line_of_the_global_summary_is_in_fahrenheit(read):
    # NOAA NCEI, Global Surface Summary of the Day, A5125600451 on 1 January 2025: 42.8 °F is 6 °C, 30.2 °F is -1 °C.
    text = (
        '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TEMP","TEMP_ATTRIBUTES","MAX","MAX_ATTRIBUTES",'
        '"MIN","MIN_ATTRIBUTES"\n'
        '"A5125600451","2025-01-01","36.6985","-93.4022","411.2","BRANSON WEST MUNICIPAL EMERSON FIELD AIRPORT, MO US",'
        '"  34.8","20","  42.8","*","  30.2","*"\n'
    )
    assert read("gsod.csv", text, "America/Chicago").rows == ((date(2025, 1, 1), -1.0, 6.0),)


def test_the_daily_arrays_of_a_forecast_run_side_by_side(read):
    # Open-Meteo, answer of the forecast service with daily extremes (shape in the service's own source).
    answer = {
        "utc_offset_seconds": 32400,
        "timezone": "Asia/Seoul",
        "daily_units": {"time": "iso8601", "temperature_2m_max": "°C", "temperature_2m_min": "°C"},
        "daily": {
            "time": ["2026-02-25", "2026-02-26"],
            "temperature_2m_max": [5.2, 8.1],
            "temperature_2m_min": [-2.1, 0.5],
        },
    }
    rows = read("seoul.json", json.dumps(answer), "Asia/Seoul").rows
    assert rows == ((date(2026, 2, 25), -2.1, 5.2), (date(2026, 2, 26), 0.5, 8.1))


def test_an_interval_of_the_us_service_belongs_to_the_local_date_of_its_middle(read):
    # weather-gov/api, gridpoint: PT13H from 13:00 UTC on 3 November 2024; the night's interval beside it is invented.
    answer = {
        "properties": {
            "maxTemperature": {
                "uom": "wmoUnit:degC",
                "values": [{"validTime": "2024-11-03T13:00:00+00:00/PT13H", "value": 19.444444444444443}],
            },
            "minTemperature": {
                "uom": "wmoUnit:degC",
                "values": [{"validTime": "2024-11-03T01:00:00+00:00/PT13H", "value": 5.0}],
            },
        }
    }
    rows = read("gridpoint.json", json.dumps(answer), "America/New_York").rows
    assert rows == ((date(2024, 11, 3), 5.0, 19.444444444444443),)

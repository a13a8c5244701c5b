"""How long the readers take, against pandas doing the bare minimum of the same work in the same run.

Run with: python -m pytest -m bench -s tests/bench/bench_weather_readers.py
All numbers in the files are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from statistics import median
from time import perf_counter

import pytest

from tendwork.weather.readers import read_temperatures

pandas = pytest.importorskip("pandas")
pytestmark = pytest.mark.bench

SIXTY_YEARS = [date(1965, 1, 1) + timedelta(days=number) for number in range(21_915)]
TEN_MINUTES = [datetime(2023, 1, 1) + timedelta(minutes=10 * number) for number in range(52_560)]


def seconds(work: Callable[[], object], repeats: int = 5) -> float:
    times = []
    for _ in range(repeats):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times)


def compare(name: str, ours: Callable[[], object], theirs: Callable[[], object], limit_s: float) -> None:
    our_s, their_s = seconds(ours), seconds(theirs)
    print(f"\n{name}: {our_s:.3f} s, pandas {their_s:.3f} s, ratio {our_s / their_s:.1f}")
    assert our_s < limit_s


def value(number: int) -> float:
    return (number * 37 % 250) / 10 - 5


def test_sixty_years_of_plain_days(tmp_path: Path) -> None:
    path = tmp_path / "days.csv"
    rows = "".join(f"{day},{value(n)},{value(n) + 9:.1f}\n" for n, day in enumerate(SIXTY_YEARS))
    path.write_text("date,tmin_c,tmax_c\n" + rows, encoding="utf-8")
    compare(
        "60 years, plain CSV",
        lambda: read_temperatures(path, "Europe/London"),
        lambda: pandas.read_csv(path, parse_dates=["date"]),
        1.0,
    )


def test_sixty_years_of_day_first_dates_and_decimal_commas(tmp_path: Path) -> None:
    path = tmp_path / "tage.csv"
    values = (f"{value(n):.1f};{value(n) + 9:.1f}".replace(".", ",") for n in range(len(SIXTY_YEARS)))
    rows = "".join(f"{day:%d.%m.%Y};{cells}\n" for day, cells in zip(SIXTY_YEARS, values, strict=True))
    path.write_text("date;tmin_c;tmax_c\n" + rows, encoding="utf-8")
    compare(
        "60 years, day first",
        lambda: read_temperatures(path, "Europe/Berlin"),
        lambda: pandas.read_csv(path, sep=";", decimal=",", parse_dates=["date"], dayfirst=True),
        1.0,
    )


def test_sixty_years_of_ghcn_lines(tmp_path: Path) -> None:
    path = tmp_path / "lines.csv"
    elements = ("TMAX", "TMIN", "PRCP", "SNOW", "SNWD")
    rows = "".join(
        f"XXM00099001,{day:%Y%m%d},{element},{n % 100 + 90 * (element == 'TMAX')},,,S,0700\n"
        for n, day in enumerate(SIXTY_YEARS)
        for element in elements
    )
    path.write_text(rows, encoding="utf-8")

    def pivot() -> object:
        table = pandas.read_csv(path, header=None, dtype={1: str}, low_memory=False)
        return table[table[2].isin(("TMIN", "TMAX"))].pivot(index=1, columns=2, values=3)

    compare("60 years, GHCN-Daily lines", lambda: read_temperatures(path, "America/Chicago"), pivot, 1.0)


@pytest.mark.parametrize("suffix", ["", "Z"], ids=["local clock", "UTC"])
def test_a_year_of_ten_minute_readings(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / "log.csv"
    rows = "".join(f"{stamp.isoformat()}{suffix},{value(n):.1f}\n" for n, stamp in enumerate(TEN_MINUTES))
    path.write_text("time,outdoor temperature (C)\n" + rows, encoding="utf-8")

    def by_day() -> object:
        table = pandas.read_csv(path, parse_dates=["time"])
        stamps = table["time"].dt.tz_convert("Europe/London") if suffix else table["time"]
        return table.iloc[:, 1].groupby(stamps.dt.date).agg(["min", "max"])

    compare(f"a year every 10 minutes{suffix}", lambda: read_temperatures(path, "Europe/London"), by_day, 2.0)

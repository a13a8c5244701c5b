"""A file that does not say its unit is never taken in the wrong one: many climates, both scales, both hemispheres.

Weather is drawn around the normals of tests/bench/reference_climates.py (from memory), shifted for colder and warmer
places and turned by half a year for the south; and taken from Seattle's series (tests/published/data/SOURCES.md).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest
from reference_climates import CLIMATES

from tendwork.errors import PersonError
from tendwork.weather.readers import Usual, read_temperatures, usual_of

SEATTLE = Path(__file__).parents[1] / "published" / "data" / "seattle-daily.csv"
DAY = timedelta(days=1)
Days = list[tuple[date, float, float]]
Normals = tuple[tuple[float, ...], tuple[float, ...]]
WRITTEN = {
    "°C": lambda celsius: f"{celsius:.1f}",
    "°F": lambda celsius: f"{celsius * 1.8 + 32:.1f}",
    "°C in whole degrees": lambda celsius: f"{celsius:.0f}",
    "°F in whole degrees": lambda celsius: f"{celsius * 1.8 + 32:.0f}",
    "tenths of °C": lambda celsius: f"{celsius * 10:.0f}",
}
SPANS = {"a forecast": 7, "half a month": 15, "a month": 30, "a season": 90, "a year": 365}


def climates() -> Iterator[tuple[bool, Normals]]:
    """Every climate as it is, five degrees colder, four warmer; and each of these in the south."""
    for _, low_text, high_text, _ in CLIMATES.values():
        for shift in (-5.0, 0.0, 4.0):
            low, high = (tuple(float(word) + shift for word in text.split()) for text in (low_text, high_text))
            yield False, (low, high)
            yield True, (low[6:] + low[:6], high[6:] + high[:6])


def weather(normals: Normals, first: date, days: int, random: Random) -> Days:
    """Days that wander around the normals: months up to some 9 °C from them in winter, weeks up to 15."""
    spread = (normals[1][first.month - 1] < 12) * 1.5 + 3.0
    whole = random.gauss(0, spread / 1.5)
    drift, rows = random.gauss(0, spread), []
    for step in range(days):
        day = first + step * DAY
        drift = 0.8 * drift + random.gauss(0, 0.6 * spread)
        low, high = (kind[day.month - 1] for kind in normals)
        middle, half = (low + high) / 2 + whole + drift, max(0.3, (high - low) / 2 * random.uniform(0.3, 1.7))
        rows.append((day, middle - half, middle + half))
    return rows


def taken(tmp_path: Path, days: Days, written: str, usual: Usual) -> str:
    """The unit that the file is taken in, or "asked"."""
    write = WRITTEN[written]
    path = tmp_path / "silent.csv"
    path.write_text("date,tmin,tmax\n" + "".join(f"{day},{write(low)},{write(high)}\n" for day, low, high in days))
    try:
        return read_temperatures(path, "UTC", usual=lambda: usual).unit
    except PersonError as error:
        return "asked" if "--unit celsius or --unit fahrenheit" in str(error) else str(error)


def count_verdicts(tmp_path: Path, rounds: int, seed: int, known: str, share: int = 1) -> Counter[tuple[str, str, str]]:
    """(span, how it is written, "right", "asked" or "WRONG") over all climates and twelve months."""
    random = Random(seed)
    verdicts: Counter[tuple[str, str, str]] = Counter()
    for south, normals in random.sample(list(climates()), 78 // share):
        usual = usual_of(south, normals if known == "normals" else None, ())
        if known == "a year held":
            usual = usual_of(south, None, weather(normals, date(2020, 1, 1), 365, random))
        for _ in range(rounds):
            for span, length in SPANS.items():
                days = weather(normals, date(2023, random.randint(1, 12), 1), length, random)
                for written in WRITTEN:
                    unit = taken(tmp_path, days, written, usual)
                    verdict = "right" if written.startswith(unit) else "asked" if unit == "asked" else f"WRONG: {unit}"
                    verdicts[span, written, verdict] += 1
    return verdicts


def print_and_check(verdicts: Counter[tuple[str, str, str]], known: str) -> None:
    print(f"\nknown of the place: {known}")
    for span in SPANS:
        for written in WRITTEN:
            counts = [verdicts[span, written, verdict] for verdict in ("right", "asked")]
            print(f"  {span:13} {written:20} right {counts[0]:5}, asked for --unit {counts[1]:5}")
    assert not {key: count for key, count in verdicts.items() if key[2].startswith("WRONG")}
    assert 2 * sum(count for (_, _, verdict), count in verdicts.items() if verdict == "right") > verdicts.total()


KNOWN = ["normals", "a year held", "nothing"]


@pytest.mark.parametrize("known", KNOWN)
def test_no_file_is_taken_in_the_wrong_unit(tmp_path: Path, known: str) -> None:
    print_and_check(count_verdicts(tmp_path, 1, 1, known, share=13), known)


@pytest.mark.slow
@pytest.mark.parametrize("known", KNOWN)
def test_no_file_of_very_many_is_taken_in_the_wrong_unit(tmp_path: Path, known: str) -> None:
    print_and_check(count_verdicts(tmp_path, 3, 2, known), known)


def seattle() -> Days:
    rows = (line.split(",") for line in SEATTLE.read_text().splitlines()[1:])
    return [(date.fromisoformat(day), float(low), float(high)) for day, low, high in rows]


@pytest.mark.parametrize("known", ["the other years", "one year"])
def test_every_month_of_seattle_is_taken_in_its_unit_or_asked_for(tmp_path: Path, known: str) -> None:
    verdicts: Counter[tuple[str, str]] = Counter()
    seattle_days = seattle()
    for year in range(2012, 2016):
        known_years = {2012, 2013, 2014, 2015} - {year} if known == "the other years" else {2013}
        held = [row for row in seattle_days if row[0].year in known_years]
        usual = usual_of(False, None, held)
        for month in range(1, 13):
            days = [row for row in seattle_days if (row[0].year, row[0].month) == (year, month)]
            for written in WRITTEN:
                verdicts[written, taken(tmp_path, days, written, usual)] += 1
    print(f"\nSeattle by the month, against {known}: {dict(verdicts)}")
    assert all(unit == "asked" or written.startswith(unit) for written, unit in verdicts)
    assert verdicts["°F", "°F"] == verdicts["°C", "°C"] == 48

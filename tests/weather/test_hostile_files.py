"""Huge and hostile files end in a short sentence or a good reading, in bounded memory and time. All are invented."""

from __future__ import annotations

import subprocess
import sys
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from time import process_time

import pytest

from tendwork.errors import PersonError
from tendwork.weather.readers import read_temperatures

MEGABYTE = 1_000_000
MOST_RESIDENT_BYTES = 500 * MEGABYTE  # the largest file allowed, its decoding, its values, and Python itself
MOST_SECONDS = 150  # of the processor, for the largest

HEADER = b"date,tmin_c,tmax_c\n"
ROWS = b"2024-01-01,1,5\n2024-01-02,2,6\n"
SMALL: dict[str, bytes] = {
    "a cell of 1 MB": HEADER + ROWS + b"2024-01-03," + b"9" * MEGABYTE + b",7\n",
    "a cell of blanks": HEADER + ROWS + b"2024-01-03,1" + b" " * 15_000 + b"x,7\n",
    "a date of blanks": b"time,temp (C)\n2024-01-01 1" + b" " * 15_000 + b"x,7\n",
    "a quoted cell of 1 MB": HEADER + ROWS + b'2024-01-03,"' + b'""' * (MEGABYTE // 2) + b'",7\n',
    "a header of 1 MB": b"date," + b"tmin " * (MEGABYTE // 5) + b",tmax_c\n" + ROWS,
    "a header with a name of blanks": b"date,tmin (" + b" " * 15_000 + b"x,tmax_c\n" + ROWS,
    "a hundred headers of 19,000 commas": (b"," * 19_000 + b"\n") * 100,
    "a hundred headers of 900 names": (b"date,min" + b",temp (c" * 900 + b"\n") * 100,
    "10 million commas": HEADER + ROWS + b"," * (10 * MEGABYTE) + b"\n",
    "10 million commas alone": b"," * (10 * MEGABYTE),
    "10 million line ends": b"\n" * (10 * MEGABYTE),
    "deep JSON": b"[" * MEGABYTE,
    "deep JSON objects": b'{"daily":' * 100_000,
    "a long number in JSON": b'{"daily": {"time": [' + b"9" * MEGABYTE + b"]}}",
    "NUL bytes": HEADER + ROWS + b"\0" * MEGABYTE,
    "NUL bytes alone": b"\0" * MEGABYTE,
    "rows of differing length": HEADER + ROWS + b"".join(b"2024-02-01" + b",1" * (n % 7) + b"\n" for n in range(5_000)),
    "wide characters": HEADER + ROWS + "🍎".encode() * 250_000 + b"\n",
    "half of UTF-16": b"\xff\xfe" + (HEADER + ROWS).decode().encode("utf-16-le") + b"\x00\xd8",
    "GHCN lines of 1 MB": b"XXM00099001,20240101,TMIN,10,,,S,\n" + b"XXM00099001,20240102,TMIN," + b"1" * MEGABYTE,
    "a fixed line of 1 MB": b"XXM00099001202401TMIN" + b"   10  S" * (MEGABYTE // 8),
}


def outcome(path: Path) -> str:
    try:
        reading = read_temperatures(path, "Europe/London")
    except PersonError as error:
        sentence = str(error)
        assert sentence.startswith(path.name)
        assert len(sentence) <= 500
        assert "\n" not in sentence
        return sentence
    assert all(len(why) <= 200 for _, why in reading.rejected)
    return f"{len(reading.rows)} days"


@pytest.mark.parametrize("kind", SMALL)
def test_a_hostile_file_is_a_short_sentence_or_a_good_reading(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "hostile.csv"
    path.write_bytes(SMALL[kind])
    begun = process_time()
    tracemalloc.start()
    said = outcome(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    took, bound = process_time() - begun, 3 * len(SMALL[kind]) + 25 * MEGABYTE
    print(f"\n{kind}: {said[:90]} ({peak / MEGABYTE:.1f} MB of {bound / MEGABYTE:.0f}, {took:.1f} s)")
    assert peak < bound
    assert took < 20


@pytest.mark.parametrize("kind", ["a cell of 1 MB", "10 million commas", "wide characters", "a quoted cell of 1 MB"])
def test_one_monstrous_line_does_not_cost_the_rest(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "hostile.csv"
    path.write_bytes(SMALL[kind])
    reading = read_temperatures(path, "Europe/London")
    assert len(reading.rows) == 2
    assert reading.rejected == ((4, "a line of more than 20,000 characters"),)


def log_rows(count: int) -> Iterator[bytes]:
    first = datetime(2004, 1, 1)
    for number in range(count):
        yield f"{first + number * timedelta(minutes=5)},{number % 200 / 10}\n".encode()


def day_rows(count: int) -> Iterator[bytes]:
    days = [date(1800, 1, 1) + timedelta(days=number) for number in range(120_000)]
    for number in range(count):
        yield f"{days[number % 120_000]},{number % 20 / 10},{9 + number % 90 / 10}\n".encode()


def bad_rows(count: int) -> Iterator[bytes]:
    for number in range(count):
        yield b"2024-01-%d,warm,%d\n" % (number, number)


HUGE: dict[str, Callable[[Path], None]] = {
    "200,000 readings": lambda path: write(path, b"time,temp (C)\n", log_rows(200_000)),
    "2 million readings": lambda path: write(path, b"time,temp (C)\n", log_rows(2_000_000)),
    "200,000 days": lambda path: write(path, HEADER, day_rows(200_000)),
    "2 million days": lambda path: write(path, HEADER, day_rows(2_000_000)),
    "2 million bad rows": lambda path: write(path, HEADER, bad_rows(2_000_000)),
    "5 million lines": lambda path: write(path, HEADER, day_rows(5_000_000)),
    "100 MB of line ends": lambda path: write(path, HEADER, [b"\n" * (100 * MEGABYTE)]),
    "100 MB in one line": lambda path: write(path, HEADER, [b"1," * (50 * MEGABYTE)]),
    "100 MB of lines of 10,000 commas": lambda path: write(path, HEADER, [(b"," * 9_999 + b"\n") * 10_000]),
    "100 MB of JSON": lambda path: write(path, b"[", [b"[]," * (33 * MEGABYTE)]),
    "8 MB of JSON": lambda path: write(path, b"[", [b"[]," * 2_600_000, b"[]]"]),
    "100 MB of Latin-1": lambda path: write(path, HEADER, [b"2024-01-01;\xe9\xe9;9\n" * (6 * MEGABYTE)]),
    "100 MB of noughts": lambda path: write(path, HEADER, [b"\0" * (100 * MEGABYTE)]),
    "300 MB": lambda path: write(path, HEADER, [ROWS * (10 * MEGABYTE)]),
}

PROBE = """
import resource, sys
from pathlib import Path
from tendwork.errors import PersonError
from tendwork.weather.readers import read_temperatures
try:
    said = f"{len(read_temperatures(Path(sys.argv[1]), 'Europe/London').rows)} days"
except PersonError as error:
    said = str(error)
used = resource.getrusage(resource.RUSAGE_SELF)
print(used.ru_maxrss * (1 if sys.platform == "darwin" else 1024), used.ru_utime + used.ru_stime, said)
"""


def write(path: Path, header: bytes, rows: Iterator[bytes] | list[bytes]) -> None:
    with path.open("wb") as stream:
        stream.write(header)
        stream.writelines(rows)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="resident memory is asked of resource")
@pytest.mark.parametrize("kind", HUGE)
def test_a_huge_file_stays_within_bounds(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "huge.csv"
    HUGE[kind](path)
    done = subprocess.run([sys.executable, "-c", PROBE, str(path)], capture_output=True, text=True, check=False)
    size = path.stat().st_size
    path.unlink()
    assert done.stderr == ""
    resident, seconds, said = done.stdout.strip().split(" ", 2)
    used = f"{int(resident) // MEGABYTE} MB resident, {float(seconds):.0f} s"
    print(f"\n{kind}, {size // MEGABYTE} MB: {said[:100]} ({used})")
    assert float(seconds) < MOST_SECONDS
    assert int(resident) < MOST_RESIDENT_BYTES
    assert len(said) <= 500


def test_a_long_file_says_how_far_it_is(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    write(path, HEADER, day_rows(66_000))
    reported: list[int] = []
    assert len(read_temperatures(path, "UTC", progress=reported.append).rows) == 66_000
    assert reported == sorted(set(reported))
    assert reported[0] == 1 << 16

"""No damage to a file of temperatures ends in a traceback or in days that cannot be: every sample, which is invented,
is damaged in repeatable ways, and comes out as a reading that holds together or as one sentence with file and line.
"""

from __future__ import annotations

import gzip
import re
import zipfile
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest
from damage_of_files import damaged
from examples import examples
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.weather.readers import Reading, read_temperatures

SAMPLES = sorted((Path(__file__).parent / "samples").iterdir())
PLACE = re.compile(r'(, line \d+|, key "entry \d+")')


def assert_holds_together(reading: Reading) -> None:
    days = [day for day, _, _ in reading.rows]
    assert days
    assert days == sorted(set(days))
    assert all(low is not None and high is not None and -60 <= low <= high <= 60 for _, low, high in reading.rows)
    assert reading.gaps == (days[-1] - days[0]) // timedelta(days=1) + 1 - len(days)
    assert all(isinstance(number, int) and why for number, why in reading.rejected)
    assert reading.words


def assert_read_or_refused(path: Path, name: str) -> None:
    try:
        reading = read_temperatures(path, "America/New_York")
    except PersonError as error:
        sentence = str(error)
        assert sentence.startswith(name)
        assert PLACE.search(sentence), sentence
        assert "\n" not in sentence
    else:
        assert_holds_together(reading)


def damage_all(tmp_path: Path, cases: int, start: int) -> None:
    random = Random(start)
    for _ in range(cases):
        sample = random.choice(SAMPLES)
        path = tmp_path / sample.name
        path.write_bytes(damaged(sample.read_bytes(), random))
        assert_read_or_refused(path, sample.name)


def test_two_hundred_damaged_samples_are_read_or_refused_in_a_sentence(tmp_path):
    damage_all(tmp_path, 200, start=1)


@pytest.mark.slow
def test_ten_thousand_damaged_samples_are_read_or_refused_in_a_sentence(tmp_path):
    damage_all(tmp_path, 10_000, start=2)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_a_sample_cut_in_any_tenth_is_read_or_refused_in_a_sentence(sample, tmp_path):
    content = sample.read_bytes()
    path = tmp_path / sample.name
    for tenth in range(10):
        path.write_bytes(content[: len(content) * tenth // 10])
        assert_read_or_refused(path, sample.name)


@examples(100, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(content=st.one_of(st.binary(max_size=300), st.text(max_size=300).map(str.encode)))
def test_any_bytes_at_all_are_read_or_refused_in_a_sentence(content, tmp_path):
    path = tmp_path / "anything.csv"
    path.write_bytes(content)
    assert_read_or_refused(path, "anything.csv")


@pytest.mark.parametrize("length", [0, 1, 30, 200, 500])
def test_a_zip_file_cut_short_is_refused_in_a_sentence(length, tmp_path):
    path = tmp_path / "days.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.write(next(sample for sample in SAMPLES if sample.name.startswith("produkt")))
    path.write_bytes(path.read_bytes()[:length])
    with pytest.raises(PersonError, match=r"days\.zip, line 1"):
        read_temperatures(path, "Europe/Berlin")


def test_a_gz_file_cut_short_is_refused_in_a_sentence(tmp_path):
    path = tmp_path / "lines.csv.gz"
    path.write_bytes(gzip.compress(b"ID,DATE,ELEMENT\n" * 50)[:-9])
    with pytest.raises(PersonError, match=r"lines\.csv\.gz, line 1: the gz file is damaged or cut short"):
        read_temperatures(path, "Europe/London")


def test_a_table_cut_inside_its_last_number_says_that_its_last_line_has_no_end(tmp_path):
    path = tmp_path / "cut.csv"
    path.write_text("date,tmin_c,tmax_c\n2024-04-01,1.0,9.5\n2024-04-02,2.0,11", encoding="utf-8")
    assert read_temperatures(path, "Europe/London").words[-1].startswith("Line 3, the last, has no line end")


def test_a_missing_file_is_refused_by_name():
    with pytest.raises(PersonError, match=r"nowhere\.csv: the file cannot be read: no such file"):
        read_temperatures(Path("nowhere.csv"), "Europe/London")


def test_a_folder_is_refused_by_name(tmp_path):
    with pytest.raises(PersonError, match=r"the file cannot be read: is a directory"):
        read_temperatures(tmp_path, "Europe/London")


def test_a_number_too_large_to_be_a_temperature_is_set_aside(tmp_path):
    sample = next(path for path in SAMPLES if path.name == "ghcn_lines.csv")
    lines = sample.read_text(encoding="utf-8").splitlines(keepends=True)
    at = next(number for number, line in enumerate(lines) if ",TMIN," in line)
    cells = lines[at].split(",")
    lines[at] = ",".join([*cells[:3], "9" * 400, *cells[4:]])
    file = tmp_path / "huge.csv"
    file.write_text("".join(lines), encoding="utf-8")
    assert any('" and "999999' in why for _, why in read_temperatures(file, "UTC").rejected)

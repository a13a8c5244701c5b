"""Which temperature files count, in which order, and what is noted of where their days come from."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.check import folder_faults
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.site import TemperatureSource
from tendwork.folder.temperature_origins import ORIGINS_FILE, Origin, note_origin, read_origins
from tendwork.folder.temperature_sources import SourceFile, ranked_files

OWN = TemperatureSource(file="temperatures/*.csv")
SERVICE = TemperatureSource(service="zeta")
ORIGIN = Origin(
    "zeta", "52.1, -3", datetime(2026, 3, 12, 6, tzinfo=UTC), ("Data of Zeta",), ("free",), date(2014, 1, 1)
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "temperatures").mkdir()
    for name in ("added", "forecast", "own", "zeta"):
        (tmp_path / "temperatures" / f"{name}.csv").write_text("date,tmin_c,tmax_c\n")
    return tmp_path


def ranked(root: Path, *sources: TemperatureSource) -> list[SourceFile]:
    folder = OrchardFolder.__new__(OrchardFolder)
    folder.path = root
    return list(ranked_files(root, sources, folder.temperature_files))


@pytest.mark.parametrize(
    ("sources", "order"),
    [
        ((OWN,), ["added", "own", "zeta", "forecast"]),
        ((OWN, SERVICE), ["added", "own", "zeta", "forecast"]),
        ((SERVICE, OWN), ["zeta", "added", "own", "forecast"]),
        ((SERVICE,), ["added", "zeta", "forecast"]),
        ((TemperatureSource(file="temperatures/own.csv"),), ["own", "added", "forecast"]),
        ((TemperatureSource(file="temperatures/own.csv"), SERVICE), ["own", "added", "zeta", "forecast"]),
        ((), ["added", "forecast"]),
    ],
)
def test_files_rank_as_their_sources_do_with_the_forecast_last(
    root: Path, sources: tuple[TemperatureSource, ...], order: list[str]
) -> None:
    assert [file.path.stem for file in ranked(root, *sources)] == order


def test_only_the_forecast_s_own_file_is_a_forecast_whatever_names_it(root: Path) -> None:
    files = ranked(root, TemperatureSource(file="temperatures/forecast.csv"), OWN)
    assert [file.path.stem for file in files if file.is_forecast] == ["forecast"]


def test_files_that_the_program_writes_are_in_celsius_beside_the_person_s_in_fahrenheit(root: Path) -> None:
    note_origin(root, "temperatures/zeta.csv", ORIGIN)
    files = ranked(root, TemperatureSource(file="temperatures/*.csv", options={"units": "us"}))
    assert [file.path.stem for file in files if file.fahrenheit] == ["own"]


def test_a_file_that_two_patterns_find_counts_once(root: Path) -> None:
    assert len(ranked(root, OWN, OWN)) == 4


def test_what_is_noted_of_an_origin_reads_back_and_leaves_the_others(root: Path) -> None:
    note_origin(root, "temperatures/zeta.csv", ORIGIN)
    note_origin(root, "temperatures/added.csv", Origin().owed_to("Somebody"))
    assert read_origins(root) == {
        "temperatures/zeta.csv": ORIGIN,
        "temperatures/added.csv": Origin(attribution=("Somebody",)),
    }


def test_noting_the_same_again_writes_nothing(root: Path) -> None:
    note_origin(root, "temperatures/zeta.csv", ORIGIN)
    before = (root / ORIGINS_FILE).stat().st_mtime_ns, (root / ORIGINS_FILE).stat().st_ino
    note_origin(root, "temperatures/zeta.csv", ORIGIN)
    assert ((root / ORIGINS_FILE).stat().st_mtime_ns, (root / ORIGINS_FILE).stat().st_ino) == before


def test_to_whom_data_are_owed_is_said_once() -> None:
    origin = Origin().owed_to("Zeta", "free").owed_to("Eta", "free").owed_to("Zeta")
    assert (origin.attribution, origin.licence) == (("Zeta", "Eta"), ("free",))


@pytest.mark.parametrize("text", ["[x", '["a.csv"]\nservice = 3\n', '["a.csv"]\nunknown = "x"\n'])
def test_damaged_notes_are_told_with_what_to_do(root: Path, text: str) -> None:
    (root / ORIGINS_FILE).write_text(text)
    with pytest.raises(PersonError, match=r"temperatures/sources\.toml.*set the file aside"):
        read_origins(root)


def test_check_names_a_file_that_is_not_there_and_goes_on_to_the_others(root: Path) -> None:
    site = 'name = "x"\ntimezone = "UTC"\nlatitude = 1\nlongitude = 1\n'
    sources = '[[temperatures]]\nfile = "gone.csv"\n[[temperatures]]\nfile = "temperatures/*.csv"\n'
    (root / "site.toml").write_text(site + sources)
    (root / "temperatures" / "own.csv").write_text("nonsense\n")
    faults = folder_faults(root)
    assert [("gone.csv" in fault, "own.csv" in fault) for fault in faults] == [(True, False), (False, True)]

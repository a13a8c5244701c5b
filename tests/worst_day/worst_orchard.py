"""The orchard that the worst day befalls, and what can be read out of its folder without opening it."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
import tempfile
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import msgspec

from tendwork.errors import PersonError
from tendwork.folder.adjustments import read_adjustments
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.records_db import RecordStore
from tendwork.folder.site import read_site
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.folder.templates import load_templates
from tendwork.folder.toml_text import parse_toml
from tendwork.orchard.records import RecordKind, Records
from tendwork.workbench.bench import Workbench

DAY = date(2026, 5, 10)
SITE = 'name = "Test hill"\ntimezone = "Europe/London"\nlatitude = 52.1\nlongitude = -3.0\nelevation_m = 240\n'
TREES = "id,name,species,stock,planted,height_m\nt1,Old apple,apple,M25,2019,1.8\nt2,New apple,apple,M9,2021,1.5\n"
GRAFTS = """id,tree,variety,method,wrap,state,set_on,height_m,chill
g1,t1,Red Lamp,whip and tongue,PVC tape,set,2026-04-10,1.5,
g2,t1,Blue Lamp,cleft,budding rubber,set,2026-04-12,1.5,
g3,t1,Green Lamp,cleft,budding rubber,planned,,1.2,
"""
WOOD = "id,variety,species,sticks,cut_on\nw1,Green Lamp,apple,6,2026-01-20\n"
KEPT_JOBS = {"check-take", "suckers", "take-guards-off", "check-seals", "first-year-fruit"}
_NOT_FOUND = "none"
COPY_NAME = "records-{}T060000Z.db"


def begin_orchard(path: Path, small: bool = True) -> None:
    """A folder with two trees, three grafts, a bundle, and copies of two earlier days; few jobs where it is `small`."""
    Workbench.begin(path, name="Test hill", timezone="Europe/London", latitude=52.1, longitude=-3.0).close()
    (path / "site.toml").write_text(SITE)
    if small:
        others = [one.id for one in load_templates(path / "templates").templates if one.id not in KEPT_JOBS]
        changes = "".join(f"[template.{name}]\noff = true\n\n" for name in sorted(others))
        (path / "adjustments.toml").write_text(changes)
    folder = OrchardFolder.open(path)
    bench = Workbench(folder)
    tables: tuple[tuple[RecordKind, str], ...] = (("trees", TREES), ("grafts", GRAFTS), ("wood", WOOD))
    for ago, (kind, text) in zip((9, 5, 5), tables, strict=True):
        day = DAY - timedelta(days=ago)
        with tempfile.TemporaryDirectory() as place:
            file = Path(place) / f"{kind}.csv"
            file.write_text(text)
            bench.records.bring(file, kind, day)
        folder.records.copy_to(path / "backups" / COPY_NAME.format(day))
    bench.close()
    for made_today in set((path / "backups").iterdir()) - set((path / "backups").glob(COPY_NAME.format("*"))):
        made_today.unlink()


def newest_copy(path: Path) -> Path:
    """The newest of the copies that were there before the worst day."""
    return path / "backups" / COPY_NAME.format(DAY - timedelta(days=5))


def copy_orchard(source: Path, target: Path) -> Path:
    """A fresh copy of a folder in the place of whatever stands there."""
    shutil.rmtree(target, ignore_errors=True)
    return shutil.copytree(source, target)


class State(msgspec.Struct, frozen=True):
    """What an orchard says: its records with the acts behind them, and every file that a person's act may change."""

    records: Records | None
    acts: tuple[tuple[str, int], ...]
    files: dict[str, bytes | str]


def records_in(database: Path) -> tuple[Records | None, tuple[tuple[str, int], ...]]:
    """The records and acts of a database with its log, read in a copy of both so that nothing beside it changes."""
    restored = database.with_name(f".{database.name}.restored")
    if restored.is_file():  # a restore that was killed and is finished by whoever opens the records next
        database = restored
    if not database.is_file():
        return None, ()
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder) / "records.db"
        for end in ("", "-wal", "-journal"):
            beside = database.with_name(database.name + end)
            if beside.is_file():
                shutil.copyfile(beside, here.with_name(here.name + end))
        if here.stat().st_size == 0 and not here.with_name("records.db-wal").exists():
            return None, ()
        try:
            with RecordStore.open(here) as store:
                records = store.read()
                assert store.faults() == ()
            connection = sqlite3.connect(here)
            acts = tuple(connection.execute("SELECT description, undone FROM acts ORDER BY seq"))
            connection.close()
        except (PersonError, sqlite3.Error):
            return None, ()
        return records, acts


def state_of(folder: Path, *beside: Path) -> State:
    """What stands in a folder now, and in files beside it, by their bytes."""
    records, acts = records_in(folder / "records.db")
    files: dict[str, bytes | str] = {}
    if records is None and (folder / "records.db").is_file():
        files["records.db"] = (folder / "records.db").read_bytes()
    owned = [folder / "site.toml", folder / "adjustments.toml", *beside]
    owned += sorted((folder / "temperatures").glob("*.csv"))
    for file in owned:
        files[file.name] = file.read_bytes() if file.is_file() else _NOT_FOUND
    origins = folder / "temperatures" / "sources.toml"
    if origins.is_file():
        files[origins.name] = re.sub(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d:\d\d\S*", "TIME", origins.read_text())
    return State(records, acts, files)


def refuse_half_files(folder: Path) -> None:
    """Every file that the program owns can be read as a whole one."""
    read_site((folder / "site.toml").read_text())
    read_adjustments(folder / "adjustments.toml")
    for file in (folder / "temperatures").glob("*.csv"):
        read_temperatures(file, file.name)
    for name in ("rounds.toml", "temperatures/sources.toml"):
        if (folder / name).is_file():
            parse_toml((folder / name).read_text(), name)


def databases_aside(folder: Path) -> list[Path]:
    """Every database below the folder but the records themselves."""
    standing = folder / "records.db"
    return [file for file in sorted(folder.rglob("*.db")) if file != standing]


def is_kept_somewhere(folder: Path, records: Records | None, acts: Any) -> bool:
    """Whether these records with these acts stand in the records, or in a database that was set aside."""
    return any(records_in(file) == (records, acts) for file in (folder / "records.db", *databases_aside(folder)))


def drafts_in(*folders: Path) -> list[Path]:
    """Files and folders that only a writer at work has a use for; locks, which stay, are not among them."""
    found = []
    for folder in folders:
        for entry in folder.rglob("*"):
            hidden = entry.name.startswith(".") and "lock" not in entry.name
            if hidden or entry.suffix in (".draft", ".tmp") or "-journal" in entry.name:
                found.append(entry)
    return found


def make_old(*files: Path) -> None:
    """As if the files had been written long ago."""
    for file in files:
        if file.exists():
            os.utime(file, (1_600_000_000, 1_600_000_000))

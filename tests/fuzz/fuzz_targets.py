"""One function for each kind of file: it reads it as the program does, and makes all that follows from it.

A target returns whether the file was taken. A PersonError is an answer as good; anything else is a fault.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from random import Random

import fuzz_corpus
import hill
import msgspec
from fuzz_ground import DAYS, NOW, FuzzGround, assert_inert, records_with

from tendwork.errors import PersonError
from tendwork.folder.adjustments import read_adjustments, write_adjustments
from tendwork.folder.csv_files import csv_text, parse_csv, read_csv
from tendwork.folder.daily_log import LOG_FILE, read_log
from tendwork.folder.files import read_bytes, read_text
from tendwork.folder.loaded_templates import LoadedTemplates
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.records_db import RecordStore
from tendwork.folder.site import read_site
from tendwork.folder.temperature_origins import ORIGINS_FILE, read_origins
from tendwork.folder.temperatures_csv import read_temperatures, write_temperatures
from tendwork.folder.templates import load_templates
from tendwork.orchard.records import RecordKind
from tendwork.outputs.calendar import calendar_of
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.planning.adjustments import Adjustment, Adjustments
from tendwork.workbench.csv_bringing import bring_file
from tendwork.workbench.plan_cache import CACHE_FILE, read_kept
from tendwork.workbench.plan_inputs import temperatures_of
from tendwork.workbench.temperature_files import add_temperatures

LONGEST_SENTENCE = 500
PLANNED = 0.04
"""The share of the files taken that are also planned with, where that asks for a new almanac."""

Target = Callable[[FuzzGround, bytes, Random], bool]


def refused(error: PersonError, name: str) -> bool:
    """Check the words of a refusal: they name the file, each sentence is short, and nothing in them acts."""
    said = str(error)
    assert name in said, f"{name} is not named in {said!r}"
    for sentence in said.splitlines():
        assert len(sentence) <= LONGEST_SENTENCE, f"{len(sentence)} characters: {sentence[:200]!r}"
    assert_inert(said)
    return False


def site(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    file = ground.place / "site.toml"
    file.write_bytes(content)
    try:
        read = read_site(read_text(file, file.name))
    except PersonError as error:
        return refused(error, "site.toml")
    if chance.random() < PLANNED:
        ground.look_at(chance.choice(DAYS), site=read)
    return True


def templates(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    own = ground.place / "templates"
    own.mkdir(exist_ok=True)
    (own / "own.toml").write_bytes(content)
    try:
        loaded = load_templates(own, ground.cards_only)
    except PersonError as error:
        return refused(error, "own.toml")
    if chance.random() < 0.2:
        ground.look_at(chance.choice(DAYS), templates=loaded)
    return True


def adjustments(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    file = ground.place / "adjustments.toml"
    file.write_bytes(content)
    try:
        read = read_adjustments(file)
    except PersonError as error:
        return refused(error, "adjustments.toml")
    write_adjustments(file, read)
    changes = {identity: change for identity, change in read.template.items() if change != Adjustment()}
    assert read_adjustments(file) == Adjustments(read.site, changes)
    if chance.random() >= PLANNED:
        return True
    rules = tuple(held for held in ground.all_templates.templates if held.id in read.template)
    ground.look_at(chance.choice(DAYS), templates=LoadedTemplates(rules, ground.all_templates.cards), adjustments=read)
    return True


def csv_of(kind: RecordKind) -> Target:
    def target(ground: FuzzGround, content: bytes, chance: Random) -> bool:
        file = ground.place / f"fuzzed-{kind}.csv"
        file.write_bytes(content)
        try:
            rows = read_csv(file, kind)
            bring_file(ground.folder, file, kind, date(2026, 11, 1), True)
        except PersonError as error:
            return refused(error, file.name)
        text = csv_text(kind, rows.records)
        assert csv_text(kind, parse_csv(text, kind, "again.csv").records) == text
        ids = {getattr(record, "id", None) for record in rows.records}
        held = tuple(r for r in getattr(ground.records, kind) if getattr(r, "id", None) not in ids)
        if chance.random() < PLANNED:
            ground.look_at(chance.choice(DAYS), records=records_with(ground.records, kind, (*held, *rows.records)))
        return True

    return target


def weather(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    file = ground.place / "fuzzed-weather.txt"
    file.write_bytes(content)
    shutil.rmtree(ground.path / "temperatures")
    (ground.path / "temperatures").mkdir()
    dates = chance.choice((None, None, "day-first", "month-first"))
    try:
        words = add_temperatures(ground.folder, file, NOW, False, dates)
    except PersonError as error:
        return refused(error, file.name)
    finally_held = temperatures_of(ground.folder, NOW)
    assert_inert("\n".join((*words, *finally_held.words)))
    assert add_temperatures(ground.folder, file, NOW, False, dates)
    return True


def house_temperatures(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    file = ground.place / "held.csv"
    file.write_bytes(content)
    try:
        held = read_temperatures(file, file.name, chance.random() < 0.2)
    except PersonError as error:
        return refused(error, file.name)
    assert_inert("\n".join(held.set_aside))
    write_temperatures(file, held.days)
    assert read_temperatures(file).days == held.days
    folder = ground.path / "temperatures"
    shutil.rmtree(folder)
    folder.mkdir()
    shutil.copy(file, folder / "held.csv")
    if chance.random() < PLANNED:
        site = msgspec.structs.replace(ground.site, normals=None if chance.random() < 0.3 else ground.site.normals)
        ground.look_at(chance.choice(DAYS), site=site)
    (folder / "held.csv").unlink()
    return True


def own_notes(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    """rounds.toml and temperatures/sources.toml: written by the program, mended by nobody."""
    is_daily_log = chance.random() < 0.5
    file = ground.path / (LOG_FILE if is_daily_log else ORIGINS_FILE)
    file.write_bytes(content)
    try:
        if is_daily_log:
            read_log(ground.path)
        else:
            read_origins(ground.path)
            temperatures_of(ground.folder, NOW)
    except PersonError as error:
        return refused(error, file.name)
    finally:
        file.unlink()
    return True


def kept_plan(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    """A damaged cache is no fault: it is made again."""
    del chance
    ground.folder.write_cache(CACHE_FILE, content)
    return read_kept(ground.folder) is not None


def calendar_before(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    """The calendar file that is there already is read for its sequence numbers, whatever stands in it."""
    del chance
    made = ground.made_now()
    place = CalendarSite("Test hill", "Europe/London")
    file = ground.place / "season.ics"
    file.write_bytes(content)
    try:
        previous = read_bytes(file)
        calendar_of(
            events_of(made.plan, made.week.tasks, place, ground.templates.cards), NOW, place, previous, str(file)
        )
    except PersonError as error:
        return refused(error, file.name)
    return True


def records_database(ground: FuzzGround, content: bytes, chance: Random) -> bool:
    """A records.db of whatever bytes."""
    del chance
    place = ground.place / "damaged"
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir()
    (place / "site.toml").write_text(hill.SITE, encoding="utf-8")
    (place / "records.db").write_bytes(content)
    folder = OrchardFolder.open(place)
    try:
        store: RecordStore = folder.records
        records = store.read()
        store.faults()
        if records != ground.records:
            ground.look_at(DAYS[0], records=records)
    except PersonError as error:
        return refused(error, "records.db")
    finally:
        folder.close()
    return True


TARGETS: dict[str, tuple[Target, tuple[bytes, ...] | None, int]] = {
    "site": (site, fuzz_corpus.SITES, 14_000),
    "templates": (templates, fuzz_corpus.TEMPLATES, 12_000),
    "adjustments": (adjustments, fuzz_corpus.ADJUSTED, 10_000),
    **{kind: (csv_of(kind), corpus, 4_000) for kind, corpus in fuzz_corpus.RECORDS_OF.items()},
    "weather": (weather, fuzz_corpus.WEATHER, 25_000),
    "house temperatures": (house_temperatures, fuzz_corpus.HOUSE, 4_000),
    "own notes": (own_notes, fuzz_corpus.NOTES, 2_000),
    "kept plan": (kept_plan, None, 1_000),
    "calendar": (calendar_before, None, 500),
    "records database": (records_database, None, 1_000),
}
"""Target, corpus (None: made from the ground), and how many cases a marked run gives it."""

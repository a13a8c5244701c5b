"""One bit of the records turned over: they are read as they can be, or refused with a remedy that works."""

from __future__ import annotations

import random
import shutil
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from folder_samples import fill

from tendwork.cli import cli
from tendwork.errors import PersonError
from tendwork.folder.backups import back_up_daily
from tendwork.folder.proving import is_good
from tendwork.folder.records_db import RecordStore
from tendwork.folder.restoring import restore
from tendwork.orchard.records import Records, Tree

_PAGE = 4096
_SITE = 'name = "Hill"\ntimezone = "UTC"\nlatitude = 52.1\nlongitude = -3.0\n'


def whole(folder: Path, records: Records) -> bytes:
    """The records as one file, with a copy of them in backups/."""
    with RecordStore.open(folder / "records.db", create=True) as store:
        fill(store, records)
        for number in range(40):
            with store.act(f"tree {number}") as act:
                act.add(Tree(f"n{number}", "x" * (1 + number * 11), "apple"))
        back_up_daily(store, folder / "backups", datetime(2026, 5, 1, tzinfo=UTC))
    return (folder / "records.db").read_bytes()


def flipped(content: bytes, bit: int) -> bytes:
    turned = bytearray(content)
    turned[bit // 8] ^= 1 << bit % 8
    return bytes(turned)


def outcome(path: Path, before: Records) -> str:
    """What comes of the records as they stand: read, one act done, or refused and then restored."""
    try:
        with RecordStore.open(path) as store:
            read = store.read()
            with store.act("one more") as act:
                act.add(Tree("more", "More", "pear"))
            faults = store.faults()
            assert store.undo_last() == "one more"
            store.undo_last(ticked=[("no job", "no unit")])
    except PersonError as error:
        said = str(error)
        assert "`tendwork restore` puts it back" in said, said
    else:
        if not faults:
            assert is_good(path)
            return "read as before" if read == before else "read as other words"
        assert all("`tendwork restore` puts it back" in fault for fault in faults)
        said = "fault"
    restore(path, None)
    with RecordStore.open(path) as store:
        assert store.read() == before
    return "a fault told by check, and restored" if said == "fault" else "refused, and restored"


def clear(folder: Path) -> None:
    for file in folder.glob("records.db*"):
        file.unlink()
    for aside in folder.glob("backups/set-aside-*"):
        shutil.rmtree(aside)


def turn_over(folder: Path, records: Records, flips: int, seed: int) -> Counter[str]:
    content = whole(folder, records)
    with RecordStore.open(folder / "records.db") as store:
        before = store.read()
    pages = len(content) // _PAGE
    chance = random.Random(seed)
    found: Counter[str] = Counter()
    for number in range(flips):
        page = number % pages if number % 2 else 0  # every other one on the first page, which tells what the rest is
        offset = chance.randrange(100) if number % 4 == 0 else chance.randrange(_PAGE)
        bit = (page * _PAGE + offset) * 8 + chance.randrange(8)
        clear(folder)
        (folder / "records.db").write_bytes(flipped(content, bit))
        try:
            found[outcome(folder / "records.db", before)] += 1
        except Exception as error:
            raise AssertionError(f"bit {bit % 8} of byte {offset} of page {page + 1} (bit {bit})") from error
    return found


def test_turned_bits_are_read_or_refused_with_a_remedy_that_works(tmp_path: Path, full_records: Records) -> None:
    found = turn_over(tmp_path, full_records, 120, seed=3)
    assert found["refused, and restored"] > 10
    assert found["read as before"] > 10


@pytest.mark.slow
def test_five_thousand_turned_bits(tmp_path: Path, full_records: Records) -> None:
    found = turn_over(tmp_path, full_records, 5000, seed=11)
    print("\n5,000 bits turned over:", dict(found))
    assert sum(found.values()) == 5000


def commands_on_flips(folder: Path, records: Records, flips: int) -> Counter[str]:
    content = whole(folder, records)
    (folder / "site.toml").write_text(_SITE)
    chance = random.Random(17)
    found: Counter[str] = Counter()
    for _ in range(flips):
        clear(folder)
        (folder / "records.db").write_bytes(flipped(content, chance.randrange(len(content) * 8)))
        for words in (["trees"], ["week"], ["check"], ["saw", "apple", "green tip", "--sure"], ["undo"], ["restore"]):
            done = CliRunner().invoke(cli, ["--orchard", str(folder), "--on", "2026-04-01", *words])
            if not isinstance(done.exception, None.__class__ | SystemExit | PersonError):
                raise AssertionError(f"{words} on a turned bit") from done.exception
            found[f"{words[0]}: {'a sentence' if done.exception else 'done'}"] += 1
    return found


def test_no_command_ends_in_a_traceback_on_a_turned_bit(tmp_path: Path, full_records: Records) -> None:
    assert commands_on_flips(tmp_path, full_records, 3)["trees: done"] > 0


@pytest.mark.slow
def test_no_command_ends_in_a_traceback_on_a_hundred_turned_bits(tmp_path: Path, full_records: Records) -> None:
    print("\ncommands on 100 turned bits:", dict(commands_on_flips(tmp_path, full_records, 100)))

"""Whatever a person names for a page, a calendar or a table: nothing that tendwork keeps is written over."""

from __future__ import annotations

import os
import random
import re
import subprocess
from collections.abc import Callable, Iterator
from datetime import date
from itertools import count
from pathlib import Path

import msgspec
import pytest
from click.testing import CliRunner
from kept_files import content_of, fill, ways_to

from tendwork.cli import cli
from tendwork.daily import deliveries
from tendwork.daily.deliveries import sheet_delivery
from tendwork.errors import PersonError
from tendwork.folder.outward import StandsThere, write_outward
from tendwork.folder.own_settings import keep_colours, settings_file
from tendwork.folder.site import Remind
from tendwork.workbench.bench import Workbench

ON = date(2026, 5, 5)
Run = Callable[..., subprocess.CompletedProcess[str]]
COMMANDS = {
    "sheet": ("sheet", "--html", "{}"),
    "cards": ("sheet", "--cards", "--html", "{}"),
    "labels": ("labels", "--html", "{}"),
    "cutting": ("sheet", "--cutting", "--html", "{}"),
    "calendar": ("calendar", "{}"),
    "give": ("give", "{}"),
}
NAMED_IN_SITE = ("sheet_file", "calendar_file")


class Fronts:
    """Everything that writes a file for a person, each called with a name and in the orchard folder."""

    def __init__(self, orchard: Path) -> None:
        self.orchard = orchard
        self.bench = Workbench.open(orchard)
        assert (
            self.bench.records.read().trees
        )  # open all the while, so that no command's end takes the log of SQLite away

    def try_on(self, front: str, name: str) -> str:
        """What was said. A fault that is no sentence is raised."""
        if front in COMMANDS:
            words = [word.format(name) for word in COMMANDS[front]]
            done = CliRunner().invoke(cli, ["--orchard", str(self.orchard), "--on", str(ON), *words])
            if done.exception is not None and not isinstance(done.exception, SystemExit | PersonError):
                raise done.exception
            return done.output + str(done.exception or "")
        site = msgspec.structs.replace(self.bench.site, remind=Remind(**{front: name}))
        self.bench._folder.site = site
        delivery = sheet_delivery(self.bench, ON)
        assert delivery is not None
        with pytest.raises(PersonError) as told:
            delivery()
        return str(told.value)


@pytest.fixture
def fronts(orchard_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Fronts]:
    monkeypatch.chdir(orchard_path)
    monkeypatch.setattr(deliveries, "morning_text", lambda *_: "The sheet")
    fill(orchard_path, settings_file())
    made = Fronts(orchard_path)
    yield made
    made.bench.close()


def tries_at(fronts: Fronts, place: Path) -> list[tuple[str, str, str]]:
    """(front, kind, name) of every front with every way to name every kept file."""
    place.mkdir()
    numbers = count()
    ways = [
        way
        for kept in fill(fronts.orchard, settings_file())
        for way in ways_to(kept, fronts.orchard, place / str(next(numbers)))
    ]
    return [(front, kind, name) for front in (*COMMANDS, *NAMED_IN_SITE) for kind, name in ways]


def overwritten(fronts: Fronts, place: Path, tries: list[tuple[str, str, str]]) -> list[str]:
    """The tries that changed anything at all, byte for byte."""
    wrong = []
    watched = (fronts.orchard, place, settings_file().parent)
    before = content_of(*watched)
    for front, kind, name in tries:
        said = fronts.try_on(front, name)
        after = content_of(*watched)
        if after != before or "Wrote" in said or "written to" in said.lower().replace("nothing was written to", ""):
            changed = {file for file in {*before, *after} if before.get(file) != after.get(file)}
            wrong.append(f"{front}, {kind}: {name}: {said} {sorted(changed)}")
            before = after
    return wrong


def test_a_share_of_all_ways_to_overwrite_what_is_kept_overwrites_nothing(fronts: Fronts, tmp_path: Path) -> None:
    tries = random.Random(11).sample(tries_at(fronts, tmp_path / "links"), 60)
    assert overwritten(fronts, tmp_path / "links", tries) == []


@pytest.mark.slow
def test_no_way_to_overwrite_what_is_kept_overwrites_anything(fronts: Fronts, tmp_path: Path) -> None:
    tries = tries_at(fronts, tmp_path / "links")
    assert len(tries) >= 300
    wrong = overwritten(fronts, tmp_path / "links", tries)
    print(f"\n{len(tries)} tries, {len(wrong)} overwrote something, 0 tracebacks")
    assert wrong == []


def test_a_command_that_is_given_the_records_refuses_in_one_sentence(run: Run, orchard_path: Path) -> None:
    before = (orchard_path / "records.db").read_bytes()
    done = run("sheet", "--html", str(orchard_path / "records.db"), "--on", "2026-05-05")
    what = "is where tendwork keeps the records. Nothing was changed; name another file."
    assert done.stderr == f"tendwork: {orchard_path}/records.db: {what}\n"
    assert (done.returncode, done.stdout) == (1, "")
    assert (orchard_path / "records.db").read_bytes() == before


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("site.toml", "describes the orchard's place"),
        ("adjustments.toml", "is where tendwork keeps what you adjusted"),
        ("rounds.toml", "is where tendwork keeps what its watch did"),
        ("records.db-wal", "is where tendwork keeps the records"),
        ("templates/new.html", "belongs to templates/, where tendwork keeps the orchard's own rules"),
        ("backups/new/deep.html", "belongs to backups/, where tendwork keeps the copies of the records"),
        (".hidden", "has a hidden name in the orchard folder"),
        (".", "is the orchard folder"),
    ],
)
def test_the_refusal_says_what_the_file_is(tmp_path: Path, name: str, said: str) -> None:
    with pytest.raises(PersonError, match=said):
        write_outward(tmp_path, tmp_path / name, b"page", b"page")
    assert list(tmp_path.iterdir()) == []


def test_what_another_orchard_keeps_is_not_written_over_either(tmp_path: Path) -> None:
    other = tmp_path / "other"
    Workbench.begin(other, name="Other", timezone="UTC", latitude=52.1, longitude=-3.0).close()
    with pytest.raises(PersonError, match="keeps the records"):
        write_outward(tmp_path / "orchard", other / "records.db", b"page", over=True)


def test_the_program_s_own_files_and_settings_are_not_written_over(tmp_path: Path) -> None:
    import tendwork

    for file in (Path(tendwork.__file__).parent / "new.html", settings_file()):
        with pytest.raises(PersonError, match=r"belongs to the program itself|your keys and colours"):
            write_outward(tmp_path, file, b"page", over=True)


def test_a_file_of_the_person_s_is_not_written_over_and_one_written_before_is(tmp_path: Path) -> None:
    file = tmp_path / "week.html"
    file.write_bytes(b"<p>mine</p>")
    with pytest.raises(StandsThere, match=r"holds something that tendwork did not write\. Nothing was changed; name"):
        write_outward(tmp_path / "orchard", file, b"<mark>", b"<mark>")
    assert file.read_bytes() == b"<p>mine</p>"
    write_outward(tmp_path / "orchard", file, b"<mark>1", b"<mark>", over=True)
    write_outward(tmp_path / "orchard", file, b"<mark>2", b"<mark>")
    assert file.read_bytes() == b"<mark>2"


def test_an_empty_file_holds_nothing_to_lose(tmp_path: Path) -> None:
    (tmp_path / "week.html").touch()
    write_outward(tmp_path / "orchard", tmp_path / "week.html", b"page", b"mark")
    assert (tmp_path / "week.html").read_bytes() == b"page"


def test_every_command_writes_over_what_it_wrote_itself(fronts: Fronts, tmp_path: Path) -> None:
    for command in ("sheet", "cards", "labels", "cutting"):
        for _ in range(2):
            assert "Wrote " in fronts.try_on(command, str(tmp_path / f"{command}.html"))
    assert not list(tmp_path.glob(".*.draft"))


def test_a_link_is_not_written_through_nor_replaced(tmp_path: Path) -> None:
    (tmp_path / "real.html").write_bytes(b"mark")
    for name, target in (("link.html", "real.html"), ("dangling.html", "nowhere.html")):
        (tmp_path / name).symlink_to(tmp_path / target)
        with pytest.raises(PersonError, match=rf"is a link to {tmp_path}/{target}\. Nothing was changed"):
            write_outward(tmp_path / "orchard", tmp_path / name, b"mark2", b"mark", over=True)
        assert (tmp_path / name).is_symlink()
    assert (tmp_path / "real.html").read_bytes() == b"mark"
    assert not (tmp_path / "nowhere.html").exists()


def test_a_link_that_is_put_there_while_the_page_is_made_is_not_written_through(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "mine.html").write_bytes(b"mine")
    real_write = Path.write_bytes

    def write_and_link(self: Path, content: bytes) -> int:
        (tmp_path / "week.html").symlink_to(tmp_path / "mine.html")
        return real_write(self, content)

    monkeypatch.setattr(Path, "write_bytes", write_and_link)
    with pytest.raises(PersonError, match="is a link to"):
        write_outward(tmp_path / "orchard", tmp_path / "week.html", b"page", b"mark")
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["mine.html", "week.html"]
    assert (tmp_path / "mine.html").read_bytes() == b"mine"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_devices_and_pipes_are_refused_as_before(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for file in (tmp_path / "pipe", Path("/dev/null")):
        with pytest.raises(PersonError, match="is no plain file, so it is not written over"):
            write_outward(tmp_path / "orchard", file, b"page", b"mark")


SHEET_FILES = {
    "no/such/sheet.txt": r"cannot be written, as .*no/such is not there\. .*make that folder",
    "notes.txt/sheet.txt": r"cannot be written, as .*notes\.txt is no folder",
    "pages": r"pages: is a folder\. Nothing was changed; name a file in it",
    "~nobody-of-that-name/sheet.txt": r'key "remind\.sheet_file": .* is not known on this computer',
    "notes.txt": "holds something that tendwork did not write",
    "a\0b.txt": "is no name for a file",
    "records.db": "is where tendwork keeps the records",
    "sheet_link.txt": "is where tendwork keeps the records",
}


def test_a_sheet_file_that_cannot_be_is_told_in_a_sentence(fronts: Fronts) -> None:
    (fronts.orchard / "notes.txt").write_text("my notes\n")
    (fronts.orchard / "pages").mkdir()
    (fronts.orchard / "sheet_link.txt").symlink_to(fronts.orchard / "records.db")
    before = content_of(fronts.orchard)
    for name, said in SHEET_FILES.items():
        told = fronts.try_on("sheet_file", name)
        assert re.search(said, told), told
    assert content_of(fronts.orchard) == before


def test_a_sheet_file_lies_in_the_orchard_folder_and_is_written_over_day_by_day(fronts: Fronts) -> None:
    fronts.bench._folder.site = msgspec.structs.replace(fronts.bench.site, remind=Remind(sheet_file="sheet.txt"))
    for _ in range(2):
        delivery = sheet_delivery(fronts.bench, ON)
        assert delivery is not None
        assert "written to" in delivery().lower()
    assert (fronts.orchard / "sheet.txt").read_text() == "The sheet\n\nWritten by tendwork.\n"


def test_the_settings_are_not_written_into_what_an_orchard_keeps(orchard_path: Path) -> None:
    fill(orchard_path, settings_file())
    before = content_of(orchard_path)
    for name in ("adjustments.toml", "site.toml", "templates/own.toml"):
        with pytest.raises(PersonError, match="TENDWORK_SETTINGS can name another file"):
            keep_colours(orchard_path / name, "orchard night")
    assert content_of(orchard_path) == before


def test_drafts_of_killed_writers_go_and_what_is_like_them_stays(tmp_path: Path) -> None:
    dead, another_s, young = (
        tmp_path / name for name in (".week.html.abcd_123.draft", ".letter.draft", ".week.html.zzzzzzzz.draft")
    )
    for file in (dead, another_s, young):
        file.write_bytes(b"half")
    for file in (dead, another_s):
        os.utime(file, (0, 0))
    write_outward(tmp_path / "orchard", tmp_path / "week.html", b"page", b"mark")
    assert sorted(entry.name for entry in tmp_path.iterdir()) == [another_s.name, young.name, "week.html"]

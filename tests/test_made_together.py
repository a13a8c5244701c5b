"""Two processes that make the same at once: one of them does, and nothing of it is taken away by the other."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.fields import KINDS
from tendwork.folder.files import write_whole
from tendwork.folder.orchard_folder import OrchardFolder

ROUNDS = 25

# Each makes what it is told to for each line that it reads, and says what came of it.
_GIVER = """
import sys
from pathlib import Path
from tendwork.errors import PersonError
from tendwork.folder.csv_files import give
from tendwork.folder.orchard_folder import OrchardFolder
folder = OrchardFolder.open(Path(sys.argv[1]))
folder.records.read()
print("ready", flush=True)
for line in sys.stdin:
    try:
        give(folder.records.read(), Path(line.strip()), folder.path)
        print("done", flush=True)
    except PersonError as error:
        print(f"refused: {error}", flush=True)
"""
_BEGINNER = """
import sys
from pathlib import Path
from tendwork.errors import PersonError
from tendwork.folder.orchard_folder import OrchardFolder
import tendwork.folder.records_db, tendwork.folder.site_text
print("ready", flush=True)
for line in sys.stdin:
    try:
        OrchardFolder.begin(Path(line.strip()), name=sys.argv[1], timezone="UTC", latitude=1.0, longitude=1.0).close()
        print("done", flush=True)
    except PersonError as error:
        print(f"refused: {error}", flush=True)
"""


class Pair:
    """Two processes of the same code, which are told to begin at the same moment."""

    def __init__(self, code: str, *arguments: str) -> None:
        self.processes = [
            subprocess.Popen(
                [sys.executable, "-c", code, argument], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
            )
            for argument in arguments
        ]
        assert self._said() == ["ready", "ready"]

    def do(self, line: str) -> list[str]:
        for process in self.processes:
            assert process.stdin is not None
            process.stdin.write(f"{line}\n")
            process.stdin.flush()
        return self._said()

    def _said(self) -> list[str]:
        return [process.stdout.readline().strip() for process in self.processes if process.stdout is not None]

    def end(self) -> None:
        for process in self.processes:
            process.communicate(timeout=60)


def test_of_two_who_give_into_one_folder_who_is_done_has_all_files(orchard_path: Path, tmp_path: Path) -> None:
    pair = Pair(_GIVER, str(orchard_path), str(orchard_path))
    for number in range(ROUNDS):
        target = tmp_path / f"out{number}"
        said = pair.do(str(target))
        assert said.count("done") == 1, said
        assert sum(".csv: " in words for words in said) == 1, said
        assert sorted(file.name for file in target.iterdir()) == sorted(f"{kind}.csv" for kind in KINDS)
        assert (target / "trees.csv").read_text().count("\n") == 3
    pair.end()


def test_of_two_who_begin_in_one_place_one_has_the_orchard(tmp_path: Path) -> None:
    pair = Pair(_BEGINNER, "one hill", "other hill")
    for number in range(ROUNDS):
        target = tmp_path / f"orchard{number}"
        said = pair.do(str(target))
        assert said.count("done") == 1, said
        opened = OrchardFolder.open(target)
        assert opened.site.name == ("one hill", "other hill")[said.index("done")]
        assert opened.records.read().trees == ()
        opened.close()
        assert {"temperatures", "templates"} <= {entry.name for entry in target.iterdir()}
    pair.end()


def test_who_cannot_finish_takes_away_only_what_it_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def another_came_first(path: Path, *_: object, **__: object) -> None:
        (path.parent / "notes.txt").write_text("another's")
        raise PersonError(f"{path}: no space left on device")

    monkeypatch.setattr("tendwork.folder.records_db.create_records", another_came_first)
    with pytest.raises(PersonError, match="no space left"):
        OrchardFolder.begin(tmp_path / "hill", name="x", timezone="UTC", latitude=1.0, longitude=1.0)
    assert [entry.name for entry in (tmp_path / "hill").iterdir()] == ["notes.txt"]


@pytest.fixture(params=["hard links", "no hard links"])
def file(tmp_path: Path, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A place for a new file, on a file system of either kind."""

    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    if request.param == "no hard links":
        monkeypatch.setattr("os.link", no_links)
    return tmp_path / "trees.csv"


def test_a_new_file_is_whole_and_nothing_is_left_beside_it(file: Path) -> None:
    write_whole(file, b"ours", new=True)
    assert [(entry.name, entry.read_bytes()) for entry in file.parent.iterdir()] == [("trees.csv", b"ours")]


def test_a_new_file_is_never_written_over_one_that_came_meanwhile(file: Path) -> None:
    with pytest.raises(PersonError, match=r"trees\.csv: stands there already"):
        write_whole(file, b"ours", lambda: file.write_text("another's"), new=True)
    assert [(entry.name, entry.read_text()) for entry in file.parent.iterdir()] == [("trees.csv", "another's")]


def test_a_new_file_that_cannot_be_finished_leaves_nothing(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_room(*_: object) -> None:
        raise OSError(28, "No space left on device")

    for step in ("tendwork.folder.drafts.on_disk", "os.replace"):
        with monkeypatch.context() as full:
            full.setattr(step, no_room)
            full.setattr("os.link", no_room)
            with pytest.raises(PersonError, match="no space left"):
                write_whole(file, b"ours", new=True)
        assert [*file.parent.iterdir()] == []

"""What the commands print: on every terminal, into a full disk or to nobody, without a traceback or a false word."""

from __future__ import annotations

import ast
import io
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import pytest
from bench_acts import tick_job

import tendwork
from tendwork.cli import cli
from tendwork.cli.printing import Printed
from tendwork.cli.session import _escaped
from tendwork.view import symbols
from tendwork.view.stand_ins import NO_STAND_IN, stand_in
from tendwork.workbench.bench import Workbench

TODAY = date(2026, 5, 8)
ON = ("--on", TODAY.isoformat())
TAKE = "check-take/t1/2026"
NAMES = 'id,name,species,place\nt3,"Äpfel “Großer” № ½ 名 🍎",apple,ŁódŹ → hill\nt4,"a\u202eb\u200bc\u2066",pear,\n'

READING: tuple[tuple[str, ...], ...] = (
    ("week",), ("season",), ("stages",), ("trees",), ("wood",), ("check",), ("fruit",), ("rates",), ("wraps",),
    ("ask",), ("leave-out",), ("keys",), ("why", TAKE), ("temps", "show"), ("sheet",), ("sheet", "--cards"),
    ("labels",), ("adjust",), ("propose",), ("report",),
    ("watch", "--log"), ("restore", "--list"), ("bring", "{}/sighted.csv", "--as", "sightings", "--dry-run"),
    ("adjust", "check-take", "--later", "3", "--preview"), ("--help",), ("tick", "--help"), ("--version",),
)  # fmt: skip
JSON = (
    ("week",), ("season",), ("stages",), ("trees",), ("wood",), ("check",), ("fruit",), ("rates",), ("wraps",),
    ("ask",), ("leave-out",), ("keys",), ("why", TAKE), ("temps", "show"), ("adjust",),
    ("adjust", "check-take", "--later", "3"), ("propose",), ("report",),
)  # fmt: skip
ACTS: tuple[tuple[str, ...], ...] = (
    ("tick", TAKE, "g2", "--outcome", "took"), ("untick", TAKE), ("put-off", TAKE, "2026-05-09"),
    ("saw", "apple", "petal fall", "--sure"), ("spray", "t1", "Wash"), ("trouble", "t1", "gum"), ("undo",),
    ("bring", "{}/sighted.csv", "--as", "sightings"), ("adjust", "check-take", "--later", "3", "--yes"),
    ("adjust", "check-take", "--later", "3", "--yes", "--json"), ("temps", "add", "{}/days.csv"),
    ("leave-out", "suckers"), ("leave-out", "suckers", "--json"), ("take-in", "spring-bud"),
    ("restore", "{}/copy.db"),
    ("give", "{}/given"), ("calendar", "{}/jobs.ics"), ("sheet", "--html", "{}/sheet.html"),
    ("sheet", "--cards", "--html", "{}/cards.html"), ("labels", "--html", "{}/labels.html"),
    ("report", "--html", "{}/report.html"), ("begin", "{}/other", "--name", "Other"),
)  # fmt: skip
WRONG = (
    ("week", "--on", "8.5.2026"), ("nonsense",), ("tick", "no-such/t1/2026"), ("saw", "aple", "green tip"),
    ("bring", "{}/nowhere.csv", "--as", "trees"), ("temps",), ("tick",), ("why", TAKE, "--units"), ("report", "2099"),
)  # fmt: skip
WITHOUT_A_DAY = ("--help", "--version", "keys", "watch", "begin", "temps")
ENCODINGS = ("ascii:strict", "latin-1:strict", "cp1252:strict", "cp437:strict")


class Ground:
    """An orchard with names that few terminals have; every command on a copy of it."""

    def __init__(self, folder: Path, orchard: Path) -> None:
        self.folder, self.orchard, self._copies = folder, orchard, 0
        bench = Workbench.open(orchard)
        (folder / "names.csv").write_text(NAMES, encoding="utf-8")
        bench.records.bring(folder / "names.csv", "trees", TODAY)
        bench.close()
        (folder / "sighted.csv").write_text("date,species,stage\n2026-04-02,apple,green tip\n")
        (folder / "days.csv").write_text("date,tmin_c,tmax_c\n2026-04-01,1,9\n2026-04-02,2,11\n")

    def tick(self) -> None:
        """Tick one graft, so that there is something to take back, and make a copy of the records."""
        bench = Workbench.open(self.orchard)
        tick_job(bench, TAKE, ("g1",), TODAY, "took")
        bench.records.back_up()
        bench.close()
        shutil.copy(next((self.orchard / "backups").glob("records-*.db")), self.folder / "copy.db")

    def run(
        self, words: tuple[str, ...], out: str = "pipe", err: str = "pipe", encoding: str = "utf-8", **environment: str
    ) -> tuple[subprocess.CompletedProcess[bytes], Path]:
        """Run a command on a new copy: how it ended, and the folder in which its files stand."""
        self._copies += 1
        place = self.folder / f"copy{self._copies}"
        place.mkdir()
        shutil.copytree(self.orchard, place / "orchard")
        for name in ("sighted.csv", "days.csv", "copy.db"):
            if (self.folder / name).exists():
                shutil.copy(self.folder / name, place / name)
        said = [word.replace("{}", str(place)) for word in words]
        on = () if words[0] in WITHOUT_A_DAY else ON
        command = [sys.executable, "-m", "tendwork", "--orchard", str(place / "orchard"), *on, *said]
        shut = f"{'>&-' if out == 'shut' else ''} {'2>&-' if err == 'shut' else ''}"
        if shut.strip():
            command = ["sh", "-c", f'exec "$@" {shut}', "sh", *command]
        with _stream(out) as stdout, _stream(err) as stderr:
            done = subprocess.run(
                command, stdin=subprocess.DEVNULL, stdout=stdout, stderr=stderr, timeout=120, check=False,
                env={**os.environ, "PYTHONIOENCODING": encoding, **environment},
            )  # fmt: skip
        return done, place

    def holds(self, place: Path) -> dict[str, bytes]:
        """What stands in a place, but for what is kept to be quick and what is noted when records are opened."""
        found = {}
        for path in sorted(place.rglob("*")):
            if path.is_file() and not path.name.startswith((".", "records.db")) and "cache" not in path.parts:
                found[str(path.relative_to(place))] = path.read_bytes()
        bench = Workbench.open(place / "orchard")
        found["records"] = repr(bench.records.read()).encode()
        bench.close()
        return found


@contextmanager
def _stream(kind: str) -> Iterator[int]:
    """A stream to give to a process: a pipe that is read, a full disk, or a pipe whose reader went away."""
    if kind in ("pipe", "shut"):
        yield subprocess.PIPE
        return
    if kind == "full":
        descriptor = os.open("/dev/full", os.O_WRONLY)
    else:
        reader, descriptor = os.pipe()
        os.close(reader)
    try:
        yield descriptor
    finally:
        os.close(descriptor)


@pytest.fixture(scope="module")
def ground(shared_orchard_path: Path) -> Ground:
    return Ground(shared_orchard_path.parent, shared_orchard_path)


@pytest.fixture(scope="module")
def ticked_ground(tmp_path_factory: pytest.TempPathFactory, ground: Ground) -> Ground:
    """The same with something to take back and a copy to restore."""
    folder = tmp_path_factory.mktemp("ticked")
    shutil.copytree(ground.orchard, folder / "orchard")
    ticked = Ground(folder, folder / "orchard")
    ticked.tick()
    return ticked


def inert(done: subprocess.CompletedProcess[bytes]) -> None:
    for said in (done.stdout or b"", done.stderr or b""):
        assert b"Traceback" not in said, said
        assert b"Exception ignored" not in said, said


posix_only = pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full device here")


def test_every_command_stands_in_the_tables_of_this_file() -> None:
    known = {words[0] for words in (*READING, *ACTS)}
    assert set(cli.commands) <= known


@pytest.mark.parametrize("encoding", ["ascii:strict", "cp1252:strict"])
def test_a_terminal_without_the_characters_gets_stand_ins(ground: Ground, encoding: str) -> None:
    done, _ = ground.run(("trees",), encoding=encoding)
    inert(done)
    assert done.returncode == 0
    said = done.stdout.decode(encoding.split(":")[0])
    assert 'Apfel "Grosser" No 1/2 ? ? (t3)' in said if "ascii" in encoding else "Äpfel “Großer” No ½ ? ? (t3)" in said
    assert ("LodZ -> hill" if "ascii" in encoding else "LódZ -> hill") in said


def test_an_error_has_stand_ins_too(ground: Ground) -> None:
    done, _ = ground.run(("saw", "Äpfel → \x1b[2J", "green tip"), encoding="ascii:strict")
    assert done.returncode == 1
    assert done.stderr.decode("ascii").startswith('tendwork: "Apfel -> ^[[2J" is not a species of this program.')


def test_json_is_the_same_where_the_terminal_has_only_ascii_and_nothing_in_it_acts(ground: Ground) -> None:
    done, _ = ground.run(("trees", "--json"), encoding="ascii:strict")
    there, _ = ground.run(("trees", "--json"))
    trees = json.loads(done.stdout.decode("ascii"))
    assert trees == json.loads(there.stdout)
    assert trees["trees"][2]["name"] == "Äpfel “Großer” № ½ 名 🍎"
    assert trees["trees"][3]["name"] == "a\u202eb\u200bc\u2066"
    said = there.stdout.decode()
    assert r"a\u202eb\u200bc\u2066" in said
    assert "Äpfel" in said
    assert all(character == "\n" or character.isprintable() for character in said)


@posix_only
def test_an_act_that_cannot_be_told_of_is_recorded_and_says_so_where_it_can(ground: Ground) -> None:
    done, place = ground.run(("trouble", "t1", "gum"), out="full")
    assert done.returncode == 0
    assert done.stderr.decode().startswith(
        "tendwork: Recorded, but it could not be printed (No space left on device): Old apple (t1): gum seen"
    )
    assert b"what='gum'" in ground.holds(place)["records"]
    done, place = ground.run(("trouble", "t1", "gum"), out="gone", err="full")
    assert done.returncode == 0
    assert b"what='gum'" in ground.holds(place)["records"]


@posix_only
@pytest.mark.parametrize(
    ("out", "told"),
    [
        ("full", "tendwork: The output could not be written (No space left on device).\n"),
        ("shut", "tendwork: The output could not be written (it is closed).\n"),
        ("gone", ""),
    ],
)
def test_what_only_reads_fails_where_its_output_does_and_a_reader_that_went_away_is_not_told_of(
    ground: Ground, out: str, told: str
) -> None:
    done, _ = ground.run(("trees",), out=out)
    assert (done.returncode, done.stderr.decode()) == (1, told)


def test_wrong_usage_quotes_nothing_that_acts_and_nothing_endless(ground: Ground) -> None:
    done, _ = ground.run(("week", "\x1b[31m\u202e\nError: all is lost", *["x" * 200] * 500))
    said = done.stderr.decode()
    assert done.returncode == 2
    assert len(said) < 1000
    assert said.endswith("x)\n")
    assert "␛[31m? Error: all is lost" in said
    assert said.isprintable() is False
    assert all(line.isprintable() for line in said.splitlines())


@pytest.mark.skipif(os.name == "nt", reason="arguments are text there")
@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (
            ("trouble", "t1", "gum\udcff"),
            1,
            "That text holds characters that are no text at all.",
        ),
        (("no\udcff",), 2, r"No such command 'no\udcff'."),
        (
            ("begin", "{}/new", "--name", "a\udcff"),
            1,
            'key "name": holds characters that are no text at all. Type',
        ),
    ],
)
def test_arguments_of_bytes_that_are_no_text_are_refused_in_a_sentence(
    ground: Ground, words: tuple[str, ...], code: int, told: str
) -> None:
    done, _ = ground.run(words)
    inert(done)
    assert done.returncode == code
    assert told in done.stderr.decode()


@pytest.mark.skipif(sys.platform != "linux", reason="other systems refuse such a name")
def test_files_whose_names_are_no_text_are_brought_in(ground: Ground) -> None:
    odd = ground.folder / "sight\udcff.csv"
    shutil.copy(ground.folder / "sighted.csv", odd)
    done, _ = ground.run(("bring", str(odd), "--as", "sightings"))
    inert(done)
    assert done.stdout.decode() == "Brought 1 new, 0 changed and 0 unchanged sightings from sight?.csv.\n"


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="other systems refuse such a name")
def test_a_folder_whose_name_is_no_text_is_planned_from(ground: Ground) -> None:
    odd_place = ground.folder / "orchard\udcff"
    shutil.copytree(ground.orchard, odd_place)
    done, _ = ground.run(("week", "--orchard", str(odd_place)))
    assert (done.returncode, done.stderr) == (0, b"")


# What stands in


def test_every_character_that_the_program_writes_has_a_stand_in() -> None:
    missing = {}
    for package in ("view", "planning", "orchard", "almanac", "outputs", "cli"):
        for path in (Path(tendwork.__file__).parent / package).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Constant) and isinstance(node.value, str):
                    lacking = {character for character in node.value if stand_in(character) == NO_STAND_IN} - {"?"}
                    missing |= dict.fromkeys(lacking, path.name)
    bounds = set("\u1160\u11ff\U0010ffff")  # compared with, never shown
    assert set(missing) - bounds == set()


@pytest.mark.parametrize(
    "marks", [symbols.TASK_MARKS, symbols.STAGE_MARKS, symbols.STRIP_MARKS, symbols.COURSE_MARKS, symbols.DAY_MARKS]
)
def test_marks_that_differ_within_one_picture_have_stand_ins_that_differ(marks: dict[str, symbols.Mark]) -> None:
    shown = {mark.symbol for mark in marks.values()}
    assert len({stand_in(symbol) for symbol in shown}) == len(shown)
    assert all(len(stand_in(symbol)) == 1 for symbol in shown)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("naïve Žižka", "naive Zizka"), ("e\u0301té", "ete"), ("9 °C", "9 degC"),
        ("1–5 – “a” ‘b’…", "1-5 - \"a\" 'b'..."),
        ("a\u00a0b", "a b"), ("名", "?"), ("␛[2J␡", "^[[2J^?"), ("Ｆｕｌｌ", "Full"), ("ﷺ", "?" * 18), ("\udcff", "?"),
    ],
)  # fmt: skip
def test_a_letter_is_shown_without_its_accent_and_a_sign_as_what_it_means(text: str, shown: str) -> None:
    bytes_written = io.BytesIO()
    stream = io.TextIOWrapper(bytes_written, encoding="ascii", errors="strict")
    out = Printed(stream, is_for_errors=False)
    out.write(text)
    out.flush()
    assert out.failure is None
    said = bytes_written.getvalue().decode("ascii")
    assert said == shown or (len(said) == len(shown) and NO_STAND_IN in shown)


def test_what_is_printed_keeps_its_lines_and_tabs_and_nothing_else_that_acts() -> None:
    written = io.StringIO()
    out = Printed(written, is_for_errors=False)
    out.write("a\tb\x1b[2J\r\n\u202ec\n")
    assert written.getvalue() == "a\tb␛[2J \n?c\n"


@pytest.mark.parametrize("encoding", ["utf-8", "ascii", "cp1252"])
def test_escaped_json_reads_as_the_same_text(encoding: str) -> None:
    text = "\x7f\u0085é…名🍎\u200d\u2028\u2066\ufeff\U000e0001\u3164 plain"
    shown = _escaped(json.dumps(text, ensure_ascii=False), encoding)
    assert json.loads(shown) == text
    shown.encode(encoding)
    assert shown.isprintable()


# All of it


def _counted(tell: Callable[[str], None], what: str, count: int) -> None:
    tell(f"{what}: {count} runs\n")


@pytest.mark.slow
def test_every_command_in_every_encoding(ticked_ground: Ground, capsys: pytest.CaptureFixture[str]) -> None:
    runs = 0
    for encoding in ENCODINGS:
        for words in (*READING, *ACTS, *WRONG, *((*words, "--json") for words in JSON)):
            done, _ = ticked_ground.run(words, encoding=encoding)
            inert(done)
            name = encoding.split(":")[0]
            out, err = done.stdout.decode(name), done.stderr.decode(name)
            assert done.returncode == (0 if words not in WRONG else done.returncode or 1), (words, err)
            assert not any(character in out + err for character in "\x1b\u202e\u2066")
            if "--json" in words:
                json.loads(out)
            runs += 1
    done, _ = ticked_ground.run(("season",), encoding="", LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
    assert (done.returncode, done.stdout.isascii()) == (0, True)
    with capsys.disabled():
        _counted(print, "encodings", runs + 1)


@pytest.mark.slow
@posix_only
def test_every_reading_command_to_every_stream_that_fails(
    ticked_ground: Ground, capsys: pytest.CaptureFixture[str]
) -> None:
    runs = 0
    for out, err in (("full", "pipe"), ("shut", "pipe"), ("gone", "pipe"), ("full", "full"), ("shut", "shut")):
        for words in (*READING, *((*words, "--json") for words in JSON[:-1])):
            done, _ = ticked_ground.run(words, out, err)
            inert(done)
            assert done.returncode == 1, (words, out, done.stderr)
            if err == "pipe":
                lines = done.stderr.decode().splitlines()
                assert len(lines) == (0 if out == "gone" else 1), (words, lines)
            runs += 1
    with capsys.disabled():
        _counted(print, "reading commands", runs)


@pytest.mark.slow
@posix_only
def test_every_act_to_every_stream_that_fails_is_done_and_ends_well(
    ticked_ground: Ground, capsys: pytest.CaptureFixture[str]
) -> None:
    runs = 0
    _, place = ticked_ground.run(("--version",))
    before = ticked_ground.holds(place)
    for out, err in (
        ("full", "pipe"), ("shut", "pipe"), ("gone", "pipe"), ("full", "full"), ("shut", "shut"), ("gone", "gone"),
    ):  # fmt: skip
        for words in ACTS:
            done, place = ticked_ground.run(words, out, err)
            inert(done)
            assert done.returncode == 0, (words, out, done.stderr)
            assert words[0] == "restore" or ticked_ground.holds(place) != before, words
            if err == "pipe":
                (said,) = done.stderr.decode().splitlines()
                assert ", but it could not be printed (" in said, (words, said)
            runs += 1
    with capsys.disabled():
        _counted(print, "acts", runs)

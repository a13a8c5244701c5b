"""Any words after `tendwork` give an answer or a sentence: exit 0, 1 or 2, no traceback, nothing raw."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from random import Random

import click
import pytest
from click.testing import CliRunner
from fuzz_corpus import RECORDS_OF, WEATHER
from fuzz_ground import FuzzGround, assert_inert
from fuzz_run import Report, run
from mutator import mutated
from nasty_values import EVERYTHING, FORMULAS, NUMBERS, TEXTS
from test_fuzzed_files import SEED

from tendwork.cli import cli
from tendwork.errors import PersonError

APART = ("watch", "keys", "fetch")  # they wait for ever, or speak of the person's own settings or of the network
CASES, FEW, IN_PROCESSES = 1_000, 8, 40
LIKELY = (
    "check-take/t1/2026", "check-take/t1/2026", "g1", "g3", "t1", "w1", "apple", "pear", "green tip", "full bloom",
    "took",
    "failed", "done", "2026-05-06", "2026-02-03", "2027-01-01", "check-take", "5", "1.5", "0", "none",
)  # fmt: skip


def commands(group: click.Command, words: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Every command of the real tree with the words that call it."""
    if not isinstance(group, click.Group):
        yield words, group
        return
    for name in group.list_commands(click.Context(group)):
        if name not in APART:
            found = group.get_command(click.Context(group), name)
            assert found is not None
            yield from commands(found, (*words, name))


COMMANDS = tuple(commands(cli))


def words_of(chance: Random, place: Path) -> list[str]:
    """A command with some of its options and arguments, and now and then one that it does not have."""
    path, command = chance.choice(COMMANDS)
    words = ["--on", _day(chance)] if chance.random() < 0.6 else []
    words += path
    for parameter in command.params:
        if isinstance(parameter, click.Argument):
            words += [_value(parameter, chance, place) for _ in range(chance.choice((0, 1, 1, 1, 1, 2)))]
        elif chance.random() < 0.25 and parameter.name != "orchard":
            words.append(chance.choice(parameter.opts))
            if not getattr(parameter, "is_flag", False):
                words.append(_value(parameter, chance, place))
    if chance.random() < 0.05:
        words.insert(chance.randrange(len(words) + 1), _without_nul(chance.choice(EVERYTHING)))
    return words


def _day(chance: Random) -> str:
    likely = ("2026-05-06", "2026-02-03", "2027-01-01", "1900-01-01", "2199-12-31", "2024-02-29")
    return chance.choice(likely) if chance.random() < 0.9 else _without_nul(chance.choice(EVERYTHING))


def _value(parameter: click.Parameter, chance: Random, place: Path) -> str:
    if isinstance(parameter.type, click.Path):
        return _path(chance, place)
    if isinstance(parameter.type, click.Choice) and chance.random() < 0.9:
        return str(chance.choice(parameter.type.choices))
    if isinstance(parameter.type, click.types.IntParamType | click.types.FloatParamType) and chance.random() < 0.8:
        return chance.choice(NUMBERS)
    return chance.choice(LIKELY) if chance.random() < 0.6 else _without_nul(chance.choice(EVERYTHING))


def _path(chance: Random, place: Path) -> str:
    """A file or folder in the place of the fuzz, never one beyond it: some commands write."""
    name = _without_nul(chance.choice(TEXTS + FORMULAS)).replace("/", "_").replace("..", "_")
    content = chance.choice((*WEATHER, *(text for texts in RECORDS_OF.values() for text in texts)))
    if chance.random() < 0.5:
        (place / "in.csv").write_bytes(mutated(content, (content,), chance) if chance.random() < 0.5 else content)
        return str(place / "in.csv")
    return str(place / chance.choice((name, name, f"out-{chance.randrange(10**9)}", "orchard", "")))


def _without_nul(text: str) -> str:
    """No argument of a process can hold a NUL, nor half a surrogate pair."""
    return text.replace("\0", "").encode("utf-8", "replace").decode()


def judge(code: int, output: str, words: list[str]) -> bool:
    """No fault in what a command printed. What click says of words that it does not know quotes the person alone."""
    assert code in (0, 1, 2), f"exit {code} of {words}"
    assert "Traceback" not in output, output
    if code != 2:
        assert_inert(output.replace("\t", " ") if "labels" in words else output)
    return code == 0


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> FuzzGround:
    return FuzzGround(tmp_path_factory.mktemp("fuzzed-commands"))


def fuzzed(ground: FuzzGround, cases: int) -> Report:
    runner = CliRunner()

    def case(chance: Random) -> bool:
        words = words_of(chance, ground.place)
        done = runner.invoke(cli, ["--orchard", str(ground.path), *words])
        if done.exception is not None and not isinstance(done.exception, SystemExit | PersonError):
            raise AssertionError(words) from done.exception
        said = str(done.exception) if isinstance(done.exception, PersonError) else ""
        return judge(1 if said else done.exit_code, done.output + said, words)

    return run("command line", SEED, cases, case)


def test_a_few_command_lines_give_an_answer_or_a_sentence(ground: FuzzGround, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ground.place)
    report = fuzzed(ground, FEW)
    assert not report.faults, report.words()


@pytest.mark.fuzz
def test_thousands_of_command_lines_give_an_answer_or_a_sentence(
    ground: FuzzGround, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ground.place)
    report = fuzzed(ground, CASES)
    print("\n" + report.line(), flush=True)
    assert not report.faults, report.words()


@pytest.mark.fuzz
def test_command_lines_in_processes_of_their_own_end_with_0_1_or_2(ground: FuzzGround) -> None:
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2]), "PYTHONIOENCODING": "utf-8"}

    def case(chance: Random) -> bool:
        words = words_of(chance, ground.place)
        command = [sys.executable, "-m", "tendwork", "--orchard", str(ground.path), *words]
        done = subprocess.run(
            command, capture_output=True, stdin=subprocess.DEVNULL, env=environment, cwd=ground.place, timeout=60
        )
        return judge(done.returncode, (done.stdout + done.stderr).decode(), words)

    report = run("command line in processes", SEED, IN_PROCESSES, case)
    print("\n" + report.line(), flush=True)
    assert not report.faults, report.words()

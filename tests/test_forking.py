"""The commands that tests fork say, leave and end with what `python -m tendwork` in a process of its own does."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from forking import Commands, run_alone

ON = ("--on", "2026-05-08")


@pytest.mark.parametrize(
    "words",
    [
        (*ON, "week"),
        (*ON, "season", "--json"),
        (*ON, "tick", "check-take/t1/2026", "g1", "--outcome", "took"),
        (*ON, "tick", "check-take/t1/2026", "g9"),
        ("week", "--on", "31.12.2026"),
        ("bring", "trees.csv", "--as", "trees"),
        ("--help",),
        ("nothing-of-the-kind",),
    ],
    ids=" ".join,
)
def test_a_forked_command_does_what_one_in_its_own_process_does(
    orchard_path: Path, commands: Commands, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = orchard_path.with_name("before")
    shutil.copytree(orchard_path, before)
    seen = []
    for run in (commands.run, run_alone):
        (orchard_path / "trees.csv").write_text("id,name,species\nt3,Young plum,plum\n")
        monkeypatch.chdir(orchard_path)
        monkeypatch.setenv("TENDWORK_ORCHARD", str(orchard_path))
        done = run(*words)
        trees = run("trees")
        seen.append((done.returncode, done.stdout, done.stderr, trees.stdout))
        shutil.rmtree(orchard_path)
        shutil.copytree(before, orchard_path)
    assert seen[0] == seen[1]
    assert seen[0][1] + seen[0][2]
    assert "Old apple" in seen[0][3]


def test_what_the_interpreter_reads_at_its_start_is_read(
    orchard_path: Path, commands: Commands, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PYTHONIOENCODING", "ascii")
    (orchard_path / "site.toml").write_text(
        (orchard_path / "site.toml").read_text().replace("Test hill", "Ærø"), encoding="utf-8"
    )
    assert "Æ" not in commands.run("--orchard", str(orchard_path), *ON, "week").stdout

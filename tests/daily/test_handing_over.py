"""A text handed to a person's command: no shell, a time limit, and nothing that can hold the program up."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

from tendwork.daily.deliveries import placed, write_file
from tendwork.daily.handing_over import hand_over
from tendwork.errors import PersonError

SHEET = "Bank [/x] Orchard: 楊梅\nsecond line\n"


def python(code: str, *words: str) -> tuple[str, ...]:
    return (sys.executable, "-c", code, *words)


def test_a_command_gets_the_text_as_utf_8_in_the_orchard_folder(tmp_path: Path) -> None:
    command = python("import sys; open('got.txt', 'wb').write(sys.stdin.buffer.read())")
    assert hand_over(command, SHEET, tmp_path).startswith("handed to python")
    assert (tmp_path / "got.txt").read_bytes() == SHEET.encode()


def test_no_shell_reads_what_stands_in_a_word(tmp_path: Path) -> None:
    command = python("import sys; open('words.txt', 'w').write(sys.argv[1])", "; touch made-by-a-shell; $HOME `id`")
    hand_over(command, SHEET, tmp_path)
    assert (tmp_path / "words.txt").read_text() == "; touch made-by-a-shell; $HOME `id`"
    assert not (tmp_path / "made-by-a-shell").exists()


def test_a_command_that_fails_is_told_with_its_status_and_what_it_said(tmp_path: Path) -> None:
    command = python("import sys; print('no such mailbox', file=sys.stderr); sys.exit(3)")
    with pytest.raises(PersonError, match=r"failed \(exit 3\): no such mailbox"):
        hand_over(command, SHEET, tmp_path)


@pytest.mark.parametrize("command", [("no-such-program",), ("",), ("a\0b",)])
def test_a_command_that_cannot_be_run_is_told_with_its_key(tmp_path: Path, command: tuple[str, ...]) -> None:
    with pytest.raises(PersonError, match=r'site\.toml, key "remind\.command": .* cannot be run'):
        hand_over(command, SHEET, tmp_path)


def test_a_command_that_does_not_end_is_ended(tmp_path: Path) -> None:
    begun = time.monotonic()
    with pytest.raises(PersonError, match=r"was not done within 0\.3 seconds and was ended"):
        hand_over(python("import time; time.sleep(30)"), SHEET, tmp_path, limit_s=0.3)
    assert time.monotonic() - begun < 25


def test_a_child_that_holds_the_output_open_is_ended_with_its_parent(tmp_path: Path) -> None:
    code = """
import subprocess, sys, time
subprocess.Popen([sys.executable, "-c", "import time; time.sleep(3); open('lived.txt', 'w')"])
time.sleep(30)
"""
    with pytest.raises(PersonError, match="was ended"):
        hand_over(python(code), SHEET, tmp_path, limit_s=1.0)
    time.sleep(3)
    assert not (tmp_path / "lived.txt").exists()


def test_a_command_that_leaves_a_child_behind_does_not_hold_us_up(tmp_path: Path) -> None:
    code = """
import subprocess, sys
wait = "import os, time\\nfor _ in range(1200): os.path.exists('let-go.txt') or time.sleep(0.1)"
subprocess.Popen([sys.executable, "-c", wait + "\\nopen('over.txt', 'w')"])
"""
    try:
        hand_over(python(code), SHEET, tmp_path)
        assert not (tmp_path / "over.txt").exists()
    finally:
        (tmp_path / "let-go.txt").touch()


def test_a_command_that_never_reads_a_long_text_is_no_trouble(tmp_path: Path) -> None:
    assert hand_over(python("pass"), SHEET * 100_000, tmp_path).startswith("handed to")


def test_only_the_beginning_of_what_a_command_says_is_kept(tmp_path: Path) -> None:
    with pytest.raises(PersonError) as told:
        hand_over(python("print('x' * 10**6); raise SystemExit(1)"), SHEET, tmp_path)
    assert len(str(told.value)) < 300


def test_a_file_is_written_whole(tmp_path: Path) -> None:
    file = tmp_path / "sheet.txt"
    for text in ("the one before", "new"):
        assert write_file(tmp_path / "orchard", file, text) == f"written to {file}."
    assert file.read_text() == "new\n\nWritten by tendwork.\n"


def test_a_file_of_the_person_s_own_is_left_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "sheet.txt"
    file.write_text("my own notes\n")
    with pytest.raises(PersonError, match=r"sheet\.txt: holds something that tendwork did not write.* name another"):
        write_file(tmp_path / "orchard", file, "new")
    assert file.read_text() == "my own notes\n"


def test_a_file_whose_folder_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(PersonError, match=r"cannot be written"):
        write_file(tmp_path / "orchard", tmp_path / "unplugged" / "sheet.txt", "new")


def test_a_file_lies_in_the_orchard_folder_unless_it_says_otherwise(tmp_path: Path) -> None:
    assert placed(tmp_path, "sheet.txt", "remind.sheet_file") == tmp_path / "sheet.txt"
    assert placed(tmp_path, "/srv/sheet.txt", "remind.sheet_file") == Path("/srv/sheet.txt")
    assert placed(tmp_path, "~/sheet.txt", "remind.sheet_file") == Path.home() / "sheet.txt"


def test_a_home_that_nobody_has_is_told_with_its_key(tmp_path: Path) -> None:
    with pytest.raises(PersonError, match=r'site\.toml, key "remind\.sheet_file": "~nobody-of-that-name/a\.txt" is in'):
        placed(tmp_path, "~nobody-of-that-name/a.txt", "remind.sheet_file")

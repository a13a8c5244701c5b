"""Where a module of Unix is not there, as on Windows, commands and watch work; text files say their encoding."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

PROBE = """
import os, signal, subprocess, sys  # subprocess tells Windows by msvcrt, which is made up below
for name in ("fcntl", "pwd", "grp", "termios", "tty", "pty", "resource", "readline"):
    sys.modules[name] = None
for name in ("getuid", "geteuid", "killpg", "setsid", "fork", "fchmod", "chown"):
    if hasattr(os, name):
        delattr(os, name)
del signal.SIGKILL, signal.SIGHUP
from types import SimpleNamespace
locks = []
sys.modules["msvcrt"] = SimpleNamespace(LK_NBLCK=2, locking=lambda *words: locks.append(words))
from tendwork.cli import cli
orchard, days = sys.argv[1:]
for words in (
    ["week", "--on", "2026-05-05"],
    ["check"],
    ["tick", "sharpen", "--on", "2026-05-05"],
    ["temps", "add", days, "--on", "2026-05-05"],
    ["sheet", "--on", "2026-05-05"],
    ["watch", "--once"],
):
    try:
        cli.main(["--orchard", orchard, *words], prog_name="tendwork")
    except SystemExit as done:
        print("ENDED", words[0], int(done.code or 0))
import tendwork.daily.handing_over, tendwork.workbench.demo, tendwork.daily.watching
print("LOCKS", {"of one byte" if count == 1 else "of all" for _, _, count in locks} - {"of one byte"} or "none")
"""


def test_commands_need_no_module_that_windows_lacks(orchard_path: Path, tmp_path: Path) -> None:
    days = tmp_path / "days.csv"
    days.write_text("date,tmin_c,tmax_c\n2026-05-01,4,15\n", encoding="utf-8")
    done = subprocess.run(
        [
            sys.executable,
            "-X",
            "warn_default_encoding",
            "-W",
            "error::EncodingWarning:tendwork",
            "-c",
            PROBE,
            str(orchard_path),
            str(days),
        ],
        capture_output=True,
        encoding="utf-8",
        timeout=60,
    )
    ended = [line for line in done.stdout.splitlines() if line.startswith(("ENDED", "LOCKS"))]
    assert done.returncode == 0, done.stderr
    assert ended == [
        "ENDED week 0",
        "ENDED check 0",
        "ENDED tick 0",
        "ENDED temps 0",
        "ENDED sheet 0",
        "ENDED watch 0",
        "LOCKS {'of all'}",
    ], done.stderr


def test_the_dashboard_s_own_modules_need_none_of_them_either() -> None:
    # Textual itself takes termios and tty where it finds itself on Unix.
    probe = """
import importlib, pkgutil, sys
for name in ("fcntl", "pwd", "grp", "pty", "resource"):
    sys.modules[name] = None
import tendwork.dashboard
for module in pkgutil.walk_packages(tendwork.dashboard.__path__, "tendwork.dashboard."):
    importlib.import_module(module.name)
"""
    done = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")

"""`tendwork week` where there is more to do than a person takes in at once, in a real folder. The jobs are invented."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]

TODAY = ("--on", "2026-05-05")
OWN = "".join(
    f"""
[[template]]
id = "post-{number:02d}"
title = "Paint post {number}"
part = "upkeep"
each = "site"
opens = {{ date = "05-01" }}
closes = {{ date = "05-{number + 8:02d}" }}
stake = "little"
"""
    for number in range(20)
)


@pytest.fixture(autouse=True)
def _long(orchard_path: Path) -> None:
    (orchard_path / "templates").mkdir(exist_ok=True)
    (orchard_path / "templates" / "own.toml").write_text(OWN)


def test_the_week_says_how_much_more_can_wait_and_with_all_lists_it(run: Run) -> None:
    short, whole = run("week", *TODAY).stdout, run("week", "--all", *TODAY).stdout
    listed = short.partition("By day")[0]
    assert "`tendwork week --all` lists them" in listed
    assert "post-19/site/2026" not in listed
    assert "`tendwork week --all`" not in whole
    assert all(f"post-{number:02d}/site/2026" in whole for number in range(20))


def test_json_has_all_of_it_either_way(run: Run) -> None:
    shapes = [json.loads(run("week", "--json", *more, *TODAY).stdout) for more in ((), ("--all",))]
    assert shapes[0] == shapes[1]
    assert {f"post-{number:02d}/site/2026" for number in range(20)} <= {task["key"] for task in shapes[0]["tasks"]}

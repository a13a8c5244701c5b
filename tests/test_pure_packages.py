"""The pure packages read no clock and open no file: what no import contract sees, for `datetime` itself has a clock."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import tendwork

PROGRAM = Path(tendwork.__file__).parent
PURE = ("almanac", "orchard", "outputs", "planning", "view", "errors.py", "plain_text.py", "species.py", "unwaited.py")
CLOCKS = {
    "datetime": {"today", "now", "utcnow"},
    "tendwork.site_clock": {"today"},
    "pendulum": {"today", "now", "tomorrow", "yesterday"},
    "time": {"time", "time_ns", "perf_counter", "perf_counter_ns", "monotonic", "monotonic_ns", "localtime", "gmtime"},
}
READS_A_FILE = {"open", "input"}


def clocks_read(text: str) -> list[str]:
    """What of `text` reads a clock or opens a file, called at once or handed on to be called: line and name."""
    tree = ast.parse(text)
    bound, reads = dict(_bound(tree)), []
    for node in ast.walk(tree):
        name = _dotted(node)
        if name is None:
            continue
        first, _, rest = name.partition(".")
        whole = f"{bound[first]}.{rest}".strip(".") if first in bound else name
        module = next((module for module in CLOCKS if whole.startswith(f"{module}.")), "")
        if (module and whole.rpartition(".")[2] in CLOCKS[module]) or name in READS_A_FILE - bound.keys():
            reads.append(f"{node.lineno}: {name}")  # type: ignore[attr-defined]
    return reads


def _bound(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Each name that an import gives, and what stands behind it."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for held in node.names:
                yield (held.asname, held.name) if held.asname else (held.name.partition(".")[0],) * 2
        elif isinstance(node, ast.ImportFrom):
            for held in node.names:
                yield held.asname or held.name, f"{node.module}.{held.name}"


def _dotted(node: ast.AST) -> str | None:
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute) and (before := _dotted(node.value)) is not None:
        return f"{before}.{node.attr}"
    return None


def test_no_pure_package_reads_a_clock_or_opens_a_file() -> None:
    files = [file for part in PURE for file in ([PROGRAM / part] if part.endswith(".py") else _files_of(part))]
    found = {str(file.relative_to(PROGRAM)): clocks_read(file.read_text(encoding="utf-8")) for file in files}
    assert {file: reads for file, reads in found.items() if reads} == {}


def _files_of(package: str) -> list[Path]:
    files = sorted((PROGRAM / package).rglob("*.py"))
    assert files, f"{package} has no file"
    return files


@pytest.mark.parametrize(
    "planted",
    [
        "from datetime import date\nday = date.today()",
        "from datetime import date as day_type\nday = day_type.today()",
        "from datetime import UTC, datetime\nmoment = datetime.now(UTC)",
        "import datetime\nmoment = datetime.datetime.utcnow()",
        "import datetime as dt\nday = dt.date.today",
        "from dataclasses import field\nfrom datetime import date\nday = field(default_factory=date.today)",
        "import time\nstart = time.perf_counter()",
        "from time import monotonic\nstart = monotonic()",
        "def f():\n    from tendwork.site_clock import today\n    return today('UTC')",
        "from tendwork import site_clock\nday = site_clock.today('UTC')",
        "import pendulum\nmoment = pendulum.now()",
        "text = open('site.toml').read()",
    ],
)
def test_a_clock_or_a_file_that_is_planted_is_seen(planted: str) -> None:
    assert clocks_read(planted)


@pytest.mark.parametrize(
    "innocent",
    [
        "from datetime import datetime, time\nnoon = datetime.combine(day, time(12))",
        "def f(today, now):\n    return today(now)",
        "self.today = today",
        "from tendwork import site_clock\nat = site_clock.moment(day, noon, 'UTC')",
        "window.open()",
    ],
)
def test_a_day_that_is_handed_in_is_no_clock(innocent: str) -> None:
    assert clocks_read(innocent) == []

"""The invented orchard that a played season stands in: five trees, a hundred grafts, thirty of them set this spring.

Everything is invented: the place, its smooth year, the trees, the varieties and their dates. Nothing is drawn by
chance. It is written as CSV and brought in by the commands, as a person would do it: what there is on 1 March, and each
grafting day's grafts on that day.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path

from click.testing import CliRunner
from hill import SITE
from msgspec import Struct
from msgspec.structs import replace

from tendwork.cli import cli

YEAR = 2026
BROUGHT_ON = date(YEAR, 3, 1)
HOURS = """
[hours]
monday = 0
tuesday = 0
wednesday = 0
thursday = 0
friday = 0
saturday = {saturday:g}
sunday = 0
"""
"""What a person with one free hour on Saturdays writes into site.toml."""

TREES = (
    ("t1", "Barn apple", "apple", "1958", "behind the barn", "6.0"),
    ("t2", "Well apple", "apple", "1964", "by the well", "5.5"),
    ("t3", "Gable pear", "pear", "2008", "south gable", "4.0"),
    ("t4", "Bank plum", "plum", "2014", "on the bank", "3.8"),
    ("t5", "Young cherry", "sweet cherry", "2023", "far corner", "2.6"),
)
WRAPS = ("electrical tape", "budding rubber", "film", "raffia", "PVC tape")
EARLY, MIDDLE, LATE = date(YEAR, 4, 4), date(YEAR, 4, 11), date(YEAR, 4, 25)
"""The grafting days: stone fruit by whip, then pome fruit by whip and cleft, then bark grafts once the bark slips."""
SET_THIS_SPRING = (
    ("t1", (("whip and tongue", 4, MIDDLE), ("cleft", 3, MIDDLE), ("bark", 3, LATE))),
    ("t2", (("whip and tongue", 3, MIDDLE), ("cleft", 3, MIDDLE), ("bark", 2, LATE))),
    ("t3", (("whip and tongue", 3, MIDDLE), ("cleft", 2, MIDDLE))),
    ("t4", (("whip and tongue", 2, EARLY), ("cleft", 2, EARLY))),
    ("t5", (("whip and tongue", 3, EARLY),)),
)
FAILS = ("n08", "n16", "n22", "n25", "n28")
"""Five of thirty fail: one of ten apples, the rest on pear, plum and cherry, which take worse (growingfruit.org 44659:
plum 60 to 70 %, apple and pear about 95 %)."""

_COLUMNS = ("id", "tree", "variety", "method", "wrap", "state", "set_on", "height_m", "verdict")


class PlayedGraft(Struct, frozen=True):
    """A graft as a row of the CSV. `set_on` of one that is to be set this spring is the day on which it will be."""

    id: str
    tree: str
    variety: str
    method: str
    wrap: str
    state: str
    set_on: date | None
    height_m: float
    verdict: str = ""


def new_grafts() -> tuple[PlayedGraft, ...]:
    """The thirty of this spring, as they stand once they are set."""
    rows: list[PlayedGraft] = []
    for tree, kinds in SET_THIS_SPRING:
        for method, count, day in kinds:
            for _ in range(count):
                number = len(rows) + 1
                rows.append(
                    PlayedGraft(
                        f"n{number:02}",
                        tree,
                        f"Newling {number}",
                        method,
                        WRAPS[(number - 1) % len(WRAPS)],
                        "set",
                        day,
                        1.6 + 0.1 * (number % 5),
                    )
                )
    return tuple(rows)


def grafting_days() -> tuple[date, ...]:
    """The days of this spring on which grafts are set."""
    return tuple(sorted({graft.set_on for graft in new_grafts() if graft.set_on is not None}))


def older_grafts() -> tuple[PlayedGraft, ...]:
    """Seventy: bearing ones with and without a verdict, last year's, failed ones, and places to bud this summer."""
    tree_ids = [tree[0] for tree in TREES]
    verdicts = ("keep", "on trial", "keep", "on trial", "", "keep", "cut", "on trial", "keep", "keep", "on trial")
    bearing = [
        PlayedGraft(
            f"b{number:02}",
            tree_ids[number % 4],
            f"Bearer {number}",
            ("cleft", "bark", "whip and tongue")[number % 3],
            ("raffia", "film", "PVC tape")[number % 3],
            "bearing",
            date(2012 + number % 11, 4, 12),
            1.8 + 0.1 * (number % 9),
            verdicts[number % len(verdicts)],
        )
        for number in range(1, 45)
    ]
    last_year = [
        PlayedGraft(
            f"y{number:02}",
            tree_ids[number % 3],
            f"Yearling {number}",
            ("cleft", "bark")[number % 2],
            "none",
            "took",
            date(YEAR - 1, 4, 20),
            1.8 + 0.1 * (number % 5),
            "on trial",
        )
        for number in range(1, 11)
    ]
    failed = [
        PlayedGraft(
            f"f{number:02}",
            tree_ids[number % 5],
            f"Lost {number}",
            "whip and tongue",
            "raffia",
            "failed",
            date(YEAR - 1 - number % 2, 4, 14),
            2.0,
        )
        for number in range(1, 9)
    ]
    to_bud = [
        PlayedGraft(
            f"p{number:02}",
            tree_ids[number % 4],
            f"Bud {number}",
            ("chip bud", "T-bud")[number % 2],
            "budding rubber",
            "planned",
            None,
            1.5,
        )
        for number in range(1, 9)
    ]
    return (*bearing, *last_year, *failed, *to_bud)


Command = Callable[..., str]
"""Runs `tendwork` on the orchard with these words and gives what it printed."""


def command_on(path: Path) -> Command:
    """Commands on the orchard at `path`. AssertionError, with what the command said, where it ends with a fault."""

    def command(*words: str) -> str:
        where = () if words[0] == "begin" else ("--orchard", str(path))
        result = CliRunner().invoke(cli, [*where, *words])
        assert result.exit_code == 0, (words, result.output, result.exception)
        return result.output

    return command


def begin_played_orchard(path: Path, command: Command, saturday_hours: float = 1.0) -> None:
    """Begin it at `path`, and bring in what there is on 1 March; this spring's grafts are planned."""
    command("begin", str(path), "--name", "Played (invented)", "--timezone", "Europe/London", "--latitude", "52.1",
            "--longitude", "-3")  # fmt: skip
    head, normals = SITE.split("\n[normals]")
    hours = HOURS.format(saturday=saturday_hours)
    (path / "site.toml").write_text(f"{head}\n{hours}\n[normals]{normals}", encoding="utf-8")
    trees = path.parent / "trees.csv"
    _write(trees, ("id", "name", "species", "planted", "place", "height_m"), TREES)
    command("bring", str(trees), "--as", "trees", "--on", BROUGHT_ON.isoformat())
    planned = [replace(graft, state="planned", set_on=None) for graft in new_grafts()]
    bring_grafts(path, command, (*older_grafts(), *planned), BROUGHT_ON)


def bring_grafts(path: Path, command: Command, grafts: Iterable[PlayedGraft], day: date) -> None:
    """Bring these rows in on a day; what is known by its id is changed."""
    file = path.parent / f"grafts-{day.isoformat()}.csv"
    _write(
        file,
        _COLUMNS,
        [tuple("" if (value := getattr(graft, name)) is None else str(value) for name in _COLUMNS) for graft in grafts],
    )
    command("bring", str(file), "--as", "grafts", "--on", day.isoformat())


def _write(file: Path, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    with file.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(columns)
        writer.writerows(rows)

"""Every act that writes, as the words of a command, with what it needs before and what it may change."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from worst_forking import Forker
from worst_orchard import COPY_NAME, DAY, copy_orchard, newest_copy

from tendwork.outputs.page import MARK

Words = list[str]
NOON = f"{DAY}T11:00:00+00:00"
DELIVERED = "delivered.txt"
ROWS = {
    "trees": ("id,name,species,height_m", "x{n}a,Tree {n}a,apple,1.5", "x{n}b,Tree {n}b,apple,1.5"),
    "grafts": (
        "id,tree,variety,method,wrap,state,set_on",
        "y{n}a,t1,Kind {n}a,cleft,raffia,planned,",
        "y{n}b,t2,Kind {n}b,cleft,raffia,planned,",
        "g3,t1,Kind {n}c,cleft,budding rubber,planned,",
    ),
    "wood": ("id,variety,species,sticks", "z{n}a,Kind {n},apple,3", "z{n}b,Other {n},apple,4"),
    "sightings": (
        "date,species,stage,note",
        "2026-03-20,apple,silver tip,brought",
        "2026-03-28,apple,green tip,brought",
    ),
    "tastings": (
        "date,graft,ripe,score,use,note",
        "2026-05-01,g1,ripe,4,fresh,n{n}",
        "2026-05-02,g2,ripe,3,fresh,n{n}",
    ),
    "ticks": (
        "date,task,unit,outcome,note",
        "2026-05-09,suckers/t1/2026,t1,done,n{n}",
        "2026-05-09,suckers/t2/2026,t2,done,n{n}",
    ),
    "lives": ("graft,variety,set_on,ended_on,note", "g3,Kind {n},{y}-04-01,{y}-09-01,n{n}"),
    "troubles": ("date,tree,trouble,note", "2026-05-02,t1,word {n},", "2026-05-02,t2,word {n},"),
    "sprays": ("date,tree,product,note", "2026-01-02,t1,soap {n},", "2026-01-02,t2,soap {n},"),
    "varieties": ("species,variety,keeps", "apple,Kind {n},Mar", "pear,Kind {n},Dec"),
}
DAYS_FILE = "date,tmin_c,tmax_c\n" + "".join(f"2026-0{month}-{day:02},{day % 7},{day % 7 + 8.5}\n"
                                         for month in (4, 5) for day in range(1, 26))  # fmt: skip


@dataclass
class World:
    """A folder for the orchard, one for what is written outside it, and the process that runs commands."""

    path: Path
    forker: Forker
    name: str = "orchard"
    serial: int = 0

    @property
    def orchard(self) -> Path:
        return self.path / self.name

    @property
    def outside(self) -> Path:
        return self.path / "outside"

    @property
    def where(self) -> Words:
        return ["--orchard", str(self.orchard), "--on", DAY.isoformat()]

    def reset(self, base: Path) -> None:
        copy_orchard(base, self.orchard)
        shutil.rmtree(self.outside, ignore_errors=True)
        self.outside.mkdir()

    def twin(self) -> World:
        """The same, to see what an act makes of it."""
        other = World(self.path / "twin", self.forker, self.name, self.serial)
        copy_orchard(self.orchard, other.orchard)
        shutil.rmtree(other.outside, ignore_errors=True)
        shutil.copytree(self.outside, other.outside)
        return other

    def do(self, *words: str, **how: bool) -> None:
        """A command that must work; one that ends `abrupt` leaves the log of the records beside them."""
        ran = self.forker.run(*self.where, *words, **how)
        assert ran.status == 0, (words, ran)


@dataclass
class Act:
    """One way to write. `said` is the beginning of the line that acknowledges it, where not any line does.

    `pieces`: several files, each whole as it was or as it will be; else all is as before or all as after.
    """

    name: str
    words: Callable[[World], Words]
    before: Callable[[World], None] = lambda _: None
    outputs: Callable[[World], list[Path]] = lambda _: []
    said: str = ""
    base: str = "records"
    pieces: bool = False
    moves_buds: bool = False
    kind: str = "act"


def _file(world: World, name: str, text: str) -> str:
    """A file that lies in both worlds' outside, whose name is the same in what is said of it."""
    (world.outside / name).write_text(text)
    return str(world.outside / name)


def rows_of(kind: str, serial: int) -> str:
    """A CSV file of a kind with a serial number in what makes its rows new."""
    return "\n".join(ROWS[kind]).format(n=serial, y=1930 + serial % 89) + "\n"


def _bring(kind: str) -> Act:
    def words(world: World) -> Words:
        return ["bring", _file(world, f"{kind}.csv", rows_of(kind, world.serial)), "--as", kind]

    return Act(f"bring {kind}", words, said="Brought", moves_buds=kind == "sightings")


def _newest_copy(world: World) -> str:
    return str(newest_copy(world.orchard))


def _two_acts_more(world: World) -> None:
    world.do("trouble", "t1", "t2", f"word {world.serial}")
    world.do("spray", "t1", f"soap {world.serial}", "--on", "2026-01-03", abrupt=True)


def _damaged(world: World) -> None:
    """The records end in the midst, and their beginning is gone."""
    _two_acts_more(world)
    content = (world.orchard / "records.db").read_bytes()
    (world.orchard / "records.db").write_bytes(b"\0" * 200 + content[200:9000])
    for end in ("-wal", "-shm"):
        (world.orchard / f"records.db{end}").unlink(missing_ok=True)


def _missing(world: World) -> None:
    for end in ("", "-wal", "-shm"):
        (world.orchard / f"records.db{end}").unlink(missing_ok=True)


def _with_one_set_aside(world: World) -> None:
    _two_acts_more(world)
    world.do("restore", _newest_copy(world))
    world.do("trouble", "t1", f"later {world.serial}", abrupt=True)


def _left_out(world: World, *words: str) -> None:
    """Nothing of the job but what is named is left out."""
    world.do("adjust", "suckers", "--reset", "--yes")
    if words:
        world.do("leave-out", *words)


def _set_aside(world: World) -> Words:
    copies = [file for file in (world.orchard / "backups").rglob("*.db") if file.parent.name != "backups"]
    copies = copies or [file for file in world.orchard.rglob("*.db") if "aside" in str(file)]
    return ["restore", str(max(copies, key=lambda file: file.stat().st_mtime_ns))]


def _with_a_free_place(world: World) -> None:
    """A place in a crown that is free, and wood that is wished for."""
    rows = f"id,tree,variety,state,set_on,facing\nx{world.serial},t1,Gone,removed,2020-04-01,90\n"
    world.do("bring", _file(world, "free.csv", rows), "--as", "grafts")
    wished = f"species,variety\napple,Wished {world.serial}\n"
    world.do("bring", _file(world, "wished.csv", wished), "--as", "varieties")


def _some_page(world: World, name: str) -> None:
    """An older page under the name that is written to, half of the time."""
    if world.serial % 2:
        (world.outside / name).write_text(f"<html>{MARK}an older page")


def _calendar_before(world: World) -> None:
    if world.serial % 2:
        world.do("calendar", str(world.outside / "jobs.ics"))
        world.do("put-off", "take-guards-off/t1/2026", "2026-05-12")


def _watched(world: World) -> None:
    deliver = f"cat > /dev/null; echo came >> {DELIVERED}"
    with (world.orchard / "site.toml").open("a") as site:
        site.write(f'\n[remind]\nat = "06:30"\ncommand = ["/bin/sh", "-c", "{deliver}"]\n')
        site.write('sheet_file = "sheet.txt"\ncalendar_file = "jobs.ics"\n')


def _begin_words(world: World) -> Words:
    place = world.path / "begun" / f"hill {world.serial}"
    return [
        "begin",
        str(place),
        "--name",
        "Hill",
        "--timezone",
        "Europe/London",
        "--latitude",
        "52",
        "--longitude",
        "-3",
    ]


CHECK_TAKE = "check-take/t1/2026"
TICK_TWO: Words = ["tick", CHECK_TAKE, "--outcome", "took", "--note", "both"]


def _is_ticked(world: World) -> bool:
    ran = world.forker.run(*world.where, "why", CHECK_TAKE, "--json")
    assert ran.status == 0, ran
    return '"outcome": "took"' in ran.out


def _ticked(world: World) -> None:
    if not _is_ticked(world):
        world.do(*TICK_TWO)


def _unticked(world: World) -> None:
    if _is_ticked(world):
        world.do("untick", CHECK_TAKE)


def _trouble(world: World) -> Words:
    return ["trouble", "t1", "t2", f"word {world.serial}", "--on", "2026-05-01"]


ACTS: tuple[Act, ...] = (
    Act("tick", lambda _: TICK_TWO, _unticked),
    Act("untick", lambda _: ["untick", CHECK_TAKE], _ticked),
    Act("saw", lambda _: ["saw", "apple", "silver tip", "--note", "seen", "--sure"], moves_buds=True),
    Act("trouble", _trouble),
    Act("trouble --wrong", lambda world: [*_trouble(world), "--wrong"], lambda world: world.do(*_trouble(world))),
    Act("spray", lambda world: ["spray", "t1", "t2", f"soap {world.serial}", "--on", "2026-01-02"]),
    Act("put-off", lambda world: ["put-off", "take-guards-off/t2/2026", f"2026-05-{12 + world.serial % 2}"]),
    Act("propose --accept", lambda _: ["propose", "--accept"], _with_a_free_place),
    Act("undo", lambda _: ["undo"], lambda world: world.do("trouble", "t1", "t2", f"word {world.serial}"),
        said="Undone"),
    *(_bring(kind) for kind in ROWS),
    Act("restore a named copy", lambda world: ["restore", _newest_copy(world)], _two_acts_more, kind="restore"),
    Act("restore after damage", lambda _: ["restore"], _damaged, kind="restore"),
    Act("restore where none are", lambda _: ["restore"], _missing, kind="restore"),
    Act("restore what was set aside", _set_aside, _with_one_set_aside, kind="restore"),
    Act("adjust", lambda world: ["adjust", "suckers", "--later", str(1 + world.serial % 5), "--yes"],
        said="Written to"),
    Act("adjust the site", lambda world: ["adjust", "--behind", str(1 + world.serial % 2), "--yes"], said="Written to",
        moves_buds=True),
    Act("adjust --reset", lambda _: ["adjust", "suckers", "--reset", "--yes"],
        lambda world: world.do("adjust", "suckers", "--later", "3", "--yes"), said="Written to"),
    Act("leave-out", lambda world: ["leave-out", "suckers", "--tree", f"t{1 + world.serial % 2}"],
        lambda world: _left_out(world), said="Left out for"),
    Act("take-in", lambda _: ["take-in", "suckers"], lambda world: _left_out(world, "suckers", "--season"),
        said="Taken in again"),
    Act("temps add", lambda world: ["temps", "add", _file(world, "days.csv", DAYS_FILE)], pieces=True, moves_buds=True),
    Act("temps fetch", lambda _: ["temps", "fetch"], base="fetch", pieces=True, moves_buds=True),
    Act("begin", _begin_words, kind="begin", said=""),
    Act("sheet --html", lambda world: ["sheet", "--html", str(world.outside / "sheet.html")],
        lambda world: _some_page(world, "sheet.html"), lambda world: [world.outside / "sheet.html"]),
    Act("sheet --cards --html", lambda world: ["sheet", "--cards", "--html", str(world.outside / "cards.html")],
        lambda world: _some_page(world, "cards.html"), lambda world: [world.outside / "cards.html"]),
    Act("labels --html", lambda world: ["labels", "--html", str(world.outside / "labels.html")],
        lambda world: _some_page(world, "labels.html"), lambda world: [world.outside / "labels.html"]),
    Act("calendar", lambda world: ["calendar", str(world.outside / "jobs.ics")], _calendar_before,
        lambda world: [world.outside / "jobs.ics"]),
    Act("give", lambda world: ["give", str(world.outside / f"given{world.serial}")], pieces=True,
        outputs=lambda world: [world.outside / f"given{world.serial}" / f"{kind}.csv" for kind in ROWS]),
    Act("week", lambda _: ["week"], lambda world: shutil.rmtree(world.orchard / "cache", ignore_errors=True)),
    Act("watch", lambda world: ["@look", str(world.orchard), NOON], _watched, kind="watch"),
    Act("six in one process", lambda _: [], kind="six"),
)  # fmt: skip


def vary_copies(world: World, chance: random.Random) -> None:
    """Take away all copies, or today's, or none: the first act of a day makes one."""
    which = chance.random()
    backups = world.orchard / "backups"
    if which < 0.3:
        shutil.rmtree(backups, ignore_errors=True)
    elif which < 0.75:
        for copy in set(backups.glob("records-*.db")) - set(backups.glob(COPY_NAME.format("*"))):
            copy.unlink()

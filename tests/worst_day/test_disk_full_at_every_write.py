"""Every command on a disk that is full: with no room, with a little more, until there is enough."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from worst_acts import ACTS, CHECK_TAKE, Act, World
from worst_disk import FailingDisk, fill_up
from worst_forking import Forker

READS = (
    ("week",), ("week", "--json"), ("season",), ("stages",), ("why", CHECK_TAKE), ("trees",), ("wood",), ("fruit",),
    ("rates",), ("propose",), ("report",), ("wraps",), ("check",), ("temps", "show"), ("restore", "--list"), ("sheet",),
    ("sheet", "--cards"), ("labels",), ("adjust",), ("keys",),
)  # fmt: skip
FEW_READS = (("week",), ("why", CHECK_TAKE), ("trees",), ("check",))
FEW = ("tick", "restore a named copy", "sheet --html")
WRITING = tuple(act for act in ACTS if act.kind != "six" and act.name != "week")


def named(*names: str) -> tuple[Act, ...]:
    return tuple(act for act in ACTS if act.name in names)


def warm_for(act: Act, forker: Forker, base: Path, place: Path) -> None:
    """Have the almanac made that stands behind what the act makes of the orchard."""
    if act.moves_buds:
        world = World(place, forker)
        world.reset(base)
        forker.warm([*world.where, *act.words(world)], [*world.where, "week"])
        shutil.rmtree(place)


def test_an_act_without_room_says_so_and_is_done_when_there_is_room(
    forker: Forker, records_base: Path, small_disk: Path
) -> None:
    disk = FailingDisk({"records": records_base}, forker, small_disk)
    for act in named(*FEW):
        disk.fill_for(act, 80 * 1024)
    assert disk.wrong == []
    assert all(count.refused and count.done for count in disk.counts.values())


@pytest.mark.slow
def test_every_act_without_room_for_each_of_its_writes_says_so_and_is_done_when_there_is_room(
    forker: Forker, records_base: Path, fetch_base: Path, small_disk: Path, tmp_path: Path
) -> None:
    bases = {"records": records_base, "fetch": fetch_base}
    disk = FailingDisk(bases, forker, small_disk)
    for act in WRITING:
        warm_for(act, forker, bases[act.base], tmp_path / "warm")
        disk.fill_for(act)
    print(f"\n{disk.table()}\n")
    assert disk.wrong == []
    assert sum(count.refused for count in disk.counts.values()) > 500


def test_an_act_whose_writing_calls_fail_in_turn_says_so_or_is_done(
    forker: Forker, records_base: Path, quick_place: Path
) -> None:
    disk = FailingDisk({"records": records_base}, forker, quick_place)
    for act in named(*FEW, "adjust"):
        disk.fail_each_call(act, "ENOSPC", stays=False, every=6)
    assert disk.wrong == []
    assert sum(count.refused for count in disk.counts.values()) > 0


@pytest.mark.slow
@pytest.mark.parametrize("stays", [False, True])
@pytest.mark.parametrize("code", ["ENOSPC", "EIO"])
def test_every_act_whose_writing_calls_fail_in_turn_says_so_or_is_done(
    forker: Forker, records_base: Path, fetch_base: Path, quick_place: Path, code: str, stays: bool
) -> None:
    bases = {"records": records_base, "fetch": fetch_base}
    disk = FailingDisk(bases, forker, quick_place)
    for act in WRITING:
        warm_for(act, forker, bases[act.base], quick_place / "warm")
        disk.fail_each_call(act, code, stays)
    print(f"\n{code}{' for good' if stays else ' once'}\n{disk.table()}\n")
    assert disk.wrong == []
    assert sum(count.refused for count in disk.counts.values()) > 100


@pytest.fixture
def small_world(forker: Forker, records_base: Path, small_disk: Path) -> World:
    world = World(small_disk, forker)
    world.reset(records_base)
    return world


def read_without_room(world: World, reads: tuple[tuple[str, ...], ...], is_kept: bool, is_old: bool) -> list[object]:
    """What prints otherwise, or not at all, where no byte can be written; with a plan kept, or with none."""
    wrong: list[object] = []
    for at, words in enumerate(reads):
        shutil.rmtree(world.orchard / "cache", ignore_errors=True)
        if is_kept:
            world.do("week")
        if is_old:
            world.do("trouble", "t1", f"word {at}")
        roomy = world.twin()
        wanted = roomy.forker.run(*roomy.where, *words)
        shutil.rmtree(roomy.path)
        ballast = fill_up(world.path, 0)
        full = world.forker.run(*world.where, *words)
        ballast.unlink()
        said = full.out.replace(str(world.path), "")
        if wanted.status or (full.status, said) != (0, wanted.out.replace(str(roomy.path), "")):
            wrong.append((words, full.status, full.err[-300:], "printed otherwise" if full.out else "nothing printed"))
    return wrong


def test_what_reads_prints_the_same_on_a_full_disk(small_world: World) -> None:
    assert read_without_room(small_world, FEW_READS, is_kept=False, is_old=False) == []


@pytest.mark.slow
@pytest.mark.parametrize(("is_kept", "is_old"), [(False, False), (True, False), (True, True)])
def test_all_that_reads_prints_the_same_on_a_full_disk(small_world: World, is_kept: bool, is_old: bool) -> None:
    wrong = read_without_room(small_world, READS, is_kept, is_old)
    for line in wrong:
        print(line)
    assert wrong == []


@pytest.fixture(params=["a file", "a folder that can only be read"])
def world_without_cache(
    request: pytest.FixtureRequest, forker: Forker, records_base: Path, tmp_path: Path
) -> Iterator[World]:
    """An orchard in whose cache nothing can be kept."""
    world = World(tmp_path, forker)
    world.reset(records_base)
    cache = world.orchard / "cache"
    shutil.rmtree(cache, ignore_errors=True)
    if request.param == "a file":
        cache.write_text("no folder")
        yield world
        return
    cache.mkdir()
    try:
        made = subprocess.run(["mount", "-t", "tmpfs", "-o", "ro", "tmpfs", str(cache)], capture_output=True)
    except OSError:
        pytest.skip("mount is not to be had here")
    if made.returncode:
        pytest.skip("no file system can be mounted here")
    yield world
    subprocess.run(["umount", "-l", str(cache)], check=True)


def test_what_reads_and_what_acts_need_no_cache(world_without_cache: World) -> None:
    world = world_without_cache
    words_that_act = (("tick", CHECK_TAKE, "--outcome", "took"), ("undo",))
    wrong = []
    for words in (*FEW_READS, *words_that_act):
        ran = world.forker.run(*world.where, *words)
        if ran.status or ran.err or not ran.out:
            wrong.append((words, ran))
    assert wrong == []

"""The forking driver for the worst day: a kill costs milliseconds.

A child can be killed after a time, killed before its n-th step towards the disk, or have its n-th call that writes
fail.
"""

from __future__ import annotations

import builtins
import errno
import gc
import io
import os
import signal
import sqlite3
import sys
import time
import traceback
from collections.abc import Callable
from datetime import date, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from forked_driver import import_everything, read_templates_once, run_command, serve, stand_at

_WRITING_SQL = ("BEGIN", "INSERT", "UPDATE", "DELETE", "COMMIT", "CREATE", "ALTER", "PRAGMA JOURNAL", "PRAGMA USER")
_WRITING_FLAGS = os.O_WRONLY | os.O_RDWR | os.O_CREAT
_MOVES = {"os.rename", "os.remove", "os.mkdir", "os.chmod", "os.truncate", "os.link", "os.rmdir", "sqlite3.connect"}


def make_almanacs_once() -> None:
    """Let almanacs be kept over the forks: they follow from their inputs alone."""
    from tendwork.workbench.plan_inputs import place_of, seen_of
    from tendwork.workbench.plan_making import AlmanacCache, CachedAlmanac

    made: dict[object, CachedAlmanac] = {}
    shelve = AlmanacCache.cached

    def cached(self: AlmanacCache, records: Any, shift: Any, today: Any) -> CachedAlmanac:
        files = sorted((self._folder.path / "temperatures").glob("*.csv"))
        held = sha256(b"".join(file.name.encode() + file.read_bytes() for file in files)).hexdigest()
        key = (today, place_of(self._folder.site, shift), seen_of(records), held)
        if key not in made:
            made[key] = shelve(self, records, shift, today)
        return made[key]

    AlmanacCache.cached = cached  # type: ignore[method-assign]


class Steps:
    """Counts a child's steps towards the disk: files opened for writing, moved, removed, forced to the disk, and SQL
    that writes. Before the n-th one the child kills itself."""

    def __init__(self, die_at: int | None) -> None:
        self.count = 0
        self._die_at = die_at
        sync = os.fsync

        def counted_sync(fd: Any) -> None:
            self.step()
            sync(fd)

        connect = sqlite3.connect

        def listened_to(*args: Any, **named: Any) -> sqlite3.Connection:
            connection: sqlite3.Connection = connect(*args, **named)
            connection.set_trace_callback(self._statement)
            return connection

        os.fsync = counted_sync
        sqlite3.connect = listened_to  # type: ignore[assignment]
        sys.addaudithook(self._heard)

    def step(self) -> None:
        self.count += 1
        if self.count == self._die_at:
            os.kill(os.getpid(), signal.SIGKILL)

    def _heard(self, event: str, details: tuple[Any, ...]) -> None:
        if event == "open":
            if isinstance(details[2], int) and details[2] & _WRITING_FLAGS:
                self.step()
        elif event in _MOVES:
            self.step()

    def _statement(self, sql: str) -> None:
        if sql.lstrip().upper().startswith(_WRITING_SQL):
            self.step()


class FailingCalls:
    """Lets the n-th call that writes fail, and all that follow where the disk `stays` so."""

    def __init__(self, at: int, code: str, stays: bool) -> None:
        self.count = 0
        self._at, self._code, self._stays = at, getattr(errno, code), stays
        for name in ("write", "fsync", "replace", "rename", "mkdir", "link", "sendfile", "ftruncate"):
            setattr(os, name, self._failing(getattr(os, name)))
        self._os_open, self._io_open = os.open, io.open
        os.open = self._open_handle
        io.open = builtins.open = self._open_file

    def call(self) -> None:
        self.count += 1
        if self.count == self._at or (self._stays and self.count > self._at):
            raise OSError(self._code, os.strerror(self._code))

    def _failing(self, real: Callable[..., Any]) -> Callable[..., Any]:
        def called(*args: Any, **named: Any) -> Any:
            self.call()
            return real(*args, **named)

        return called

    def _open_handle(self, path: Any, flags: int, mode: int = 0o777, **named: Any) -> int:
        if flags & _WRITING_FLAGS:
            self.call()
        return self._os_open(path, flags, mode, **named)

    def _open_file(self, file: Any, mode: str = "r", *args: Any, **named: Any) -> Any:
        if not set(mode) & set("wax+"):
            return self._io_open(file, mode, *args, **named)
        self.call()
        return _WatchedFile(self._io_open(file, mode, *args, **named), self)


class _WatchedFile:
    """An open file whose writes are counted, and fail when their turn comes."""

    def __init__(self, stream: Any, calls: FailingCalls) -> None:
        self._stream, self._calls = stream, calls

    def write(self, content: Any) -> int:
        self._calls.call()
        return int(self._stream.write(content))

    def __enter__(self) -> _WatchedFile:
        return self

    def __exit__(self, *_: object) -> None:
        self._stream.close()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def run_words(words: list[str]) -> int:
    """Run a command as `python -m tendwork` does, or what only these tests do, and give its exit status."""
    if words[0] == "@look":
        return look(Path(words[1]), datetime.fromisoformat(words[2]))
    if words[0] == "@ticks":
        return tick_for(Path(words[1]), float(words[2]), words[3] == "open")
    return run_command(words)


def look(path: Path, now: datetime) -> int:
    """One look of a watch at a moment that the test gives."""
    from tendwork.daily.jobs import DailyJobs
    from tendwork.daily.watch_lock import only_one
    from tendwork.errors import PersonError

    try:
        with only_one(path):
            for entry in DailyJobs(path, lambda: now).look():
                print(entry.job, entry.words, flush=True)
    except PersonError as error:
        print(f"tendwork: {error}", file=sys.stderr)
        return 1
    except BaseException:
        traceback.print_exc()
        return 1
    return 0


def tick_for(path: Path, seconds: float, stays_open: bool) -> int:
    """Tick one job again and again. Of each acknowledged tick: its note, and when it was begun."""
    from tendwork.errors import PersonError
    from tendwork.workbench.bench import Workbench
    from tendwork.workbench.records_room import JobTick

    job, day = "suckers/t1/2026", date(2026, 5, 10)
    bench, number = Workbench.open(path), 0
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        begun = time.monotonic()
        number += 1
        try:
            bench.records.tick((JobTick(job, note=f"tick {number}"),), day)
            print(f"done {begun} tick {number}", flush=True)
            bench.records.untick(job, (), day)  # what was ticked stays on record, and the job is to do again
            if stays_open:
                continue
        except PersonError as error:
            print(f"refused {begun} {error}", flush=True)
            time.sleep(0.005)
        bench.close()
        try:
            bench = Workbench.open(path)
        except PersonError as error:
            print(f"refused {begun} {error}", flush=True)
    return 0


def child(job: dict[str, Any]) -> None:
    """Run one job to its end, in a process of its own."""
    for handle, name in ((1, "out"), (2, "err")):
        stand_at(handle, job[name], os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    sys.stdout = io.TextIOWrapper(io.FileIO(1, "w", closefd=False), encoding="utf-8", write_through=True)
    sys.stderr = io.TextIOWrapper(io.FileIO(2, "w", closefd=False), encoding="utf-8", write_through=True)
    os.environ.update(job.get("environment", {}))
    counting = io.open(job["out"] + ".steps", "w")  # noqa: SIM115, UP020 - opened before calls may fail
    counter: Any = None
    if "fail_at" in job:
        counter = FailingCalls(job["fail_at"], job["code"], job.get("stays", False))
    elif job.get("steps"):
        counter = Steps(job.get("die_at"))
    results = []
    time.sleep(job.get("wait_s", 0))
    for at, words in enumerate(job["commands"]):
        if len(job["commands"]) > 1:
            print(f"@@ {at}", flush=True)
            print(f"@@ {at}", file=sys.stderr, flush=True)
        results.append(run_words(words))
        if len(job["commands"]) > 1:
            print(f"@@ ended {results[-1]}", flush=True)
    if not job.get("abrupt"):
        gc.collect()  # as the end of a process would, it lets go of the records, and their log goes
    counting.write(f"{0 if counter is None else counter.count} {time.monotonic()}")
    counting.flush()
    os._exit(results[-1])


if __name__ == "__main__":
    import_everything()
    read_templates_once()
    make_almanacs_once()
    serve(child, run_words)

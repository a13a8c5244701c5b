"""A process that has imported tendwork once and forks a child for each command, so that a command costs no start.

It reads one request a line and answers each with one line, both JSON. A child runs its command as `python -m tendwork`
does, with the streams, the folder and the environment that its job names. What is pure (the shipped templates, an
almanac) is made once. Posix only.
"""

from __future__ import annotations

import atexit
import gc
import io
import json
import os
import pickle
import signal
import sys
import time
import traceback
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tendwork.almanac.almanac import Almanac

_LONGEST_S = 120.0


def read_templates_once() -> None:
    """Let the shipped templates be kept over the forks."""
    import tendwork.folder.check
    import tendwork.folder.templates
    import tendwork.workbench.csv_bringing
    import tendwork.workbench.folder_check

    read = tendwork.folder.templates.check_templates
    shipped: list[Any] = []

    def check_templates(own: Path | None, where: Path | None = None) -> Any:
        if where is not None or (own is not None and any(own.glob("*.toml"))):
            return read(own, where)
        if not shipped:
            shipped.append(read(own))
        return shipped[0]

    for module in (
        tendwork.workbench.csv_bringing,
        tendwork.workbench.folder_check,
        tendwork.folder.check,
        tendwork.folder.templates,
    ):
        module.check_templates = check_templates  # type: ignore[attr-defined]


class KeptAlmanacs:
    """Almanacs in a folder, so that what one child made is there for all that come after it."""

    def __init__(self, folder: Path) -> None:
        from tendwork.workbench import plan_making

        self._folder, self._real = folder, plan_making.Almanac
        self._used: dict[Path, Almanac] = {}
        plan_making.Almanac = self.almanac  # type: ignore[misc, assignment]

    def almanac(self, *inputs: Any) -> Almanac:
        """An almanac follows from its inputs alone."""
        file = self._folder / sha256(pickle.dumps(inputs)).hexdigest()
        if file not in self._used:
            kept = file.exists()
            self._used[file] = pickle.loads(file.read_bytes()) if kept else self._real(*inputs)
        return self._used[file]

    def keep(self) -> None:
        """Keep what was worked out here and is not kept yet."""
        for file, almanac in self._used.items():
            content = pickle.dumps(almanac)
            if not file.exists() or file.stat().st_size < len(content):
                draft = file.with_suffix(f".{os.getpid()}")
                draft.write_bytes(content)
                draft.replace(file)


def import_everything() -> None:
    """All that a command would import, so that no child has to."""
    from importlib import import_module

    for name in ("act", "adjust", "keys", "note", "outputs", "read", "records", "temps", "watch"):
        import_module(f"tendwork.cli.{name}")
    for package, names in (
        ("workbench", "adjusting bench csv_bringing entries exports folder_check plan_making records_copies"),
        ("workbench", "records_room temperature_fetching"),
        ("daily", "jobs deliveries"),
        ("folder", "transactions restoring"),
        ("outputs", "calendar sheet_page"),
    ):
        for name in names.split():
            import_module(f"tendwork.{package}.{name}")
    for name in (
        "apscheduler.triggers.cron",
        "httpx",
        "icalendar",
        "jinja2",
        "pendulum",
        "sqlite3",
        "tomli_w",
        "tempfile",
        "zoneinfo",
    ):
        import_module(name)


def run_command(words: list[str]) -> int:
    """Run a command as `python -m tendwork` does, and give its exit status."""
    from tendwork.cli import main

    sys.argv = ["tendwork", *words]
    return status_of(main)


def status_of(work: Callable[[], object]) -> int:
    """Do the work as the interpreter does the main file, and give the exit status that the process would have."""
    try:
        work()
    except SystemExit as end:
        if isinstance(end.code, str):
            print(end.code, file=sys.stderr)
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    except BaseException:
        traceback.print_exc()
        return 1
    return 0


def stand_at(number: int, file: str, flags: int) -> None:
    """Open a file in the place of a standard stream."""
    handle = os.open(file, flags, 0o600)
    os.dup2(handle, number)
    os.close(handle)


class Child:
    """Runs one job to its end, in a process of its own."""

    def __init__(self, almanacs: KeptAlmanacs) -> None:
        self._almanacs = almanacs

    def __call__(self, job: dict[str, Any]) -> None:
        stand_at(0, os.devnull, os.O_RDONLY)
        for number, name in ((1, "out"), (2, "err")):
            stand_at(number, job[name], os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.environ.clear()
        os.environ.update(job["environment"])
        time.tzset()
        os.chdir(job["cwd"])
        status = run_command(job["words"])
        atexit._run_exitfuncs()
        gc.collect()  # as the end of a process would, it lets go of the records, and their log goes
        sys.stdout.flush()
        sys.stderr.flush()
        self._almanacs.keep()
        os._exit(status)


def serve(run_child: Callable[[dict[str, Any]], None], run_here: Callable[[list[str]], int]) -> None:
    """Answer requests until there are no more."""
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    stand_at(1, os.devnull, os.O_WRONLY)
    requests = os.fdopen(os.dup(0), encoding="utf-8")
    gc.collect()
    gc.freeze()
    print(json.dumps("ready"), file=answers, flush=True)
    for line in requests:
        request = json.loads(line)
        if "warm" in request:
            said, sys.stdout = sys.stdout, io.StringIO()
            try:
                statuses = [run_here(words) for words in request["warm"]]
            finally:
                sys.stdout = said
            gc.collect()
            gc.freeze()  # no child has to look through what was made here
        else:
            statuses = forked(request["jobs"], run_child)
        print(json.dumps(statuses), file=answers, flush=True)


def forked(jobs: list[dict[str, Any]], run_child: Callable[[dict[str, Any]], None]) -> list[int]:
    """Run jobs side by side; the status of each, negative where a signal ended it."""
    began: dict[int, int] = {}
    deadline: dict[int, float] = {}
    for at, job in enumerate(jobs):
        sys.stdout.flush()
        number = os.fork()
        if number == 0:
            try:
                run_child(job)
            finally:
                os._exit(70)
        began[number] = at
        if job.get("kill_after_s") is not None:
            deadline[number] = time.monotonic() + job["kill_after_s"]
    statuses = [0] * len(jobs)
    end = time.monotonic() + _LONGEST_S
    nap_s = 0.0003 if deadline else 0.002
    while began:
        now = time.monotonic()
        for number in [*began]:
            ended, status = os.waitpid(number, os.WNOHANG)
            if ended:
                statuses[began.pop(number)] = os.waitstatus_to_exitcode(status)
            elif now >= deadline.get(number, end):
                os.kill(number, signal.SIGKILL)
        time.sleep(nap_s)
    return statuses


if __name__ == "__main__":
    import_everything()
    read_templates_once()
    serve(Child(KeptAlmanacs(Path(sys.argv[1]))), run_command)

"""Runs many cases of one target, each from its own seed and within its own time, and gathers what went wrong."""

from __future__ import annotations

import resource
import signal
import time
import traceback
from collections.abc import Callable
from random import Random

from msgspec import Struct

SECONDS_A_CASE = 10.0
SHOWN_FAULTS = 12


class TooSlow(BaseException):
    """A case that would have hung; no `except Exception` may swallow it."""


class Report(Struct):
    """What came of a target: cases, how many were taken, the slowest in processor seconds, faults by place."""

    name: str
    seed: int
    cases: int = 0
    taken: int = 0
    slowest_s: float = 0.0
    faults: dict[str, list[str]] = {}

    def line(self) -> str:
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        faults = sum(map(len, self.faults.values()))
        refused = self.cases - self.taken - faults
        return (
            f"{self.name}: seed {self.seed}, {self.cases} cases, {self.taken} taken, {refused} refused, "
            f"{faults} faults, slowest {self.slowest_s:.2f} s, peak {peak_mb:.0f} MB"
        )

    def words(self) -> str:
        shown = [
            f"{place} ({len(found)} times), first:\n{found[0]}"
            for place, found in list(self.faults.items())[:SHOWN_FAULTS]
        ]
        return "\n\n".join([self.line(), *shown])


def run(name: str, seed: int, cases: int, case: Callable[[Random], bool]) -> Report:
    """Run `case` so many times; case number n of a seed is always the same one."""
    report = Report(name, seed)
    before = signal.signal(signal.SIGPROF, _ring)
    try:
        for number in range(cases):
            began = time.process_time()
            signal.setitimer(signal.ITIMER_PROF, SECONDS_A_CASE)
            try:
                report.taken += case(Random(f"{name}/{seed}/{number}"))
            except (Exception, TooSlow) as error:
                signal.setitimer(signal.ITIMER_PROF, 0)
                report.faults.setdefault(_place(error), []).append(f"case {number}: {_words(error)}")
            finally:
                signal.setitimer(signal.ITIMER_PROF, 0)
            report.cases += 1
            report.slowest_s = max(report.slowest_s, time.process_time() - began)
    finally:
        signal.signal(signal.SIGPROF, before)
    return report


def _ring(*_: object) -> None:
    raise TooSlow


def _place(error: BaseException) -> str:
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if "/tendwork/" in frame.filename] or list(frames)
    return f"{type(error).__name__} in {own[-1].filename.rpartition('/tendwork/')[2]}:{own[-1].lineno}"


def _words(error: BaseException) -> str:
    return "".join(traceback.format_exception(error, limit=-8))[-2500:]

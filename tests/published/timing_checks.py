"""What it takes for a plan to meet a published timing statement.

A check answers with what it found: windows beside the published span, or the fault itself where no span is published.
A window meets a span where they share a day, and its advised day does where it lies in the span or no more than
NEAR_DAYS outside it. A window longer than LONGEST_DAYS meets nothing: a job that is always open says nothing about when
to do it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct
from timing_orchard import Year

from tendwork.planning.results import Window

COLD, MARITIME, CENTRAL, WARM = "cold continental", "maritime", "central European", "warm"
POME_WOOD, STONE_WOOD = "collect-wood-apple-pear", "collect-wood-stone"
BARK, WHIP, CLEFT = "bark-apple-pear", "whip-apple-pear", "cleft-apple-pear"
LONGEST_DAYS = 110
NEAR_DAYS = 10


class Met(Struct, frozen=True):
    """A window beside the days of a statement, the last of which is None where only "not before" is said.

    `advised` is whether the statement says something of the best day too, and not only of the window.
    """

    what: str
    window: Window
    first: date
    last: date | None
    advised: bool = True

    @property
    def days_off(self) -> int:
        """Days by which the advised day lies before (negative) or after the span; 0 within it."""
        if self.window.best < self.first:
            return (self.window.best - self.first).days
        return 0 if self.last is None else max((self.window.best - self.last).days, 0)

    @property
    def fault(self) -> str:
        """Why the window does not meet the span; nothing where it does."""
        return apart(self.what, self.window, self.first, self.last)


Check = Callable[[Year], Iterable[Met | str]]
"""What a check found: windows beside their spans, and faults in words, of which empty ones are none."""


class Statement(Struct, frozen=True):
    """One published statement in our words, its coded window, its source, and what it takes to meet it.

    Grade A: university, extension, government, journal, standard; B: learned society, nursery, trade press, old
    textbook; C: hobby page, which counts but is soft.
    """

    id: str
    grade: str
    words: str
    coded: str
    source: str
    checks: tuple[Check, ...]


def stated(name: str, words: str, coded: str, source: str, *checks: Check) -> Statement:
    """A statement by its id and grade in one word, "O01 B"."""
    identity, grade = name.split()
    return Statement(identity, grade, words, coded, source, checks)


def found(statement: Statement, year: Year) -> list[Met | str]:
    """What the checks of a statement found; a fault where the plan lacks what they look for."""
    try:
        return [finding for check in statement.checks for finding in check(year) if finding]
    except LookupError as missing:
        return [str(missing)]


def shortfall(statement: Statement, year: Year) -> str:
    """Why the plan's windows do not meet the statement; nothing where they do."""
    faults = (finding if isinstance(finding, str) else finding.fault for finding in found(statement, year))
    return "; ".join(filter(None, faults))


def advised_days_off(statement: Statement, year: Year) -> int | None:
    """By how many days the worst advised day lies outside its span; None where the statement says nothing of one."""
    days = [abs(finding.days_off) for finding in found(statement, year) if isinstance(finding, Met) and finding.advised]
    return max(days, default=None)


def overlaps(site: str, job: str, first: str, last: str, species: str = "apple", planted: int = 2005) -> Check:
    """The job's window and its advised day meet first..last."""

    def check(year: Year) -> Iterator[Met]:
        window = year.window(site, job, species, planted=planted)
        yield Met(f"{job} of {species}", window, year.day(first), year.day(last))

    return check


def a_round_in_each(site: str, job: str, *spans: tuple[str, str]) -> Check:
    """In each of the spans a round of the repeating job is open; the one that is advised nearest to it counts."""

    def check(year: Year) -> Iterator[Met]:
        rounds = year.rounds(site, job)
        for first, last in spans:
            each = [Met(job, window, year.day(first), year.day(last)) for window in rounds]
            yield min(each, key=lambda met: (bool(met.fault), abs(met.days_off)))

    return check


def kept_out_of(site: str, first: str, last: str, species: str, *jobs: str) -> Check:
    """No day of first..last lies in the jobs' windows, their last resort included."""

    def check(year: Year) -> Iterator[str]:
        for job in jobs:
            window = year.window(site, job, species)
            if window.lapses >= year.day(first) and window.opens <= year.day(last):
                yield f"{job} of {species} may fall from {window.opens} to {window.lapses}"

    return check


def interval(
    site: str,
    before: str,
    job: str,
    least_days: int,
    most_days: int,
    species: str = "apple",
    also: tuple[str, ...] = (),
) -> Check:
    """The job meets least..most days after the best day of the job before it.

    `also` is a span of days in which it must lie too.
    """

    def check(year: Year) -> Iterator[Met | str]:
        start = year.window(site, before, species).best
        window = year.window(site, job, species, done_on=start)
        first, last = start + timedelta(days=least_days), start + timedelta(days=most_days)
        if also:
            first, last = max(first, year.day(also[0])), min(last, year.day(also[1]))
        if first > last:
            yield f"{before} is best on {start}, too early or too late for {job} in {also[0]}..{also[1]}"
            return
        yield Met(f"{job} after {before} on {start}", window, first, last)

    return check


def says(job: str, words: str) -> Check:
    """The job's steps tell the person this: a length or a reason that no date can hold."""

    def check(year: Year) -> Iterator[str]:
        yield "" if words in year.steps(job) else f'{job} does not say "{words}"'

    return check


def apart(what: str, window: Window, first: date, last: date | None) -> str:
    """Why the window shares no day with first..last; nothing where it does."""
    length = (window.closes - window.opens).days
    if length > LONGEST_DAYS:
        return f"{what} is open for {length} days"
    if window.closes < first or (last is not None and window.opens > last):
        return f"{what} is open from {window.opens} to {window.closes}, not within {first} to {last}"
    return ""

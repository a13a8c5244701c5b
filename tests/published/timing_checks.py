"""What it takes for a plan to meet a published timing statement.

A check answers with nothing where the plan agrees, and else with the reason. A window longer than LONGEST_DAYS agrees
with nothing: a job that is always open says nothing about when to do it.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from msgspec import Struct
from timing_orchard import Year

from tendwork.planning.results import Window

COLD, MARITIME, CENTRAL, WARM = "cold continental", "maritime", "central European", "warm"
POME_WOOD, STONE_WOOD = "collect-wood-apple-pear", "collect-wood-stone"
BARK, WHIP, CLEFT = "bark-apple-pear", "whip-apple-pear", "cleft-apple-pear"
LONGEST_DAYS = 110
Check = Callable[[Year], str]


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


def shortfall(statement: Statement, year: Year) -> str:
    """Why the plan does not meet the statement; nothing where it does."""
    try:
        return "; ".join(reason for check in statement.checks if (reason := check(year)))
    except LookupError as missing:
        return str(missing)


def overlaps(site: str, job: str, first: str, last: str, species: str = "apple", planted: int = 2005) -> Check:
    """The job's window shares a day with first..last."""

    def check(year: Year) -> str:
        window = year.window(site, job, species, planted=planted)
        return apart(f"{job} of {species}", window, year.day(first), year.day(last))

    return check


def a_round_in_each(site: str, job: str, *spans: tuple[str, str]) -> Check:
    """In each of the spans a round of the repeating job is open."""

    def check(year: Year) -> str:
        rounds = year.rounds(site, job)
        missed = [
            f"{first}..{last}"
            for first, last in spans
            if all(apart(job, window, year.day(first), year.day(last)) for window in rounds)
        ]
        return f"{job} has no round in {', '.join(missed)}" if missed else ""

    return check


def kept_out_of(site: str, first: str, last: str, species: str, *jobs: str) -> Check:
    """No day of first..last lies in the jobs' windows, their last resort included."""

    def check(year: Year) -> str:
        inside = []
        for job in jobs:
            window = year.window(site, job, species)
            if window.lapses >= year.day(first) and window.opens <= year.day(last):
                inside.append(f"{job} of {species} may fall from {window.opens} to {window.lapses}")
        return "; ".join(inside)

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
    """The job shares a day with least..most days after the best day of the job before it.

    `also` is a span of days in which the shared day must lie too.
    """

    def check(year: Year) -> str:
        start = year.window(site, before, species).best
        window = year.window(site, job, species, done_on=start)
        first, last = start + timedelta(days=least_days), start + timedelta(days=most_days)
        if also:
            first, last = max(first, year.day(also[0])), min(last, year.day(also[1]))
        return apart(f"{job} after {before} on {start}", window, first, last)

    return check


def says(job: str, words: str) -> Check:
    """The job's steps tell the person this: a length or a reason that no date can hold."""

    def check(year: Year) -> str:
        return "" if words in year.steps(job) else f'{job} does not say "{words}"'

    return check


def apart(what: str, window: Window, first: date, last: date) -> str:
    """Why the window does not meet first..last; nothing where it does."""
    length = (window.closes - window.opens).days
    if length > LONGEST_DAYS:
        return f"{what} is open for {length} days"
    if window.closes < first or window.opens > last or first > last:
        return f"{what} is open from {window.opens} to {window.closes}, not within {first} to {last}"
    return ""

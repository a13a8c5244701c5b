"""What was ticked, in one sentence for the person and in one phrase for whoever undoes it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from tendwork.orchard.wording import counted, listed
from tendwork.planning.day_format import short_day

_NAMES_SHOWN = 3
_WORDS_SHOWN = 3


class Ticked(Struct, frozen=True):
    """One unit of one job after its tick.

    `since` is the day since which it was ticked so already, and `added` what this tick added to that one; `before` the
    outcome that this one replaced; `lacks_wrap` says that a graft was set whose wrap nobody noted.
    """

    task: str
    title: str
    label: str
    word: str
    since: date | None = None
    added: tuple[str, ...] = ()
    before: str = ""
    lacks_wrap: bool = False


def tick_words(ticked: Sequence[Ticked], today: date) -> str:
    """What was done, what lacks its wrap, and what was ticked already, as sentences."""
    done = [one for one in ticked if one.since is None]
    said = [f"{_done_words(done)}{_wrap_words(done)}."] if done else []
    same = _grouped([one for one in ticked if one.since is not None])
    for group in same[:_NAMES_SHOWN]:
        first, added = group[0], "".join(f", {words}" for words in group[0].added)
        since = "" if first.since is None else short_day(first.since, today)
        unchanged = "" if done or added else "; nothing was changed"
        title = "" if done and _is_one_job(ticked) else f"{first.title}, "
        said.append(f"{title}{_labels(group)}: {first.word} since {since} already{added}{unchanged}.")
    more = sum(map(len, same[_NAMES_SHOWN:]))
    return " ".join([*said, *([f"{more} more were ticked already."] if more else [])])


def act_words(ticked: Sequence[Ticked]) -> str:
    """What an undo of it will say that it undid; more than one tick with their number."""
    new = [one for one in ticked if one.since is None or one.added]
    if not new:
        return ""
    if len(new) > 1 and _is_one_job(new):
        return f"{ticks_words(len(new))} of {_done_words(new)}"
    return _done_words(new)


def ticks_words(number: int) -> str:
    """ "tick", "12 ticks"."""
    return "tick" if number == 1 else counted(number, "tick")


def names_words(labels: Sequence[str]) -> str:
    """The first few of these names, and how many there are beside them."""
    shown = ", ".join(labels[:_NAMES_SHOWN])
    return shown if len(labels) <= _NAMES_SHOWN else f"{shown} and {len(labels) - _NAMES_SHOWN} more"


def _done_words(done: Sequence[Ticked]) -> str:
    words = dict.fromkeys(one.word for one in done)
    if not _is_one_job(done):
        jobs = len({one.task for one in done})
        said = f": {listed(words)}" if len(words) <= _WORDS_SHOWN else ""
        return f"{counted(len(done), 'tick')} in {counted(jobs, 'job')}{said}"
    before = {one.before for one in done}
    instead = f" instead of {before.pop()}" if len(before) == 1 and "" not in before else ""
    return f"{done[0].title}, {_labels(done)}: {listed(words)}{instead}"


def _wrap_words(done: Sequence[Ticked]) -> str:
    lacking = [one for one in done if one.lacks_wrap]
    return f"; wrap not noted: {_labels(lacking)}" if lacking else ""


def _labels(ticked: Iterable[Ticked]) -> str:
    return names_words([one.label for one in ticked])


def _is_one_job(ticked: Sequence[Ticked]) -> bool:
    return len({one.task for one in ticked}) == 1


def _grouped(ticked: Iterable[Ticked]) -> list[list[Ticked]]:
    """Those of one job that say the same since the same day, together."""
    groups: dict[tuple[object, ...], list[Ticked]] = {}
    for one in ticked:
        groups.setdefault((one.task, one.word, one.since, one.added), []).append(one)
    return list(groups.values())

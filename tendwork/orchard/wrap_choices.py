"""What a person may answer who is asked what a graft was wrapped in, the likeliest answer first."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from msgspec import Struct

from tendwork.orchard.records import Graft, Records
from tendwork.orchard.rough_dates import first_day
from tendwork.orchard.wraps import SAME_WRAPS, WRAPS


class WrapChoice(Struct, frozen=True):
    """One answer and what it means: a wrap, "" where it is not known, None where each graft keeps what was planned."""

    said: str
    wrap: str | None


UNKNOWN = WrapChoice("do not know", "")


def to_be_set(records: Records, units: Collection[str], outcome: str) -> tuple[Graft, ...]:
    """The grafts among these units that this outcome sets."""
    if outcome != "set":
        return ()
    return tuple(graft for graft in records.grafts if graft.id in units and graft.state != "set")


def wrap_choices(records: Records, grafts: Sequence[Graft]) -> tuple[WrapChoice, ...]:
    """The answers for grafts that are set together.

    First what is planned for them, else the wrap of the graft that was set last; then the other words of the trade,
    that there is none, and that it is not known.
    """
    planned = list(dict.fromkeys(graft.wrap for graft in grafts if graft.wrap))
    if len(planned) > 1:
        first = WrapChoice(f"as planned: {', '.join(planned)}", None)
    else:
        word = planned[0] if planned else _last_used(records.grafts)
        first = WrapChoice(word, word)
    others = [WrapChoice(word, word) for word in WRAPS if word != first.wrap]
    return (*([first] if first.said else []), *others, UNKNOWN)


def known_wrap(word: str, known: Iterable[str]) -> str:
    """The known wrap that this word means, whatever its capitals and spaces; else the word as it is."""
    plain = " ".join(word.split())
    folded = {wrap.casefold(): wrap for wrap in known}
    return folded.get(plain.casefold()) or folded.get(SAME_WRAPS.get(plain.casefold(), ""), plain)


def _last_used(grafts: Sequence[Graft]) -> str:
    """The wrap of the graft that was set last, of those whose wrap is noted; empty if there is none."""
    used = [
        (first_day(graft.set_on), number)
        for number, graft in enumerate(grafts)
        if graft.wrap and graft.set_on is not None
    ]
    return grafts[max(used)[1]].wrap if used else ""

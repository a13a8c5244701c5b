"""What a graft may be wrapped in, by the words of the trade, and whether its wrap is still on it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.orchard.records import Graft, Tick
from tendwork.orchard.rough_dates import last_day

NO_WRAP = "none"
"""A person's word for a graft that was not wrapped. An empty cell is not that: it says that nobody noted it."""
WRAP_OFF = "off"
"""A person's word, in a record or on a tick, for a wrap that has come off."""
WRAPS = (
    "budding rubber",
    "film",
    "PVC tape",
    "electrical tape",
    "polyethylene strip",
    "splicing tape",
    "masking tape",
    "raffia",
    "cloth",
    "string",
    NO_WRAP,
)
LEFT_ON = "left on"
SAME_WRAPS = {
    "parafilm": "film", "para film": "film", "grafting film": "film",
    "wire": "string", "twine": "string", "string or wire": "string", "label wire": "string",
    "polyethylene": "polyethylene strip", "pe strip": "polyethylene strip", "plastic strip": "polyethylene strip",
    "vinyl tape": "electrical tape", "insulating tape": "electrical tape", "bast": "raffia",
}  # fmt: skip
"""What else the trade calls one of WRAPS, in small letters; a template of a person's own may speak of it by itself."""
CARE_ENDED = ("off", "slit it", "weathered away", LEFT_ON)
"""The words of a tick after which a wrap needs no more looking after; "left on" is said of film, which weathers."""
LONG_AGO_DAYS = 3 * 365  # our own choice: by then a wrap is off, or has done what it does
GIVEN_UP_DAYS = 365  # our own choice: so long it is said that a wrap left the list because it was set so long ago
_IN_ITS_CARE = frozenset({"set", "took"})


class WrapFate(Struct, frozen=True):
    """Whether a wrap is `on` as far as anybody said, and else the word for its end and the day, where it is known."""

    on: bool
    word: str = ""
    day: date | None = None


def wrap_fate(graft: Graft, ticks: Iterable[Tick], today: date) -> WrapFate:
    """What became of a graft's wrap; `ticks` are those that speak of its present life.

    A graft that bears, was set years ago and came into the records as it is has lost its wrap long ago, as far as
    anybody knows: its wrap counts as on only if it was set lately, or set or taken here. The winter check asks about it
    all the same.
    """
    held = [tick for tick in ticks if tick.unit == graft.id]
    ended = [tick for tick in held if tick.outcome in CARE_ENDED]
    if ended:
        last = max(ended, key=lambda tick: tick.day)
        return WrapFate(False, last.outcome, last.day)
    if graft.wrap in (NO_WRAP, WRAP_OFF):
        return WrapFate(False, graft.wrap)
    if graft.state in ("set", "took"):
        return WrapFate(True)
    is_young = graft.set_on is not None and (today - last_day(graft.set_on)).days < LONG_AGO_DAYS
    return WrapFate(graft.state == "bearing" and (is_young or any(tick.outcome in _IN_ITS_CARE for tick in held)))


def is_given_up(graft: Graft, fate: WrapFate, today: date) -> bool:
    """Whether a wrap left the list within the last year for no other reason than that it was set so long ago."""
    if graft.state != "bearing" or fate.on or fate.word or graft.set_on is None:
        return False
    return LONG_AGO_DAYS <= (today - last_day(graft.set_on)).days < LONG_AGO_DAYS + GIVEN_UP_DAYS

"""What has been said of a graft's wrap and take, and what nobody has said since it came into the records."""

from __future__ import annotations

from tendwork.orchard.outcomes import STILL_OPEN
from tendwork.orchard.records import Graft
from tendwork.orchard.rough_dates import first_day
from tendwork.orchard.standing_ticks import template_of
from tendwork.orchard.wraps import LEFT_ON
from tendwork.planning.indexed_records import Orchard

TAKE_SEEN_DAYS = 42  # our own choice: six weeks; by then the usual take checks of spring grafts and of buds have closed


def was_never_unwrapped(orchard: Orchard, graft: str) -> bool:
    """Whether nobody ever said that a graft's wrap is off, or that it had none. Film that was left on is on."""
    fate = orchard.wrap_fates[graft]
    return fate.on or fate.word in ("", LEFT_ON)


def wrap_said_on(orchard: Orchard, graft: str) -> bool:
    """Whether somebody who looked said that a wrap was still on, since the graft came in."""
    since = orchard.known_since.get(graft)
    said = (tick for tick in orchard.standing.of(graft) if tick.outcome == STILL_OPEN)
    return any(template_of(tick) in orchard.wrap_rules and (since is None or tick.day >= since) for tick in said)


def wrap_is_asked(orchard: Orchard, graft: str) -> bool:
    """Whether a graft came in with a wrap of which nobody has said since then whether it is still on."""
    came_in = orchard.known_since.get(graft) is not None
    return came_in and orchard.wrap_fates[graft].on and not wrap_said_on(orchard, graft)


def take_is_asked(orchard: Orchard, graft: Graft) -> bool:
    """Whether a graft came in as set when its take could be seen, and nobody who looked has said anything since."""
    since = orchard.known_since.get(graft.id)
    if since is None or graft.state != "set" or graft.set_on is None:
        return False
    looked = (tick for tick in orchard.standing.of(graft.id) if template_of(tick) in orchard.take_rules)
    is_seen = (since - first_day(graft.set_on)).days > TAKE_SEEN_DAYS
    return is_seen and not any(tick.day >= since for tick in looked)

"""What is asked for of a unit that came into the records after its time: from now on, and nothing of before.

Whoever types an orchard in on 25 June wants to know what to do from then on. A job whose time had closed by the day on
which its unit came in is neither late nor missed. What cannot be made good another year, a tree or a graft, and is not
past saving is asked for all the same, until its last useful day. A wrap does not come off by itself, so its job never
ends; but whether it is still on is a question before it is a job.
"""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from tendwork.orchard.outcomes import STILL_OPEN
from tendwork.orchard.records import Tick
from tendwork.planning.day_format import day_and_month
from tendwork.planning.results import Window
from tendwork.planning.vocabulary import GRAVE, Template


def as_it_came_in(template: Template, window: Window, since: date | None, said_on: bool) -> Window | None:
    """The window as it counts for a unit that is known since a day; None where the job is not asked for.

    `since` is None for what is known from always. `said_on` says that somebody said since then that its wrap is on.
    """
    if since is None or window.closes >= since:
        return window
    if window.stays:
        return window if said_on else None
    if template.at_stake in GRAVE and window.lapses >= since:
        return replace(window, closes=window.lapses)
    return None


def is_told(template: Template, tick: Tick | None, since: date) -> bool:
    """Whether a tick tells of the job itself, so that it stands however late the unit came in.

    What only the record says since then (a tick of no task) does not. Of a wrap that came in late only what was ticked
    before does: since then "off" is the answer to the question whether it is still on, and no work that was done.
    """
    if tick is None or (not tick.task and tick.day >= since):
        return False
    return not template.takes_wraps_off or (tick.outcome != STILL_OPEN and tick.day < since)


def saved_words(window: Window, since: date) -> str:
    """Why a job whose time was over before its unit came in is asked for: `window` is that of the rule."""
    was, last = day_and_month(window.closes), day_and_month(window.lapses)
    return f"It came into the records on {day_and_month(since)}, after its time ({was}); still useful until {last}."

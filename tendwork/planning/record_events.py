"""What the record says happened to a tree, a graft or a bundle: the days that the words of `after` stand for."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.almanac.seasons import Season
from tendwork.orchard.methods import BRIDGE, is_bud, method_named
from tendwork.orchard.records import GNAWED, STORM, Graft, Tree, Wood
from tendwork.orchard.rough_dates import day_known, first_day, last_day
from tendwork.orchard.troubles import fire_blight_first_seen, sign_named
from tendwork.planning.indexed_records import Orchard

SEEN_EVENTS = frozenset({GNAWED, STORM})
"""Signs on a tree that raise a job on the day on which they were noted; each new one raises it again."""
AGAIN = "again"
"""The event from which wood is to be asked for or cut once more: what was ticked before it is void."""
ASSUMED_TAKE_DAYS = (
    28  # common practice, no source: four weeks to a visible take, used only where no take check was ticked
)


def tree_events(orchard: Orchard, tree: Tree, season: Season) -> dict[str, date]:
    """What happened to a tree: it was planted, and harm was noted of it.

    Gnawed bark is no event any more once a bridge was planned, or set since.
    """
    events = {} if tree.planted is None else {"planted": date(tree.planted, 1, 1)}
    troubles = orchard.records.troubles
    for trouble in troubles:
        sign = sign_named(trouble.what) if trouble.tree == tree.id else ""
        if sign in SEEN_EVENTS:
            events[sign] = max(trouble.day, events.get(sign, trouble.day))
    blighted = fire_blight_first_seen(troubles, tree.id, season.__contains__, orchard.season_start)
    if blighted is not None:
        events["fire blight"] = blighted
    if GNAWED in events and any(_bridges_since(graft, events[GNAWED]) for graft in orchard.grafts_of[tree.id]):
        del events[GNAWED]
    return events


def graft_events(orchard: Orchard, graft: Graft) -> dict[str, date]:
    """What happened to a graft, whatever the season: it was set, took or failed, was unwrapped, was tasted."""
    events: dict[str, date] = {}
    if graft.set_on is not None:
        events["set"] = first_day(graft.set_on)
        if is_bud(graft.method):
            events["budded"] = events["set"]
    ticked = orchard.standing.events.get(graft.id, {})
    for outcome in ("took", "failed"):
        if outcome in ticked:
            events[outcome] = ticked[outcome]
    if (fate := orchard.wrap_fates[graft.id]).day is not None:
        events["unwrapped"] = fate.day
    if "took" not in events and graft.state in ("took", "bearing") and (set_on := day_known(graft.set_on)):
        events["took"] = set_on + timedelta(days=ASSUMED_TAKE_DAYS)
    if graft.id in orchard.tasted:
        events["tasted"] = orchard.tasted[graft.id]
    return events


def graft_events_from_start(graft: Graft, season: Season) -> dict[str, date]:
    """What stands of a graft from the first day of a season, as the record has no day for it: planned, judged."""
    events = {}
    if graft.state == "planned":
        events["planned"] = season.start
    if graft.verdict != "on trial":
        events["verdict"] = season.start
    return events


def wood_events(bundle: Wood) -> dict[str, date]:
    """What happened to a bundle: it was cut, which is when it was received, and is to go to whom it is promised."""
    events: dict[str, date] = {}
    if bundle.cut_on is not None:
        events["cut"] = events["received"] = bundle.cut_on
        if bundle.promised_to:
            events["promised"] = bundle.cut_on
    return events


def _bridges_since(graft: Graft, day: date) -> bool:
    """Whether a graft is a bridge that is planned, or was set on that day or later, whatever became of it."""
    if method_named(graft.method) != BRIDGE:
        return False
    return graft.state == "planned" or (graft.set_on is not None and last_day(graft.set_on) >= day)

"""What is left out: which templates give no job, for which trees and in which season, who said so, and why.

A template is left out by default where its own rule says so, or by a person: for good, for one tree, in one season.
Ticks and whatever else was recorded of it stay; brought back, it gives the jobs that it gave before.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from typing import Literal

import msgspec
from msgspec import Struct

from tendwork.planning.adjustments import Adjustment, Adjustments, is_out
from tendwork.planning.vocabulary import AdjustedTemplate, LeftOut, Template

OF_TREES = ("tree", "graft")
"""What a template is about each of, where it can be left out for one tree."""


class LeftOutLine(Struct, frozen=True):
    """One thing that is left out: a template, for one `tree` or for all where empty, in one `season` or for good.

    `by` says who: the template by `default`, with its `reason`, or a `person`, on the day `on` where that is noted.
    """

    template: str
    title: str
    by: Literal["default", "person"]
    reason: str = ""
    tree: str = ""
    season: int | None = None
    on: date | None = None


def trees_left_out(template: Template, season: int) -> frozenset[str] | None:
    """The trees for which it gives no job in the season of that name; None where it gives none at all."""
    if not isinstance(template, AdjustedTemplate) or not template.not_for:
        return frozenset()
    counting = [entry for entry in template.not_for if entry.season in (None, season)]
    return None if any(not entry.tree for entry in counting) else frozenset(entry.tree for entry in counting)


def left_out_lines(
    templates: Iterable[Template], adjustments: Adjustments, seen: Collection[str], season: int
) -> tuple[LeftOutLine, ...]:
    """All that is left out in the season of that name or for good, in the order of the templates.

    `seen` are the troubles that were ever noted here. What was left out in a season that is over is not told.
    """
    return tuple(
        line
        for template in templates
        for line in lines_of(template, adjustments.template.get(template.id, Adjustment()), seen, season)
    )


def lines_of(template: Template, change: Adjustment, seen: Collection[str], season: int) -> tuple[LeftOutLine, ...]:
    """What is left out of one template; of one that gives no job at all only that."""
    of = template.id, template.title
    if change.off:
        return (LeftOutLine(*of, "person", on=change.since),)
    if is_out(template, change, seen):
        return (LeftOutLine(*of, "default", template.unasked(seen)),)
    now = [entry for entry in change.left_out if entry.season is None or entry.season >= season]
    if any(not entry.tree and entry.season in (None, season) for entry in now):
        now = [entry for entry in now if not entry.tree]
    return tuple(LeftOutLine(*of, "person", "", entry.tree, entry.season, entry.on) for entry in now)


def without(change: Adjustment, entry: LeftOut, unasked: bool) -> Adjustment:
    """The change with a template left out as `entry` says; what is left out so already stays as it was first said.

    `unasked` says that its rule leaves it out, so that for good it is enough to ask for it no more.
    """
    if entry.tree or entry.season is not None:
        said = [(held.tree, held.season) for held in change.left_out]
        is_said = change.off or any((tree, entry.season) in said for tree in (entry.tree, ""))
        return change if is_said else msgspec.structs.replace(change, left_out=(*change.left_out, entry))
    if change.off or (unasked and not change.asked):
        return change
    return msgspec.structs.replace(change, off=not unasked, asked=False, since=None if unasked else entry.on)


def taken_in(change: Adjustment, tree: str, unasked: bool, on: date) -> Adjustment:
    """The change with a template brought back: for one tree, or for all where it is empty.

    What was left out last comes back first: the whole template, then its seasons, then its trees. So it gives the jobs
    that it gave before. `unasked` says that its rule leaves it out, so that it must be asked for.
    """
    if not tree and (change.off or (unasked and not change.asked)):
        return msgspec.structs.replace(change, off=False, asked=unasked, since=on if unasked else None)
    whole = any(not entry.tree for entry in change.left_out)
    kept = tuple(entry for entry in change.left_out if (entry.tree != tree if tree else whole and entry.tree))
    return msgspec.structs.replace(change, left_out=kept)

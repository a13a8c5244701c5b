"""How long the jobs of a plan take: what their rules say of trees of that size, moved by the person's own notes.

The minutes of a tick are those of all its units, setting up included. Units of one job that were ticked on one day were
one walk: they make one note, which is held against what the rule, as it is now, says of so many units.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.orchard.minutes_noted import MinutesNote, times_the_usual
from tendwork.orchard.outcomes import NO_WORK
from tendwork.orchard.records import Tick
from tendwork.orchard.standing_ticks import key_of, season_of_tick, standing_ticks, template_of
from tendwork.orchard.stocks import SIZES
from tendwork.orchard.tree_size import tree_size
from tendwork.orchard.wording import counted
from tendwork.planning.crown_heights import highest_graft_m
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.vocabulary import Template


class JobMinutes(Struct, frozen=True):
    """The minutes to set up a job, and for each of its units; `because` are the sentences that say why."""

    setup: float
    each: float
    because: tuple[str, ...] = ()


class Minutes:
    """The minutes of all jobs of one plan; `ticks` are all that were made, also those of earlier lives."""

    def __init__(self, orchard: Orchard, templates: Iterable[Template], ticks: Iterable[Tick]) -> None:
        self._orchard = orchard
        self._templates = {template.id: template for template in templates}
        self.notes = self._notes(ticks)
        self._known: dict[tuple[str, str, int], JobMinutes] = {}

    def of(self, template: Template, subject: str, season: int) -> JobMinutes:
        """The minutes of a template's job on a subject, a tree or the site, in a season named by its year."""
        key = template.id, subject, season
        if key not in self._known:
            self._known[key] = self._learned(template, subject, season)
        return self._known[key]

    def _learned(self, template: Template, subject: str, season: int) -> JobMinutes:
        usual, notes = self._usual(template, subject, season), self.notes.get(template.id, ())
        if not notes:
            return usual
        times = times_the_usual(notes, subject)
        own = len([note for note in notes if note.tree == subject])
        here = "" if own == len(notes) else f", {own or 'none'} of this tree"
        much = "as usual" if times == 1 else f"{times:g} times the usual"
        words = f"Minutes by {counted(len(notes), 'note')} of your own{here}: {much}."
        return JobMinutes(round(usual.setup * times, 2), round(usual.each * times, 2), (*usual.because, words))

    def _usual(self, template: Template, subject: str, season: int) -> JobMinutes:
        """What the rule says."""
        effort = template.effort
        if effort.minutes_by_size is None:
            return JobMinutes(effort.setup_minutes, effort.minutes_each)
        found = tree_size(self._orchard.trees[subject], season, highest_graft_m(self._orchard, subject))
        each = effort.minutes_by_size[SIZES.index(found.size)]
        return JobMinutes(effort.setup_minutes, each, (f"Minutes of a {found.size} tree: {found.because}.",))

    def _notes(self, ticks: Iterable[Tick]) -> dict[str, tuple[MinutesNote, ...]]:
        """The person's notes by template. What no job answers to says nothing, nor does what was not done."""
        ticks = tuple(ticks)
        noted = {key_of(tick) for tick in ticks if tick.minutes is not None}
        walks: dict[tuple[str, str, int, date], list[float]] = {}
        for tick in standing_ticks(tick for tick in ticks if key_of(tick) in noted) if noted else ():
            season, parts = season_of_tick(tick), tick.task.split("/")
            if tick.minutes is not None and tick.outcome not in NO_WORK and season is not None and len(parts) == 3:
                walks.setdefault((template_of(tick), parts[1], season, tick.day), []).append(tick.minutes)
        notes: dict[str, list[MinutesNote]] = {}
        for (name, subject, season, _), minutes in walks.items():
            template = self._templates.get(name)
            if template is None or (template.effort.minutes_by_size is not None and subject not in self._orchard.trees):
                continue
            usual = self._usual(template, subject, season)
            whole = usual.setup + usual.each * len(minutes)
            if whole > 0:
                notes.setdefault(name, []).append(MinutesNote(subject, sum(minutes) / whole))
        return {name: tuple(sorted(held)) for name, held in notes.items()}

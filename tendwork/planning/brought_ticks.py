"""Ticks that come in from a file: read as the command that ticks reads them, and what of them no job answers to."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from tendwork.errors import did_you_mean, nearest
from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.ids_meant import id_meant
from tendwork.orchard.outcomes import ARBORIST, NO_WORK, SKIPPED, outcome_named
from tendwork.orchard.records import Records, Tick
from tendwork.orchard.standing_ticks import template_of
from tendwork.planning.former_ids import by_any_id
from tendwork.planning.subject import SITE
from tendwork.planning.variety_ids import VarietyIds, may_be_former_id
from tendwork.planning.vocabulary import Template
from tendwork.planning.wishes import PLANNED_FOR, PUT_OFF, WHOLE_JOB

_KEY = re.compile(r"[^/]+/(?P<subject>[^/]+)/[0-9]{4}(\.[0-9]+)?")
_OF_A_TREE = ("tree", "graft")
_UNSHOWN = "so no job shows this tick"
_CALLED = {
    "tree": ("a name", "trees"),
    "graft": ("a variety", "grafts"),
    "wood": ("a variety", "bundles"),
    "variety": ("a name", "varieties"),
    "site": ("a name", "units"),
}


class Unread(Struct, frozen=True):
    """A `field` of a tick that no job or unit answers to, and the words that say so."""

    field: Literal["task", "unit", "outcome", "minutes"]
    words: str


class TickReading:
    """What ticks mean by these templates and records."""

    def __init__(self, records: Records, templates: Iterable[Template]) -> None:
        self._templates = by_any_id(templates)
        of_any_job = (word for template in self._templates.values() for word in template.outcomes)
        self._words = tuple(dict.fromkeys((*of_any_job, SKIPPED, ARBORIST)))
        self._trees = {tree.id: tree.name for tree in records.trees}
        species, ids = species_by_graft(records), VarietyIds(records)
        self._grafts = [(graft.tree, graft.id, graft.variety) for graft in records.grafts]
        self._called: dict[str, dict[str, str]] = {
            "tree": self._trees,
            "graft": {graft.id: graft.variety for graft in records.grafts},
            "wood": {bundle.id: bundle.variety for bundle in records.wood},
            "variety": {
                identity: graft.variety
                for graft in records.grafts
                if graft.id in species
                for identity in ids.all_of(species[graft.id], graft.variety)
            },
            "site": {SITE: "the orchard"},
        }

    def read(self, tick: Tick) -> Tick:
        """The tick with its outcome in the word that is known; as it is where none is."""
        word = outcome_named(tick.outcome, self._known(tick))
        return replace(tick, outcome=word) if word and word != tick.outcome else tick

    def unread(self, tick: Tick) -> tuple[Unread, ...]:
        """What no job or unit answers to; what is only gone from the records, such as used wood, is not among it."""
        template = self._templates.get(template_of(tick))
        key = _KEY.fullmatch(tick.task)
        found = []
        if key is None:
            what = f'"{tick.task}" is no key of a job, {_UNSHOWN}'
            found.append(
                Unread("task", f"{what}. A key is a template, a tree or {SITE}, and a season, with / between.")
            )
        elif template is None:
            words = f'there is no template "{template_of(tick)}", {_UNSHOWN}.'
            hint = did_you_mean(template_of(tick), self._templates)
            found.append(Unread("task", f"{words} {hint}".strip()))
        elif wrong := self._wrong_subject(template, key["subject"]):
            found.append(Unread("task", wrong))
        if template is not None and (wrong := self._wrong_unit(template, tick, "" if key is None else key["subject"])):
            found.append(Unread("unit", wrong))
        if template is not None and not tick.undone and tick.outcome not in self._known(tick):
            what = f"no outcome of {template.id}" if tick.unit != WHOLE_JOB else "nothing that a whole job can be"
            hint = nearest(tick.outcome, self._known(tick))
            found.append(Unread("outcome", f'"{tick.outcome}" is {what}, so nothing follows from it. {hint}'))
        if tick.minutes is not None and tick.outcome in NO_WORK:
            words = f'Minutes beside "{tick.outcome}" count for nothing: they are those of work that was done.'
            found.append(Unread("minutes", words))
        return tuple(found)

    def _known(self, tick: Tick) -> tuple[str, ...]:
        """The outcomes that a tick may have: those of its job, or of any where its template is not there."""
        if tick.unit == WHOLE_JOB:
            return PLANNED_FOR, PUT_OFF
        template = self._templates.get(template_of(tick))
        return self._words if template is None else (*template.outcomes, SKIPPED, ARBORIST)

    def _wrong_subject(self, template: Template, subject: str) -> str:
        if template.each not in _OF_A_TREE:
            said = f'{template.id} is a job of the whole orchard, {_UNSHOWN}. Write {SITE} for "{subject}" in its key.'
            return "" if subject == SITE else said
        if subject in self._trees:
            return ""
        hint = id_meant(subject, "a name", "trees", self._trees.items()) or "Write the id of a tree."
        return f'there is no tree "{subject}", {_UNSHOWN}. {hint}'

    def _wrong_unit(self, template: Template, tick: Tick, subject: str) -> str:
        """That a unit is written by its name; of a graft those of the tree are meant, where it has one of the name."""
        called = self._called[template.each]
        if tick.unit in (WHOLE_JOB, *called) or (template.each == "variety" and may_be_former_id(tick.unit)):
            return ""
        what, things = _CALLED[template.each]
        here = [(identity, name) for tree, identity, name in self._grafts if tree == subject]
        near = id_meant(tick.unit, what, things, here) if template.each == "graft" else ""
        hint = near or id_meant(tick.unit, what, things, called.items())
        return f'"{tick.unit}" is no id of a unit of this job, {_UNSHOWN}. {hint}' if hint else ""

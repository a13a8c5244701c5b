"""Templates by all the ids that they ever had, so that what was ticked under an earlier one still counts."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.orchard.named_templates import FORMER_IDS
from tendwork.planning.vocabulary import Template


def ids_of(template: Template) -> tuple[str, ...]:
    """The id of a template, and its former one where it was renamed or split off from another."""
    former = FORMER_IDS.get(template.id)
    return (template.id,) if former is None else (template.id, former)


def by_any_id(templates: Iterable[Template]) -> dict[str, Template]:
    """The templates by their ids; a former id that no template has any more means the first that took its place."""
    held = {template.id: template for template in templates}
    for template in tuple(held.values()):
        for identity in ids_of(template):
            held.setdefault(identity, template)
    return held

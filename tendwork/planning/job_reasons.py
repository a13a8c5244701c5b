"""What is to be known of a job beside its window: from its rule, and from the records of what it is about."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.orchard.named_templates import CHOOSE_VARIETIES, SEND_PROMISED_WOOD, WINTER_CHECK
from tendwork.orchard.unions import hints, tree_hints
from tendwork.orchard.vigour import growth_sentences
from tendwork.orchard.wording import NOBODY_NOTED, listed
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.results import Unit
from tendwork.planning.said_of_grafts import was_never_unwrapped
from tendwork.planning.states import FINISHED
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import FAILS_LATE, Template
from tendwork.planning.wood_parcels import Origins, label_words


def rule_reasons(template: Template, number: int, weather: str) -> tuple[str, ...]:
    """What the rule says of all its jobs in a round: how often they come, what weather they want, its note."""
    sentences = []
    if template.repeats is not None:
        every = template.repeats.every_days
        if number > 1:
            sentences.append(f"Round {number} of {template.repeats.times}, {every} days after the one before.")
        else:
            sentences.append(f"Comes again every {every} days, {template.repeats.times} rounds in all.")
    if weather:
        sentences.append(f"Wants {weather}.")
    if template.note:
        sentences.append(template.note)
    return tuple(sentences)


def growth_to_mind(orchard: Orchard, template: Template, subject: Subject, season: int) -> tuple[str, ...]:
    """Whom to shorten and whom to spare, where a job prunes the crown of one tree."""
    if template.part != "pruning" or template.each != "tree" or template.work_at != "crown":
        return ()
    grafts = tuple(orchard.grafts_of.get(subject.id, ()))
    return growth_sentences(orchard.growth, grafts, season, orchard.usual_vigour)


def wraps_never_off(orchard: Orchard, template: Template, units: Iterable[Unit]) -> tuple[str, ...]:
    """The winter check names the grafts of which nobody ever said that the wrap is off."""
    if template.id != WINTER_CHECK:
        return ()
    names = [f"{unit.label} ({unit.id})" for unit in units if was_never_unwrapped(orchard, unit.id)]
    return (f"No word that the wrap is off: {listed(names)}. Look there first.",) if names else ()


def union_hints(orchard: Orchard, template: Template, subject: Subject, units: Iterable[Unit]) -> tuple[str, ...]:
    """What is known against the unions that a job is about: grafts yet to be made, or those of its own rule."""
    by_rule = template.where.union == FAILS_LATE
    if template.each == "tree":
        return tree_hints((orchard.trees[subject.id],), orchard.today) if by_rule else ()
    planned = (graft for graft in orchard.records.grafts if graft.state == "planned")
    if template.id == CHOOSE_VARIETIES:
        return hints(orchard.records, planned, orchard.today)
    to_do = {unit.id for unit in units if unit.state not in FINISHED}
    if template.each == "variety":
        known = (graft for graft in planned if graft.id in orchard.species)
        meant = [one for one in known if orchard.variety_ids.of(orchard.species[one.id], one.variety) in to_do]
    elif template.each == "graft":
        held = orchard.grafts_of.get(subject.group, ())
        meant = [one for one in held if one.id in to_do and (by_rule or one.state == "planned")]
    else:
        return ()
    return hints(orchard.records, meant, orchard.today)


def parcel_labels(orchard: Orchard, template: Template, units: Iterable[Unit]) -> tuple[str, ...]:
    """What stands on the label of each bundle that is to be sent, and to whom it goes."""
    if template.id != SEND_PROMISED_WOOD:
        return ()
    going, records = {unit.id for unit in units}, orchard.records
    origins = Origins(records.trees)
    return tuple(
        f"For {bundle.promised_to or NOBODY_NOTED}, on the label: {label_words(bundle, origins)}."
        for bundle in records.wood
        if bundle.id in going and bundle.promised_sticks
    )

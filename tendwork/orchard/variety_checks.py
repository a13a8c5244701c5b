"""What to look at in the records of varieties: one that has two, two in one, and ripening that says no day."""

from __future__ import annotations

from collections.abc import Container, Iterator
from datetime import date

from tendwork.errors import did_you_mean
from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.keeping import keeps_fault, keeps_not, kept_until
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Variety
from tendwork.orchard.varieties import VarietyBook, twice_named
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.variety_reference import VarietyReference
from tendwork.orchard.variety_words import bloom_fault, names_in, pollen_fault, ripens_against, ripens_fault
from tendwork.orchard.wording import listed
from tendwork.variety_names import Key


def twice_sentences(records: Records) -> tuple[str, ...]:
    """A sentence for each two records that, by their own words, are of one variety."""
    return tuple(
        f'Varieties: {one.variety} and {other.variety} ({one.species}) share the name "{name}", so they are one variety'
        " with two records. Put both into one, or take the name out of one."
        for one, other, name in twice_named(records)
    )


def variety_hints(records: Records, reference: VarietyReference) -> tuple[str, ...]:
    """What is likely a mistake in the records of varieties, a sentence each.

    Two records of what lists call one variety, one of what they call two, ripening said against varieties that nobody
    knows, ripening that goes round in a circle, words of older records that would be refused today, and how
    long one keeps in words that name no time.
    """
    return (
        *_one_by_lists(records, reference),
        *_two_by_lists(records, reference),
        *_unknown_standards(records, reference),
        *_circles(records, reference),
        *_refused_today(records),
        *_keeping_unread(records),
    )


def twice_in_place(records: Records, ids: Container[str] | None = None) -> tuple[str, ...]:
    """A sentence for each place of a tree at which a variety is noted twice; with `ids`, only of these grafts."""
    keys, species_of = variety_keys(records), species_by_graft(records)
    trees = {tree.id: tree.name for tree in records.trees}
    places: dict[object, list[Graft]] = {}
    for graft in records.grafts:
        is_noted = graft.facing is not None and graft.height_m is not None
        if is_noted and graft.id in species_of and graft.state in (*GROWS, "planned") and is_of_a_variety(graft):
            key = keys.of(species_of[graft.id], graft.variety)
            places.setdefault((graft.tree, key, graft.facing, graft.height_m, graft.out_m), []).append(graft)
    return tuple(
        f"Grafts {listed(graft.id for graft in held)} on {trees[held[0].tree]} ({held[0].tree}) are one variety,"
        f" {listed(dict.fromkeys(graft.variety for graft in held))}, at one side and height: if they are one graft,"
        " remove the others."
        for held in places.values()
        if len(held) > 1 and (ids is None or any(graft.id in ids for graft in held))
    )


_FAULTS = (("bloom", bloom_fault), ("pollen", pollen_fault), ("ripens", ripens_fault), ("keeps", keeps_fault))
_ANY_DAY = date(2001, 9, 15)


def _keeping_unread(records: Records) -> Iterator[str]:
    for one in records.varieties:
        if (
            one.keeps
            and not keeps_fault(one.keeps)
            and not keeps_not(one.keeps)
            and not kept_until(one.keeps, _ANY_DAY)
        ):
            yield (
                f'Varieties: {one.variety} ({one.species}): keeps "{one.keeps}" names no time that is understood, so'
                " until when it is good is not known. Say it as Feb, Nov-Feb, 3 months or does not keep."
            )


def _refused_today(records: Records) -> Iterator[str]:
    for one in records.varieties:
        for name, fault_of in _FAULTS:
            if (held := getattr(one, name)) and (fault := fault_of(held)):
                yield f"Varieties: {one.variety} ({one.species}): {name} {fault.rstrip('.')}. Mend it."


def _one_by_lists(records: Records, reference: VarietyReference) -> Iterator[str]:
    first: dict[Key, Variety] = {}
    for one in records.varieties:
        listed = reference.find(one.species, one.variety)
        if listed is not None:
            other = first.setdefault((one.species, listed.variety), one)
            if other is not one:
                yield (
                    f"Varieties: lists call {other.variety} and {one.variety} ({one.species}) one variety. If that is"
                    " so here, put both records into one and the other name into `also`."
                )


def _two_by_lists(records: Records, reference: VarietyReference) -> Iterator[str]:
    for one in records.varieties:
        own = reference.find(one.species, one.variety)
        for name in names_in(one.also):
            other = reference.find(one.species, name)
            if own is None or other is None or other is own:
                own = own or other
                continue
            yield (
                f'Varieties: {one.variety} ({one.species}) has "{name}" among its other names, but lists know'
                f" {other.variety} as another variety than {own.variety}, and here both count as one. If that is a"
                " slip, take the name out."
            )


def _circles(records: Records, reference: VarietyReference) -> Iterator[str]:
    book = VarietyBook(records, reference)
    against: dict[Key, Key] = {}
    record: dict[Key, Variety] = {}
    for one in records.varieties:
        if (said := ripens_against(one.ripens)) is not None:
            key = book.key(one.species, one.variety)
            against[key], record[key] = book.key(one.species, said[0]), one
    told: set[Key] = set()
    for first in against:
        way = [first]
        while (following := against.get(way[-1])) is not None and following not in way and following not in told:
            way.append(following)
        circle = way[way.index(following) :] if following in way else []
        told |= set(way)
        if circle:
            names, species = listed(record[key].variety for key in circle), circle[0][0]
            what = f"{names} ({species}) ripen{'s' if len(circle) == 1 else ''} against"
            what += " itself" if len(circle) == 1 else " each other in a circle"
            yield f"Varieties: {what}, which says no day. Name another variety, or days such as 09-15 to 10-02."


def _unknown_standards(records: Records, reference: VarietyReference) -> Iterator[str]:
    book, species_of = VarietyBook(records, reference), species_by_graft(records)
    own = {(species_of[graft.id], graft.variety) for graft in records.grafts if graft.id in species_of}
    known = {book.key(*one) for one in own} | {book.key(one.species, one.variety) for one in records.varieties}
    for one in records.varieties:
        against = ripens_against(one.ripens)
        if against is None or book.in_lists(one.species, against[0]) or book.key(one.species, against[0]) in known:
            continue
        meant = did_you_mean(against[0], reference.names(one.species))
        yield (
            f'Varieties: {one.variety} ({one.species}) ripens against "{against[0]}", which neither records nor'
            f" lists know. {meant}"
        ).rstrip()

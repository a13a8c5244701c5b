"""What to look at in the records of varieties: one that has two, and another variety that nobody knows."""

from __future__ import annotations

from collections.abc import Iterator

from tendwork.errors import did_you_mean
from tendwork.orchard.records import Records, Variety
from tendwork.orchard.varieties import Key, VarietyBook, twice_named
from tendwork.orchard.variety_reference import VarietyReference
from tendwork.orchard.variety_words import bloom_fault, pollen_fault, ripens_against, ripens_fault


def twice_sentences(records: Records) -> tuple[str, ...]:
    """A sentence for each two records that, by their own words, are of one variety."""
    return tuple(
        f'Varieties: {one.variety} and {other.variety} ({one.species}) share the name "{name}", so they are one variety'
        " with two records. Put both into one, or take the name out of one."
        for one, other, name in twice_named(records)
    )


def variety_hints(records: Records, reference: VarietyReference) -> tuple[str, ...]:
    """Two records of what lists call one variety, standards of ripening that nobody knows, and words of older records
    that would be refused today.
    """
    return (*_one_by_lists(records, reference), *_unknown_standards(records, reference), *_refused_today(records))


def _refused_today(records: Records) -> Iterator[str]:
    for one in records.varieties:
        for name, fault_of in (("bloom", bloom_fault), ("pollen", pollen_fault), ("ripens", ripens_fault)):
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


def _unknown_standards(records: Records, reference: VarietyReference) -> Iterator[str]:
    book = VarietyBook(records, reference)
    own = {(tree.species, graft.variety) for tree in records.trees for graft in records.grafts if graft.tree == tree.id}
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

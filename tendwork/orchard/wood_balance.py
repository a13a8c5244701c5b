"""Wood needed against wood there is, by variety: what is free, what is missing, and the sentence that says so in time.

A bundle's `sticks` are what is in it now; its promised sticks are part of them until they are sent.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.methods import BRIDGE, is_summer_bud, method_named
from tendwork.orchard.records import PROMISED, REFUSED, Graft, Records, Wood
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.unions import hints
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_age import usable, wood_age
from tendwork.orchard.wording import NOBODY_NOTED, counted, listed
from tendwork.variety_names import Key

GRAFTS_A_STICK = 3  # from memory: a stick of 20 to 30 cm makes three or four grafts
WHOLE_STICK = BRIDGE  # a bridge spans the wound with one scion as long as a stick (common practice, no source)


class Balance(Struct, frozen=True):
    """The wood of one variety, in sticks; `grafts` are planned grafts that need it, `summer_buds` those that do not.

    `held` is cut and still good, `to_cut` is to be cut from trees of one's own, `expected` is to come from somebody:
    of it `unanswered` was asked for without an answer yet, `assured` was promised, the rest is still to be asked for.
    `promised` is owed out of all of it, `free` is in hand beyond need and promises, `missing` is nowhere. `barred` must
    not be used, for what was seen on its tree, and is in none of the others but what was promised of it. `unions` are
    sentences on planned grafts that may not take where they are planned, or fail late.
    """

    species: str
    variety: str
    grafts: int = 0
    summer_buds: int = 0
    needed: int = 0
    held: int = 0
    to_cut: int = 0
    expected: int = 0
    promised: int = 0
    free: int = 0
    missing: int = 0
    cut_from: tuple[str, ...] = ()
    comes_from: tuple[str, ...] = ()
    barred: int = 0
    unions: tuple[str, ...] = ()
    unanswered: int = 0
    assured: int = 0


def sticks_needed(methods: Sequence[str], served: int = 0) -> int:
    """Sticks for grafts of these methods, none of them a summer bud: one for three, a whole one for each bridge.

    `served` grafts are those for which an open stick still has parts.
    """
    return len(methods) - _from_parts(methods) - (-max(0, _from_parts(methods) - served) // GRAFTS_A_STICK)


def sticks_for_buds(summer_buds: int) -> int:
    """Fresh bud sticks for so many summer buds: counted as for grafts, though most have more good buds (our own)."""
    return -(-summer_buds // GRAFTS_A_STICK)


def parts_left(records: Records, bundle: str, today: date) -> int:
    """How many more grafts the stick serves that was opened today: what is left over dries until the next day."""
    return _left_of(_opened_on(records, today).get(bundle, ()))


def wood_balance(records: Records, today: date, barred: Container[str]) -> tuple[Balance, ...]:
    """The balance of every variety with planned grafts or live wood, by species and variety.

    All names of a variety are one balance, under the first of those that its planned grafts have, else its wood.
    Faded bundles count for nothing, neither what is in them nor what was promised of them; an uncut bundle counts
    once it is known where it comes from. The bundles `barred`, by id, serve for nothing; what was promised of them is
    owed all the same.
    """
    keys, species_of = variety_keys(records), species_by_graft(records)
    planned: dict[Key, list[Graft]] = {}
    for graft in records.grafts:
        if graft.state == "planned" and graft.id in species_of:
            planned.setdefault(keys.of(species_of[graft.id], graft.variety), []).append(graft)
    bundles: dict[Key, list[Wood]] = {}
    for bundle in map(_without_refused, records.wood):
        if wood_age(bundle, today).state != "faded":
            bundles.setdefault(keys.of(bundle.species, bundle.variety), []).append(bundle)
    own, opened = TreesByWord(records.trees), _opened_on(records, today)
    live = {key for key, held in bundles.items() if any(bundle.sticks or bundle.promised_sticks for bundle in held)}
    balances = (
        _balance(records, key[0], planned.get(key, []), bundles.get(key, []), today, barred, own, opened)
        for key in planned.keys() | live
    )
    return tuple(sorted(balances, key=lambda one: (one.species, one.variety)))


def warnings(balance: Balance) -> tuple[str, ...]:
    """What to do about this variety's wood before the buds move; the days are the planner's."""
    name = f"{balance.variety} ({balance.species})"
    found = []
    if balance.missing:
        wanted = [counted(balance.grafts, "planned graft")] if balance.grafts else []
        wanted += [f"{counted(balance.promised, 'stick')} promised"] if balance.promised else []
        found.append(
            f"{name}: {counted(balance.missing, 'stick')} missing for {' and '.join(wanted)}."
            " Cut more or ask for more while the wood is dormant."
        )
    if balance.needed + balance.promised > balance.held:
        if balance.to_cut:
            found.append(f"{name}: {counted(balance.to_cut, 'stick')} still to cut from {listed(balance.cut_from)}.")
        if balance.expected:
            comes = listed(balance.comes_from)
            found.append(f"{name}: {counted(balance.expected, 'stick')} still to come from {comes}{_asking(balance)}")
    return tuple(found)


def barred_words(balance: Balance) -> str:
    """That sticks of this variety are barred; empty where none are."""
    if not balance.barred:
        return ""
    are = "is" if balance.barred == 1 else "are"
    sticks = counted(balance.barred, "stick")
    return f"{balance.variety} ({balance.species}): {sticks} {are} barred and not counted, for disease on their tree."


def _balance(
    records: Records,
    species: str,
    planned: list[Graft],
    bundles: list[Wood],
    today: date,
    barred: Container[str],
    own: TreesByWord,
    opened: Mapping[str, list[str]],
) -> Balance:
    methods = [graft.method for graft in planned if not is_summer_bud(graft)]
    good = [bundle for bundle in bundles if bundle.id not in barred]
    uncut = [bundle for bundle in good if wood_age(bundle, today).state == "not cut"]
    uncut = [bundle for bundle in uncut if bundle.came_from or bundle.asked_on]
    to_cut = [bundle for bundle in uncut if own.meant(bundle.came_from)]
    to_come = [bundle for bundle in uncut if not own.meant(bundle.came_from)]
    held = sum(bundle.sticks for bundle in good if usable(bundle, today))
    needed = sticks_needed(methods, sum(_left_of(opened.get(bundle.id, ())) for bundle in good))
    promised = sum(bundle.promised_sticks for bundle in bundles)
    there = held + _sticks(to_cut) + _sticks(to_come)
    return Balance(
        species=species,
        variety=min(one.variety for one in planned or bundles),
        grafts=len(methods),
        summer_buds=len(planned) - len(methods),
        needed=needed,
        held=held,
        to_cut=_sticks(to_cut),
        expected=_sticks(to_come),
        promised=promised,
        free=max(0, held - needed - promised),
        missing=max(0, needed + promised - there),
        cut_from=tuple(dict.fromkeys(bundle.came_from for bundle in to_cut)),
        comes_from=tuple(dict.fromkeys(bundle.came_from or NOBODY_NOTED for bundle in to_come if bundle.sticks)),
        barred=_sticks(bundles) - _sticks(good),
        unions=hints(records, planned, today),
        unanswered=_sticks([bundle for bundle in to_come if bundle.asked_on and not bundle.answer]),
        assured=_sticks([bundle for bundle in to_come if bundle.answer == PROMISED]),
    )


def _opened_on(records: Records, today: date) -> dict[str, list[str]]:
    """The methods of the grafts that were set from each bundle today, by its id."""
    found: dict[str, list[str]] = {}
    for graft in records.grafts:
        if graft.wood and graft.set_on == today:
            found.setdefault(graft.wood, []).append(graft.method)
    return found


def _left_of(methods: Sequence[str]) -> int:
    """The parts of the open stick that these grafts left."""
    return -_from_parts(methods) % GRAFTS_A_STICK


def _without_refused(bundle: Wood) -> Wood:
    """A bundle as it counts: one that was refused has no sticks; what was promised of it is owed all the same."""
    return replace(bundle, sticks=0) if bundle.answer == REFUSED and bundle.cut_on is None else bundle


def _asking(balance: Balance) -> str:
    """How far the asking for what is to come has got, as the end of a sentence."""
    if not balance.unanswered and not balance.assured:
        return ". Ask soon."
    unasked = balance.expected - balance.unanswered - balance.assured
    said = [f"{unasked} to ask for"] if unasked else []
    said += [f"{balance.unanswered} asked for, no answer yet"] if balance.unanswered else []
    said += [f"{balance.assured} promised"] if balance.assured else []
    return f": {', '.join(said)}."


def _sticks(bundles: list[Wood]) -> int:
    return sum(bundle.sticks for bundle in bundles)


def _from_parts(methods: Sequence[str]) -> int:
    return sum(method_named(method) != WHOLE_STICK for method in methods)

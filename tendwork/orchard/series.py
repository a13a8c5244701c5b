"""Grafting day: a series of grafts on one tree, the last values kept, planned grafts used up and wood counted down."""

from __future__ import annotations

from collections.abc import Container, Sequence
from datetime import date

import msgspec
from msgspec import Struct

from tendwork.orchard.edits import Add, Change, Edit, Replace, after_changes, changes_of
from tendwork.orchard.faults import faults
from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.ids import free_id
from tendwork.orchard.methods import is_summer_bud
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.variety_keys import VarietyKeys, variety_keys
from tendwork.orchard.wood_age import wood_age
from tendwork.orchard.wood_balance import parts_left, sticks_needed
from tendwork.orchard.wording import counted, named
from tendwork.species import family_of


class Draft(Struct, frozen=True):
    """One graft of a series as it is typed. `species` is empty where it is the tree's.

    `wood` is the bundle it comes from; empty lets the series choose.
    """

    tree: str
    variety: str = ""
    method: str = ""
    wrap: str = ""
    seal: str = ""
    wood: str = ""
    facing: int | None = None
    height_m: float | None = None
    out_m: float | None = None
    species: str = ""


def bundle_for(records: Records, variety: str, species: str, today: date, barred: Container[str] = ()) -> Wood | None:
    """The bundle to graft a variety from: one with sticks that are not promised before others, then the oldest.

    None of those `barred`, by id, is ever chosen.
    """
    keys = variety_keys(records)
    wanted = keys.of(species, variety)
    fitting = [
        bundle
        for bundle in records.wood
        if keys.of(bundle.species, bundle.variety) == wanted
        and bundle.id not in barred
        and _serves(records, bundle, today)
    ]
    return min(
        fitting,
        key=lambda bundle: (
            bundle.sticks <= bundle.promised_sticks,
            -(wood_age(bundle, today).age_days or 0),
            bundle.id,
        ),
        default=None,
    )


def planned_for(records: Records, tree: Tree, variety: str, species: str = "") -> Graft | None:
    """The planned graft that a graft of this variety on the tree would become; of `species`, where that is named."""
    keys = variety_keys(records)
    for graft in records.grafts:
        if (graft.tree, graft.state) == (tree.id, "planned"):
            own = graft_species(graft, tree)
            if species in ("", own) and keys.of(own, graft.variety) == keys.of(own, variety):
                return graft
    return None


def species_to_set(records: Records, tree: Tree, variety: str, wood: str = "") -> str:
    """The species of what is set on a tree: as it was planned, else that of the bundle named, of its family.

    Else the tree's; that of the variety's wood only where none of it is of the tree's own species.
    """
    planned = planned_for(records, tree, variety)
    if planned is not None:
        return graft_species(planned, tree)
    keys = variety_keys(records)
    kin = [bundle for bundle in records.wood if bundle.species in family_of(tree.species)]
    held = [bundle.species for bundle in kin if bundle.id == wood]
    held = held or [bundle.species for bundle in kin if _is_of(keys, bundle, variety)]
    return tree.species if tree.species in held or not held else held[0]


def _is_of(keys: VarietyKeys, bundle: Wood, variety: str) -> bool:
    return keys.of(bundle.species, bundle.variety) == keys.of(bundle.species, variety)


def sticks_after(records: Records, bundle: Wood, method: str, today: date) -> int:
    """The sticks left once one more graft is set from a bundle: a stick opened today serves the next. Never below 0."""
    return max(0, bundle.sticks - sticks_needed([method], parts_left(records, bundle.id, today)))


def set_graft(
    records: Records, graft: Graft, today: date, typed: bool = False, barred: Container[str] = ()
) -> tuple[Graft, Wood | None]:
    """The graft as it is once set today, and the bundle it came from with fewer sticks; None where no wood is held.

    `typed` says that the person named the graft's bundle, which then serves whatever its age. One of the bundles
    `barred`, by id, is never chosen for the person, but is the one where it was noted.
    """
    species = next(graft_species(graft, tree) for tree in records.trees if tree.id == graft.tree)
    done = msgspec.structs.replace(graft, state="set", set_on=today)
    bundle = _bundle_of(records, done, typed, species, today, barred)
    if bundle is None:
        return done, None
    left = msgspec.structs.replace(bundle, sticks=sticks_after(records, bundle, done.method, today))
    return msgspec.structs.replace(done, wood=bundle.id), left


def set_grafts(records: Records, drafts: Sequence[Draft], today: date, barred: Container[str] = ()) -> Edit:
    """Set a series of grafts today, all or none.

    A planned graft of the variety on the tree becomes the one that is set, keeping what the draft leaves empty; else
    a new one is added. The bundle that each comes from gets fewer sticks.
    """
    now = records
    told = []
    refused: list[str] = []
    for number, draft in enumerate(drafts, 1):
        if why := _draft_fault(now, draft):
            refused.append(why if len(drafts) == 1 else f"Graft {number} of {len(drafts)}: {why}")
            continue
        now, words = _set_one(now, draft, today, barred)
        told.append(words)
    before = set(faults(records, today))
    refused += [fault for fault in faults(now, today) if fault not in before]
    return Edit("; ".join(told), _difference(records, now), tuple(refused))


def _draft_fault(records: Records, draft: Draft) -> str:
    if not draft.variety.strip():
        return "The variety is missing. Type its name, or choose a planned graft."
    if all(tree.id != draft.tree for tree in records.trees):
        return f'There is no tree "{draft.tree}". Choose one that is there.'
    if draft.wood and all(bundle.id != draft.wood for bundle in records.wood):
        return f'There is no bundle of wood "{draft.wood}". Choose one that is there, or leave it empty.'
    return ""


def _set_one(records: Records, draft: Draft, today: date, barred: Container[str]) -> tuple[Records, str]:
    tree = next(tree for tree in records.trees if tree.id == draft.tree)
    planned = planned_for(records, tree, draft.variety, draft.species)
    species = draft.species or species_to_set(records, tree, draft.variety, draft.wood)
    typed = {name: value for name, value in msgspec.structs.asdict(draft).items() if value not in ("", None)}
    own = "" if species == tree.species else species
    start = planned or Graft(free_id(records, "grafts"), draft.tree, draft.variety, species=own)
    graft, left = set_graft(records, msgspec.structs.replace(start, **typed), today, bool(draft.wood), barred)
    if left is None:
        words = f"{named(graft)} set" + ("" if is_summer_bud(graft) else "; no wood of it is held")
        return after_changes(records, (_placed(graft, planned),)), words
    changes = (_placed(graft, planned), Replace(left))
    return after_changes(records, changes), f"{named(graft)} set, {_left_words(left)}"


def _placed(graft: Graft, planned: Graft | None) -> Change:
    return Add(graft) if planned is None else Replace(graft)


def _bundle_of(
    records: Records, graft: Graft, typed: bool, species: str, today: date, barred: Container[str]
) -> Wood | None:
    """The bundle that was typed, else the planned one while it serves, else the one that fits best."""
    bundle = next((bundle for bundle in records.wood if bundle.id == graft.wood), None)
    if bundle is not None and (typed or _serves(records, bundle, today)):
        return bundle
    return None if is_summer_bud(graft) else bundle_for(records, graft.variety, species, today, barred)


def _serves(records: Records, bundle: Wood, today: date) -> bool:
    """Whether a graft can be made from a bundle: it is good, and has a stick or the rest of one opened today."""
    good = wood_age(bundle, today).state in ("fresh", "fading")
    return good and (bundle.sticks > 0 or parts_left(records, bundle.id, today) > 0)


def _left_words(bundle: Wood) -> str:
    promised = f", {bundle.promised_sticks} promised" if bundle.promised_sticks else ""
    return f"{counted(bundle.sticks, 'stick')} left in {bundle.id}{promised}"


def _difference(before: Records, after: Records) -> tuple[Change, ...]:
    """The changes that lead from one to the other, where grafts were added or changed and bundles changed."""
    grafts = {graft.id: graft for graft in before.grafts}
    bundles = {bundle.id: bundle for bundle in before.wood}
    return changes_of(
        replace=(
            *(graft for graft in after.grafts if grafts.get(graft.id, graft) != graft),
            *(bundle for bundle in after.wood if bundles[bundle.id] != bundle),
        ),
        add=(graft for graft in after.grafts if graft.id not in grafts),
    )

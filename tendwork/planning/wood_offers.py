"""Which wood can be offered to others: the varieties that are kept here, on trees that may give wood."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.mother_trees import MotherTrees
from tendwork.orchard.records import Records
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_balance import wood_balance
from tendwork.orchard.wood_sources import Sources
from tendwork.planning.work_bars import WorkBars, barred_on
from tendwork.variety_names import Key

_KEPT_STATES = ("took", "bearing")


class Offer(Struct, frozen=True):
    """A variety that is kept here. `trees` are those that may give its wood, with the year of planting where known.

    `carries` says from how many sources those trees carry wood. `promised` is (to whom, sticks) of what was promised,
    `free` are sticks in store beyond need and promises. Without `trees` it is not to be given, and `barred` says why.
    """

    species: str
    variety: str
    trees: tuple[tuple[str, int | None], ...]
    carries: tuple[str, ...] = ()
    promised: tuple[tuple[str, int], ...] = ()
    free: int = 0
    barred: tuple[str, ...] = ()


def wood_offers(records: Records, today: date, south: bool) -> tuple[Offer, ...]:
    """Every variety of which a graft is judged "keep" and has taken, by species and variety."""
    keys, species_of = variety_keys(records), species_by_graft(records)
    kept: dict[Key, str] = {}
    for graft in records.grafts:
        if graft.verdict == "keep" and graft.state in _KEPT_STATES and graft.id in species_of:
            kept.setdefault(keys.of(species_of[graft.id], graft.variety), graft.variety)
    promised, sources = _promised(records), Sources(records)
    bars, mothers = WorkBars(records, south, today), MotherTrees(records)
    free = {
        keys.of(one.species, one.variety): one.free
        for one in wood_balance(records, today, barred_on(records, today, south))
    }
    offers = []
    for key, variety in sorted(kept.items()):
        species = key[0]
        trees = [source.tree for source in sources.of(species, variety)]
        against = {tree.id: bars.against_giving(tree.id) for tree in trees}
        giving = [tree for tree in trees if not against[tree.id]]
        offers.append(
            Offer(
                species,
                variety,
                tuple((bars.tree_name(tree.id), tree.planted) for tree in giving),
                tuple(words for tree in giving if (words := mothers.carries(tree))),
                tuple(promised.get(key, {}).items()),
                free.get(key, 0),
                tuple(dict.fromkeys(words for words in against.values() if words)),
            )
        )
    return tuple(offers)


def _promised(records: Records) -> dict[Key, dict[str, int]]:
    """The sticks that were promised of each variety, by whom they are promised to."""
    keys, found = variety_keys(records), dict[Key, dict[str, int]]()
    for bundle in records.wood:
        if bundle.promised_sticks:
            to = found.setdefault(keys.of(bundle.species, bundle.variety), {})
            to[bundle.promised_to] = to.get(bundle.promised_to, 0) + bundle.promised_sticks
    return found

"""What wood is to be cut from which tree: what the planned grafts here need, and what is promised to whom.

Nothing of it is stored. Of each variety it is what is needed and promised less what lies here and what others are to
give, so that the list is empty once the wood is cut.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.orchard.records import REFUSED, Graft, Records, Wood
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_age import usable, wood_age
from tendwork.orchard.wood_balance import Balance, wood_balance
from tendwork.orchard.wood_sources import Source, Sources, is_from_somebody
from tendwork.planning.work_bars import WorkBars, barred_on
from tendwork.variety_names import Key

HERE = ""
"""For whom sticks are that are needed by planned grafts here."""


class Cutting(Struct, frozen=True):
    """Sticks of one variety to cut from one tree: `here`, and `promised` as (to whom, sticks).

    `tree` is empty where no tree here has the variety that may give it. `grafts` are where it grows in that tree.
    `spare` are sticks of a bundle that waits to be cut beyond what is needed and promised. `barred` are sentences on
    the trees that have it and must not give any, `look` on grafts of that name that are of another species.
    """

    species: str
    variety: str
    tree: str = ""
    tree_name: str = ""
    grafts: tuple[Graft, ...] = ()
    here: int = 0
    promised: tuple[tuple[str, int], ...] = ()
    spare: int = 0
    barred: tuple[str, ...] = ()
    look: tuple[str, ...] = ()

    @property
    def owed(self) -> int:
        """The sticks that are needed or promised."""
        return self.here + sum(sticks for _, sticks in self.promised)

    @property
    def sticks(self) -> int:
        return self.owed + self.spare


class _Share(Struct, frozen=True):
    """Sticks for somebody, of the `bundle` of which they were promised; None for what is needed here."""

    who: str
    sticks: int
    bundle: Wood | None = None


def cutting_list(records: Records, today: date, south: bool) -> tuple[Cutting, ...]:
    """What is to be cut as of a day, tree by tree in the order of the trees, and last what no tree here may give."""
    barred, bars = barred_on(records, today, south), WorkBars(records, south, today)
    own, sources, keys = TreesByWord(records.trees), Sources(records), variety_keys(records)
    held: dict[Key, list[Wood]] = {}
    for bundle in records.wood:
        held.setdefault(keys.of(bundle.species, bundle.variety), []).append(bundle)
    found: list[Cutting] = []
    for balance in wood_balance(records, today, barred):
        wood = held.get(keys.of(balance.species, balance.variety), [])
        wood = [bundle for bundle in wood if wood_age(bundle, today).state != "faded"]
        counted = {bundle.id: _counts(bundle, own, today) for bundle in wood if bundle.id not in barred}
        shares = _left(balance, wood, counted)
        spare = max(0, balance.to_cut - sum(share.sticks for share in shares))
        if shares or spare:
            named = {bundle.id: _named_tree(bundle, own) for bundle in wood if _is_uncut(bundle, today)}
            found += _on_trees(records, sources, balance, shares, spare, named, bars)
    order = {tree.id: place for place, tree in enumerate(records.trees)}
    return tuple(sorted(found, key=lambda one: (order.get(one.tree, len(order)), one.species, one.variety.casefold())))


def _counts(bundle: Wood, own: TreesByWord, today: date) -> int:
    """The sticks of a bundle that need not be cut here: it lies here, or somebody is to give it."""
    is_coming = _is_uncut(bundle, today) and is_from_somebody(bundle, own)
    if bundle.answer == REFUSED and bundle.cut_on is None:
        return 0
    return bundle.sticks if is_coming or usable(bundle, today) else 0


def _is_uncut(bundle: Wood, today: date) -> bool:
    return wood_age(bundle, today).state == "not cut"


def _left(balance: Balance, wood: Iterable[Wood], counted: dict[str, int]) -> list[_Share]:
    """What is to be cut: each promise is paid out of its own bundle first, then what is needed, then other promises."""
    shares = [_Share(bundle.promised_to, bundle.promised_sticks, bundle) for bundle in wood if bundle.promised_sticks]
    free = dict(counted)
    open_shares = []
    for share in shares:
        assert share.bundle is not None
        paid = min(share.sticks, free.get(share.bundle.id, 0))
        free[share.bundle.id] = free.get(share.bundle.id, 0) - paid
        open_shares.append(_Share(share.who, share.sticks - paid, share.bundle))
    pool = sum(free.values())
    left = []
    for share in (_Share(HERE, balance.needed), *open_shares):
        paid = min(share.sticks, pool)
        pool -= paid
        if share.sticks > paid:
            left.append(_Share(share.who, share.sticks - paid, share.bundle))
    return left


def _on_trees(
    records: Records,
    sources: Sources,
    balance: Balance,
    shares: list[_Share],
    spare: int,
    named: dict[str, str],
    bars: WorkBars,
) -> Iterable[Cutting]:
    """The shares of one variety by the tree that gives them: the one that a bundle names, else the youngest.

    `named` has the tree of each bundle that is still to be cut, by its id; "" where it names none.
    """
    grows = {source.tree.id: source for source in sources.of(balance.species, balance.variety)}
    trees = {tree.id: tree for tree in records.trees if tree.id in named.values()}
    wanted = dict.fromkeys((*filter(None, named.values()), *grows))
    against = {tree: bars.against_giving(tree) for tree in wanted}
    free = [tree for tree in wanted if not against[tree]]
    usual = free[0] if free else ""
    barred = tuple(dict.fromkeys(words for words in against.values() if words))
    by_tree: dict[str, list[_Share]] = {usual: []}
    for share in shares:
        tree = "" if share.bundle is None else named.get(share.bundle.id, "")
        by_tree.setdefault(tree if tree in free else usual, []).append(share)
    for tree, held in by_tree.items():
        more = spare if tree == usual else 0
        if not held and not more:
            continue
        source = grows.get(tree) or (Source(trees[tree]) if tree else None)
        yield Cutting(
            balance.species,
            balance.variety,
            tree,
            bars.tree_name(tree) if tree else "",
            source.grafts if source else (),
            sum(share.sticks for share in held if share.bundle is None),
            _by_person(share for share in held if share.bundle is not None),
            more,
            barred if tree == usual else (),
            () if tree else _look_words(sources, balance, bars),
        )


def _look_words(sources: Sources, balance: Balance, bars: WorkBars) -> tuple[str, ...]:
    """What grows here under the name of a variety of which no tree has any, and is of another species."""
    return tuple(
        f"{graft.variety} ({graft.id}) on {bars.tree_name(graft.tree)} is of another species, {species}: look which one"
        " is meant."
        for graft, species in sources.namesakes(balance.species, balance.variety)
    )


def _named_tree(bundle: Wood, own: TreesByWord) -> str:
    """The tree that a bundle is to be cut from, where its word means one alone."""
    meant = own.meant(bundle.came_from)
    return meant[0] if len(meant) == 1 else ""


def _by_person(shares: Iterable[_Share]) -> tuple[tuple[str, int], ...]:
    found: dict[str, int] = {}
    for share in shares:
        found[share.who] = found.get(share.who, 0) + share.sticks
    return tuple(found.items())

"""Whether trees and grafts meet the conditions of a template (`where`)."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Tree
from tendwork.orchard.tree_size import is_trained_flat
from tendwork.orchard.unions import graft_union, tree_union
from tendwork.planning.ages import grew_in, is_of_age, planted_in, set_in
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.tree_signs import follows_on, shows_any
from tendwork.planning.vocabulary import FAILS_LATE, Where

_Kind = tuple[str, str, str, str, int | None, int | None]
"""What conditions ask of a graft beside its height: state, method, wrap, verdict, when it was set and first grew."""


def accepts(allowed: tuple[str, ...] | None, value: str) -> bool:
    """Whether a value is among those allowed, or all are."""
    return allowed is None or value in allowed


def asks_about_grafts(where: Where) -> bool:
    """Whether any condition is one that only a graft can meet."""
    asked = (where.state, where.method, where.wrap, where.verdict, where.above_m, where.growing_years, where.union)
    return any(part is not None for part in asked)


class Conditions:
    """The conditions of templates, held against one orchard. What fits is asked of grafts by their kind, once."""

    def __init__(self, orchard: Orchard) -> None:
        self._orchard = orchard
        self._kinds = {graft.id: _kind_of(graft, orchard.south) for graft in orchard.records.grafts}
        self._all_kinds = frozenset(self._kinds.values())

    def tree_fitting(self, where: Where, season: Season) -> Callable[[Tree], bool]:
        """Whether a tree meets all conditions but its species; those about grafts are met by one of its own."""
        orchard = self._orchard
        of_grafts = replace(where, union=None)  # of a tree it is its own on the stock
        asks, fits = asks_about_grafts(of_grafts), self.fitting(of_grafts, season, aged=False)

        def fitting(tree: Tree) -> bool:
            grafts = orchard.grafts_of[tree.id]
            return (
                is_of_age(where.age_years, planted_in(tree, grafts, orchard.south), season)
                and (not asks or any(map(fits, grafts)))
                and (where.trained_flat is None or where.trained_flat == is_trained_flat(tree))
                and (where.follows is None or follows_on(orchard, where.follows, tree.id, season))
                and (where.any_of is None or shows_any(orchard, where.any_of, tree, season))
                and (where.union is None or (where.union == FAILS_LATE) == self._tree_fails_late(tree))
            )

        return fitting

    def graft_fitting(self, where: Where, season: Season) -> Callable[[Graft], bool]:
        """Whether a graft and its species meet the conditions."""
        species, fits = self._orchard.species, self.fitting(where, season)

        def fitting(graft: Graft) -> bool:
            of = species.get(graft.id)
            return of is not None and accepts(where.species, of) and fits(graft)

        return fitting

    def any_graft_may_fit(self, where: Where, season: Season) -> bool:
        """Whether there is a kind of graft here that meets the conditions, whatever its species, height and union."""
        return any(self._kind_fits(where, kind, season, aged=True) for kind in self._all_kinds)

    def fitting(self, where: Where, season: Season, aged: bool = True) -> Callable[[Graft], bool]:
        """Whether a graft meets all conditions but its species, and but its age if not `aged`; once for its kind."""
        known: dict[_Kind, bool] = {}
        kinds, above_m, union = self._kinds, where.above_m, where.union

        def fits(graft: Graft) -> bool:
            kind = kinds[graft.id]
            found = known.get(kind)
            if found is None:
                found = known[kind] = self._kind_fits(where, kind, season, aged)
            return (
                found
                and (above_m is None or (graft.height_m is not None and graft.height_m > above_m))
                and (union is None or (union == FAILS_LATE) == self._fails_late(graft))
            )

        return fits

    def _kind_fits(self, where: Where, kind: _Kind, season: Season, aged: bool) -> bool:
        state, method, wrap, verdict, began_in, first_grew_in = kind
        words = self._orchard.words
        return (
            (where.state is None or state in where.state)
            and (where.method is None or words.fits("method", method, where.method))
            and (where.wrap is None or words.fits("wrap", wrap, where.wrap))
            and (where.verdict is None or verdict in where.verdict)
            and (not aged or is_of_age(where.age_years, began_in, season))
            and is_of_age(where.growing_years, first_grew_in, season)
        )

    def _fails_late(self, graft: Graft) -> bool:
        tree = self._orchard.trees.get(graft.tree)
        return tree is not None and graft_union(graft, tree, self._orchard.today).fails_late

    def _tree_fails_late(self, tree: Tree) -> bool:
        union = tree_union(tree, self._orchard.today)
        return union is not None and union.fails_late


def _kind_of(graft: Graft, south: bool) -> _Kind:
    return graft.state, graft.method, graft.wrap, graft.verdict, set_in(graft, south), grew_in(graft, south)

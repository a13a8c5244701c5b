"""What is doubtful in bundles of wood: more promised than there is, and wood from a tree that bears no such kind."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.orchard.records import Records, Wood
from tendwork.orchard.tree_names import TreesByWord, tree_names
from tendwork.orchard.wording import counted


def wood_doubts(records: Records, bundles: Iterable[Wood]) -> tuple[str, ...]:
    """A sentence for each doubt about these bundles; nothing is refused for it, as records come in bit by bit."""
    own, names = TreesByWord(records.trees), tree_names(records.trees)
    kinds = {tree.id: {tree.species} for tree in records.trees}
    tree_of = {graft.id: graft.tree for graft in records.grafts}
    for graft in records.grafts:
        kinds.setdefault(graft.tree, set()).add(graft.species)
    for life in records.lives:
        kinds.setdefault(tree_of.get(life.graft, ""), set()).add(life.species)
    found = []
    for bundle in bundles:
        called = f'Bundle "{bundle.id}" of {bundle.variety}'
        missing = bundle.promised_sticks - bundle.sticks
        if missing > 0:
            found.append(
                f"{called} has {counted(bundle.sticks, 'stick')}, and {bundle.promised_sticks} of it are promised:"
                f" {missing} missing. Mend one of the two numbers, or find more wood."
            )
        meant = own.meant(bundle.came_from)
        if meant and not any(bundle.species in kinds[tree] for tree in meant):
            trees = " or ".join(names[tree] for tree in meant)
            found.append(
                f"{called} ({bundle.species}) is from {trees}, on which no {bundle.species} was ever noted. Mend the"
                " species or the tree, or note the graft."
            )
    return tuple(found)

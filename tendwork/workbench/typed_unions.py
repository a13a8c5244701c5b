"""What is known against a union while it is being typed: a graft that is planned, a tree on its stock."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.orchard.records import Graft, RecordKind, Records, Tree
from tendwork.orchard.unions import planned_hint, tree_hint
from tendwork.workbench.form_values import values

OF_A_GRAFT = ("tree", "variety", "species", "method", "state", "height_m")
OF_A_TREE = ("species", "stock", "interstem", "planted")
_NEW_GRAFT, _NEW_TREE = Graft("", "", ""), Tree("", "", "")


def typed_graft_hint(typed: Mapping[str, str], records: Records, today: date, held: Graft = _NEW_GRAFT) -> str:
    """A sentence on a planned graft as typed so far, over what is `held` of it; empty where nothing speaks against it.

    What cannot be read yet is left as it is held: the form says so when it is saved.
    """
    graft = replace(held, **_read("grafts", OF_A_GRAFT, typed))
    tree = next((tree for tree in records.trees if tree.id == graft.tree), None)
    return "" if tree is None or graft.state != "planned" else planned_hint(graft, tree, today)


def typed_tree_hint(typed: Mapping[str, str], today: date, held: Tree = _NEW_TREE) -> str:
    """The same of a tree on its stock."""
    tree = replace(held, **_read("trees", OF_A_TREE, typed))
    return tree_hint(tree, today) if tree.species else ""


def _read(kind: RecordKind, names: tuple[str, ...], typed: Mapping[str, str]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name in names:
        if name in typed:
            try:
                found |= values(kind, {name: typed[name]})
            except PersonError:
                continue
    return found

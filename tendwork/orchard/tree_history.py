"""What was noted on one tree as a whole: signs of disease, sprays and bud stages, the newest first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from tendwork.orchard.history import Event
from tendwork.orchard.records import Records, Tree
from tendwork.orchard.tree_notes import wait_words


def tree_history(records: Records, tree: Tree) -> tuple[Event, ...]:
    """The events of a tree, the newest first; of one day, the one noted last."""
    return tuple(sorted(_events(records, tree), key=lambda event: event.day or date.min)[::-1])


def _events(records: Records, tree: Tree) -> Iterator[Event]:
    for sighting in records.sightings:
        if sighting.tree == tree.id:
            yield Event("seen", f"{sighting.stage} seen{_aside(sighting.note)}", sighting.day)
    for spray in records.sprays:
        if spray.tree == tree.id:
            yield Event("sprayed", f"sprayed with {spray.product}: {wait_words(spray)}{_aside(spray.note)}", spray.day)
    for trouble in records.troubles:
        if trouble.tree == tree.id:
            yield Event("trouble", f"{trouble.what} seen{_aside(trouble.note)}", trouble.day)


def _aside(note: str) -> str:
    return f" ({note})" if note else ""

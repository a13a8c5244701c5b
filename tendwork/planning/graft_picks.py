"""What a person pins and forbids, read as numbers of candidates and places; what contradicts itself is refused."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from tendwork.errors import PersonError
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.wording import counted, listed
from tendwork.planning.graft_candidates import Candidate
from tendwork.planning.graft_places import OpenPlaces


class Pick(Struct, frozen=True):
    """A variety, by any of its names, at a place, by the graft that stands or stood there.

    A name that two species have is written "Margil (apple)". One of the two may be empty where it is forbidden: the
    variety then goes nowhere, or nothing goes to the place.
    """

    variety: str = ""
    place: str = ""


def pick_name(candidate: Candidate, found: Iterable[Candidate]) -> str:
    """The name by which a candidate is picked: with its species where a candidate of another has the same name."""
    name = candidate.variety
    alike = [one for one in found if one.variety.casefold() == name.casefold()]
    return name if len(alike) < 2 else f"{name} ({candidate.species})"


class PickReader:
    """Reads picks as (candidate, place) by number. Raises PersonError for what names nothing, or not one thing."""

    def __init__(self, found: Sequence[Candidate], places: OpenPlaces, book: VarietyBook) -> None:
        self._found, self._places, self._book = found, places, book

    def pinned(self, pins: Sequence[Pick]) -> tuple[tuple[int, int], ...]:
        """What is pinned, each once. Raises PersonError for two at one place, and one variety at two."""
        held: dict[tuple[int, int], Pick] = {}
        for pin in pins:
            pair = self._named(pin.variety), self._place(pin.place)
            name = pick_name(self._found[pair[0]], self._found)
            for (variety, place), other in held.items():
                if variety == pair[0] and place != pair[1]:
                    raise PersonError(f"{name} is pinned to two places, {other.place} and {pin.place}. Pin it to one.")
                if place == pair[1] and variety != pair[0]:
                    both = f"{pick_name(self._found[variety], self._found)} and {name}"
                    raise PersonError(f"{both} are both pinned to {pin.place}. Pin one of them there.")
            held.setdefault(pair, pin)
        return tuple(held)

    def forbidden(self, forbids: Sequence[Pick], pins: Sequence[Pick]) -> frozenset[tuple[int, int]]:
        """What is forbidden. Raises PersonError where that is pinned too."""
        pinned = {(self._named(pin.variety), self._place(pin.place)): pin for pin in pins}
        found: set[tuple[int, int]] = set()
        for pick in forbids:
            varieties = [self._named(pick.variety)] if pick.variety else range(len(self._found))
            places = [self._place(pick.place)] if pick.place else range(len(self._places.places))
            barred = {(variety, place) for variety in varieties for place in places}
            for pair, pin in pinned.items():
                if pair in barred:
                    raise PersonError(
                        f'"{_written(pin)}" is pinned and "{_written(pick)}" is forbidden: these contradict each '
                        "other. Give up one of the two."
                    )
            found |= barred
        return frozenset(found)

    def refuse_too_many(self, pairs: Sequence[tuple[int, int]], new: int | None, most: int) -> None:
        """Raise PersonError where more is pinned than a third of a crown, `new` or what fits into the hours allow."""
        places = self._places.places
        for room in self._places.rooms:
            here = sum(places[place].tree == room.tree for _, place in pairs)
            if here > room.room:
                takes = f"takes {room.room or 'no'} more for that spring, a third of its crown in all"
                raise PersonError(f"{counted(here, 'graft')} pinned on {room.tree_name}, which {takes}. Pin fewer.")
        if len(pairs) > most:
            pinned = counted(len(pairs), "graft")
            if new is not None and new <= most:
                raise PersonError(f"{pinned} pinned, but at most {new} wanted. Pin fewer, or raise that limit.")
            raise PersonError(f"{pinned} pinned, but the hours are enough for {most}. Pin fewer, or allow more hours.")

    def _named(self, variety: str) -> int:
        found, book = self._found, self._book
        numbers = [number for number, one in enumerate(found) if book.key(one.species, variety) == one.key]
        if not numbers and variety.endswith(")"):
            name, _, species = variety[:-1].rpartition(" (")
            numbers = [
                number
                for number, one in enumerate(found)
                if one.species.casefold() == species.strip().casefold() and book.key(one.species, name) == one.key
            ]
        if not numbers:
            raise PersonError(f'"{variety}" is no candidate. `tendwork propose` names those that there are.')
        if len(numbers) > 1:
            names = [f'"{found[number].variety} ({found[number].species})"' for number in numbers]
            raise PersonError(f'"{variety}" is a variety of {len(names)} species: name one of {listed(names)}.')
        return numbers[0]

    def _place(self, place: str) -> int:
        ids = [one.id for one in self._places.places]
        if place not in ids:
            raise PersonError(f'"{place}" is no free place. Name one of: {listed(ids) if ids else "none"}.')
        return ids.index(place)


def _written(pick: Pick) -> str:
    return f"{pick.variety}={pick.place}" if pick.place else pick.variety

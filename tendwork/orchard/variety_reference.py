"""What published lists say of varieties, each value with who says it: looked up by species, name and other names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal, get_args

from msgspec import Struct

from tendwork.variety_names import Key, variety_key

ListedField = Literal["bloom", "pollen", "ripens", "days from bloom", "keeps", "vigour"]
LISTED_FIELDS: tuple[ListedField, ...] = get_args(ListedField)


class Said(Struct, frozen=True):
    """A value and who says it: a published list, only a `hobby` page or forum, or the person (`own`)."""

    value: str
    by: str
    hobby: bool = False
    own: bool = False

    @property
    def words(self) -> str:
        """ "triploid [RHS, 10 AGM apples, undated]"; of a hobby page "4 of 5 [hobby list: a forum grower, undated]"."""
        return f"{self.value} [{'hobby list: ' if self.hobby else ''}{self.by}]"


class BloomPlace(Struct, frozen=True):
    """Where a variety blooms among those of its species: a bloom group, and in words with who says it.

    `noted` where it is the person's own word.
    """

    group: float
    words: str
    noted: bool = False


class ListedVariety(Struct, frozen=True):
    """What the lists say of one variety. `bloom` is its place in the bloom order that the almanac goes by, if any."""

    species: str
    variety: str
    also: tuple[Said, ...] = ()
    said: Mapping[ListedField, tuple[Said, ...]] = {}
    bloom: BloomPlace | None = None


class VarietyReference:
    """The varieties of the lists by species and any of their names, without case and accents."""

    def __init__(self, listed: Iterable[ListedVariety] = ()) -> None:
        self.listed = tuple(listed)
        self._by_name: dict[Key, ListedVariety] = {}
        for one in self.listed:
            self._by_name[variety_key(one.species, one.variety)] = one
        for one in self.listed:
            for other in one.also:
                self._by_name.setdefault(variety_key(one.species, other.value), one)

    def find(self, species: str, name: str) -> ListedVariety | None:
        """What the lists say of the variety of this name; None where no list has it."""
        return self._by_name.get(variety_key(species, name))

    def names(self, species: str) -> tuple[str, ...]:
        """The names of all varieties of a species."""
        return tuple(one.variety for one in self.listed if one.species == species)


NO_REFERENCE = VarietyReference()

"""One unit of a job before any date is known: a tree, a graft, a bundle, a variety or the whole site."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.planning.ripening_dates import RipeDates

SITE = "site"


class Subject(Struct, frozen=True):
    """One unit before any date is known: `events` maps the words of `after` to days, `group` is the task's subject.

    `formerly` are ids under which a variety may have been ticked: those of its other names, and those from before ids
    had its species in them. `height_m` is how high the work is known to go, `highest_m` how high it may go, `crown_m`
    how high its tree is; None is not known.
    `bud_species` are the species whose buds decide, where those are not the unit's own: of a graft that does not grow
    by itself yet, that of its tree. `bud_variety` is the variety whose buds decide, empty where those of the species
    do: of a tree, and of such a graft, the single one of the tree. `known_since` is the day from which the program
    knows of the unit; None is from always. `set_in` is the month or year in which a graft was set, in words, where its
    day is not known: `events` then have the first day that it may have been, so that nothing is looked at too late.
    `ripe` are the dates of its variety this season, of a tree those of the first to ripen; None where nobody knows.
    """

    id: str
    label: str
    group: str
    group_name: str
    place: str
    species: tuple[str, ...]
    events: dict[str, date]
    variety: str = ""
    bud_variety: str = ""
    height_m: float | None = None
    highest_m: float | None = None
    crown_m: float | None = None
    matches: bool = True
    formerly: tuple[str, ...] = ()
    known_since: date | None = None
    bud_species: tuple[str, ...] = ()
    set_in: str = ""
    ripe: RipeDates | None = None

    @property
    def buds(self) -> tuple[str, ...]:
        """The species whose buds decide."""
        return self.bud_species or self.species

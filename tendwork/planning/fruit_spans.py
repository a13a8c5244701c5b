"""From when to when each variety gives fruit to eat in one season: off the tree, and out of the store.

Fruit in store counts where it is known to keep: nothing hangs in December. How long fruit keeps of which nobody says
anything is not known, and counts for nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from msgspec import Struct

from tendwork.orchard.fruit_year import month_day_of
from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.ripening import HIGH_SUMMER, WEEKS
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.ripening_dates import RipeDates
from tendwork.variety_names import Key

_WEEK = timedelta(days=7)
_DAY = timedelta(days=1)


class FruitSpan(Struct, frozen=True):
    """One variety that grows or is planned and is not judged "cut", and the days on which its fruit is good to eat.

    `on_tree` are the first and last day off the tree, None of what is picked hard and eaten later; `in_store` those
    out of the store, None where it is not known to keep. What is picked hard is good for a week where no more is said.
    `picked` is the day of picking. `bears` is false while none of its `grafts` bears; `names` are all that its grafts
    have.
    """

    key: Key
    species: str
    variety: str
    names: tuple[str, ...]
    grafts: tuple[str, ...]
    bears: bool
    picked: date
    on_tree: tuple[date, date] | None
    in_store: tuple[date, date] | None

    def covers(self, first: date, last: date) -> bool:
        """Whether there is fruit of it on any day from `first` to `last`."""
        return any(span is not None and span[0] <= last and span[1] >= first for span in (self.on_tree, self.in_store))


def fruit_spans(
    records: Records, rows: Sequence[RipeDates], book: VarietyBook, usual: bool = False
) -> tuple[FruitSpan, ...]:
    """The earliest first, of the varieties of which a day is known; `usual` for those of a season as usual."""
    by_key = {book.key(row.species, row.variety): row for row in rows}
    species = species_by_graft(records)
    held: dict[Key, list[Graft]] = {}
    for graft in records.grafts:
        grows = graft.state in ("planned", *GROWS) and graft.verdict != "cut"
        if grows and graft.id in species and is_of_a_variety(graft):
            held.setdefault(book.key(species[graft.id], graft.variety), []).append(graft)
    found = [span_of(key, grafts, by_key[key], usual) for key, grafts in held.items() if key in by_key]
    return tuple(sorted(found, key=lambda span: (span.picked, span.variety, span.species)))


def span_of(key: Key, grafts: Sequence[Graft], row: RipeDates, usual: bool = False) -> FruitSpan:
    """The days of one variety, on these grafts of it, out of its dates."""
    move = row.usual - row.pick if usual else timedelta()
    store = None
    if row.until is not None and row.until >= max(row.eat, row.hangs + _DAY):
        store = max(row.eat, row.hangs + _DAY) + move, row.until + move
    if row.eat > row.hangs:  # picked hard: nothing is eaten off the tree
        on_tree, store = None, store or (row.eat + move, row.eat + _WEEK - _DAY + move)
    else:
        on_tree = max(row.pick, row.eat) + move, row.hangs + move
    names = tuple(dict.fromkeys(graft.variety for graft in grafts)) or (row.variety,)
    bears = any(graft.state == "bearing" for graft in grafts)
    ids = tuple(graft.id for graft in grafts)
    return FruitSpan(key, row.species, min(names), names, ids, bears, row.pick + move, on_tree, store)


def season_weeks(year: int, south: bool = False) -> tuple[date, ...]:
    """The first days of the weeks from high summer to midwinter, of the fruit year named by the year of its spring."""
    first = date(year, *month_day_of(HIGH_SUMMER, south))
    return tuple(first + week * _WEEK for week in range(WEEKS))


def weeks_covered(span: FruitSpan, weeks: Sequence[date]) -> frozenset[int]:
    """The weeks, by number, in which there is fruit of it."""
    return frozenset(number for number, week in enumerate(weeks) if span.covers(week, week + _WEEK - _DAY))

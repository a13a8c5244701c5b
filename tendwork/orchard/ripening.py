"""What is typed and tasted of when each variety is ripe, as days of the year.

A variety is ripe from the day noted on its grafts to the last noted day, or where none of them has any, from and to the
days in its record; and on every day on which its fruit was tasted ripe, which for a keeper goes on in the store.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.orchard.fruit_year import day_of_fruit_year, month_day_of
from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.lives import present
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_words import ripe_span
from tendwork.variety_names import Key

HIGH_SUMMER = 81  # days into the fruit year: 21 June, in the south 21 December
WEEKS = 27  # from high summer to midwinter, 21 December, in the south 21 June
RIPE = "ripe"
_LAST_DAY = 364
_STORED_DAYS = 60  # no variety ripens so long before its own first day (common practice, no source)
_GROWING = ("planned", "set", "took", "bearing")


class Ripening(Struct, frozen=True):
    """When a variety is ripe, as (month, day); `bears` is false while none of its grafts bears yet.

    `noted` says that the grafts' own dates speak, `recorded` that the variety's record does, `tasted` that tastings do.
    `names` are all that its grafts have.
    """

    species: str
    variety: str
    first: tuple[int, int]
    last: tuple[int, int]
    bears: bool
    noted: bool = False
    tasted: bool = False
    recorded: bool = False
    names: tuple[str, ...] = ()


def ripening(records: Records, south: bool = False) -> tuple[Ripening, ...]:
    """The ripening span of every variety that grows here or is planned and of which a day is known, earliest first.

    Grafts judged "cut" are left out: their fruit will not be there.
    """
    species_of = species_by_graft(records)
    tasted: dict[str, list[date]] = {}
    for tasting in present(records).tastings:
        if tasting.ripe == RIPE:
            tasted.setdefault(tasting.graft, []).append(tasting.day)
    book = VarietyBook(records)
    varieties: dict[Key, list[tuple[str, Graft]]] = {}
    for graft in records.grafts:
        if graft.state in _GROWING and graft.verdict != "cut" and graft.id in species_of and is_of_a_variety(graft):
            species = species_of[graft.id]
            varieties.setdefault(book.key(species, graft.variety), []).append((species, graft))
    spans = []
    for held in varieties.values():
        species, grafts = held[0][0], [graft for _, graft in held]
        variety = min(graft.variety for graft in grafts)
        own = [day for graft in grafts for day in _noted((graft.ripens_from, graft.ripens_to), south)]
        recorded = [] if own else _noted(_recorded(book, species, variety), south)
        noted = own or recorded
        seen = [_eaten(day, noted, south) for graft in grafts for day in tasted.get(graft.id, [])]
        if noted or seen:
            first, last = (month_day_of(day, south) for day in (min(noted + seen), max(noted + seen)))
            bears = any(graft.state == "bearing" for graft in grafts)
            names = tuple(dict.fromkeys(graft.variety for graft in grafts))
            spans.append(Ripening(species, variety, first, last, bears, bool(own), bool(seen), bool(recorded), names))
    return tuple(sorted(spans, key=lambda span: (*_days(span, south), span.variety, span.species)))


def _recorded(book: VarietyBook, species: str, variety: str) -> tuple[tuple[int, int] | None, ...]:
    """First and last ripe day of the variety's record; none where it only says them against another variety."""
    record = book.record(species, variety)
    return (None if record is None else ripe_span(record.ripens)) or ()


def _noted(span: Iterable[tuple[int, int] | None], south: bool) -> list[int]:
    """First and last ripe day as noted; a last one that lies before the first is next spring's, so the year's end."""
    days = [day_of_fruit_year(day, south) for day in span if day is not None]
    return [days[0], _LAST_DAY] if len(days) == 2 and days[1] < days[0] else days


def _eaten(day: date, noted: list[int], south: bool) -> int:
    """A tasting's day; one long before the variety can be ripe is the end of last year's store."""
    eaten = day_of_fruit_year((day.month, day.day), south)
    return _LAST_DAY if noted and eaten < min(noted) - _STORED_DAYS else eaten


def _days(span: Ripening, south: bool) -> tuple[int, int]:
    return day_of_fruit_year(span.first, south), day_of_fruit_year(span.last, south)

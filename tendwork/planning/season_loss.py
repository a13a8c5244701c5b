"""What would be missed once a graft is cut: weeks without other fruit, and a partner in bloom.

Counted is what stands and is not judged "cut". A week has fruit where a variety of which a graft bears is good to eat,
off the tree or out of the store, in a season as usual; who will bear later is named, and fills no week yet. A variety
loses its partner where no other that grows here is known to bloom with it and to give it pollen.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date, timedelta

from msgspec import Struct

from tendwork.orchard.bloom_overlap import bloom_overlaps, grown_varieties, needs_no_partner
from tendwork.orchard.fruit_year import fruit_year
from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.pollen import pollen_of
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.ripening import HIGH_SUMMER
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.fruit_spans import FruitSpan, season_weeks
from tendwork.variety_names import Key

_WEEK = timedelta(days=7)
_DAY = timedelta(days=1)
_YEAR_WEEKS = 52
_WEEKS_BEFORE = HIGH_SUMMER // 7
Run = tuple[date, date]
"""The first and the last day of weeks on end."""


class Missed(Struct, frozen=True):
    """What the season and other varieties lose without one graft, named by variety.

    `good` are the weeks in which its variety is good to eat, none where that is not known. In those that are `alone`
    nothing else is that bears; what will be, once it bears, is `to_come`. `others` bear and are good to eat in some of
    its weeks, at least `fewest_others` in each; of those that are `undated` nobody knows when they are. `partner_of`
    are the varieties that would have no known partner in bloom; of `not_known` nobody can say. `same` are the other
    grafts of its variety that bear, `young` those that do not bear yet.
    """

    good: tuple[Run, ...] = ()
    alone: tuple[Run, ...] = ()
    to_come: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    fewest_others: int = 0
    undated: tuple[str, ...] = ()
    partner_of: tuple[str, ...] = ()
    not_known: tuple[str, ...] = ()
    same: tuple[str, ...] = ()
    young: tuple[str, ...] = ()


class SeasonLoss:
    """What any graft would be missed for, of some records and the spans of all their varieties."""

    def __init__(self, records: Records, spans: Iterable[FruitSpan], book: VarietyBook, south: bool) -> None:
        species = species_by_graft(records)
        held = tuple(spans)
        self._start = _start_of_year(held, south)
        self._covered = {span.key: frozenset(self._weeks_of(span)) for span in held}
        self._keys = {
            graft.id: book.key(species[graft.id], graft.variety) for graft in records.grafts if graft.id in species
        }
        self._names: dict[Key, str] = {}
        self._bearing: dict[Key, list[str]] = {}
        self._growing: dict[Key, list[str]] = {}
        self._coming: dict[Key, list[str]] = {}
        for graft in records.grafts:
            if graft.id in species and graft.verdict != "cut" and is_of_a_variety(graft):
                self._enter(graft)
        self._partners = _Partners(records, book)

    def _enter(self, graft: Graft) -> None:
        key = self._keys[graft.id]
        if graft.state in ("planned", *GROWS):
            self._names[key] = min(graft.variety, self._names.get(key, graft.variety))
            self._coming.setdefault(key, []).append(graft.id)
        if graft.state in GROWS:
            self._growing.setdefault(key, []).append(graft.id)
        if graft.state == "bearing":
            self._bearing.setdefault(key, []).append(graft.id)

    def key(self, graft: str) -> Key:
        """The variety of a graft, which stands on a tree that is on file."""
        return self._keys[graft]

    def standing(self) -> Collection[Key]:
        """The varieties that grow and are not all to be cut."""
        return self._growing.keys()

    def name(self, key: Key) -> str:
        """What one of them is called."""
        return self._names[key]

    def good_together(self, one: Key, other: Key) -> bool | None:
        """Whether two varieties are good to eat in one week at least; None where that is not known of both."""
        if one not in self._covered or other not in self._covered:
            return None
        return bool(self._covered[one] & self._covered[other])

    def of(self, graft: str, gone: Collection[str] = ()) -> Missed:
        """What one graft would be missed for; the grafts that are `gone` are counted as cut already."""
        key = self._keys[graft]
        off = {graft, *gone}
        bearing = {one for one, held in self._bearing.items() if not off.issuperset(held)}
        growing = {one for one, held in self._growing.items() if not off.issuperset(held)}
        weeks = self._covered.get(key, frozenset())
        others = {one for one in bearing if one != key and self._covered.get(one, frozenset()) & weeks}
        in_each = {week: sum(week in self._covered[one] for one in others) for week in weeks}
        same = [one for one in self._bearing.get(key, ()) if one not in off]
        bare = frozenset() if same else frozenset(week for week, number in in_each.items() if not number)
        to_come = {
            one
            for one, held in self._coming.items()
            if one not in bearing and not off.issuperset(held) and self._covered.get(one, frozenset()) & bare
        } - {key}
        lost, not_known = (set(), set()) if key in growing else self._partners.lost(key, growing)
        return Missed(
            good=self._runs(weeks),
            alone=self._runs(bare),
            to_come=self._named(to_come),
            others=self._named(others),
            fewest_others=min(in_each.values(), default=0),
            undated=self._named(one for one in bearing if one != key and one not in self._covered),
            partner_of=self._named(lost),
            not_known=self._named(not_known),
            same=tuple(same),
            young=tuple(
                one for one in self._growing.get(key, ()) if one not in off and one not in self._bearing.get(key, ())
            ),
        )

    def _named(self, keys: Iterable[Key]) -> tuple[str, ...]:
        return tuple(sorted(self._names[key] for key in keys))

    def _weeks_of(self, span: FruitSpan) -> Iterator[int]:
        """By number, those of the year: what is in store so long that the next year's fruit is ripe meets that."""
        for run in (span.on_tree, span.in_store):
            if run is not None:
                first, last = ((day - self._start).days // 7 for day in run)
                yield from (week % _YEAR_WEEKS for week in range(first, last + 1))

    def _runs(self, weeks: Collection[int]) -> tuple[Run, ...]:
        runs: list[list[int]] = []
        for week in sorted(weeks):
            if runs and runs[-1][1] == week - 1:
                runs[-1][1] = week
            else:
                runs.append([week, week])
        if len(runs) > 1 and runs[0][0] == 0 and runs[-1][1] == _YEAR_WEEKS - 1:  # over the turn of the year
            runs[-1][1] += 1 + runs.pop(0)[1]
        return tuple((self._start + first * _WEEK, self._start + (last + 1) * _WEEK - _DAY) for first, last in runs)


class _Partners:
    """Who gives pollen to whom, as far as is known."""

    def __init__(self, records: Records, book: VarietyBook) -> None:
        self._known: dict[Key, set[Key]] = {}
        self._unsaid: dict[Key, set[Key]] = {}
        self._needs: dict[Key, bool] = {}
        for key, name in grown_varieties(records):
            own = book.key(key[0], name)
            self._needs[own] = not needs_no_partner(key[0], pollen_of(book.said_of(key[0], name, "pollen")))
        for pair in bloom_overlaps(records, book):
            one, other = book.key(pair.species, pair.one), book.key(pair.species, pair.other)
            for of, giver, gives in ((one, other, pair.other_gives), (other, one, pair.one_gives)):
                if gives is not False and of != giver and pair.verdict != "apart":
                    held = self._known if pair.verdict == "together" else self._unsaid
                    held.setdefault(of, set()).add(giver)

    def lost(self, giver: Key, growing: Collection[Key]) -> tuple[set[Key], set[Key]]:
        """Whose only known partner a variety is, and for whom it may be, among those that grow without it."""
        lost: set[Key] = set()
        not_known: set[Key] = set()
        for of in growing:
            if not self._needs.get(of) or self._known.get(of, set()) & set(growing):
                continue
            if giver in self._known.get(of, ()):
                lost.add(of)
            elif giver in self._unsaid.get(of, ()):
                not_known.add(of)
        return lost, not_known


def _start_of_year(spans: Sequence[FruitSpan], south: bool) -> date:
    """The first week of the fruit year, in step with those of the season."""
    year = fruit_year(spans[0].picked, south) if spans else 2001
    return season_weeks(year, south)[0] - _WEEKS_BEFORE * _WEEK

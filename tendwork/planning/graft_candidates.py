"""Which varieties may be grafted next spring, from where their wood would come, and what is known of each.

A candidate is a variety of which wood is in hand, promised, asked for or offered, one that is wished for (it failed
here, or there is a record of it and no tree has it), and one that is worth keeping and stands on a single graft. Each
may be grafted once. Nothing is guessed: what is not known is named, and counts for nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal, get_args

from msgspec import Struct

from tendwork.almanac.seasons import season_of
from tendwork.orchard.bloom_overlap import NEEDS_NO_PARTNER
from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_words import vigour_word
from tendwork.orchard.verdicts import suggestions
from tendwork.orchard.vigour import growth_noted
from tendwork.orchard.wood_balance import Balance, wood_balance
from tendwork.orchard.wood_sources import last_giver
from tendwork.planning.fruit_spans import FruitSpan, season_weeks, span_of, weeks_covered
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.season_cover import Span
from tendwork.planning.work_bars import WorkBars, barred_on
from tendwork.variety_names import Key

WoodFrom = Literal["in hand", "promised", "on a tree here", "asked for", "to ask for", "wished for"]
WOOD_FROM: tuple[WoodFrom, ...] = get_args(WoodFrom)
"""From where wood would come, the nearest first."""
_STANDS = (*GROWS, "planned")


class Candidate(Struct, frozen=True):
    """A variety that may be grafted once. `source` says from where its wood would come: of the `bundle`, if any.

    `giver` is who has it, or the tree. `fruit` are the days on which it is good to eat in a season as usual, off the
    tree and out of the store, `span` the weeks of the season that they fall in. `home` is the tree of `copy_of`, the
    one graft on which a variety worth keeping stands; it is to be copied to another. `score` is the mean of its
    tastings here. `unknown` names what is not known.
    """

    key: Key
    species: str
    variety: str
    source: WoodFrom
    giver: str = ""
    bundle: str = ""
    fruit: FruitSpan | None = None
    span: Span | None = None
    vigour: str = ""
    keeps: str = ""
    score: float | None = None
    copy_of: str = ""
    home: str = ""
    unknown: tuple[str, ...] = ()


class Candidates(Struct, frozen=True):
    """The candidates by species and variety, and in sentences which varieties are none, and why."""

    candidates: tuple[Candidate, ...]
    left_aside: tuple[str, ...] = ()


class SeasonDates:
    """In which weeks each variety gives ripe fruit in a season as usual, off the tree or out of the store."""

    def __init__(self, dates: Sequence[RipeDates], book: VarietyBook, today: date, south: bool) -> None:
        self._rows = {book.key(row.species, row.variety): row for row in dates}
        self._weeks = season_weeks(season_of(today, south).name, south)

    def fruit(self, key: Key) -> FruitSpan | None:
        """The days of a variety; None where nobody knows when it ripens."""
        row = self._rows.get(key)
        return None if row is None else span_of(key, (), row, usual=True)

    def span(self, key: Key) -> Span | None:
        """The weeks, 0 from high summer; None where that is not known, or all of them lie outside the season."""
        fruit = self.fruit(key)
        weeks = frozenset() if fruit is None else weeks_covered(fruit, self._weeks)
        return (min(weeks), max(weeks)) if weeks else None


def vigour_of_grafts(records: Records, book: VarietyBook) -> dict[str, str]:
    """How each graft grows: as last noted, else as is said of its variety; left out where that is not known."""
    noted, species = growth_noted(records), species_by_graft(records)
    found = {}
    for graft in records.grafts:
        if graft.id in species:
            growth = noted.get(graft.id)
            found[graft.id] = growth[-1].word if growth else said_vigour(book, species[graft.id], graft.variety)
    return {graft: word for graft, word in found.items() if word}


def said_vigour(book: VarietyBook, species: str, variety: str) -> str:
    """ "strong", "middle" or "weak" where all that say it agree; else empty."""
    words = {vigour_word(said.value) for said in book.said_of(species, variety, "vigour")} - {""}
    return words.pop() if len(words) == 1 else ""


def candidates(records: Records, today: date, south: bool, book: VarietyBook, dates: Sequence[RipeDates]) -> Candidates:
    """Every candidate, and what is none though wood of it is here; `dates` are those of the season of `today`."""
    return _Gathering(records, today, south, book, dates).gathered()


class _Gathering:
    def __init__(
        self, records: Records, today: date, south: bool, book: VarietyBook, dates: Sequence[RipeDates]
    ) -> None:
        self._records, self._today, self._book = records, today, book
        self._species = species_by_graft(records)
        self._own = TreesByWord(records.trees)
        self._bars = WorkBars(records, south, today)
        self._season = SeasonDates(dates, book, today, south)
        self._advice = {one.graft: one for one in suggestions(records, today, south)}
        self._grafts: dict[Key, list[Graft]] = {}
        for graft in records.grafts:
            if graft.id in self._species and is_of_a_variety(graft):
                self._grafts.setdefault(book.key(self._species[graft.id], graft.variety), []).append(graft)
        self._barred = barred_on(records, today, south)
        self._balances = {book.key(one.species, one.variety): one for one in wood_balance(records, today, self._barred)}
        self._aside: list[str] = []

    def gathered(self) -> Candidates:
        named: dict[Key, tuple[str, str]] = {}
        for species, variety in (
            *((one.species, one.variety) for one in self._records.varieties),
            *((bundle.species, bundle.variety) for bundle in self._records.wood),
            *((self._species[graft.id], graft.variety) for held in self._grafts.values() for graft in held),
        ):
            named.setdefault(self._book.key(species, variety), (species, variety))
        order = sorted(named, key=lambda key: (named[key][0], named[key][1].casefold()))
        found = [one for key in order if (one := self._candidate(key, *named[key])) is not None]
        return Candidates(tuple(found), tuple(self._aside))

    def _candidate(self, key: Key, species: str, variety: str) -> Candidate | None:
        held = self._grafts.get(key, [])
        standing = [graft for graft in held if graft.state in _STANDS and graft.verdict != "cut"]
        balance = self._balances.get(key)
        has_wood = balance is not None and bool(balance.free or balance.expected or balance.to_cut)
        if standing:
            return self._copy(key, species, variety, standing)
        if any(graft.verdict == "cut" for graft in held):
            if has_wood:
                self._aside.append(f"{variety} ({species}): judged cut here, so its wood is for others.")
            return None
        is_wished = not held or any(graft.state == "failed" for graft in held)
        if not is_wished and not has_wood:
            return None
        source, giver, bundle = self._wood(key, balance)
        return self._known(key, species, variety, source, giver, bundle)

    def _copy(self, key: Key, species: str, variety: str, standing: list[Graft]) -> Candidate | None:
        """A second graft of what is worth keeping and stands once; it is lost with its limb."""
        only = standing[0]
        advice = self._advice.get(only.id)
        is_kept = only.verdict == "keep" or (advice is not None and advice.suggested == "keep")
        if len(standing) > 1 or only.state not in ("took", "bearing") or not is_kept:
            return None
        against = self._bars.against_giving(only.tree)
        source, giver, bundle = self._wood(key, self._balances.get(key))
        if source not in ("in hand", "promised"):
            if against:
                self._aside.append(f"{variety} ({species}) stands once, but its tree gives no wood: {against}")
                return None
            source, giver, bundle = "on a tree here", only.tree, ""
        return self._known(key, species, variety, source, giver, bundle, only)

    def _wood(self, key: Key, balance: Balance | None) -> tuple[WoodFrom, str, str]:
        """The nearest wood that nothing else needs: from where, of whom, and of which bundle."""
        held = [one for one in self._records.wood if self._book.key(one.species, one.variety) == key]
        bundles = [one for one in held if one.id not in self._barred and one.answer != "refused"]
        before = last_giver(held, self._own, {one.came_from for one in held if one.answer == "refused"})
        if balance is None:
            return "wished for", before, ""
        spare = balance.held + balance.to_cut + balance.expected - balance.needed - balance.promised
        is_cut = [bundle for bundle in bundles if bundle.cut_on is not None and bundle.cut_on <= self._today]
        if balance.free:
            best = max(is_cut, key=lambda bundle: (bundle.sticks - bundle.promised_sticks, bundle.cut_on, bundle.id))
            return "in hand", best.came_from, best.id
        coming = [bundle for bundle in bundles if bundle not in is_cut and bundle.sticks]
        if spare > 0:
            for source, wanted in _COMING:
                for bundle in coming:
                    is_own = bool(self._own.meant(bundle.came_from))
                    if wanted == ("own" if is_own else bundle.answer or ("asked" if bundle.asked_on else "")):
                        return source, bundle.came_from, bundle.id
        return "wished for", before, ""

    def _known(
        self,
        key: Key,
        species: str,
        variety: str,
        source: WoodFrom,
        giver: str,
        bundle: str,
        only: Graft | None = None,
    ) -> Candidate:
        fruit = self._season.fruit(key)
        vigour = said_vigour(self._book, species, variety)
        keeps = self._book.said_of(species, variety, "keeps")
        advice = None if only is None else self._advice.get(only.id)
        unknown = [] if fruit else ["when it is ripe"]
        unknown += [] if self._book.bloom_place(species, variety) or species in NEEDS_NO_PARTNER else ["when it blooms"]
        unknown += [] if vigour else ["how strongly it grows"]
        return Candidate(
            key,
            species,
            variety,
            source,
            giver,
            bundle,
            fruit,
            self._season.span(key),
            vigour,
            keeps[0].words if keeps else "",
            None if advice is None else advice.score,
            "" if only is None else only.id,
            "" if only is None else only.tree,
            tuple(unknown),
        )


_COMING: tuple[tuple[WoodFrom, str], ...] = (
    ("promised", "promised"), ("on a tree here", "own"), ("asked for", "asked"), ("to ask for", ""),
)  # fmt: skip

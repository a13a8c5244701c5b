"""What the records and the lists say of when each variety is ripe, as the almanac takes it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, timedelta

from tendwork.almanac.ripe_evidence import (
    RIPE,
    STORED,
    AgainstOther,
    DaysFromBloom,
    NotedDay,
    RipeEvidence,
    Tasted,
)
from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.lives import present
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.varieties import YOU, VarietyBook
from tendwork.orchard.variety_words import MonthDay, ripe_span, ripens_against, span_days
from tendwork.variety_names import Key

_DAYS = re.compile(r"(\d+)(?:-(\d+))?")
_ORDINARY_YEAR = 2001
_HANGS = timedelta(days=14)
"""Fruit tasted ripe so long after the last day noted is out of the store (our own choice)."""


PICKED = "picked"
_A_CROP = timedelta(days=270)
"""What is tasted so long after picking is of the next crop."""


class RipeKnown:
    """`own` are the varieties grown, planned or recorded, `others` those that they are set against."""

    def __init__(self, records: Records, book: VarietyBook, today: date) -> None:
        self._book = book
        self._today = today
        self._species = species_by_graft(records)
        self._grafts: dict[Key, list[Graft]] = {}
        for graft in records.grafts:
            if graft.id in self._species and is_of_a_variety(graft):
                self._grafts.setdefault(book.key(self._species[graft.id], graft.variety), []).append(graft)
        self._tasted: dict[str, list[Tasted]] = {}
        self._picked: dict[str, list[date]] = {}
        of_now = present(records)
        for tick in of_now.ticks:
            if tick.outcome == PICKED and tick.day <= today:
                self._picked.setdefault(tick.unit, []).append(tick.day)
        for tasting in of_now.tastings:
            if tasting.day <= today and tasting.ripe:
                taste = Tasted(tasting.day, tasting.ripe, tasting.graft)
                self._tasted.setdefault(tasting.graft, []).append(taste)
        self._names: dict[Key, str] = {}
        for known in book.all_known():
            self._names.setdefault(book.key(known.species, known.variety), known.variety)
        for key, grafts in self._grafts.items():
            self._names[key] = min(graft.variety for graft in grafts)
        self.own = tuple(self._evidence(key) for key in self._names)
        self.others = tuple(self._of_others(self.own))

    def _of_others(self, own: Iterable[RipeEvidence]) -> Iterable[RipeEvidence]:
        """What is known of those that others are set against, and of those that these are set against."""
        known, asked = set(self._names), list(own)
        while asked:
            one = asked.pop()
            for said in one.against:
                key = self._book.key(one.species, said.variety)
                if key not in known:
                    known.add(key)
                    self._names[key] = said.variety
                    asked.append(self._evidence(key))
                    yield asked[-1]

    def _evidence(self, key: Key) -> RipeEvidence:
        species, name = key[0], self._names[key]
        grafts = self._grafts.get(key, [])
        return RipeEvidence(
            species,
            name,
            tuple(taste for graft in grafts for taste in self._tastings(graft)),
            tuple(self._noted(species, name, grafts)),
            tuple(self._from_bloom(species, name)),
            tuple(self._against(species, name)),
        )

    def _tastings(self, graft: Graft) -> Iterable[Tasted]:
        """What was picked was ripe for picking then, and what is ripe after it is out of the store."""
        last = graft.ripens_to or graft.ripens_from
        picked = self._picked.get(graft.id, ())
        for day in picked:
            yield Tasted(day, RIPE, graft.id)
        for taste in self._tasted.get(graft.id, ()):
            is_late = last is not None and taste.day > _noted_end(last, taste.day) + _HANGS
            is_picked = any(day < taste.day < day + _A_CROP for day in picked)
            yield Tasted(taste.day, STORED, taste.graft) if taste.ripe == RIPE and (is_late or is_picked) else taste

    def _noted(self, species: str, name: str, grafts: Iterable[Graft]) -> Iterable[NotedDay]:
        """The first day noted on grafts, the same days once; else the record's."""
        on_grafts = [graft.ripens_from or graft.ripens_to for graft in grafts]
        noted = dict.fromkeys(day for day in on_grafts if day is not None)
        for one in noted:
            yield NotedDay(*one, YOU)
        record = self._book.record(species, name)
        span = None if record is None or noted else ripe_span(record.ripens)
        if record is None or span is None:
            return
        month, day = span[0]
        by = f"{YOU}, from {record.source}" if record.source else YOU
        if any(letter.isdigit() for letter in record.ripens):
            yield NotedDay(month, day, by, here=not record.source)
        else:
            whole = span_days(span)
            middle = date(_ORDINARY_YEAR, month, day) + timedelta(days=whole // 2)
            yield NotedDay(middle.month, middle.day, by, here=not record.source, span_days=whole)

    def _from_bloom(self, species: str, name: str) -> Iterable[DaysFromBloom]:
        listed = self._book.in_lists(species, name)
        for said in () if listed is None else listed.said.get("days from bloom", ()):
            found = _DAYS.search(said.value)
            if found is not None:
                ends = [int(part) for part in found.groups() if part]
                yield DaysFromBloom(sum(ends) / len(ends), said.by)

    def _against(self, species: str, name: str) -> Iterable[AgainstOther]:
        """The person's word alone where it is."""
        record = self._book.record(species, name)
        own = None if record is None else ripens_against(record.ripens)
        if record is not None and own is not None:
            by = f"{YOU}, from {record.source}" if record.source else YOU
            yield AgainstOther(self._name_of(species, own[0]), own[1], by)
            return
        listed = self._book.in_lists(species, name)
        for said in () if listed is None else listed.said.get("ripens", ()):
            if (against := ripens_against(said.value)) is not None:
                yield AgainstOther(self._name_of(species, against[0]), against[1], said.by)

    def _name_of(self, species: str, other: str) -> str:
        """The name that the evidence of another variety goes by."""
        return self._names.get(self._book.key(species, other), other)


def _noted_end(last: MonthDay, tasted: date) -> date:
    """The last noted day before or around a tasting, within half a year."""
    years = (tasted.year - 1, tasted.year, tasted.year + 1)
    days = [date(year, last[0], min(last[1], 28) if last[0] == 2 else last[1]) for year in years]
    return min(days, key=lambda day: abs((day - tasted).days))

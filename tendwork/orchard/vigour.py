"""Who grows too strongly and who too weakly, from the growth noted each summer, so that pruning can name them.

Nothing is kept but the ticks on the job of noting growth: its outcomes are the words strong, middle and weak. Where a
graft has none, the vigour in the record of its variety speaks.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.named_templates import NOTE_GROWTH
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.standing_ticks import season_of_tick, standing_ticks, template_of
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_words import vigour_word
from tendwork.orchard.wording import listed, named

GROWTH = ("strong", "middle", "weak")


class Growth(Struct, frozen=True):
    """How a graft grew in the summer of one season."""

    season: int
    word: str


def growth_noted(records: Records) -> dict[str, tuple[Growth, ...]]:
    """For each graft the growth noted, oldest season first."""
    noted: dict[str, dict[int, str]] = {}
    for tick in standing_ticks(records.ticks):
        season = season_of_tick(tick)
        if template_of(tick) == NOTE_GROWTH and tick.outcome in GROWTH and season is not None:
            noted.setdefault(tick.unit, {})[season] = tick.outcome
    return {
        graft: tuple(Growth(season, word) for season, word in sorted(seasons.items()))
        for graft, seasons in noted.items()
    }


def usual_vigour(records: Records) -> dict[str, str]:
    """ "strong", "middle" or "weak" for each graft of whose variety the person's record says so."""
    if not any(variety.vigour for variety in records.varieties):
        return {}
    book, species = VarietyBook(records), species_by_graft(records)
    own = ((graft.id, book.record(species.get(graft.id, ""), graft.variety)) for graft in records.grafts)
    words = {graft: vigour_word(record.vigour) for graft, record in own if record is not None}
    return {graft: word for graft, word in words.items() if word}


def growth_sentences(
    noted: Mapping[str, tuple[Growth, ...]],
    grafts: tuple[Graft, ...],
    season: int,
    usual: Mapping[str, str] = {},
) -> tuple[str, ...]:
    """Which of a tree's grafts to shorten and which to spare this summer; older notes speak until there is a new one.

    Of a graft without any note the vigour of its variety speaks: `usual`, by the id of the graft.

    Strong ones are shortened, weak ones spared (UC Master Gardeners, on several varieties on one tree, 2020).
    """
    strong: dict[int, list[str]] = {}
    weak: dict[int, list[str]] = {}
    of_variety: dict[str, list[str]] = {"strong": [], "weak": []}
    for graft in grafts:
        known = [growth for growth in noted.get(graft.id, ()) if growth.season <= season]
        if known and graft.state in ("took", "bearing"):
            kind = {"strong": strong, "weak": weak}.get(known[-1].word)
            if kind is not None:
                kind.setdefault(known[-1].season, []).append(named(graft))
        elif graft.state in ("took", "bearing") and usual.get(graft.id) in of_variety:
            of_variety[usual[graft.id]].append(named(graft))
    sentences = []
    for year, names in sorted(strong.items(), reverse=True):
        sentences.append(f"Shorten {listed(names)}: strong growth {_when(year, season)}.")
    for year, names in sorted(weak.items(), reverse=True):
        sentences.append(f"Spare {listed(names)}: weak growth {_when(year, season)}.")
    for word, act in (("strong", "Shorten"), ("weak", "Spare")):
        if names := of_variety[word]:
            sentences.append(f"{act} {listed(names)}: {word} growth by the record of the variety.")
    return tuple(sentences)


def _when(year: int, season: int) -> str:
    return "this summer" if year == season else f"noted in {year}"

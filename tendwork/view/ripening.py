"""The ripening calendar: what is ripe in which week, in which weeks nothing is, and what must not be eaten yet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.records import Records
from tendwork.orchard.ripening import Gap, Ripening, RipeWeek, ripening_gaps, ripening_weeks
from tendwork.planning.work_bars import WorkBars
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import counted, short_day

_RIPE, _TO_COME, _BARE, _EMPTY = ("■", "#"), ("□", "o"), ("×", "x"), ("·", ".")
_BARRED = "!"
_NAME_COLUMNS = 22


class BarredFruit(Struct, frozen=True):
    """A graft whose fruit must not be eaten yet: `why` as a sentence, `until` None where that is not known."""

    graft: str
    variety: str
    tree: str
    species: str
    until: date | None
    why: str


def barred_fruit(records: Records, today: date, south: bool) -> tuple[BarredFruit, ...]:
    """Every graft that bears and whose fruit must not be eaten today, in the order of entry."""
    bars = WorkBars(records, south, today).barred_fruit()
    species = species_by_graft(records)
    return tuple(
        BarredFruit(graft.id, graft.variety, graft.tree, species[graft.id], bar.until, bar.words)
        for graft in records.grafts
        if (bar := bars.get(graft.id)) is not None
    )


def ripening_text(
    spans: tuple[Ripening, ...],
    south: bool,
    width: int,
    ascii_only: bool = False,
    barred: Sequence[BarredFruit] = (),
) -> str:
    """A line for each variety with a mark for each week in which it is ripe, a line of the bare weeks, and the gaps.

    Varieties with `barred` fruit have a mark before their name, and why stands below.
    """
    why = _barred_lines(barred, width)
    if not spans:
        return "\n".join(["No ripening day is known yet: note when a graft or a variety ripens, or taste.", *why])
    kept_off = {(one.variety, one.species) for one in barred}
    weeks = ripening_weeks(spans, south)
    gaps = ripening_gaps(weeks, south)
    each = 2 if _NAME_COLUMNS + 2 + 2 * len(weeks) <= width else 1
    size = max(min(_NAME_COLUMNS, width - 2 - each * len(weeks)), 8)
    pick = 1 if ascii_only else 0
    lines = [" " * (size + 2) + _months(weeks, each)]
    for span in spans:
        name, mark = span.variety, (_RIPE if span.bears else _TO_COME)[pick]
        held = [name in (week.ripe if span.bears else week.to_come) for week in weeks]
        shown = f"{_BARRED} {name}" if any((one, span.species) in kept_off for one in (name, *span.names)) else name
        lines.append(f"{padded(plain(shown), size)}  {''.join((mark if on else _EMPTY[pick]) * each for on in held)}")
    bare = _bare_weeks(weeks, gaps)
    marks = "".join((_BARE[pick] if on else " ") * each for on in bare)
    lines.append(f"{padded('nothing ripe', size)}  {marks}".rstrip())
    legend = f"{_RIPE[pick]} ripe, {_TO_COME[pick]} will be, once it bears, {_BARE[pick]} nothing ripe"
    notes = [line for gap in gaps for line in wrapped(gap_words(gap), width, "  - ")]
    by_record = ", ".join(plain(span.variety) for span in spans if span.recorded)
    notes += wrapped(f"By the record of the variety: {by_record}.", width) if by_record else []
    return "\n".join([*lines, "", *wrapped(legend, width), *why, *notes])


def _barred_lines(barred: Iterable[BarredFruit], width: int) -> list[str]:
    """Which fruit must not be eaten yet, by the sentence that says why and until when."""
    by_reason: dict[str, list[str]] = {}
    for one in barred:
        by_reason.setdefault(one.why, []).append(f"{one.variety} ({one.graft})")
    said = (plain(f"{', '.join(names)}: {reason}") for reason, names in by_reason.items())
    return [line for sentence in said for line in wrapped(sentence, width, f"{_BARRED} ")]


def gap_words(gap: Gap) -> str:
    """ "Nothing ripe 16 Aug to 22 Aug (1 week); on its way: Harvest Psalm."."""
    on_its_way = f"; on the way: {', '.join(map(plain, gap.to_come))}" if gap.to_come else ""
    return f"Nothing ripe {_day(gap.first)} to {_day(gap.last)} ({counted(gap.weeks, 'week')}){on_its_way}."


def _bare_weeks(weeks: tuple[RipeWeek, ...], gaps: tuple[Gap, ...]) -> list[bool]:
    starts = [week.starts for week in weeks]
    bare = [False] * len(weeks)
    for gap in gaps:
        first = starts.index(gap.first)
        bare[first : first + gap.weeks] = [True] * gap.weeks
    return bare


def _months(weeks: tuple[RipeWeek, ...], each: int) -> str:
    """The names of the months, each above the first week that begins in it, where the next one leaves it room."""
    starts = [place for place, week in enumerate(weeks) if not place or weeks[place - 1].starts[0] != week.starts[0]]
    line = ""
    for place, following in zip(starts, [*starts[1:], len(weeks)], strict=True):
        _, name = _day(weeks[place].starts).split()
        if (following - place) * each > len(name):
            line = padded(line, place * each) + name
    return line


def _day(month_day: tuple[int, int]) -> str:
    day = date(2001, *month_day)
    return short_day(day, day)

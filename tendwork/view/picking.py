"""When to pick each variety, as a table, as the lines of one variety, and in JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import to_builtins

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.records import Records
from tendwork.orchard.ripening import Ripening
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.fruit_spans import FruitSpan
from tendwork.planning.fruit_years import FruitYears, good_until, was_tasted
from tendwork.planning.ripening_dates import RipeDates
from tendwork.view.json_shape import Shape
from tendwork.view.ripening import first_capital, seasons_words
from tendwork.view.table import Column, head_line, lay_columns, row_line
from tendwork.view.text import plain, wrapped
from tendwork.view.words import fruit_year_words, short_day, span_words

_BEARS = ("took", "bearing")
_COLUMNS = ("variety", "look from", "pick about", "likely", "good until")
_MOST_VARIETY_COLUMNS = 32


def picking_part(
    records: Records, years: FruitYears, book: VarietyBook, today: date, width: int
) -> Iterable[tuple[str, str]]:
    """The part of the page on what grows here and is still to be picked; none where no date is known."""
    species = species_by_graft(records)
    grown = {
        book.key(species[graft.id], graft.variety)
        for graft in records.grafts
        if graft.id in species and graft.state in _BEARS
    }
    season = years.to_pick(today)
    shown = [row for row in season.dates if book.key(row.species, row.variety) in grown]
    if shown:
        yield f"To pick in {fruit_year_words(season.year, season.season.south)}", picking_text(shown, width)


def picking_text(rows: Sequence[RipeDates], width: int) -> str:
    """One line for each variety."""
    columns = _columns(width)
    lines = [head_line(columns, "", False).rstrip(), *(row_line(columns, _cells(row)).rstrip() for row in rows)]
    note = "Likely: in eight seasons of ten. The reasons stand on the page Ripening of Fruit, and in `fruit --json`."
    return "\n".join([*lines, *wrapped(note, width)])


def picked_words(row: RipeDates) -> str:
    """ "Ripe about 8 Oct 2026 (27 Sep-19 Oct likely), look from 20 Sep; good until 31 Mar 2027"."""
    last = good_until(row)
    until = "how long it keeps is not known" if last is None else f"good until {_with_year(last, row)}"
    if row.eat > row.pick:
        until = f"to eat from {_with_year(row.eat, row)}; {until}"
    if was_tasted(row):
        return f"Ripe from {_day(row.pick)} {row.pick.year}, as it tasted; {until}"
    likely = span_words(row.pick_low, row.pick_high)
    return f"Ripe about {_day(row.pick)} {row.pick.year} ({likely} likely), look from {_day(row.look)}; {until}"


def date_lines(row: RipeDates, years: FruitYears, width: int) -> list[str]:
    """When to pick one variety, how that is against other seasons, and why."""
    lines = wrapped(f"{picked_words(row)}.", width)
    if years.this.of(row) == row:
        lines += wrapped(f"{first_capital(seasons_words(years, row))}.", width)
    return lines + [line for why in row.because for line in wrapped(plain(why), width, "- ")]


def unknown_lines(width: int) -> list[str]:
    """The same where nothing is known."""
    return wrapped("When it ripens is not known. Note when it does (e), or taste it when it is ripe.", width)


def ripening_rows(
    spans: Iterable[Ripening], dates: Iterable[RipeDates], book: VarietyBook, fruit: Iterable[FruitSpan]
) -> list[Shape]:
    """The "ripening" of `fruit --json`: each variety once, with its typed span and its dates; null where not known.

    `fruit` are the first and last day on the tree and in the store in the fruit year of the weeks and gaps, which in
    winter is that of the season before.
    """
    by_key = {book.key(row.species, row.variety): row for row in dates}
    places = {one.key: {"on_tree": to_builtins(one.on_tree), "in_store": to_builtins(one.in_store)} for one in fruit}
    rows: list[Shape] = []
    for span in spans:
        key = book.key(span.species, span.variety)
        rows.append({**to_builtins(span), **_dates(by_key.pop(key, None)), "fruit": places.get(key)})
    for key, row in by_key.items():
        nothing = to_builtins(Ripening(row.species, row.variety, (1, 1), (1, 1), False, names=()))
        rows.append({**nothing, "first": None, "last": None, **_dates(row), "fruit": places.get(key)})
    return rows


def _columns(width: int) -> tuple[Column, ...]:
    wanted = {"variety": max(min(24, width - 14), 8), "pick about": 10, "look from": 9, "likely": 13, "good until": 11}
    return lay_columns(wanted, _COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def _cells(row: RipeDates) -> dict[str, str]:
    last = good_until(row)
    return {
        "variety": f"{row.variety} ({row.species})",
        "look from": _day(row.look),
        "pick about": _day(row.pick),
        "likely": span_words(row.pick_low, row.pick_high),
        "good until": "not known" if last is None else _with_year(last, row),
    }


def _day(day: date) -> str:
    return short_day(day, day)


def _with_year(day: date, row: RipeDates) -> str:
    return _day(day) if day.year == row.pick.year else f"{_day(day)} {day.year}"


def _dates(row: RipeDates | None) -> Shape:
    if row is None:
        return {
            name: [] if name == "because" else None
            for name in RipeDates.__struct_fields__
            if name not in ("species", "variety")
        }
    shape: Shape = to_builtins(row)
    return {name: value for name, value in shape.items() if name not in ("species", "variety")}

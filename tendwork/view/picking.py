"""When to pick each variety this season, as text and in JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import to_builtins

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.records import Records
from tendwork.orchard.ripening import Ripening
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import VarietyReference
from tendwork.planning.ripening_dates import RipeDates
from tendwork.view.json_shape import Shape
from tendwork.view.text import plain, wrapped
from tendwork.view.words import short_day

_BEARS = ("took", "bearing")
_INDENT = " " * 4


def picking_part(
    records: Records, dates: Sequence[RipeDates], today: date, width: int, reference: VarietyReference
) -> Iterable[tuple[str, str]]:
    """The part of the page on what grows here; none where no date is known."""
    book, species = VarietyBook(records, reference), species_by_graft(records)
    grown = {
        book.key(species[graft.id], graft.variety)
        for graft in records.grafts
        if graft.id in species and graft.state in _BEARS
    }
    shown = [row for row in dates if book.key(row.species, row.variety) in grown]
    if shown:
        yield (
            "To pick this season",
            "\n".join(line for row in shown for line in wrapped(_words(row, today), width, "", _INDENT)),
        )


def _words(row: RipeDates, today: date) -> str:
    """ "Red Lamp (apple): about 14 Sep, 8 Sep to 20 Sep in eight seasons of ten; look from 1 Sep; tasted ripe ..."."""
    name = plain(f"{row.variety} ({row.species})")
    why = plain(row.because[0])
    if row.pick_low == row.pick_high:
        return f"{name}: {short_day(row.pick, today)}; {why}."
    between = f"{short_day(row.pick_low, today)} to {short_day(row.pick_high, today)} in eight seasons of ten"
    about = f"about {short_day(row.pick, today)}, {between}; look from {short_day(row.look, today)}"
    return f"{name}: {about}; {why}."


def ripening_rows(spans: Iterable[Ripening], dates: Iterable[RipeDates], book: VarietyBook) -> list[Shape]:
    """The "ripening" of `fruit --json`: each variety once, with its span and its dates; null where one is not known."""
    by_key = {book.key(row.species, row.variety): row for row in dates}
    rows: list[Shape] = []
    for span in spans:
        found = by_key.pop(book.key(span.species, span.variety), None)
        rows.append({**to_builtins(span), **_dates(found)})
    for row in by_key.values():
        nothing = to_builtins(Ripening(row.species, row.variety, (1, 1), (1, 1), False, names=()))
        rows.append({**nothing, "first": None, "last": None, **_dates(row)})
    return rows


def _dates(row: RipeDates | None) -> Shape:
    shape: Shape = dict.fromkeys(RipeDates.__struct_fields__) | {"because": []}
    shape |= to_builtins(row) if row is not None else {}
    return {name: value for name, value in shape.items() if name not in ("species", "variety")}

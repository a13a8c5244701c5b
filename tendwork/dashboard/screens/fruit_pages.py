"""The pages of Fruit: what each is made from, what stands in its rows, and what is shown of the chosen one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from msgspec import Struct

from tendwork.orchard.graft_species import variety_words
from tendwork.orchard.records import Records
from tendwork.orchard.take_rates import trials
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import NO_REFERENCE, VarietyReference
from tendwork.planning.fruit_years import FruitYears, no_fruit_years
from tendwork.planning.verdict_reasons import VerdictReasons, verdict_reasons
from tendwork.view import bloom, fruit, picking, places, ripening, varieties, verdict
from tendwork.view.bloom import BloomRow
from tendwork.view.fruit import FruitRow
from tendwork.view.places import PlaceRow
from tendwork.view.rates import takes_text
from tendwork.view.ripening import Picture, PictureRow
from tendwork.view.table import Column, head_line
from tendwork.view.text import plain, wrapped
from tendwork.view.varieties import VarietyRow
from tendwork.view.verdict import VerdictRow
from tendwork.view.words import counted

_NAMED = 5


class Look(Struct, frozen=True):
    """What the pages must know beside the records."""

    today: date
    south: bool
    units: str
    ascii_only: bool
    reference: VarietyReference = NO_REFERENCE
    dates: FruitYears | None = None

    @property
    def years(self) -> FruitYears:
        """The dates of the fruit, where they could be worked out."""
        return self.dates or no_fruit_years(self.today, self.south)


class Page:
    """One page. `made` may take long, and so runs off the screen's loop; to one that `is_dated`, `look` has dates."""

    name = ""
    is_dated = False

    def made(self, records: Records, look: Look) -> Any:
        """What the page shows."""
        raise NotImplementedError

    def summary(self, made: Any, look: Look) -> str:
        """The page in one sentence."""
        raise NotImplementedError


class TextPage(Page):
    """A page to read."""

    def text(self, made: Any, look: Look, width: int) -> str:
        """The page in so many columns."""
        raise NotImplementedError


class TablePage(Page):
    """A page of rows, each of which has an id and a `state` that its mark stands for.

    One that `is_picture` needs most of the page for its rows.
    """

    orders: tuple[str, ...] = ()
    is_picture = False

    def arranged(self, made: Any, order: str, backwards: bool) -> tuple[Any, ...]:
        """The rows in an order."""
        raise NotImplementedError

    def columns(self, rows: Any, width: int) -> tuple[Column, ...]:
        """The columns that there is room for."""
        raise NotImplementedError

    def head(self, made: Any, columns: tuple[Column, ...], look: Look, order: str, backwards: bool) -> tuple[str, ...]:
        """The lines above the rows."""
        del made
        return (head_line(columns, order, backwards, look.ascii_only),)

    def cells(self, row: Any, columns: tuple[Column, ...], look: Look) -> str:
        """One row."""
        raise NotImplementedError

    def whole(self, made: Any, look: Look, width: int) -> str:
        """The page as a text of its own; empty where its rows say all."""
        del made, look, width
        return ""

    def about(self, row: Any, look: Look, width: int) -> tuple[str, list[str]]:
        """The title and the lines of what there is to know about a row."""
        raise NotImplementedError

    def graft(self, row: Any) -> str:
        """The id of the graft that a row stands for; empty for none."""
        del row
        return ""


class TastingPage(TablePage):
    name = "Tasting"
    orders = fruit.TASTING_ORDERS
    is_dated = True

    def made(self, records: Records, look: Look) -> tuple[FruitRow, ...]:
        return fruit.fruit_rows(records, look.today, look.south, look.years.both(), _reasons(records, look))

    def summary(self, made: tuple[FruitRow, ...], look: Look) -> str:
        del look
        now = [row for row in made if row.state == "now"]
        said = {
            "Ripe now": _named(row for row in now if not row.stored),
            "In store": _named(row for row in now if row.stored),
            "Not to be eaten yet": _named(row for row in made if row.state == "barred"),
        }
        return " ".join(f"{what}: {names}." for what, names in said.items() if names) or "Nothing is ripe now."

    def arranged(self, made: tuple[FruitRow, ...], order: str, backwards: bool) -> tuple[FruitRow, ...]:
        return fruit.fruit_in_order(made, order, backwards)

    def columns(self, rows: Any, width: int) -> tuple[Column, ...]:
        return fruit.fruit_columns(rows, width)

    def cells(self, row: FruitRow, columns: tuple[Column, ...], look: Look) -> str:
        return fruit.fruit_cells(row, columns, look.ascii_only)

    def about(self, row: FruitRow, look: Look, width: int) -> tuple[str, list[str]]:
        title = f"{variety_words(row.graft, row.tree)} ({row.graft.id}) on {row.tree.name}"
        return title, fruit.fruit_lines(row, look.south, width)

    def graft(self, row: FruitRow) -> str:
        return row.graft.id


def _named(rows: Iterable[FruitRow]) -> str:
    """The varieties, the first of them by name; empty for none."""
    found = list(dict.fromkeys(row.graft.variety for row in rows))
    return ", ".join(found[:_NAMED]) + (f" and {len(found) - _NAMED} more" if len(found) > _NAMED else "")


class RipeningPage(TablePage):
    """The picture of the year's fruit."""

    name = "Ripening"
    orders = ("pick",)
    is_dated = True
    is_picture = True

    def made(self, records: Records, look: Look) -> Picture:
        return ripening.picture_of(records, look.years, VarietyBook(records, look.reference), look.today)

    def summary(self, made: Any, look: Look) -> str:
        del look
        return ripening.picture_summary(made) if made else ""

    def whole(self, made: Any, look: Look, width: int) -> str:
        return ripening.picture_text(made, width, look.ascii_only) if made else ""

    def arranged(self, made: Any, order: str, backwards: bool) -> tuple[PictureRow, ...]:
        del order
        rows: tuple[PictureRow, ...] = made.rows if made else ()
        return rows[::-1] if backwards else rows

    def columns(self, rows: Any, width: int) -> tuple[Column, ...]:
        first = next(iter(rows), None)
        return () if first is None else ripening.picture_columns(len(first.where), first.today_at is not None, width)

    def head(self, made: Any, columns: tuple[Column, ...], look: Look, order: str, backwards: bool) -> tuple[str, ...]:
        del order, backwards
        if not columns or not made:
            return ("",)
        width = columns[-1].start + columns[-1].columns
        marks = ripening.legend(made, width, look.ascii_only)
        return *marks, *ripening.picture_head(made, columns, look.ascii_only)

    def cells(self, row: PictureRow, columns: tuple[Column, ...], look: Look) -> str:
        return ripening.picture_cells(row, columns, look.ascii_only)

    def about(self, row: PictureRow, look: Look, width: int) -> tuple[str, list[str]]:
        lines = wrapped(plain(row.bar), width) if row.bar else []
        if row.dates is None:
            return f"{row.variety}, {row.species}", lines + picking.unknown_lines(width)
        return f"{row.variety}, {row.species}", lines + picking.date_lines(row.dates, look.years, width)


class BloomPage(TablePage):
    name = "Bloom"
    orders = bloom.BLOOM_ORDERS

    def made(self, records: Records, look: Look) -> tuple[BloomRow, ...]:
        return bloom.bloom_rows(records, look.reference)

    def summary(self, made: tuple[BloomRow, ...], look: Look) -> str:
        del look
        return f"Varieties in bloom: {bloom.bloom_summary(made)}"

    def arranged(self, made: tuple[BloomRow, ...], order: str, backwards: bool) -> tuple[BloomRow, ...]:
        return bloom.bloom_in_order(made, order, backwards)

    def columns(self, rows: Any, width: int) -> tuple[Column, ...]:
        return bloom.bloom_columns(rows, width)

    def cells(self, row: BloomRow, columns: tuple[Column, ...], look: Look) -> str:
        return bloom.bloom_cells(row, columns, look.ascii_only)

    def about(self, row: BloomRow, look: Look, width: int) -> tuple[str, list[str]]:
        del look
        return f"{row.variety}, {row.species}", bloom.bloom_lines(row, width)


class VarietiesPage(TablePage):
    name = "Varieties"
    orders = varieties.VARIETY_ORDERS

    def made(self, records: Records, look: Look) -> tuple[VarietyRow, ...]:
        return varieties.variety_rows(records, look.reference)

    def summary(self, made: tuple[VarietyRow, ...], look: Look) -> str:
        del look
        return varieties.varieties_summary(made)

    def arranged(self, made: tuple[VarietyRow, ...], order: str, backwards: bool) -> tuple[VarietyRow, ...]:
        return varieties.varieties_in_order(made, order, backwards)

    def columns(self, rows: Any, width: int) -> tuple[Column, ...]:
        return varieties.variety_columns(rows, width)

    def cells(self, row: VarietyRow, columns: tuple[Column, ...], look: Look) -> str:
        return varieties.variety_cells(row, columns, look.ascii_only)

    def about(self, row: VarietyRow, look: Look, width: int) -> tuple[str, list[str]]:
        del look
        return f"{row.variety}, {row.species}", varieties.variety_lines(row.known, width)


class PlacesPage(TablePage):
    name = "Cut and free"
    orders = places.PLACE_ORDERS

    def made(self, records: Records, look: Look) -> tuple[PlaceRow, ...]:
        del look
        return places.place_rows(records)

    def summary(self, made: tuple[PlaceRow, ...], look: Look) -> str:
        del look
        to_cut = sum(row.state == "to cut" for row in made)
        return f"{counted(to_cut, 'graft')} to cut, {counted(len(made) - to_cut, 'place')} free."

    def arranged(self, made: tuple[PlaceRow, ...], order: str, backwards: bool) -> tuple[PlaceRow, ...]:
        return places.places_in_order(made, order, backwards)

    def columns(self, rows: Any, width: int) -> tuple[Column, ...]:
        return places.place_columns(rows, width)

    def cells(self, row: PlaceRow, columns: tuple[Column, ...], look: Look) -> str:
        return places.place_cells(row, columns, look.units, look.ascii_only)

    def about(self, row: PlaceRow, look: Look, width: int) -> tuple[str, list[str]]:
        return row.tree.name, places.place_lines(row, look.units, width)

    def graft(self, row: PlaceRow) -> str:
        return row.graft if row.state == "to cut" else ""


class VerdictPage(TablePage):
    name = "Verdict"
    orders = verdict.VERDICT_ORDERS
    is_dated = True

    def made(self, records: Records, look: Look) -> tuple[VerdictRow, ...]:
        return verdict.verdict_rows(records, _reasons(records, look))

    def summary(self, made: tuple[VerdictRow, ...], look: Look) -> str:
        del look
        return verdict.verdicts_summary(made)

    def arranged(self, made: tuple[VerdictRow, ...], order: str, backwards: bool) -> tuple[VerdictRow, ...]:
        return verdict.verdicts_in_order(made, order, backwards)

    def columns(self, rows: Any, width: int) -> tuple[Column, ...]:
        return verdict.verdict_columns(rows, width)

    def cells(self, row: VerdictRow, columns: tuple[Column, ...], look: Look) -> str:
        del look
        return verdict.verdict_cells(row, columns)

    def about(self, row: VerdictRow, look: Look, width: int) -> tuple[str, list[str]]:
        del look
        title = f"{variety_words(row.graft, row.tree)} ({row.graft.id}) on {row.tree.name}"
        return title, verdict.verdict_lines(row.reasons, width)

    def graft(self, row: VerdictRow) -> str:
        return row.graft.id


def _reasons(records: Records, look: Look) -> tuple[VerdictReasons, ...]:
    dates = look.years.of_season(look.today).dates
    return verdict_reasons(records, dates, VarietyBook(records, look.reference), look.today, look.south)


class TakesPage(TextPage):
    name = "What takes"

    def made(self, records: Records, look: Look) -> Any:
        del look
        return trials(records)

    def summary(self, made: Any, look: Look) -> str:
        del look
        return f"{sum(trial.took for trial in made)} of {counted(len(made), 'graft')} took."

    def text(self, made: Any, look: Look, width: int) -> str:
        del look
        return takes_text(made, width)


PAGES: dict[str, Page] = {
    page.name: page
    for page in (TastingPage(), VerdictPage(), RipeningPage(), BloomPage(), VarietiesPage(), PlacesPage(), TakesPage())
}

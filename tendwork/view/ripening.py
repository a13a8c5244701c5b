"""The picture of the year's fruit: in which week which variety is ripe on the tree or in the store, and when none is.

Weeks before today stand left of a line, those to come right of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from msgspec import Struct

from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.fruit_spans import FruitSpan, fruit_spans
from tendwork.planning.fruit_weeks import BareWeeks, FruitWeek, WhereFruitIs, bare_weeks, fruit_weeks, where_fruit_is
from tendwork.planning.fruit_years import FruitYears, SpeciesMoved, good_until, moved_by_species, was_tasted
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.work_bars import WorkBars
from tendwork.variety_names import Key
from tendwork.view.json_shape import Shape
from tendwork.view.symbols import Mark
from tendwork.view.table import Column
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import counted, fruit_year_words, short_day

FRUIT_WEEK_MARKS: dict[tuple[str, bool], Mark] = {
    ("tree", True): Mark("■", "#", "on the tree"),
    ("store", True): Mark("═", "=", "in the store"),
    ("tree", False): Mark("□", "o", "on the tree once it bears"),
    ("store", False): Mark("─", "-", "in the store once it bears"),
}
BARE_WEEK, NO_FRUIT, TODAY_LINE = Mark("×", "x", "nothing"), Mark("·", ".", "none of it"), Mark("│", "|", "today")
KEEPS_ON, _BARRED = ">", "!"
_BARE_WORDS = "nothing ripe"
_NAME_COLUMNS, _LEAST_NAME_COLUMNS = 22, 12
_RIGHT = (("pick", 6), ("than usual", 11))
_RIGHT_NARROW = (("pick", 6), ("usual", 5))
_BETWEEN = 2
_WEEK = timedelta(days=7)


class BarredFruit(Struct, frozen=True):
    """A graft whose fruit must not be eaten yet: `why` as a sentence, `until` None where that is not known."""

    graft: str
    variety: str
    tree: str
    species: str
    until: date | None
    why: str


class PictureRow(Struct, frozen=True):
    """One variety of the picture; `span` and `dates` are None where it is not known when it ripens.

    `bar` is why its fruit must not be eaten yet, where it must not; `where` is where there is fruit of it week by week,
    `keeps_on` that it keeps longer, `today_at` the week of today.
    """

    species: str
    variety: str
    shown: str
    bears: bool
    bar: str
    span: FruitSpan | None
    dates: RipeDates | None
    where: tuple[WhereFruitIs, ...]
    keeps_on: bool
    today_at: int | None

    @property
    def id(self) -> str:
        return f"{self.species}/{self.variety}"

    @property
    def state(self) -> str:
        return "unknown" if self.span is None else "now" if self.bears else "young"

    @property
    def words(self) -> str:
        """What a filter looks through."""
        names = () if self.span is None else self.span.names
        return " ".join((self.species, self.variety, *names, "" if self.span else "not known")).casefold()


class Picture(Struct, frozen=True):
    """The fruit of a year: the varieties by date, those of no known date last; the weeks, and the bare ones in them."""

    today: date
    years: FruitYears
    rows: tuple[PictureRow, ...]
    weeks: tuple[FruitWeek, ...]
    gaps: tuple[BareWeeks, ...]
    barred: tuple[BarredFruit, ...]

    @property
    def dated(self) -> tuple[RipeDates, ...]:
        return tuple(row.dates for row in self.rows if row.dates is not None)

    @property
    def today_at(self) -> int | None:
        """The number of the week of today; None outside the weeks."""
        return _week_of(self.today, self.weeks)


def barred_fruit(records: Records, today: date, south: bool) -> tuple[BarredFruit, ...]:
    """Every graft that bears and whose fruit must not be eaten today, in the order of entry."""
    bars = WorkBars(records, south, today).barred_fruit()
    species = species_by_graft(records)
    return tuple(
        BarredFruit(graft.id, graft.variety, graft.tree, species[graft.id], bar.until, bar.words)
        for graft in records.grafts
        if (bar := bars.get(graft.id)) is not None
    )


def picture_of(records: Records, years: FruitYears, book: VarietyBook, today: date) -> Picture:
    """The picture of this fruit year, of every variety that grows or is planned and is not judged "cut"."""
    season = years.this.season
    spans = fruit_spans(records, years.this.dates, book)
    barred = barred_fruit(records, today, season.south)
    why = {book.key(one.species, one.variety): one.why for one in barred}
    by_key = {book.key(row.species, row.variety): row for row in years.this.dates}
    dated = [(span.key, span.species, span.variety, span.bears, span) for span in spans]
    undated = _undated(records, book, {span.key for span in spans})
    names = [variety for _, _, variety, *_ in (*dated, *undated)]
    weeks = fruit_weeks(spans, season.name, season.south)
    after, today_at = weeks[-1].first + _WEEK, _week_of(today, weeks)
    rows = tuple(
        PictureRow(
            species,
            variety,
            variety if names.count(variety) == 1 else f"{variety}, {species}",
            bears,
            why.get(key, ""),
            span,
            None if span is None else by_key[key],
            tuple("" if span is None else where_fruit_is(span, week.first) for week in weeks),
            span is not None and span.in_store is not None and span.in_store[1] >= after,
            today_at,
        )
        for key, species, variety, bears, span in (*dated, *undated)
    )
    return Picture(today, years, rows, weeks, bare_weeks(weeks, season.name, season.south), barred)


def _undated(
    records: Records, book: VarietyBook, dated: set[Key]
) -> list[tuple[Key, str, str, bool, FruitSpan | None]]:
    """The varieties without a date, by name."""
    species = species_by_graft(records)
    found: dict[Key, list[Graft]] = {}
    for graft in records.grafts:
        stands = graft.state in ("planned", *GROWS) and graft.verdict != "cut"
        if stands and graft.id in species and is_of_a_variety(graft):
            found.setdefault(book.key(species[graft.id], graft.variety), []).append(graft)
    rows = [
        (
            key,
            species[grafts[0].id],
            min(graft.variety for graft in grafts),
            any(graft.state == "bearing" for graft in grafts),
            None,
        )
        for key, grafts in found.items()
        if key not in dated
    ]
    return sorted(rows, key=lambda row: (row[2].casefold(), row[:2]))


def picture_columns(weeks_shown: int, has_today: bool, width: int) -> tuple[Column, ...]:
    """The columns that a page has room for: always the names and the weeks, then the day of picking and how it moved.

    A week has two columns where they fit beside all else.
    """
    line = 1 if has_today else 0

    def room(each: int, right: Sequence[tuple[str, int]]) -> int:
        return width - each * weeks_shown - line - _BETWEEN - sum(size + _BETWEEN for _, size in right)

    each = 2 if room(2, _RIGHT) >= _NAME_COLUMNS else 1
    ways = ((_RIGHT, _NAME_COLUMNS), (_RIGHT_NARROW, _LEAST_NAME_COLUMNS), (_RIGHT_NARROW[:1], _LEAST_NAME_COLUMNS))
    right = next((right for right, least in ways if room(each, right) >= least), ())
    size = max(min(_NAME_COLUMNS, room(each, right)), 8)
    columns = [Column("variety", 0, size), Column("weeks", size + _BETWEEN, each * weeks_shown + line)]
    for name, columns_of in right:
        columns.append(Column(name, columns[-1].start + columns[-1].columns + _BETWEEN, columns_of))
    return tuple(columns)


def picture_head(picture: Picture, columns: tuple[Column, ...], ascii_only: bool = False) -> tuple[str, str]:
    """What stays in sight above the varieties: the months, and the bare weeks."""
    bare = {gap.first + week * _WEEK for gap in picture.gaps for week in range(gap.weeks)}
    marks = [_mark(BARE_WEEK, ascii_only) if week.first in bare else " " for week in picture.weeks]
    each = columns[1].columns // len(picture.weeks)
    this = picture.years.this
    names = {"variety": fruit_year_words(this.year, this.season.south), "weeks": _months(picture, each)}
    months = _line(columns, {**{column.name: column.name for column in columns}, **names})
    shown = _with_today(marks, picture.today_at, columns, ascii_only)
    return months, _line(columns, {"variety": _BARE_WORDS, "weeks": shown})


def picture_cells(row: PictureRow, columns: tuple[Column, ...], ascii_only: bool = False) -> str:
    """The row of a variety: a mark for each week, the day of picking, and by how much this season moved it."""
    marks = [_mark(FRUIT_WEEK_MARKS[where, row.bears] if where else NO_FRUIT, ascii_only) for where in row.where]
    if row.keeps_on:
        marks[-1] = KEEPS_ON
    cells = {
        "variety": f"{_BARRED} {row.shown}" if row.bar else row.shown,
        "weeks": _with_today(marks, row.today_at, columns, ascii_only),
        "pick": "?" if row.dates is None else short_day(row.dates.pick, row.dates.pick),
        "than usual": "" if row.dates is None else _moved_short(row.dates),
        "usual": "" if row.dates is None else _moved_signed(row.dates),
    }
    return _line(columns, cells)


def legend(picture: Picture, width: int, ascii_only: bool = False) -> list[str]:
    """What the marks stand for, in one line of 70 columns or several shorter ones."""
    tree, store, tree_later, store_later = (_mark(mark, ascii_only) for mark in FRUIT_WEEK_MARKS.values())
    said = f"{tree} on the tree, {store} in store; {tree_later} {store_later} once it bears"
    said += f"; {KEEPS_ON} keeps longer" if any(row.keeps_on for row in picture.rows) else ""
    said += "" if picture.today_at is None else f"; {_mark(TODAY_LINE, ascii_only)} today"
    return wrapped(said, width)


def picture_text(picture: Picture, width: int, ascii_only: bool = False) -> str:
    """The whole picture: how the season is against others, the rows, the bare weeks, and what is not known."""
    why = _barred_lines(picture.barred, width)
    unknown = _sentence("When it ripens is not known", (row.shown for row in picture.rows if row.span is None), width)
    dated = [row for row in picture.rows if row.span is not None]
    if not dated:
        nothing = "No ripening day is known yet: note when a graft or a variety ripens, or taste."
        return "\n".join([*wrapped(nothing, width), *why, *unknown])
    columns = picture_columns(len(picture.weeks), picture.today_at is not None, width)
    months, bare = picture_head(picture, columns, ascii_only)
    rows = [picture_cells(row, columns, ascii_only).rstrip() for row in dated]
    moved = [line for one in moved_lines(picture) for line in wrapped(one, width, "", "    ")]
    gaps = [line for gap in picture.gaps for line in wrapped(gap_words(gap), width, "  - ")]
    no_end = (row.shown for row in dated if row.dates is not None and good_until(row.dates) is None)
    keeps = _sentence("How long it keeps is not known", no_end, width)
    marks = legend(picture, width, ascii_only)
    return "\n".join([*moved, months.rstrip(), *rows, bare.rstrip(), "", *marks, *why, *gaps, *keeps, *unknown])


def picture_summary(picture: Picture) -> str:
    """The longest gap to come, else of those that are over, and how far the season is off the usual."""
    if not any(row.span is not None for row in picture.rows):
        return "Nothing is known yet."
    said = "There is fruit in every week from high summer to midwinter."
    if picture.gaps:
        more = f" ({len(picture.gaps) - 1} more)" if len(picture.gaps) > 1 else ""
        to_come = [gap for gap in picture.gaps if gap.last >= picture.today]
        said = gap_words(max(to_come or picture.gaps, key=lambda gap: gap.weeks)) + more
    moved = moved_by_species(picture.years, picture.dated)
    off = {
        "later": ", ".join(f"{one.species} {counted(one.usual_days, 'day')}" for one in moved if one.usual_days > 0),
        "earlier": ", ".join(f"{one.species} {counted(-one.usual_days, 'day')}" for one in moved if one.usual_days < 0),
    }
    words = "; ".join(f"{how} than usual: {species}" for how, species in off.items() if species)
    return f"{said} {first_capital(words) if words else 'The season is as usual'}."


def moved_lines(picture: Picture) -> list[str]:
    """A sentence for each species: how this season is against the usual one and those before."""
    south = picture.years.this.season.south
    return [moved_words(one, south) for one in moved_by_species(picture.years, picture.dated)]


def moved_words(one: SpeciesMoved, south: bool) -> str:
    """ "Apple: 2 days later than usual, 3 days earlier than 2025, as in 2024."."""
    said = [later_words(one.usual_days)]
    before = [(fruit_year_words(year, south), days) for year, days in one.earlier_days]
    said += [later_words(days, year) if days else f"as in {year}" for year, days in before]
    return f"{first_capital(plain(one.species))}: {', '.join(said)}."


def first_capital(words: str) -> str:
    """Words as a sentence begins."""
    return words[:1].upper() + words[1:]


def later_words(days: int, than: str = "usual") -> str:
    """ "2 days later than usual", "as usual"."""
    if not days:
        return f"as {than}"
    return f"{counted(abs(days), 'day')} {'later' if days > 0 else 'earlier'} than {than}"


def gap_words(gap: BareWeeks) -> str:
    """ "Nothing ripe 16 Aug to 22 Aug (1 week); on the way: Harvest Psalm."."""
    on_its_way = f"; on the way: {', '.join(map(plain, gap.to_come))}" if gap.to_come else ""
    first, last = short_day(gap.first, gap.first), short_day(gap.last, gap.last)
    return f"Nothing ripe {first} to {last} ({counted(gap.weeks, 'week')}){on_its_way}."


def week_shape(week: FruitWeek) -> Shape:
    """A week of `fruit --json`: `ripe` are all that give fruit, `in_store` those of them that are in the store."""
    return {
        "starts": [week.first.month, week.first.day],
        "ripe": [*week.on_tree, *week.in_store],
        "in_store": list(week.in_store),
        "to_come": list(week.to_come),
    }


def gap_shape(gap: BareWeeks) -> Shape:
    """Weeks on end without fruit in `fruit --json`."""
    first, last = ([day.month, day.day] for day in (gap.first, gap.last))
    return {"first": first, "last": last, "weeks": gap.weeks, "to_come": list(gap.to_come)}


def _moved_short(row: RipeDates) -> str:
    days = (row.pick - row.usual).days
    return "" if not days else f"{abs(days)} d {'later' if days > 0 else 'earlier'}"


def _moved_signed(row: RipeDates) -> str:
    days = (row.pick - row.usual).days
    return "" if not days else f"{days:+d} d"


def seasons_words(years: FruitYears, row: RipeDates) -> str:
    """This season of a variety against others: "3 days later than usual; 2025: 3 Aug, as it tasted"."""
    said = [later_words((row.pick - row.usual).days)]
    for season in years.earlier:
        before = season.of(row)
        if before is not None:
            how = "as it tasted" if was_tasted(before) else "by the weather"
            year = fruit_year_words(season.year, season.season.south)
            said.append(f"{year}: {short_day(before.pick, before.pick)}, {how}")
    return "; ".join(said)


def _barred_lines(barred: Iterable[BarredFruit], width: int) -> list[str]:
    """Which fruit must not be eaten yet, by the sentence that says why and until when."""
    by_reason: dict[str, list[str]] = {}
    for one in barred:
        by_reason.setdefault(one.why, []).append(f"{one.variety} ({one.graft})")
    said = (plain(f"{', '.join(names)}: {reason}") for reason, names in by_reason.items())
    return [line for sentence in said for line in wrapped(sentence, width, f"{_BARRED} ")]


def _sentence(said: str, names: Iterable[str], width: int) -> list[str]:
    held = [plain(name) for name in names]
    return wrapped(f"{said}: {', '.join(held)}.", width, "", "    ") if held else []


def _mark(mark: Mark, ascii_only: bool) -> str:
    return mark.ascii if ascii_only else mark.symbol


def _week_of(day: date, weeks: Sequence[FruitWeek]) -> int | None:
    return next((at for at, week in enumerate(weeks) if week.first <= day < week.first + _WEEK), None)


def _with_today(marks: Sequence[str], today_at: int | None, columns: tuple[Column, ...], ascii_only: bool) -> str:
    """The marks of the weeks with the line of today before its week."""
    each = columns[1].columns // len(marks)
    cells = [mark * each for mark in marks]
    if today_at is not None:
        cells.insert(today_at, _mark(TODAY_LINE, ascii_only))
    return "".join(cells)


def _months(picture: Picture, each: int) -> str:
    """The names of the months, each above the first week that begins in it, where the next one leaves it room."""
    months = [week.first.month for week in picture.weeks]
    begins = [at for at, month in enumerate(months) if not at or months[at - 1] != month]

    def column(at: int) -> int:
        return at * each + (1 if picture.today_at is not None and at >= picture.today_at else 0)

    line = ""
    for at, following in zip(begins, [*begins[1:], len(months)], strict=True):
        first = picture.weeks[at].first
        name = short_day(first, first).split()[1]
        if column(following) - column(at) > len(name) - (following == len(months)):
            line = padded(line, column(at)) + name
    return line


def _line(columns: tuple[Column, ...], cells: dict[str, str]) -> str:
    line = ""
    for column in columns:
        line = padded(line, column.start) + padded(plain(cells.get(column.name, "")), column.columns)
    return line

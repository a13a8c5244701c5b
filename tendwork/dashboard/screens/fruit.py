"""Fruit: tastings, what to keep or cut, what ripens when and blooms together, varieties, what comes off, what takes."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Mapping
from typing import Any

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from tendwork.dashboard.actions import FRUIT, bindings
from tendwork.dashboard.screens.base import ScreenReadWhenSeen
from tendwork.dashboard.screens.fruit_pages import PAGES, Look, TablePage, TextPage
from tendwork.dashboard.screens.paged import PagedScreen
from tendwork.dashboard.screens.tasting import taste
from tendwork.dashboard.theme import FRUIT_STYLES
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.dashboard.widgets.steady_text import SteadyText
from tendwork.errors import PersonError
from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.records import VERDICTS, Graft, Variety
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import NO_REFERENCE
from tendwork.planning.fruit_years import FruitYears, fruit_years
from tendwork.view.bloom import BloomRow
from tendwork.view.form_words import FIELDS_OF, FormField, field_text
from tendwork.view.fruit import FruitRow
from tendwork.view.ripening import PictureRow
from tendwork.view.table import MARK, Column
from tendwork.view.text import plain
from tendwork.view.varieties import VarietyRow
from tendwork.view.verdict import VerdictRow
from tendwork.view.words import counted

_COPY_COLUMNS = 80
_TEXT = "-text"  # the page is a text to read, not a table
_PICTURE = "-picture"  # the rows of the page need most of it
_OF_GRAFTS = frozenset({"taste", "judge", "mark", "mark_all"})
_OF_VARIETIES = frozenset({"in_bloom", "bloom_group", "change", "remove"})
# The runs of week marks in the picture of the year's fruit, and their hues.
_WEEKS = re.compile("(?P<tree>[■#]+)|(?P<store>[═=>]+)|(?P<coming>[□─o-]+)|(?P<none>[·.]+)|(?P<today>[│|])")
_WEEK_STYLES = {
    "tree": "$open",
    "store": "$closing",
    "coming": "$waiting",
    "none": "$faint",
    "today": "bold $blossom",
}


class FruitScreen(ScreenReadWhenSeen, PagedScreen):
    """Several pages; what a page shows is made off the screen's loop, for the records that are held."""

    HERE = FRUIT
    CSS_PATH = ["common.tcss", "records.tcss"]
    BINDINGS = [*bindings(FRUIT)]
    PAGE_NAMES = tuple(PAGES)

    def __init__(self) -> None:
        super().__init__()
        self._made: Any = ()
        self._doubted = ""
        self._reference = NO_REFERENCE
        self._dates: FruitYears | None = None

    def compose(self) -> ComposeResult:
        yield from self.compose_pages()
        with VerticalScroll(id="reading"):
            yield Static(id="reading_text", markup=False)
        yield NoticeLine()
        yield KeyLine(FRUIT)

    @property
    def orders(self) -> tuple[str, ...]:
        page = PAGES[self.page]
        return page.orders if isinstance(page, TablePage) else ("",)

    def arranged(self) -> Mapping[str, Any]:
        page = PAGES[self.page]
        if not isinstance(page, TablePage):
            return {}
        return {row.id: row for row in page.arranged(self._made, self.order, self.backwards)}

    def matching(self, rows: Mapping[str, Any], words: str) -> tuple[Mapping[str, Any], str]:
        wanted = words.casefold().split()
        kept = {name: row for name, row in rows.items() if all(word in row.words for word in wanted)}
        return kept, next(iter(kept), "") if wanted else ""

    def laid(self, width: int) -> tuple[Column, ...]:
        page = PAGES[self.page]
        return page.columns(self.rows.values(), width) if isinstance(page, TablePage) else ()

    def markable(self, identity: str) -> bool:
        page = PAGES[self.page]
        return isinstance(page, TablePage) and bool(page.graft(self.rows[identity]))

    def head(self) -> tuple[str, ...]:
        page = PAGES[self.page]
        if not isinstance(page, TablePage):
            return ("",)
        return page.head(self._made, self.columns, self._look, self.order, self.backwards)

    def line(self, row: Any) -> Content:
        page = PAGES[self.page]
        assert isinstance(page, TablePage)
        line = Content(page.cells(row, self.columns, self._look))
        for column in self.columns:
            if column.name in (MARK, "state", "ripe", "advice"):
                style = FRUIT_STYLES.get(row.advice if column.name == "advice" else row.state, "")
                line = line.stylize(style, column.start, column.start + column.columns)
            if column.name == "weeks":
                end = column.start + column.columns
                for found in _WEEKS.finditer(line.plain[column.start : end]):
                    first, last = found.span()
                    style = _WEEK_STYLES[found.lastgroup or "none"]
                    line = line.stylize(style, column.start + first, column.start + last)
        return line

    def grafts(self) -> tuple[Graft, ...]:
        """The grafts of the marked rows in the order of entry, or else the one under the cursor."""
        page = PAGES[self.page]
        if not isinstance(page, TablePage):
            return ()
        rows = [self.rows[name] for name in self.rows if name in self.marked] or [self.row]
        ids = {page.graft(row) for row in rows if row is not None}
        return tuple(graft for graft in self.app.state.records.grafts if graft.id in ids)

    def can(self, action: str) -> bool:
        if action == "taste":
            return len(self.grafts()) == 1
        if action in _OF_VARIETIES:
            return self._variety() is not None and (action != "remove" or self._record() is not None)
        return action not in _OF_GRAFTS or bool(self.grafts())

    def show_chosen(self) -> None:
        page, row = PAGES[self.page], self.row
        title = ""
        lines: list[str] = []
        if isinstance(page, TablePage) and row is not None:
            width = self.query_one("#life").scrollable_content_region.width
            title, lines = page.about(row, self._look, width)
        if self.marked:
            title = f"{counted(len(self.marked), 'graft')} marked; {title}"
        self.query_one("#title", SteadyText).show(plain(title))
        self.query_one("#life_text", SteadyText).show("\n".join(lines))

    def copied_text(self) -> str:
        page, look = PAGES[self.page], self._look
        if isinstance(page, TextPage):
            return page.text(self._made, look, _COPY_COLUMNS)
        if not isinstance(page, TablePage) or self.row is None:
            return page.summary(self._made, look)
        title, lines = page.about(self.row, look, _COPY_COLUMNS)
        return "\n".join([plain(title), *lines])

    def view_name(self) -> str:
        return f"fruit-{'-'.join(self.page.lower().split())}"

    def view_text(self) -> str:
        page, look = PAGES[self.page], self._look
        if isinstance(page, TextPage):
            return page.text(self._made, look, _COPY_COLUMNS)
        assert isinstance(page, TablePage)
        if whole := page.whole(self._made, look, _COPY_COLUMNS):
            return whole
        columns = page.columns(self.rows.values(), _COPY_COLUMNS)
        head = page.head(self._made, columns, look, self.order, self.backwards)
        rows = [page.cells(row, columns, look).rstrip() for row in self.rows.values()]
        return "\n".join([page.summary(self._made, look), "", *(line.rstrip() for line in head), *rows])

    def action_menu(self) -> None:
        grafts = self.grafts()
        named = f"{grafts[0].variety} ({grafts[0].id})" if len(grafts) == 1 else counted(len(grafts), "marked graft")
        chosen = self._variety()
        about = self.page if chosen is None else chosen[1]
        self.open_menu(named if grafts else about)

    def action_taste(self) -> None:
        grafts = self.grafts()
        if len(grafts) == 1:
            taste(self, grafts[0])

    def action_judge(self) -> None:
        """Let the person decide; the suggestion is where the cursor stands."""
        grafts, row = self.grafts(), self.row
        if not grafts:
            return
        ids = tuple(graft.id for graft in grafts)
        suggested = (
            row.suggestion.suggested if isinstance(row, FruitRow | VerdictRow) and row.suggestion else grafts[0].verdict
        )
        about = f"{grafts[0].variety} ({grafts[0].id})" if len(ids) == 1 else counted(len(ids), "graft")
        self.pick(
            f"Judge {about}",
            [(verdict, verdict) for verdict in VERDICTS],
            lambda word: self.act(lambda bench, today: bench.records.entries.judge(ids, word, today)),
            suggested,
        )

    def action_in_bloom(self) -> None:
        """Note that the variety under the cursor is in full bloom today."""
        chosen = self._variety()
        if chosen is not None:
            self.run_worker(self._note_in_bloom(*chosen), exclusive=True, group="in_bloom", exit_on_error=False)

    async def _note_in_bloom(self, species: str, variety: str) -> None:
        """Note it; what the almanac contradicts only once the person has read that and presses again."""
        try:
            doubt = await self.app.ask(lambda bench, today: bench.records.bloom_doubt(species, variety, today))
        except PersonError:  # noting it says what is wrong
            doubt = ""
        if doubt and doubt != self._doubted:
            self._doubted = doubt
            key = self.app.keys.word("fruit.in_bloom")
            self.app.say(f"{doubt} Press {key} again if you are sure of it.", trouble=True)
            return
        self._doubted = ""
        await self._act(lambda bench, today: bench.records.in_bloom(species, variety, today))

    def action_bloom_group(self) -> None:
        """Note the bloom group of the variety under the cursor."""
        chosen, record = self._variety(), self._record()
        if chosen is not None:
            self.open_form(
                f"Bloom group of {chosen[1]}",
                [FormField("bloom", "group", "" if record is None else record.bloom, hint="1 is the earliest")],
                lambda texts: lambda bench, today: bench.records.entries.variety(*chosen, texts, today),
                note="Varieties of the same group or the next one bloom together. Days after the species do, too: +4.",
            )

    def action_change(self) -> None:
        """Change what is noted of the variety under the cursor."""
        chosen, record = self._variety(), self._record()
        if chosen is not None:
            held = record or Variety(*chosen)
            names = FIELDS_OF["varieties"]
            texts = {name: field_text(name, getattr(held, name)) for name in names}
            self.open_form(
                f"{held.variety}, {held.species}",
                self.fields(names, texts, "varieties"),
                lambda new: lambda bench, today: bench.records.entries.variety(*chosen, new, today),
                only_changed=True,
                note="Your word goes before the lists, line by line; what you leave empty is as they say, or unknown.",
                first="also",
            )

    def action_add(self) -> None:
        """Note what is known of a variety that need not grow here."""
        chosen = self._variety()
        texts = {} if chosen is None else {"species": chosen[0]}
        self.open_form(
            "A variety",
            self.fields(FIELDS_OF["varieties"], texts, "varieties"),
            lambda new: lambda bench, today: bench.records.entries.add_variety(new, today),
        )

    def action_remove(self) -> None:
        """Take the record of the variety under the cursor away."""
        chosen = self._variety()
        if chosen is not None:
            self.act(lambda bench, _: bench.records.entries.remove_variety(*chosen))

    def _variety(self) -> tuple[str, str] | None:
        """The species and name of the variety that the row under the cursor is about; None where it is about none."""
        row = self.row
        if isinstance(row, FruitRow | VerdictRow):
            return graft_species(row.graft, row.tree), row.graft.variety
        return (row.species, row.variety) if isinstance(row, BloomRow | VarietyRow | PictureRow) else None

    def _record(self) -> Variety | None:
        chosen = self._variety()
        return None if chosen is None else VarietyBook(self.app.state.records, self._reference).record(*chosen)

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._show_text)

    @property
    def _look(self) -> Look:
        state = self.app.state
        return Look(state.today, state.south, state.units, self.app.ascii_only, self._reference, self._dates)

    def show_page(self) -> None:
        self._made, self.rows, page = (), {}, PAGES[self.page]
        is_text = isinstance(page, TextPage)
        self.set_class(is_text, _TEXT)
        self.set_class(isinstance(page, TablePage) and page.is_picture, _PICTURE)
        (self.query_one("#reading") if is_text else self.query_one(RowList)).focus()
        self.read()

    def read(self) -> None:
        self.run_worker(self._make_page(), group="page", exclusive=True, exit_on_error=False)

    async def _make_page(self) -> None:
        page = PAGES[self.page]
        self._reference = await self.app.ask(lambda bench, _: bench.records.variety_reference())
        if page.is_dated:
            self._dates = await self._dates_now()
        look = self._look
        self._made = await asyncio.to_thread(page.made, self.app.state.records, look)
        self.query_one("#warnings", Static).update(plain(page.summary(self._made, look)))
        self.show_rows()
        self.call_after_refresh(self._show_text)  # once the page has its width

    async def _dates_now(self) -> FruitYears | None:
        """The dates of the years around today; None, and a notice, where they cannot be worked out."""
        south = self.app.state.south
        try:
            return await self.app.ask(
                lambda bench, today: fruit_years(lambda season: bench.plan.ripening(today, season), today, south)
            )
        except PersonError as wrong:
            self.app.say(f"When fruit is ripe cannot be worked out: {wrong}", trouble=True)
            return None

    def _show_text(self) -> None:
        page = PAGES[self.page]
        if not isinstance(page, TextPage) or not self.has_class(_TEXT):
            return
        text = page.text(self._made, self._look, self.query_one("#reading").scrollable_content_region.width)
        self.query_one("#reading_text", Static).update(Content(text))

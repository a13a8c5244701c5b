"""Graft: what to graft where next spring, as it is proposed, for the person to pin, forbid, swap, limit and accept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus, Resize
from textual.widget import Widget
from textual.widgets import Static

from tendwork.dashboard.actions import GRAFT, bindings
from tendwork.dashboard.screens.graft_wishing import NO_PROPOSAL, WishingScreen
from tendwork.dashboard.screens.paged import PageLine
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.screens.table import TableHead
from tendwork.dashboard.theme import CHOICE_STYLES, WEEK_STYLES
from tendwork.dashboard.widgets.crown_view import CrownPlan, CrownView
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.row_list import MARK_COLUMNS, RowList
from tendwork.dashboard.widgets.steady_text import SteadyText
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.orchard.records import Graft
from tendwork.view.choosing import proposal_text
from tendwork.view.choosing_rows import (
    CANDIDATE_ORDERS,
    CandidateRow,
    PlaceChoice,
    candidate_cells,
    candidate_columns,
    candidate_rows,
    candidates_in_order,
    crown_grafts,
    month_line,
    place_cells,
    place_choices,
    place_columns,
    season_cells,
    season_roles,
)
from tendwork.view.choosing_words import (
    candidate_lines,
    candidate_title,
    limit_words,
    place_lines,
    place_title,
    season_words,
)
from tendwork.view.table import MARK, Column, head_line
from tendwork.view.text import clipped, plain

PLACES, CANDIDATES, CROWN = "Places", "Candidates", "Crown"
PAGES = (PLACES, CANDIDATES, CROWN)
_COPY_COLUMNS = 80
_UNORDERED = "-"  # the places stand by tree


class PlaceList(RowList):
    """The places by tree."""


class CandidateList(RowList):
    """The candidates for the place under the cursor."""


_WIDGETS: dict[str, type[Widget]] = {PLACES: PlaceList, CANDIDATES: CandidateList, CROWN: CrownPlan}


class GraftScreen(WishingScreen):
    """On a narrow terminal the places, the candidates or the crown; on a wide one all three."""

    HERE = GRAFT
    CSS_PATH = ["common.tcss", "graft.tcss"]
    BINDINGS = [Binding("escape", "step_back", show=False), *bindings(GRAFT)]

    def __init__(self) -> None:
        super().__init__()
        self.page = PLACES
        self._order, self._backwards = CANDIDATE_ORDERS[0], False
        self._places: Mapping[str, PlaceChoice] = {}
        self._candidates: Mapping[str, CandidateRow] = {}
        self._place_columns: tuple[Column, ...] = ()
        self._candidate_columns: tuple[Column, ...] = ()
        self._by_tree: defaultdict[str, list[Graft]] = defaultdict(list)
        self._candidates_for = ""
        self._lit = ""  # a graft of the crown that is no place to graft, while the person looks at it there

    def compose(self) -> ComposeResult:
        yield TopLine(GRAFT)
        yield Static("Calculating what to graft where.", id="season", markup=False)
        yield PageLine(PAGES)
        yield FilterLine()
        with Vertical(id="work"):
            with Horizontal(id="crowns"):
                with Vertical(id="places_held"):
                    yield TableHead(MARK_COLUMNS)
                    yield PlaceList(self._place_line, id="places")
                yield CrownView(self.app.ascii_only)
            with Vertical(id="candidates_held"):
                yield TableHead(MARK_COLUMNS)
                yield Static(id="bare")
                yield CandidateList(self._candidate_line, id="candidates")
            with Vertical(id="chosen"):
                yield SteadyText("title")
                with VerticalScroll(id="life", can_focus=False):
                    yield SteadyText("life_text")
        yield NoticeLine()
        yield KeyLine(GRAFT)

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one(PageLine).show_page(self.page)
        self.query_one(PlaceList).focus()

    @property
    def place(self) -> PlaceChoice | None:
        """The place under the cursor; None on the heading of a tree."""
        row = self._places.get(self.query_one(PlaceList).chosen or "")
        return None if row is None or row.place is None else row

    @property
    def candidate(self) -> CandidateRow | None:
        """The candidate under the cursor, while the person is among the candidates."""
        return self._candidates.get(self.query_one(CandidateList).chosen or "") if self.page == CANDIDATES else None

    def show_proposal(self) -> None:
        self._by_tree = defaultdict(list)
        for graft in self.app.state.records.grafts:
            self._by_tree[graft.tree].append(graft)
        made, held = self.made, self.query_one(PlaceList)
        self._places = {} if made is None else {row.id: row for row in place_choices(made.proposal, self.wishes)}
        self._show_season()
        first = next((name for name, row in self._places.items() if row.place is not None), "")
        held.show(tuple(self._places), "" if held.chosen in self._places else first)
        self._show_candidates()

    def choose(self, row: str) -> None:
        self.query_one(PlaceList).choose(row)

    def on_row_list_chosen(self) -> None:
        self._lit = ""
        if self.place_id() != self._candidates_for:
            self._show_candidates()
        else:
            self._show_chosen()

    def on_row_list_selected(self) -> None:
        if self.page != CANDIDATES:
            self._choose_here()
        elif self.candidate is not None and self.pin(self.candidate):
            self.action_to_page(PLACES)

    def on_row_list_pressed(self, event: RowList.Pressed) -> None:
        held = self.query_one(PlaceList if event.row in self._places else CandidateList)
        held.choose(event.row)
        self.action_pin()

    def on_row_list_resized(self) -> None:
        self._lay()

    def on_resize(self, _: Resize) -> None:
        self.query_one(PageLine).show_page(self.page)

    def on_crown_plan_chosen(self, event: CrownPlan.Chosen) -> None:
        place = f"place/{event.graft}"
        self.query_one(PlaceList).choose(place)
        self._lit = "" if place in self._places else event.graft
        self._show_crown()

    def on_crown_plan_selected(self) -> None:
        self._choose_here()

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        for page, into in _WIDGETS.items():
            if isinstance(event.widget, into) and page != self.page:
                self._show_page(page)

    def on_filter_line_changed(self) -> None:
        self._show_candidates()

    def on_filter_line_left(self) -> None:
        self.action_to_page(CANDIDATES)

    def on_table_head_pressed(self, event: TableHead.Pressed) -> None:
        if event.column in CANDIDATE_ORDERS:
            self._order_by(event.column)

    def action_order(self) -> None:
        """Order the candidates by the next column."""
        self._order_by(CANDIDATE_ORDERS[(CANDIDATE_ORDERS.index(self._order) + 1) % len(CANDIDATE_ORDERS)])

    def action_page(self) -> None:
        """Go to the next of the places, the candidates and the crown."""
        self.action_to_page(PAGES[(PAGES.index(self.page) + 1) % len(PAGES)])

    def action_page_back(self) -> None:
        """Go to the one before."""
        self.action_to_page(PAGES[PAGES.index(self.page) - 1])

    def action_picture(self) -> None:
        """Go into the crown; from there, back to the places."""
        self.action_to_page(PLACES if self.page == CROWN else CROWN)

    def action_to_page(self, page: str) -> None:
        """Show the places, the candidates or the crown, and put the cursor there."""
        self._show_page(page)
        self.call_after_refresh(self.query_one(_WIDGETS[page]).focus)

    def action_step_back(self) -> None:
        """Away with the filter, else back to the places."""
        held = self.query_one(FilterLine)
        if held.words:
            held.action_clear()
        else:
            self.action_to_page(PLACES)

    def action_read(self) -> None:
        """Read the whole proposal."""
        if self.made is not None:
            self.app.push_screen(ReadingScreen("What to graft where", "graft.read", self._whole_text))

    def copied_text(self) -> str:
        title, lines = self._chosen(_COPY_COLUMNS)
        return "\n".join([title, *lines])

    def view_name(self) -> str:
        return "what-to-graft"

    def view_text(self) -> str:
        return "Nothing is proposed yet." if self.made is None else self._whole_text(_COPY_COLUMNS)

    def _whole_text(self, columns: int) -> str:
        made, state = self.made, self.app.state
        assert made is not None
        accept = f"Nothing is written until you accept it with {self.app.keys.word('graft.accept')}."
        return proposal_text(
            made.proposal,
            made.needs,
            state.records.trees,
            state.today,
            state.south,
            state.units,
            columns,
            how_to_accept=" ".join(filter(None, (limit_words(self.wishes), accept))),
        )

    def _choose_here(self) -> None:
        """Go to the candidates, with the cursor on the one that is proposed for the place, else on the first."""
        if self.place is None:
            return
        self._show_candidates(to_proposed=True)
        self.action_to_page(CANDIDATES)

    def _order_by(self, order: str) -> None:
        self._backwards = order == self._order and not self._backwards
        self._order = order
        self._show_candidates()

    def _show_page(self, page: str) -> None:
        self.page = page
        for name in PAGES:
            self.set_class(name == page, f"-{name.lower()}")
        self.query_one(PageLine).show_page(page)
        self._show_chosen()

    def _show_season(self) -> None:
        made = self.made
        words = NO_PROPOSAL if made is None else season_words(made.proposal, made.minutes, self.app.state.south)
        self.query_one("#season", Static).update(plain(" ".join(filter(None, (words, limit_words(self.wishes))))))

    def _show_candidates(self, to_proposed: bool = False) -> None:
        made, held, place = self.made, self.query_one(CandidateList), self.place_id()
        self._candidates_for = place
        rows: tuple[CandidateRow, ...] = ()
        if made is not None:
            wanted = self.query_one(FilterLine).words.casefold().split()
            found = candidate_rows(made.proposal, self.wishes, place)
            kept = [one for one in found if all(word in one.words for word in wanted)]
            rows = candidates_in_order(kept, self._order, self._backwards)
        self._candidates = {one.id: one for one in rows}
        here = next((one.id for one in rows if one.is_here), rows[0].id if rows else "")
        held.show(tuple(self._candidates), here if to_proposed or self.page != CANDIDATES else "")
        self._lay()

    def _lay(self) -> None:
        """The columns that both tables have room for, and what stands below them."""
        places, candidates = self.query_one(PlaceList), self.query_one(CandidateList)
        ascii_only = self.app.ascii_only
        self._place_columns = place_columns(self._places.values(), places.columns - MARK_COLUMNS)
        self._candidate_columns = candidate_columns(self._candidates.values(), candidates.columns - MARK_COLUMNS)
        line = head_line(self._place_columns, _UNORDERED, False, ascii_only)
        line = line.replace("variety", "graft  ")
        self.query_one("#places_held TableHead", TableHead).show((line,), self._place_columns)
        self._show_candidate_head()
        places.redraw()
        candidates.redraw()
        self._show_chosen()

    def _show_candidate_head(self) -> None:
        columns, ascii_only = self._candidate_columns, self.app.ascii_only
        line = head_line(columns, self._order, self._backwards, ascii_only)
        season = next((column for column in columns if column.name == "season"), None)
        if season is not None:
            months = month_line(self.app.state.south)
            line = line[: season.start] + months + line[season.start + season.columns :]
        self.query_one("#candidates_held TableHead", TableHead).show((line,), columns)
        bare = Content("")
        if self.made is not None and season is not None:
            bare = Content(season_cells(self.made.proposal, columns, ascii_only))
            bare = _with_weeks(bare, season, season_roles(self.made.proposal))
        self.query_one("#bare", Static).update(Content.assemble(" " * MARK_COLUMNS, bare))

    def _show_chosen(self) -> None:
        title, lines = self._chosen(self.query_one("#life").scrollable_content_region.width)
        self.query_one("#title", SteadyText).show(title)
        self.query_one("#life_text", SteadyText).show("\n".join(lines))
        self._show_crown()

    def _chosen(self, width: int) -> tuple[str, list[str]]:
        """The title and the words of what the cursor is on."""
        made, state, one = self.made, self.app.state, self.candidate
        if made is None:
            return "", []
        if not made.proposal.places.places:
            return self.no_place_words(width)
        row = self._places.get(self.query_one(PlaceList).chosen or "")
        if self.page == CANDIDATES and not made.proposal.candidates.candidates:
            return self.no_candidate_words(width)
        if one is not None:
            place = None if row is None else row.place
            return candidate_title(one, self.place_id()), candidate_lines(one, made.proposal, place, width)
        if row is None or self.page == CANDIDATES:
            return "", []
        trees = {tree.id: tree.name for tree in state.records.trees}
        return place_title(row), place_lines(row, made.needs, trees, state.today, state.units, width)

    def _show_crown(self) -> None:
        made, row = self.made, self._places.get(self.query_one(PlaceList).chosen or "")
        if made is None or row is None:
            self.query_one(CrownView).show((), "", self.app.state.units, None)
            return
        spread_m = next((tree.spread_m for tree in self.app.state.records.trees if tree.id == row.tree), None)
        chosen = self._lit or ("" if row.place is None else row.place.id)
        grafts = crown_grafts(self._by_tree[row.tree], made.proposal.lines)
        self.query_one(CrownView).show(grafts, chosen, self.app.state.units, spread_m)

    def _place_line(self, identity: str) -> Content:
        row, ascii_only = self._places[identity], self.app.ascii_only
        if row.place is None:
            return Content.styled(clipped(row.heading, self.query_one(PlaceList).columns), "bold $accent")
        text = place_cells(row, self._place_columns, self.app.state.units, ascii_only)
        line = Content.styled(text, "$faint" if row.state in ("empty", "forbidden") else "")
        for column in self._place_columns:
            if column.name in (MARK, "state"):
                line = line.stylize(CHOICE_STYLES[row.state], column.start, column.start + column.columns)
        return Content.assemble(" " * MARK_COLUMNS, line)

    def _candidate_line(self, identity: str) -> Content:
        row, ascii_only = self._candidates[identity], self.app.ascii_only
        line = Content(candidate_cells(row, self._candidate_columns, ascii_only))
        for column in self._candidate_columns:
            if column.name == "season" and row.candidate.fruit is not None:
                line = _with_weeks(line, column, row.weeks)
            elif column.name in (MARK, "where"):
                line = line.stylize(CHOICE_STYLES[row.state], column.start, column.start + column.columns)
        return Content.assemble(" " * MARK_COLUMNS, line)


def _with_weeks(line: Content, column: Column, weeks: tuple[str, ...]) -> Content:
    for week, role in enumerate(weeks):
        line = line.stylize(WEEK_STYLES[role], column.start + week, column.start + week + 1)
    return line

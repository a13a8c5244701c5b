"""Wood: the bundles with what is left of their time, and whether there is enough of every variety."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from tendwork.dashboard.actions import WOOD, bindings
from tendwork.dashboard.screens.wood_acts import WoodActs
from tendwork.dashboard.state import State
from tendwork.dashboard.theme import WOOD_STYLES
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.steady_text import SteadyText
from tendwork.orchard.wood_balance import Balance, wood_balance
from tendwork.view.table import MARK, Column
from tendwork.view.text import clipped, plain
from tendwork.view.wood import (
    BALANCE_ORDERS,
    BUNDLE_ORDERS,
    Bundle,
    balance_columns,
    balance_lines,
    balance_row,
    balance_state,
    balance_text,
    balances_in_order,
    barred_on,
    bundle_cells,
    bundle_columns,
    bundle_lines,
    bundles,
    bundles_in_order,
    bundles_text,
    wood_warnings,
)
from tendwork.view.words import counted

BUNDLES, BALANCE = "Bundles", "Balance"
PAGES = (BUNDLES, BALANCE)
_COPY_COLUMNS = 80
_WARNINGS_SHOWN, _WARNINGS_SHOWN_TALL = 2, 4


class WoodScreen(WoodActs):
    """Two pages in one table; what presses stands above both."""

    HERE = WOOD
    CSS_PATH = ["common.tcss", "records.tcss"]
    BINDINGS = [*bindings(WOOD)]
    PAGE_NAMES = PAGES

    def compose(self) -> ComposeResult:
        yield from self.compose_pages()
        yield NoticeLine()
        yield KeyLine(WOOD)

    def show_state(self, state: State) -> None:
        super().show_state(state)
        self._show_warnings()

    @property
    def orders(self) -> tuple[str, ...]:
        return BUNDLE_ORDERS if self.page == BUNDLES else BALANCE_ORDERS

    def arranged(self) -> Mapping[str, Any]:
        state = self.app.state
        if self.page == BUNDLES:
            held = bundles(state.records, state.today, state.check_wood_every_days, state.south)
            return {bundle.wood.id: bundle for bundle in bundles_in_order(held, self.order, self.backwards)}
        balances = balances_in_order(self._balances(), self.order, self.backwards)
        return {f"{balance.species}/{balance.variety}": balance for balance in balances}

    def matching(self, rows: Mapping[str, Any], words: str) -> tuple[Mapping[str, Any], str]:
        wanted = words.casefold().split()
        kept = {name: row for name, row in rows.items() if all(word in _text(row) for word in wanted)}
        return kept, next(iter(kept), "") if wanted else ""

    def laid(self, width: int) -> tuple[Column, ...]:
        if self.page == BUNDLES:
            return bundle_columns(self.rows.values(), width)
        return balance_columns(self.rows.values(), width)

    def markable(self, identity: str) -> bool:
        del identity
        return self.page == BUNDLES

    def line(self, row: Bundle | Balance) -> Content:
        ascii_only = self.app.ascii_only
        if isinstance(row, Balance):
            text, state = balance_row(row, self.columns, ascii_only), balance_state(row)
        else:
            text, state = bundle_cells(row, self.columns, self.app.state.today, ascii_only), row.state
        line = Content.styled(text, "$faint" if state in ("used up", "faded") else "")
        for column in self.columns:
            if column.name in (MARK, "state"):
                line = line.stylize(WOOD_STYLES[state], column.start, column.start + column.columns)
        return line

    def show_chosen(self) -> None:
        row, state = self.row, self.app.state
        title, lines = self._about(row, self.query_one("#life").scrollable_content_region.width)
        if row is None and not state.records.wood:
            add = self.app.keys.word("wood.add")
            lines = [f"No wood is recorded yet. Add a bundle with {add}, cut or still to come."]
        if self.marked:
            title = f"{counted(len(self.marked), 'bundle')} marked; {title}"
        self.query_one("#title", SteadyText).show(plain(title))
        self.query_one("#life_text", SteadyText).show("\n".join(lines))

    def _about(self, row: Bundle | Balance | None, width: int) -> tuple[str, list[str]]:
        """The title and the lines of what there is to know about a row."""
        state = self.app.state
        if isinstance(row, Balance):
            return f"{row.variety}, {row.species}", balance_lines(state.records, row, width)
        if row is None:
            return "", []
        lines = bundle_lines(row, state.check_wood_every_days, state.today, width)
        return f"{row.wood.variety} ({row.wood.id}), {row.wood.species}", [*lines, *self._of_variety(row, width)]

    def copied_text(self) -> str:
        title, lines = self._about(self.row, _COPY_COLUMNS)
        return "\n".join([plain(title), *lines])

    def view_name(self) -> str:
        return f"wood-{self.page.lower()}"

    def view_text(self) -> str:
        state = self.app.state
        if self.page == BALANCE:
            return balance_text(self._balances(), _COPY_COLUMNS)
        return bundles_text(state.records, state.today, state.check_wood_every_days, _COPY_COLUMNS, state.south)

    def _balances(self) -> tuple[Balance, ...]:
        state = self.app.state
        return wood_balance(state.records, state.today, barred_on(state.records, state.today, state.south))

    def _of_variety(self, bundle: Bundle, width: int) -> list[str]:
        """The balance of a bundle's variety."""
        state = self.app.state
        for balance in self._balances():
            if (balance.variety, balance.species) == (bundle.wood.variety, bundle.wood.species):
                return ["", *balance_lines(state.records, balance, width)]
        return []

    def _show_warnings(self) -> None:
        state, columns = self.app.state, self.app.size.width - 2
        held = bundles(state.records, state.today, state.check_wood_every_days, state.south)
        found = wood_warnings(state.records, state.today, held)
        most = _WARNINGS_SHOWN_TALL if self.has_class("-tall") else _WARNINGS_SHOWN
        shown = [clipped(sentence, columns) for sentence in found[:most]]
        if len(found) > most:
            more = f" (and {len(found) - most} more)"
            shown[-1] = clipped(found[most - 1], columns - len(more)) + more
        total = sum(bundle.sticks for bundle in state.records.wood)
        calm = f"{counted(len(state.records.wood), 'bundle')}, {counted(total, 'stick')}: nothing presses."
        self.query_one("#warnings", Static).update("\n".join(shown) or calm)


def _text(row: Bundle | Balance) -> str:
    """What the filter looks through."""
    if isinstance(row, Balance):
        return f"{row.variety} {row.species} {balance_state(row)}".casefold()
    wood = row.wood
    words = (wood.id, wood.variety, wood.species, row.state, wood.kept, wood.came_from, wood.promised_to, wood.note)
    return " ".join(words).casefold()

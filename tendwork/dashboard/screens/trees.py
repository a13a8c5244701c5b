"""Trees: every tree and the grafts on it, to read."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.content import Content
from textual.events import Resize
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from tendwork.dashboard.actions import TREES, bindings
from tendwork.dashboard.screens.base import OrchardScreen
from tendwork.dashboard.state import State
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.orchard.records import Graft
from tendwork.view.plain import graft_line, graft_order, tree_heading, trees_text

_COPY_COLUMNS = 80


class TreesScreen(OrchardScreen):
    """A readable list; the cursor goes from graft to graft."""

    HERE = TREES
    CSS_PATH = "trees.tcss"
    BINDINGS = [*bindings(TREES)]

    def compose(self) -> ComposeResult:
        yield TopLine(TREES)
        yield FilterLine()
        yield OptionList(markup=False, compact=True, id="trees")
        yield NoticeLine()
        yield KeyLine(TREES)

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#trees").focus()

    def show_state(self, state: State) -> None:
        del state
        self._draw()

    def copied_text(self) -> str:
        return trees_text(self.app.state.records, _COPY_COLUMNS)

    def action_filter(self) -> None:
        self.query_one(FilterLine).open()

    def action_undo(self) -> None:
        self.app.act(lambda bench, today: bench.undo(today))

    def on_filter_line_changed(self) -> None:
        self._draw()

    def on_filter_line_left(self) -> None:
        self.query_one("#trees").focus()

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._draw)

    def _draw(self) -> None:
        held = self.query_one("#trees", OptionList)
        columns = held.scrollable_content_region.width
        words = self.query_one(FilterLine).words.casefold().split()
        records = self.app.state.records
        options = []
        for tree in records.trees:
            grafts = sorted((graft for graft in records.grafts if graft.tree == tree.id), key=graft_order)
            heading = tree_heading(tree, grafts)
            shown = [graft for graft in grafts if _has(heading, graft, words)]
            if shown or not words:
                options.append(Option(Content.styled(heading, "bold $accent"), f"tree:{tree.id}", disabled=True))
                options += [Option(Content(graft_line(graft, columns)), f"graft:{graft.id}") for graft in shown]
        kept = held.highlighted
        held.set_options(options)
        if kept is not None and options:
            held.highlighted = min(kept, len(options) - 1)


def _has(heading: str, graft: Graft, words: list[str]) -> bool:
    text = f"{heading} {graft.id} {graft.variety} {graft.state} {graft.verdict} {graft.method} {graft.wrap}".casefold()
    return all(word in text for word in words)

"""The crown of one tree from above, the chosen graft lit; arrows and the mouse go from graft to graft."""

from __future__ import annotations

from itertools import groupby

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.events import Click, Resize
from textual.message import Message
from textual.widgets import Static

from tendwork.dashboard.theme import GRAFT_STYLES
from tendwork.dashboard.widgets.steady_text import SteadyText
from tendwork.orchard.crown import lay_out
from tendwork.orchard.records import Graft
from tendwork.view.crown import CrownPicture, crown_picture, crown_words, neighbour

_LEAST_COLUMNS, _LEAST_ROWS = 15, 7
_ROLE_STYLES = {"edge": "$faint", "trunk": "bold", "compass": "bold $accent", "crowd": "bold", "chosen": "bold reverse"}


class CrownPlan(Static, can_focus=True):
    """The picture alone."""

    BINDINGS = [
        Binding("up", "go(-1,0)", show=False),
        Binding("down", "go(1,0)", show=False),
        Binding("left", "go(0,-1)", show=False),
        Binding("right", "go(0,1)", show=False),
        Binding("enter", "select", show=False),
    ]

    class Chosen(Message):
        """The person went to a graft in the picture."""

        def __init__(self, graft: str) -> None:
            super().__init__()
            self.graft = graft

    class Resized(Message):
        """The picture has another room."""

    class Selected(Message):
        """The person asks for what can be done with the graft."""

    def __init__(self, ascii_only: bool) -> None:
        super().__init__(id="plan", markup=False)
        self._ascii_only = ascii_only
        self._grafts: dict[str, Graft] = {}
        self._chosen = ""
        self._spread_m: float | None = None
        self.picture: CrownPicture | None = None

    def show(self, grafts: dict[str, Graft], chosen: str, spread_m: float | None) -> None:
        """Draw these grafts in the room there is."""
        self._grafts, self._chosen, self._spread_m = grafts, chosen, spread_m
        columns, rows = self.size
        if columns < _LEAST_COLUMNS or rows < _LEAST_ROWS:
            if self.picture is not None:
                self.picture = None
                self.update("", layout=False)
            return
        self.picture = crown_picture(grafts.values(), columns, rows, chosen, self._ascii_only, spread_m)
        lines = []
        for row in self.picture.cells:
            runs = groupby(row, key=lambda cell: self._style(cell.role, cell.graft))
            lines.append(Content.assemble(*(("".join(cell.character for cell in run), style) for style, run in runs)))
        self.update(Content("\n").join(lines), layout=False)

    def action_go(self, down: int, right: int) -> None:
        """Go to the next graft that way."""
        if self.picture is not None:
            layout = lay_out(self._grafts.values(), *self.size, self._spread_m)
            self._go_to(neighbour(layout, self._chosen, down, right))

    def action_select(self) -> None:
        """Ask for what can be done with the graft."""
        self.post_message(self.Selected())

    def on_resize(self, _: Resize) -> None:
        self.post_message(self.Resized())

    def on_click(self, event: Click) -> None:
        """Choose the graft that was pressed; pressed again, the next one of those that share its place."""
        if self.picture is None or not (event.y < len(self.picture.cells) and event.x < len(self.picture.cells[0])):
            return
        pressed = self.picture.cells[event.y][event.x].graft
        together = next((crowd.grafts for crowd in self.picture.crowds if pressed in crowd.grafts), (pressed,))
        if self._chosen in together:
            pressed = together[(together.index(self._chosen) + 1) % len(together)]
        self._go_to(pressed)

    def _go_to(self, graft: str) -> None:
        if graft and graft != self._chosen:
            self.post_message(self.Chosen(graft))

    def _style(self, role: str, graft: str) -> str:
        if role == "graft":
            return GRAFT_STYLES[self._grafts[graft].state]
        return _ROLE_STYLES.get(role, "")


class CrownView(Vertical):
    """The picture and the words that belong to it."""

    def __init__(self, ascii_only: bool) -> None:
        super().__init__(id="crown")
        self._ascii_only = ascii_only
        self._shown: tuple[tuple[Graft, ...], str, str, float | None] = ((), "", "metric", None)

    def compose(self) -> ComposeResult:
        yield CrownPlan(self._ascii_only)
        with VerticalScroll(id="crown_words", can_focus=False):
            yield SteadyText("crown_text")

    def show(self, grafts: tuple[Graft, ...], chosen: str, units: str, spread_m: float | None) -> None:
        """Show the grafts of one tree; `chosen` may be none of them."""
        self._shown = (grafts, chosen, units, spread_m)
        self._draw()

    def on_crown_plan_resized(self) -> None:
        self._draw()

    def _draw(self) -> None:
        grafts, chosen, units, spread_m = self._shown
        plan, words = self.query_one(CrownPlan), self.query_one("#crown_text", SteadyText)
        plan.show({graft.id: graft for graft in grafts}, chosen, spread_m)
        if plan.picture is None:
            words.show("")
            return
        lines = crown_words(
            grafts,
            plan.picture,
            self.query_one("#crown_words").scrollable_content_region.width,
            chosen,
            units,
            self._ascii_only,
        )
        words.show("\n".join(lines))

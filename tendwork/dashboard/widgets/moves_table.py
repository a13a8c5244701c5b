"""What unsaved changes would move this season: every window before and after, first what enters or leaves this week."""

from __future__ import annotations

from datetime import date

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.events import Resize
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.theme import TASK_STYLES
from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose
from tendwork.planning.preview import Loss, Move
from tendwork.view.adjusted import ends_words, losses_sentence
from tendwork.view.template_rows import MoveGroup, move_days, move_groups, moves_sentence
from tendwork.view.text import padded, plain

_SPAN_COLUMNS = 13
_DAYS_COLUMNS = 6
_WORKING = "Working out what would move."


class MovesTable(Vertical):
    """Stands only while something is unsaved."""

    def __init__(self) -> None:
        super().__init__(id="moves")
        self._groups: tuple[MoveGroup, ...] = ()
        self._said = ""

    def compose(self) -> ComposeResult:
        yield Static(id="moved", markup=False)
        yield Static(id="columns", markup=False)
        yield LinesToChoose(markup=False, compact=True, id="windows")

    def on_mount(self) -> None:
        self.display = False

    def work(self) -> None:
        """The changes are new: what they move is not known yet, and what stands there is of those before."""
        self.display = True
        self._said = _WORKING
        self._draw()

    def show(self, moves: tuple[Move, ...], losses: tuple[Loss, ...], today: date) -> None:
        """Show what moves, and say what goes."""
        said = [moves_sentence(moves), losses_sentence(losses)]
        self._groups, self._said = move_groups(moves, today), " ".join(filter(None, said))
        self._draw()

    def trouble(self, why: str) -> None:
        """Say why it cannot be known."""
        self._groups, self._said = (), plain(why)
        self._draw()

    def clear(self) -> None:
        """Nothing is unsaved."""
        self._groups, self._said = (), ""
        self.display = False

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def _draw(self) -> None:
        self.set_class(not self._groups, "-empty")
        windows = self.query_one("#windows", OptionList)
        columns = windows.scrollable_content_region.width
        self.query_one("#moved", Static).update(self._said)
        self.query_one("#columns", Static).update(_row("job", "before", "after", "opens", "closes", columns))
        options = []
        for group in self._groups:
            title = Content.assemble(" ", (group.name, TASK_STYLES[group.state]), (f"  {len(group.moves)}", "$faint"))
            options += [Option(title, disabled=True), *(Option(self._window(move, columns)) for move in group.moves)]
        kept = windows.scroll_y
        windows.set_options(options)
        windows.scroll_to(y=kept, animate=False)

    def _window(self, move: Move, columns: int) -> Content:
        title = f"{plain(move.title)}, {plain(move.place) or 'the orchard'}"
        before, after = ends_words(move)
        opens, closes = move_days(move)
        return Content(_row(title, before, after, opens, closes, columns))


def _row(job: str, before: str, after: str, opens: str, closes: str, columns: int) -> str:
    days = f"{padded(opens, _DAYS_COLUMNS, right=True)}  {padded(closes, _DAYS_COLUMNS, right=True)}"
    end = f"  {padded(before, _SPAN_COLUMNS)}  {padded(after, _SPAN_COLUMNS)} {days}"
    return f" {padded(job, max(columns - len(end) - 1, 8))}{end}"

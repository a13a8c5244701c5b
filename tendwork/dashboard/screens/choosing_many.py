"""Some of many lines, marked and taken together."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.actions import FORM, QUESTIONS, bindings
from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.job_list import MARKED
from tendwork.dashboard.widgets.lines_to_choose import ChoosingList
from tendwork.dashboard.widgets.press_line import key_and_words, word_of
from tendwork.view.text import plain


class ChoosingManyScreen(Dialog[tuple[str, ...] | None]):
    """Space marks a line, enter takes what is marked, escape nothing. Gives the ids of the lines, or None."""

    CSS_PATH = ["dialog.tcss", "wraps.tcss"]
    BINDINGS = [Binding("escape", "dismiss(None)", show=False), *bindings(QUESTIONS)]
    PLACES = (FORM, QUESTIONS)

    def __init__(self, title: str, lines: Sequence[tuple[str, str]]) -> None:
        """`lines` are ids with their words."""
        super().__init__()
        self._title = title
        self._lines = tuple(lines)
        self._marked: frozenset[str] = frozenset()

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog page"):
            yield Static(plain(self._title), classes="heading", markup=False)
            yield ChoosingList(markup=False, compact=True, id="many")
            yield Static(id="about", markup=False)
            words = (word_of(self.app.keys.action(f"{QUESTIONS}.{name}")) for name in ("mark", "mark_all"))
            yield hint(*words, key_and_words("enter", "take", "screen.take"), leave_word())

    def on_mount(self) -> None:
        self._show()
        self.query_one("#many").focus()

    def action_mark(self) -> None:
        """Mark the line under the cursor and go on; what is marked is unmarked."""
        held = self.query_one("#many", OptionList)
        if held.highlighted_option is not None:
            self._marked ^= {str(held.highlighted_option.id)}
            self._show()
            held.highlighted = min((held.highlighted or 0) + 1, held.option_count - 1)

    def action_mark_all(self) -> None:
        """Mark all lines, or take all marks away."""
        every = frozenset(name for name, _ in self._lines)
        self._marked = frozenset() if self._marked == every else every
        self._show()

    def action_take(self) -> None:
        """Take what is marked; nothing is marked where the person means none."""
        self.dismiss(tuple(name for name, _ in self._lines if name in self._marked))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.action_take()

    def _show(self) -> None:
        held = self.query_one("#many", OptionList)
        place = held.highlighted or 0
        held.set_options(
            Option(Content.assemble((f" {MARKED if name in self._marked else ' '} ", "bold $accent"), words), name)
            for name, words in self._lines
        )
        held.highlighted = place
        self.query_one("#about", Static).update(f"{len(self._marked)} of {len(self._lines)} marked")

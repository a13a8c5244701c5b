"""What can be done with what the cursor is on, to choose with enter, with the mouse, or with the thing's own key."""

from __future__ import annotations

from msgspec import Struct
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.events import Key
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose
from tendwork.view.text import padded, plain


class Item(Struct, frozen=True):
    """One line: what choosing it gives, the key that chooses it too (as Textual names it), and its words."""

    id: str
    key: str
    shown_key: str
    words: str


class MenuScreen(Dialog[str | None]):
    """Gives the id of the chosen item, or None."""

    CSS_PATH = ["dialog.tcss", "form.tcss"]
    BINDINGS = [Binding("escape", "dismiss(None)", show=False)]

    def __init__(self, title: str, items: list[Item], chosen: str = "") -> None:
        super().__init__()
        self._title = title
        self._items = items
        self._chosen = chosen

    def compose(self) -> ComposeResult:
        keys = max((len(item.shown_key) for item in self._items), default=0)
        options = [
            Option(Content.assemble((f" {padded(item.shown_key, keys)}  ", "bold $accent"), plain(item.words)), item.id)
            for item in self._items
        ]
        with Vertical(classes="dialog"):
            yield Static(plain(self._title), classes="heading", markup=False)
            yield LinesToChoose(*options, markup=False, compact=True, id="items")
            yield hint(leave_word(), also="enter, the key or a press takes it")

    def on_mount(self) -> None:
        held = self.query_one("#items", OptionList)
        names = [item.id for item in self._items]
        held.highlighted = names.index(self._chosen) if self._chosen in names else 0
        held.focus()

    def on_key(self, event: Key) -> None:
        for item in self._items:
            if event.key == item.key:
                event.stop()
                self.dismiss(item.id)
                return

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_id)

"""The line in which a person writes the words to look for; it stands only while there are some."""

from __future__ import annotations

from textual.binding import Binding
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Input, Static


class FilterLine(Horizontal):
    """Tells each change of its words; escape empties and leaves it, enter leaves it and keeps the words.

    Most days nothing is looked for, so the place to write in is made when it is first opened.
    """

    DEFAULT_CSS = """
    FilterLine {
        height: 1;
        padding: 0 1;
        background: $surface;
        Static { width: auto; color: $blossom; }
        Input { width: 1fr; color: $foreground; background: $surface; }
    }
    """
    BINDINGS = [Binding("escape", "clear", show=False)]

    class Changed(Message):
        """The words are new."""

    class Left(Message):
        """The person is done with the line."""

    def __init__(self) -> None:
        super().__init__()
        self.display = False

    @property
    def words(self) -> str:
        """What the person looks for; empty for everything."""
        return "".join(line.value for line in self.query(Input))

    async def open(self) -> None:
        """Let the person write; what is pressed next is written already."""
        self.display = True
        if not self.children:
            await self.mount(
                Static("only with: ", markup=False),
                Input(compact=True, id="filter", placeholder="enter keeps it, escape shows all"),
            )
        self.query_one(Input).focus()

    def action_clear(self) -> None:
        """Look for nothing any more."""
        for line in self.query(Input):
            line.value = ""
            self._leave()

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        self.post_message(self.Changed())

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._leave()

    def _leave(self) -> None:
        self.display = bool(self.words)
        self.post_message(self.Left())

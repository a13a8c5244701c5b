"""Words in one line that a mouse can press, each doing what a key does."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct
from textual.content import Content
from textual.events import Leave, MouseMove, Resize
from textual.style import Style
from textual.widgets import Static

from tendwork.dashboard.actions import Action, key_word, run_words

GAP_COLUMNS = 2
_PRESSED = "@click"  # where Textual looks for what a press runs


class Word(Struct, frozen=True):
    """What stands there, and the action that Textual runs when it is pressed."""

    shown: Content
    action: str


def key_and_words(key: str, words: str, action: str) -> Word:
    """A key, what it does, and the action that both run."""
    return Word(Content.assemble((key, "bold $accent"), f" {words}"), action)


def word_of(action: Action) -> Word:
    """An action of the table by its first key."""
    return key_and_words(key_word(action.keys[0]), action.label, run_words(action))


class PressLine(Static):
    """The word under the mouse is underlined. A line of many words is one widget, which is far cheaper than many.

    With a `lead` the line is as wide as it may be: the lead to the left, cut where there is no room, the words to the
    right.
    """

    DEFAULT_CSS = "PressLine { width: auto; height: 1; text-wrap: nowrap; }"

    def __init__(self, words: Iterable[Word] = (), gap: int = GAP_COLUMNS, id: str | None = None) -> None:
        super().__init__(id=id)
        self.set_reactive(PressLine.auto_links, False)  # Textual would give what can be pressed a colour of its own
        self.words = tuple(words)
        self._lead: Content | None = None
        self._gap = gap
        self._under_mouse = ""

    def on_mount(self) -> None:
        self._draw()

    def show(self, words: Iterable[Word] | None = None, lead: Content | None = None) -> None:
        """Show other words, or another lead."""
        self.words = self.words if words is None else tuple(words)
        self._lead = self._lead if lead is None else lead
        self._draw()

    def on_resize(self, _: Resize) -> None:
        if self.lead(0) is not None:
            self._draw()

    def on_mouse_move(self, event: MouseMove) -> None:
        self._light(str(event.style.meta.get(_PRESSED, "")))

    def on_leave(self, _: Leave) -> None:
        self._light("")

    def lead(self, columns: int) -> Content | None:
        """What stands to the left, in at most so many columns; None where nothing does."""
        return None if self._lead is None else self._lead.truncate(columns, ellipsis=True)

    def line(self) -> Content:
        """The whole line."""
        words = self.joined(self.words)
        room = max(self.content_size.width - words.cell_length, 0)
        lead = self.lead(max(room - self._gap, 0))
        return words if lead is None else Content.assemble(lead, " " * max(room - lead.cell_length, 0), words)

    def joined(self, words: Iterable[Word]) -> Content:
        """These words with the gap between them, ready to be pressed."""
        return Content(" " * self._gap).join([self._ready(word) for word in words])

    def _ready(self, word: Word) -> Content:
        ready = word.shown.stylize(Style.from_meta({_PRESSED: word.action}))
        return ready.stylize("underline") if word.action == self._under_mouse else ready

    def _light(self, action: str) -> None:
        if action != self._under_mouse:
            self._under_mouse = action
            self.update(self.line(), layout=False)

    def _draw(self) -> None:
        """Draw the line; the screen is laid out again only where it takes more or fewer lines, or another width."""
        line = self.line()
        lines = line.plain.count("\n") + 1
        self.update(line, layout=self.lead(0) is None or lines != self.content_size.height)

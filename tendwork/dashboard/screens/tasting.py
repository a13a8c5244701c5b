"""A tasting: the score alone takes one key; how ripe, what for, a note and the day are there for who wants them."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.events import Key
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.screens.records import RecordsScreen
from tendwork.dashboard.widgets.form_input import FormInput, FormLine
from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose
from tendwork.errors import PersonError
from tendwork.orchard.records import Graft
from tendwork.view.form_words import FormField
from tendwork.view.text import plain

SCORES = ("poor", "fair", "good", "very good", "outstanding")


class TastingScreen(Dialog[bool]):
    """A number takes the score with the lines below as they stand. Gives whether a tasting was recorded."""

    CSS_PATH = ["dialog.tcss", "form.tcss"]
    BINDINGS = [Binding("escape", "dismiss(False)", show=False)]

    def __init__(self, graft: Graft, fields: list[FormField]) -> None:
        super().__init__()
        self._graft = graft
        self._fields = fields
        self._saving = False
        self._warned = ""

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            about = plain(f"Taste {self._graft.variety} ({self._graft.id})")
            yield Static(about, classes="heading", markup=False)
            scores = [
                Option(Content.assemble((f" {score}  ", "bold $accent"), words))
                for score, words in enumerate(SCORES, 1)
            ]
            yield LinesToChoose(*scores, markup=False, compact=True, id="scores")
            yield from (FormLine(field, self.app.state.today) for field in self._fields)
            yield Static(id="fault", markup=False)
            yield hint(leave_word("False"), also="a number takes the score; tab to the lines")

    def on_mount(self) -> None:
        scores = self.query_one("#scores", OptionList)
        scores.highlighted = 2
        scores.focus()

    def on_key(self, event: Key) -> None:
        """A number is a score, unless it is being written into a line."""
        if event.key in "12345" and not isinstance(self.focused, FormInput):
            event.stop()
            self._take(int(event.key))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self._take(event.option_index + 1)

    def on_form_input_done(self, event: FormInput.Done) -> None:
        event.stop()
        self.query_one("#scores").focus()

    def _take(self, score: int) -> None:
        """Hand in the score, once however often its key is pressed."""
        if self._saving:
            return
        self._saving = True
        texts = {field.name: self.query_one(f"#{field.name}", FormInput).text for field in self._fields}
        typed = {**texts, "graft": self._graft.id, "score": str(score)}
        self.run_worker(self._record(typed), exit_on_error=False)

    async def _record(self, typed: dict[str, str]) -> None:
        """Record it; fruit that must not be eaten yet only once the person has read that and gives a score again."""
        against = await self._against(typed)
        if against and against != self._warned:
            self._warned, self._saving = against, False
            self.query_one("#fault", Static).update(plain(f"{against} Give the score again if you are sure."))
            return
        fault = await self.app.attempt(lambda bench, today: bench.records.entries.taste(typed, today, bool(against)))
        self._saving = False
        if fault:
            self.query_one("#fault", Static).update(plain(fault))
        else:
            self.dismiss(True)

    async def _against(self, typed: dict[str, str]) -> str:
        try:
            return await self.app.ask(lambda bench, today: bench.records.entries.against_tasting(typed, today))
        except PersonError:  # recording it says what is wrong
            return ""


def taste(screen: RecordsScreen, graft: Graft) -> None:
    """Let the person taste a graft's fruit, and record it."""
    today = screen.app.state.today
    fields = screen.fields(("ripe", "use", "note", "day"), {"ripe": "ripe", "day": today.isoformat()})
    screen.app.push_screen(TastingScreen(graft, fields), lambda tasted: screen.done() if tasted else None)

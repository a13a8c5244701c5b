"""Where a text is to be written: a file that the person names. One that stands there is not written over unasked."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import Input, Static

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.errors import PersonError
from tendwork.view.text import plain


class WriteScreen(Dialog[str | None]):
    """Enter writes; asked again for the same file, it takes the place of what stands there. Gives the file."""

    CSS_PATH = ["dialog.tcss", "form.tcss"]
    BINDINGS = [Binding("escape", "dismiss(None)", show=False)]

    def __init__(self, name: str, text: str) -> None:
        super().__init__()
        self._usual = name
        self._text = text
        self._asked: Path | None = None

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static("Write to a file", classes="heading", markup=False)
            yield Static(f"A name alone stands in {plain(str(_here()))}.", classes="about", markup=False)
            yield Input(self._usual, compact=True, id="file", select_on_focus=False)
            yield Static(id="fault", markup=False)
            yield hint(self.save_word("write"), leave_word())

    def on_mount(self) -> None:
        self.query_one("#file").focus()

    def on_input_submitted(self) -> None:
        self.action_save()

    def action_save(self) -> None:
        """Write, unless something stands there that the person has not yet been told of."""
        named = self.query_one("#file", Input).value.strip()
        from tendwork.workbench.exports import write_view

        file = _here() / (named or self._usual)
        with suppress(RuntimeError):  # the home of somebody who is not known here is no home
            file = _here() / Path(named or self._usual).expanduser()
        try:
            is_written = write_view(self.app.orchard, file, self._text, over=file == self._asked)
        except PersonError as error:
            self._asked = None
            self._say(str(error))
            return
        if is_written:
            self.dismiss(str(file))
        else:
            self._asked = file
            self._say(f"{file.name} is there already. Once more writes over it; or give another name.")

    def _say(self, words: str) -> None:
        self.query_one("#fault", Static).update(plain(words))


def _here() -> Path:
    """The folder that the program was started in, or the person's own where that one is gone."""
    try:
        return Path.cwd()
    except OSError:
        return Path.home()

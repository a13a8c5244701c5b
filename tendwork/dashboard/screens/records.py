"""What the screens of records share: acts, the menu of what can be done with a row, and taking back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from tendwork.dashboard.actions import key_words
from tendwork.dashboard.screens.base import OrchardScreen
from tendwork.dashboard.screens.form import FormScreen
from tendwork.dashboard.screens.menu import Item, MenuScreen
from tendwork.view.form_words import FormField, form_field

if TYPE_CHECKING:
    from tendwork.dashboard.app import WorkbenchCall


class RecordsScreen(OrchardScreen):
    """`can` says which actions have a meaning for the row under the cursor."""

    def can(self, action: str) -> bool:
        """Whether the action means something for what the cursor is on."""
        del action
        return True

    def done(self) -> None:
        """What the screen forgets once an act on its rows is done."""

    def act(self, call: WorkbenchCall) -> None:
        """Do something to the records, and say what cannot be."""
        self.run_worker(self._act(call), exit_on_error=False)

    def action_undo(self) -> None:
        self.app.act(lambda bench, today: bench.records.undo(today))

    def open_menu(self, title: str) -> None:
        """Let the person choose among what can be done here."""
        shown = [action for action in self.app.keys.on(self.HERE) if self.can(action.name)]
        items = [Item(action.name, action.keys[0], key_words(action), action.help) for action in shown]
        self.app.push_screen(MenuScreen(title, items), self._run)

    def pick(self, title: str, items: Sequence[tuple[str, str]], take: Callable[[str], None], chosen: str = "") -> None:
        """Let the person choose one of (id, words), by number too, and hand its id on."""
        numbered = [
            Item(identity, str(number), str(number) if number < 10 else "", words)
            for number, (identity, words) in enumerate(items, 1)
        ]
        self.app.push_screen(MenuScreen(title, numbered, chosen), lambda word: None if word is None else take(word))

    def open_form(
        self,
        title: str,
        fields: Sequence[FormField],
        call: Callable[[dict[str, str]], WorkbenchCall],
        only_changed: bool = False,
        note: str = "",
        first: str = "",
        mind: Callable[[dict[str, str]], str] | None = None,
    ) -> None:
        """Let the person fill in a form; `first` is the field that has the cursor, else the first that is no id."""
        form = FormScreen(title, fields, call, only_changed, note, first, mind)
        self.app.push_screen(form, lambda recorded: self.done() if recorded else None)

    def fields(self, names: Sequence[str], texts: dict[str, str] | None = None, kind: str = "") -> list[FormField]:
        """The lines of a form for these fields, of a kind of record where they mean something of their own there."""
        state, held = self.app.state, texts or {}
        return [form_field(name, state.records, held.get(name, ""), state.units, kind) for name in names]

    async def _act(self, call: WorkbenchCall) -> None:
        if why := await self.app.attempt(call):
            self.app.say(why, trouble=True)
        else:
            self.done()

    async def _run(self, action: str | None) -> None:
        if action is not None:
            await self.run_action(f"screen.{action}")

"""Every wrap that is still on, by tree, the oldest first: to tick many at once, and to note what nobody noted."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.actions import FORM, WRAPS, bindings
from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.screens.ticking import ask_outcomes, once_sure, wrap_batches, wrap_screen
from tendwork.dashboard.theme import TASK_STYLES
from tendwork.dashboard.widgets.job_list import MARKED
from tendwork.dashboard.widgets.lines_to_choose import ChoosingList
from tendwork.dashboard.widgets.press_line import word_of
from tendwork.orchard.wrap_choices import wrap_choices
from tendwork.planning.results import ASKED, WrapOn
from tendwork.view.text import clipped
from tendwork.view.words import counted
from tendwork.view.wraps import gap_sentences, wrap_line, wrap_state, wraps_by_tree, wraps_sentence, wraps_text
from tendwork.workbench.records_room import JobTick

_TREE = "tree/"  # no id has a slash
_FILE_COLUMNS = 80
_CAN = ("tick", "mark", "note_wrap", "undo")


class WrapsScreen(Dialog[None]):
    """Space ticks what is marked, else the wrap under the cursor; escape takes the marks away, then closes."""

    CSS_PATH = ["dialog.tcss", "wraps.tcss"]
    BINDINGS = [Binding("escape", "step_back", show=False), Binding("q", "dismiss(None)", show=False), *bindings(WRAPS)]
    PLACES = (FORM, WRAPS)

    def __init__(self) -> None:
        super().__init__()
        self._marked: frozenset[str] = frozenset()

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog page"):
            yield Static(classes="heading", markup=False, id="wraps_said")
            yield ChoosingList(markup=False, compact=True, id="wraps")
            yield Static(id="about", markup=False)
            yield Static(id="not_noted", markup=False)
            yield Static(id="told", markup=False)
            words = (word_of(self.app.keys.action(f"{WRAPS}.{name}")) for name in _CAN)
            yield hint(*words, leave_word(words="close"))

    def on_mount(self) -> None:
        self.watch(self.app, "state", self._show)
        self.watch(self.app, "notice", self._tell, init=False)
        self.query_one("#wraps").focus()

    def action_tick(self) -> None:
        """Say how it is with the marked wraps, or with the one under the cursor, in one act."""
        wraps = self._meant()
        if any(wrap.state == ASKED for wrap in wraps):
            key = self.app.keys.word("morning.questions")
            self.app.say(f"Nobody said yet whether this wrap is still on: close the list and answer with {key}.")
            wraps = [wrap for wrap in wraps if wrap.state != ASKED]
        meant = [wrap for wrap in wraps if wrap.task]
        if len(meant) < len(wraps):
            without = counted(len(wraps) - len(meant), "wrap")
            self.app.say(f"No job asks for {without}, as the template is left out: nothing is ticked there.")
        if not meant:
            return
        ask_outcomes(self.app, wrap_batches(meant), self._ticked)

    def action_mark(self) -> None:
        """Mark the wrap under the cursor, or all of the tree, and go on; what is marked already is unmarked."""
        held = self.query_one("#wraps", ChoosingList)
        here = {wrap.graft for wrap in self._under_cursor()}
        if not here:
            return
        self._marked = self._marked - here if here <= self._marked else self._marked | here
        self._show()
        self._to_next(held, here)

    def _to_next(self, held: ChoosingList, passed: set[str]) -> None:
        """To the next wrap that was not just marked; headings are passed over, so that m again marks one more."""
        for place in range((held.highlighted or 0) + 1, held.option_count):
            identity = str(held.options[place].id)
            if not identity.startswith(_TREE) and identity not in passed:
                held.highlighted = place
                return

    def action_note_wrap(self) -> None:
        """Note what the marked grafts, or the chosen one, are wrapped in."""
        records = self.app.state.records
        ids = [wrap.graft for wrap in self._meant()]
        grafts = tuple(graft for graft in records.grafts if graft.id in ids)
        if not grafts:
            return
        choices = wrap_choices(records, grafts)

        def take(place: str | None) -> None:
            wrap = None if place is None else choices[int(place)].wrap
            if wrap is not None:
                self._marked = frozenset()
                fields = {"wrap": wrap}
                self.app.act(lambda bench, today: bench.records.entries.change("grafts", ids, fields, today))

        self.app.push_screen(wrap_screen(grafts, choices), take)

    def action_undo(self) -> None:
        """Undo the last thing done."""
        self.app.act(lambda bench, today: bench.records.undo(today))

    def action_copy(self) -> None:
        """Copy the list."""
        self.app.copy_text(self._text())

    def action_write(self) -> None:
        """Write the list into a file."""
        self.app.write_text("Wraps still on", self._text())

    def action_step_back(self) -> None:
        """Take the marks away, else close."""
        if self._marked:
            self._marked = frozenset()
            self._show()
        else:
            self.dismiss(None)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        self._show_about()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.action_tick()

    def _ticked(self, ticks: tuple[JobTick, ...]) -> None:
        once_sure(self.app, self.app.state.jobs, ticks, lambda sure: self._tick_all(ticks, sure))

    def _tick_all(self, ticks: tuple[JobTick, ...], sure: bool) -> None:
        self._marked = frozenset()
        self.app.act(lambda bench, today: bench.records.tick(ticks, today, sure=sure))

    def _meant(self) -> list[WrapOn]:
        """The marked wraps, else those under the cursor."""
        marked = [wrap for wrap in self.app.state.wraps if wrap.graft in self._marked]
        return marked or self._under_cursor()

    def _under_cursor(self) -> list[WrapOn]:
        option = self.query_one("#wraps", OptionList).highlighted_option
        chosen = "" if option is None else str(option.id)
        wraps = self.app.state.wraps
        if chosen.startswith(_TREE):
            return [wrap for wrap in wraps if wrap.tree == chosen.removeprefix(_TREE)]
        return [wrap for wrap in wraps if wrap.graft == chosen]

    def _show(self) -> None:
        """Show the wraps; the cursor stays where it is."""
        state = self.app.state
        self._marked &= {wrap.graft for wrap in state.wraps}
        held = self.query_one("#wraps", ChoosingList)
        option, place = held.highlighted_option, held.highlighted or 0
        chosen = None if option is None else option.id
        options = []
        for tree in wraps_by_tree(state.wraps, state.today, state.units):
            heading = f" {tree.name}  {counted(len(tree.rows), 'wrap')}"
            options.append(Option(Content.styled(heading, "bold $blossom"), _TREE + tree.tree))
            for row in tree.rows:
                mark = MARKED if row.graft in self._marked else " "
                line = wrap_line(row, self.app.ascii_only)
                style = TASK_STYLES[wrap_state(row)] if row.overdue else ""
                options.append(Option(Content.assemble((mark, "bold $accent"), (line, style)), row.graft))
        held.set_options(options)
        ids = [str(one.id) for one in options]
        if ids:
            first = 1 if option is None else min(place, len(ids) - 1)
            held.highlighted = ids.index(str(chosen)) if chosen in ids else first
        marked = f" {len(self._marked)} marked." if self._marked else ""
        self.query_one("#wraps_said", Static).update(wraps_sentence(state.wraps, state.today) + marked)
        self.query_one("#not_noted", Static).update("\n".join(gap_sentences(state.gaps, state.today)))
        self._show_about()

    def _show_about(self) -> None:
        state = self.app.state
        under = {wrap.graft for wrap in self._under_cursor()}
        rows = [row for tree in wraps_by_tree(state.wraps, state.today, state.units) for row in tree.rows]
        about = [row for row in rows if row.graft in under]
        words = f"{about[0].until}{f'; {about[0].place}' if about[0].place else ''}" if len(about) == 1 else ""
        self.query_one("#about", Static).update(words)

    def _tell(self) -> None:
        self.query_one("#told", Static).update(clipped(self.app.notice.text, _FILE_COLUMNS * 2))

    def _text(self) -> str:
        state = self.app.state
        return wraps_text(state.wraps, state.gaps, state.today, _FILE_COLUMNS, state.units, self.app.ascii_only)

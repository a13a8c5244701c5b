"""Templates: the whole year in rules, each adjusted for this site while a table shows which dates would move."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec
from textual import work
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.events import DescendantFocus
from textual.widgets import OptionList, Static

from tendwork.dashboard.actions import TEMPLATES, bindings
from tendwork.dashboard.screens.base import ScreenReadWhenSeen
from tendwork.dashboard.screens.leaving_out import Leaving, ask_for_what
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.screens.templates_draft import ADJUSTMENTS_FILE, Draft, Saving, taking_back
from tendwork.dashboard.screens.templates_fields import USE, WHOLE, Refused, own_value, site_stepped, stepped, turned
from tendwork.dashboard.screens.templates_held import (
    Held,
    groups,
    read_held,
    shown_site,
    shown_template,
    site_row,
    site_words,
    text_of,
)
from tendwork.dashboard.screens.templates_leaving import SAVE, LosingScreen
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.moves_table import MovesTable
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.template_list import SITE_ROW, TemplateList
from tendwork.dashboard.widgets.template_panel import EditLine, FieldList, TemplatePanel
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.errors import PersonError
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift, clashes
from tendwork.planning.left_out import OF_TREES
from tendwork.planning.vocabulary import Template
from tendwork.view.template_rows import count_words
from tendwork.view.text import plain

if TYPE_CHECKING:
    from tendwork.dashboard.app import WorkbenchCall

_INSIDE = "-inside"  # the person went into the chosen template, which gets the room of the list on a narrow terminal
_COPY_COLUMNS = 80
_PREVIEW_AFTER_SECONDS = 0.25  # a key that is held down asks for one preview, not for thirty
_TEMPLATE = Callable[[Template, Adjustment], Adjustment]
_SITE = Callable[[SiteShift], SiteShift]


class TemplatesScreen(ScreenReadWhenSeen):
    """Keys change what the cursor is on: a field, or from the list the whole window. The draft is the app's."""

    HERE = TEMPLATES
    CSS_PATH = ["common.tcss", "templates.tcss"]
    BINDINGS = [*bindings(TEMPLATES), Binding("escape", "step_back", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self._held = Held()
        self._only_left_out = False

    def compose(self) -> ComposeResult:
        ascii_only = self.app.ascii_only
        yield TopLine(TEMPLATES)
        yield Static(id="standing", markup=False)
        yield FilterLine()
        with Vertical(id="work"):
            yield TemplateList(ascii_only)
            with Vertical(id="chosen"):
                yield Static(id="title", markup=False)
                yield TemplatePanel(ascii_only)
        yield MovesTable()
        yield EditLine()
        yield NoticeLine()
        yield KeyLine(TEMPLATES)

    def on_mount(self) -> None:
        super().on_mount()
        self.watch(self.app, "draft", self._follow_draft, init=False)
        self.query_one(TemplateList).focus()

    @property
    def template(self) -> Template | None:
        """The template under the cursor; None on the site's shift and in an empty list."""
        chosen = self.query_one(TemplateList).chosen_id
        return next((template for template in self._held.templates if template.id == chosen), None)

    @property
    def _draft(self) -> Draft:
        return self.app.draft or Draft()

    def copied_text(self) -> str:
        return text_of(self._held, self._draft, self.template, _COPY_COLUMNS)

    def view_text(self) -> str:
        """The site's shift, then every template that shows, as the draft has it."""
        held, draft = self._held, self._draft
        found = groups(held, draft, self.query_one(FilterLine).words, self._only_left_out)
        ids = [row.id for group in found for row in group.rows]
        shown = sorted((template for template in held.templates if template.id in ids), key=lambda it: ids.index(it.id))
        return "\n\n".join(text_of(held, draft, template, _COPY_COLUMNS) for template in (None, *shown))

    def action_step_back(self) -> None:
        """From the panel to the list; from the list, away with the filter."""
        held = self.query_one(TemplateList)
        if held.has_focus:
            self.query_one(FilterLine).action_clear()
        held.focus()

    def action_less(self) -> None:
        self._step(-1, big=False)

    def action_more(self) -> None:
        self._step(1, big=False)

    def action_much_less(self) -> None:
        self._step(-1, big=True)

    def action_much_more(self) -> None:
        self._step(1, big=True)

    def action_turn(self) -> None:
        field = self._field(from_list=USE)
        held = self._held
        self._edit(lambda template, change: turned(template, change, field, held.is_unasked(template)), _no_turn)

    def action_read(self) -> None:
        held, draft, template = self._held, self._draft, self.template
        page = ReadingScreen("Template", "templates.read", lambda columns: text_of(held, draft, template, columns))
        self.app.push_screen(page)

    def action_own(self) -> None:
        if self.query_one(TemplateList).has_focus:
            self._edit(lambda *_: Adjustment(), lambda _: SiteShift())
        else:
            field = self._field(from_list="")
            self._edit(lambda template, change: own_value(template, change, field), lambda _: SiteShift())

    def action_all_own(self) -> None:
        self._change(Adjustments())

    def action_take_draft_back(self) -> None:
        draft = self._draft
        if draft.unsaved:
            self._show_draft(draft.stepped_back())
        elif draft.last_save is None:
            self.app.say("There is nothing to undo: no change is unsaved, and none was saved since the start.")
        else:
            self.run_worker(self._take_back(draft), group="saving", exit_on_error=False)

    def action_only_left_out(self) -> None:
        self._only_left_out = not self._only_left_out
        self._show_list()
        self.query_one(TemplateList).focus()
        self.app.say("Only what is left out." if self._only_left_out else "All templates.")

    def action_leave_out(self) -> None:
        """Bring back what is left out of the chosen template, or ask for what to leave it out. It is kept at once."""
        template, held = self.template, self._held
        if template is None:
            self.app.say("The site cannot be left out. Choose a template.")
        elif self._draft.unsaved:
            save, back = self.app.keys.word("templates.save"), self.app.keys.word("templates.take_draft_back")
            self.app.say(f"Something is unsaved: {save} keeps it, {back} takes it back. Then leave templates out.")
        elif template.id in held.left_out(self._draft.now):
            self._leave(lambda bench, today: bench.templates.take_in(template.id, today=today))
        else:
            trees = list(held.trees.items()) if template.each in OF_TREES else []
            leave = self._leave
            ask_for_what(self.app, template.title, template.loss, trees, lambda how: leave(_leaving(template, how)))

    def _leave(self, call: WorkbenchCall) -> None:
        self.run_worker(self._left(call), group="saving", exit_on_error=False)

    async def _left(self, call: WorkbenchCall) -> None:
        before = self._draft.saved
        if why := await self.app.attempt(call):
            self.app.say(why, trouble=True)
            return
        after = await self.app.ask(lambda bench, _: bench.templates.adjustments())
        self.app.draft = Draft(after, after, (), (before, after))
        self.read()

    def action_save(self) -> None:
        if self._draft.unsaved:
            self.workers.cancel_group(self, "preview")  # the save works out the same
            self.run_worker(self._save(Saving(self._draft)), group="saving", exit_on_error=False)
        else:
            self.app.say("Nothing is unsaved.")

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        if isinstance(event.option_list, TemplateList):
            self._show_chosen()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if isinstance(event.option_list, TemplateList):
            self.query_one(FieldList).focus()
        elif isinstance(event.option_list, FieldList):
            self.action_turn()

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        self.set_class(not isinstance(event.widget, TemplateList), _INSIDE)

    def on_filter_line_changed(self) -> None:
        self._show_list()

    def on_filter_line_left(self) -> None:
        self.query_one(TemplateList).focus()

    def _field(self, from_list: str) -> str:
        """The field that a key changes; `from_list` while the cursor is still in the list."""
        in_list = self.query_one(TemplateList).has_focus
        return from_list if in_list else self.query_one(TemplatePanel).chosen_field

    def _step(self, direction: int, big: bool) -> None:
        own, field = self._held.own, self._field(from_list=WHOLE)

        def step_site(shift: SiteShift) -> SiteShift:
            if field == WHOLE:
                raise Refused("Go into it with enter, and choose degrees, height or days.")
            return site_stepped(shift, own, field, direction, big)

        self._edit(lambda template, change: stepped(template, change, field, direction, big), step_site)

    def _edit(self, in_template: _TEMPLATE, in_site: _SITE) -> None:
        """Change what the cursor is on in the draft, and say so; or say why it cannot be."""
        from tendwork.workbench.adjusting import changed, shifted

        now, template = self._draft.now, self.template
        try:
            if template is not None:
                after = in_template(template, now.template.get(template.id, Adjustment()))
                self._change(changed(now, template.id, msgspec.structs.asdict(after)))
            elif self.query_one(TemplateList).chosen_id == SITE_ROW:
                self._change(shifted(now, in_site(now.site)))
        except Refused as why:
            self.app.say(str(why))

    def _change(self, now: Adjustments) -> None:
        self._show_draft(self._draft.changed(now))

    def _show_draft(self, draft: Draft) -> None:
        self.app.draft = draft
        keys = self.app.keys
        save, back = keys.word("templates.save"), keys.word("templates.take_draft_back")
        self.app.say(f"Not saved yet: {save} keeps it, {back} takes it back." if draft.unsaved else "All is as saved.")

    async def _save(self, saving: Saving) -> None:
        why = await self.app.attempt(saving)
        if why:
            self._follow_draft(self._draft)
        if saving.lost:
            self.app.push_screen(LosingScreen(saving.lost), lambda choice: self._after_asking(saving.draft, choice))
        elif why:
            self.app.say(why, trouble=True)
        else:
            self.app.draft = self._draft.after_save(saving.draft)

    def _after_asking(self, draft: Draft, choice: str | None) -> None:
        if choice == SAVE:
            self.run_worker(self._save(Saving(draft, agreed=True)), group="saving", exit_on_error=False)
        else:
            self.app.say("Nothing was saved.")

    async def _take_back(self, draft: Draft) -> None:
        if why := await self.app.attempt(taking_back(draft)):
            self.app.say(why, trouble=True)
        else:
            self.app.draft = self._draft.after_undo(draft)

    def read(self) -> None:
        self.run_worker(self._reading(), group="reading", exclusive=True, exit_on_error=False)

    async def _reading(self) -> None:
        try:
            self._held = await self.app.ask(read_held)
        except PersonError as error:
            self.app.say(str(error), trouble=True)
            self.query_one("#standing", Static).update("The templates cannot be read as they are.")
            return
        before = self._draft
        self.app.draft = before.read(self._held.adjustments)
        self._follow_draft(self._draft)
        if clash := clashes(before.saved, before.now, self._held.adjustments):
            words = f"{', '.join(clash)} changed meanwhile in {ADJUSTMENTS_FILE}; what you have here is not saved yet."
            self.app.say(words, trouble=True)

    def _follow_draft(self, draft: Draft) -> None:
        self._show_list()
        table = self.query_one(MovesTable)
        if not draft.unsaved:
            self.workers.cancel_group(self, "preview")
            table.clear()
        else:
            table.work()
            self._preview(draft.now)

    @work(group="preview", exclusive=True, exit_on_error=False)
    async def _preview(self, now: Adjustments) -> None:
        """What the draft would move; the newest draft takes the place of one that is still waiting."""
        await asyncio.sleep(_PREVIEW_AFTER_SECONDS)
        try:
            preview = await self.app.ask(lambda bench, today: bench.plan.preview(now, today))
        except PersonError as error:
            self.query_one(MovesTable).trouble(str(error))
        else:
            self.query_one(MovesTable).show(preview.moves, preview.losses, self.app.state.today)

    def _show_list(self) -> None:
        held, draft = self._held, self._draft
        rows = groups(held, draft, self.query_one(FilterLine).words, self._only_left_out)
        if draft.unsaved:
            standing = (
                f"Unsaved changes: {draft.unsaved_words()}. Only {self.app.keys.word('templates.save')} keeps them."
            )
        elif held.templates:
            shift = site_words(held, draft)
            standing = f"{count_words(rows)}{f'; site {shift}' if shift else ''}."
        else:
            standing = "Reading the templates."
        bar = self.query_one("#standing", Static)
        bar.update(standing)
        bar.set_class(draft.unsaved, "-unsaved")
        if held.templates:
            self.query_one(TemplateList).show(site_row(held, draft), rows)
        self._show_chosen()

    def _show_chosen(self) -> None:
        held, draft, template = self._held, self._draft, self.template
        panel, title = self.query_one(TemplatePanel), self.query_one("#title", Static)
        if template is not None:
            title.update(f"{plain(template.title)}  ({plain(template.id)})")
            panel.show(shown_template(held, draft, template))
        elif held.templates:
            title.update("This site, colder or warmer")
            panel.show(shown_site(held, draft))


def _leaving(template: Template, how: Leaving) -> WorkbenchCall:
    """The act that leaves a template out."""
    return lambda bench, today: bench.templates.leave_out(template.id, how.tree, how.this_season, today=today)


def _no_turn(_: SiteShift) -> SiteShift:
    raise Refused("This is a number: left and right change it.")

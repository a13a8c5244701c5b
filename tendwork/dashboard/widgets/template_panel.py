"""The chosen template: what it waits for and asks for in words, its fields to edit and their keys, and who says so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.geometry import Region
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.actions import TEMPLATES
from tendwork.dashboard.screens.templates_fields import Field
from tendwork.dashboard.widgets.lines_to_choose import ChoosingList
from tendwork.dashboard.widgets.press_line import PressLine, word_of
from tendwork.dashboard.widgets.template_list import TEMPLATE_STYLES
from tendwork.view.template_rows import template_symbol
from tendwork.view.text import display_width, padded, plain, wrapped

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard

_GIVES_COLUMNS = 12  # fewer than these tell nothing of words that do not fit
_NEIGHBOURS = 2  # fields above and below the cursor that stay in sight with it
_EDITS = ("much_less", "less", "more", "much_more", "turn")


class Shown(Struct, frozen=True):
    """What the panel shows: lines with a style each above the fields, the fields, and lines below."""

    id: str = ""
    about: tuple[tuple[str, str], ...] = ()
    fields: tuple[Field, ...] = ()
    below: tuple[str, ...] = ()


class FieldList(ChoosingList):
    """The fields of the chosen template. Left and right change the value as - and + do."""

    BINDINGS = [
        Binding("left", "screen.less", show=False),
        Binding("right", "screen.more", show=False),
        Binding("shift+left", "screen.much_less", show=False),
        Binding("shift+right", "screen.much_more", show=False),
    ]

    def __init__(self) -> None:
        super().__init__(markup=False, compact=True, id="fields")


class TemplatePanel(VerticalScroll):
    """Shows one template, or the site's shift."""

    def __init__(self, ascii_only: bool) -> None:
        super().__init__(id="panel", can_focus=False)
        self._ascii_only = ascii_only
        self._shown = Shown()

    def compose(self) -> ComposeResult:
        yield Static(id="about", markup=False)
        yield FieldList()
        yield Static(id="below", markup=False)

    @property
    def chosen_field(self) -> str:
        """The id of the field under the cursor; "" where there is none."""
        option = self.query_one(FieldList).highlighted_option
        return "" if option is None else str(option.id)

    def show(self, shown: Shown) -> None:
        """Show this; another template begins at its top, with the cursor on its first field."""
        new = shown.id != self._shown.id
        self._shown = shown
        self._draw()
        if new:
            self.query_one(FieldList).highlighted = 0 if shown.fields else None
            self.scroll_home(animate=False)

    def on_resize(self, _: Resize) -> None:
        self._draw()
        self.call_after_refresh(self._keep_in_sight)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        self._keep_in_sight()

    def on_descendant_focus(self) -> None:
        self._keep_in_sight()

    def on_descendant_blur(self) -> None:
        self.scroll_home(animate=False)

    def _keep_in_sight(self) -> None:
        """Keep the field under the cursor in sight, and its neighbours."""
        fields = self.query_one(FieldList)
        if not fields.has_focus or fields.highlighted is None:
            return
        if fields.highlighted == fields.option_count - 1:
            self.scroll_end(animate=False)
        else:
            top = fields.virtual_region.y + fields.highlighted - _NEIGHBOURS
            self.scroll_to_region(Region(0, max(top, 0), 1, 2 * _NEIGHBOURS + 1), animate=False)

    def _draw(self) -> None:
        columns = self.scrollable_content_region.width
        if columns == 0:
            return
        about = [
            Content.styled(line, style) if style else Content(line)
            for words, style in self._shown.about
            for line in wrapped(plain(words), columns)
        ]
        self.query_one("#about", Static).update(Content("\n").join(about))
        below = [line for words in self._shown.below for line in wrapped(plain(words), columns)]
        self.query_one("#below", Static).update("\n".join(below))
        self._draw_fields(columns)

    def _draw_fields(self, columns: int) -> None:
        held = self.query_one(FieldList)
        prompts = [(field.id, self._field(field, columns)) for field in self._shown.fields]
        if [option.id for option in held.options] == [identity for identity, _ in prompts]:
            for identity, prompt in prompts:
                held.replace_option_prompt(identity, prompt)
            return
        kept = held.highlighted
        held.set_options(Option(prompt, identity) for identity, prompt in prompts)
        held.highlighted = None if not prompts else min(kept or 0, len(prompts) - 1)

    def _field(self, field: Field, columns: int) -> Content:
        labels = max(display_width(held.label) for held in self._shown.fields)
        mark = template_symbol("adjusted", self._ascii_only) if field.changed else " "
        style = TEMPLATE_STYLES["adjusted"] if field.changed else ""
        values = max(display_width(held.value) for held in self._shown.fields)
        gives = max(columns - labels - values - 6, 0)
        whole = gives >= max(min(display_width(field.gives), _GIVES_COLUMNS), 1)
        return Content.assemble(
            (mark, TEMPLATE_STYLES["adjusted"]),
            (f" {padded(field.label, labels)}  ", ""),
            (padded(field.value, values), f"bold {style}".strip()),
            (f"  {padded(field.gives, gives) if whole else ''}", "$faint"),
        )


class EditLine(PressLine):
    """One line, while the cursor is in the panel."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def on_mount(self) -> None:
        self.show(word_of(self.app.keys.action(f"{TEMPLATES}.{name}")) for name in _EDITS)

"""The templates by part of the year, below the site's own shift. Rows are redrawn in place; the cursor stays."""

from __future__ import annotations

from msgspec import Struct
from textual.content import Content
from textual.events import Resize
from textual.widgets.option_list import Option

from tendwork.dashboard.widgets.lines_to_choose import ChoosingList
from tendwork.view.template_rows import TemplateGroup, TemplateRow, template_symbol
from tendwork.view.text import display_width, padded
from tendwork.view.words import counted

SITE_ROW = "the site"
_HEADING = "heading:"
_TITLE_SHARE = 0.5
TEMPLATE_STYLES = {
    "unsaved": "bold $closing",
    "left out": "$faint",
    "adjusted": "$blossom",
    "absent": "$faint",
    "kept": "$open",
}


class Line(Struct, frozen=True):
    """One line of the list; a heading is passed over."""

    id: str
    prompt: Content
    heading: bool = False


class TemplateList(ChoosingList):
    """Options are templates by id, the site's shift on top, and headings."""

    def __init__(self, ascii_only: bool) -> None:
        super().__init__(markup=False, compact=True, id="templates")
        self._ascii_only = ascii_only
        self._site: TemplateRow | None = None
        self._groups: tuple[TemplateGroup, ...] = ()

    @property
    def chosen_id(self) -> str:
        """The id of the template under the cursor, SITE_ROW, or "" where the list is empty."""
        option = self.highlighted_option
        return "" if option is None else str(option.id)

    def show(self, site: TemplateRow, groups: tuple[TemplateGroup, ...]) -> None:
        """Show the site's row and these groups."""
        self._site, self._groups = site, groups
        self._draw()

    def choose(self, identity: str) -> None:
        """Put the cursor on a template or on the site."""
        self.highlighted = self.get_option_index(identity)

    def on_resize(self, _: Resize) -> None:
        self._draw()
        self.call_after_refresh(self.scroll_to_highlight)

    def _draw(self) -> None:
        lines = self._shown_lines()
        if [option.id for option in self.options] == [line.id for line in lines]:
            for option, line in zip(self.options, lines, strict=True):
                if option.prompt != line.prompt:
                    self.replace_option_prompt(line.id, line.prompt)
            return
        kept = self.chosen_id
        self.set_options(Option(line.prompt, line.id, line.heading) for line in lines)
        ids = [line.id for line in lines if not line.heading]
        if ids:
            self.choose(kept if kept in ids else ids[min(1, len(ids) - 1)])

    def _shown_lines(self) -> list[Line]:
        if self._site is None:
            return []
        rows = [self._site, *(row for group in self._groups for row in group.rows)]
        said = max(display_width(row.state_word) for row in rows)
        titles = max(display_width(row.title) for row in rows)
        lines = [Line(SITE_ROW, self._row(self._site, titles, said))]
        for group in self._groups:
            heading = Content.assemble(
                " ", (group.part.capitalize(), "bold $accent"), (f"  {counted(len(group.rows), 'template')}", "$faint")
            )
            lines.append(Line(_HEADING + group.part, heading, heading=True))
            lines += [Line(row.id, self._row(row, titles, said)) for row in group.rows]
        return lines

    def _row(self, row: TemplateRow, titles: int, said: int) -> Content:
        columns = self.scrollable_content_region.width - 3
        title = min(titles, round(columns * _TITLE_SHARE))
        waits = max(columns - title - said - (4 if said else 2), 0)
        state = row.states[0]
        style = "$faint" if state in ("absent", "left out") else ""
        return Content.assemble(
            " ",
            (template_symbol(state, self._ascii_only), TEMPLATE_STYLES[state]),
            f" {padded(row.title, title)}  ",
            (padded(row.condition or row.waits_for, waits), style or "$faint"),
            (f"  {row.state_word}" if said else "", TEMPLATE_STYLES[state]),
        )

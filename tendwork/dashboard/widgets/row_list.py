"""A long list of one-line rows: only the lines in sight are drawn, so that thousands cost no more than twenty."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.binding import Binding
from textual.cache import LRUCache
from textual.content import Content
from textual.events import Click, Leave, MouseMove, Resize
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.visual import Visual

_DRAWN_ROWS = 500  # lines that are kept as they were drawn: several screens full
MARK_COLUMNS = 2  # pressed here, a row is marked rather than chosen


class RowList(ScrollView, can_focus=True):
    """Rows by id; `draw(id)` gives a row's line. The first press chooses a row, the second selects it."""

    DEFAULT_CSS = """
    RowList {
        & > .row-list--cursor { background: $surface; text-style: bold; }
        & > .row-list--hover { background: $surface; }
        &:focus > .row-list--cursor {
            color: $block-cursor-foreground;
            background: $block-cursor-background;
            text-style: $block-cursor-text-style;
        }
    }
    """
    COMPONENT_CLASSES = {"row-list--cursor", "row-list--hover"}
    ALLOW_SELECT = False
    BINDINGS = [
        Binding("up", "move(-1)", show=False),
        Binding("down", "move(1)", show=False),
        Binding("pageup", "page(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
        Binding("home", "end(False)", show=False),
        Binding("end", "end(True)", show=False),
        Binding("enter", "select", show=False),
    ]

    cursor: reactive[int | None] = reactive(None, repaint=False)
    hover: reactive[int | None] = reactive(None, repaint=False)

    class Chosen(Message):
        """The cursor is on another row, or the row under it is new."""

    class Selected(Message):
        """The person asks for what can be done with the row under the cursor."""

    class Resized(Message):
        """A line is wider or narrower than before."""

    class Pressed(Message):
        """The margin of a row was pressed."""

        def __init__(self, row: str) -> None:
            super().__init__()
            self.row = row

    def __init__(self, draw: Callable[[str], Content], id: str) -> None:
        super().__init__(id=id)
        self._draw_row = draw
        self._rows: Sequence[str] = ()
        self._drawn: LRUCache[tuple[str, int, str], Strip] = LRUCache(_DRAWN_ROWS)

    @property
    def chosen(self) -> str | None:
        """The id of the row under the cursor."""
        return None if self.cursor is None else self._rows[self.cursor]

    @property
    def rows(self) -> Sequence[str]:
        return self._rows

    @property
    def columns(self) -> int:
        """How wide a line is."""
        return self.scrollable_content_region.width

    def show(self, rows: Sequence[str], choose: str = "") -> None:
        """Show these rows; the cursor goes to `choose`, else stays on its row, else on the one that took its place."""
        kept, place = choose or self.chosen, self.cursor or 0
        self._rows = rows
        self.virtual_size = Size(self.columns, len(rows))
        self.set_reactive(RowList.cursor, None)
        if rows:
            self.cursor = rows.index(kept) if kept in rows else min(place, len(rows) - 1)
        else:
            self.post_message(self.Chosen())
        self.redraw()

    def redraw(self) -> None:
        """Draw every row again: what stands in them has changed."""
        self._drawn.clear()
        self.refresh()

    def notify_style_update(self) -> None:
        """Forget lines that were drawn in other colours."""
        super().notify_style_update()
        self._drawn.clear()

    def choose(self, row: str) -> None:
        """Put the cursor on a row, if it is shown."""
        if row in self._rows:
            self.cursor = self._rows.index(row)

    def action_move(self, step: int) -> None:
        """Go so many rows down."""
        if self._rows:
            self.cursor = min(max((self.cursor or 0) + step, 0), len(self._rows) - 1)

    def action_page(self, pages: int) -> None:
        """Go so many pages down."""
        self.action_move(pages * max(self.scrollable_content_region.height - 1, 1))

    def action_end(self, last: bool) -> None:
        """Go to the last row, or to the first."""
        self.action_move(len(self._rows) if last else -len(self._rows))

    def action_select(self) -> None:
        """Ask for what can be done with the row."""
        if self.cursor is not None:
            self.post_message(self.Selected())

    def watch_cursor(self, before: int | None, now: int | None) -> None:
        self._refresh_rows(before, now)
        self._show_cursor()
        self.post_message(self.Chosen())

    def watch_hover(self, before: int | None, now: int | None) -> None:
        self._refresh_rows(before, now)

    def on_resize(self, _: Resize) -> None:
        self.virtual_size = Size(self.columns, len(self._rows))
        self.post_message(self.Resized())
        self.call_after_refresh(self._show_cursor)

    def on_click(self, event: Click) -> None:
        row = self._row_at(event.y)
        if row is None:
            return
        if event.x < MARK_COLUMNS:
            self.post_message(self.Pressed(self._rows[row]))
        elif row == self.cursor:
            self.action_select()
        else:
            self.cursor = row

    def on_mouse_move(self, event: MouseMove) -> None:
        self.hover = self._row_at(event.y)

    def on_leave(self, _: Leave) -> None:
        self.hover = None

    def render_line(self, y: int) -> Strip:
        row = self.scroll_offset.y + y
        columns = self.columns
        if row >= len(self._rows) or columns <= 0:
            return Strip.blank(columns, self.rich_style)
        name = "cursor" if row == self.cursor else "hover" if row == self.hover else ""
        key = (self._rows[row], columns, name)
        strip = self._drawn.get(key)
        if strip is None:
            style = self.get_visual_style(f"row-list--{name}") if name else self.visual_style
            (strip, *_) = Visual.to_strips(self, self._draw_row(self._rows[row]), columns, 1, style, pad=True)
            self._drawn[key] = strip
        return strip

    def _refresh_rows(self, *rows: int | None) -> None:
        for row in rows:
            if row is not None:
                self.refresh_line(row)

    def _row_at(self, y: int) -> int | None:
        row = y + self.scroll_offset.y
        return row if 0 <= row < len(self._rows) else None

    def _show_cursor(self) -> None:
        if self.cursor is not None and self.is_mounted:
            region = Region(0, self.cursor, self.columns, 1)
            self.scroll_to_region(region, animate=False, force=True, immediate=True)

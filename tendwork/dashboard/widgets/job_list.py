"""This week's jobs under their headings. Rows are redrawn in place; the cursor stays on its job."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.events import Resize
from textual.widgets.option_list import Option

from tendwork.dashboard.theme import TASK_STYLES
from tendwork.dashboard.widgets.lines_to_choose import ChoosingList
from tendwork.planning.states import FINISHED, TO_DO
from tendwork.view.sections import Section
from tendwork.view.symbols import task_symbol
from tendwork.view.text import clipped, display_width, padded
from tendwork.view.week import WeekRow
from tendwork.view.words import minutes_words

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard

MARKED = "*"
_HEADING = "heading:"
_AGAIN = "\n"  # stands between the key of a visit and how often it stood above
_FOLD = "fold:"
_UNTIL_COLUMNS = 14
_WHERE_COLUMNS = 14
_MINUTES_FROM_COLUMNS = 76  # a narrower list leaves the minutes to the panel


class JobList(ChoosingList):
    """Options are visits by key, which may stand under several headings; the cursor passes over headings.

    The cursor follows the jobs of a visit, since a visit may fall apart or be joined with another. `_given` are jobs
    that gave the cursor away when they were finished or put off, with the jobs that took it.
    """

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def __init__(self, ascii_only: bool) -> None:
        super().__init__(markup=False, compact=True, id="jobs")
        self._ascii_only = ascii_only
        self._sections: tuple[Section, ...] = ()
        self.rows: dict[str, WeekRow] = {}
        """The visits by the ids of their options."""
        self._marked: Collection[str] = ()
        self._given: list[tuple[tuple[str, ...], tuple[str, ...]]] = []
        self._put = ""  # the option on which the list itself put the cursor
        self._moved = False

    @property
    def chosen_row(self) -> WeekRow | None:
        """The visit under the cursor."""
        option = self.highlighted_option
        return None if option is None else self.rows.get(str(option.id))

    @property
    def chosen_key(self) -> str | None:
        """The key of the visit under the cursor."""
        row = self.chosen_row
        return None if row is None else row.key

    @property
    def on_fold(self) -> bool:
        """Whether the cursor is on the line that folds and unfolds."""
        option = self.highlighted_option
        return option is not None and option.id == _FOLD

    def show(self, sections: tuple[Section, ...], marked: Collection[str] = (), is_fresh: bool = False) -> None:
        """Show these sections, with a mark before the visits of the jobs that have marked units.

        What was just finished or put off gives the cursor to the next one that is to do, and has it back when that is
        undone. The list of a `is_fresh` plan stands at its top, unless the person moved the cursor, and to a job that
        is not over since then.
        """
        before, after = _settled(self._sections), _settled(sections)
        over_now = _with_work(self._sections) - _with_work(sections)
        option, place = self.highlighted_option, self.highlighted
        row, identity = self.chosen_row, "" if option is None else str(option.id)
        at = place or 0
        near = [*self.options[at + 1 :], *reversed(self.options[:at])]  # those below it, else those above
        others = [self.rows[str(held.id)] for held in near if str(held.id) in self.rows]
        self._moved = self._moved or (option is not None and identity != self._put)
        self._sections, self._marked = sections, marked
        self._draw()
        if not after:
            return
        if is_fresh and (not self._moved or (row is not None and over_now.issuperset(row.tasks))):
            self.highlighted = self._line_near(0)
        elif row is not None and _is_settled(row, after) and not _is_settled(row, before):
            self.highlighted = self._line_near(place or 0)
            risen = self.chosen_row  # what was folded away until now comes up below
            if risen is None or risen.put_off or any(task in before for task in risen.tasks):
                following = next((task for other in others for task in other.tasks if not after.get(task, True)), None)
                self.highlighted = self.highlighted if following is None else self._line_of((following,))
            taker = self.chosen_row
            self._given.append((row.tasks, () if taker is None else taker.tasks))
        elif row is not None and any(task in after for task in row.tasks):
            back = self._given_back(row.tasks, after)
            stays = back == row.tasks and identity in self.rows and self.rows[identity].tasks[0] in row.tasks
            self.highlighted = self.get_option_index(identity) if stays else self._line_of(back)
        elif row is None and any(held.id == identity for held in self.options):
            self.highlighted = self.get_option_index(identity)
        else:
            self.highlighted = self._line_near(place or 0)
        chosen = self.highlighted_option
        self._put = "" if chosen is None else str(chosen.id)
        self._moved = self._moved and not is_fresh

    def _given_back(self, tasks: tuple[str, ...], settled: dict[str, bool]) -> tuple[str, ...]:
        """The jobs that gave the cursor to these, where they are to do again; else these."""
        while self._given and not all(settled.get(task, True) for task in self._given[-1][0]):
            giver, taker = self._given.pop()
            if set(taker) & set(tasks):
                return giver
        return tasks

    def choose(self, key: str) -> bool:
        """Put the cursor on the visit that has this key, or this job; False where it is not in the list."""
        found = next((identity for identity, row in self.rows.items() if key == row.key), None)
        found = found or next((identity for identity, row in self.rows.items() if key in row.tasks), None)
        if found is not None:
            self.highlighted = self.get_option_index(found)
        return found is not None

    @property
    def folds(self) -> bool:
        """Whether there is a line that folds or unfolds."""
        return any(section.fold for section in self._sections)

    def choose_fold(self) -> None:
        """Put the cursor on that line."""
        self.highlighted = self.get_option_index(_FOLD)

    def go_near(self, place: int) -> None:
        """Put the cursor on the first line at `place` or after it."""
        self.highlighted = self._line_near(place)

    def on_resize(self, _: Resize) -> None:
        self._draw()
        self.call_after_refresh(self.scroll_to_highlight)

    def _draw(self) -> None:
        """Redraw each line in place where the lines are the same jobs, else set them again."""
        lines = self._prompts()
        if [option.id for option in self.options] == [identity for identity, _ in lines]:
            for option, (identity, prompt) in zip(self.options, lines, strict=True):
                if option.prompt != prompt:
                    self.replace_option_prompt(identity, prompt)
            return
        kept = self.highlighted
        self.set_options(Option(prompt, identity, identity.startswith(_HEADING)) for identity, prompt in lines)
        self.highlighted = None if kept is None or not lines else self._line_near(kept)

    def _line_near(self, place: int) -> int | None:
        """The index of the first line at `place` or after it on which the cursor can be, else of the last before it."""
        lines = [index for index, option in enumerate(self.options) if not option.disabled]
        return next((index for index in lines if index >= place), lines[-1] if lines else None)

    def _line_of(self, tasks: Sequence[str]) -> int | None:
        """The index of the visit that has the first of these jobs that is not over, else the first of them."""
        wanted = {task: at for at, task in enumerate(tasks)}
        found = [
            (_settled_row(row), wanted[task], identity)
            for identity, row in self.rows.items()
            for task in row.tasks
            if task in wanted
        ]
        return self.get_option_index(min(found)[2]) if found else None

    def _prompts(self) -> list[tuple[str, Content]]:
        rows = [row for section in self._sections for row in section.rows]
        where = min(max((display_width(row.where) for row in rows), default=0), _WHERE_COLUMNS)
        until = min(max((display_width(row.until) for row in rows), default=0), _UNTIL_COLUMNS)
        amount = max((display_width(row.amount) for row in rows), default=0)
        ends = (where, until, amount)
        prompts: list[tuple[str, Content]] = []
        self.rows = {}
        stood: dict[str, int] = {}
        for section in self._sections:
            prompts.append((_HEADING + section.name, self._heading(section)))
            for row in section.rows:
                times = stood[row.key] = stood.get(row.key, 0) + 1
                identity = row.key if times == 1 else f"{row.key}{_AGAIN}{times}"
                self.rows[identity] = row
                prompts.append((identity, self._row(row, *ends)))
            if section.fold:
                key = self.app.keys.word("morning.unfold")
                prompts.append((_FOLD, Content.assemble("   ", (key, "bold $accent"), f" {section.fold}")))
        return prompts

    def _heading(self, section: Section) -> Content:
        style = TASK_STYLES[section.state] if section.state else "bold $blossom"
        return Content.assemble(" ", (section.name, style), (f"  {section.said}", "$faint"))

    def _row(self, row: WeekRow, where: int, until: int, amount: int) -> Content:
        columns = self.scrollable_content_region.width
        end = f"  {padded(row.where, where)}  {padded(row.until, until)} {padded(row.amount, amount, right=True)}"
        if columns >= _MINUTES_FROM_COLUMNS:
            end += f" {padded(minutes_words(row.minutes) if row.minutes else '', 7, right=True)}"
        symbol = task_symbol(row.state, self._ascii_only)
        style = "$faint" if row.state in (*FINISHED, "missed") else ""
        room = max(columns - 3 - display_width(end), 0)
        title = padded(clipped(row.title, room - display_width(row.more)) + row.more, room)
        mark = (MARKED, "bold $accent") if any(task in self._marked for task in row.tasks) else " "
        return Content.assemble(mark, (symbol, TASK_STYLES[row.state]), " ", (title, style), (end, style))


def _settled_row(row: WeekRow) -> bool:
    """Whether there is nothing to do about a visit for now."""
    return row.put_off or row.state in FINISHED


def _settled(sections: tuple[Section, ...]) -> dict[str, bool]:
    """For each job whether there is nothing to do about its visit for now."""
    return {task: _settled_row(row) for section in sections for row in section.rows for task in row.tasks}


def _is_settled(row: WeekRow, settled: dict[str, bool]) -> bool:
    """Whether there is nothing to do for now about any of its jobs; those that are gone say nothing."""
    known = [settled[task] for task in row.tasks if task in settled]
    return bool(known) and all(known)


def _with_work(sections: tuple[Section, ...]) -> set[str]:
    """The jobs on which there is still something to do."""
    rows = [row for section in sections for row in section.rows if row.state in TO_DO and not row.put_off]
    return {task for row in rows for task in row.tasks}

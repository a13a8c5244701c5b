"""This week's jobs under their headings. Rows are redrawn in place; the cursor stays on its job."""

from __future__ import annotations

from collections.abc import Collection

from textual.content import Content
from textual.events import Resize
from textual.widgets.option_list import Option

from tendwork.dashboard.theme import TASK_STYLES
from tendwork.dashboard.widgets.lines_to_choose import ChoosingList
from tendwork.planning.states import FINISHED, TO_DO
from tendwork.view.sections import Section
from tendwork.view.symbols import task_symbol
from tendwork.view.text import display_width, padded
from tendwork.view.week import WeekRow
from tendwork.view.words import minutes_words

MARKED = "*"
_HEADING = "heading:"
_AGAIN = "\n"  # stands between the key of a job and how often it stood above
_UNTIL_COLUMNS = 14
_WHERE_COLUMNS = 14
_MINUTES_FROM_COLUMNS = 76  # a narrower list leaves the minutes to the panel


class JobList(ChoosingList):
    """Options are jobs by task key, which may stand under several headings; the cursor passes over headings.

    `_given` are jobs that gave the cursor away when they were finished or put off, with the jobs that took it.
    """

    def __init__(self, ascii_only: bool) -> None:
        super().__init__(markup=False, compact=True, id="jobs")
        self._ascii_only = ascii_only
        self._sections: tuple[Section, ...] = ()
        self._marked: Collection[str] = ()
        self._given: list[tuple[str, str | None]] = []
        self._put = ""  # the option on which the list itself put the cursor
        self._moved = False

    @property
    def chosen_key(self) -> str | None:
        """The key of the job under the cursor."""
        option = self.highlighted_option
        return None if option is None or option.id is None else _key(option.id)

    def show(self, sections: tuple[Section, ...], marked: Collection[str] = (), is_fresh: bool = False) -> None:
        """Show these sections, with a mark before the jobs that have marked units.

        A job that was just finished or put off gives the cursor to the next one that is to do, and has it back when
        that is undone. The list of a `is_fresh` plan stands at its top, unless the person moved the cursor, and to a
        job that is not over since then.
        """
        before, after = _settled(self._sections), _settled(sections)
        over_now = _with_work(self._sections) - _with_work(sections)
        option, place = self.highlighted_option, self.highlighted
        key, identity = self.chosen_key, "" if option is None else str(option.id)
        below = [_key(str(held.id)) for held in self.options[(place or 0) + 1 :] if not held.disabled]
        self._moved = self._moved or (option is not None and identity != self._put)
        self._sections, self._marked = sections, marked
        self._draw()
        if not after:
            return
        just_settled = after.get(key or "", False) and not before.get(key or "", False)
        if is_fresh and (not self._moved or key in over_now):
            self.highlighted = self._job_near(0)
        elif key is not None and just_settled:
            following = next((other for other in below if not after.get(other, True)), None)
            self.highlighted = self._job_near(place or 0) if following is None else self.get_option_index(following)
            self._given.append((key, self.chosen_key))
        elif key in after:
            back = self._given_back(key, after)
            held = back == key and any(option.id == identity for option in self.options)
            self.highlighted = self.get_option_index(identity if held else back)
        else:
            self.highlighted = self._job_near(place or 0)
        chosen = self.highlighted_option
        self._put = "" if chosen is None else str(chosen.id)
        self._moved = self._moved and not is_fresh

    def _given_back(self, key: str, settled: dict[str, bool]) -> str:
        """The job that gave the cursor to this one, where it is to do again; else this one."""
        while self._given and not settled.get(self._given[-1][0], True):
            giver, taker = self._given.pop()
            if taker == key:
                return giver
        return key

    def choose(self, key: str) -> bool:
        """Put the cursor on a job; False where it is not in the list."""
        place = next((index for index, option in enumerate(self.options) if option.id == key), None)
        if place is not None:
            self.highlighted = place
        return place is not None

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
        self.highlighted = None if kept is None or not lines else self._job_near(kept)

    def _job_near(self, place: int) -> int | None:
        """The index of the first job at `place` or after it, else of the last before it."""
        jobs = [index for index, option in enumerate(self.options) if not option.disabled]
        return next((index for index in jobs if index >= place), jobs[-1] if jobs else None)

    def _prompts(self) -> list[tuple[str, Content]]:
        rows = [row for section in self._sections for row in section.rows]
        where = min(max((display_width(row.where) for row in rows), default=0), _WHERE_COLUMNS)
        prompts: list[tuple[str, Content]] = []
        stood: dict[str, int] = {}
        for section in self._sections:
            prompts.append((_HEADING + section.name, self._heading(section)))
            for row in section.rows:
                times = stood[row.key] = stood.get(row.key, 0) + 1
                identity = row.key if times == 1 else f"{row.key}{_AGAIN}{times}"
                prompts.append((identity, self._row(row, where)))
        return prompts

    def _heading(self, section: Section) -> Content:
        style = TASK_STYLES[section.state] if section.state else "bold $blossom"
        return Content.assemble(" ", (section.name, style), (f"  {section.said}", "$faint"))

    def _row(self, row: WeekRow, where: int) -> Content:
        columns = self.scrollable_content_region.width
        end = f"  {padded(row.where, where)}  {padded(row.until, _UNTIL_COLUMNS)} {padded(row.amount, 7, right=True)}"
        if columns >= _MINUTES_FROM_COLUMNS:
            end += f" {padded(minutes_words(row.minutes) if row.minutes else '', 7, right=True)}"
        symbol = task_symbol(row.state, self._ascii_only)
        style = "$faint" if row.state in (*FINISHED, "missed") else ""
        title = padded(row.title, max(columns - 3 - display_width(end), 0))
        mark = (MARKED, "bold $accent") if row.key in self._marked else " "
        return Content.assemble(mark, (symbol, TASK_STYLES[row.state]), " ", (title, style), (end, style))


def _settled(sections: tuple[Section, ...]) -> dict[str, bool]:
    """For each job whether there is nothing to do about it for now."""
    return {row.key: row.put_off or row.state in FINISHED for section in sections for row in section.rows}


def _with_work(sections: tuple[Section, ...]) -> set[str]:
    """The jobs on which there is still something to do."""
    return {row.key for section in sections for row in section.rows if row.state in TO_DO and not row.put_off}


def _key(identity: str) -> str:
    return identity.partition(_AGAIN)[0]

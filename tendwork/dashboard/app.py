"""The dashboard: one state, one thread that makes it, and screens that follow it."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable
from datetime import date
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, Any, TypeVar

from msgspec.structs import replace
from textual.app import App
from textual.reactive import var

from tendwork.dashboard.actions import EVERYWHERE, MORNING, SCREENS, SEASON, TEMPLATES, bindings
from tendwork.dashboard.own_choices import COLOUR_NAMES, TERMINAL, own_choices
from tendwork.dashboard.state import State
from tendwork.dashboard.theme import THEMES
from tendwork.dashboard.widgets.notice_line import Notice
from tendwork.errors import PersonError
from tendwork.folder.own_settings import keep_colours, read_own_settings, settings_file

if TYPE_CHECKING:
    from pathlib import Path

    from textual.command import Provider
    from textual.screen import Screen

    from tendwork.daily.day_watch import DayWatch
    from tendwork.daily.ticker import Ticker
    from tendwork.dashboard.desk import Desk
    from tendwork.dashboard.screens.saw import Seen
    from tendwork.dashboard.screens.templates_draft import Draft
    from tendwork.workbench.bench import Workbench

_WORKING = Notice("Updating the plan.")
WorkbenchCall = Callable[["Workbench", date], str]
_Answer = TypeVar("_Answer")


def screen_class(name: str) -> type[Screen[Any]]:
    """The class of the screen of this name; its module is loaded on the first visit."""
    module = import_module(f"tendwork.dashboard.screens.{name}")
    found: type[Screen[Any]] = getattr(module, f"{name.capitalize()}Screen")
    return found


def _new_screen(name: str) -> Screen[Any]:
    """A new screen, whose style sheets alone are read: Textual would parse all that it knows three times over."""
    screen = screen_class(name)()
    sheet = screen.app.stylesheet
    for path in screen.css_path:
        if not sheet.has_source(str(path)):
            sheet.read(path)
    sheet.parse()
    screen._css_update_count = screen.app._css_update_count
    return screen


def _commands() -> type[Provider]:
    from tendwork.dashboard.commands import OrchardCommands

    return OrchardCommands


class Dashboard(App[None]):
    """`on` fixes the day; without it the day is the orchard's own and rolls over at midnight.

    What a screen or a call needs is imported with it, so that the first paint waits for nothing else.
    """

    TITLE = "tendwork"
    MODES = {name: partial(_new_screen, name) for name in SCREENS}
    DEFAULT_MODE = MORNING
    COMMANDS = {_commands}
    BINDINGS = [*bindings(EVERYWHERE)]
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (24, "-usual"), (32, "-tall")]

    state: var[State] = var(State(date.min, "", "", "metric"))
    notice: var[Notice] = var(Notice())
    draft: var[Draft | None] = var(None, init=False)

    def __init__(self, bench: Workbench | None, on: date | None = None, ticker: Ticker | None = None) -> None:
        no_color = "NO_COLOR" in os.environ
        super().__init__(ansi_color=True if no_color else None)
        for theme in THEMES:
            self.register_theme(theme)
        self._settings = settings_file()
        chosen = own_choices(read_own_settings(self._settings))
        self.keys = chosen.keys
        self._wrong_settings = Notice(chosen.fault_words, trouble=True)
        self._plan_trouble = Notice()
        self._done = Notice()
        self._has_asked = False
        self._grafts_known: frozenset[str] = frozenset()  # by every plan that was shown
        self.acts = 0
        """How many acts were done since the start."""
        self.theme = TERMINAL if no_color else chosen.colours
        self.ascii_only = os.environ.get("TERM") == "linux"
        self._on = on
        self._ticker = ticker
        self._bench: Workbench
        self._desk: Desk
        self._day_watch: DayWatch | None = None
        if bench is not None:
            self.take(bench)

    @property
    def orchard(self) -> Path:
        """The orchard folder that is shown."""
        return self._bench.path

    def take(self, bench: Workbench) -> None:
        """Show this orchard: at first as it was last planned."""
        from tendwork.daily.day_watch import DayWatch
        from tendwork.dashboard.desk import Desk
        from tendwork.dashboard.making import first_state

        self._bench = bench
        self._desk = Desk(bench)
        self._day_watch = DayWatch(self._today, self._is_changed, self._folder_turned, self._no_plan, self._ticker)
        self.set_reactive(Dashboard.state, first_state(bench, self._today()))

    def begin(self) -> None:
        """Work out the plan of the day, and then look for another day and for what other processes write."""
        self.notice = self._wrong_settings if self._wrong_settings.text else _WORKING
        self.replan()

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """The house's own colour names, for themes that do not define them."""
        return THEMES[0].variables

    def on_mount(self) -> None:
        self.set_keymap(self.keys.keymap())
        if self._day_watch is not None:
            self.begin()

    def on_unmount(self) -> None:
        if self._day_watch is not None:
            self._day_watch.stop()
            self._desk.close()

    def say(self, text: str, trouble: bool = False) -> None:
        """Show a sentence in the notice line."""
        self.notice = Notice(text, trouble)

    def replan(self, again: bool = False) -> None:
        """Work out the plan off the screen's loop; with `again` the folder's files are read again first."""
        self.run_worker(self._replan(again), group="plan", exclusive=True, exit_on_error=False)

    def want_plan(self) -> None:
        """Bring in the whole plan as it was last made, for a screen that shows more than the week."""
        if self.state.plan is None:
            self.run_worker(self.bring_plan(), group="whole", exclusive=True, exit_on_error=False)

    async def bring_plan(self) -> None:
        """Bring in the whole plan, unless it is there, or is still to be made."""
        day = self.state.plan_day
        if self.state.plan is not None or day is None:
            return
        plan = await asyncio.to_thread(self._bench.plan.last_plan)
        if (plan is None or plan.today != day) and day == self._today():
            # What was kept is another day's by now, or gone, or damaged.
            plan = await self._desk.do(lambda bench: bench.plan.answering(day))
        if plan is not None and plan.today == day == self.state.plan_day and self.state.plan is None:
            self.state = replace(self.state, plan=plan)

    def act(self, call: WorkbenchCall) -> None:
        """Do something to the records, say what it did, and work out the plan that follows from it."""
        self.run_worker(self._act(call), group="acts", exit_on_error=False)

    async def ask(self, question: Callable[[Workbench, date], _Answer]) -> _Answer:
        """What the workbench answers for today, worked out off the screen's loop. Raises PersonError."""
        try:
            return await self._desk.do(lambda bench: question(bench, self._today()))
        except PersonError:
            raise
        except Exception as error:
            raise PersonError(f"That could not be worked out ({type(error).__name__}: {error}).") from error

    async def fetch(self) -> tuple[str, ...]:
        """What the weather services gave, in words; neither ticks nor leaving wait for it. Raises PersonError."""
        try:
            from tendwork.unwaited import UnwaitedThreads

            loop = asyncio.get_running_loop()
            return await loop.run_in_executor(UnwaitedThreads(), self._bench.temperatures.fetch, self._today())
        except PersonError:
            raise
        except Exception as error:
            raise PersonError(f"That could not be fetched ({type(error).__name__}: {error}).") from error

    def copy_text(self, text: str) -> None:
        """Copy through the terminal, which gives no answer, and so write a file too."""
        self.copy_to_clipboard(text)
        try:
            file = self._bench.keep_copied(text)
        except PersonError as error:
            self.say(f"Copied for the terminal; no file was written: {error}")
        else:
            self.say(f"Copied; if your terminal does not take it, it stands in {file}.")

    def write_text(self, name: str, text: str) -> None:
        """Ask for a file and write the text into it; `name` and the day are what it is called at first."""
        from tendwork.dashboard.screens.writing import WriteScreen

        words = "-".join(name.lower().split())
        self.push_screen(WriteScreen(f"{words}-{self._today().isoformat()}.txt", text), self._written)

    def go_to(self, screen: str, row: str = "") -> None:
        """Show a screen, with the cursor on a row where one is named."""
        self.run_worker(self._go_to(screen, row), group="going", exclusive=True, exit_on_error=False)

    def action_update(self) -> None:
        self.notice = _WORKING
        self.replan(again=True)

    def action_copy(self) -> None:
        from tendwork.dashboard.screens.base import OrchardScreen

        if isinstance(self.screen, OrchardScreen):
            self.copy_text(self.screen.copied_text())

    def action_write(self) -> None:
        from tendwork.dashboard.screens.base import OrchardScreen

        if isinstance(self.screen, OrchardScreen):
            self.write_text(self.screen.view_name(), self.screen.view_text())

    async def action_filter(self) -> None:
        from tendwork.dashboard.screens.base import OrchardScreen

        if isinstance(self.screen, OrchardScreen):
            await self.screen.action_filter()

    def action_saw(self) -> None:
        from tendwork.dashboard.screens.saw import SawScreen

        if not self.state.stages:
            self.say("The buds are still being worked out.")
            return
        self.push_screen(SawScreen(self.state.stages, self._today(), self.ascii_only), self._saw)

    def action_help(self) -> None:
        from tendwork.dashboard.screens.base import OrchardScreen

        self.show_help("everywhere.help", (self.screen.HERE,) if isinstance(self.screen, OrchardScreen) else ())

    def show_help(self, opened_by: str, here: tuple[str, ...], first: str = "") -> None:
        """The keys where the cursor is and those of the places `here`, then all the others; `first` stands above."""
        from tendwork.dashboard.help import help_text
        from tendwork.dashboard.moves import moves_of
        from tendwork.dashboard.screens.reading import ReadingScreen
        from tendwork.view.text import wrapped

        moves = moves_of(self.focused)

        def page(columns: int) -> str:
            words = [*wrapped(first, columns), ""] if first else []
            return "\n".join([*words, help_text(self.keys, here, moves, columns, self.ascii_only)])

        self.push_screen(ReadingScreen("Keys and marks", opened_by, page))

    def action_colours(self) -> None:
        if self.no_color:
            self.say("NO_COLOR is set, so there are none.")
            return
        self.theme = COLOUR_NAMES[(COLOUR_NAMES.index(self.theme) + 1) % len(COLOUR_NAMES)]
        try:
            keep_colours(self._settings, self.theme)
        except PersonError as error:
            self._trouble(f"Colours: {self.theme}, until you leave. {error}")
        else:
            self.say(f"Colours: {self.theme}.")

    def action_leave(self) -> None:
        """Leave; with unsaved changes ask once what becomes of them."""
        if self.draft is None or not self.draft.unsaved:
            self.exit()
            return
        from tendwork.dashboard.screens.templates_leaving import LeavingScreen

        if isinstance(self.screen, LeavingScreen):
            self.exit()
        else:
            self.push_screen(LeavingScreen(self.draft.unsaved_words()), self._leave)

    async def action_quit(self) -> None:
        self.action_leave()

    def _saw(self, seen: Seen | None) -> None:
        if seen is not None:
            self.act(lambda bench, _: bench.records.saw(seen.species, seen.stage, seen.day, sure=True))

    def _written(self, file: str | None) -> None:
        if file is not None:
            self.say(f"Written: {file}")

    def _leave(self, choice: str | None) -> None:
        from tendwork.dashboard.screens.templates_leaving import DROP, SAVE

        if choice == SAVE and self.draft is not None:
            self.run_worker(self._save_and_leave(self.draft), group="acts", exit_on_error=False)
        elif choice == DROP:
            self.exit()
        else:
            self.switch_mode(TEMPLATES)

    async def _save_and_leave(self, draft: Draft, agreed: bool = False) -> None:
        from tendwork.dashboard.screens.templates_draft import Saving
        from tendwork.dashboard.screens.templates_leaving import SAVE, STAY, LosingScreen

        def answered(choice: str | None) -> None:
            if choice == SAVE:
                self.run_worker(self._save_and_leave(draft, agreed=True), group="acts", exit_on_error=False)
            else:
                self._leave(STAY)

        saving = Saving(draft, agreed)
        try:
            await self.ask(saving)
        except PersonError as error:
            if saving.lost:
                self.push_screen(LosingScreen(saving.lost), answered)
            else:
                self._trouble(str(error))
        else:
            self.exit()

    async def _go_to(self, screen: str, row: str) -> None:
        from tendwork.dashboard.screens.base import OrchardScreen

        await self.switch_mode(screen)
        if screen == SEASON:
            await self.bring_plan()
        if row and isinstance(self.screen, OrchardScreen):
            self.screen.call_after_refresh(self.screen.choose, row)

    async def _replan(self, again: bool) -> None:
        from tendwork.dashboard.asking import ask_about
        from tendwork.dashboard.making import left_with_last_plan, made_state

        today = self._today()
        failure = ""
        try:
            if again:
                await self._desk.do(lambda bench: bench.refresh_files())
            before, self.state = self.state, await self._desk.do(lambda bench: made_state(bench, today))
            self._has_asked = self._has_asked or ask_about(self, before, self._grafts_known)
            self._grafts_known |= {graft.id for graft in self.state.records.grafts}
        except PersonError as error:
            failure = str(error)
        except Exception as error:
            failure = f"The plan could not be worked out ({type(error).__name__}: {error}). The last one stays."
        if failure:
            self.state = left_with_last_plan(self._bench, self.state, today)
            self._no_plan(failure)
        else:
            if self.notice in (_WORKING, Notice(), self._plan_trouble):
                self.notice = Notice(" ".join(self.state.words))
        if self._day_watch is not None:
            self._day_watch.start()

    async def attempt(self, call: WorkbenchCall) -> str:
        """Do something to the records, show them at once and then the plan that follows; why it could not be, or ""."""
        try:
            done, records = await self._desk.do(lambda bench: (call(bench, self._today()), bench.records.read()))
        except PersonError as error:
            return str(error)
        except Exception as error:
            return f"That could not be done ({type(error).__name__}: {error}). Nothing was changed."
        self.acts += 1
        self.say(done)
        self._done = self.notice
        self.state = replace(self.state, records=records)
        self.replan()
        return ""

    async def _act(self, call: WorkbenchCall) -> None:
        if why := await self.attempt(call):
            self._trouble(why)

    def _today(self) -> date:
        return self._on or self._bench.today()

    def _is_changed(self) -> bool:
        return not self._desk.busy and self._bench.plan.changed()

    def _folder_turned(self) -> None:
        self.replan(again=True)

    def _no_plan(self, sentence: str) -> None:
        """Say why there is no new plan, after what was just done, until one is; what is wrong with a call stays."""
        done = f"{self._done.text} " if self._done.text and self.notice == self._done else ""
        self._trouble(done + sentence)
        self._plan_trouble = self.notice

    def _trouble(self, sentence: str) -> None:
        self.say(sentence, trouble=True)

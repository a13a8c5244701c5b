"""Temperatures: this season's heat and chill against other years, the last and coming days, and what is held."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from tendwork.almanac.results import SpeciesStages
from tendwork.dashboard.actions import TEMPERATURES, bindings
from tendwork.dashboard.screens.base import ScreenReadWhenSeen
from tendwork.dashboard.widgets.course_picture import CHILL, HEAT, CoursePicture
from tendwork.dashboard.widgets.day_page import DayPage
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.errors import PersonError
from tendwork.view.course_chart import pictures_text
from tendwork.view.temperatures import HeldTemperatures, temperatures_text

_COPY_COLUMNS = 80


class TemperaturesScreen(ScreenReadWhenSeen):
    """The pictures of heat and chill beside the days; what is held is asked for off the screen's loop."""

    HERE = TEMPERATURES
    CSS_PATH = ["common.tcss", "temperatures.tcss"]
    BINDINGS = [*bindings(TEMPERATURES)]

    def __init__(self) -> None:
        super().__init__()
        self._held: HeldTemperatures | None = None
        self._course = HEAT
        self._near = True
        self._species = 0
        self._was_told = False
        self._fetching = False

    def compose(self) -> ComposeResult:
        ascii_only = self.app.ascii_only
        yield TopLine(TEMPERATURES)
        with Horizontal(id="work"):
            with Vertical(id="courses"):
                yield CoursePicture(HEAT, ascii_only)
                yield CoursePicture(CHILL, ascii_only)
            yield DayPage(ascii_only)
        yield NoticeLine()
        yield KeyLine(TEMPERATURES)

    def on_mount(self) -> None:
        super().on_mount()
        self._choose()
        self.query_one(DayPage).focus()

    def copied_text(self) -> str:
        return self.view_text()

    def view_text(self) -> str:
        held, units = self._held, self.app.state.units
        if held is None:
            return "The temperatures are not read yet."
        pictures = pictures_text(held, self._buds, units, _COPY_COLUMNS, self._near, self.app.ascii_only)
        return f"{pictures}\n\n{temperatures_text(held, units, _COPY_COLUMNS)}"

    def action_other_course(self) -> None:
        """Heat or chill, where there is room for one only."""
        self._course = CHILL if self._course == HEAT else HEAT
        self._choose()
        self.call_after_refresh(self._show)  # Textual tells no new size where a scroll is under way in this moment

    def action_next_species(self) -> None:
        """The buds of the next species."""
        self._species += 1
        self._show()

    def action_nearer(self) -> None:
        self._near = True
        self._show()

    def action_wider(self) -> None:
        self._near = False
        self._show()

    def action_fetch(self) -> None:
        """Ask the weather services, once it was said what they are sent."""
        if not self._fetching:
            self.run_worker(self._fetch(), group="fetch", exit_on_error=False)

    async def _fetch(self) -> None:
        self._fetching = True
        try:
            sent = await self.app.ask(lambda bench, _: bench.temperatures.sent_where())
            if not self._was_told:
                self._was_told = True
                key = self.app.keys.word("temperatures.fetch")
                self.app.say(f"Press {key} once more to ask. {sent}")
                return
            self.app.say("Asking the weather services; this can take a while.")
            words = await self.app.fetch()
        except PersonError as error:
            self.app.say(str(error), trouble=True)
        else:
            self.app.say("Temperatures were fetched.")
            if self.is_current:
                self._tell_fetched(words)
            self.read_if_seen()
            self.app.replan()
        finally:
            self._fetching = False

    def _tell_fetched(self, words: tuple[str, ...]) -> None:
        from tendwork.dashboard.screens.reading import ReadingScreen
        from tendwork.view.text import wrapped

        def page(columns: int) -> str:
            return "\n".join(line for sentence in words for line in wrapped(sentence, columns))

        self.app.push_screen(ReadingScreen("Fetched", "temperatures.fetch", page))

    @property
    def _buds(self) -> SpeciesStages | None:
        stages = self.app.state.stages
        return stages[self._species % len(stages)] if stages else None

    def _choose(self) -> None:
        for picture in self.query(CoursePicture):
            picture.set_class(picture.id == self._course, "-chosen")

    def read(self) -> None:
        self.run_worker(self._ask(), group="temperatures", exclusive=True, exit_on_error=False)

    async def _ask(self) -> None:
        try:
            self._held = await self.app.ask(lambda bench, today: bench.temperatures.known(today))
        except PersonError as error:
            self.app.say(str(error), trouble=True)
        self._show()

    def _show(self) -> None:
        held, units = self._held, self.app.state.units
        if held is None:
            return
        for picture in self.query(CoursePicture):
            picture.show(held, self._buds, units, self._near)
        self.query_one(DayPage).show(held, units)

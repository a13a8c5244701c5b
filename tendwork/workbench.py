"""The one object behind dashboard, commands and watch: open a folder, get the plan, act.

Everything that a front shows or does goes through here; fronts hold no rule of the trade, no sum of dates and no SQL.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from msgspec import Struct

from tendwork.almanac.results import FrostNight, StageDate
from tendwork.orchard.records import Records
from tendwork.planning.results import Plan, Task
from tendwork.planning.vocabulary import Card


class SpeciesStages(Struct, frozen=True):
    """One species and its stage dates of one season."""

    species: str
    stages: tuple[StageDate, ...]


class Act(Struct, frozen=True):
    """What an act did, as one sentence for the person."""

    sentence: str


class Workbench:
    """An open orchard folder. Cheap to make; the almanac and the plan are computed when asked for and kept per content."""

    def __init__(self, folder: Path) -> None:
        raise NotImplementedError

    @classmethod
    def open(cls, folder: Path | None = None) -> Workbench:
        """Open DIR, else TENDWORK_ORCHARD, else the default place. Raises PersonError."""
        raise NotImplementedError

    def today(self) -> date:
        """The person's local day at the site's timezone (pendulum)."""
        raise NotImplementedError

    @property
    def site_name(self) -> str: ...
    @property
    def place_words(self) -> str: ...
    @property
    def records(self) -> Records: ...

    def last_plan(self, today: date) -> Plan | None:
        """The newest plan kept in the cache, whatever its content: what the first paint shows. None if there is none."""

    def plan(self, today: date) -> Plan: ...
    def week(self, today: date) -> tuple[Task, ...]: ...
    def stages(self, today: date) -> tuple[SpeciesStages, ...]: ...
    def frost(self, today: date) -> tuple[FrostNight, ...]: ...
    def cards(self) -> dict[str, Card]: ...
    def words(self) -> tuple[str, ...]:
        """Sentences about the data the person should know (set aside values, age of temperatures)."""

    def task(self, key: str, today: date) -> Task: ...
    def tick(self, key: str, units: tuple[str, ...], today: date, outcome: str = "", note: str = "") -> Act: ...
    def untick(self, key: str, units: tuple[str, ...], today: date) -> Act: ...
    def saw(self, species: str, stage: str, today: date, tree: str = "", note: str = "") -> Act: ...
    def undo(self, today: date) -> Act: ...
    def changed(self) -> bool:
        """Whether the folder's content is no longer what the last plan was made from (another process wrote)."""

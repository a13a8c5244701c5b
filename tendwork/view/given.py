"""What the workbench hands to the view, as far as the view needs it: the view may not import the workbench."""

from __future__ import annotations

from datetime import date
from typing import Protocol

from tendwork.almanac.results import StageDate
from tendwork.almanac.temperature import DailySeries


class StagesOfSpecies(Protocol):
    """One species and its stage dates of one season."""

    @property
    def species(self) -> str: ...
    @property
    def stages(self) -> tuple[StageDate, ...]: ...


class HeldFile(Protocol):
    """One temperature file: how many days it holds, its first and its last."""

    @property
    def name(self) -> str: ...
    @property
    def days(self) -> int: ...
    @property
    def first(self) -> date | None: ...
    @property
    def last(self) -> date | None: ...


class HeldTemperatures(Protocol):
    """All temperatures of the folder as one series, the files behind it, and words about them."""

    @property
    def today(self) -> date: ...
    @property
    def series(self) -> DailySeries | None: ...
    @property
    def files(self) -> tuple[HeldFile, ...]: ...
    @property
    def words(self) -> tuple[str, ...]: ...

"""What the workbench hands to the view, as far as the view needs it: the view may not import the workbench."""

from __future__ import annotations

from typing import Protocol

from tendwork.almanac.results import StageDate


class StagesOfSpecies(Protocol):
    """One species and its stage dates of one season."""

    @property
    def species(self) -> str: ...
    @property
    def stages(self) -> tuple[StageDate, ...]: ...

"""A stand-in almanac for the planner's tests: fixed stage dates, and ten degree-days on every day."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.almanac.results import Reached, StageDate
from tendwork.almanac.seasons import Season
from tendwork.species import bbch

DAY_OF_CODE = {0: (11, 20), 51: (3, 10), 53: (3, 25), 55: (4, 8), 57: (4, 15), 60: (4, 22), 65: (4, 28), 67: (5, 8)}
DEGREE_DAYS_A_DAY = 10.0


class SteadyAlmanac:
    def __init__(self, days: dict[date, tuple[float, float, str]] | None = None) -> None:
        self.days = days or {}

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate:  # noqa: ARG002
        code = bbch(species, stage)
        if code not in DAY_OF_CODE:
            return StageDate(stage, code, "unreached", None, None, None)
        day = season.on(*DAY_OF_CODE[code])
        spread = timedelta(days=5)
        return StageDate(stage, code, "predicted", day, day - spread, day + spread, ("fixed for the test",))

    def not_before(self, species: str, stage: str, season: Season) -> date:
        return self.stage(species, stage, season).date or date.min

    def standing_for(self, species: str, variety: str) -> str:  # noqa: ARG002
        return ""

    def heat_after(self, start: date, degree_days_c: float) -> Reached:
        day = start + timedelta(days=round(degree_days_c / DEGREE_DAYS_A_DAY))
        return Reached(day, day, day)

    def heat_between(self, start: date, end: date) -> float | None:
        return DEGREE_DAYS_A_DAY * max(0, (end - start).days)

    def day(self, day: date) -> tuple[float, float, str] | None:
        return self.days.get(day)

    def usual_day(self, day: date) -> tuple[float, float] | None:  # noqa: ARG002
        return None

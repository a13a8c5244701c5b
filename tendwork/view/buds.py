"""The buds of one species in a line: a bud for each stage, the present stage, and the next with its range."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.almanac.results import FrostNight, SpeciesStages, StageDate, StageState
from tendwork.view.text import plain
from tendwork.view.words import away_words, format_day, short_day, span_words, temperature_words

_REACHED = ("seen", "past")


class BudLine(Struct, frozen=True):
    """`buds` are the states of all stages in order; the rest are phrases, empty where there is nothing to say.

    `now` is the present stage, `seen` the day on which somebody saw it, `after` the next stage with its range, `away`
    how far off that is.
    """

    species: str
    buds: tuple[StageState, ...]
    now: str
    seen: str
    after: str
    away: str

    @property
    def following(self) -> str:
        """`after` as it is written behind the present stage, if there is one."""
        return f"; {self.after}" if self.now and self.after else self.after


def bud_line(held: SpeciesStages, today: date) -> BudLine:
    """Where the buds of one species stand on `today`."""
    now = next((stage for stage in reversed(held.stages) if stage.state in _REACHED), None)
    after = next((stage for stage in held.stages if stage.state == "predicted"), None)
    return BudLine(
        held.species,
        tuple(stage.state for stage in held.stages),
        "" if now is None else plain(now.stage),
        "" if now is None or now.state != "seen" or now.date is None else short_day(now.date, today),
        "" if after is None else _after_words(after, today),
        "" if after is None or after.date is None else away_words(after.date, today),
    )


def first_frost_sentence(nights: tuple[FrostNight, ...], today: date, units: str) -> str:
    """The first coming night that can hurt buds, in one sentence; empty where there is none."""
    if not nights:
        return ""
    first = min(nights, key=lambda night: (night.night, night.tmin_c))
    when = "tonight" if first.night == today else f"in the night of {format_day(first.night, today)}"
    low, kill = (temperature_words(value, units) for value in (first.tmin_c, first.kill10_c))
    return f"Frost {when}: {low} forecast; {first.species} at {plain(first.stage)} loses one bud in ten at {kill}."


def frost_unknown_sentence(is_unknown: bool) -> tuple[str, ...]:
    """That a night of this week may hurt the buds, where it may and no night is forecast. Else nothing."""
    return ("No forecast is on file: it is unknown whether frost will hurt the buds.",) if is_unknown else ()


def _after_words(stage: StageDate, today: date) -> str:
    if stage.date is None:
        return f"{plain(stage.stage)} next"
    ranged = stage.low is not None and stage.high is not None and stage.low != stage.high
    span = f" ({span_words(stage.low, stage.high)})" if ranged and stage.low and stage.high else ""
    return f"{plain(stage.stage)} {short_day(stage.date, today)}{span}"

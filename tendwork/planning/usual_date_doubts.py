"""Whether a usual date can be one of this place: what contradicts it, in words, and what may have been meant."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tendwork.almanac.late_stages import day_of_stage
from tendwork.almanac.place import UsualDate
from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.planning.day_format import day_and_month
from tendwork.planning.doubts import range_doubt
from tendwork.species import bbch

_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_HALF_A_YEAR = 6  # months


def usual_date_doubt(
    usual: UsualDate, others: Iterable[UsualDate], foreseen: StageDate | None, season: Season
) -> tuple[str, str]:
    """What is odd about a usual date, and what to do, as sentences; both empty where nothing is.

    `foreseen` is its stage in `season` as the almanac has it without any usual date of the species.
    """
    if usual.stage == "dormant":
        return "changes nothing, for wood counts as dormant from leaf fall on", 'Give "leaf fall" instead.'
    day = _day(usual, season)
    odd = [f"{day_and_month(day)} is odd: {said}"] if (said := range_doubt(day, foreseen)) else []
    odd += [
        f'it is back to front: "{other.stage}", which comes after it, is given as {day_and_month(_day(other, season))}'
        for other in others
        if other.species == usual.species
        and bbch(other.species, other.stage) > bbch(usual.species, usual.stage)
        and _day(other, season) < day
    ]
    if not odd:
        return "", ""
    remedy = "Write the day as it is here, or take it out."
    if said and foreseen is not None and foreseen.date is not None and _fits_the_other_half(usual, foreseen, season):
        here, there = ("south", "northern") if season.south else ("north", "southern")
        month = _MONTHS[foreseen.date.month - 1]
        remedy = f"In the {here} {usual.species} is at {usual.stage} in {month}: is this a {there} date? {remedy}"
    return "; ".join(odd), remedy


def _day(usual: UsualDate, season: Season) -> date:
    return day_of_stage(season, usual.stage, usual.month, usual.day)


def _fits_the_other_half(usual: UsualDate, foreseen: StageDate, season: Season) -> bool:
    """Whether the date would be beyond doubt in the other half of the world."""
    month = (usual.month - 1 + _HALF_A_YEAR) % 12 + 1
    return not range_doubt(day_of_stage(season, usual.stage, month, min(usual.day, 28)), foreseen)

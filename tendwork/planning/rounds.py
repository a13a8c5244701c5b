"""The rounds of a repeating job, each a task of its own, told of one another."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tendwork.planning.results import Unit
from tendwork.planning.states import TO_DO


def place_among_rounds(
    before: Sequence[Unit], units: Sequence[Unit], after: Sequence[Unit]
) -> tuple[date | None, bool]:
    """When the round after opens for those of these units that are to do, and whether they all wait for the one before.

    When a round opens depends on the day on which its units are ticked in the round before, so that such a round takes
    no day beside that one.
    """
    mine = {unit.id: unit.state for unit in units if unit.state in TO_DO} if before or after else {}
    if not mine:
        return None, False
    again = min((unit.window.opens for unit in after if unit.id in mine), default=None)
    if not before or any(state != "coming" for state in mine.values()):
        return again, False
    return again, mine.keys() <= {unit.id for unit in before if unit.state in TO_DO}

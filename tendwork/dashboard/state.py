"""What the screens show, as one frozen value that is made off the screen's loop and handed over whole."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.orchard.records import Records

if TYPE_CHECKING:
    from tendwork.almanac.results import FrostNight, SpeciesStages
    from tendwork.planning.coming_back import ComingBack
    from tendwork.planning.plan_diff import PlanDiff
    from tendwork.planning.results import FittedWeek, Gap, Plan, Task, WrapOn
    from tendwork.planning.vocabulary import Card


class State(Struct, frozen=True):
    """The orchard as of one day. `made` is False while the almanac has yet to speak for `today`.

    `plan_day` is the day that the shown jobs were planned for; None as long as there is no plan to show. It is before
    `today` only where today's plan cannot be made. `last_day` is the day of the newest plan on file, whose stages are
    there to choose from at once. `plan` is the whole season's, which stays on disk until a screen wants it. `changed`
    is since the newest day before `today` that has a plan, and `back` what was left while the person was away.
    """

    today: date
    site_name: str
    place: str
    units: str
    made: bool = False
    plan_day: date | None = None
    last_day: date | None = None
    plan: Plan | None = None
    week: FittedWeek | None = None
    jobs: tuple[Task, ...] = ()
    stages: tuple[SpeciesStages, ...] = ()
    frost: tuple[FrostNight, ...] = ()
    words: tuple[str, ...] = ()
    cards: dict[str, Card] = {}
    records: Records = Records()
    south: bool = False
    check_wood_every_days: int | None = None
    changed: PlanDiff | None = None
    wraps: tuple[WrapOn, ...] = ()
    gaps: tuple[Gap, ...] = ()
    back: ComingBack | None = None
    frost_unknown: bool = False

"""In which season's plan to look for a task: its key names the season."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from tendwork.almanac.seasons import Season, season_of
from tendwork.errors import PersonError
from tendwork.view.season_page import earliest_season

if TYPE_CHECKING:
    from tendwork.orchard.records import Records

_SEASON_OF_KEY = re.compile(r".*/([0-9]{4})(?:\.[0-9]+)?", re.DOTALL)


def day_in_season_of(key: str, today: date, south: bool, records: Records) -> date | None:
    """The day on which to look at a task of another season: the last one of a season that is over, or the first.

    None where the key is of the season of `today`, or names none. Raises PersonError for a season that cannot be
    planned.
    """
    named = _SEASON_OF_KEY.fullmatch(key)
    present = season_of(today, south)
    if named is None or int(named.group(1)) == present.name:
        return None
    name = int(named.group(1))
    if name > present.following.name:
        raise PersonError(f"Season {name} cannot be planned yet: only this one, {present.name}, and the next.")
    if name > present.name:
        return present.following.start
    first = earliest_season(records, present)
    if name < first:
        told = f"the first record is of season {first}" if records.ticks or records.grafts else "there is no record yet"
        raise PersonError(f"Nothing is recorded of season {name}: {told}.")
    return Season(name, south).end

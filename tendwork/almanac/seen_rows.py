"""The rows of stages that were seen, and of those that lie before or between them."""

from __future__ import annotations

from datetime import date, timedelta
from math import exp, hypot

from tendwork.almanac.development import Progress, first_day
from tendwork.almanac.requirements import heat_to_bloom, share_of_bloom
from tendwork.almanac.results import StageDate, StageState
from tendwork.almanac.seasons import Season
from tendwork.almanac.seen_here import SeenHere
from tendwork.almanac.stage_days import day_of_stage, log_need_ratio
from tendwork.species import bbch

_LEAST_SD_DAYS, _SD_SHARE = 1.2, 0.25
_HALF_OF_RANGE = 1.28  # standard deviations from the middle to an end of the 80 % range


def before_seen_row(
    species: str,
    stage: str,
    code: int,
    season: Season,
    progress: Progress,
    model: int,
    here: SeenHere,
    shift: int,
    today: date,
) -> StageDate | None:
    """A stage that nobody saw, though a later one was: counted back from that, or between it and one before.

    `progress` is that of the season, `model` the one believed most, `shift` the days by which the site moves all dates.
    None where no later stage was seen, or the order of the buds is broken.
    """
    share = share_of_bloom(species, code)
    seen = here.seen
    if share is None or seen.broken:
        return None
    points = []
    for other in seen.days:
        if (other_share := share_of_bloom(species, bbch(species, other))) is not None:
            points.append((other_share, seen.middle(other), other))
    after = min((point for point in points if point[0] > share), default=None)
    before = max((point for point in points if point[0] < share), default=None)
    if after is None:
        return None
    first = first_day(season)
    end = (after[1] - first).days - shift
    if before is None:
        need = heat_to_bloom(species)[model] * exp(log_need_ratio(progress, species, model, after[0], end))
        day = day_of_stage(progress, species, model, need, share)
        away, words = (0.0 if day is None else end - day), f"counted back from {here.sighting_words(after[2])}"
    else:
        begin = (before[1] - first).days - shift
        part = (share - before[0]) / (after[0] - before[0])
        day = progress.day_part_of_heat(begin, end, part)
        away = min(day - begin, end - day)
        words = f"counted between {here.sighting_words(before[2])} and {here.sighting_words(after[2])}"
    if day is None:
        return None
    spread = _HALF_OF_RANGE * hypot(_LEAST_SD_DAYS, _SD_SHARE * away)
    low, middle, high = (first + timedelta(days=round(point) + shift) for point in (day - spread, day, day + spread))
    state: StageState = "past" if middle <= today else "predicted"
    return StageDate(stage, code, state, middle, low, high, (words,))


def around_what_was_seen(rows: list[StageDate], here: SeenHere, today: date) -> list[StageDate]:
    """What was not seen lies between what was, its range between facts; and no stage lies before the one before it."""
    if here.seen.broken:  # nobody knows which of the sightings is wrong
        return rows
    kept: list[StageDate] = []
    reached: date | None = None
    last_seen: date | None = None
    for position, row in enumerate(rows):
        if row.state == "seen":
            last_seen = row.date
        elif row.date is not None and row.low is not None and row.high is not None:
            later = [other for other in rows[position + 1 :] if other.stage in here.seen.days]
            next_seen = min((other.date for other in later if other.state == "seen" and other.date), default=None)
            middle = _between(row.date, reached, min((other.date for other in later if other.date), default=None))
            low = min(_between(row.low, last_seen, next_seen), middle)
            high = max(_between(row.high, last_seen, next_seen), middle)
            state: StageState = "past" if middle <= today else "predicted"
            row = StageDate(row.stage, row.bbch, state, middle, low, high, row.because)
        kept.append(row)
        if row.date is not None and (reached is None or row.date > reached):
            reached = row.date
    return kept


def _between(day: date, earliest: date | None, latest: date | None) -> date:
    if earliest is not None:
        day = max(day, earliest)
    return day if latest is None else min(day, latest)

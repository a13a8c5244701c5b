"""One season's report: the records, the plan of its last day, and the almanac with and without what it taught."""

from __future__ import annotations

from datetime import date

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.kept_progress import KeptProgress
from tendwork.almanac.seasons import Season, season_of
from tendwork.errors import PersonError
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.variety_lists import variety_reference
from tendwork.orchard.records import Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.adjustments import SiteShift
from tendwork.planning.fruit_spans import fruit_spans
from tendwork.planning.results import Plan
from tendwork.planning.ripening_dates import ripening_dates
from tendwork.planning.season_learned import season_learned, seen_until
from tendwork.planning.season_report import SeasonReport, reported_season, season_report
from tendwork.view.season_page import earliest_season
from tendwork.workbench.plan_inputs import place_of, seen_of, temperatures_of
from tendwork.workbench.plan_making import CachedAlmanac


def season_named(year: int | None, records: Records, today: date, south: bool) -> Season:
    """The season to report; without a year that of the last crop. Raises PersonError where there is nothing of it."""
    if year is None:
        return reported_season(today, south)
    first, present = earliest_season(records, season_of(today, south)), season_of(today, south).name
    if year > present:
        raise PersonError(f"Season {year} has not begun, so there is nothing to report: the newest is {present}.")
    if year < first:
        raise PersonError(f"Nothing is recorded of season {year}: the first record is of season {first}.")
    return Season(year, south)


def made_report(
    folder: OrchardFolder,
    records: Records,
    shift: SiteShift,
    cached: CachedAlmanac,
    plan: Plan,
    season: Season,
    today: date,
) -> SeasonReport:
    """`plan` is the one of the season's last day, or of today where it is not over. Raises PersonError."""
    reference, seen = variety_reference(), seen_of(records)
    place, series = place_of(folder.site, shift), temperatures_of(folder, today).series

    def taught(with_own: bool) -> Almanac:
        known = KeptProgress(cached.progress.asked)
        return Almanac(place, series, seen_until(seen, season, with_own), today, known)

    learned = season_learned(records, reference, seen, taught(with_own=True), taught(with_own=False), season, today)
    rows = ripening_dates(records, reference, cached.almanac, season.south, today, season)
    spans = fruit_spans(records, rows, VarietyBook(records, reference))
    return season_report(records, season, today, plan.tasks, spans, cached.almanac, learned)

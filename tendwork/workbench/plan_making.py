"""One plan: from the folder's files and records through the almanac to the plan."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.kept_progress import KeptProgress
from tendwork.almanac.results import SpeciesStages
from tendwork.almanac.seasons import season_of
from tendwork.folder.loaded_templates import LoadedTemplates
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.strays import stray_copies
from tendwork.orchard.graft_species import species_grown
from tendwork.orchard.named_templates import CHECK_WOOD
from tendwork.orchard.records import Records
from tendwork.plain_text import plain
from tendwork.planning.adjustments import Adjustments, SiteShift, adjusted
from tendwork.planning.coming_back import coming_back, last_here
from tendwork.planning.fit import fit_week, placing_of
from tendwork.planning.plan_diff import plan_diff
from tendwork.planning.planner import Planner
from tendwork.planning.vocabulary import Template
from tendwork.planning.windows import Openings
from tendwork.planning.wishes import wishes_of
from tendwork.species import SPECIES
from tendwork.workbench.kept_reading import keep_reading, kept_reading
from tendwork.workbench.kept_ripening import KeptRipening
from tendwork.workbench.known_here import known_here
from tendwork.workbench.plan_cache import EarlierPlan, PlannedDay, WeekSummary, days_looked
from tendwork.workbench.plan_inputs import place_of, seen_of, site_limits_of, temperatures_of, temperatures_stamp

_NO_TREE = (
    "No tree is recorded yet, so there are no jobs: `tendwork bring trees.csv --as trees` brings them in, "
    "or add one on the screen Trees."
)
_LONG_UNOPENED = timedelta(days=30)
_PROGRESS_FILE = "progress.msgpack"
_Progress = dict[bytes, tuple[int, bytes]]
_SEASONS_KEPT = 64  # some two generations of this season's and the next, and every past one that a usual date asks for
_ALMANACS_KEPT = 4  # one in force, and a few that a preview compares


class CachedAlmanac(Struct, frozen=True):
    """The almanac of the place, words about the temperatures behind it, and what follows from it: windows, ripening.

    `progress` is what it worked out of the seasons.
    """

    almanac: Almanac
    progress: KeptProgress
    words: tuple[str, ...]
    openings: Openings
    ripening: KeptRipening


class AlmanacCache:
    """Keeps almanacs while what they were made from stays the same: a tick moves no bud.

    How the buds went on in each season is kept in the folder too, as past ones do not change.
    """

    def __init__(self, folder: OrchardFolder) -> None:
        self._folder = folder
        self._progress: _Progress | None = None
        self._asked: KeptProgress | None = None
        self._planner: Planner | None = None
        self._held: dict[tuple[object, ...], CachedAlmanac] = {}

    def cached(self, records: Records, shift: SiteShift, today: date) -> CachedAlmanac:
        """The almanac of the place with what goes with it. Raises PersonError."""
        seen = seen_of(records)
        place = place_of(self._folder.site, shift)
        key = (today, place, temperatures_stamp(self._folder), seen)
        if key not in self._held:
            held = temperatures_of(self._folder, today)
            while len(self._held) >= _ALMANACS_KEPT:
                del self._held[next(iter(self._held))]
            progress = KeptProgress(self._read_progress())
            almanac = Almanac(place, held.series, seen, today, progress)
            ripening = KeptRipening(almanac, self._folder.site.south, today)
            self._held[key] = CachedAlmanac(almanac, progress, held.words, Openings(almanac), ripening)
        self._asked = self._held[key].progress
        return self._held[key]

    def planner(self, cached: CachedAlmanac) -> Planner:
        """The one that plans by this almanac; of what it planned by another nothing is held."""
        if self._planner is None or self._planner.almanac is not cached.almanac:
            self._planner = Planner(cached.almanac, cached.openings)
        return self._planner

    def keep_progress(self) -> None:
        """Have on the disk what the almanac asked last worked out of the seasons, with the newest of what was there."""
        held, asked = self._read_progress(), {} if self._asked is None else self._asked.asked
        if not asked.keys() <= held.keys():
            others = {mark: found for mark, found in held.items() if mark not in asked}
            spare = max(0, _SEASONS_KEPT - len(asked))
            self._progress = dict(list(others.items())[max(0, len(others) - spare) :]) | asked
            keep_reading(self._folder, _PROGRESS_FILE, "", self._progress)

    def _read_progress(self) -> _Progress:
        if self._progress is None:
            self._progress = kept_reading(self._folder, _PROGRESS_FILE, "", _Progress) or {}
        return self._progress


def plan_day(
    folder: OrchardFolder,
    almanac_cache: AlmanacCache,
    templates: LoadedTemplates,
    adjustments: Adjustments,
    today: date,
    token: str,
    before: WeekSummary | None,
    earlier: EarlierPlan | None,
    is_looked_at: bool = False,
) -> PlannedDay:
    """Plan the season as of `today` and fit its week, keeping the days that the plan `before` gave.

    What has changed is told against `earlier`, the plan of an earlier day. One that `is_looked_at` is not of the day on
    which the person is there. Raises PersonError where a temperature file must be mended.
    """
    records = folder.records.read()
    cached = almanac_cache.cached(records, adjustments.site, today)
    almanac = cached.almanac
    limits = site_limits_of(folder.site)
    season = season_of(today, limits.south)
    in_force = adjusted(templates.templates, adjustments, known_here(folder, records, today))
    made = almanac_cache.planner(cached).plan(
        limits, records, in_force, today, templates.tools, cached.ripening.of(records)
    )
    species = species_of(records)
    stages = tuple(SpeciesStages(name, almanac.stages(name, season)) for name in species)
    frost = almanac.frost_nights(list(species))
    week = fit_week(
        made, kept=None if before is None else placing_of(before.week.tasks), wishes=wishes_of(records.ticks)
    )
    words = (*cached.words, *almanac.warnings()) if records.trees else (_NO_TREE,)
    known = None if earlier is None else earlier.planned
    if earlier is not None:
        words = (*_unopened_words(earlier.day, today, limits.south), *words)
        if known is None:
            since = f"What has changed since {earlier.day.isoformat()} is not known"
            words = (f"{since}: its plan is damaged, or another version of the program kept it.", *words)
    words = tuple(map(plain, (*stray_copies(folder.path), *words)))
    changed = None if known is None else plan_diff(known.plan, known.stages, made, stages)
    looked_on = days_looked(folder) or (() if earlier is None else (earlier.day,))
    back = None if is_looked_at else coming_back(made.tasks, last_here(looked_on, records.ticks, today), today)
    wood_days = every_days(in_force, CHECK_WOOD)
    return PlannedDay(
        token,
        week,
        stages,
        frost,
        words,
        templates.cards,
        wood_days,
        changed,
        made.wraps,
        made.gaps,
        back,
        almanac.forecast_to,
        almanac.frost_is_unknown(species),
        plan=made,
    )


def _unopened_words(last: date, today: date, south: bool) -> tuple[str, ...]:
    """What is not told where no plan was made for so long that a season ended meanwhile."""
    then, now = season_of(last, south), season_of(today, south)
    if then == now or today - last < _LONG_UNOPENED:
        return ()
    seasons = f"season {then.name}" if then.following == now else f"seasons {then.name} to {now.previous.name}"
    return (
        f"No plan was made here from {last.isoformat()} until today: what was not ticked in {seasons} is not told.",
    )


def every_days(templates: Iterable[Template], name: str) -> int | None:
    """Days between the rounds of a repeating template; None if it is left out."""
    return next((held.repeats.every_days for held in templates if held.id == name and held.repeats is not None), None)


def species_of(records: Records) -> tuple[str, ...]:
    """The species in the orchard in their fixed order; all while it has no tree."""
    grown = species_grown(records)
    return tuple(name for name in SPECIES if name in grown) or SPECIES

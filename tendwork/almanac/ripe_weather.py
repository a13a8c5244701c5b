"""What one season's bloom and the warmth after it do to ripening, against a usual season of the place.

Ripening follows bloom only in part: near Bonn bloom came 11 to 14 days earlier within sixty years and fruit 4 to 12
(Kunz & Blanke 2022, Horticulturae 8:110). So no days are counted from bloom; the date moves by a share of what bloom
departs from the usual, and by what the warmth after bloom departs from the usual of those very days.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from math import sqrt
from statistics import fmean

from msgspec import Struct

from tendwork.almanac.days import Days
from tendwork.almanac.development import chill_and_heat
from tendwork.almanac.ensemble import Trace
from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.species import family_of

FULL_BLOOM = "full bloom"
_DAY = timedelta(days=1)
_SDS_IN_RANGE = 2.56  # standard deviations in an 80 % range
# How far days depart from the usual, from day to day and together: see ensemble.py.
_DAY_SD_C, _DAYS_TOGETHER = 3.3, 7.0
_FIRST_NIGHTS_SD_C = 1.9
_FIRST_HEAT_SD_GDH = 900.0
_BLOOM_SD_DAYS = 8.0


class Reaction(Struct, frozen=True):
    """How the fruit of a family reacts: means of three factors, and how unsure each is before a place has taught it.

    `bloom` is days for each day that bloom is late. `early` is days for each °C of the mean minimum of the first
    `early_days` after bloom, or, where it counts `in_gdh`, for each growing degree hour in them; `later` days for each
    degree-day (°C) by which the days from then to `last_day` after bloom are warmer than usual.
    """

    bloom: float
    early: float
    later: float
    sds: tuple[float, float, float]
    early_days: int
    last_day: int
    in_gdh: bool

    @property
    def factors(self) -> tuple[float, float, float]:
        return self.bloom, self.early, self.later


POME = Reaction(0.40, -0.7, -0.02, (0.12, 0.35, 0.012), 15, 90, False)
"""Michigan's rule for Red Delicious takes 1.8 days for each °C of the mean minimum of the first 15 days (Beaudry et al.
1993), beside all of what bloom is late; beside a part of it less is left. Heat counts until weeks 6 to 9 in Anjou (WSU)
and 63 days in pears at Hood River (OSU 2018). The sizes are our own: half of what a pure heat sum would give, which
over-reacts, as `tests/bench/bench_ripening.py` shows; a place's own seasons move them."""
STONE = Reaction(0.35, -0.002, -0.01, (0.15, 0.001, 0.01), 30, 60, True)
"""Growing degree hours of the first 30 days explain most of the change of days from bloom to harvest in peach,
nectarine, plum and prune (Ben Mimoun & DeJong 1999). The sizes are our own, such that dates move as by the rule for
Redhaven in south-west Michigan (MSU 2016)."""


def reaction_of(species: str) -> Reaction:
    """Quince and medlar are taken as apple and pear, cherries and apricot as peach and plum: nothing is published."""
    return POME if "apple" in family_of(species) else STONE


class SeasonWeather(Struct, frozen=True):
    """What the reaction counts in one season, each against the usual: days, °C or growing degree hours, degree-days.

    `bloom_seen` where somebody saw it. `early_to` and `later_to` are the last days counted, None where none is over.
    `unsure_days` is the sd in days of what of all this is not known: bloom that nobody saw, days that nobody measured.
    """

    bloom: date | None
    bloom_seen: bool
    late: tuple[float, float, float]
    early_to: date | None
    later_to: date | None
    unsure_days: float


def spring_of(season: Season) -> date:
    """The first day of a season's fruit, from which its days are counted: 1 April, in the south 1 October."""
    return season.on(4, 1)


class RipeWeather:
    """Seasons are worked out when asked for, and kept. `bloom_of` gives full bloom of (species, variety, season)."""

    def __init__(self, days: Days, latitude_deg: float, bloom_of: Callable[[str, str, Season], StageDate]) -> None:
        self._days = days
        self._latitude_deg = latitude_deg
        self._bloom_of = bloom_of
        self._kept: dict[tuple[str, str, Season, Season], SeasonWeather] = {}

    def usual_bloom(self, species: str, variety: str, now: Season) -> tuple[int, float] | None:
        """Days from the season's `spring_of` to the usual full bloom, and its sd: as foreseen of a season to come."""
        coming = now.following
        row = self._bloom_of(species, variety, coming)
        return None if row.date is None else ((row.date - spring_of(coming)).days, _sd_days(row))

    def of(self, species: str, variety: str, season: Season, now: Season) -> SeasonWeather:
        """One season against the usual, as it is seen from the season `now`."""
        key = (species, variety, season, now)
        if key not in self._kept:
            self._kept[key] = self._worked_out(species, variety, season, now)
        return self._kept[key]

    def _worked_out(self, species: str, variety: str, season: Season, now: Season) -> SeasonWeather:
        usual, row = self.usual_bloom(species, variety, now), self._bloom_of(species, variety, season)
        reaction = reaction_of(species)
        if usual is None or row.date is None:
            nothing = (reaction.bloom * _BLOOM_SD_DAYS) ** 2
            nothing += _weather_variance(reaction, 1, reaction.last_day - reaction.early_days)
            return SeasonWeather(None, False, (0.0, 0.0, 0.0), None, None, sqrt(nothing))
        late_days = (row.date - spring_of(season)).days - usual[0]
        begin = row.date + _DAY
        split = row.date + reaction.early_days * _DAY
        end = row.date + reaction.last_day * _DAY
        early_last, later_last = min(split, self._days.last_known), min(end, self._days.last_known)
        early = self._early(reaction, begin, early_last) if early_last >= begin else 0.0
        later = self._warmer(split + _DAY, later_last) if later_last > split else 0.0
        early_known = self._days.measured_share(begin, split) if early_last >= begin else 0.0
        later_missing = reaction.last_day - reaction.early_days
        if later_last > split:
            later_missing -= (later_last - split).days - self._days.count_missing(split + _DAY, later_last)
        bloom_sd = 0.0 if row.state == "seen" else _sd_days(row)
        variance = (reaction.bloom * bloom_sd) ** 2 + _weather_variance(reaction, 1 - early_known, later_missing)
        return SeasonWeather(
            row.date,
            row.state == "seen",
            (float(late_days), early, later),
            early_last if early_last >= begin and early_known else None,
            later_last if later_last > split and later_missing < reaction.last_day - reaction.early_days else None,
            sqrt(variance),
        )

    def _early(self, reaction: Reaction, first: date, last: date) -> float:
        """By what the first days after bloom depart from the usual: °C of the mean minimum, or growing degree hours."""
        held, usual = self._days.known(first, last), self._usual(first, last)
        if not reaction.in_gdh:
            share = len(held.tmin_c) / reaction.early_days
            return share * (fmean(held.tmin_c) - fmean(usual.tmin_c))
        return sum(self._gdh(held, first)) - sum(self._gdh(usual, first))

    def _gdh(self, trace: Trace, first: date) -> list[float]:
        return chill_and_heat(trace, first, self._latitude_deg)[1]

    def _warmer(self, first: date, last: date) -> float:
        """Degree-days (°C) by which these days were warmer than usual."""
        held, usual = self._days.known(first, last), self._usual(first, last)
        return (sum(held.tmin_c) + sum(held.tmax_c) - sum(usual.tmin_c) - sum(usual.tmax_c)) / 2

    def _usual(self, first: date, last: date) -> Trace:
        days = [self._days.usual_day(first + step * _DAY) for step in range((last - first).days + 1)]
        return Trace(tuple(low for low, _ in days), tuple(high for _, high in days))


def _sd_days(row: StageDate) -> float:
    return 0.0 if row.low is None or row.high is None else (row.high - row.low).days / _SDS_IN_RANGE


def _weather_variance(reaction: Reaction, early_missing: float, later_missing: float) -> float:
    """In days², of a share of the first days after bloom, and a number of later ones, of which nothing is known."""
    early_sd = abs(reaction.early) * (_FIRST_HEAT_SD_GDH if reaction.in_gdh else _FIRST_NIGHTS_SD_C)
    later = (reaction.later * _DAY_SD_C) ** 2 * _DAYS_TOGETHER * max(0.0, later_missing)
    return early_sd * early_sd * early_missing + later

"""A season to read about in winter: what was set and lost, borne, given, worked, missed, and what the place taught.

Every part is worked out of the records and the temperatures by its own module; nothing of it is stored.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from tendwork.almanac.season_weather import Bloom, DailyAlmanac, YearWeather, season_bloom, season_weather
from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.fruit_year import fruit_year
from tendwork.orchard.graft_species import species_grown
from tendwork.orchard.records import Records
from tendwork.planning.fruit_spans import FruitSpan
from tendwork.planning.results import Task
from tendwork.planning.season_crops import SeasonCrops, season_crops
from tendwork.planning.season_grafts import SeasonGrafts, season_grafts
from tendwork.planning.season_learned import SeasonLearned
from tendwork.planning.season_wood import SeasonWood, season_wood
from tendwork.planning.season_work import SeasonWork, season_work
from tendwork.species import SPECIES


class SeasonReport(Struct, frozen=True):
    """`season` is named by the year of its spring; it `is_over` once its last day is past. `others` are the years that
    its weather is compared with."""

    season: Season
    today: date
    grafts: SeasonGrafts
    crops: SeasonCrops
    wood: SeasonWood
    work: SeasonWork
    weather: YearWeather
    others: tuple[YearWeather, ...]
    bloom: tuple[Bloom, ...]
    learned: SeasonLearned

    @property
    def is_over(self) -> bool:
        return self.today > self.season.end


def reported_season(today: date, south: bool) -> Season:
    """The season of the last crop: until spring last year's, from April (in the south October) the one under way."""
    return Season(fruit_year(today, south), south)


def season_report(
    records: Records,
    season: Season,
    today: date,
    tasks: Iterable[Task],
    spans: Sequence[FruitSpan],
    almanac: DailyAlmanac,
    learned: SeasonLearned,
) -> SeasonReport:
    """`tasks` are those of the season's plan as of its last day, or of today; `spans` its fruit, as `learned` is
    given by season_learned."""
    weather, others = season_weather(almanac, season, today)
    grown = species_grown(records)
    species = [name for name in SPECIES if name in grown]
    seen = {season_of(sighting.day, season.south).name for sighting in records.sightings if sighting.day <= today}
    years = sorted({*(other.season for other in others), *seen} - {season.name})
    return SeasonReport(
        season=season,
        today=today,
        grafts=season_grafts(records, season),
        crops=season_crops(records, spans, season.name, season.south, today),
        wood=season_wood(records, season),
        work=season_work(records, tasks, season),
        weather=weather,
        others=others,
        bloom=season_bloom(almanac, species, season, [Season(name, season.south) for name in years], today),
        learned=learned,
    )

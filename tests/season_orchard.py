"""A small invented orchard over two seasons, for the tests of a season's report: everything is worked out by hand."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from tendwork.almanac.season_weather import Bloom, BloomDay, HeatSum, YearWeather
from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Life, Records, Tasting, Tick, Tree, Trouble, Wood
from tendwork.orchard.rough_dates import RoughDate
from tendwork.planning.fruit_spans import FruitSpan
from tendwork.planning.results import Task
from tendwork.planning.season_crops import season_crops
from tendwork.planning.season_grafts import season_grafts
from tendwork.planning.season_learned import PickMove, SeasonLearned, StageMove
from tendwork.planning.season_report import SeasonReport
from tendwork.planning.season_wood import season_wood
from tendwork.planning.season_work import season_work

TODAY = date(2026, 12, 1)
TREES = (Tree("t1", "Barn apple", "apple"), Tree("t2", "Path pear", "pear"))
GRAFTS = (
    Graft("g1", "t1", "Red Lamp", "cleft", state="took", set_on=date(2026, 4, 10), wood="w1"),
    Graft("g2", "t1", "Red Lamp", "cleft", state="failed", set_on=date(2026, 4, 10), wood="w1"),
    Graft("g3", "t1", "Blue Lamp", "Whip", state="set", set_on=date(2026, 4, 12), wood="w2"),
    Graft("g4", "t2", "Green Lamp", state="bearing", set_on=RoughDate(2026)),
    Graft("g5", "t2", "Old Lamp", "bark", state="removed", set_on=date(2015, 5, 1), verdict="cut"),
    Graft("g6", "t1", "Lost Lamp", "bark", state="removed", set_on=date(2014, 5, 1)),
    Graft("g7", "t1", "New Lamp", "cleft", state="took", set_on=date(2026, 4, 20)),
    Graft("g8", "t1", "Next Lamp", "cleft"),
    Graft("g9", "t1", "Far Lamp", "cleft", state="bearing", set_on=date(2022, 4, 10)),
)
LIVES = (
    Life("g7", "Gone Lamp", "cleft", set_on=date(2025, 4, 1), ended_on=date(2025, 12, 24), state="took", note="snow"),
    Life("g8", "Dry Lamp", "cleft", set_on=date(2026, 4, 2), ended_on=date(2026, 6, 3), note="dried out"),
)
WOOD = (
    Wood("w1", "Red Lamp", "apple", 2, date(2026, 1, 3), "P. Hill", asked_on=date(2025, 11, 9), answer="promised"),
    Wood("w2", "Blue Lamp", "apple", 3, date(2026, 2, 1), "Barn apple", promised_to="R. Dale", promised_sticks=1),
    Wood("w3", "Grey Lamp", "pear", 0, date(2025, 1, 20), "t2", promised_to="S. Mill"),
    Wood("w4", "Far Pear", "pear", 2, None, "A. Weir", asked_on=date(2025, 11, 20), answer="refused"),
    Wood("w5", "Old Wood", "apple", 2, date(2025, 1, 3), "P. Hill"),
)
TICKS = (
    Tick("check-take/t1/2026", "g2", date(2026, 5, 30), "failed"),
    Tick("limbs-off/t2/2026", "g5", date(2026, 2, 8), "removed"),
    Tick("send-promised-wood/w3/2026", "w3", date(2026, 1, 25), "sent"),
    Tick("first-fruit/t1/2026", "g9", date(2026, 8, 20), "bearing"),
)
TROUBLES = (
    Trouble(date(2026, 5, 20), "t1", "storm"),
    Trouble(date(2026, 6, 20), "t1", "canker"),
    Trouble(date(2025, 6, 20), "t1", "gum"),
)
TASTINGS = (
    Tasting(date(2026, 9, 5), "g9", "unripe", 2),
    Tasting(date(2026, 9, 19), "g9", "ripe", 4),
    Tasting(date(2026, 9, 20), "g4", "ripe", 2),
    Tasting(date(2027, 1, 9), "g9", "ripe", 5),
    Tasting(date(2026, 1, 9), "g9", "", None),
)
RECORDS = Records(TREES, GRAFTS, WOOD, ticks=TICKS, tastings=TASTINGS, lives=LIVES, troubles=TROUBLES)


FAR = FruitSpan(
    ("apple", "far lamp"),
    "apple",
    "Far Lamp",
    ("Far Lamp",),
    ("g9",),
    True,
    date(2026, 9, 12),
    (date(2026, 9, 12), date(2026, 9, 26)),
    (date(2026, 10, 20), date(2026, 11, 1)),
)


def year(season: int, last_frost: date | None, coldest_c: float, hot_days: int, *sums: float | None) -> YearWeather:
    """A year's weather with no day missing, and its degree-days to 31 August and to 30 September."""
    heat = tuple(HeatSum(date(season, *day), one) for day, one in zip(((8, 31), (9, 30)), sums, strict=True))
    return YearWeather(season, 365, 0, date(season, 1, 9), coldest_c, last_frost, 181, 0, hot_days, heat)


WEATHER = year(2026, date(2026, 4, 20), -9.5, 3, 1200.4, 1400.0)
OTHERS = (
    year(2022, date(2022, 5, 12), -6.0, 0, 1000.0, 1200.0),
    year(2024, None, -12.0, 5, 1100.0, 1350.0),
    year(2025, date(2025, 4, 30), -8.0, 1, 1300.0, 1500.0),
)
BLOOM = (
    Bloom(
        "apple",
        BloomDay(2026, date(2026, 5, 9), True),
        (BloomDay(2024, date(2024, 5, 5), True), BloomDay(2025, date(2025, 5, 3), False)),
    ),
    Bloom("pear", None, ()),
)
LEARNED = SeasonLearned(
    2027,
    3,
    (
        StageMove("apple", "full bloom", 2, date(2027, 5, 4), date(2027, 5, 6)),
        StageMove("apple", "leaf fall", 1, date(2027, 11, 4), date(2027, 11, 4)),
    ),
    2,
    (
        PickMove("pear", "Green Lamp", 1, None, date(2027, 9, 20)),
        PickMove("apple", "Far Lamp", 1, date(2027, 9, 22), date(2027, 9, 19)),
        PickMove("apple", "Still Lamp", 1, date(2027, 9, 22), date(2027, 9, 22)),
    ),
)


def made_report(records: Records = RECORDS, tasks: tuple[Task, ...] = (), today: date = TODAY) -> SeasonReport:
    """The report of season 2026 of these records, with a weather of its own."""
    season = Season(2026)
    return SeasonReport(
        season=season,
        today=today,
        grafts=season_grafts(records, season),
        crops=season_crops(records, (FAR,) if records.grafts else (), 2026, False, today),
        wood=season_wood(records, season),
        work=season_work(records, tasks, season),
        weather=WEATHER,
        others=OTHERS,
        bloom=BLOOM,
        learned=LEARNED,
    )


def bare_report() -> SeasonReport:
    """The report of a season of which nothing is noted and nothing is known."""
    bare = YearWeather(
        2026, 365, 365, None, None, None, 181, 181, 0, tuple(HeatSum(one.to, None) for one in WEATHER.heat)
    )
    found = made_report(Records())
    return replace(found, weather=bare, others=(), bloom=(), learned=SeasonLearned(2027, 0, (), 0, ()))

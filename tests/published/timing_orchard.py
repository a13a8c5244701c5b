"""Sites given by monthly normals and usual dates alone, and the windows that a plan has there for one unit.

All normals and usual dates are from memory, rounded: they are inputs, never oracles.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable
from datetime import date
from functools import cache
from pathlib import Path

import msgspec

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.seasons import season_of
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Window
from tendwork.planning.vocabulary import TO_CUT, Template, TemplateFile

FOLDER = Path(__file__).parents[2] / "task_templates"
TEMPLATES = [
    template
    for file in sorted(FOLDER.glob("*.toml"))
    for template in msgspec.convert(tomllib.loads(file.read_text(encoding="utf-8")), TemplateFile).template
]
JANUARY = date(2027, 1, 15)


def place(latitude: float, elevation_m: float, minimum_c: str, maximum_c: str, bloom: str = "") -> Place:
    """`bloom` is the usual day of apple full bloom as "MM-DD", where people are taken to know it."""
    month, day = (int(part) for part in (bloom or "1-1").split("-"))
    return Place(
        latitude=latitude,
        elevation_m=elevation_m,
        normals_min_c=tuple(float(value) for value in minimum_c.split()),
        normals_max_c=tuple(float(value) for value in maximum_c.split()),
        usual_dates=(UsualDate("apple", "full bloom", month, day),) if bloom else (),
    )


SITES = {
    "cold continental": place(
        43.1,
        250,
        "-7.9 -7.1 -2.9 2.9 8.6 14.0 16.4 15.7 11.1 5.2 0.1 -5.4",
        "-0.8 1.1 7.1 14.4 20.7 26.0 28.1 26.9 22.7 15.6 8.1 1.2",
        bloom="05-08",
    ),
    "maritime": place(
        51.3,
        40,
        "2 2 3 4.5 7.5 10.5 12.5 12.5 10 7.5 4.5 2.5",
        "8 8.5 11.5 14.5 18 21 23.5 23 19.5 15.5 11 8.5",
        bloom="05-03",
    ),
    "central European": place(
        49.8,
        200,
        "-2 -1.5 1 4 8.5 11.5 13.5 13 9.5 5.5 2 -0.5",
        "3.5 5.5 10.5 15.5 20 23 25.5 25 20 14 7.5 4",
        bloom="05-01",
    ),
    "warm": place(
        38.6,
        10,
        "4 5.5 6.5 8 10.5 13 14.5 14.5 13 10 6 4",
        "12.5 16 19 22.5 27 31 33.5 33 31 25.5 18 12.5",
        bloom="04-01",
    ),
    "Alaska": place(
        61.2,
        40,
        "-13 -11.5 -8 -1.5 4.5 9 11.5 10 5.5 -2 -9 -11.5",
        "-5 -2.5 1 7 13.5 17 18.5 17.5 13 5 -3 -4",
    ),
    "Wyoming": place(
        41.3,
        2180,
        "-13 -12.5 -8.5 -5 0 4.5 8.5 7.5 2.5 -3.5 -9 -13",
        "0 1 6 10.5 16 23 27 25.5 20.5 13 5.5 0",
    ),
    "Utah": place(
        41.7,
        1370,
        "-8 -6 -1 2.5 6.5 11 15.5 15 9.5 3.5 -2 -6.5",
        "0 2.5 9 14 20 25.5 31 30 24.5 16.5 8 1",
    ),
    "Norway": place(
        60.3,
        12,
        "-2 -2.5 -0.5 2 6 9.5 11.5 11.5 8.5 5 1.5 -1",
        "2.5 3 6.5 11 16 19 20.5 19.5 15.5 10.5 6 3.5",
    ),
    "Pacific North West": place(
        45.5,
        60,
        "2.5 2.5 4 6 9 12 14.5 14.5 12 8 5 2.5",
        "8.5 11 13.5 16.5 20.5 23.5 28 28 25 18 12 8",
    ),
    "north-west Washington": place(
        48.4,
        10,
        "1.5 1.5 3 5 7.5 10 11.5 11.5 9 6 3.5 1.5",
        "8 10 12 14.5 17.5 19.5 22 22.5 20 15 10.5 7.5",
    ),
    "north-east England": place(
        54.7,
        30,
        "1 1 2 3.5 6 9 11 11 9 6.5 3.5 1.5",
        "7 7.5 9.5 12 15 17.5 20 20 17.5 13.5 9.5 7",
    ),
    "Washington foothills": place(
        47.8,
        500,
        "-5 -3.5 0 3 7 11 14 13.5 9 3.5 -1 -5",
        "0 4 10.5 16 21 25 30 30 25 16 6.5 0.5",
    ),
    "Texas": place(
        30.3,
        520,
        "1.5 3.5 7.5 11.5 16.5 20 21 21 17.5 12 6.5 2",
        "16 18 21.5 25.5 29 32.5 34.5 35 31.5 26.5 21 16.5",
    ),
    "Gulf Texas": place(
        29.3,
        2,
        "9.5 11.5 15 18.5 22.5 25.5 26.5 26.5 24.5 20.5 15 11",
        "16.5 18 21 24 27.5 30.5 31.5 32 30 26.5 21.5 18",
    ),
    "Sicily": place(
        37.5,
        50,
        "5 5 6.5 8.5 12 16 18.5 19.5 17 13.5 9.5 6.5",
        "15.5 16 18 20.5 25 29 32 32.5 29 24.5 20 16.5",
    ),
    "Manitoba": place(
        49.9,
        240,
        "-21.5 -19 -11.5 -2 5 11 14 12.5 7 0.5 -8.5 -17.5",
        "-11.5 -8.5 -1 10.5 18.5 23.5 26 25.5 19.5 11 -0.5 -9",
    ),
    "northern New Mexico": place(
        36.1,
        1750,
        "-9 -6 -2.5 1 6 11 14.5 13.5 9 2.5 -4 -8.5",
        "7 10.5 15.5 20 25 31 32 30.5 26.5 20.5 13 7.5",
    ),
    "Colorado front range": place(
        40.0,
        1650,
        "-7 -6 -2.5 1 6 11 14.5 13.5 9 3 -3 -7",
        "7.5 8.5 12.5 16.5 21.5 27.5 31 30 25.5 19 12 7",
    ),
    "Vermont": place(
        44.5,
        100,
        "-12 -11 -6 1 7.5 13 15.5 14.5 10 4 -1 -7.5",
        "-2.5 -1 4 12 19.5 24.5 27 26 21 14 7 1",
    ),
    "south-east Michigan": place(
        42.5,
        280,
        "-8.5 -8 -4 2 8 13.5 16 15 11 5 0 -5.5",
        "-0.5 1 7 14.5 20.5 26 28 27 23 16 8.5 2",
    ),
    "Hudson Valley": place(
        41.7,
        100,
        "-8.5 -7.5 -3 2.5 8.5 13.5 16.5 15.5 11 4.5 0 -5",
        "1.5 3.5 9 16 22 26.5 29 28.5 24 17.5 11 4.5",
    ),
    "Loire": place(
        47.4,
        100,
        "2 1.5 3.5 5.5 9 12 14 14 11 8.5 4.5 2.5",
        "7 8.5 12.5 15.5 19.5 23 25.5 25.5 22 17 11 7.5",
    ),
    "US South": place(
        32.7,
        150,
        "2 3.5 7 10.5 15.5 19.5 21.5 21 18 12 6.5 3",
        "14 16 20.5 25 29.5 32.5 33.5 33.5 30.5 25.5 20 15",
    ),
    "northern England": place(
        54.7,
        60,
        "1 1 2 3.5 6 9 11 11 9 6.5 3.5 1.5",
        "6.5 7 9 11.5 14.5 17.5 19.5 19.5 16.5 13 9 7",
    ),
    "Massachusetts": place(
        42.4,
        60,
        "-6.5 -5.5 -2 3.5 9 14 17.5 16.5 12.5 6.5 2 -3.5",
        "2 3.5 7.5 13.5 19.5 24.5 28 27 23 16.5 11 5",
    ),
    "Minnesota": place(
        44.9,
        260,
        "-13.5 -11.5 -4.5 2.5 9 14.5 17.5 16 11.5 4.5 -3 -10",
        "-4.5 -2 5 13.5 20.5 26 28.5 27 22 14 5 -2.5",
    ),
    "Colorado": place(
        39.1,
        1450,
        "-8 -5 0 3.5 8.5 13.5 17.5 16.5 11.5 5 -2 -7.5",
        "3.5 8 14 18.5 24 30.5 34 32.5 27.5 20 11.5 4.5",
    ),
}


@cache
def almanac_of(site: str, today: date) -> Almanac:
    return Almanac(SITES[site], None, (), today)


class Year:
    """The plan of a year by a set of templates, seen on one day of it."""

    def __init__(
        self,
        templates: Iterable[Template] = TEMPLATES,
        today: date = JANUARY,
        almanac_of: Callable[[str, date], Almanac] = almanac_of,
    ) -> None:
        """`almanac_of` makes the almanac of a site as of a day."""
        self._almanac_of = almanac_of
        self.templates = {template.id: template for template in templates}
        self.today = today
        self.season = season_of(today)

    def day(self, month_day: str) -> date:
        """The day of the season that is written "MM-DD"."""
        month, day = (int(part) for part in month_day.split("-"))
        return self.season.on(month, day)

    def steps(self, job: str) -> str:
        return " ".join(self.templates[job].steps)

    def stage(self, site: str, stage: str, species: str = "apple") -> date:
        found = self._almanac_of(site, self.today).stage(species, stage, self.season).date
        assert found is not None, f"{site}: {species} never comes to {stage}"
        return found

    def rounds(
        self, site: str, job: str, species: str = "apple", *, done_on: date | None = None, planted: int = 2005
    ) -> list[Window]:
        """The season's windows of a job, in an orchard of one tree that has what the job is about.

        `done_on` is the day on which the graft was set, or on which the wood was cut.
        """
        template = self.templates[job]
        orchard = self._orchard_for(template, species, done_on, planted)
        tasks = plan(SiteLimits(), orchard, self._almanac_of(site, self.today), [template], self.today).tasks
        return [task.window for task in tasks if task.key.split("/")[2].split(".")[0] == str(self.season.name)]

    def window(
        self, site: str, job: str, species: str = "apple", *, done_on: date | None = None, planted: int = 2005
    ) -> Window:
        """The one window of a job that does not repeat. Raises LookupError where the season has none."""
        found = self.rounds(site, job, species, done_on=done_on, planted=planted)
        if len(found) != 1:
            raise LookupError(f"{job} has {len(found)} windows for {species} at {site}")
        return found[0]

    def _orchard_for(self, template: Template, species: str, done_on: date | None, planted: int) -> Records:
        where = template.where
        state = (where.state or ("planned",))[0]
        age = 0 if where.age_years is None else where.age_years[0]
        graft = Graft(
            "g",
            "t",
            "",
            method=(where.method or ("bark",))[0],
            wrap=(where.wrap or ("PVC tape",))[0],
            state=state,
            set_on=None if state == "planned" else done_on or date(self.season.name - age, 4, 15),
            verdict=(where.verdict or ("on trial",))[0],
        )
        wood = (Wood("w", "", species, 6, cut_on=done_on),) if template.each == "wood" else ()
        here = (Graft("old", "t", "", state="bearing"),) if where.wood == TO_CUT else ()
        return Records((Tree("t", "t", species, planted=planted),), (graft, *here), wood)

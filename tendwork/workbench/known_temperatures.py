"""What the folder holds of temperatures, whom they are owed to, how old they are, and what follows from them."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.courses import ComingDay, Courses, chill_courses, coming_days, frost_days, heat_courses
from tendwork.almanac.days import Days
from tendwork.almanac.frost import has_kill_temperatures
from tendwork.almanac.results import CallusWeather, FrostNight
from tendwork.almanac.temperature import DailySeries
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.temperature_origins import Origin, read_origins
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.orchard.records import Records
from tendwork.planning.adjustments import Adjustments
from tendwork.workbench.plan_inputs import age_days, place_of, seen_of, temperatures_of
from tendwork.workbench.plan_making import species_of

COMING_DAYS = 14


class HeldFile(Struct, frozen=True):
    """One temperature file of the folder: how many days it holds, its first and last, and what is known of its origin.

    `age_days` is how long ago its service last answered; None where no service stands behind it.
    """

    name: str
    days: int
    first: date | None
    last: date | None
    is_forecast: bool = False
    age_days: int | None = None
    attribution: tuple[str, ...] = ()
    licence: tuple[str, ...] = ()


class HeldTemperatures(Struct, frozen=True):
    """All temperatures of the folder as one series, the files behind it, and what follows for the orchard.

    The series is as held; everything else is shifted by what the orchard is colder than it, `colder_by_c`.
    `frost_unknown` are the species grown of which no temperature is published that kills their buds.
    """

    today: date
    series: DailySeries | None
    files: tuple[HeldFile, ...]
    words: tuple[str, ...]
    colder_by_c: float
    coming: tuple[ComingDay, ...]
    heat: Courses
    chill: Courses
    frosts: int
    last_frost: date | None
    frost_nights: tuple[FrostNight, ...]
    frost_unknown: tuple[str, ...]
    callus: tuple[CallusWeather, ...]


def held_temperatures(
    folder: OrchardFolder, records: Records, adjustments: Adjustments, today: date
) -> HeldTemperatures:
    """What the folder holds as of `today`. Raises PersonError where a file must be mended."""
    held = temperatures_of(folder, today)
    place = place_of(folder.site, adjustments.site)
    days = Days(place, held.series, today)
    frosts, last_frost = frost_days(days, place.south)
    species = species_of(records)
    almanac = Almanac(place, held.series, seen_of(records), today)
    return HeldTemperatures(
        today=today,
        series=held.series,
        files=_files(folder, today),
        words=held.words,
        colder_by_c=place.colder_by_c,
        coming=coming_days(days, COMING_DAYS),
        heat=heat_courses(days, place.south),
        chill=chill_courses(days, place.south, place.latitude),
        frosts=frosts,
        last_frost=last_frost,
        frost_nights=almanac.frost_nights(species),
        frost_unknown=tuple(name for name in species if not has_kill_temperatures(name)),
        callus=tuple(map(almanac.callus_weather, species)),
    )


def _files(folder: OrchardFolder, today: date) -> tuple[HeldFile, ...]:
    origins = {folder.path / name: origin for name, origin in read_origins(folder.path).items()}
    files = []
    for file in folder.ranked_temperature_files():
        days = read_temperatures(file.path, file.path.name, file.fahrenheit).days
        origin = origins.get(file.path, Origin())
        files.append(
            HeldFile(
                name=file.path.name,
                days=len(days),
                first=min(days, default=None),
                last=max(days, default=None),
                is_forecast=file.is_forecast,
                age_days=age_days(origin, folder.site.timezone, today),
                attribution=origin.attribution,
                licence=origin.licence,
            )
        )
    return tuple(files)

"""Where the orchard stands, and what its people know by heart."""

from __future__ import annotations

from msgspec import Struct

LAPSE_C_PER_M = 0.0065  # standard atmosphere


class UsualDate(Struct, frozen=True):
    """The day on which a stage usually comes here, as the person knows it; good to about five days."""

    species: str
    stage: str
    month: int
    day: int


class Place(Struct, frozen=True):
    """One site. The three `colder` values set it against its temperature series: positive is colder, or later."""

    latitude: float
    elevation_m: float | None = None
    normals_min_c: tuple[float, ...] | None = None
    normals_max_c: tuple[float, ...] | None = None
    usual_dates: tuple[UsualDate, ...] = ()
    colder_degrees_c: float = 0.0
    colder_elevation_m: float = 0.0
    colder_days: float = 0.0

    @property
    def south(self) -> bool:
        return self.latitude < 0

    @property
    def colder_by_c(self) -> float:
        """How much colder than the series the air here is, in °C."""
        return self.colder_degrees_c + LAPSE_C_PER_M * self.colder_elevation_m

"""Which coming nights can hurt the buds: the forecast minimum against the published kill temperature of the stage then.

Published values are for buds held half an hour at that temperature, of one or two varieties; a hollow in the ground,
dew and wind make the buds colder or warmer than the thermometer. They warn; they do not promise.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.almanac.results import FrostNight
from tendwork.species import bbch

_MSU = "MSU Extension table of WSU bulletins"
_SOURCES = {
    "apple": f"{_MSU} (EB0913, Red Delicious)",
    "pear": f"{_MSU} (EB0978, Bartlett)",
    "plum": f"{_MSU} (European plum and prune)",
    "japanese plum": f"{_MSU} (values of European plum: none are published for japanese plum)",
    "sweet cherry": f"{_MSU} (EB1128)",
    "sour cherry": "Intermountain Fruit, tart cherry",
    "peach": f"{_MSU} (EB0914)",
    "apricot": f"{_MSU} (EB1240)",
}

# Stage -> temperatures that kill 10 % and 90 % of the buds, in °F as published; None where no value is.
_Table = dict[str, tuple[int, int | None]]
_PLUM_F: _Table = {
    "swollen bud": (14, 0),
    "bud burst": (17, 3),
    "tip green": (20, 7),
    "green cluster": (24, 16),
    "white bud": (26, 22),
    "first bloom": (27, 23),
    "full bloom": (28, 23),
    "petal fall": (28, 23),
}
_KILL_F: dict[str, _Table] = {
    "apple": {
        "silver tip": (15, 2),
        "green tip": (18, 10),
        "half-inch green": (23, 15),
        "tight cluster": (27, 21),
        "pink": (28, 24),
        "full pink": (28, 25),
        "first bloom": (28, 25),
        "full bloom": (28, 25),
        "petal fall": (28, 25),
    },
    "pear": {
        "swollen bud": (15, 0),
        "bud burst": (20, 6),
        "green cluster": (24, 15),
        "white bud": (25, 19),
        "full white": (26, 22),
        "first bloom": (27, 23),
        "full bloom": (28, 24),
        "petal fall": (28, 24),
    },
    "plum": _PLUM_F,
    "japanese plum": _PLUM_F,
    "sweet cherry": {
        "swollen bud": (17, 5),
        "side green": (22, 9),
        "green tip": (25, 14),
        "tight cluster": (26, 17),
        "open cluster": (27, 21),
        "white bud": (27, 24),
        "first bloom": (28, 25),
        "full bloom": (28, 25),
        "petal fall": (28, 25),
    },
    "sour cherry": {
        "swollen bud": (15, 0),
        "side green": (24, 10),
        "green tip": (26, 22),
        "tight cluster": (26, 24),
        "open cluster": (28, 26),
        "white bud": (28, 24),
        "first bloom": (28, 24),
        "full bloom": (28, 25),
        "petal fall": (28, 25),
    },
    "peach": {
        "swollen bud": (18, 1),
        "half-inch green": (21, 5),
        "calyx red": (23, 9),
        "pink": (25, 15),
        "first bloom": (26, 21),
        "full bloom": (27, 24),
        "petal fall": (28, 25),
    },
    "apricot": {
        "swollen bud": (15, None),
        "tips separate": (20, 0),
        "calyx red": (22, 9),
        "first white": (24, 14),
        "first bloom": (25, 19),
        "full bloom": (27, 22),
        "in the shuck": (27, 24),
        "green fruit": (28, 25),
    },
}
_FROM_MEMORY = {("sour cherry", "side green"), ("sour cherry", "open cluster")}
_GROWTH_ENDS_BBCH = 91


class Kill(Struct, frozen=True):
    """Temperatures that kill 10 % and 90 % of the buds within half an hour, and where they come from."""

    kill10_c: float
    kill90_c: float | None
    source: str


def kill_temperatures(species: str, stage: str) -> Kill | None:
    """What kills buds of `species` at `stage`, in °C; None for dormant buds, for autumn, and where none are published.

    A stage without published values takes those of the next stage that has some, which are the more careful ones; young
    fruit takes the last ones. The source says so. Raises KeyError for a stage that the species does not have.
    """
    table = _KILL_F.get(species)
    code = bbch(species, stage)
    if table is None or code == 0 or code >= _GROWTH_ENDS_BBCH:
        return None
    source = _SOURCES[species]
    standing_in = stage
    if stage not in table:
        standing_in = next((other for other in table if bbch(species, other) >= code), next(reversed(table)))
        source += f"; {standing_in} stands for {stage}"
    if (species, standing_in) in _FROM_MEMORY:
        source = "from memory, no page seen"
    low, high = table[standing_in]
    return Kill(_celsius(low), None if high is None else _celsius(high), source)


def has_kill_temperatures(species: str) -> bool:
    """Whether any are published for the species; a species without them gives no frost night."""
    return species in _KILL_F


def frost_nights(species: str, nights: Iterable[tuple[date, float, str]]) -> tuple[FrostNight, ...]:
    """Of (night, forecast minimum in °C, stage then), those at or below the temperature that kills 10 % of the buds."""
    found = []
    for night, tmin_c, stage in nights:
        kill = kill_temperatures(species, stage)
        if kill is not None and tmin_c <= kill.kill10_c:
            found.append(FrostNight(night, species, stage, tmin_c, kill.kill10_c, kill.kill90_c, kill.source))
    return tuple(found)


def _celsius(fahrenheit: int) -> float:
    return round((fahrenheit - 32) / 1.8, 1)

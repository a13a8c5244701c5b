"""What is usual at the place, month by month: the measure for a file that does not say its unit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

_LEAST_DAYS = 15  # of a month, before the days held say what is usual in it
_SOME_YEARS_DAYS = 100  # days of a month that make its mean as good as a normal
_FEW_YEARS_UNCERTAIN_C = 4.0  # our own choice: as far as a single month may easily be from its normal


class UsualMonth(Struct, frozen=True):
    """The mean of a month over the years, its mean daily range, and how far the mean may be off, being of few years."""

    mean_c: float
    range_c: float
    uncertain_c: float = 0.0


class Usual(Struct, frozen=True):
    """The twelve months, January first, None where nothing is known. `origin` says in words whence they are.

    `south` is None where it is not known on which half of the Earth the place lies.
    """

    south: bool | None = None
    months: tuple[UsualMonth | None, ...] = (None,) * 12
    origin: str = ""


def usual_of(
    south: bool, normals: tuple[Sequence[float], Sequence[float]] | None, held: Iterable[tuple[date, float, float]]
) -> Usual:
    """The best that is known: months of some years held, else the (minima, maxima) of the normals, else fewer days."""
    sums = [[0, 0.0, 0.0] for _ in range(12)]
    for day, low, high in held:
        month = sums[day.month - 1]
        month[0] += 1
        month[1] += low
        month[2] += high
    months: list[UsualMonth | None] = []
    origins: dict[str, None] = {}
    for at, (days, lows, highs) in enumerate(sums):
        if normals is not None and days < _SOME_YEARS_DAYS:
            low, high = normals[0][at], normals[1][at]
            months.append(UsualMonth((low + high) / 2, high - low))
            origins["the normals in site.toml"] = None
        elif days >= _LEAST_DAYS:
            uncertain = 0.0 if days >= _SOME_YEARS_DAYS else _FEW_YEARS_UNCERTAIN_C
            months.append(UsualMonth((lows + highs) / (2 * days), (highs - lows) / days, uncertain))
            origins["the days held"] = None
        else:
            months.append(None)
    return Usual(south, tuple(months), " and ".join(origins))

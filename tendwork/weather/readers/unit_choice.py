"""The unit of a file between what the file states, what the person says, and what is usual at the place."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date

from msgspec import Struct

from tendwork.errors import located
from tendwork.weather.readers.unit_plausibility import plausible_unit, unlikely_words
from tendwork.weather.readers.usual import Usual
from tendwork.weather.readers.values import UNIT_NAMES, Unit


class UnitChoice(Struct, frozen=True):
    """What the person says, None if nothing, and what is usual at the place, which is asked only where it matters."""

    asked: Unit | None
    usual: Callable[[], Usual]

    def agrees(self, name: str, line: int, stated: Unit, where: str) -> None:
        """Raises PersonError where the person says another unit than the file does."""
        if self.asked is not None and self.asked != stated:
            raise located(
                name,
                f"the file says {UNIT_NAMES[stated]} ({where}), but --unit says {UNIT_NAMES[self.asked]}",
                line=line,
                remedy="Leave --unit away, or mend the file if what it says is wrong",
            )

    def unit(self, name: str, line: int, days: Iterable[tuple[date, float, float]]) -> tuple[Unit, str]:
        """The unit of a file that states none, and a sentence with the ground for it. Raises PersonError."""
        if self.asked is None:
            return plausible_unit(name, line, days, self.usual())
        doubt = unlikely_words(days, self.asked, self.usual())
        said = f"The file does not say its unit; taken as {UNIT_NAMES[self.asked]}, because --unit says so."
        return self.asked, f"{said} {doubt}".rstrip()

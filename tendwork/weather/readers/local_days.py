"""Readings of the hours gathered into civil days of the place, and which of those days are whole enough to count."""

from __future__ import annotations

from datetime import date

from tendwork.weather.readers.gathering import Gathering

# Common practice, no source: the minimum falls near sunrise and the maximum after noon, so both must be in the day.
_NIGHT = sum(1 << hour for hour in range(3, 7))
_AFTERNOON = sum(1 << hour for hour in range(13, 17))


class LocalDays:
    """Extremes in °C by local date. A day of 23 or 25 hours is one day like any other."""

    def __init__(self, least_hours: int = 20) -> None:
        self.least_hours = least_hours
        self.readings = 0
        self._days: dict[date, tuple[float, float, int, int]] = {}  # lowest, highest, hours as bits, line

    def add(self, line: int, day: date, hour: int, low: float, high: float) -> None:
        """One reading, or the extremes of one interval, in the hour 0-23 of the local clock."""
        self.readings += 1
        held = self._days.get(day)
        if held is None:
            self._days[day] = (low, high, 1 << hour, line)
        else:
            lowest, highest, hours, first = held
            self._days[day] = (
                low if low < lowest else lowest,
                high if high > highest else highest,
                hours | 1 << hour,
                first,
            )

    def into(self, gathering: Gathering) -> str:
        """Add the whole days to `gathering`; the sentence that says how many are not whole, or nothing.

        Raises PersonError if none is whole.
        """
        incomplete = []
        for day, (low, high, hours, line) in sorted(self._days.items()):
            if hours.bit_count() >= self.least_hours and hours & _NIGHT and hours & _AFTERNOON:
                gathering.add(line, day, low, high)
            else:
                incomplete.append(day)
        gathering.accepted += self.readings
        if not incomplete:
            return ""
        need = f"a day needs {self.least_hours} of 24 hours, night and afternoon among them"
        days = "1 day is" if len(incomplete) == 1 else f"{len(incomplete)} days are"
        if len(incomplete) == len(self._days):
            raise gathering.fault(
                f"no day is whole, as {days} incomplete", self._days[incomplete[0]][3], need.capitalize()
            )
        return f"{days} incomplete and left out, the first {incomplete[0]}: {need}."

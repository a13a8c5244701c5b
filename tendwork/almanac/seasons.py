"""The orchard's year: from 1 November in the north, from 1 May in the south, named by the year of its spring."""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct

_SHIFT_MONTHS = 6


class Season(Struct, frozen=True):
    """One orchard year. `name` is the year in which its spring falls."""

    name: int
    south: bool = False

    @property
    def start(self) -> date:
        return date(self.name, 5, 1) if self.south else date(self.name - 1, 11, 1)

    @property
    def end(self) -> date:
        """Its last day."""
        return date(self.name + 1, 4, 30) if self.south else date(self.name, 10, 31)

    @property
    def following(self) -> Season:
        return Season(self.name + 1, self.south)

    @property
    def previous(self) -> Season:
        return Season(self.name - 1, self.south)

    def __contains__(self, day: date) -> bool:
        return _name_of(day, self.south) == self.name

    def on(self, month: int, day: int) -> date:
        """The date of a month and day that are written for the north, moved by six months in the south.

        29 February, and a 31st moved into a shorter month, become the last day of their month.
        """
        if self.south:
            month = (month - 1 + _SHIFT_MONTHS) % 12 + 1
            year = self.name if month >= 5 else self.name + 1
        else:
            year = self.name - 1 if month >= 11 else self.name
        return date(year, month, min(day, _days_in(year, month)))

    def on_written(self, month_day: str) -> date:
        """As `on`, of a date that is written "MM-DD"."""
        month, day = (int(part) for part in month_day.split("-"))
        return self.on(month, day)


def season_of(day: date, south: bool = False) -> Season:
    """The season that `day` falls in."""
    return Season(_name_of(day, south), south)


def _name_of(day: date, south: bool) -> int:
    if south:
        return day.year if day.month >= 5 else day.year - 1
    return day.year + 1 if day.month >= 11 else day.year


def _days_in(year: int, month: int) -> int:
    following = date(year + month // 12, month % 12 + 1, 1)
    return (following - timedelta(days=1)).day

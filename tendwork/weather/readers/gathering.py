"""The days of one file as they come in: checked, told apart, counted, and summed up in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tendwork.almanac.temperature import HIGHEST_C, LOWEST_C
from tendwork.errors import PersonError, located
from tendwork.plain_text import plain
from tendwork.weather.readers.reading import DatedMinMax, Reading, missing_between

BEYOND = f"outside {LOWEST_C:g} to {HIGHEST_C:g} °C"
CROSSED = "with the minimum above the maximum"
DOUBLED = "of a day already read"
FLAGGED = "flagged as bad by the source"
UNREADABLE = "not understood"
_LONGEST_REASON = 200  # characters: it quotes the file
_MOST_KEPT = 1000  # rejected lines of one kind
_MISREAD = frozenset({BEYOND, CROSSED, UNREADABLE})  # many of these mean that the file is not what it was taken for


class Gathering:
    """Collects the days of one file or answer called `name`, whose items are counted as `item` ("line", "entry")."""

    def __init__(self, name: str, item: str = "line") -> None:
        self.name = name
        self.item = item
        self.accepted = 0
        self._held: dict[date, tuple[float, float, int]] = {}
        self._halves: dict[date, int] = {}
        self._blank = 0
        self._rejected: list[tuple[int, str]] = []
        self._kinds: dict[str, list[int]] = {}  # kind -> [how many, index of the first in _rejected]

    def add(self, line: int, day: date, low: float | None, high: float | None) -> None:
        """A day's minimum and maximum in °C; None where the file has no value."""
        if low is None or high is None:
            if low is not None or high is not None:
                self._halves.setdefault(day, line)
            else:
                self._blank += 1
        elif not (LOWEST_C <= low <= HIGHEST_C and LOWEST_C <= high <= HIGHEST_C):
            self.reject(
                line, BEYOND, f"{day}: {low:g} and {high:g} °C are not both between {LOWEST_C:g} and {HIGHEST_C:g}"
            )
        elif low > high:
            self.reject(line, CROSSED, f"{day}: the minimum of {low:g} °C is above the maximum of {high:g} °C")
        elif day in self._held:
            self.double(line, day, self._held[day][2])
        else:
            self._held[day] = (low, high, line)
            self.accepted += 1

    def double(self, line: int, day: date, first: int) -> None:
        """A day, or a value of it, that stands on line `first` already."""
        self.reject(line, DOUBLED, f"{day} stands on {self.item} {first} already, which is kept")

    def reject(self, line: int, kind: str, why: str) -> None:
        """Set one line, or one value of it, aside. All are counted; the first thousand of a kind are kept."""
        count = self._kinds.setdefault(kind, [0, len(self._rejected)])
        count[0] += 1
        if count[0] > _MOST_KEPT:
            return
        self._rejected.append((line, plain(why)[:_LONGEST_REASON]))

    def reading(self, form: str, unit: str, words: Sequence[str] = (), attribution: str = "") -> Reading:
        """The reading of all that was added. Raises PersonError if nothing can be used, or less than cannot."""
        misread = sum(count for kind, (count, _) in self._kinds.items() if kind in _MISREAD)
        if not self._held or misread > self.accepted:
            raise self._refusal(form, misread)
        days = sorted(self._held)
        rows = tuple(DatedMinMax(day, *self._held[day][:2]) for day in days)
        gaps = missing_between(rows)
        return Reading(
            format=form,
            unit=unit,
            rows=rows,
            gaps=gaps,
            rejected=tuple(self._rejected),
            words=(
                f"{plain(self.name)} is read as {form}, in {unit}.",
                _span_words(rows, gaps),
                *([f"No value at all: {_counted(self._blank, 'day', 'days')}."] if self._blank else []),
                *self._half_words(),
                *self._rejected_words(),
                *(word for word in words if word),
            ),
            attribution=attribution,
        )

    def _refusal(self, form: str, misread: int) -> PersonError:
        if not self._rejected:
            what = f"no day, read as {form}, has both a minimum and a maximum"
            line = min(self._halves.values(), default=1)
            return self.fault(what, line, "")
        _, first = min(self._kinds.values(), key=lambda count: -count[0])
        line, why = self._rejected[first]
        how_many = (
            f"{misread or sum(count for count, _ in self._kinds.values())} {self.item}s against {self.accepted} of use"
        )
        return self.fault(
            f"this does not work out as {form}: {how_many}; the first: {why}",
            line,
            "Check the unit, and which column holds the minimum and which the maximum",
        )

    def fault(self, what: str, number: int, remedy: str) -> PersonError:
        """What is wrong with a line or entry."""
        if self.item == "line":
            return located(self.name, what, line=number, remedy=remedy)
        return located(self.name, what, key=f"{self.item} {number}", remedy=remedy)

    def _half_words(self) -> list[str]:
        halves = {day: line for day, line in self._halves.items() if day not in self._held}
        if not halves:
            return []
        line = min(halves.values())
        return [
            f"Only a minimum or only a maximum: {_counted(len(halves), 'day', 'days')}, "
            f"the first on {self.item} {line}; such a day counts as missing."
        ]

    def _rejected_words(self) -> list[str]:
        words = []
        for kind, (count, first) in self._kinds.items():
            line, why = self._rejected[first]
            lead = "Set aside" if count == 1 else f"Set aside, {count} {kind}, the first"
            words.append(f"{lead}: {self.item} {line}, {why}.")
        return words


def _span_words(rows: Sequence[DatedMinMax], gaps: int) -> str:
    days = _counted(len(rows), "day", "days")
    between = f"{_counted(gaps, 'day is', 'days are')} missing in between" if gaps else "no day is missing in between"
    if len(rows) == 1:
        return f"{days}, {rows[0][0]}."
    return f"{days} from {rows[0][0]} to {rows[-1][0]}; {between}."


def _counted(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"

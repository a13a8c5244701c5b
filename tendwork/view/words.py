"""Days, spans, minutes and temperatures in the words that every front uses. `today` is always an argument."""

from __future__ import annotations

import re
from datetime import date

from tendwork.orchard.rough_dates import MONTHS, Noted, RoughDate, rough_words
from tendwork.orchard.wording import counted
from tendwork.planning.day_format import WEEKDAYS, full_day, short_day
from tendwork.planning.results import Task, TaskState, Window

__all__ = [
    "away_words", "counted", "format_day", "full_day", "in_units", "length_words", "minutes_words", "month_words",
    "short_day", "span_words", "state_words", "temperature_words", "until_short", "until_words",
]  # fmt: skip

_WEEKS_FROM_DAYS = 21
_CELSIUS = re.compile(r"(-?\d+(?:\.\d+)?)(?: to (-?\d+(?:\.\d+)?))? °C")
_METRES = re.compile(r"(\d+(?:\.\d+)?) m\b")
_FEET_IN_A_METRE = 1 / 0.3048


def format_day(day: date, today: date) -> str:
    """ "Thu 12 Mar", with the year where the day is half a year or more away."""
    return f"{WEEKDAYS[day.weekday()]} {short_day(day, today)}"


def month_words(noted: Noted) -> str:
    """ "Mar 2026", or "2026" where that is all that is known."""
    return rough_words(RoughDate(noted.year, noted.month))


def fruit_year_words(year: int, south: bool) -> str:
    """ "2026", in the south "2026/27": a fruit year is named by its spring, and there it ends in the next year."""
    return f"{year}/{(year + 1) % 100:02d}" if south else str(year)


def span_words(first: date, last: date) -> str:
    """ "9-20 Apr", "28 Mar-3 Apr", "12 Mar" where both are one day."""
    end = f"{last.day} {MONTHS[last.month - 1]}"
    if first == last:
        return end
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}-{end}"
    return f"{first.day} {MONTHS[first.month - 1]}-{end}"


def away_words(day: date, today: date) -> str:
    """ "today", "tomorrow", "in 3 days", "in 5 weeks", "3 days ago"."""
    days = (day - today).days
    if days in (-1, 0, 1):
        return ("yesterday", "today", "tomorrow")[days + 1]
    return f"in {length_words(days)}" if days > 0 else f"{length_words(-days)} ago"


def length_words(days: int) -> str:
    """ "1 day", "3 days", "5 weeks" from three weeks on."""
    if days >= _WEEKS_FROM_DAYS:
        return counted(round(days / 7), "week")
    return counted(days, "day")


def minutes_words(minutes: float) -> str:
    """ "45 min", "1 h", "1 h 20"; part minutes count as whole ones."""
    whole = -int(-minutes // 1)
    if whole < 60:
        return f"{whole} min"
    hours, rest = divmod(whole, 60)
    return f"{hours} h" if rest == 0 else f"{hours} h {rest:02d}"


def temperature_words(celsius: float, units: str) -> str:
    """ "-2.5 °C", or the same in °F where `units` is "us"."""
    return f"{celsius * 1.8 + 32:.0f} °F" if units == "us" else f"{celsius:.1f} °C"


def in_units(text: str, units: str) -> str:
    """A phrase with its temperatures and metres turned to °F and feet where `units` is "us"."""
    return _METRES.sub(_feet, _CELSIUS.sub(_fahrenheit, text)) if units == "us" else text


def until_words(task: Task, today: date) -> str:
    """What the window means today in one phrase: "3 days late, worth doing until 20 Apr"; and to when it is put off."""
    said = state_words(task.state, task.window, today, _done_on(task), whole=True, held_until=_held_until(task))
    return said if task.put_off is None else f"{said}, put off to {format_day(task.put_off, today)}"


def until_short(task: Task, today: date) -> str:
    """The same in some fourteen columns: "3 days late", "2 days left", "until 20 Apr"."""
    return state_words(task.state, task.window, today, _done_on(task), whole=False, held_until=_held_until(task))


def state_words(
    state: TaskState, window: Window, today: date, done_on: date | None, *, whole: bool, held_until: date | None = None
) -> str:
    """A state and its window as a phrase; `whole` adds what there is to know beside it.

    What is held back may be done from `held_until` on.
    """
    if state == "held":
        return _held_words(window, today, held_until, whole)
    if state in ("done", "skipped"):
        return state if done_on is None else f"{state} {short_day(done_on, today)}"
    if state == "missed":
        return f"missed {short_day(window.lapses, today)}" + _aside(whole, "no longer worth doing")
    if state == "coming":
        return f"from {short_day(window.opens, today)}" + _aside(whole, away_words(window.opens, today), _range(window))
    if state == "late":
        late = f"{length_words((today - window.closes).days)} late"
        if window.is_overdue(today):
            return late + _aside(whole, "stays here until you say that the wrap is off")
        last = f"overdue from {short_day(window.lapses, today)}" if window.stays else ""
        if not window.stays and window.lapses > window.closes:
            last = f"worth doing until {short_day(window.lapses, today)}"
        return late + _aside(whole, last)
    left = (window.closes - today).days
    if state == "closing" and not whole:
        return "last day today" if left == 0 else f"{length_words(left)} left"
    until = f"until {format_day(window.closes, today) if whole else short_day(window.closes, today)}"
    return until + _aside(whole, "the last day" if left == 0 else f"{length_words(left)} left")


def _held_words(window: Window, today: date, until: date | None, whole: bool) -> str:
    """ "from 11 Jun" or "1 Jun 2027", which fits a line; as a whole "held back until Thu 11 Jun, 3 days late"."""
    if not whole:
        day = "" if until is None else short_day(until, today)
        return "held back" if until is None else day if day.endswith(str(until.year)) else f"from {day}"
    said = "held back" if until is None else f"held back until {format_day(until, today)}"
    if today > window.closes:
        late = length_words((today - window.closes).days)
        said += f", {late} overdue" if window.is_overdue(today) else f", {late} late"
    if until is not None and until > window.worth_until:
        return f"{said}, which is after its last useful day {short_day(window.worth_until, today)}"
    return said if today > window.closes else f"{said}, closes {short_day(window.closes, today)}"


def _held_until(task: Task) -> date | None:
    """The first day on which one of the units that are held back may be done."""
    return min((unit.held_until for unit in task.units if unit.held_until is not None), default=None)


def _aside(whole: bool, *phrases: str) -> str:
    kept = [phrase for phrase in phrases if phrase]
    return f", {', '.join(kept)}" if whole and kept else ""


def _range(window: Window) -> str:
    low, high = window.opens_low, window.opens_high
    return f"the buds allow {span_words(low, high)}" if low is not None and high is not None and low != high else ""


def _done_on(task: Task) -> date | None:
    return max((unit.done_on for unit in task.units if unit.done_on is not None), default=None)


def _fahrenheit(found: re.Match[str]) -> str:
    low, high = found.groups()
    words = f"{float(low) * 1.8 + 32:.0f}"
    return f"{words} to {float(high) * 1.8 + 32:.0f} °F" if high else f"{words} °F"


def _feet(found: re.Match[str]) -> str:
    return f"{float(found.group(1)) * _FEET_IN_A_METRE:.1f} ft"


def site_place_words(latitude: float, longitude: float, elevation_m: float | None) -> str:
    """Where an orchard stands, in degrees and metres: "52.1° N, 3.0° W, 240 m"."""
    north = f"{abs(latitude):.1f}° {'S' if latitude < 0 else 'N'}"
    east = f"{abs(longitude):.1f}° {'W' if longitude < 0 else 'E'}"
    return f"{north}, {east}" + ("" if elevation_m is None else f", {elevation_m:.0f} m")

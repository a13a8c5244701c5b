"""Temperatures in words and as JSON: what is held and whose it is, the last and coming days, the season so far."""

from __future__ import annotations

from datetime import date
from itertools import groupby
from typing import Any, Protocol

import msgspec

from tendwork.almanac.courses import ComingDay, Courses
from tendwork.almanac.results import CallusWeather, FrostNight
from tendwork.almanac.temperature import FORECAST, INTERPOLATED, MEASURED, USUAL, DailySeries
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import counted, format_day, full_day, in_units, short_day, temperature_words

HOW_KNOWN = {MEASURED: "measured", FORECAST: "forecast", INTERPOLATED: "interpolated", USUAL: "usual"}
NO_FORECAST = "No forecast is on file, so it is unknown whether a coming night hurts the buds."
_LEAST_COLUMNS = 40
_LAST_DAYS = 7
_SHOWN_GAPS = 5
_FAHRENHEIT_DEGREES = 1.8


class HeldFile(Protocol):
    """One temperature file, and whose data it holds."""

    @property
    def name(self) -> str: ...
    @property
    def days(self) -> int: ...
    @property
    def first(self) -> date | None: ...
    @property
    def last(self) -> date | None: ...
    @property
    def is_forecast(self) -> bool: ...
    @property
    def age_days(self) -> int | None: ...
    @property
    def attribution(self) -> tuple[str, ...]: ...
    @property
    def licence(self) -> tuple[str, ...]: ...


class HeldTemperatures(Protocol):
    """What the workbench says of temperatures; see there for the fields."""

    @property
    def today(self) -> date: ...
    @property
    def series(self) -> DailySeries | None: ...
    @property
    def files(self) -> tuple[HeldFile, ...]: ...
    @property
    def words(self) -> tuple[str, ...]: ...
    @property
    def colder_by_c(self) -> float: ...
    @property
    def coming(self) -> tuple[ComingDay, ...]: ...
    @property
    def heat(self) -> Courses: ...
    @property
    def chill(self) -> Courses: ...
    @property
    def frosts(self) -> int: ...
    @property
    def last_frost(self) -> date | None: ...
    @property
    def frost_nights(self) -> tuple[FrostNight, ...]: ...
    @property
    def frost_unknown(self) -> tuple[str, ...]: ...
    @property
    def callus(self) -> tuple[CallusWeather, ...]: ...


def temperatures_text(held: HeldTemperatures, units: str, width: int) -> str:
    """`temps show`."""
    columns = max(width, _LEAST_COLUMNS)
    lines = source_lines(held, columns)
    if held.series is not None:
        lines += ["", "The last days: minimum, maximum", *_last_days(held, units)]
    lines += ["", *wrapped("The days to come: minimum, maximum, and the range of each", columns)]
    lines += [_coming_line(day, held.today, units) for day in held.coming]
    lines += wrapped("A range holds the day in 8 years of 10.", columns, "  ")
    lines += ["", "The season so far", *_season_lines(held, units, columns)]
    lines += ["", "Frost", *frost_lines(held, units, columns)]
    lines += ["", "Callus", *callus_lines(held, units, columns)]
    notes = [line for sentence in held.words for line in wrapped(plain(sentence), columns, "  - ")]
    return "\n".join([*lines, *(["", "To know:", *notes] if notes else [])])


def temperatures_shape(held: HeldTemperatures) -> dict[str, Any]:
    """`temps show --json`: in °C always; `how` is measured, forecast, interpolated or usual."""
    series = held.series
    return {
        "today": held.today.isoformat(),
        "files": [
            {
                "name": file.name,
                "days": file.days,
                "first": _iso(file.first),
                "last": _iso(file.last),
                "forecast": file.is_forecast,
                "age_days": file.age_days,
                "attribution": list(file.attribution),
                "licence": list(file.licence),
            }
            for file in held.files
        ],
        "days": [] if series is None else _days_shape(series),
        "gaps": [] if series is None else [_gap_shape(*gap) for gap in gaps(series)],
        "coming": [
            {
                "date": day.day.isoformat(),
                "how": "forecast" if day.is_forecast else "usual",
                "tmin_c": _spread_shape(day.tmin_c),
                "tmax_c": _spread_shape(day.tmax_c),
            }
            for day in held.coming
        ],
        "heat": _courses_shape(held.heat),
        "chill": _courses_shape(held.chill),
        "frost": {
            "nights": held.frosts,
            "nights_known": held.series is not None,
            "last": _iso(held.last_frost),
            "forecast_to": _iso(_forecast_to(held)),
            "coming": [msgspec.to_builtins(night) for night in held.frost_nights],
            "unknown": list(held.frost_unknown),
        },
        "callus": [msgspec.to_builtins(weather) for weather in held.callus],
        "words": list(held.words),
    }


def source_lines(held: HeldTemperatures, columns: int) -> list[str]:
    """The files with their age and whose data they hold, then how the days are known and which are missing."""
    lines = [line for file in held.files for line in _file_lines(file, columns)]
    if held.series is not None:
        return [*lines, "", *_span_lines(held.series, columns)]
    say = "No temperatures are held. `tendwork temps add FILE` takes them in from a file, `tendwork temps fetch` from"
    return [*lines, *wrapped(f"{say} a weather service that site.toml names.", columns)]


def gaps(series: DailySeries) -> tuple[tuple[date, date], ...]:
    """(first, last) of each run of days within the series that no source gives."""
    found, ordinal = [], series.first_day.toordinal()
    for is_missing, run in groupby(series.marks, key=lambda mark: mark in (INTERPOLATED, USUAL)):
        length = len(list(run))
        if is_missing:
            found.append((date.fromordinal(ordinal), date.fromordinal(ordinal + length - 1)))
        ordinal += length
    return tuple(found)


def coldest_frost_sentence(nights: tuple[FrostNight, ...], today: date, units: str) -> str:
    """The coldest night of one or more that reach a kill temperature, and which buds it can hurt."""
    night = min(nights, key=lambda night: night.tmin_c)
    harmed = ", ".join(f"{other.species} at {other.stage}" for other in nights if other.night == night.night)
    kill = temperature_words(max(other.kill10_c for other in nights if other.night == night.night), units)
    cold = temperature_words(night.tmin_c, units)
    return f"{format_day(night.night, today)}, {cold} is forecast: {harmed} can be hurt from {kill} down."


def _forecast_to(held: HeldTemperatures) -> date | None:
    """The last day to come that is forecast; None where no forecast is on file."""
    return max((day.day for day in held.coming if day.is_forecast), default=None)


def _file_lines(file: HeldFile, columns: int) -> list[str]:
    span = "" if file.first is None or file.last is None else f", {full_day(file.first)} to {full_day(file.last)}"
    age = "" if file.age_days is None else f"; as of {_age_words(file.age_days)}"
    lines = wrapped(f"{plain(file.name)}: {counted(file.days, 'day')}{span}{age}", columns)
    if file.attribution:
        lines += wrapped(plain(". ".join((*file.attribution, *file.licence))) + ".", columns, "  ")
    return lines


def _age_words(days: int) -> str:
    return "today" if days <= 0 else f"{counted(days, 'day')} ago"


def _span_lines(series: DailySeries, columns: int) -> list[str]:
    known = ", ".join(f"{series.marks.count(mark)} {word}" for mark, word in HOW_KNOWN.items() if mark in series.marks)
    lines = wrapped(f"{full_day(series.first_day)} to {full_day(series.last_day)}: {known}.", columns)
    holes = gaps(series)
    if holes:
        shown = ", ".join(str(first) if first == last else f"{first} to {last}" for first, last in holes[-_SHOWN_GAPS:])
        lead = f"{counted(len(holes), 'gap')}, the last" if len(holes) > _SHOWN_GAPS else counted(len(holes), "gap")
        lines += wrapped(f"{lead}: {shown}.", columns)
    return lines


def _last_days(held: HeldTemperatures, units: str) -> list[str]:
    series, lines = held.series, []
    assert series is not None
    last = min(held.today, series.last_day).toordinal()
    for ordinal in range(last - _LAST_DAYS + 1, last + 1):
        day = date.fromordinal(ordinal)
        found = series.day(day)
        if found is not None:
            low, high, mark = found
            shown = _cells(temperature_words(low, units), temperature_words(high, units))
            lines.append(f"  {padded(format_day(day, held.today), 11)}{shown}  {HOW_KNOWN[mark]}")
    return lines


def _coming_line(day: ComingDay, today: date, units: str) -> str:
    shown = _cells(temperature_words(day.tmin_c[0], units), temperature_words(day.tmax_c[0], units))
    how = "forecast"
    if not day.is_forecast:
        how = f"usual; {_range_words(day.tmin_c, units)}, {_range_words(day.tmax_c, units)}"
    return f"  {padded(format_day(day.day, today), 11)}{shown}  {how}"


def _cells(*words: str) -> str:
    return "".join(padded(word, 9, right=True) for word in words)


def _range_words(spread: tuple[float, float, float], units: str) -> str:
    low, high = (round(value * 1.8 + 32 if units == "us" else value) for value in spread[1:])
    return f"{low} to {high}"


def _season_lines(held: HeldTemperatures, units: str, columns: int) -> list[str]:
    lines = [
        *wrapped(f"heat: {heat_words(held.heat, units)}", columns, "  ", "    "),
        *wrapped(f"chill: {chill_words(held.chill)}", columns, "  ", "    "),
    ]
    return lines + shift_lines(held, units, columns)


def shift_lines(held: HeldTemperatures, units: str, columns: int) -> list[str]:
    """What the orchard is colder or warmer than the series, where it is."""
    lines: list[str] = []
    degree, factor = _degree(units)
    if held.colder_by_c:
        shift = f"{abs(held.colder_by_c) * factor:.1f} {degree} {'colder' if held.colder_by_c > 0 else 'warmer'}"
        lines += wrapped(
            f"Days to come, heat, chill and frost are those of the orchard, {shift} than what is held.", columns, "  "
        )
    return lines


def heat_words(courses: Courses, units: str) -> str:
    """ "79 degree-days (°C) above 5 °C from Thu 1 Jan 2026 to Wed 11 Mar 2026; rank 7 of 13 seasons, ..."."""
    degree, factor = _degree(units)
    base = temperature_words(5.0, units).replace(".0", "")
    return _course_words(courses, f"degree-days ({degree}) above {base}", factor)


def chill_words(courses: Courses) -> str:
    """The same of chill, in portions of the Dynamic Model."""
    return _course_words(courses, "portions (Dynamic Model)", 1.0)


def course_heading(name: str, courses: Courses, units: str) -> str:
    """ "Heat 79 degree-days above 5 °C since 1 Jan; others 37 to 141, rank 7 of 13", in one line of a narrow screen."""
    heat = f"degree-days above {temperature_words(5.0, units).replace('.0', '')}"
    what, factor = (heat, heat_factor(units)) if name == "heat" else ("portions", 1.0)
    first = courses.this.first_day
    if courses.last_day is None:
        return f"{name.capitalize()}: no day on file since {short_day(first, first)}"
    text = f"{name.capitalize()} {courses.total * factor:.0f} {what} since {short_day(first, first)}"
    others = sorted(total for _, total in courses.totals_then())
    if not others:
        return text
    return (
        f"{text}; others {others[0] * factor:.0f} to {others[-1] * factor:.0f}, "
        f"rank {courses.rank} of {len(others) + 1}"
    )


def heat_factor(units: str) -> float:
    """What a degree-day of °C counts in the person's units."""
    return _degree(units)[1]


def _degree(units: str) -> tuple[str, float]:
    return ("°F", _FAHRENHEIT_DEGREES) if units == "us" else ("°C", 1.0)


def _course_words(courses: Courses, what: str, factor: float) -> str:
    last = courses.last_day
    if last is None:
        return f"not known, as no day since {full_day(courses.this.first_day)} is on file."
    text = f"{courses.total * factor:.0f} {what} from {full_day(courses.this.first_day)} to {full_day(last)}"
    others = sorted(total for _, total in courses.totals_then())
    if others:
        place = f"rank {courses.rank} of {len(others) + 1} seasons, 1 being the most"
        text += f"; {place}; the others {others[0] * factor:.0f} to {others[-1] * factor:.0f}"
        text += f", half of them below {others[len(others) // 2] * factor:.0f}" if len(others) > 2 else ""
    return text + "."


def frost_lines(held: HeldTemperatures, units: str, columns: int) -> list[str]:
    """The frosts so far, the forecast nights that can hurt buds, and the species of which that is not known."""
    zero = temperature_words(0.0, units).replace(".0", "")
    so_far = f"This season {counted(held.frosts, 'day')} at {zero} or below"
    so_far += f", the last on {short_day(held.last_frost, held.today)}." if held.last_frost is not None else "."
    if held.series is None:
        so_far = "Frosts of this season are unknown: no temperatures are on file."
    lines = wrapped(so_far, columns, "  ")
    if _forecast_to(held) is None:
        lines += wrapped(NO_FORECAST, columns, "  ")
    elif not held.frost_nights:
        lines += wrapped("No forecast night reaches a temperature that kills a tenth of the buds.", columns, "  ")
    for _, group in groupby(sorted(held.frost_nights, key=lambda night: night.night), key=lambda night: night.night):
        lines += wrapped(coldest_frost_sentence(tuple(group), held.today, units), columns, "  ! ")
    if held.frost_unknown:
        named = " and ".join(held.frost_unknown)
        lines += wrapped(f"Of {named} no such temperature is published: watch them yourself.", columns, "  ")
    return lines


def callus_lines(held: HeldTemperatures, units: str, columns: int) -> list[str]:
    """For each species on how many of the coming days a new graft can knit, and in which range of maxima."""
    if not held.callus:
        return []
    days = held.callus[0].days
    lines = wrapped(f"Of the next {days} days, those with a maximum right for a new graft to knit:", columns, "  ")
    for weather in held.callus:
        ranged = in_units(f"{weather.lowest_c:g} to {weather.highest_c:g} °C", units)
        lines += wrapped(f"{weather.species}: about {weather.warm_days:.0f}, at {ranged}", columns, "  - ")
    sources = "; ".join(dict.fromkeys(weather.source for weather in held.callus))
    if _forecast_to(held) is None:
        lines += wrapped("No forecast is on file: the days are taken as they usually are.", columns, "  ")
    lines += wrapped(f"The ranges are growers' reports, no handbook has any: {plain(sources)}.", columns, "  ")
    return lines


def _days_shape(series: DailySeries) -> list[dict[str, Any]]:
    first = series.first_day.toordinal()
    days = zip(series.tmin_c, series.tmax_c, series.marks, strict=True)
    return [
        {
            "date": date.fromordinal(first + step).isoformat(),
            "tmin_c": round(low, 2),
            "tmax_c": round(high, 2),
            "how": HOW_KNOWN[mark],
        }
        for step, (low, high, mark) in enumerate(days)
    ]


def _gap_shape(first: date, last: date) -> dict[str, str]:
    return {"from": first.isoformat(), "to": last.isoformat()}


def _spread_shape(spread: tuple[float, float, float]) -> dict[str, float]:
    return dict(zip(("median", "low", "high"), (round(value, 1) for value in spread), strict=True))


def _courses_shape(courses: Courses) -> dict[str, Any]:
    return {
        "season": courses.this.season,
        "from": courses.this.first_day.isoformat(),
        "to": _iso(courses.last_day),
        "total": round(courses.total, 1),
        "known": courses.last_day is not None,
        "rank": courses.rank if courses.last_day is not None else None,
        "others": [{"season": season, "total": round(total, 1)} for season, total in courses.totals_then()],
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()

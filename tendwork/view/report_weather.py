"""The parts of a report about the year itself: frost and heat, full bloom, and what was learned of the place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from statistics import median

from tendwork.almanac.season_weather import Bloom, YearWeather
from tendwork.almanac.seasons import Season
from tendwork.orchard.wording import counted
from tendwork.planning.day_format import day_and_month
from tendwork.planning.season_learned import PickMove, StageMove
from tendwork.planning.season_report import SeasonReport
from tendwork.view.report_blocks import Block, Items, Part, Said, Table
from tendwork.view.report_days import season_day
from tendwork.view.temperatures import heat_factor
from tendwork.view.text import plain
from tendwork.view.words import temperature_words

_UNKNOWN = "not known"
_NONE = "none"
_SHOWN = 12
_LEARNED = "Learned of this place"


def weather_part(report: SeasonReport, units: str) -> Part:
    """Last frost, coldest night, hot days and heat, beside the other years held."""
    year, others = report.weather, report.others
    if year.missing == year.days:
        return Part("Frost and heat", (Said("Nothing known: no temperatures of this season are on file."),))
    factor, degree = heat_factor(units), "°F" if units == "us" else "°C"
    hot, base = temperature_words(30.0, units).replace(".0", ""), temperature_words(5.0, units).replace(".0", "")
    season = report.season
    rows = [
        ("last frost in spring", _last_frost(year, season), _days_range([_frost_of(one) for one in others])),
        (
            "coldest night",
            _UNKNOWN if year.coldest_c is None or year.coldest_on is None
            else f"{temperature_words(year.coldest_c, units)}, {season_day(year.coldest_on, season)}",
            _range([one.coldest_c for one in others], lambda value: temperature_words(value, units)),
        ),
        (f"days above {hot}", str(year.hot_days), _range([float(one.hot_days) for one in others], "{:.0f}".format)),
    ]  # fmt: skip
    for number, heat in enumerate(year.heat):
        own = "not reached yet" if heat.to > report.today else _UNKNOWN
        own = own if heat.degree_days_c is None else f"{heat.degree_days_c * factor:.0f}"
        then = [one.heat[number].degree_days_c for one in others]
        name = f"degree-days to {season_day(heat.to, season)}"
        rows.append((name, own, _range(then, lambda value: f"{value * factor:.0f}")))
    blocks: list[Block] = [Table(("", f"season {year.season}", "other years"), tuple(rows), numbers=False)]
    blocks.append(Said(_compared(others)))
    blocks.append(Said(f"Degree-days ({degree}) above {base}, from {season_day(season.on(1, 1), season)}."))
    if year.missing:
        missing = f"{counted(year.missing, 'day')} of {year.days} {'is' if year.missing == 1 else 'are'} missing"
        blocks.append(Said(f"{missing}, {year.spring_missing} of them in spring: frost on these is not known."))
    return Part("Frost and heat", tuple(blocks))


def bloom_part(report: SeasonReport) -> Part:
    """Full bloom of each species, and how it lay beside other years."""
    known = [one for one in report.bloom if one.own is not None]
    if not known:
        return Part("Full bloom", (Said("Nothing known: it was neither seen nor are enough temperatures on file."),))
    rows = tuple(_bloom_row(one, report.season) for one in known)
    blocks: list[Block] = [Table(("", "full bloom", "other years"), rows, numbers=False)]
    unknown = [one.species for one in report.bloom if one.own is None]
    if unknown:
        blocks.append(Said(f"Not known: {', '.join(unknown)}."))
    return Part("Full bloom", tuple(blocks))


def learned_part(report: SeasonReport) -> Part:
    """By how much the season's sightings and tastings move dates of the next."""
    learned = report.learned
    blocks: list[Block] = []
    if learned.sightings:
        seen = f"{counted(learned.sightings, 'sighting')} of bud stages"
        blocks.append(Said(f"{seen}. What they did to the dates of {learned.following}:"))
        blocks.append(Items(tuple(_stage_words(move) for move in learned.stages) or ("no date was moved.",)))
    else:
        blocks.append(Said("No bud stage of this season is noted, so no date of buds was learned."))
    if learned.picks:
        moved = [move for move in learned.picks if move.days != 0]
        tasted = f"{counted(learned.tastings, 'tasting')} with a word for how ripe the fruit was, of"
        tasted += f" {counted(len(learned.picks), 'variety')}."
        if not moved:
            blocks.append(Said(f"{tasted} They moved no picking date of {learned.following}."))
            return Part(_LEARNED, tuple(blocks))
        blocks.append(Said(f"{tasted} {counted(len(moved), 'picking date')} of {learned.following} moved:"))
        shown = [plain(_pick_words(move)) for move in moved[:_SHOWN]]
        shown += [f"and {counted(len(moved) - _SHOWN, 'date')} more, by less."] if len(moved) > _SHOWN else []
        blocks.append(Items(tuple(shown)))
    else:
        blocks.append(Said("No tasting says how ripe the fruit was, so no picking date was learned."))
    return Part(_LEARNED, tuple(blocks))


def _last_frost(year: YearWeather, season: Season) -> str:
    if year.last_frost is not None:
        return season_day(year.last_frost, season)
    return _UNKNOWN if year.spring_missing or not year.spring_days else _NONE


def _frost_of(year: YearWeather) -> date | None:
    """The last frost as a day of a common year, so that years can be put in order."""
    return None if year.last_frost is None else _common(year.last_frost)


def _common(day: date) -> date:
    return date(2001, day.month, min(day.day, 28) if day.month == 2 else day.day)


def _days_range(days: Sequence[date | None]) -> str:
    known = sorted(day for day in days if day is not None)
    if not known:
        return _NONE if days else _UNKNOWN
    none = f"; none in {counted(len(days) - len(known), 'year')}" if len(known) < len(days) else ""
    first, last, middle = (day_and_month(day) for day in (known[0], known[-1], known[(len(known) - 1) // 2]))
    return f"{first} to {last}, middle {middle}{none}"


def _range(values: Sequence[float | None], words: Callable[[float], str]) -> str:
    known = [value for value in values if value is not None]
    if not known:
        return _UNKNOWN
    return f"{words(min(known))} to {words(max(known))}, middle {words(median(known))}"


def _compared(others: Sequence[YearWeather]) -> str:
    if not others:
        return "No other whole season is on file to compare with."
    names = [one.season for one in others]
    runs: list[list[int]] = []
    for name in names:
        if runs and runs[-1][-1] == name - 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    said = ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)
    return f"Other years: seasons {said}, of which hardly a day is missing."


def _bloom_row(bloom: Bloom, season: Season) -> tuple[str, str, str]:
    assert bloom.own is not None
    how = "seen" if bloom.own.seen else "by the temperatures"
    own = f"{season_day(bloom.own.day, season)} ({how})"
    if not bloom.others:
        return bloom.species, own, "no other year known"
    days = sorted(_common(one.day) for one in bloom.others)
    late = bloom.days_late or 0
    off = (
        "as their middle"
        if not late
        else f"{counted(abs(late), 'day')} {'later' if late > 0 else 'earlier'} than their middle"
    )
    seen = sum(one.seen for one in bloom.others)
    years = f"{counted(len(days), 'year')}, {seen} seen" if seen else counted(len(days), "year")
    return bloom.species, own, f"{day_and_month(days[0])} to {day_and_month(days[-1])} ({years}): {off}"


def _stage_words(move: StageMove) -> str:
    of = f"{move.species}, {move.stage} ({counted(move.sightings, 'sighting')})"
    if not move.days:
        return f"{of}: no other day."
    return f"{of}: {_later(move.days)}, from {day_and_month(move.before)} to {day_and_month(move.after)}."


def _pick_words(move: PickMove) -> str:
    of = f"{move.variety} ({move.species}), {counted(move.tastings, 'tasting')}"
    after = day_and_month(move.after)
    if move.days is None or move.before is None:
        return f"{of}: its first date, about {after}."
    return f"{of}: {_later(move.days)}, from {day_and_month(move.before)} to {after}."


def _later(days: int) -> str:
    return f"{counted(abs(days), 'day')} {'later' if days > 0 else 'earlier'}"

"""How much a season asks of a person: jobs, units and hours, and how long the list is in every week.

    python tests/bench/season_counts.py     # the sample as --demo shows it, and the orchard of the played season

The sample is ticked as its invented keeper ticked it, until its newest tick; the other is never ticked. Lines are what
the week lists to be done: visits where the week has them, jobs where not. Takes some minutes.
"""

from __future__ import annotations

import json
import sys
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from click.testing import CliRunner
from msgspec import Struct
from played_orchard import (
    BROUGHT_ON,
    YEAR,
    Command,
    begin_played_orchard,
    bring_grafts,
    command_on,
    grafting_days,
    new_grafts,
)
from played_season import DUE, Shape, shared_workbench

from tendwork.cli import cli
from tendwork.folder.templates import load_templates

Read = Callable[..., Mapping[str, Any]]
"""Runs `tendwork`, with these words and --json, and gives what it printed."""
FIRST_DAY, LAST_DAY = date(YEAR - 1, 11, 1), date(YEAR, 10, 31)
MIDSUMMER = date(YEAR, 6, 25)
LISTED = (*DUE, "waiting", "held", "coming")


class WeekCounted(Struct, frozen=True):
    """What a week lists: all lines that are to do, those that can be done on its first day, and those listed twice."""

    day: date
    lines: int
    due: int
    twice: tuple[str, ...]


class SeasonCounted(Struct, frozen=True):
    """What a season asks in all, and its weeks."""

    name: str
    jobs: int
    units: int
    minutes_by_part: dict[str, float]
    weeks: tuple[WeekCounted, ...]
    midsummer: WeekCounted

    @property
    def hours(self) -> float:
        return sum(self.minutes_by_part.values()) / 60

    @property
    def fullest(self) -> WeekCounted:
        return max(self.weeks, key=lambda week: (week.lines, -week.day.toordinal()))


def count_week(week: Shape) -> WeekCounted:
    """The counts of what `week --json` printed. A line is twice where title, subject and place are those of another."""
    lines = week.get("visits") or week["tasks"]
    listed = [line for line in lines if line["state"] in LISTED]
    names = Counter((line["title"], line["place"] or line["subject"]) for line in listed)
    return WeekCounted(
        date.fromisoformat(week["today"]),
        len(listed),
        sum(line["state"] in DUE for line in listed),
        tuple(f"{title}, {where}" for (title, where), number in names.items() if number > 1),
    )


def count_season(name: str, read: Read, first: date, last: date) -> SeasonCounted:
    """Count a season, and each of its weeks from the first day to the last."""
    season = read("season", "--json", "--on", last.isoformat())["tasks"]
    efforts = {template.id: template.effort for template in load_templates(None).templates}
    minutes: defaultdict[str, float] = defaultdict(float)
    for task in season:
        effort = efforts[task["template"]]
        minutes[task["part"]] += effort.setup_minutes + effort.minutes_each * len(task["units"])
    days = [first + timedelta(days=step) for step in range(0, (last - first).days + 1, 7)]
    return SeasonCounted(
        name,
        len(season),
        sum(len(task["units"]) for task in season),
        dict(sorted(minutes.items(), key=lambda item: -item[1])),
        tuple(count_week(read("week", "--json", "--on", day.isoformat())) for day in days),
        count_week(read("week", "--json", "--on", MIDSUMMER.isoformat())),
    )


def sample_season() -> SeasonCounted:
    """The invented sample, as --demo shows it on each day."""
    return count_season("the sample (--demo)", _reader(_on_demo), FIRST_DAY, LAST_DAY)


def untouched_season(folder: Path) -> SeasonCounted:
    """The orchard of the played season, of which nothing is ticked from the day on which it was brought in."""
    path = folder / "orchard"
    command = command_on(path)
    begin_played_orchard(path, command)
    for day in grafting_days():
        bring_grafts(path, command, [graft for graft in new_grafts() if graft.set_on == day], day)
    with shared_workbench():
        return count_season("the played orchard, untouched", _reader(command), BROUGHT_ON, LAST_DAY)


def report(season: SeasonCounted) -> str:
    """The counts as a table."""
    fullest, mean = season.fullest, sum(week.lines for week in season.weeks) / len(season.weeks)
    twice: Counter[str] = Counter(line for week in season.weeks for line in week.twice)
    return "\n".join([
        f"{season.name}: {season.jobs} jobs, {season.units} units, {season.hours:.0f} hours in the season",
        *(f"  {minutes / 60:5.1f} h  {part}" for part, minutes in season.minutes_by_part.items()),
        f"  fullest week: {fullest.day}, {fullest.lines} lines, {fullest.due} to do that day; mean {mean:.1f} lines",
        f"  25 June: {season.midsummer.lines} lines, {season.midsummer.due} of them to do that day",
        f"  lines twice (same title, same place): {sum(twice.values())} in {len(season.weeks)} weeks",
        *(f"    {number:3}  {line}" for line, number in twice.most_common(12)),
        "  lines, and those to do that day, week by week:",
        *(f"    {week.day}  {week.lines:3}  {week.due:3}" for week in season.weeks),
    ])  # fmt: skip


def _reader(command: Command) -> Read:
    def read(*words: str) -> Mapping[str, Any]:
        found: Mapping[str, Any] = json.loads(command(*words))
        return found

    return read


def _on_demo(*words: str) -> str:
    """On the sample as of the day that the words name: --demo makes a new copy for each command."""
    result = CliRunner().invoke(cli, ["--demo", *words[-2:], *words[:-2]])
    assert result.exit_code == 0, (words, result.output, result.exception)
    return result.output


def counted(seasons: Iterable[SeasonCounted]) -> str:
    """All seasons, one after the other."""
    return "\n\n".join(map(report, seasons))


if __name__ == "__main__":
    with TemporaryDirectory() as empty:
        print(counted((untouched_season(Path(empty)), sample_season())))

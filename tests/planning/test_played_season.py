"""A season of one free hour a week, played through the commands: what the order of the list costs in grafts.

The orchard and the year are invented; by whose word something is lost stands in `made_world`. Run with `-m slow -s` to
see the season week by week.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta

import pytest
from made_world import FIRST_DAY, LAST_DAY, MadeWorld
from played_orchard import (
    FAILS,
    TREES,
    Command,
    begin_played_orchard,
    bring_grafts,
    command_on,
    grafting_days,
    new_grafts,
    older_grafts,
)
from played_season import Asked, SeasonPlayed, in_the_hour, is_pressing, play, report, saturdays, shared_workbench
from season_counts import count_week

MOST_NOT_BUDDED = 2
MOST_LINES_THAT_CANNOT_WAIT = 14


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> SeasonPlayed:
    played = play(tmp_path_factory.mktemp("played"))
    print("\n" + report(played))
    return played


@pytest.mark.slow
def test_somebody_with_one_hour_a_week_loses_no_graft_and_no_limb(season: SeasonPlayed) -> None:
    assert season.losses.lost == (), season.losses
    assert season.losses.never_looked_at == (), season.losses
    assert len(season.losses.not_budded) <= MOST_NOT_BUDDED, season.losses


@pytest.mark.slow
def test_the_list_of_the_played_season_is_short_above_what_can_wait(season: SeasonPlayed) -> None:
    assert max(week.above_can_wait for week in season.weeks) <= MOST_LINES_THAT_CANNOT_WAIT


@pytest.mark.slow
def test_no_hour_is_overrun_and_every_saturday_is_played(season: SeasonPlayed) -> None:
    assert [week.day for week in season.weeks] == list(saturdays(FIRST_DAY, LAST_DAY))
    assert all(week.minutes <= 60 for week in season.weeks)


def test_the_played_orchard_is_what_it_says() -> None:
    grafts = (*older_grafts(), *new_grafts())
    assert (len(TREES), len(grafts), len(new_grafts())) == (5, 100, 30)
    assert len({graft.id for graft in grafts}) == 100
    assert {graft.method for graft in new_grafts()} == {"whip and tongue", "cleft", "bark"}
    wraps = {"electrical tape", "budding rubber", "film", "raffia", "PVC tape"}
    assert {graft.wrap for graft in new_grafts()} == wraps
    assert {graft.state for graft in older_grafts()} == {"bearing", "took", "failed", "planned"}
    assert {graft.verdict for graft in older_grafts()} == {"keep", "on trial", "cut", ""}


def test_a_made_season_without_a_hand_loses_what_the_sources_say_and_one_with_care_loses_nothing() -> None:
    left_alone, cared_for = MadeWorld((*older_grafts(), *new_grafts())), MadeWorld((*older_grafts(), *new_grafts()))
    for graft in (*older_grafts(), *new_grafts()):
        start = graft.set_on or date(2026, 7, 25)
        if graft.id.startswith("p"):
            cared_for.done("bud-apple", graft.id, start, "set")
        elif graft.id.startswith("n"):
            for weeks in (4, 7):
                cared_for.done("rub-off-weekly", graft.id, start + timedelta(weeks=weeks), "done")
            cared_for.done("check-take", graft.id, start + timedelta(weeks=5), "took")
            cared_for.done("brace-grafts", graft.id, start + timedelta(weeks=8), "done")
            cared_for.done("first-year-fruit", graft.id, start + timedelta(weeks=8), "done")
            cared_for.done("wraps-raffia-cloth", graft.id, start + timedelta(weeks=10), "off")
        elif graft.id.startswith("y"):
            cared_for.done("second-year-fruit", graft.id, date(2026, 7, 4), "done")
    cared_for.done("thin-stone-fruit", "t4", date(2026, 7, 4), "done")
    assert not any(cared_for.losses())
    lost = left_alone.losses()
    assert len(lost.overgrown) == 30 - len(FAILS)
    assert {graft.wrap for graft in new_grafts() if graft.id in lost.girdled} == {
        "electrical tape", "PVC tape", "raffia", "budding rubber",
    }  # fmt: skip
    assert {graft.method for graft in new_grafts() if graft.id in lost.snapped} == {"cleft", "bark"}
    assert (len(lost.torn_by_fruit), lost.limbs_broken) == (5, ("t4",))
    assert (len(lost.never_looked_at), set(lost.no_second_chance)) == (30, set(FAILS))


def test_a_tape_that_is_on_until_the_day_that_a_source_allows_has_not_girdled() -> None:
    graft = next(graft for graft in new_grafts() if graft.wrap == "PVC tape" and graft.id not in FAILS)
    assert graft.set_on is not None
    for days, girdled in ((17 * 7, ()), (17 * 7 + 1, (graft.id,))):
        world = MadeWorld((graft,))
        world.done("wraps-tape-pome", graft.id, graft.set_on + timedelta(days=days), "off")
        assert world.losses().girdled == girdled


def test_lines_are_counted_as_visits_where_the_week_has_them() -> None:
    job = {"title": "Rub off", "place": "", "subject": "t1", "state": "open"}
    week = {"today": "2026-06-27", "tasks": [job, {**job, "state": "coming"}, {**job, "state": "done"}]}
    counted = count_week(week)
    assert (counted.lines, counted.due, counted.twice) == (2, 1, ("Rub off, t1",))
    assert count_week({**week, "visits": [job]}).lines == 1


def test_what_is_done_in_an_hour_is_set_up_once_for_a_line_and_ends_before_the_hour_is_over() -> None:
    def one(unit: str, line: str, minutes: float) -> Asked:
        return Asked(f"{line}/t1/2026", line, unit, line, minutes, 5)

    wax, tape, long = one("a", "wax", 20), one("b", "tape", 25), one("c", "saw", 90)
    assert in_the_hour((wax, one("b", "wax", 20), tape), 60) == ([wax, one("b", "wax", 20)], 45)
    assert in_the_hour((wax, tape, tape), 60) == ([wax, tape], 55)
    assert in_the_hour((long, wax), 60) == ([long], 60)
    assert in_the_hour((), 60) == ([], 0)


def test_what_presses_is_late_or_closes_with_more_than_little_at_stake() -> None:
    states = ("late", "closing", "open", "coming", "missed")
    assert [state for state in states if is_pressing({"state": state, "stake": "graft"})] == ["late", "closing"]
    assert not is_pressing({"state": "late", "stake": "little"})


@pytest.fixture(scope="module")
def untouched(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Command]:
    """Commands on the played orchard as it was brought in, of which nothing was ever ticked."""
    path = tmp_path_factory.mktemp("untouched") / "orchard"
    command = command_on(path)
    begin_played_orchard(path, command)
    for day in grafting_days():
        bring_grafts(path, command, [graft for graft in new_grafts() if graft.set_on == day], day)
    with shared_workbench():
        yield command


def test_the_folder_of_a_played_season_is_a_plain_orchard(untouched: Command) -> None:
    assert untouched("check", "--on", "2026-04-25") == "All well.\n"


@pytest.mark.slow
@pytest.mark.parametrize("day", [date(2026, 3, 7) + timedelta(days=21 * step) for step in range(12)], ids=str)
def test_on_twelve_mornings_of_a_neglected_year_the_next_line_is_of_the_worst_that_presses(
    untouched: Command, day: date
) -> None:
    week = json.loads(untouched("week", "--json", "--on", day.isoformat()))
    pressing = [task for task in week["tasks"] if task["state"] in ("late", "closing")]
    worst = min(("tree", "graft", "year", "little").index(task["stake"]) for task in pressing)
    due = [task for task in week["tasks"] if task["state"] in ("late", "closing", "open")]  # open, yet lost this week
    first = [task for task in due if ("tree", "graft", "year", "little").index(task["stake"]) <= worst]
    page = " ".join(untouched("week", "--on", day.isoformat()).partition("Next: ")[2].partition("\n\n")[0].split())
    assert any(task["title"].casefold() in page.casefold() and f"or {task['loss']}" in page for task in first), page

"""The season's strip: days fall into the right columns, every mark says what it should, and every line fits."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import TODAY, task, unit, window

from tendwork.almanac.results import SpeciesStages, StageDate
from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Records, Sighting, Spray, Trouble
from tendwork.planning.results import TASK_STATES, Plan, Task, Window
from tendwork.view.season_axis import MONTH, SEASON, WEEK, ZOOMS, Axis, head, stepped, zoomed
from tendwork.view.season_page import (
    buds_words,
    earliest_season,
    job_lines,
    label,
    label_columns,
    legend,
    part_words,
    season_strip_text,
    today_line,
)
from tendwork.view.season_strip import Strip, StripRow
from tendwork.view.text import display_width

NORTH = Season(2026)
SOUTH = Season(2026, south=True)
DAILY = Axis(TODAY - timedelta(days=10), 60, 60)  # a column is a day, and today is column 10

days = st.dates(date(2025, 11, 1), date(2026, 10, 31))
widths = st.integers(20, 180)


def text_of(row: StripRow) -> str:
    return "".join(run.text for run in row.runs)


def roles_of(row: StripRow) -> list[str]:
    return [run.role for run in row.runs for _ in run.text]


def job_rows(strip: Strip, jobs: Iterable[Task]) -> list[StripRow]:
    return [row for _, tasks in strip.parts(jobs) for row in strip.jobs(tasks)]


def job_row(*tasks: object, axis: Axis = DAILY, today: date | None = TODAY, ascii_only: bool = False) -> StripRow:
    (row,) = job_rows(Strip(axis, today, ascii_only), tasks)
    return row


def stages(*rows: tuple[str, str, int, int]) -> SpeciesStages:
    """(name, state, days from TODAY, half the range in days) of the stages of an apple."""
    made = []
    for name, state, away, spread in rows:
        day = TODAY + timedelta(days=away)
        made.append(StageDate(name, 53, state, day, day - timedelta(days=spread), day + timedelta(days=spread)))
    return SpeciesStages("apple", tuple(made))


@given(days, days, widths, st.sampled_from(ZOOMS))
def test_a_later_day_never_stands_left_of_an_earlier_one(one: date, other: date, columns: int, zoom: str) -> None:
    axis = zoomed(zoom, TODAY, NORTH, columns)
    assert axis.column(min(one, other)) <= axis.column(max(one, other))


@given(days, widths, st.sampled_from(ZOOMS))
def test_the_focus_stands_on_its_axis(focus: date, columns: int, zoom: str) -> None:
    axis = zoomed(zoom, focus, NORTH, max(columns, 35))
    assert axis.holds(focus, focus)
    assert 0 <= axis.middle(focus) < axis.columns <= max(columns, 35)


@given(days, st.integers(0, 90), widths, st.sampled_from(ZOOMS))
def test_a_span_on_the_axis_covers_the_marks_of_its_days(first: date, length: int, columns: int, zoom: str) -> None:
    axis, last = zoomed(zoom, TODAY, NORTH, max(columns, 35)), first + timedelta(days=length)
    for day in (first, last):
        if axis.holds(day, day):
            assert axis.middle(day) in axis.span(first, last)


@given(widths)
def test_the_days_of_all_columns_are_the_days_of_the_season(columns: int) -> None:
    axis = zoomed(SEASON, TODAY, NORTH, columns)
    spans = [axis.days_of(column) for column in range(axis.columns)]
    assert (spans[0][0], spans[-1][1]) == (NORTH.start, NORTH.end)


@pytest.mark.parametrize("season", [NORTH, SOUTH])
def test_the_season_runs_from_its_first_day_to_its_last(season: Season) -> None:
    axis = zoomed(SEASON, season.start, season, 52)
    assert (axis.first, axis.last) == (season.start, season.end)


def test_the_heads_name_all_twelve_months_in_the_52_columns_of_a_narrow_screen() -> None:
    months = "Nov Dec Jan Feb Mar Apr May Jun Jul Aug Sep Oct"
    assert " ".join(head(zoomed(SEASON, TODAY, NORTH, 52)).split()) == months


def test_the_heads_of_a_southern_season_begin_in_may() -> None:
    assert head(zoomed(SEASON, date(2026, 6, 1), SOUTH, 52)).startswith("May")


def test_the_head_of_a_week_names_its_days_from_monday() -> None:
    assert head(zoomed(WEEK, TODAY, NORTH, 52)).split()[:4] == ["Mon", "9", "Tue", "10"]


def test_the_head_of_a_month_numbers_its_mondays() -> None:
    assert head(zoomed(MONTH, TODAY, NORTH, 52)).split()[:4] == ["Mar", "9", "16", "23"]


@pytest.mark.parametrize(
    ("zoom", "before", "after"),
    [
        (WEEK, date(2026, 3, 5), date(2026, 3, 19)),
        (MONTH, date(2026, 2, 1), date(2026, 4, 1)),
        (SEASON, date(2025, 3, 1), date(2027, 3, 1)),
    ],
)
def test_a_step_goes_one_span_back_or_on(zoom: str, before: date, after: date) -> None:
    assert (stepped(zoom, TODAY, -1), stepped(zoom, TODAY, 1)) == (before, after)


def test_a_window_is_drawn_from_its_range_through_its_lapse() -> None:
    opens, closes = TODAY + timedelta(days=4), TODAY + timedelta(days=8)
    held = Window(opens, opens, closes, closes + timedelta(days=2), opens - timedelta(days=3), opens)
    assert text_of(job_row(task("cut", "coming", window=held))).strip() == "│┈┈┈▲━━━━╌╌"


def test_today_within_a_window_is_a_mark_of_its_own() -> None:
    assert text_of(job_row(task("cut", window=window(-2, 2)))).strip() == "▲━┿━━"


def test_a_late_job_is_crossed_today_after_its_close() -> None:
    assert text_of(job_row(task("cut", "late", window=window(-5, -3, 2)))).strip() == "▲━━╌╌┿╌╌"


def test_a_done_job_is_marked_on_the_day_of_its_tick() -> None:
    done = unit("g1", "done", window=window(-5, -1), done_on=TODAY - timedelta(days=3), outcome="done")
    row = job_row(task("cut", "done", window=window(-5, -1), units=(done,)))
    assert text_of(row).strip() == "──✓──│"


def test_a_missed_job_is_marked_where_it_closed() -> None:
    assert text_of(job_row(task("cut", "missed", window=window(-5, -3)))).strip() == "──×  │"


def test_all_rounds_of_a_job_stand_in_one_row_by_the_most_pressing() -> None:
    first = task("look", "done", key="look/t1/2026.1", window=window(-9, -8))
    second = task("look", "open", key="look/t1/2026.2", window=window(-1, 1))
    third = task("look", "coming", key="look/t1/2026.3", window=window(5, 6))
    row = job_row(first, second, third)
    assert (row.id, text_of(row).strip()) == ("look/t1/2026.2", "─✓      ▲┿━   ▲━")


def test_the_same_job_on_the_next_tree_says_so() -> None:
    jobs = [task("cut", key=f"cut/{tree}/2026", subject=tree) for tree in ("t1", "t2")]
    assert [row.again for row in job_rows(Strip(DAILY, TODAY), jobs)] == [False, True]


@pytest.mark.parametrize("state", TASK_STATES)
def test_a_job_outside_the_axis_has_no_row(state: str) -> None:
    assert Strip(DAILY, TODAY).parts([task("cut", state, window=window(-40, -20))]) == ()


def test_a_part_is_as_high_as_jobs_are_open() -> None:
    jobs = [task(f"a{number}", key=f"a{number}/t1/2026", window=window(2, 2 + number)) for number in range(3)]
    ((part, _),) = Strip(DAILY, TODAY).parts(jobs)
    assert text_of(part).strip() == "│ ▃▂▁"


def test_more_jobs_than_there_are_heights_stand_at_the_highest() -> None:
    jobs = [task(f"a{number}", key=f"a{number}/t1/2026", window=window(2, 2)) for number in range(30)]
    ((part, _),) = Strip(DAILY, TODAY, ascii_only=True).parts(jobs)
    assert text_of(part).strip() == "| 9"


def test_a_part_counts_what_is_left_and_bears_the_mark_of_what_presses_most() -> None:
    jobs = [task("a", "done"), task("b", "late"), task("c", "coming")]
    ((part, _),) = Strip(DAILY, TODAY).parts(jobs)
    assert (part.left, part.state) == (2, "late")


def test_a_twig_grows_until_today_and_bears_its_buds() -> None:
    held = stages(("silver tip", "past", -6, 2), ("green tip", "seen", -3, 0), ("pink", "predicted", 8, 2))
    assert text_of(Strip(DAILY, TODAY).buds(held)).strip() == "◐──●──│     ┈┈○ pink"


def test_a_name_that_would_touch_the_next_bud_is_left_out() -> None:
    held = stages(("green tip", "predicted", 2, 0), ("pink", "predicted", 8, 0))
    assert "green" not in text_of(Strip(DAILY, TODAY).buds(held))


def test_of_two_stages_in_one_column_the_seen_one_is_shown() -> None:
    held = stages(("green tip", "seen", -30, 0), ("half-inch green", "past", -30, 0))
    year = zoomed(SEASON, TODAY, NORTH, 52)
    assert "●" in text_of(Strip(year, TODAY).buds(held))


def test_a_season_that_is_over_has_no_today() -> None:
    assert "today" not in roles_of(job_row(task("cut", "missed"), today=None))


@given(st.sampled_from(TASK_STATES), st.integers(-60, 60), st.integers(0, 60), widths, st.sampled_from(ZOOMS))
def test_every_row_has_as_many_columns_as_its_axis(state: str, opens: int, days: int, columns: int, zoom: str) -> None:
    axis = zoomed(zoom, TODAY, NORTH, columns)
    strip, job = Strip(axis, TODAY), task("cut", state, window=window(opens, opens + days))
    for part, tasks in strip.parts([job]):
        assert {display_width(text_of(row)) for row in (part, *strip.jobs(tasks))} == {axis.columns}


@pytest.mark.parametrize("columns", [20, 26, 50])
@pytest.mark.parametrize("name", ["Cut", "A very long name of a job that will not fit anywhere", "接ぎ木をする"])
def test_a_label_has_exactly_its_columns(columns: int, name: str) -> None:
    for kind in ("buds", "part", "job"):
        row = StripRow(kind, "x", "open", name, (), "Old Tom", left=47)
        assert display_width("".join(label(row, columns, "▾"))) == columns


@pytest.mark.parametrize("width", [40, 60, 80, 120, 200])
def test_the_season_in_text_fits_its_page(width: int) -> None:
    plan = Plan(TODAY, 2026, (task("cut"), task("prune", "coming", window=window(20, 40))))
    text = season_strip_text(plan, (stages(("pink", "predicted", 8, 2)),), NORTH, width)
    assert max(map(display_width, text.splitlines())) <= width


def test_the_season_in_text_can_be_ascii_alone() -> None:
    jobs = tuple(task(state, state) for state in TASK_STATES)
    text = season_strip_text(Plan(TODAY, 2026, jobs), (stages(("pink", "seen", -8, 0)),), NORTH, 80, ascii_only=True)
    assert text.isascii()


def test_a_row_in_ascii_is_ascii() -> None:
    jobs = [task(state, state, key=f"{state}/t1/2026", window=window(-6, 9, 12)) for state in TASK_STATES]
    strip = Strip(DAILY, TODAY, ascii_only=True)
    ((part, _),) = strip.parts(jobs)
    assert all(text_of(row).isascii() for row in (part, *job_rows(strip, jobs)))


def test_the_legend_has_a_word_for_every_mark_of_a_job() -> None:
    marks = text_of(job_row(task("cut", window=window(-2, 2, 4)))).replace(" ", "")
    assert [mark for mark in marks if mark not in legend()] == []


@pytest.mark.parametrize("away", [0, 20, 49])
def test_the_pointer_names_today_within_the_axis(away: int) -> None:
    axis = Axis(TODAY - timedelta(days=away), 50, 50)
    line = today_line(axis, TODAY)
    assert line.index("▼") == away
    assert "Thu 12 Mar" in line
    assert len(line) <= 50


def test_a_part_is_told_in_words() -> None:
    said = part_words("pruning", [task("a", "done"), task("b", "late"), task("c", "coming")])
    assert said == "pruning: 3 jobs; 1 late, 1 coming, 1 done"


def test_buds_are_told_in_words() -> None:
    held = stages(("silver tip", "seen", -6, 0), ("green tip", "predicted", 3, 2), ("pink", "predicted", 30, 2))
    assert buds_words(held, TODAY) == "apple: silver tip, seen 6 Mar; green tip 15 Mar (13-17 Mar); then pink 11 Apr."


def test_a_job_is_told_in_no_more_lines_than_there_is_room_for() -> None:
    job = task("cut", because=("the buds swell",) * 20)
    assert len(job_lines(job, TODAY, 60, 3)) == 3


def test_the_earliest_season_is_that_of_the_first_record() -> None:
    day = date(2023, 12, 1)
    assert earliest_season(Records(sightings=(Sighting(day, "apple", "dormant"),)), NORTH) == 2024
    assert earliest_season(Records(troubles=(Trouble(day, "t1", "gum"),)), NORTH) == 2024
    assert earliest_season(Records(sprays=(Spray(day, "t1", "Invented wash"),)), NORTH) == 2024


def test_without_records_no_season_is_earlier() -> None:
    assert earliest_season(Records(), NORTH) == 2026


def test_labels_leave_half_of_a_line_and_more_to_the_strip() -> None:
    assert all(label_columns(columns) <= columns / 2 for columns in range(40, 200))


def test_a_name_that_acts_is_inert_in_its_row() -> None:
    row = job_row(task("cut", title="\x1b[2J[red]x\u202e"))
    assert "\x1b" not in row.name
    assert "\u202e" not in row.name

"""A long list folded: how much is shown, what is never folded, and that nothing is lost. The jobs are invented."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from jobs import TODAY, task, window

from tendwork.planning.results import Task
from tendwork.view.folding import MOST_LINES, folded, folded_words
from tendwork.view.plain import week_text
from tendwork.view.sections import folding_sections, urgency_sections
from tendwork.view.week import Group, week_groups


def jobs(number: int, state: str = "open", **more: object) -> list[Task]:
    return [task(f"{state}{at:02d}", state, **more) for at in range(number)]


def rows(groups: tuple[Group, ...]) -> list[str]:
    return [row.key for group in groups for row in group.rows]


def test_a_list_of_a_dozen_is_whole_and_one_of_more_is_folded() -> None:
    assert folded(week_groups(jobs(MOST_LINES), TODAY)).folded == ()
    held = folded(week_groups([*jobs(MOST_LINES + 9), *jobs(3, "coming", window=window(2, 9))], TODAY))
    assert (len(rows(held.now)), len(rows(held.folded)), len(rows(held.after))) == (MOST_LINES, 9, 3)
    assert folded_words(held.folded) == "9 more that can wait"


def test_what_is_pressing_is_not_said_to_wait() -> None:
    held = folded(week_groups([*jobs(14, "closing", stake="little"), *jobs(3)], TODAY))
    assert folded_words(held.folded) == "5 more, 2 of them pressing"
    held = folded(week_groups(jobs(14, "late", stake="little"), TODAY))
    assert folded_words(held.folded) == "2 more, 2 of them pressing"


def test_what_the_hours_leave_out_is_folded_and_named() -> None:
    held = folded(week_groups([*jobs(10), *jobs(5, "closing", stake="little", no_time=True)], TODAY))
    assert folded_words(held.folded) == "3 more, 3 without time this week"


def test_a_tree_or_a_graft_at_stake_that_presses_is_never_folded() -> None:
    grave = [*jobs(15, "closing", stake="graft"), *jobs(2, "late", stake="tree")]
    held = folded(week_groups([*grave, *jobs(4), *jobs(1, "closing", key="x/t9/2026", stake="year")], TODAY))
    assert (len(rows(held.now)), len(rows(held.folded))) == (17, 5)
    assert {row.state for group in held.folded for row in group.rows} == {"open", "closing"}


def test_headings_say_of_all_their_jobs_how_many_they_are_and_a_line_unfolds_the_rest() -> None:
    tasks = [*jobs(20), *jobs(2, "coming", window=window(2, 9))]
    now, coming = folding_sections(tasks, TODAY, unfolded=False)
    assert (now.said, len(now.rows), now.fold) == ("20 jobs, 6 h 40", 12, "And 8 more that can wait")
    assert coming.fold == ""
    now, _ = folding_sections(tasks, TODAY, unfolded=True)
    assert (len(now.rows), now.fold) == (20, "Fold again: 8 more that can wait")
    assert folding_sections(jobs(3), TODAY, unfolded=False) == urgency_sections(jobs(3), TODAY)


def test_where_all_can_wait_one_line_says_so_above_what_comes() -> None:
    tasks = [*jobs(3, can_wait=True), *jobs(1, "coming", window=window(2, 9))]
    waits, coming = folding_sections(tasks, TODAY, unfolded=False)
    assert (waits.name, waits.rows, waits.fold) == ("Can wait", (), "And 3 more that can wait")
    assert coming.name == "Coming this week"
    assert len(folding_sections(tasks, TODAY, unfolded=True)[0].rows) == 3


def test_the_weeks_text_folds_only_where_it_is_asked_to() -> None:
    tasks = (*jobs(14), *jobs(1, "coming", window=window(2, 9)))
    short, whole = (week_text(tasks, TODAY, "Hill", (), 80, folds=folds) for folds in (True, False))
    told = "\n\n  and 2 more that can wait: `tendwork week --all` lists them\n\nComing this week\n"
    assert told in short
    assert "more that can wait" not in whole
    assert ("open13/t1/2026" in short, "open13/t1/2026" in whole) == (False, True)


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["late", "closing", "open", "waiting", "held", "coming", "done"]),
            st.sampled_from(["tree", "graft", "year", "little", None]),
        ),
        max_size=50,
    )
)
def test_nothing_is_lost_nothing_grave_is_folded_and_the_order_stays(kinds: list[tuple[str, str | None]]) -> None:
    tasks = [task(f"job{at:02d}", state, stake=stake) for at, (state, stake) in enumerate(kinds)]
    groups = week_groups(tasks, TODAY)
    held = folded(groups)
    now = rows(held.now)
    assert [*now, *rows(held.folded), *rows(held.after)] == rows(groups)
    grave = {one.key for one in tasks if one.state in ("late", "closing") and one.stake in ("tree", "graft")}
    assert grave <= set(now)
    assert len(now) <= max(MOST_LINES, len(grave))


@given(open_=st.integers(0, 14), missed=st.integers(0, 8), done=st.integers(0, 2), unfolded=st.booleans())
def test_each_heading_stands_once_and_nothing_is_lost_however_much_was_missed(
    open_: int, missed: int, done: int, unfolded: bool
) -> None:
    tasks = [*jobs(open_), *jobs(missed, "missed"), *jobs(done, "done")]
    sections = folding_sections(tasks, TODAY, unfolded)
    names = [section.name for section in sections]
    assert len(names) == len(set(names))
    shown = [row.key for section in sections for row in section.rows]
    hidden = len(rows(folded(week_groups(tasks, TODAY)).folded))
    assert len(shown) == len(set(shown)) == len(tasks) - (0 if unfolded else hidden)
    assert sum(bool(section.fold) for section in sections) == (1 if hidden else 0)

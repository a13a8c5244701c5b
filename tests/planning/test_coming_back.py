"""Who comes back after weeks reads what can still be saved and what is lost, and nothing else. Our own judgement."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from fitting import TODAY, task
from msgspec.structs import replace

from tendwork.orchard.records import Tick
from tendwork.planning.coming_back import AWAY_DAYS, ComingBack, coming_back, last_here
from tendwork.planning.results import Task
from tendwork.planning.vocabulary import Stake
from tendwork.view.coming_back import back_line, back_text

SINCE = TODAY - timedelta(days=35)


def job(title: str, stake: Stake | None, closes: int, lapses: int, units: int = 1, **more: object) -> Task:
    made = task(title, opens=-60, closes=closes, lapses=lapses, units=units, stake=stake,
                state="missed" if lapses < 0 else "late" if closes < 0 else "open")  # fmt: skip
    return replace(made, title=title, each="graft", **more)


def wraps(place: str, units: int) -> Task:
    made = job("Overdue: slit the tape", "graft", -20, 5, units, place=place)
    held = tuple(replace(unit, window=replace(unit.window, stays=True)) for unit in made.units)
    return replace(made, units=held, window=held[0].window)


def left(*tasks: Task, since: date | None = SINCE) -> ComingBack:
    back = coming_back(tasks, since, TODAY)
    assert back is not None
    return back


@pytest.mark.parametrize("since", [None, TODAY, TODAY - timedelta(days=AWAY_DAYS - 1)])
def test_who_was_here_in_the_last_two_weeks_is_told_nothing(since: date | None) -> None:
    assert coming_back((job("Brace", "graft", -3, 9),), since, TODAY) is None


def test_the_line_names_what_can_be_saved_and_what_is_lost() -> None:
    back = left(
        wraps("Old Hallow", 3),
        job("Brace the grafts", "graft", -9, 12, 2, place="Gate apple"),
        job("Bud in summer", "year", -30, -8, 4, place="Lane plum"),
    )
    assert back_line(back, TODAY) == (
        "You were away for 5 weeks. Can still be saved: 3 wraps (Old Hallow), brace the grafts (2 grafts, Gate apple)."
        " Lost: bud in summer (4 grafts, Lane plum)."
    )


def test_what_is_open_costs_little_comes_again_or_was_lost_before_is_not_told() -> None:
    back = left(
        job("Open", "graft", 3, 9),
        job("Little", "little", -3, 9),
        job("Little lost", "little", -9, -3),
        job("A round", "tree", -9, -3, rounds=6, round=6),
        job("Lost before", "graft", -60, -36),
    )
    assert (back.saved, back.lost) == ((), ())
    assert back_line(back, TODAY) == "You were away for 5 weeks. Nothing was lost."


def test_the_worst_comes_first_and_a_stake_that_is_not_known_counts_as_a_year() -> None:
    back = left(
        job("Year", "year", -3, 9), job("Unsaid", None, -3, 9, 5), job("Graft", "graft", -3, 9),
        job("Tree", "tree", -3, 9),
    )  # fmt: skip
    assert [work.title for work in back.saved] == ["Tree", "Graft", "Unsaid", "Year"]


def test_one_job_on_several_trees_is_told_once() -> None:
    back = left(*(job("Brace", "graft", -3, 9, 2, place=place, template="brace") for place in ("Here", "There")))
    assert [(work.amount, work.place) for work in back.saved] == [(4, "")]
    assert back_line(back, TODAY).endswith("Can still be saved: brace (4 grafts).")


def test_the_line_is_two_lines_of_80_columns_at_most_and_the_page_has_all() -> None:
    back = left(
        *(job(f"A job with a name that is rather long {n}", "graft", -3, 9, template=f"s{n}") for n in range(9)),
        *(job(f"Another job with quite a long name {n}", "year", -9, -3, template=f"l{n}") for n in range(9)),
    )
    line = back_line(back, TODAY)
    assert len(line) < 240
    assert "and 8 more jobs" in line
    assert len(back_text(back, TODAY, 80).splitlines()) == 1 + 2 + 9 + 2 + 9


def test_a_tick_after_the_last_look_says_that_the_person_was_there() -> None:
    looked = (SINCE, TODAY, TODAY + timedelta(days=90))
    assert last_here(looked, (), TODAY) == SINCE
    ticks = [Tick("a/b/2026", "g1", TODAY - timedelta(days=days)) for days in (50, 8, 0)]
    assert last_here(looked, ticks, TODAY) == TODAY - timedelta(days=8)
    assert last_here((TODAY,), ticks, TODAY) is None

"""Every shipped template has jobs in the sample orchard's season, or the condition that keeps them away is said."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard

A_YEAR = (date(2026, 11, 20), date(2027, 2, 1), date(2027, 4, 15), date(2027, 6, 15), date(2027, 8, 10))


def season_seen_on(today: date, folder: Path) -> tuple[set[str], set[str], dict[str, str]]:
    """(ids of all templates, of those with a task in the plan of a day, why the others have none)."""
    bench = Workbench.open(demo_orchard(today, folder / today.isoformat()))
    plan = bench.plan.of(today).plan
    shipped = {template.id for template in bench.templates.loaded().templates}
    present = {task.template for task in plan.tasks}
    left_out = {line.template: line.reason for line in bench.templates.left_out(today)}
    absences = bench.plan.absences(today) | left_out
    bench.close()
    return shipped, present, absences


def test_in_spring_every_template_has_a_task_or_a_word_why_not(tmp_path: Path) -> None:
    shipped, present, absences = season_seen_on(date(2027, 4, 15), tmp_path)
    assert len(present) > 60
    assert shipped - present - absences.keys() == set()
    assert all(why.endswith(".") for why in absences.values())


@pytest.mark.slow
def test_over_the_year_only_jobs_of_trees_and_grafts_that_are_not_there_stay_away(tmp_path: Path) -> None:
    appeared: set[str] = set()
    said: dict[str, str] = {}
    for today in A_YEAR:
        shipped, present, absences = season_seen_on(today, tmp_path)
        assert shipped - present - absences.keys() == set(), today
        appeared |= present
        said |= absences
    for template in shipped - appeared:
        why = said[template]
        assert why.startswith(("No tree ", "No graft ", "In most places ")), f"{template}: {why}"
    assert len(appeared) > 75

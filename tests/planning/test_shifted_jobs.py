"""A job that is shifted over the first or the last day of a season stays the job it was: never lost, never twice."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.planning.adjustments import Adjustment, Adjustments, adjusted
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan, Task
from tendwork.planning.vocabulary import Anchor, Repeats, Template
from tendwork.planning.week import week_of

CHOOSE = Template("choose", "Choose", "planning", "site", Anchor(date="11-05"), Anchor(date="11-20"))
TREE = Records(trees=(Tree("t1", "Old apple", "apple", planted=1990),))
ORCHARD = Records(
    trees=(
        *TREE.trees,
        Tree("t2", "Wall pear", "pear", planted=2024),
        Tree("t3", "Plum", "plum", planted=2000),
        Tree("t4", "Peach", "peach", planted=2010),
    ),
    grafts=(
        Graft("g1", "t1", "Red Lamp", "cleft", "PVC tape", state="planned"),
        Graft("g0", "t1", "Red Lamp", state="bearing"),
        Graft("g2", "t1", "Long Lamp", "cleft", "raffia", state="set", set_on=date(2026, 4, 14)),
        Graft("g3", "t2", "Red Lamp", "T-bud", "budding rubber", state="set", set_on=date(2026, 8, 2)),
        Graft("g4", "t3", "Blue Lamp", "chip bud", "film", state="set", set_on=date(2026, 10, 25)),
        Graft("g5", "t2", "Old Lamp", "cleft", state="bearing", set_on=date(2019, 4, 14), height_m=3.0),
        Graft("g6", "t1", "Grey Lamp", "cleft", state="bearing", set_on=date(2019, 4, 14), verdict="cut"),
        Graft("g7", "t1", "Low Lamp", "side", "none", state="set", set_on=date(2026, 4, 20)),
        Graft("g8", "t1", "Third Lamp", "bark", state="took", set_on=date(2024, 4, 20)),
        Graft("g9", "t1", "Last Lamp", "whip and tongue", state="took", set_on=date(2025, 4, 20)),
        Graft("g10", "t3", "Next Lamp", "bark", state="planned"),
        Graft("g11", "t3", "Blue Lamp", "cleft", state="set", set_on=date(2026, 4, 20)),
        Graft("g12", "t1", "Red Lamp", "cleft", state="bearing", set_on=date(2019, 4, 14), height_m=1.0),
    ),
    wood=(Wood("w1", "Red Lamp", "pear", 6, date(2026, 1, 12), promised_to="a friend"),),
)


def shifted(template: Template, days: int) -> Template:
    ends = dict.fromkeys(("opens_later_days", "best_later_days", "closes_later_days", "lapses_later_days"), days)
    (laid,) = adjusted((template,), Adjustments(template={template.id: Adjustment(asked=True, **ends)}))
    return laid


def planned(template: Template, on: date, records: Records = TREE, south: bool = False) -> Plan:
    return plan(SiteLimits(south=south), records, SteadyAlmanac(), (template,), on)


def by_key(held: Plan) -> dict[str, Task]:
    return {task.key: task for task in held.tasks}


def test_a_job_moved_before_the_first_day_of_its_season_keeps_its_key() -> None:
    earlier = shifted(CHOOSE, -11)
    assert by_key(planned(earlier, date(2026, 11, 2)))["choose/site/2027"].window.opens == date(2026, 10, 25)


@pytest.mark.parametrize(
    ("on", "state"),
    [(date(2026, 10, 20), "coming"), (date(2026, 10, 25), "open"), (date(2026, 11, 8), "closing")],
)
def test_a_job_moved_before_its_season_stands_in_the_week_in_good_time(on: date, state: str) -> None:
    assert [(task.key, task.state) for task in week_of(planned(shifted(CHOOSE, -11), on))] == [
        ("choose/site/2027", state)
    ]


def test_what_was_ticked_before_the_first_day_of_the_season_stays_ticked_in_it() -> None:
    records = Records(trees=TREE.trees, ticks=(Tick("choose/site/2027", "site", date(2026, 10, 26), "done"),))
    for on in (date(2026, 10, 27), date(2026, 11, 3)):
        assert by_key(planned(shifted(CHOOSE, -11), on, records))["choose/site/2027"].state == "done"


def test_in_the_south_a_job_moves_over_the_first_of_may_as_well() -> None:
    tasks = by_key(planned(shifted(CHOOSE, -11), date(2026, 4, 24), south=True))
    assert tasks["choose/site/2026"].window.opens == date(2026, 4, 24)


LAST = Template("last", "Last", "upkeep", "site", Anchor(date="10-20"), Anchor(date="10-28"))


@pytest.mark.parametrize(
    ("on", "state"), [(date(2026, 11, 2), "coming"), (date(2026, 11, 9), "open"), (date(2026, 11, 18), "missed")]
)
def test_a_job_moved_past_the_end_of_its_season_keeps_its_key_in_the_next(on: date, state: str) -> None:
    assert by_key(planned(shifted(LAST, 20), on))["last/site/2026"].state == state


def test_a_job_moved_past_the_end_of_its_season_can_be_seen_as_done() -> None:
    records = Records(trees=TREE.trees, ticks=(Tick("last/site/2026", "site", date(2026, 11, 10), "done"),))
    assert by_key(planned(shifted(LAST, 20), date(2026, 11, 11), records))["last/site/2026"].state == "done"


def test_a_job_that_hangs_on_an_event_keeps_its_season_when_it_is_shifted_over_its_end() -> None:
    look = Template("look", "Look", "aftercare", "graft", Anchor(after="set", days=4), Anchor(after="set", days=9))
    records = Records(TREE.trees, (Graft("g1", "t1", "Red Lamp", state="set", set_on=date(2026, 10, 25)),))
    for days, opens in ((0, date(2026, 10, 29)), (7, date(2026, 11, 5))):
        keys = {task.key: task.window.opens for task in planned(shifted(look, days), date(2026, 10, 29), records).tasks}
        assert keys == {"look/t1/2026": opens}


def test_the_rounds_of_a_shifted_job_go_with_it() -> None:
    rake = Template(
        "rake",
        "Rake",
        "upkeep",
        "site",
        Anchor(date="11-03"),
        Anchor(date="11-06"),
        repeats=Repeats(every_days=7, times=3),
    )
    tasks = by_key(planned(shifted(rake, -10), date(2026, 10, 24)))
    assert [(key, task.window.opens) for key, task in tasks.items() if "2027" in key] == [
        ("rake/site/2027", date(2026, 10, 24)),
        ("rake/site/2027.2", date(2026, 10, 31)),
        ("rake/site/2027.3", date(2026, 11, 7)),
    ]


def test_the_last_rounds_that_reach_over_the_end_of_the_season_are_seen_coming() -> None:
    rake = Template(
        "rake",
        "Rake",
        "upkeep",
        "site",
        Anchor(date="10-27"),
        Anchor(date="10-30"),
        repeats=Repeats(every_days=7, times=3),
    )
    assert by_key(planned(rake, date(2026, 11, 1)))["rake/site/2026.2"].state == "coming"


def test_a_job_moved_by_more_than_a_season_is_still_in_the_plan_when_it_opens() -> None:
    for days in (-400, 400):
        moved = shifted(CHOOSE, days)
        opens = date(2026, 11, 5) + timedelta(days=days)
        assert by_key(planned(moved, opens))["choose/site/2027"].state in ("open", "closing")


SCAN = tuple(date(2025, 9, 1) + timedelta(days=step) for step in range(0, 26 * 30, 13))


@cache
def seasons_of(template: str, south: bool) -> dict[str, date]:
    """The keys of the template's own jobs over two seasons, with the day on which each opens."""
    (own,) = (held for held in TEMPLATES if held.id == template)
    found = {}
    for on in SCAN:
        for task in planned(own, on, ORCHARD, south).tasks:
            found[task.key] = task.window.opens
    return found


@examples(15)
@given(days=st.integers(-40, 40), south=st.booleans())
def test_any_shift_keeps_every_job_of_every_template_exactly_once(days: int, south: bool) -> None:
    for template in TEMPLATES:
        moved = shifted(template, days)
        for key, opens in seasons_of(template.id, south).items():
            if "." in key.rsplit("/", 1)[1]:
                continue  # a later round moves with the first one, or is over with the season's `until`
            held = [task.key for task in planned(moved, opens + timedelta(days=days), ORCHARD, south).tasks]
            assert held.count(key) == 1, key
            assert len(held) == len(set(held))


def test_the_scan_sees_jobs_of_most_templates() -> None:
    assert sum(bool(seasons_of(template.id, south=False)) for template in TEMPLATES) > len(TEMPLATES) / 2

"""Jobs of looking, picking, tasting and storing follow each variety's own ripening; all days here are worked by hand.

The orchard and its dates are invented. Full bloom of the steady almanac is 28 April.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import pytest
from msgspec.structs import replace
from ripe_dates import ripe_dates
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.planning.planner import Planner, SiteLimits, plan
from tendwork.planning.results import Plan, Task
from tendwork.planning.ripe_events import NOTHING_KNOWN, RipeOfGrafts
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.vocabulary import Anchor, Template
from tendwork.planning.windows import Openings

SEASON = Season(2026)
EARLY = ripe_dates(date(2026, 8, 5), variety="Lammas Blush", hang_days=7)
KEEPER = ripe_dates(date(2026, 10, 10), variety="Doorstep", eat=date(2026, 12, 1), until=date(2027, 4, 30))
WALL_PEAR = ripe_dates(date(2026, 9, 10), "pear", "Nun's Purse", hang_days=7, eat=date(2026, 9, 17))
PLACES = "whip and tongue"


def tree_of(species: str = "apple", *grafts: Graft, ticks: tuple[Tick, ...] = ()) -> Records:
    """A tree with one graft that bears, or these."""
    own = grafts or (Graft("g1", "t1", "x", PLACES, state="bearing", set_on=date(2018, 4, 14)),)
    return Records((Tree("t1", "Gate tree", species, planted=2000),), own, ticks=ticks)


def known(dates: RipeDates, season: Season = SEASON) -> RipeOfGrafts:
    return {season: {"g1": dates}}


def planned(records: Records, ripe: RipeOfGrafts, today: date, south: bool = False) -> Plan:
    return plan(SiteLimits(south=south), records, SteadyAlmanac(), TEMPLATES, today, ripe=ripe)


def jobs(made: Plan, season: int = 2026) -> Mapping[str, Task]:
    """The first rounds of a season's jobs by template."""
    return {task.template: task for task in made.tasks if task.season == season and task.round == 1}


def days(task: Task) -> tuple[date, date, date]:
    return task.window.opens, task.window.closes, task.window.lapses


def ticked(template: str, day: date, outcome: str, season: int = 2026) -> Tick:
    return Tick(f"{template}/t1/{season}", "g1", day, outcome)


def test_an_early_apple_is_looked_at_from_a_week_before_it_may_be_ripe_and_picked_while_it_hangs() -> None:
    found = jobs(planned(tree_of(), known(EARLY), date(2026, 7, 1)))
    assert days(found["taste-apples"]) == (date(2026, 7, 24), date(2026, 8, 12), date(2026, 8, 17))
    assert days(found["pick-apples"]) == (date(2026, 7, 31), date(2026, 8, 12), date(2026, 8, 22))
    assert found["pick-apples"].window.best == date(2026, 8, 5)
    assert not found.keys() & {"taste-keepers", "eat-first", "store-look"}


def test_the_reasons_name_the_variety_and_what_its_days_follow_from() -> None:
    job = jobs(planned(tree_of(), known(EARLY), date(2026, 7, 1)))["taste-apples"]
    assert job.because[:3] == (
        "Opens 24 Jul: a week before Lammas Blush fruit may be ripe.",
        "Closes 12 Aug: the last day on which Lammas Blush fruit is likely to hang ripe.",
        "made up for the test of Lammas Blush",
    )


def test_fruit_that_may_ripen_after_the_usual_hanging_time_is_not_over_before_it_was_ripe() -> None:
    unsure = ripe_dates(date(2026, 8, 5), spread_days=14, hang_days=7)
    assert jobs(planned(tree_of(), known(unsure), date(2026, 7, 1)))["pick-apples"].window.closes == date(2026, 8, 19)


def test_of_a_variety_that_nobody_knows_the_job_goes_by_the_bloom_of_its_species_and_says_so() -> None:
    job = jobs(planned(tree_of(), NOTHING_KNOWN, date(2026, 7, 1)))["taste-apples"]
    assert days(job)[:2] == (date(2026, 7, 12), date(2026, 10, 10))  # 75 and 165 days after 28 April
    assert job.because[0].endswith("; when it ripens is not known, so by days from bloom of the species.")
    assert job.because[1].endswith("; when it ripens is not known, so by days from bloom of the species.")


def test_a_pear_is_picked_hard_and_tasted_a_week_later() -> None:
    found = jobs(planned(tree_of("pear"), known(WALL_PEAR), date(2026, 7, 1)))
    assert days(found["pick-pears"]) == (date(2026, 8, 29), date(2026, 9, 17), date(2026, 9, 27))
    assert days(found["taste-pears"])[:2] == (date(2026, 9, 17), date(2026, 10, 8))


def test_a_keeper_is_tasted_in_winter_as_a_job_of_the_season_in_which_it_grew() -> None:
    """On 5 December the orchard's year is 2027; the fruit is of 2026."""
    made = planned(tree_of(), known(KEEPER), date(2026, 12, 5))
    job = jobs(made)["taste-keepers"]
    assert made.season == 2027
    assert job.key == "taste-keepers/t1/2026"
    assert job.state == "open"
    assert days(job)[:2] == (date(2026, 12, 1), date(2027, 1, 30))
    assert "taste-keepers" not in jobs(made, 2027)


def test_an_apple_that_is_good_off_the_tree_is_no_keeper_to_taste() -> None:
    assert "taste-keepers" not in jobs(planned(tree_of(), known(EARLY), date(2026, 7, 1)))


def test_what_was_picked_and_keeps_is_looked_through_every_five_weeks_and_eaten_before_it_goes() -> None:
    """K-State, Storing apples: every 30 to 40 days. Picked on 12 October, first seen after 30 days, then every 35.

    None after 30 April, until when it keeps; eaten in the last three weeks.
    """
    records = tree_of(ticks=(ticked("pick-apples", date(2026, 10, 12), "picked"),))
    made = planned(records, known(KEEPER), date(2026, 11, 20))
    looks = [task.window.opens for task in made.tasks if task.template == "store-look" and task.season == 2026]
    assert looks == [
        date(2026, 11, 11),
        date(2026, 12, 16),
        date(2027, 1, 20),
        date(2027, 2, 24),
        date(2027, 3, 31),
    ]
    assert days(jobs(made)["store-look"]) == (date(2026, 11, 11), date(2026, 11, 21), date(2026, 11, 21))
    assert days(jobs(made)["eat-first"]) == (date(2027, 4, 9), date(2027, 4, 30), date(2027, 4, 30))


def test_nothing_is_stored_that_nobody_picked() -> None:
    assert not jobs(planned(tree_of(), known(KEEPER), date(2026, 11, 20))).keys() & {"store-look", "eat-first"}


@pytest.mark.parametrize(("species", "is_stored"), [("apple", True), ("pear", True), ("plum", False), ("peach", False)])
def test_of_fruit_of_which_nobody_knows_how_long_it_keeps_only_what_may_keep_is_looked_through(
    species: str, is_stored: bool
) -> None:
    rule = {"apple": "pick-apples", "pear": "pick-pears"}.get(species, "pick-plums-peaches")
    records = tree_of(species, ticks=(ticked(rule, date(2026, 9, 12), "picked"),))
    hangs = ripe_dates(date(2026, 9, 10), species, hang_days=20, until=date(2026, 9, 30))  # no more is said than that
    for ripe in (NOTHING_KNOWN, known(ripe_dates(date(2026, 9, 10), species)), known(hangs)):
        found = jobs(planned(records, ripe, date(2026, 10, 1)))
        assert ("store-look" in found) == is_stored
        assert "eat-first" not in found


def test_early_fruit_of_which_nobody_knows_how_long_it_keeps_is_not_looked_through() -> None:
    """Early kinds keep for days to two weeks: intermountainfruit.org, fruit tables."""
    records = tree_of(ticks=(ticked("pick-apples", date(2026, 8, 6), "picked"),))
    assert "store-look" not in jobs(planned(records, known(EARLY), date(2026, 9, 5)))


def test_what_keeps_for_three_weeks_is_eaten_before_a_look_through_the_store_is_due() -> None:
    plum = ripe_dates(date(2026, 9, 10), "plum", until=date(2026, 10, 1))
    records = tree_of("plum", ticks=(ticked("pick-plums-peaches", date(2026, 9, 12), "picked"),))
    found = jobs(planned(records, known(plum), date(2026, 9, 15)))
    assert days(found["eat-first"])[:2] == (date(2026, 9, 12), date(2026, 10, 1))
    assert "store-look" not in found


def test_fruit_that_is_eaten_up_is_not_looked_for_again() -> None:
    picked = ticked("pick-apples", date(2026, 10, 12), "picked")
    records = tree_of(ticks=(picked, ticked("store-look", date(2026, 11, 15), "none left")))
    made = planned(records, known(KEEPER), date(2026, 11, 20))
    of_store = {
        task.key: task.state for task in made.tasks if task.template in ("store-look", "eat-first", "taste-keepers")
    }
    assert of_store == {
        "store-look/t1/2026": "done",
        "eat-first/t1/2026": "done",
        "taste-keepers/t1/2026": "done",
    }


@pytest.mark.parametrize("before", [(), (ticked("taste-apples", date(2026, 8, 1), "not yet"),)])
def test_fruit_that_was_picked_ends_the_looking(before: tuple[Tick, ...]) -> None:
    records = tree_of(ticks=(*before, ticked("pick-apples", date(2026, 8, 6), "picked")))
    found = jobs(planned(records, known(EARLY), date(2026, 8, 8)))
    assert found["taste-apples"].state == found["pick-apples"].state == "done"
    (unit,) = found["taste-apples"].units
    assert (unit.outcome, unit.done_on) == ("picked", date(2026, 8, 6))


def test_picked_on_the_look_ends_the_picking() -> None:
    records = tree_of(ticks=(ticked("taste-apples", date(2026, 8, 6), "picked"),))
    assert jobs(planned(records, known(EARLY), date(2026, 8, 8)))["pick-apples"].state == "done"


def test_a_graft_without_fruit_is_asked_for_nothing_more_this_season_and_again_in_the_next() -> None:
    records = tree_of("pear", ticks=(ticked("pick-pears", date(2026, 8, 30), "no fruit"),))
    this_year = jobs(planned(records, known(WALL_PEAR), date(2026, 9, 20)))
    assert this_year["pick-pears"].state == this_year["taste-pears"].state == "done"
    next_year = ripe_dates(date(2027, 9, 10), "pear")
    found = jobs(planned(records, known(next_year, Season(2027)), date(2027, 9, 1)), 2027)
    assert found["pick-pears"].state == "open"


def test_a_bite_moves_the_jobs_at_once_also_on_a_tree_that_nobody_touched() -> None:
    """What was expected on 10 October turns out ripe on 20 September: it hangs until the 30th."""
    records, almanac = tree_of(), SteadyAlmanac()
    planner = Planner(almanac, Openings(almanac))
    day = date(2026, 9, 20)
    before = jobs(planner.plan(SiteLimits(), records, TEMPLATES, day, ripe=known(KEEPER)))
    assert before["pick-apples"].state == "coming"
    seen = ripe_dates(day, variety="Doorstep", spread_days=0)
    after = jobs(planner.plan(SiteLimits(), records, TEMPLATES, day, ripe=known(seen)))
    assert days(after["pick-apples"])[:2] == (day, date(2026, 9, 30))
    assert after["pick-apples"].state == "open"


def test_in_the_south_fruit_of_february_is_of_the_season_that_began_in_may_before() -> None:
    season = Season(2026, south=True)
    keeper = ripe_dates(date(2027, 4, 10), eat=date(2027, 6, 1), until=date(2027, 10, 31))
    records = tree_of(ticks=(ticked("pick-apples", date(2027, 4, 12), "picked"),))
    made = planned(records, known(keeper, season), date(2027, 6, 5), south=True)
    found = jobs(made)
    assert made.season == 2027
    assert days(found["taste-keepers"])[:2] == (date(2027, 6, 1), date(2027, 7, 31))
    assert found["store-look"].window.opens == date(2027, 5, 12)
    early = ripe_dates(date(2027, 2, 5), hang_days=7)
    in_february = jobs(planned(tree_of(), known(early, season), date(2027, 2, 1), south=True))
    assert days(in_february["pick-apples"])[:2] == (date(2027, 1, 31), date(2027, 2, 12))
    assert in_february["pick-apples"].key == "pick-apples/t1/2026"


def test_a_tree_is_propped_six_weeks_before_the_first_of_its_varieties_that_bear_ripens() -> None:
    first, last = (Graft(f"g{n}", "t1", "x", PLACES, state="bearing", set_on=date(2018, 4, 14)) for n in (1, 2))
    planned_one = replace(first, id="g3", state="planned", set_on=None)
    dates = {"g1": KEEPER, "g2": EARLY, "g3": ripe_dates(date(2026, 7, 1))}
    records = tree_of("apple", first, last, planned_one)
    job = jobs(planned(records, {SEASON: dates}, date(2026, 6, 1)))["prop-heavy-limbs"]
    assert job.window.opens == date(2026, 6, 24)  # 42 days before 5 August
    assert job.because[0] == (
        "Opens 24 Jun: 6 weeks before the day on which Lammas Blush fruit is likely to be ripe (31 Jul to 10 Aug)."
    )


def test_a_walk_goes_round_the_tree_from_the_north_and_up_on_each_side() -> None:
    places = {"a": (180, 2.0), "b": (0, 3.0), "c": (10, 1.0), "d": (None, 1.0), "e": (90, None), "f": (90, 4.0)}
    grafts = tuple(
        Graft(name, "t1", name, PLACES, state="bearing", set_on=date(2018, 4, 14), facing=facing, height_m=height_m)
        for name, (facing, height_m) in places.items()
    )
    found = jobs(planned(tree_of("apple", *grafts), {SEASON: dict.fromkeys(places, EARLY)}, date(2026, 8, 5)))
    assert [unit.id for unit in found["pick-apples"].units] == ["c", "b", "f", "e", "a", "d"]
    assert [unit.place for unit in found["pick-apples"].units][:2] == ["1 m up, facing north", "3 m up, facing north"]


FALLS_BACK = Anchor(first_known=(Anchor(after="use by", days=-7), Anchor(date="11-30"), Anchor(date="11-01")), days=2)


@pytest.mark.parametrize(
    ("dates", "opens", "why"),
    [
        (
            replace(EARLY, until=date(2026, 9, 30)),
            date(2026, 9, 25),
            "Opens 25 Sep: 2 days after 7 days before the last day on which Lammas Blush fruit is known to be good in"
            " store.",
        ),
        (EARLY, date(2025, 12, 2), "Opens 2 Dec: 2 days after 30 Nov; how long it keeps is not known."),
    ],
)
def test_the_first_that_is_known_counts_in_the_order_in_which_it_is_written(
    dates: RipeDates, opens: date, why: str
) -> None:
    rule = Template("own", "Own", "fruit", "graft", FALLS_BACK, Anchor(date="10-20", days=20))
    made = plan(SiteLimits(), tree_of(), SteadyAlmanac(), (rule,), date(2026, 6, 1), ripe=known(dates))
    (job,) = (task for task in made.tasks if task.season == 2026)
    assert (job.window.opens, job.because[0]) == (opens, why)

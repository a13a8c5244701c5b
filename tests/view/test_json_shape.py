"""The JSON shapes are a contract: names, ISO dates, stable order."""

from __future__ import annotations

import json
from datetime import date, timedelta

from jobs import TODAY, task, unit, window

from tendwork.almanac.results import FrostNight, SpeciesStages, StageDate
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.rough_dates import RoughDate
from tendwork.planning.results import FittedWeek, Plan, Short
from tendwork.view.json_shape import season_shape, stages_shape, task_shape, trees_shape, week_shape
from tendwork.view.wood import wood_page_shape

TASK_KEYS = (
    *("key", "template", "title", "part", "subject", "place", "opens", "best", "closes", "lapses", "state", "days"),
    *("minutes", "units", "cautions", "tools", "steps", "because", "source", "why_cautions", "not_now", "mind"),
    *("stake", "loss", "visit"),
)


def test_a_task_has_the_keys_of_the_contract_in_order() -> None:
    assert tuple(task_shape(task("prune"))) == TASK_KEYS


VISIT_KEYS = (
    *(
        "key",
        "title",
        "subject",
        "place",
        "opens",
        "closes",
        "state",
        "stake",
        "can_wait",
        "minutes",
        "days",
        "tools",
        "cautions",
    ),
    "tasks",
)


def test_a_visit_has_the_keys_of_the_contract_in_order_and_what_its_tasks_say_together() -> None:
    slit = task(
        "slit", "closing", visit="aftercare", stake="graft", minutes=9.0, setup_minutes=5.0, tools=("blade", "ties"),
        window=window(-4, 1), days=((TODAY, 9.0),), cautions=("knife",),
    )  # fmt: skip
    tie = task(
        "tie", visit="aftercare", stake="tree", minutes=12.0, setup_minutes=3.0, tools=("ties",), window=window(-9, 8),
        days=((TODAY, 4.0), (TODAY + timedelta(days=1), 8.0)), cautions=("ladder", "knife"),
    )  # fmt: skip
    (shape,) = week_shape(FittedWeek((tie, slit), (), ()), TODAY, ())["visits"]
    assert tuple(shape) == VISIT_KEYS
    assert shape == {
        "key": "aftercare/t1",
        "title": slit.title,
        "subject": "t1",
        "place": slit.place,
        "opens": "2026-03-03",
        "closes": "2026-03-13",
        "state": "closing",
        "stake": "tree",
        "can_wait": False,
        "minutes": 5.0 + 4.0 + 9.0,
        "days": [{"date": "2026-03-12", "minutes": 13.0}, {"date": "2026-03-13", "minutes": 8.0}],
        "tools": ["blade", "ties"],
        "cautions": ["ladder", "knife"],
        "tasks": ["slit/t1/2026", "tie/t1/2026"],
    }


def test_a_job_alone_is_a_visit_with_its_own_key_and_a_walk_over_trees_is_one_of_the_site() -> None:
    walks = [task("suckers", visit="walk", key=f"suckers/{tree}/2026", subject=tree) for tree in ("t1", "t2")]
    alone, walk = week_shape(FittedWeek((*walks, task("dig", window=window(-3, 2))), (), ()), TODAY, ())["visits"]
    assert (alone["key"], alone["tasks"]) == ("dig/t1/2026", ["dig/t1/2026"])
    assert (walk["key"], walk["subject"], walk["place"]) == ("walk/site", "site", "")


def test_a_task_names_its_visit_and_nothing_where_it_stands_alone() -> None:
    assert (task_shape(task("tie", visit="aftercare"))["visit"], task_shape(task("dig"))["visit"]) == ("aftercare", "")


def test_a_task_says_its_stake_and_null_where_its_rule_does_not() -> None:
    shape = task_shape(task("tape", stake="graft", loss="the tape cuts in"))
    assert (shape["stake"], shape["loss"]) == ("graft", "the tape cuts in")
    assert (task_shape(task("own"))["stake"], task_shape(task("own"))["loss"]) == (None, "")


def test_a_unit_has_id_label_state_and_outcome_and_what_holds_it_back() -> None:
    shape = task_shape(task("prune", units=(unit("g1", "done", outcome="off"),)))
    free = {"id": "g1", "label": "Variety g1", "state": "done", "outcome": "off", "held_by": "", "held_until": None}
    assert shape["units"] == [free]
    held = unit("g1", "held", held_by="Sprayed.", held_until=date(2026, 3, 20))
    shape = task_shape(task("prune", "held", units=(held,)))
    held_back = {"state": "held", "outcome": "", "held_by": "Sprayed.", "held_until": "2026-03-20"}
    assert shape["units"] == [free | held_back]


def test_the_days_of_a_task_are_dates_with_minutes() -> None:
    assert task_shape(task("prune", days=((TODAY, 20.0),)))["days"] == [{"date": "2026-03-12", "minutes": 20.0}]


def test_dates_are_iso() -> None:
    shape = task_shape(task("prune", window=window(-2, 3, 9)))
    assert [shape[name] for name in ("opens", "best", "closes", "lapses")] == [
        "2026-03-10",
        "2026-03-10",
        "2026-03-15",
        "2026-03-21",
    ]


def test_the_week_runs_over_seven_days() -> None:
    shape = week_shape(FittedWeek((task("prune"),), (), (Short("prune/t1/2026", 20, TODAY, "Too long."),)), TODAY, ())
    assert list(shape) == ["today", "from", "to", "tasks", "visits", "short", "frost", "frost_forecast_to", "wraps_on"]
    assert (shape["from"], shape["to"]) == ("2026-03-12", "2026-03-18")
    assert shape["short"] == [{"task": "prune/t1/2026", "minutes": 20, "by": "2026-03-12"}]


def test_frost_nights_can_be_encoded() -> None:
    night = FrostNight(TODAY, "apple", "pink", -3.0, -2.2, -3.9, "a table")
    assert (
        json.loads(json.dumps(week_shape(FittedWeek((), (), ()), TODAY, (night,))))["frost"][0]["night"] == "2026-03-12"
    )


def test_the_week_says_how_far_frost_is_forecast_and_nothing_where_that_is_unknown() -> None:
    week = FittedWeek((), (), ())
    assert week_shape(week, TODAY, ())["frost_forecast_to"] is None
    assert week_shape(week, TODAY, (), date(2026, 3, 20))["frost_forecast_to"] == "2026-03-20"


def test_the_season_has_its_name_and_tasks() -> None:
    shape = season_shape(Plan(TODAY, 2026, (task("prune"),)))
    assert (list(shape), shape["season"]) == (["today", "season", "tasks"], 2026)


def test_a_stage_without_a_date_has_nulls() -> None:
    stop = StageDate("shoot stop", 91, "unreached", None, None, None, ("too far",))
    shape = stages_shape((SpeciesStages("apple", (stop,)),), TODAY, 2026)
    assert shape["species"] == [
        {
            "species": "apple",
            "stages": [
                {
                    "stage": "shoot stop",
                    "bbch": 91,
                    "state": "unreached",
                    "date": None,
                    "low": None,
                    "high": None,
                    "because": ["too far"],
                }
            ],
        }
    ]


def test_names_in_json_are_exactly_those_of_the_records() -> None:
    name = "a[/x]\u202eb"
    assert trees_shape(Records((Tree("t1", name, "apple"),)), TODAY)["trees"][0]["name"] == name


def test_a_tree_carries_its_own_grafts_only() -> None:
    records = Records((Tree("t1", "A", "apple"),), (Graft("g1", "t1", "X"), Graft("g2", "t2", "Y")))
    assert [graft["id"] for graft in trees_shape(records, TODAY)["trees"][0]["grafts"]] == ["g1"]


def test_wood_dates_are_iso() -> None:
    records = Records(wood=(Wood("w1", "X", "apple", 2, cut_on=TODAY),))
    assert wood_page_shape(records, TODAY, None, south=False)["wood"][0]["cut_on"] == "2026-03-12"


def test_a_graft_says_its_species_and_as_much_of_its_day_as_is_known() -> None:
    grafts = (
        Graft("g1", "t1", "Early Peach", species="peach", set_on=RoughDate(2019)),
        Graft("g2", "t1", "Victoria", set_on=date(2019, 4, 13), facing=135),
    )
    first, second = trees_shape(Records((Tree("t1", "Shed plum", "plum"),), grafts), TODAY)["trees"][0]["grafts"]
    assert (first["species"], first["set_on"]) == ("peach", "2019")
    assert (second["species"], second["set_on"], second["facing"]) == ("plum", "2019-04-13", 135)

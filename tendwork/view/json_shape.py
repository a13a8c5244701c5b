"""The JSON shapes of the commands. They are a contract: names, ISO dates, stable order; text exactly as recorded."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

import msgspec
from msgspec import Struct

from tendwork.almanac.results import FrostNight, SpeciesStages, StageDate
from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.records import Records, Tree
from tendwork.orchard.rough_dates import date_text
from tendwork.orchard.unions import Union, graft_union, tree_union, union_words
from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.results import FittedWeek, Plan, Task, Unit
from tendwork.planning.visits import Visit, visits_of

Shape = dict[str, Any]


def stages_shape(stages: Iterable[SpeciesStages], today: date, season: int) -> Shape:
    """`stages --json`."""
    return {
        "today": today.isoformat(),
        "season": season,
        "species": [{"species": held.species, "stages": [_stage(stage) for stage in held.stages]} for held in stages],
    }


def week_shape(
    week: FittedWeek, today: date, frost: Iterable[FrostNight], forecast_to: date | None = None, wraps_on: int = 0
) -> Shape:
    """`week --json`: from today to six days on. Without a forecast it is unknown whether frost comes, not none.

    `wraps_on` counts the grafts whose wrap is still on.
    """
    return {
        "today": today.isoformat(),
        "from": today.isoformat(),
        "to": (today + timedelta(days=WEEK_DAYS - 1)).isoformat(),
        "tasks": [task_shape(task) for task in week.tasks],
        "visits": [visit_shape(visit) for visit in visits_of(week.tasks, today)],
        "short": [{"task": item.task, "minutes": item.minutes, "by": item.by.isoformat()} for item in week.short],
        "frost": [msgspec.to_builtins(night) for night in frost],
        "frost_forecast_to": None if forecast_to is None else forecast_to.isoformat(),
        "wraps_on": wraps_on,
    }


def visit_shape(visit: Visit) -> Shape:
    """VISIT: one line of the week, with the keys of its tasks, the most pressing first."""
    return {
        "key": visit.key,
        "title": visit.first.title,
        "subject": visit.subject,
        "place": visit.first.place if visit.subject == visit.first.subject else "",
        "opens": visit.opens.isoformat(),
        "closes": visit.closes.isoformat(),
        "state": visit.state,
        "stake": visit.stake,
        "can_wait": visit.first.can_wait,
        "minutes": visit.minutes,
        "days": [{"date": day.isoformat(), "minutes": minutes} for day, minutes in visit.days],
        "tools": list(visit.tools),
        "cautions": [caution.card for caution in visit.cautions],
        "tasks": [part.key for part in visit.parts],
    }


def season_shape(plan: Plan) -> Shape:
    """`season --json`."""
    return {
        "today": plan.today.isoformat(),
        "season": plan.season,
        "tasks": [task_shape(task) for task in plan.tasks],
    }


def task_shape(task: Task) -> Shape:
    """TASK, which is also what `why --json` prints."""
    return {
        "key": task.key,
        "template": task.template,
        "title": task.title,
        "part": task.part,
        "subject": task.subject,
        "place": task.place,
        "opens": task.window.opens.isoformat(),
        "best": task.window.best.isoformat(),
        "closes": task.window.closes.isoformat(),
        "lapses": task.window.lapses.isoformat(),
        "state": task.state,
        "days": [{"date": day.isoformat(), "minutes": minutes} for day, minutes in task.days],
        "minutes": task.minutes,
        "units": [_unit(unit) for unit in task.units],
        "cautions": [caution.card for caution in task.cautions],
        "tools": list(task.tools),
        "steps": list(task.steps),
        "because": list(task.because),
        "source": task.source,
        "why_cautions": [{"card": one.card, "because": one.because, "only": one.only} for one in task.cautions],
        "not_now": list(task.not_now),
        "mind": list(task.mind),
        "stake": task.stake,
        "loss": task.loss,
        "visit": task.visit,
    }


def trees_shape(records: Records, today: date) -> Shape:
    """`trees --json`: each tree with its grafts, signs of disease and sprays, in the order of entry.

    Keys are as the records name them; the species of a graft is always said. `union` is what is known of a tree on its
    stock, null where none is noted, and of a graft on what it stands on.
    """
    return {"trees": [_tree(records, tree, today) for tree in records.trees]}


def _tree(records: Records, tree: Tree, today: date) -> Shape:
    grafts = [graft for graft in records.grafts if graft.tree == tree.id]
    shape: Shape = msgspec.to_builtins(tree)
    return shape | {
        "union": _union(tree_union(tree, today)),
        "grafts": [
            msgspec.to_builtins(graft)
            | {
                "species": graft_species(graft, tree),
                "set_on": None if graft.set_on is None else date_text(graft.set_on),
                "union": _union(graft_union(graft, tree, today)),
            }
            for graft in grafts
        ],
        "troubles": [msgspec.to_builtins(trouble) for trouble in records.troubles if trouble.tree == tree.id],
        "sprays": [msgspec.to_builtins(spray) for spray in records.sprays if spray.tree == tree.id],
    }


def _union(union: Union | None) -> Shape | None:
    if union is None:
        return None
    return {"on": union.on, "verdict": union.verdict, "fails_late": union.fails_late, "words": union_words(union)}


def _stage(stage: StageDate) -> Shape:
    return {
        "stage": stage.stage,
        "bbch": stage.bbch,
        "state": stage.state,
        "date": _iso(stage.date),
        "low": _iso(stage.low),
        "high": _iso(stage.high),
        "because": list(stage.because),
    }


def _unit(unit: Unit) -> Shape:
    shape = {
        "id": unit.id,
        "label": unit.label,
        "state": unit.state,
        "outcome": unit.outcome,
        "held_by": unit.held_by,
        "held_until": _iso(unit.held_until),
    }
    return shape | {"task": unit.task} if unit.task else shape


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def json_rows(results: Iterable[Struct]) -> list[dict[str, Any]]:
    """One row for each result: a balance, age, rate, span, week, gap, overlap, suggestion, place or event."""
    return [msgspec.to_builtins(result) for result in results]

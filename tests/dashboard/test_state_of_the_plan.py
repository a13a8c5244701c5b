"""What the kept plan tells of a field that the screens have too is what the screens are given."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from tendwork.dashboard.making import made_state
from tendwork.dashboard.state import State
from tendwork.workbench.plan_cache import PlannedDay

DAY = date(2026, 5, 6)
SHARED = sorted({*PlannedDay.__struct_fields__} & {*State.__struct_fields__})


def planned(**more: Any) -> PlannedDay:
    values = dict.fromkeys(PlannedDay.__struct_fields__) | {"week": SimpleNamespace(tasks=())} | more
    return PlannedDay(**values)


def state_of(made: PlannedDay) -> State:
    site = SimpleNamespace(name="Hill", latitude=52.0, longitude=-3.0, elevation_m=None, units="metric", south=False)
    return made_state(
        SimpleNamespace(  # type: ignore[arg-type]
            site=site,
            plan=SimpleNamespace(summary=lambda _: made, looked=lambda _: None),
            records=SimpleNamespace(read=lambda: None),
        ),
        DAY,
    )


@pytest.mark.parametrize("field", SHARED)
def test_a_field_of_the_plan_that_the_state_has_too_reaches_it(field: str) -> None:
    told = SimpleNamespace(tasks=())
    assert getattr(state_of(planned(**{field: told})), field) is told, f"made_state does not hand {field} on"


def test_the_fields_that_are_looked_at_are_those_that_the_screens_show() -> None:
    assert {"week", "stages", "frost", "words", "wraps", "gaps", "changed"} <= set(SHARED)

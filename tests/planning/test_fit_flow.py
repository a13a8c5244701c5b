"""The fit against a general maximum flow, that of networkx."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any

import pytest
from examples import examples
from fitting import day, hours, plan_of, pressing_units, task
from hypothesis import given
from hypothesis import strategies as st

from tendwork.planning.fit import fit_week
from tendwork.planning.results import Task

networkx = pytest.importorskip("networkx")

LIGHT = st.one_of(st.just(0), st.integers(0, 30), st.just(30))
TIME = st.lists(st.tuples(st.integers(0, 30), LIGHT).map(lambda held: (held[0], min(held))), min_size=7, max_size=7)


def maximum_flow(work: Iterable[tuple[Iterable[int], bool, int]], time: Iterable[tuple[int, int]]) -> int:
    """Of work on some days, the time that they can give: (whole, fit for the ladder) of each day."""
    network: Any = networkx.DiGraph()
    network.add_nodes_from(("source", "sink"))
    for step, (whole, light) in enumerate(time):
        network.add_edge(("light", step), ("whole", step), capacity=light)
        network.add_edge(("whole", step), "sink", capacity=whole)
    for number, (days, ladder, amount) in enumerate(work):
        network.add_edge("source", number, capacity=amount)
        for step in days:
            network.add_edge(number, ("light" if ladder else "whole", step), capacity=amount)
    return networkx.maximum_flow_value(network, "source", "sink")


@st.composite
def single_minutes(draw: st.DrawFn, name: str) -> Task:
    """Units of one minute without setting up: what a flow of whole numbers is."""
    opens = draw(st.integers(-1, 6))
    units = draw(st.integers(1, 8))
    return task(
        name,
        opens=opens,
        closes=draw(st.integers(max(opens, 0), 6)),
        units=units,
        ladders=draw(st.integers(0, units)),
        each=1,
        unsuited=draw(st.lists(st.integers(0, 6), max_size=3)),
    )


@examples(60)
@given(tasks=st.tuples(*(single_minutes(name) for name in "abcdef")), time=TIME)
def test_work_in_single_minutes_fits_if_and_only_if_the_maximum_flow_takes_it_all(
    tasks: tuple[Task, ...], time: list[tuple[int, int]]
) -> None:
    units = Counter(
        (tuple(step for step in range(7) if day(step) in days), above)
        for held in tasks
        for days, above in pressing_units(held)
    )
    work = [(days, above, count) for (days, above), count in units.items()]
    week = fit_week(plan_of(*tasks, days=hours(*(whole for whole, _ in time), ladder=[light for _, light in time])))
    assert (not week.short) == (maximum_flow(work, time) == units.total())

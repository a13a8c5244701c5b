"""Which ticks stand after some were taken back."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st
from orchard_records import tick

from tendwork.orchard.records import Tick
from tendwork.orchard.standing_ticks import Standing, season_of_tick, standing_ticks, template_of

DAY = date(2026, 5, 1)


def test_taking_back_leaves_the_tick_before() -> None:
    ticks = (
        tick("look", "g1", DAY, "not yet"),
        tick("look", "g1", DAY, "took"),
        tick("look", "g1", DAY, "took", undone=True),
    )
    assert [one.outcome for one in standing_ticks(ticks)] == ["not yet"]


def test_a_key_gives_its_template_and_its_season_without_the_round() -> None:
    one = Tick("check-wood/site/2026.3", "w1", DAY)
    assert (template_of(one), season_of_tick(one)) == ("check-wood", 2026)


def test_a_key_of_another_making_has_no_season() -> None:
    assert season_of_tick(Tick("look", "g1", DAY)) is None


@given(
    st.lists(
        st.builds(
            Tick,
            task=st.sampled_from(["a/t1/2026", "b/t1/2026"]),
            unit=st.sampled_from(["g1", "g2"]),
            day=st.just(DAY),
            outcome=st.sampled_from(["done", "not yet"]),
            undone=st.booleans(),
        )
    )
)
def test_the_planner_and_the_records_agree_on_what_stands(ticks: list[Tick]) -> None:
    planner = Standing(tuple(ticks))
    keys = {(one.task, one.unit) for one in ticks}
    theirs = {found for task, unit in keys if (found := planner.tick(task, unit)) is not None}
    assert set(standing_ticks(ticks)) == theirs

"""What an adjustment changes in a template, and in which words `why` says so."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from tendwork.planning.adjustments import NO_LIMIT, Adjustment, Adjustments, adjusted
from tendwork.planning.vocabulary import Anchor, Effort, Repeats, Template, Weather, Where

LOOK = Template(
    "look", "Look", "aftercare", "graft", Anchor(date="04-01"), Anchor(date="04-20"),
    best=Anchor(date="04-10"), lapses=Anchor(date="05-01"), where=Where(species=("apple", "pear"), state=("set",)),
    weather=Weather(dry=True, min_c=7.0, max_c=25.0, frost_free_nights=2), effort=Effort(10.0, 3.0),
    repeats=Repeats(every_days=7, times=4), note="By hand.",
    stake="graft", loss="the tape cuts in", visit="aftercare",
)  # fmt: skip


@pytest.mark.parametrize(
    ("change", "where", "becomes", "said"),
    [
        ({"opens_later_days": 2}, "opens", Anchor(date="04-01", days=2), "opens 2 days later"),
        ({"stake": "graft"}, "stake", "graft", "a graft at stake"),
        ({"loss": "it dies"}, "loss", "it dies", "or it dies"),
        ({"loss": ""}, "loss", "", "no loss named"),
        ({"visit": "walk"}, "visit", "walk", "done with the others of walk"),
        ({"visit": ""}, "visit", "", "done with no other job"),
        ({"best_later_days": -1}, "best", Anchor(date="04-10", days=-1), "best 1 day earlier"),
        ({"closes_later_days": 3}, "closes", Anchor(date="04-20", days=3), "closes 3 days later"),
        ({"lapses_later_days": -3}, "lapses", Anchor(date="05-01", days=-3), "lapses 3 days earlier"),
        ({"species": ("pear",)}, "where", Where(species=("pear",), state=("set",)), "only for pear"),
        ({"min_c": 5.5}, "weather.min_c", 5.5, "5.5 °C at least"),
        ({"min_c": 0.0}, "weather.min_c", 0.0, "0 °C at least"),
        ({"min_c": NO_LIMIT}, "weather.min_c", None, "as cold as it comes"),
        ({"max_c": 30.0}, "weather.max_c", 30.0, "30 °C at most"),
        ({"max_c": NO_LIMIT}, "weather.max_c", None, "as warm as it comes"),
        ({"frost_free_nights": 0}, "weather.frost_free_nights", 0, "0 frost-free nights"),
        ({"dry": False}, "weather.dry", False, "wet or dry"),
        ({"dry": True}, "weather.dry", True, "a dry day"),
        ({"setup_minutes": 0.0}, "effort.setup_minutes", 0.0, "0 minutes to set up"),
        ({"minutes_each": 1.5}, "effort.minutes_each", 1.5, "1.5 minutes each"),
        ({"every_days": 10}, "repeats.every_days", 10, "every 10 days"),
        ({"times": 2}, "repeats.times", 2, "2 rounds"),
    ],
    ids=str,
)
def test_a_change_alters_its_own_value_alone_and_says_so(
    change: dict[str, Any], where: str, becomes: object, said: str
) -> None:
    (laid,) = adjusted((LOOK,), Adjustments(template={"look": Adjustment(**change)}))
    values, before = values_of(laid), values_of(LOOK)
    assert values.pop(where) == becomes
    assert values == {name: value for name, value in before.items() if name != where}
    assert laid.note == f"Adjusted for this site: {said}. By hand."


def test_the_loss_that_goes_with_one_stake_does_not_stand_with_another() -> None:
    for change, loss in (
        (Adjustment(stake="year"), ""),
        (Adjustment(stake="year", loss="it is late"), "it is late"),
        (Adjustment(stake="graft"), "the tape cuts in"),
    ):
        (laid,) = adjusted((LOOK,), Adjustments(template={"look": change}))
        assert (laid.stake, laid.loss) == (change.stake, loss)
    assert laid.changed == "Adjusted for this site: a graft at stake."


def test_what_is_not_adjusted_stays_and_what_is_off_goes() -> None:
    assert adjusted((LOOK,), Adjustments()) == (LOOK,)
    assert adjusted((LOOK,), Adjustments(template={"look": Adjustment(off=True)})) == ()


def values_of(template: Template) -> dict[str, object]:
    whole = ("opens", "best", "closes", "lapses", "where", "stake", "loss", "visit")
    parts = {
        f"{part}.{name}": getattr(getattr(template, part), name)
        for part in ("weather", "effort", "repeats")
        for name in getattr(template, part).__struct_fields__
    }
    return {**parts, **{name: getattr(template, name) for name in whole}}


def test_minutes_each_that_are_adjusted_stand_for_trees_of_every_size() -> None:
    by_size = msgspec.structs.replace(LOOK, effort=Effort(10, minutes_by_size=(15, 45, 120)))
    (laid,) = adjusted((by_size,), Adjustments(template={"look": Adjustment(minutes_each=60)}))
    assert laid.effort == Effort(10, 60)
    (later,) = adjusted((by_size,), Adjustments(template={"look": Adjustment(setup_minutes=3)}))
    assert later.effort == Effort(3, 0, (15, 45, 120))

"""Which grafts count as taken, how they are grouped, and when one choice is called better."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from orchard_records import bundle, graft, orchard, tasting, tick

from tendwork.orchard.take_rates import (
    TakeRate,
    Trial,
    choice_sentence,
    rate_words,
    take_rates,
    trials,
    wilson_interval,
)

DAY = date(2026, 5, 10)


@pytest.mark.parametrize(
    ("state", "took"), [("took", True), ("bearing", True), ("failed", False), ("set", None), ("planned", None)]
)
def test_the_state_says_whether_a_graft_took(state: str, took: bool | None) -> None:
    assert [trial.took for trial in trials(orchard(graft(state=state)))] == ([] if took is None else [took])


def test_a_removed_graft_took_if_it_was_seen_to_take_was_tasted_or_was_judged() -> None:
    removed = graft(state="removed")
    ticked = orchard(removed, ticks=(tick("take-check", "g1", DAY, "took"),))
    tasted = orchard(removed, tastings=(tasting("g1", DAY, 3),))
    judged = orchard(graft(state="removed", verdict="cut"))
    assert [[trial.took for trial in trials(records)] for records in (ticked, tasted, judged)] == [[True]] * 3


def test_a_removed_graft_whose_last_check_said_failed_did_not_take() -> None:
    ticks = (tick("a", "g1", date(2026, 5, 1), "took"), tick("b", "g1", date(2026, 6, 1), "failed"))
    assert [trial.took for trial in trials(orchard(graft(state="removed"), ticks=ticks))] == [False]


def test_a_removed_graft_of_which_nothing_is_known_is_left_out() -> None:
    assert trials(orchard(graft(state="removed"))) == ()


def test_a_trial_holds_what_one_can_choose() -> None:
    # set on Wednesday 1 April 2026, ISO week 14, 71 days after 20 January
    one = graft(state="took", method="cleft", wrap="film", wood="w1")
    assert trials(orchard(one, wood=(bundle(),))) == (Trial("g1", "apple", "cleft", "film", True, 14, 71),)


def test_rates_count_by_hand() -> None:
    # cleft 2 of 3, bark 0 of 1; the graft without a method is left out
    fates = [("cleft", "took"), ("cleft", "failed"), ("cleft", "bearing"), ("bark", "failed"), ("", "took")]
    grafts = [graft(f"g{place}", method=method, state=state) for place, (method, state) in enumerate(fates)]
    rates = take_rates(trials(orchard(*grafts)), "method")
    assert [(rate.of, rate.took, rate.tried) for rate in rates] == [("bark", 0, 1), ("cleft", 2, 3)]


def test_weeks_are_in_order_and_say_where_they_lie() -> None:
    days = [date(2026, 8, 12), date(2025, 4, 10), date(2026, 4, 8)]
    grafts = [graft(f"g{place}", state="took", set_on=day) for place, day in enumerate(days)]
    rates = take_rates(trials(orchard(*grafts)), "week")
    assert [(rate.of, rate.tried) for rate in rates] == [("week 15, early Apr", 2), ("week 33, mid Aug", 1)]


def test_wood_age_is_in_bands_of_four_weeks_in_order() -> None:
    days = [date(2026, 5, 12), date(2026, 2, 16), date(2026, 2, 17)]  # 112, 27 and 28 days after 20 January
    grafts = [graft(f"g{place}", state="took", set_on=day, wood="w1") for place, day in enumerate(days)]
    rates = take_rates(trials(orchard(*grafts, wood=(bundle(),))), "wood age")
    assert [rate.of for rate in rates] == ["0 to 3 weeks", "4 to 7 weeks", "16 to 19 weeks"]


def many(method: str, took: int, tried: int, species: str = "apple") -> list[Trial]:
    return [Trial(f"{method}{place}", species, method, "", place < took) for place in range(tried)]


def test_one_method_counts_as_one_however_it_is_written() -> None:
    tried = [trial for method in ("bark", "Bark  graft", "rind", "t-bud", "my own") for trial in many(method, 1, 2)]
    assert [(rate.of, rate.tried) for rate in take_rates(tried, "method")] == [("T-bud", 2), ("bark", 6), ("my own", 2)]


def test_one_choice_is_called_better_only_where_the_intervals_stand_apart() -> None:
    # 19 of 20: 76 to 99 %. 3 of 10: 11 to 60 %. 7 of 8: 53 to 98 %.
    sentence = choice_sentence([*many("cleft", 19, 20), *many("bark", 3, 10), *many("side", 7, 8)], "apple")
    assert sentence == (
        "Your apple grafts: cleft 19 of 20 took (76 to 99 %); side 7 of 8 took (53 to 98 %);"
        " bark 3 of 10 took (11 to 60 %). So far cleft takes better than bark."
    )


def test_the_second_of_two_can_be_beaten() -> None:
    sentence = choice_sentence([*many("cleft", 19, 20), *many("bark", 3, 10)], "apple")
    assert sentence.endswith("So far cleft takes better than bark.")


@pytest.mark.parametrize(("week", "part"), [(37, "early Sep"), (34, "mid Aug"), (35, "late Aug"), (53, "late Dec")])
def test_a_week_lies_where_its_thursday_lies_in_2020(week: int, part: str) -> None:
    # Thursdays of 2020: 10 September, 20 August, 27 August, 31 December
    (rate,) = take_rates([Trial("g1", "apple", "cleft", "", True, week)], "week")
    assert rate.of == f"week {week}, {part}"


def test_few_grafts_do_not_decide() -> None:
    assert choice_sentence([*many("cleft", 3, 3), *many("bark", 1, 3)], "apple").endswith(
        "Too few to say that one is better."
    )


def test_one_method_alone_is_told_without_a_comparison_and_nothing_tried_is_no_sentence() -> None:
    assert choice_sentence(many("cleft", 3, 4), "apple") == "Your apple grafts: cleft 3 of 4 took (30 to 95 %)."
    assert choice_sentence(many("cleft", 3, 4), "pear") == ""


def test_a_rate_in_words() -> None:
    assert rate_words(TakeRate("cleft", 16, 14, 0.63977, 0.96502)) == "14 of 16 took (64 to 97 %)"


@pytest.mark.parametrize(("took", "tried"), [(0, 0), (3, 2), (-1, 2)])
def test_what_is_no_share_has_no_interval(took: int, tried: int) -> None:
    with pytest.raises(ValueError, match="no share"):
        wilson_interval(took, tried)


@given(st.integers(1, 500).flatmap(lambda tried: st.tuples(st.integers(0, tried), st.just(tried))))
def test_the_interval_holds_the_share_mirrors_and_narrows_with_more(counts: tuple[int, int]) -> None:
    took, tried = counts
    low, high = wilson_interval(took, tried)
    assert 0 <= low <= took / tried + 1e-12
    assert took / tried - 1e-12 <= high <= 1
    mirrored = wilson_interval(tried - took, tried)
    assert mirrored == pytest.approx((1 - high, 1 - low), abs=1e-9)
    more = wilson_interval(10 * took, 10 * tried)
    assert more[1] - more[0] < high - low

"""Keep, cut or wait by crops, neighbours and loss: hand-worked orchards, and what holds for any.

The weeks of 2026 begin on Sundays: 21 June, 28 June, and so on to 20 September, 27 September, 4 October.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st

from tendwork.orchard.records import Graft, Records, Tasting, Tree, Variety
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.fruit_spans import fruit_spans, season_weeks, weeks_covered
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.season_loss import Missed
from tendwork.planning.verdict_reasons import VerdictReasons, verdict_reasons

TODAY = date(2026, 11, 30)
TREES = (Tree("t1", "Hill", "apple"), Tree("t2", "Barn", "pear"))
SEPTEMBER, OCTOBER = date(2026, 9, 21), date(2026, 10, 5)


def ripe(variety: str, first: date, days: int = 5, species: str = "apple", until: date | None = None) -> RipeDates:
    """Ripe on the tree from one day on, for so many days more."""
    last = first + timedelta(days=days)
    return RipeDates(species, variety, first, first, first, first, until, (), first, last, first)


class Orchard:
    """Grafts with their scores in as many years, and when they are ripe."""

    def __init__(self) -> None:
        self.grafts: list[Graft] = []
        self.tastings: list[Tasting] = []
        self.dates: list[RipeDates] = []
        self.varieties: list[Variety] = []

    def add(
        self, variety: str, scores: tuple[int, ...] = (), *rows: RipeDates, identity: str = "", **changes: str
    ) -> Orchard:
        own = identity or f"g{len(self.grafts) + 1}"
        self.grafts.append(Graft(own, variety=variety, **{"tree": "t1", "state": "bearing", **changes}))
        self.tastings += [Tasting(date(2022 + year, 9, 1), own, "ripe", score) for year, score in enumerate(scores)]
        self.dates += rows
        return self

    @property
    def records(self) -> Records:
        return Records(TREES, tuple(self.grafts), tastings=tuple(self.tastings), varieties=tuple(self.varieties))

    def reasons(self) -> dict[str, VerdictReasons]:
        found = verdict_reasons(self.records, self.dates, VarietyBook(self.records), TODAY)
        return {one.graft: one for one in found}

    def said(self, graft: str = "g1") -> tuple[str, str]:
        suggestion = self.reasons()[graft].suggestion
        assert suggestion is not None
        return suggestion.suggested, suggestion.because.partition("of 5: ")[2]


def five_of_a_week(*others: int) -> Orchard:
    """Lamp, of 3, 3 and 3, in the week of 20 September, and others of other scores that ripen with it."""
    orchard = Orchard().add("Lamp", (3, 3, 3), ripe("Lamp", SEPTEMBER))
    for number, score in enumerate(others):
        orchard.add(f"Other {number}", (score,), ripe(f"Other {number}", SEPTEMBER), verdict="keep")
    return orchard


def test_scores_are_held_against_what_is_good_in_the_same_weeks_and_no_other() -> None:
    # (5 + 4 + 4 + 3 + 3) / 5 = 3.8; one of October scored 1 and a pear of the same week 1, and neither counts.
    orchard = five_of_a_week(5, 4, 4, 3, 3).add("Late", (1,), ripe("Late", OCTOBER))
    orchard.add("Pear", (1,), ripe("Pear", SEPTEMBER, species="pear"), tree="t2")
    orchard.add("New", (), ripe("New", SEPTEMBER), state="took")
    beside = orchard.reasons()["g1"].beside
    assert (beside.mean, beside.rank, beside.unscored) == (3.8, 4, ("New",))
    assert beside.scored[0] == ("Other 0", 5.0)
    assert len(beside.scored) == 5


def test_what_is_half_a_point_below_and_would_not_be_missed_is_to_be_cut() -> None:
    assert five_of_a_week(5, 4, 4, 3, 3).said() == (
        "cut",
        "0.8 below the five other varieties of apple that are good in the same weeks, and the season loses nothing.",
    )


@pytest.mark.parametrize(
    ("others", "verdict"),
    # 3.0 against 3.5, 3.33, 3.0 and 2.0
    [((3, 4), "cut"), ((3, 3, 4), "on trial"), ((3, 3), "keep"), ((2, 2), "keep")],
)
def test_one_between_good_and_poor_goes_by_the_mean_of_the_others(others: tuple[int, ...], verdict: str) -> None:
    assert five_of_a_week(*others).said()[0] == verdict


def test_a_good_one_is_kept_even_below_better_ones() -> None:
    orchard = Orchard().add("Lamp", (4, 4, 4), ripe("Lamp", SEPTEMBER))
    orchard.add("Best", (5, 5, 5), ripe("Best", SEPTEMBER))
    assert orchard.said() == ("keep", "good enough to keep.")


def test_with_no_score_to_compare_nothing_is_suggested() -> None:
    orchard = Orchard().add("Lamp", (3, 3, 3), ripe("Lamp", SEPTEMBER)).add("Mute", (), ripe("Mute", SEPTEMBER))
    assert orchard.said() == (
        "on trial",
        "neither good nor poor, and no other apple of its weeks has a score to compare with.",
    )


def test_where_it_is_not_known_when_it_ripens_nothing_is_suggested() -> None:
    assert Orchard().add("Lamp", (3, 3, 3)).said()[1].endswith("so there is nothing to compare with.")
    assert Orchard().add("Lamp", (1, 1, 1)).said() == ("on trial", "poor, but when it ripens is not known.")


def test_two_crops_are_waited_over() -> None:
    orchard = Orchard().add("Lamp", (1, 1), ripe("Lamp", SEPTEMBER)).add("Best", (5,), ripe("Best", SEPTEMBER))
    suggestion = orchard.reasons()["g1"].suggestion
    assert suggestion is not None
    assert suggestion.because == "2 crops seen (2022 and 2023), mean score 1.0 of 5: wait for 3."


def test_a_poor_one_that_fills_weeks_alone_is_not_to_be_cut() -> None:
    # 21 September to 6 October: the weeks of 20 and 27 September and 4 October, the first of them Other's, too.
    orchard = Orchard().add("Lamp", (1, 2, 1), ripe("Lamp", SEPTEMBER, 15))
    orchard.add("Other", (5,), ripe("Other", SEPTEMBER))
    assert orchard.said() == ("on trial", "poor, but nothing else is ripe 27 Sep to 10 Oct.")


def test_neither_is_one_below_the_others() -> None:
    orchard = Orchard().add("Lamp", (3, 3, 3), ripe("Lamp", SEPTEMBER, 15))
    orchard.add("Other", (5,), ripe("Other", SEPTEMBER))
    assert orchard.said() == (
        "on trial",
        "2.0 below Other, which is good in the same weeks, but nothing else is ripe 27 Sep to 10 Oct.",
    )


def test_one_between_that_fills_weeks_alone_is_kept_until_another_bears() -> None:
    orchard = Orchard().add("Lamp", (3, 3, 3), ripe("Lamp", SEPTEMBER)).add("Dark", ())
    orchard.add("Next", (), ripe("Next", SEPTEMBER), state="took")
    # Dark bears, and nobody knows when.
    assert orchard.said() == (
        "keep",
        "neither good nor poor, and nothing else is known to be ripe 20 Sep to 26 Sep until Next bears.",
    )


def test_fruit_in_store_fills_weeks_too() -> None:
    orchard = Orchard().add("Lamp", (1, 1, 1), ripe("Lamp", OCTOBER))
    orchard.add("Keeper", (5,), ripe("Keeper", SEPTEMBER, until=date(2026, 12, 20)))
    assert orchard.said() == ("cut", "poor, and the season loses nothing.")


def test_fruit_in_store_until_the_next_years_is_ripe_meets_that() -> None:
    # In store to 3 July 2027; Early is ripe from 22 June of every year, so in the weeks of 21 and 28 June 2026.
    orchard = Orchard().add("Lamp", (1, 1, 1), ripe("Lamp", OCTOBER, until=date(2027, 7, 3)))
    orchard.add("Early", (5,), ripe("Early", date(2026, 6, 22), 8))
    missed = orchard.reasons()["g1"].missed
    # 52 weeks after that of 21 June 2026 is that of 20 June 2027.
    assert missed.good == ((date(2026, 10, 4), date(2027, 7, 3)),)
    assert missed.alone == ((date(2026, 10, 4), date(2027, 6, 19)),)


def test_of_two_poor_ones_of_a_week_only_the_poorer_goes() -> None:
    orchard = Orchard().add("Lamp", (2, 2, 2), ripe("Lamp", SEPTEMBER))
    orchard.add("Dull", (1, 1, 1), ripe("Dull", SEPTEMBER))
    assert orchard.said("g2") == ("cut", "poor, and the season loses nothing.")
    assert orchard.said("g1") == (
        "on trial",
        "poor, but once Dull is cut, nothing else is ripe 20 Sep to 26 Sep.",
    )


def test_of_two_grafts_of_a_poor_variety_that_is_alone_one_goes() -> None:
    orchard = Orchard().add("Lamp", (2, 2, 2), ripe("Lamp", SEPTEMBER)).add("Lamp", (1, 1, 1), tree="t1")
    assert orchard.said("g2")[0] == "cut"
    assert orchard.said("g1") == (
        "on trial",
        "poor, but once its other graft is cut, nothing else is ripe 20 Sep to 26 Sep.",
    )


def test_a_graft_that_does_not_bear_yet_fills_no_week_in_its_place() -> None:
    orchard = Orchard().add("Lamp", (1, 1, 1), ripe("Lamp", SEPTEMBER)).add("Lamp", (), state="took")
    missed = orchard.reasons()["g1"].missed
    assert (missed.same, missed.young, missed.alone) == ((), ("g2",), ((date(2026, 9, 20), date(2026, 9, 26)),))


def blooming(**groups: str) -> Orchard:
    """Poor Lamp and good varieties of one week, with their bloom groups."""
    orchard = Orchard().add("Lamp", (1, 1, 1), ripe("Lamp", SEPTEMBER))
    for name in groups:
        if name != "Lamp":
            orchard.add(name, (5, 5, 5), ripe(name, SEPTEMBER), verdict="keep")
    orchard.varieties += [Variety("apple", name, bloom=group) for name, group in groups.items()]
    return orchard


def test_an_only_partner_in_bloom_is_not_to_be_cut() -> None:
    orchard = blooming(Lamp="1", Red="2", Late="5", Later="6")
    assert orchard.reasons()["g1"].missed.partner_of == ("Red",)
    assert orchard.said() == ("on trial", "poor, but it is the only known partner in bloom of Red.")


def test_who_has_another_partner_or_needs_none_loses_nothing() -> None:
    assert blooming(Lamp="1", Red="2", Third="2").reasons()["g1"].missed.partner_of == ()
    selfed = blooming(Lamp="1", Red="2")
    selfed.varieties[1] = Variety("apple", "Red", bloom="2", pollen="self-fertile")
    assert selfed.reasons()["g1"].missed.partner_of == ()


def test_who_gives_no_pollen_is_nobodys_partner() -> None:
    orchard = blooming(Lamp="1", Red="2")
    orchard.varieties[0] = Variety("apple", "Lamp", bloom="1", pollen="triploid")
    assert orchard.reasons()["g1"].missed.partner_of == ()


def test_whose_bloom_is_not_known_is_named_as_not_known() -> None:
    missed = blooming(Lamp="1").add("Dim", (5,)).reasons()["g1"].missed
    assert (missed.partner_of, missed.not_known) == ((), ("Dim",))


def test_another_graft_of_it_stays_a_partner() -> None:
    orchard = blooming(Lamp="1", Red="2").add("Lamp", (), state="took")
    assert orchard.reasons()["g1"].missed.partner_of == ()


def test_what_is_judged_has_its_reasons_and_no_suggestion() -> None:
    orchard = five_of_a_week(5).add("Gone", (1, 1, 1), ripe("Gone", OCTOBER), verdict="cut")
    gone = orchard.reasons()["g3"]
    assert gone.suggestion is None
    assert gone.missed.alone == ((date(2026, 10, 4), date(2026, 10, 10)),)


def test_what_is_judged_cut_neither_fills_weeks_nor_is_compared_with() -> None:
    orchard = Orchard().add("Lamp", (3, 3, 3), ripe("Lamp", SEPTEMBER))
    orchard.add("Gone", (5, 5, 5), ripe("Gone", SEPTEMBER), verdict="cut")
    reasons = orchard.reasons()["g1"]
    assert reasons.beside.scored == ()
    assert reasons.missed.alone == ((date(2026, 9, 20), date(2026, 9, 26)),)


def test_in_the_south_the_weeks_begin_at_its_own_high_summer() -> None:
    # 22 March 2027 is the 91st day after 21 December 2026: its week is the 14th, from 22 to 28 March.
    orchard = Orchard().add("Lamp", (3,), ripe("Lamp", date(2027, 3, 22), 3))
    (one,) = verdict_reasons(orchard.records, orchard.dates, VarietyBook(orchard.records), TODAY, south=True)
    assert season_weeks(2026, south=True)[13] == date(2027, 3, 22)
    assert one.missed.good == ((date(2027, 3, 22), date(2027, 3, 28)),)


def test_an_empty_orchard_has_nothing_to_judge() -> None:
    assert verdict_reasons(Records(), (), VarietyBook(Records()), TODAY) == ()
    assert Orchard().add("Lamp").reasons()["g1"].missed == Missed()


one_graft = st.tuples(
    st.integers(0, 3),  # variety
    st.one_of(st.lists(st.integers(1, 3), min_size=3, max_size=3), st.lists(st.integers(1, 5), max_size=4)),
    st.sampled_from(["on trial", "on trial", "on trial", "keep", "cut"]),
    st.sampled_from(["bearing", "bearing", "bearing", "took", "planned"]),
)


@examples(150)
@given(
    st.lists(one_graft, min_size=2, max_size=7),
    st.lists(st.tuples(st.integers(0, 2), st.integers(0, 2)), min_size=4, max_size=4),
    st.lists(st.sampled_from(["", "1", "1", "3", "5"]), min_size=4, max_size=4),
)
def test_all_suggestions_to_cut_together_leave_no_week_bare_and_nobody_without_a_partner(grafts, weeks, groups) -> None:
    orchard = Orchard()
    for variety, scores, verdict, state in grafts:
        orchard.add(f"Lamp {variety}", tuple(scores), verdict=verdict, state=state)
    orchard.dates = [
        ripe(f"Lamp {number}", SEPTEMBER + timedelta(weeks=first), more * 7)
        for number, (first, more) in enumerate(weeks)
    ]
    orchard.varieties = [Variety("apple", f"Lamp {number}", bloom=group) for number, group in enumerate(groups)]
    found = orchard.reasons()
    cut = {one.graft for one in found.values() if one.suggestion is not None and one.suggestion.suggested == "cut"}

    def filled(grafts: list[Graft]) -> set[int]:
        bearing = Records(TREES, tuple(graft for graft in grafts if graft.state == "bearing"))
        spans = fruit_spans(bearing, orchard.dates, VarietyBook(bearing))
        return {week for span in spans for week in weeks_covered(span, season_weeks(2026))}

    def served(grafts: list[Graft]) -> set[str]:
        """Who has somebody else, at most a group apart."""
        grown = {graft.variety for graft in grafts if graft.state in ("took", "bearing") and graft.verdict != "cut"}
        group = {name: int(groups[int(name[-1])]) for name in grown if groups[int(name[-1])]}
        return {one for one in group for other in group if one != other and abs(group[one] - group[other]) <= 1}

    left = [graft for graft in orchard.grafts if graft.id not in cut]
    standing = {graft.variety for graft in left if graft.state in ("took", "bearing") and graft.verdict != "cut"}
    assert filled(left) == filled(orchard.grafts)
    assert served(orchard.grafts) & standing == served(left)
    for one in found.values():
        assert (one.suggestion is None) == (one.verdict != "on trial")
        if one.graft in cut:
            assert len(one.crops.years) >= 3
            assert one.crops.score is not None
            assert one.crops.score < 4

"""What to graft where, by hand: an invented orchard of two apple trees, what it is short of, and what is proposed."""

from __future__ import annotations

from datetime import date

import msgspec
import pytest
from msgspec.structs import replace
from noted_dates import noted_dates

from tendwork.errors import PersonError
from tendwork.orchard.edits import applied
from tendwork.orchard.records import Graft, GraftState, Records, Tasting, Tree, Trouble, Variety, Verdict, Wood
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.choosing import Proposal, Wishes, accepted, picks_of, propose, refuse_other, swap_cost
from tendwork.planning.graft_asking import ask_by, graft_minutes, wood_needs
from tendwork.planning.graft_candidates import SeasonDates
from tendwork.planning.graft_picks import Pick
from tendwork.planning.ripening_dates import RipeDates

TODAY = date(2026, 11, 20)
OLD = date(2015, 4, 10)


def graft(
    identity: str,
    variety: str,
    state: GraftState = "bearing",
    ripe: str = "",
    tree: str = "t1",
    verdict: Verdict = "on trial",
    **more: object,
) -> Graft:
    """A graft at a place of its own: facing south, its height in the last figure of its id."""
    first, last = (tuple(map(int, day.split("-"))) for day in ripe.split(" to ")) if ripe else (None, None)
    held = Graft(
        identity,
        tree,
        variety,
        "whip and tongue",
        state=state,
        set_on=None if state == "planned" else OLD,
        ripens_from=first,  # type: ignore[arg-type]
        ripens_to=last,  # type: ignore[arg-type]
        verdict=verdict,
        facing=180,
        height_m=float(identity[-1]) + 1,
        out_m=1.0 + int(identity[1:]) / 4,
    )
    return replace(held, **more)


def orchard(*more: object, kept: tuple[Graft, ...] | None = None) -> Records:
    """Trees of apples with nine and three kept grafts, all ripe 1 to 28 September, and what comes to them."""
    trees = (
        Tree("t1", "Old tree", "apple", "seedling", 1990, height_m=9),
        Tree("t2", "New tree", "apple", planted=2010),
    )
    if kept is None:
        kept = tuple(
            graft(f"g1{n}", "Autumn Kept", ripe="09-01 to 09-28", tree="t1" if n < 6 else "t2") for n in range(9)
        )
    kinds: dict[str, list[object]] = {"grafts": list(kept), "wood": [], "varieties": [], "tastings": [], "troubles": []}
    kind_of = {Graft: "grafts", Wood: "wood", Variety: "varieties", Tasting: "tastings", Trouble: "troubles"}
    for record in more:
        kinds[kind_of[type(record)]].append(record)
    return Records(trees=trees, **{kind: tuple(held) for kind, held in kinds.items()})  # type: ignore[arg-type]


def free(identity: str, tree: str = "t1", **more: object) -> Graft:
    return graft(identity, f"Lost {identity}", "removed", tree=tree, verdict="cut", **more)


def known(variety: str, ripens: str = "", **more: object) -> Variety:
    return replace(Variety("apple", variety, ripens=ripens), **more)


def proposed(records: Records, **wishes: object) -> Proposal:
    return propose(records, TODAY, False, noted_dates(records, TODAY), replace(Wishes(), **wishes))


def pairs(proposal: Proposal) -> dict[str, str]:
    return {line.place.id: line.candidate.variety for line in proposal.lines}


@pytest.mark.parametrize(
    ("first", "last", "span"),
    [
        # 21 June is the first day of week 0, 27 June its last, 28 June the first of week 1.
        (date(2027, 6, 21), date(2027, 6, 27), (0, 0)),
        (date(2027, 6, 28), date(2027, 7, 5), (1, 2)),
        (date(2027, 5, 20), date(2027, 6, 22), (0, 0)),
        (date(2027, 12, 20), date(2028, 2, 10), (26, 26)),
        (date(2028, 1, 5), date(2028, 2, 10), None),
    ],
)
def test_a_season_is_counted_in_weeks_from_high_summer(first: date, last: date, span: tuple[int, int] | None) -> None:
    row = RipeDates("apple", "One", first, first, first, first, None, (), first, last, first)
    book = VarietyBook(Records())
    assert SeasonDates((row,), book, TODAY, False).span(book.key("apple", "One")) == span


def test_fruit_out_of_the_store_counts_and_a_late_spring_does_not() -> None:
    """Picked on 5 October, 6 days later than usual, and eaten in December: weeks 23 (from 29 November) to 26."""
    picked = date(2027, 10, 5)
    days = {
        "usual": date(2027, 9, 29),
        "hangs": date(2027, 10, 12),
        "eat": date(2027, 12, 6),
        "until": date(2028, 1, 31),
    }
    row = RipeDates("apple", "Keeper", picked, picked, picked, picked, because=(), **days)
    records = orchard(free("g21"), known("Keeper"))
    found = propose(records, TODAY, False, (*noted_dates(records, TODAY), row))
    (line,) = found.lines
    assert line.candidate.span == (23, 26)  # from 30 November, the week in which 30 November lies
    assert len(found.before) - len(found.after) == 4
    assert line.reason == "Fills 4 weeks in which no other fruit is ripe."


def test_twelve_weeks_without_fruit_become_four() -> None:
    # Kept fruit from 13 September (week 12) to the end: weeks 0 to 11 are bare. Three varieties fill four, two and two
    # of them: 28 June to 25 July, 2 to 15 August, 23 August to 5 September. Left are weeks 0, 5, 8 and 11.
    kept = tuple(graft(f"g1{n}", "Autumn Kept", ripe="09-13 to 12-26", tree="t1" if n < 6 else "t2") for n in range(9))
    found = proposed(
        orchard(
            free("g21"),
            free("g22"),
            free("g23", "t2"),
            known("First Summer", "06-28 to 07-25"),
            known("Second Summer", "08-02 to 08-15"),
            known("Third Summer", "08-23 to 09-05"),
            kept=kept,
        )
    )
    assert found.before == tuple(range(12))
    assert found.after == (0, 5, 8, 11)
    assert set(pairs(found).values()) == {"First Summer", "Second Summer", "Third Summer"}
    reasons = {line.candidate.variety: line.reason for line in found.lines}
    assert reasons["First Summer"] == "Fills 4 weeks in which no other fruit is ripe."


def test_what_ripens_when_nobody_knows_counts_for_nothing_and_is_said() -> None:
    wood = Wood("w1", "Riddle", "apple", 2, date(2026, 11, 10), "A. Friend")
    found = proposed(orchard(free("g21"), wood, known("July Apple", "07-05 to 07-11"), known("Riddle")), new=1)
    assert pairs(found) == {"g21": "July Apple"}
    (reason,) = [reason for reason, held in found.not_known.items() if held[-1].variety == "Riddle"]
    assert reason == "when it is ripe, when it blooms and how strongly it grows is not known: counts for nothing."
    alone = proposed(orchard(free("g21"), wood))
    assert alone.after == alone.before
    (line,) = alone.lines
    assert line.reason == "A place is left, and its wood is in hand; when it is ripe is unknown: counts for nothing."


def test_what_grows_here_and_ripens_when_nobody_knows_is_said_too() -> None:
    found = proposed(orchard(graft("g31", "Dark Horse")))
    assert "When Dark Horse here is ripe is unknown: counts for nothing." in found.notes


def test_what_was_set_in_the_spring_before_takes_no_room_of_the_next() -> None:
    places = [free(f"g2{n}") for n in range(3)]
    wished = [known(f"Wished {n}") for n in range(8)]
    records = orchard(*places, graft("g33", "Young", "set", set_on=date(2026, 4, 10)), *wished)
    # Ten parts on the old tree: three for each spring.
    assert len(propose(records, date(2026, 5, 1), False, ()).lines) == 2
    assert len(propose(records, date(2026, 8, 20), False, ()).lines) == 3


def test_untasted_fruit_has_no_score_and_no_taste_is_invented() -> None:
    found = proposed(orchard(free("g21"), known("July Apple", "07-05 to 07-11")))
    assert found.lines[0].candidate.score is None
    assert "of 5" not in found.lines[0].reason


def test_fruit_that_its_tastings_speak_against_fills_no_week() -> None:
    poor = graft("g31", "July Poor", ripe="07-05 to 07-11")
    tasted = [Tasting(date(year, 7, 8), "g31", "ripe", 1) for year in (2024, 2025, 2026)]
    assert 2 not in proposed(orchard(poor)).before
    found = proposed(orchard(poor, *tasted))
    assert 2 in found.before
    assert "Not counted as good fruit, for their tastings speak for cutting: July Poor." in found.notes


def test_fruit_judged_cut_fills_no_week_and_its_limb_is_a_place() -> None:
    going = graft("g31", "July Poor", ripe="07-05 to 07-11", verdict="cut")
    found = proposed(orchard(going, known("July Good", "07-05 to 07-11")))
    assert 2 in found.before
    assert pairs(found) == {"g31": "July Good"}
    assert found.lines[0].place.method == "bark"
    assert not found.lines[0].place.free_now


def test_no_more_than_a_third_of_a_crown_is_changed() -> None:
    # Six kept grafts and six free places on t1 make twelve parts: four may be grafted; one is planned, so three more.
    places = [free(f"g2{n}") for n in range(6)]
    varieties = [known(f"Wished {n}", "07-05 to 07-11") for n in range(8)]
    assert len(proposed(orchard(*places, *varieties)).lines) == 4
    found = proposed(orchard(*places, graft("g35", "Planned", "planned"), *varieties))
    assert len(found.lines) == 3  # thirteen parts, of which a third is four
    assert found.limits == (
        "Old tree: 1 graft planned or set for that spring; of 13 places noted it takes 3 more, a third in all.",
    )


def test_hours_bound_the_grafts_with_what_is_planned_already() -> None:
    # Two hours less setting up two trees for 10 minutes each and one planned graft of 7: 93, at 7 a graft 13; and in
    # 40 minutes 13 are left, for one.
    places = [free(f"g2{n}") for n in range(6)]
    varieties = [known(f"Wished {n}") for n in range(8)]
    records = orchard(*places, graft("g35", "Planned", "planned", tree="t2"), *varieties)
    minutes = {("apple", "whip and tongue"): (10.0, 7.0)}
    assert len(proposed(records, hours=2, minutes=minutes).lines) == 4
    found = proposed(records, hours=40 / 60, minutes=minutes)
    assert len(found.lines) == 1
    assert found.limits[-1] == (
        "1 graft planned already and setting up take 27 of 40 minutes; at 7 minutes a graft there is time for 1 more."
    )
    assert proposed(records, hours=0, minutes=minutes).lines == ()


def test_strong_growers_go_low_and_weak_ones_high() -> None:
    records = orchard(free("g21"), free("g28"), known("Giant", vigour="strong"), known("Dwarf", vigour="weak"))
    found = proposed(records)
    assert pairs(found) == {"g21": "Giant", "g28": "Dwarf"}
    assert [line.reason.split("; ")[1] for line in found.lines] == [
        "strong growth low or in the shade",
        "weak growth high or in the sun",
    ]
    swap = swap_cost(found, "g21", "g28")
    # The weak one low but in the sun is no misfit; the strong one high in the sun is.
    assert swap.words == "Swapping Giant (g21) and Dwarf (g28) costs 1 thing that speaks against a place."


def test_what_is_best_and_stands_once_is_set_on_another_tree_too() -> None:
    best = graft("g31", "Treasure", ripe="09-01 to 09-28", verdict="keep")
    found = proposed(orchard(best, free("g21"), free("g22", "t2")))
    assert pairs(found) == {"g22": "Treasure"}
    assert found.lines[0].reason == "Worth keeping, and only g31 carries it."
    twice = proposed(orchard(best, graft("g32", "Treasure", verdict="keep"), free("g22", "t2")))
    assert twice.lines == ()


def test_a_copy_says_its_score_only_where_it_was_tasted() -> None:
    tasted = [Tasting(date(year, 9, 8), "g31", "ripe", 5) for year in (2024, 2025, 2026)]
    found = proposed(orchard(graft("g31", "Treasure", ripe="09-01 to 09-28"), *tasted, free("g22", "t2")))
    assert found.lines[0].reason == "Worth keeping, 5.0 of 5 when tasted, and only g31 carries it."


def test_every_variety_is_given_a_partner_in_bloom() -> None:
    alone = known("Autumn Kept", bloom="2", pollen="diploid")
    records = orchard(
        alone,
        free("g21"),
        known("Late Bloomer", bloom="6", pollen="diploid"),
        known("Triploid", bloom="2", pollen="triploid"),
        known("Partner", bloom="3", pollen="diploid"),
    )
    found = proposed(records, new=1)
    assert pairs(found) == {"g21": "Partner"}
    assert found.lines[0].reason.startswith("A partner in bloom for Autumn Kept; ")
    assert found.lacking == ()
    without = proposed(records, forbids=(Pick("Partner"),))
    assert without.lacking == ("Autumn Kept",)
    why = {one.variety: reason for reason, held in without.not_chosen.items() for one in held}
    assert why["Partner"] == "forbidden by you."
    assert why["Late Bloomer"] == "no partner in bloom is known for it, and it fills no week that others do not."


def test_what_blooms_when_nobody_knows_neither_lacks_nor_gives_a_partner() -> None:
    found = proposed(orchard(free("g21"), known("Riddle")))
    assert pairs(found) == {"g21": "Riddle"}
    assert found.lacking == ()
    assert "Whether 1 variety here has a partner in bloom is unknown: counts for nothing." in found.notes


def test_pins_and_forbids_are_kept_whatever_else_changes() -> None:
    records = orchard(free("g21"), free("g28"), known("Giant", vigour="strong"), known("Dwarf", vigour="weak"))
    pinned = proposed(records, pins=(Pick("giant", "g28"),))
    assert pairs(pinned) == {"g21": "Dwarf", "g28": "Giant"}
    assert pinned.lines[1].reason.startswith("Pinned by you; ")
    assert list(pairs(proposed(records, forbids=(Pick("Giant"),))).values()) == ["Dwarf"]
    assert pairs(proposed(records, forbids=(Pick("Giant", "g21"), Pick("Dwarf", "g21")))) == {"g28": "Dwarf"}
    assert set(pairs(proposed(records, forbids=(Pick("", "g28"),)))) == {"g21"}


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        ({"pins": (Pick("Nobody", "g21"),)}, '"Nobody" is no candidate'),
        ({"pins": (Pick("Giant", "g99"),)}, '"g99" is no free place. Name one of: g21 and g28.'),
        ({"pins": (Pick("Giant", "g21"), Pick("Dwarf", "g21"))}, "Giant and Dwarf are both pinned to g21."),
        ({"pins": (Pick("Giant", "g21"), Pick("giant", "g28"))}, "Giant is pinned to two places, g21 and g28."),
        ({"pins": (Pick("Giant", "g21"),), "new": 0}, "1 graft pinned, but at most 0 wanted."),
        ({"pins": (Pick("Giant", "g21"),), "forbids": (Pick("Giant", "g21"),)}, '"Giant=g21" is forbidden: these'),
        ({"pins": (Pick("Giant", "g21"),), "forbids": (Pick("", "g21"),)}, '"=g21" is forbidden: these'),
        ({"pins": (Pick("Giant", "g21"),), "forbids": (Pick("Giant"),)}, '"Giant" is forbidden: these'),
        ({"forbids": (Pick("Nobody"),)}, '"Nobody" is no candidate'),
    ],
)
def test_a_wish_that_cannot_be_is_refused_in_a_sentence(wishes: dict[str, object], words: str) -> None:
    records = orchard(free("g21"), free("g28"), known("Giant"), known("Dwarf"))
    with pytest.raises(PersonError, match=words):
        proposed(records, **wishes)


def test_wood_that_is_promised_to_others_is_not_in_hand() -> None:
    held = Wood("w1", "Sought", "apple", 2, date(2026, 11, 10), "A. Friend", promised_to="B. Other", promised_sticks=2)
    (line,) = proposed(orchard(free("g21"), held)).lines
    assert (line.candidate.source, line.candidate.giver) == ("wished for", "A. Friend")
    (line,) = proposed(orchard(free("g21"), replace(held, promised_sticks=1))).lines
    assert (line.candidate.source, line.candidate.bundle) == ("in hand", "w1")


@pytest.mark.parametrize(
    ("asked_on", "answer", "source"),
    [(date(2026, 11, 8), "promised", "promised"), (date(2026, 11, 8), "", "asked for"), (None, "", "to ask for")],
)
def test_how_far_the_asking_has_come_is_said(asked_on: date | None, answer: str, source: str) -> None:
    coming = Wood("w1", "Sought", "apple", 2, None, "A. Friend", asked_on=asked_on, answer=answer)  # type: ignore[arg-type]
    (line,) = proposed(orchard(free("g21"), coming)).lines
    assert (line.candidate.source, line.candidate.bundle, line.candidate.giver) == (source, "w1", "A. Friend")


def test_wood_that_was_refused_is_asked_of_somebody_else() -> None:
    refused = Wood("w1", "Sought", "apple", 2, None, "A. Friend", asked_on=date(2026, 11, 8), answer="refused")
    (line,) = proposed(orchard(free("g21"), refused)).lines
    assert (line.candidate.source, line.candidate.giver) == ("wished for", "")


def test_what_was_judged_cut_is_not_grafted_again() -> None:
    held = Wood("w1", "Lost g21", "apple", 2, date(2026, 11, 10), "A. Friend")
    found = proposed(orchard(free("g21"), held))
    assert found.lines == ()
    assert "Lost g21 (apple): judged cut here, so its wood is for others." in found.notes


def test_a_tree_with_a_disease_takes_no_grafts() -> None:
    found = proposed(orchard(free("g21"), known("Sought"), Trouble(date(2026, 6, 1), "t1", "fire blight")))
    assert found.lines == ()
    assert any(note.startswith("No place on Old tree: fire blight was seen") for note in found.notes)


def test_a_pear_is_not_proposed_for_an_apple_tree() -> None:
    found = proposed(orchard(free("g21"), Wood("w1", "Pear", "pear", 2, date(2026, 11, 10), "A. Friend")))
    assert found.lines == ()
    ((reason, _),) = found.not_chosen.items()
    assert reason.startswith("Pear on an apple limb takes, but is short-lived or unreliable")


def test_the_order_of_the_records_changes_nothing_in_what_it_comes_to() -> None:
    records = orchard(*(free(f"g2{n}") for n in range(4)), *(known(f"Wished {n}", f"07-{5 + n:02d}") for n in range(7)))
    turned = replace(records, varieties=records.varieties[::-1], grafts=records.grafts[::-1])
    assert pairs(proposed(records)) == pairs(proposed(turned))
    assert proposed(records) == proposed(records)


def test_more_wood_never_makes_it_worse() -> None:
    records = orchard(
        *(free(f"g2{n}") for n in range(3)), *(known(f"Wished {n}", f"0{7 + n % 2}-05") for n in range(3))
    )
    before = proposed(records).worth
    for name, ripens in (("Wished 1", ""), ("New", "10-20 to 11-10"), ("Riddle", "")):
        wood = Wood("w9", name, "apple", 3, date(2026, 11, 10), "A. Friend")
        more = replace(
            records, wood=(wood,), varieties=(*records.varieties, *([known(name, ripens)] if ripens else []))
        )
        assert proposed(more).worth <= before


def test_accepting_plans_the_grafts_and_keeps_what_stood_there() -> None:
    going = graft("g31", "July Poor", ripe="07-05 to 07-11", verdict="cut")
    wood = Wood("w1", "Sought", "apple", 2, date(2026, 11, 10), "A. Friend")
    records = orchard(free("g21", note="scab"), going, wood, known("Sought", "07-05 to 07-18"), known("Other", "10-20"))
    found = proposed(records)
    edit = accepted(records, found, TODAY)
    assert (edit.refused, edit.words) == ((), "2 grafts planned as proposed: Other at g21 and Sought at g31")
    after = applied(records, edit)
    planned = {one.variety: one for one in after.grafts if one.state == "planned"}
    assert planned.keys() == {"Sought", "Other"}
    assert planned["Sought"].wood == "w1"
    in_free, instead = (next(one for one in planned.values() if (one.id == "g21") is there) for there in (True, False))
    assert (in_free.verdict, in_free.set_on, in_free.note, in_free.ripens_from) == ("on trial", None, "", None)
    assert (instead.id, instead.note, instead.known_since) == ("g32", "in the place of g31", TODAY)
    assert (instead.facing, instead.height_m, instead.out_m) == (going.facing, going.height_m, going.out_m)
    (life,) = after.lives
    assert (life.graft, life.variety, life.note, life.verdict) == ("g21", "Lost g21", "scab", "cut")
    again = proposed(after)
    assert again.lines == ()
    assert again.places.places == ()


def test_a_place_of_which_the_day_is_not_known_keeps_its_record() -> None:
    records = orchard(free("g21", set_on=None), known("Sought"))
    after = applied(records, accepted(records, proposed(records), TODAY))
    assert [(one.id, one.variety) for one in after.grafts if one.state in ("planned", "removed")] == [
        ("g21", "Lost g21"),
        ("g22", "Sought"),
    ]
    assert proposed(after).places.places == ()


def test_a_limb_without_a_noted_place_is_proposed_once() -> None:
    going = graft("g31", "Poor", verdict="cut", facing=None, height_m=None, out_m=None)
    records = orchard(going, known("Sought"), known("Another"))
    found = proposed(records, new=1)
    assert list(pairs(found)) == ["g31"]
    assert proposed(applied(records, accepted(records, found, TODAY))).places.places == ()


def test_nothing_to_accept_is_refused() -> None:
    records = orchard()
    assert accepted(records, proposed(records), TODAY).refused == ("There is nothing to accept: no graft is proposed.",)


def test_the_wood_to_ask_for_stands_first_with_its_day() -> None:
    from shipped import TEMPLATES

    from tendwork.almanac.seasons import Season

    days = ask_by(TEMPLATES, Season(2027))
    # Apple: 1 November and 60 days; plum: 41 days. Buds may make it later, never earlier.
    assert (days["apple"], days["plum"]) == (date(2026, 12, 31), date(2026, 12, 12))
    held = Wood("w1", "Sought", "apple", 2, date(2026, 11, 10), "A. Friend")
    records = orchard(free("g21"), free("g22"), held, known("Wanted"))
    needs = wood_needs(proposed(records), days)
    assert [(need.variety, need.sticks, need.source, need.by) for need in needs] == [
        ("Wanted", 1, "wished for", date(2026, 12, 31)),
        ("Sought", 1, "in hand", None),
    ]
    minutes = graft_minutes(TEMPLATES)
    assert (minutes["apple", "whip and tongue"], minutes["apple", "bark"]) == ((10, 7), (10, 17))


def test_a_proposal_is_made_of_plain_values() -> None:
    found = proposed(orchard(free("g21"), known("Sought")))
    assert msgspec.to_builtins(found.worth)["placed"] == -1


def test_a_pin_that_is_given_twice_counts_once() -> None:
    records = orchard(free("g21"), known("Late", "11-01"))
    assert pairs(proposed(records, pins=(Pick("Late", "g21"), Pick("late", "g21")))) == {"g21": "Late"}


def test_a_name_that_two_species_have_is_asked_for_with_its_species() -> None:
    both = known("Twin", "11-01"), replace(known("Twin", "11-01"), species="pear")
    records = orchard(free("g21"), *both)
    with pytest.raises(PersonError, match=r'"Twin \(apple\)" and "Twin \(pear\)"'):
        proposed(records, pins=(Pick("Twin", "g21"),))
    (line,) = proposed(records, pins=(Pick("twin (apple)", "g21"),)).lines
    assert (line.candidate.species, line.pinned) == ("apple", True)
    assert picks_of(proposed(records)) == (Pick("Twin (apple)", "g21"),)


def test_other_grafts_than_those_that_were_shown_are_refused_by_name() -> None:
    found = proposed(orchard(free("g21"), known("Late", "11-01")))
    refuse_other(found, picks_of(found))
    with pytest.raises(PersonError) as error:
        refuse_other(found, (Pick("Gone", "g21"),))
    assert str(error.value) == (
        "The records changed since: Late at g21 is proposed now; Gone at g21 is not proposed any more. "
        "Look, and accept again."
    )


def test_a_place_is_not_swapped_with_itself_and_a_swap_names_the_pins_that_do_it() -> None:
    found = proposed(orchard(free("g21"), free("g28", "t2"), known("Late", "11-01"), known("Later", "11-20")))
    held = pairs(found)
    assert swap_cost(found, "g21", "g28").pins == (Pick(held["g28"], "g21"), Pick(held["g21"], "g28"))
    with pytest.raises(PersonError, match="g21 cannot be swapped with itself"):
        swap_cost(found, "g21", "g21")


def test_more_pinned_than_a_crown_takes_names_the_tree() -> None:
    records = orchard(*(free(f"g2{n}", "t2") for n in range(3)), *(known(f"Late {n}", "11-01") for n in range(3)))
    with pytest.raises(PersonError, match="3 grafts pinned on New tree, which takes 2 more"):
        proposed(records, pins=tuple(Pick(f"Late {n}", f"g2{n}") for n in range(3)))


def test_the_reason_of_a_union_that_is_not_sure_ends_in_one_full_stop() -> None:
    found = proposed(orchard(free("g21"), replace(known("Pear", "11-01"), species="pear")), pins=(Pick("Pear", "g21"),))
    (line,) = found.lines
    assert "though" in line.reason
    assert not line.reason.endswith("..")
    assert ".;" not in line.reason

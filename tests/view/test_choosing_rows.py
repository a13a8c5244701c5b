"""Rows and sentences of what to graft where, by hand: an invented apple tree, a free place and a limb to cut."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace
from noted_dates import noted_dates

from tendwork.errors import PersonError
from tendwork.orchard.records import Graft, GraftState, Records, Tree, Variety, Verdict, Wood
from tendwork.planning.choosing import Proposal, Wishes, propose, swap_cost
from tendwork.planning.graft_asking import WoodNeed, minutes_of
from tendwork.planning.graft_picks import Pick
from tendwork.view.choosing_rows import (
    CandidateRow,
    PlaceChoice,
    candidate_cells,
    candidate_columns,
    candidate_rows,
    candidates_in_order,
    crown_grafts,
    month_line,
    place_cells,
    place_choices,
    place_columns,
    season_cells,
    season_roles,
)
from tendwork.view.choosing_words import (
    candidate_lines,
    cannot_words,
    change_words,
    cost_words,
    dropped_words,
    limit_words,
    limits_read,
    limits_texts,
    place_lines,
    place_title,
    season_words,
)
from tendwork.view.text import display_width

TODAY = date(2026, 11, 20)
NAMES = {"First": (1, 4), "Second": (6, 7)}


def graft(
    identity: str, variety: str, state: GraftState = "bearing", verdict: Verdict = "keep", ripe: bool = True
) -> Graft:
    return Graft(
        identity,
        "t1",
        variety,
        "whip and tongue",
        state=state,
        set_on=date(2015, 4, 10),
        ripens_from=(9, 1) if ripe else None,
        ripens_to=(9, 28) if ripe else None,
        verdict=verdict,
        facing=180,
        height_m=float(identity[-1]) + 1,
        out_m=int(identity[1:]) / 5,
    )


RECORDS = Records(
    trees=(Tree("t1", "Hill apple", "apple", "seedling", 1990, height_m=9),),
    grafts=(
        *(graft(f"g1{n}", "Kept") for n in range(9)),
        graft("g21", "Lost", "removed", "cut", ripe=False),
        graft("g22", "Dull", "bearing", "cut", ripe=False),
    ),
    varieties=(
        Variety("apple", "First", ripens="06-28 to 07-25"),
        Variety("apple", "Second", ripens="08-02 to 08-15"),
        Variety("sweet cherry", "Black", ripens="07-01 to 07-10"),
    ),
    wood=(Wood("w1", "Riddle", "apple", 2, date(2026, 11, 10), "A. Friend"),),
)


def proposed(wishes: Wishes | None = None, records: Records = RECORDS) -> Proposal:
    return propose(records, TODAY, False, noted_dates(records, TODAY), wishes)


def rows_of(proposal: Proposal, wishes: Wishes, place: str = "g21") -> dict[str, CandidateRow]:
    return {row.candidate.variety: row for row in candidate_rows(proposal, wishes, place)}


def row_at(proposal: Proposal, place: str, wishes: Wishes | None = None) -> PlaceChoice:
    return next(row for row in place_choices(proposal, wishes or Wishes()) if row.id == f"place/{place}")


def test_places_stand_under_their_tree_with_what_is_proposed() -> None:
    rows = place_choices(proposed(), Wishes())
    assert [row.id for row in rows] == ["tree/t1", "place/g21", "place/g22"]
    # Ten grafts that grow and one free place are eleven parts, a third of which is three.
    assert rows[0].heading == "Hill apple (t1): apple; room for 3 more"
    assert {row.line.candidate.variety for row in rows if row.line} == set(NAMES)
    assert [row.state for row in rows[1:]] == ["proposed", "proposed"]


def test_a_place_is_pinned_forbidden_or_empty_by_a_mark_and_a_word() -> None:
    wishes = Wishes(pins=(Pick("First", "g21"),), forbids=(Pick("", "g22"),))
    proposal = proposed(wishes)
    assert row_at(proposal, "g21", wishes).state == "pinned"
    assert row_at(proposal, "g22", wishes).state == "forbidden"
    none = Wishes(new=0)
    assert row_at(proposed(none), "g21", none).state == "empty"
    rows = place_choices(proposal, wishes)
    columns = place_columns(rows, 100)
    cells = [place_cells(row, columns, "metric", True) for row in rows[1:]]
    assert "First" in cells[0]
    assert "! pinned" in cells[0]
    assert "was Lost" in cells[0]
    assert "x forbidden" in cells[1]
    assert "to cut: Dull" in cells[1]


@pytest.mark.parametrize("width", [30, 56, 76, 116, 196])
def test_no_row_is_wider_than_its_page(width: int) -> None:
    proposal = proposed()
    places, held = place_choices(proposal, Wishes()), candidate_rows(proposal, Wishes(), "g21")
    columns = place_columns(places, width)
    assert all(display_width(place_cells(row, columns, "us", False)) <= width for row in places if row.place)
    if width >= 56:
        columns = candidate_columns(held, width)
        assert "season" in {column.name for column in columns}
        assert all(display_width(candidate_cells(row, columns, False)) <= width for row in held)


def test_a_strip_has_a_mark_for_each_week_that_fills_what_is_bare() -> None:
    # Kept fruit is ripe in the weeks of 30 August to 3 October, 10 to 14; 28 June begins week 1, 2 August week 6.
    rows = rows_of(proposed(), Wishes())
    for name, (first, last) in NAMES.items():
        assert [week for week, role in enumerate(rows[name].weeks) if role == "fills"] == list(range(first, last + 1))
    late = rows_of(
        proposed(records=replace(RECORDS, varieties=(Variety("apple", "Third", ripens="08-23 to 09-05"),))), Wishes()
    )["Third"]
    assert [late.weeks[week] for week in (8, 9, 10, 11)] == ["none", "fills", "ripe", "none"]


def test_the_season_shows_what_stays_bare_and_what_is_filled() -> None:
    roles = season_roles(proposed())
    assert [week for week, role in enumerate(roles) if role == "filled"] == [1, 2, 3, 4, 6, 7]
    assert [week for week, role in enumerate(roles) if role == "none"] == [10, 11, 12, 13, 14]
    held = candidate_rows(proposed(), Wishes(), "g21")
    columns = candidate_columns(held, 76)
    assert "x====x==xx     xxxxxxxxxxxx" in season_cells(proposed(), columns, True)


def test_the_months_stand_over_their_weeks() -> None:
    # 5 July is the first day of a week that lies in July, the second week after that of 21 June; in the south January.
    assert month_line(False).index("Jul") == 2
    assert month_line(True).index("Jan") == 2
    assert len(month_line(False)) == 27


def test_how_a_candidate_fits_the_place_is_said() -> None:
    wishes = Wishes(forbids=(Pick("Riddle"), Pick("Second", "g21")))
    rows = rows_of(proposed(wishes), wishes)
    assert rows["First"].here in ("proposed", "suits", "suits well")
    assert rows["Black"].here == "cannot"
    assert (rows["Riddle"].state, rows["Riddle"].here) == ("forbidden", "forbidden")
    assert (rows["Second"].state, rows["Second"].here) == ("proposed", "forbidden")
    assert {row.here for row in candidate_rows(proposed(), Wishes(), "")} == {""}


def test_what_is_proposed_here_stands_first_and_what_cannot_last() -> None:
    proposal = proposed()
    here = candidates_in_order(candidate_rows(proposal, Wishes(), "g21"), "here")
    assert here[0].is_here
    assert here[-1].candidate.variety == "Black"
    names = [row.candidate.variety for row in candidates_in_order(here, "ripe")]
    assert names == ["Black", "First", "Second", "Riddle"]
    assert candidates_in_order(here, "wood")[0].candidate.variety == "Riddle"
    assert candidates_in_order(here, "variety", True)[0].candidate.variety == "Second"


def test_why_a_candidate_cannot_stand_is_a_sentence() -> None:
    proposal = proposed()
    place = row_at(proposal, "g21").place
    assert place is not None
    rows = rows_of(proposal, Wishes())
    assert cannot_words(rows["Black"], place) == (
        "Black (sweet cherry) does not take on Hill apple (apple), or not for long."
    )
    assert cannot_words(rows["First"], place) == ""
    lines = candidate_lines(rows["Riddle"], proposal, place, 200)
    assert lines[0].startswith("Goes nowhere: ")
    assert "wood: in hand, A. Friend (w1)" in lines[1]
    assert candidate_lines(rows["First"], proposal, place, 200)[1].startswith("Ripe 28 Jun-25 Jul; wood: wished for")
    assert "not known: when it blooms, how strongly it grows" in lines[1]


def test_the_season_is_one_sentence_with_the_grafts_and_their_time() -> None:
    # 22 weeks are bare, of which First and Second fill six.
    assert season_words(proposed(), 80, False) == (
        "27 weeks from 21 Jun to 26 Dec: now 22 without ripe fruit; with these 2 new grafts, once they bear, 16. "
        "About 1 h 20 of grafting."
    )
    one = season_words(proposed(Wishes(new=1)), 30, True)
    assert one.startswith("27 weeks from 21 Dec to 27 Jun: ")
    assert "with this 1 new graft, once it bears, 18." in one
    assert season_words(proposed(Wishes(new=0)), 0, False).endswith("22 without ripe fruit. No graft is proposed.")


def test_the_wishes_are_counted() -> None:
    assert limit_words(Wishes()) == ""
    wishes = Wishes(3, 2.5, (Pick("First", "g21"),), (Pick("Second"), Pick("", "g22")))
    assert limit_words(wishes) == (
        "Your wishes, until you accept or leave: at most 3 new grafts, as many as fit into 2.5 h with what is planned, "
        "1 pinned, 2 forbidden."
    )


def test_wishes_that_are_dropped_are_named() -> None:
    wishes = Wishes(3, None, (Pick("First", "g21"), Pick("Second", "g22")), (Pick("", "g23"),))
    after = replace(wishes, pins=(Pick("Second", "g22"),), forbids=())
    assert dropped_words(wishes, after) == ("The records changed, so these wishes are dropped: First at g21, g23.")
    assert dropped_words(Wishes(3), Wishes()) == "Your wishes are dropped."


def test_what_a_wish_changes_is_said_in_weeks_grafts_and_names() -> None:
    before, after = proposed(), proposed(Wishes(new=1))
    assert change_words(before, after) == "2 weeks more without ripe fruit; 1 graft fewer; out: Second."
    back = change_words(after, before)
    assert back.startswith("2 weeks fewer without ripe fruit; 1 graft more; new: Second (g2")
    assert change_words(before, before) == "as many weeks without ripe fruit as before."
    here = {line.candidate.variety: line.place.id for line in before.lines}
    swapped = Wishes(pins=(Pick("First", here["Second"]), Pick("Second", here["First"])))
    said = change_words(before, proposed(swapped))
    assert "moved: " in said
    assert f"First to {here['Second']}" in said
    assert f"Second to {here['First']}" in said


def test_a_new_limit_is_said_with_its_sentence() -> None:
    minutes = {("apple", method): (10.0, 20.0) for method in ("whip and tongue", "bark")}
    before, after = proposed(Wishes(minutes=minutes)), proposed(Wishes(hours=0.5, minutes=minutes))
    assert change_words(before, after).endswith("at 20 minutes a graft there is time for 1 more.")


def test_what_a_swap_costs_is_said_in_a_few_words() -> None:
    proposal = proposed()
    assert cost_words(proposal, swap_cost(proposal, "g21", "g22")) == "costs nothing"
    forbidden = proposed(Wishes(forbids=(Pick(proposal.lines[0].candidate.variety, "g22"),)))
    assert cost_words(forbidden, swap_cost(forbidden, "g21", "g22")) == "cannot be swapped"


def test_the_chosen_place_has_its_reason_its_wood_and_where_it_is() -> None:
    row = row_at(proposed(), "g22")
    assert row.line is not None
    need = WoodNeed("apple", row.line.candidate.variety, 1, "wished for")
    said = "\n".join(place_lines(row, (need,), {}, TODAY, "metric", 200))
    assert place_title(row) == f"g22 on Hill apple: {row.line.candidate.variety}, bark"
    assert "Fills 2 weeks" in said
    assert "ask for 1 stick" in said
    assert "3 m up, 4.4 m out, facing south; Dull is still there, and judged cut." in said
    nothing = row_at(proposed(Wishes(new=0)), "g21")
    assert place_title(nothing) == "g21 on Hill apple: nothing; enter chooses a candidate"
    tree = place_choices(proposed(), Wishes())[0]
    assert place_lines(tree, (), {}, TODAY, "metric", 200) == [
        "No of 11 places noted are planned or set for that spring; a third of a crown a year is the most."
    ]


def test_a_crown_is_shown_as_it_would_be() -> None:
    proposal = proposed()
    shown = {one.id: one for one in crown_grafts(RECORDS.grafts, proposal.lines)}
    assert {(shown[place].state, shown[place].variety) for place in ("g21", "g22")} == {
        ("planned", "First"),
        ("planned", "Second"),
    }
    assert shown["g10"].state == "bearing"


def test_grafting_takes_the_setting_up_of_a_tree_once_and_each_graft_its_minutes() -> None:
    # 15 minutes is the longer of the two ways of setting up; 20 and 30 are those of the grafts.
    minutes = {("apple", "whip and tongue"): (10.0, 20.0), ("apple", "bark"): (15.0, 30.0)}
    assert minutes_of(proposed().lines, minutes) == 65
    assert minutes_of((), minutes) == 0


@pytest.mark.parametrize(
    ("new", "hours", "read"), [("", "", (None, None)), (" 5 ", "2,5", (5, 2.5)), ("0", "0", (0, 0.0))]
)
def test_limits_are_read_as_they_are_written(new: str, hours: str, read: tuple[int | None, float | None]) -> None:
    assert limits_read(new, hours) == read
    assert limits_read(*limits_texts(*read).values()) == read


@pytest.mark.parametrize(
    ("new", "hours"),
    [("-1", ""), ("2.5", ""), ("two", ""), ("99999", ""), ("", "x"), ("", "-1"), ("", "nan"), ("", "inf")],
)
def test_what_is_no_limit_is_said(new: str, hours: str) -> None:
    with pytest.raises(PersonError, match="is no number of"):
        limits_read(new, hours)

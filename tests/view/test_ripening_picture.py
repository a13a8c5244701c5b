"""The picture of the year's fruit: a mark for each week on the tree and in the store, the line of today, the gaps."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tendwork.orchard.records import Graft, Records, Spray, Tree
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.fruit_years import fruit_years
from tendwork.planning.ripening_dates import RipeDates
from tendwork.view.picking import date_lines, picking_text
from tendwork.view.ripening import (
    BARE_WEEK,
    FRUIT_WEEK_MARKS,
    NO_FRUIT,
    TODAY_LINE,
    Picture,
    gap_shape,
    picture_of,
    picture_summary,
    picture_text,
    week_shape,
)
from tendwork.view.stand_ins import stand_in
from tendwork.view.text import display_width

TREES = (Tree("t1", "Old apple", "apple"), Tree("t2", "Wall pear", "pear"))
SUMMER = date(2026, 7, 1)


def ripe(
    variety: str, first: date, hangs: date, until: date | None = None, later_days: int = 0, species: str = "apple"
) -> RipeDates:
    """Picked and eaten from `first` on."""
    off = timedelta(days=4)
    usual = first - timedelta(days=later_days)
    return RipeDates(
        species,
        variety,
        first - timedelta(days=11),
        first - off,
        first,
        first + off,
        until,
        ("a reason",),
        usual,
        hangs,
        first,
    )


# Weeks begin on 21 and 28 June, 5, 12, 19 and 26 July, and so on to 20 December.
EARLY = ripe("Early", date(2026, 6, 21), date(2026, 7, 4), later_days=-3)
HOPE = ripe("Hope", date(2026, 7, 5), date(2026, 7, 11))
KEEPER = ripe("Keeper", date(2026, 7, 12), date(2026, 7, 18), date(2027, 1, 20), later_days=2)
GRAFTS = (
    Graft("g3", "t1", "Keeper", state="bearing"),
    Graft("g2", "t1", "Hope", state="took"),
    Graft("g1", "t1", "Early", state="bearing"),
    Graft("g4", "t1", "Dim", state="bearing"),
    Graft("g5", "t1", "Gone", state="bearing", verdict="cut"),
)


def picture(
    *rows: RipeDates,
    today: date = SUMMER,
    south: bool = False,
    grafts: tuple[Graft, ...] = GRAFTS,
    earlier: Mapping[int, tuple[RipeDates, ...]] | None = None,
    sprays: tuple[Spray, ...] = (),
) -> Picture:
    records = Records(TREES, grafts, sprays=sprays)
    seasons = {2026: rows or (EARLY, HOPE, KEEPER), **(earlier or {})}
    years = fruit_years(lambda season: seasons.get(season.name, ()), today, south)
    return picture_of(records, years, VarietyBook(records), today)


def lines(shown: Picture, width: int, ascii_only: bool = False) -> list[str]:
    return picture_text(shown, width, ascii_only).splitlines()


def test_tree_and_store_have_marks_of_their_own_and_today_a_line_before_its_week() -> None:
    # 1 July is in the second week. 31 weeks from 21 June hold 20 January, the last in the week of 17 January.
    head, early, hope, keeper, bare = lines(picture(), 80)[1:6]
    assert head.split() == ["2026", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec", "Jan", "pick", "than", "usual"]
    assert early == "Early                   ■│■" + "·" * 29 + "  21 Jun  3 d earlier"
    assert hope == "Hope                    ·│·□" + "·" * 28 + "  5 Jul"
    assert keeper == "Keeper                  ·│··■" + "═" * 27 + "  12 Jul  2 d later"
    assert bare == "nothing ripe             │ ×"


def test_a_wide_page_has_two_columns_for_a_week() -> None:
    early, hope, keeper, bare = lines(picture(), 120)[2:6]
    assert early == "Early                   ■■│■■" + "·" * 58 + "  21 Jun  3 d earlier"
    assert keeper.startswith("Keeper                  ··│····■■══")
    assert bare == "nothing ripe              │  ××"
    assert hope[24:33] == "··│··□□··"


def test_the_same_in_ascii() -> None:
    shown = picture_text(picture(), 80, ascii_only=True)
    assert shown.isascii()
    rows = shown.splitlines()
    assert rows[2].startswith("Early                   #|#.")
    assert rows[4].startswith("Keeper                  .|..#===")
    assert "# on the tree, = in store; o - once it bears; | today" in rows


@pytest.mark.parametrize("ascii_only", [False, True])
def test_no_two_marks_look_alike(ascii_only: bool) -> None:
    hard = replace(KEEPER, variety="Hope", eat=date(2026, 8, 20))  # in the store alone, once it bears
    marks = {mark for line in lines(picture(EARLY, hard, KEEPER), 80, ascii_only)[2:6] for mark in line[24:56]} - {" "}
    assert marks == (set("#=-.x|") if ascii_only else set("■═─·×│"))


def test_the_gap_names_what_is_on_the_way_and_stands_below_the_rows() -> None:
    assert "  - Nothing ripe 5 Jul to 11 Jul (1 week); on the way: Hope." in lines(picture(), 80)


def test_store_fills_a_gap_only_from_the_day_on_which_the_fruit_is_good_to_eat() -> None:
    # Eaten from 20 August: the weeks of 12 July to 9 August and Hope's before them are bare; that of 16 August is not.
    shown = picture(EARLY, HOPE, replace(KEEPER, eat=date(2026, 8, 20)))
    assert [(gap.first, gap.weeks) for gap in shown.gaps] == [(date(2026, 7, 5), 6)]


def test_what_keeps_past_the_fruit_year_says_so_in_its_last_week() -> None:
    shown = lines(picture(EARLY, HOPE, replace(KEEPER, until=date(2027, 6, 30))), 80)
    keeper = next(line for line in shown if line.startswith("Keeper"))
    assert "═>  12 Jul" in keeper
    assert "> keeps longer" in " ".join(shown)


def test_what_is_unknown_is_named_in_a_sentence() -> None:
    said = " ".join(lines(picture(), 80))
    assert "When it ripens is not known: Dim." in said
    assert "How long it keeps is not known: Early, Hope." in said
    assert "Gone" not in said


def test_where_nothing_is_known_all_are_named() -> None:
    shown = picture(ripe("Other", SUMMER, SUMMER))
    text = " ".join(lines(shown, 80))
    assert text.startswith("No ripening day is known yet: note when a graft or a variety ripens, or taste.")
    assert "When it ripens is not known: Dim, Early, Hope, Keeper." in text
    assert picture_summary(shown) == "Nothing is known yet."


def test_the_season_is_held_against_the_usual_and_the_two_before() -> None:
    earlier = {
        2025: (ripe("Early", date(2025, 6, 20), SUMMER, later_days=1), ripe("Keeper", date(2025, 7, 15), SUMMER)),
        2024: (ripe("Early", date(2024, 6, 24), SUMMER, later_days=1),),
        2023: (ripe("Early", date(2023, 6, 1), SUMMER, later_days=1),),
    }
    shown = picture(EARLY, KEEPER, earlier=earlier)
    # 3 earlier and 2 later than usual: -0.5, no whole day. Against 2025 one day later and three earlier: -1.
    assert lines(shown, 80)[0] == "Apple: as usual, 1 day earlier than 2025, 3 days earlier than 2024."
    said = date_lines(EARLY, shown.years, 200)
    assert said[0] == "Ripe about 21 Jun 2026 (17-25 Jun likely), look from 10 Jun; how long it keeps is not known."
    assert said[1] == "3 days earlier than usual; 2025: 20 Jun, by the weather; 2024: 24 Jun, by the weather."
    assert said[2] == "- a reason"


def test_the_summary_names_the_longest_gap_to_come_and_the_species_off_the_usual() -> None:
    two_gaps = (replace(KEEPER, until=date(2026, 7, 25)), EARLY)
    # Bare are 5 to 11 July, and 26 July to 26 December: 22 weeks; on 27 December neither is to come.
    assert picture_summary(picture(*two_gaps)).startswith("Nothing ripe 26 Jul to 26 Dec (22 weeks). (1 more)")
    pear = ripe("Wall", date(2026, 9, 1), date(2026, 9, 8), later_days=-2, species="pear")
    grafts = (*GRAFTS, Graft("g6", "t2", "Wall", state="bearing"))
    assert picture_summary(picture(KEEPER, pear, grafts=grafts)).endswith(
        "Later than usual: apple 2 days; earlier than usual: pear 2 days."
    )
    assert picture_summary(picture(HOPE)).endswith("The season is as usual.")


def test_in_the_south_the_year_begins_at_its_own_high_summer() -> None:
    row = ripe("Early", date(2026, 12, 21), date(2027, 1, 2))
    shown = picture(row, today=date(2026, 12, 22), south=True)
    head, early = lines(shown, 80)[1:3]
    assert head.split()[:3] == ["2026/27", "Jan", "Feb"]
    # weeks of 21 and 28 December
    assert early[24:].startswith("│■■···")
    assert (shown.weeks[0].first, shown.today_at) == (date(2026, 12, 21), 0)


def test_no_line_of_today_outside_the_weeks() -> None:
    shown = picture(today=date(2026, 4, 15))
    assert shown.today_at is None
    assert "│" not in picture_text(shown, 80)
    assert "today" not in picture_text(shown, 80)


def test_one_name_in_two_species_says_which() -> None:
    rows = (EARLY, replace(EARLY, species="pear"))
    grafts = (GRAFTS[2], Graft("g6", "t2", "Early", state="bearing"))
    assert [row.shown for row in picture(*rows, grafts=grafts).rows] == ["Early, apple", "Early, pear"]


def test_fruit_that_must_not_be_eaten_has_a_mark_and_why() -> None:
    shown = picture(sprays=(Spray(SUMMER, "t1", "Slow", 7, 7),))
    text = lines(shown, 80)
    assert any(line.startswith("! Early ") for line in text)
    assert any(line.startswith("! Keeper (g3), Early (g1), Dim (g4), Gone (g5): Old apple was") for line in text)


def test_weeks_and_gaps_in_json() -> None:
    shown = picture()
    assert week_shape(shown.weeks[2]) == {"starts": [7, 5], "ripe": [], "in_store": [], "to_come": ["Hope"]}
    assert week_shape(shown.weeks[5]) == {"starts": [7, 26], "ripe": ["Keeper"], "in_store": ["Keeper"], "to_come": []}
    assert [gap_shape(gap) for gap in shown.gaps] == [
        {"first": [7, 5], "last": [7, 11], "weeks": 1, "to_come": ["Hope"]}
    ]


def test_a_hundred_varieties_are_a_line_each() -> None:
    rows = tuple(ripe(f"Lamp {n:03d}", date(2026, 7, 1) + timedelta(days=n), date(2026, 12, 1)) for n in range(100))
    grafts = tuple(Graft(f"g{n}", "t1", f"Lamp {n:03d}", state="bearing") for n in range(100))
    text = lines(picture(*rows, grafts=grafts), 80)
    assert [line.split()[1] for line in text if line.startswith("Lamp ")] == [f"{n:03d}" for n in range(100)]


def test_when_to_pick_is_a_line_for_each_variety() -> None:
    said = picking_text((EARLY, KEEPER), 80).splitlines()
    assert said[0].split() == ["variety", "look", "from", "pick", "about", "likely", "good", "until"]
    assert said[1].split() == ["Early", "(apple)", "10", "Jun", "21", "Jun", "17-25", "Jun", "not", "known"]
    assert said[2].split() == ["Keeper", "(apple)", "1", "Jul", "12", "Jul", "8-16", "Jul", "20", "Jan", "2027"]


@given(st.integers(40, 130), st.booleans())
def test_the_picture_keeps_to_the_page(width: int, is_south: bool) -> None:
    rows = (EARLY, HOPE, replace(KEEPER, until=date(2027, 6, 30)))
    shown = picture(*rows, today=date(2026, 12, 1), south=is_south)
    said = (*lines(shown, width), *picking_text(rows, width).splitlines(), *date_lines(KEEPER, shown.years, width))
    # 41 weeks and eight columns of a name are the least
    assert max(map(display_width, said)) <= max(width, 53)


def test_names_that_could_act_on_the_terminal_are_made_plain() -> None:
    bad = "Red\x1b[2J"
    shown = picture(replace(EARLY, variety=bad), grafts=(Graft("g1", "t1", bad), Graft("g2", "t1", f"Dim{bad}")))
    assert "\x1b" not in picture_text(shown, 80)


def test_on_a_terminal_without_these_marks_a_command_s_stand_in_their_columns_and_stay_apart() -> None:
    marks = (*FRUIT_WEEK_MARKS.values(), BARE_WEEK, NO_FRUIT, TODAY_LINE)
    stands = [stand_in(mark.symbol) for mark in marks]
    assert len(set(stands)) == len(stands)
    assert {len(stand) for stand in stands} == {1}

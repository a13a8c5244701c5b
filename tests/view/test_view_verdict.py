"""The page Verdict: rows in order, cells, and what is said of one graft, from reasons that are given."""

from __future__ import annotations

import json
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tendwork.orchard.number_words import number_word, place_word
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.verdicts import Crops, Suggestion
from tendwork.planning.season_loss import Missed
from tendwork.planning.verdict_reasons import Beside, VerdictReasons
from tendwork.view.text import display_width
from tendwork.view.verdict import (
    VERDICT_ORDERS,
    verdict_cells,
    verdict_columns,
    verdict_lines,
    verdict_rows,
    verdict_shape,
    verdicts_in_order,
    verdicts_summary,
    verdicts_text,
)

JUNE = (date(2026, 6, 21), date(2026, 6, 27))
LATER = (date(2026, 7, 5), date(2026, 7, 18))
THREE = Crops((2024, 2025, 2026), (), 3.0, 3, "3 crops seen (2024, 2025 and 2026), mean score 3.0 of 5")
NONE = Crops((), (), None, 3, "No crop tasted yet.")
CUT = Suggestion("g1", "Red", "cut", "Poor.", (2024, 2025, 2026), (), 3.0)
FIVE = Beside(tuple((f"V{n}", 5.0 - n / 2) for n in range(5)), (), 3.8, 4)
COVERED = Missed((JUNE,), others=("A",), fewest_others=1)
ONE = VerdictReasons(
    "g1", "Red", "apple", "t1", "on trial", THREE, FIVE, Missed((JUNE,), others=("A",), fewest_others=1), CUT
)


def said(reasons: VerdictReasons) -> list[str]:
    return verdict_lines(reasons, 1000)


def missed(**changes: object) -> str:
    """The last but one line: of the season."""
    return said(replace(ONE, missed=Missed(**{"good": (JUNE,), **changes})))[2]  # type: ignore[arg-type]


def test_the_suggestion_stands_first_and_the_person_decides() -> None:
    assert said(ONE)[0] == "Cut? Poor. You decide."
    assert said(replace(ONE, suggestion=replace(CUT, suggested="on trial")))[0] == "Poor."
    assert said(replace(ONE, verdict="keep", suggestion=None))[0] == f"Judged: keep. {THREE.words}."
    assert said(replace(ONE, verdict="cut", suggestion=None, crops=NONE))[0] == "Judged: cut. No crop tasted yet."


def test_the_score_is_said_beside_that_of_the_others_of_its_weeks() -> None:
    assert said(ONE)[1] == (
        "3.0 against 3.8, the mean of five other varieties of apple good in the same weeks: fourth of six."
    )
    one = replace(ONE, beside=Beside((("V", 4.0),), ("W", "X"), 4.0, 2))
    assert said(one)[1] == (
        "3.0 against 4.0, the score of one other variety of apple good in the same weeks: second of two."
        " Two more not scored yet."
    )
    assert said(replace(one, crops=NONE))[1].startswith("The score of one other variety of apple good")


def test_what_cannot_be_compared_says_why() -> None:
    assert said(replace(ONE, beside=Beside()))[1] == (
        "No other variety of apple that grows here is good to eat in the same weeks."
    )
    assert said(replace(ONE, beside=Beside(unscored=("W",))))[1] == (
        "1 other variety of apple good in the same weeks has no score yet."
    )
    unknown = said(replace(ONE, missed=Missed()))
    assert unknown[1] == "When it ripens is not known, so there is nothing to compare it with."
    assert unknown[2] == "What the season would lose without it is not known."


def test_the_weeks_that_would_be_bare_are_named() -> None:
    good = "Good to eat in the weeks 21 Jun to 27 Jun and 5 Jul to 18 Jul."
    assert missed(good=(JUNE, LATER), alone=(JUNE,), to_come=("Dawn",)) == (
        f"{good} If it is cut, nothing else is ripe 21 Jun to 27 Jun until Dawn bears."
    )
    assert missed(alone=(JUNE,), undated=("Dark",), young=("g7",)).endswith(
        "If it is cut, nothing else is known to be ripe 21 Jun to 27 Jun."
        " Another graft (g7) of the same variety does not bear yet."
    )


def test_what_would_not_be_missed_says_who_is_there_instead() -> None:
    assert missed(others=("A", "B", "C"), fewest_others=2).endswith(
        "If it is cut, at least two others are good in each of these weeks (A, B and C)."
    )
    assert missed(others=("A",), fewest_others=1).endswith("at least one other is good in each of these weeks (A).")
    assert missed(same=("g7",)).endswith("Another graft (g7) of the same variety bears, too, and stays.")


@pytest.mark.parametrize(
    ("changes", "last"),
    [
        ({}, "No variety is known to need it as its only partner in bloom."),
        ({"partner_of": ("A",)}, "If it is cut, A loses its only known partner in bloom."),
        ({"partner_of": ("A", "B")}, "If it is cut, A and B lose their only known partner in bloom."),
        (
            {"not_known": ("A",)},
            "No variety is known to need it as its only partner in bloom; of one it is not known.",
        ),
    ],
)
def test_partners_in_bloom_are_said(changes: dict[str, tuple[str, ...]], last: str) -> None:
    assert said(replace(ONE, missed=replace(COVERED, **changes)))[-1] == last  # type: ignore[arg-type]


GRAFTS = tuple(Graft(f"g{n}", "t1", name, state="bearing") for n, name in enumerate(("Red", "Blue", "Green", "Old"), 1))
GRAFTS = (GRAFTS[0], replace(GRAFTS[1], verdict="keep"), *GRAFTS[2:])
RECORDS = Records((Tree("t1", "Hill", "apple"),), GRAFTS)
REASONS = (
    ONE,
    replace(ONE, graft="g2", variety="Blue", verdict="keep", suggestion=None, missed=Missed((JUNE,), alone=(JUNE,))),
    replace(ONE, graft="g3", variety="Green", suggestion=replace(CUT, suggested="keep"), missed=Missed()),
    replace(ONE, graft="g4", variety="Old", crops=NONE, suggestion=replace(CUT, suggested="on trial")),
)
ROWS = verdict_rows(RECORDS, REASONS)


def test_what_to_cut_stands_first_and_what_is_judged_last_in_every_order() -> None:
    assert [row.id for row in verdicts_in_order(ROWS, "advice")] == ["g1", "g3", "g4", "g2"]
    for order in VERDICT_ORDERS:
        for backwards in (False, True):
            assert verdicts_in_order(ROWS, order, backwards)[-1].id == "g2"
    assert verdicts_summary(ROWS) == "On trial: 1 to cut, 1 to keep, 1 to wait for. You decide. Judged: 1."
    assert verdicts_summary(ROWS[1:2]) == "No graft is on trial."


def test_a_row_has_its_score_that_of_the_others_and_what_would_be_missed() -> None:
    columns = verdict_columns(ROWS, 120)
    cells = [verdict_cells(row, columns).split() for row in ROWS]
    assert cells[0] == ["g1", "Red", "cut", "3", "3.0", "3.8", "4", "of", "6", "no", "on", "trial", "Hill"]
    assert cells[1][-4:] == ["21-27", "Jun", "keep", "Hill"]
    assert "not known" in " ".join(cells[2])


@given(st.integers(20, 140))
def test_rows_and_text_keep_to_the_page(width: int) -> None:
    columns = verdict_columns(ROWS, width)
    assert columns[-1].start + columns[-1].columns <= max(width, 30)
    lines = verdicts_text(ROWS, max(width, 40)).splitlines()
    assert max(map(display_width, lines)) <= max(width, 40)


def test_the_text_says_all_of_what_bore_and_one_line_of_what_did_not() -> None:
    lines = verdicts_text(ROWS, 500).splitlines()
    assert [line for line in lines if not line.startswith(" ")] == [
        "Red (g1): Cut? Poor. You decide.",
        "Green (g3): Keep? Poor. You decide.",
        "Old (g4): Poor.",
        f"Blue (g2): Judged: keep. {THREE.words}.",
    ]
    assert len(lines) == 4 + 3 * 3


def test_json_has_the_reasons_with_the_advice_in_one_word() -> None:
    shape = json.loads(json.dumps(verdict_shape(ONE)))
    assert (shape["advice"], shape["suggestion"]["suggested"]) == ("cut", "cut")
    assert shape["missed"]["good"] == [["2026-06-21", "2026-06-27"]]
    assert shape["beside"]["scored"][0] == ["V0", 5.0]
    assert verdict_shape(REASONS[3])["advice"] == "wait"


def test_numbers_and_places_in_words() -> None:
    assert [number_word(number) for number in (0, 1, 12, 13)] == ["no", "one", "twelve", "13"]
    assert [place_word(place) for place in (1, 12, 13, 21, 22, 33, 111, 121)] == [
        "first", "twelfth", "13th", "21st", "22nd", "33rd", "111th", "121st",
    ]  # fmt: skip

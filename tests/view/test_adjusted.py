"""What an adjustment changes and would move, in words."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec import Struct
from msgspec.structs import replace

from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.planning.preview import Loss, Move
from tendwork.planning.vocabulary import Anchor, Template
from tendwork.view.adjusted import (
    adjustments_shape,
    adjustments_text,
    losses_sentence,
    preview_shape,
    preview_text,
    shift_sentence,
    unmeant,
)

APRIL = (date(2026, 4, 1), date(2026, 4, 20))
MAY = (date(2026, 5, 2), date(2026, 5, 20))
SOME = Loss("rub-off", "Rub off shoots", gone=1, left=3)
ONLY = Loss("choose", "Choose varieties", gone=1, left=0)
ALL = Loss("wash", "Wash", gone=3, left=0, left_out=True)


class Preview(Struct, frozen=True):
    moves: tuple[Move, ...] = ()
    losses: tuple[Loss, ...] = ()


def move(before: tuple[date, date] | None, after: tuple[date, date] | None, days: int | None, **more: object) -> Move:
    return Move("look/t1/2026", "Look", "Old apple", before, after, days, **{"week": "", **more})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("shift", "words"),
    [
        (SiteShift(degrees_c=1.5), "The site is taken as 1.5 °C colder than its temperatures say."),
        (SiteShift(degrees_c=-1), "The site is taken as 1 °C warmer than its temperatures say."),
        (SiteShift(elevation_m=80), "The site is taken as 80 m higher than its temperatures say."),
        (SiteShift(elevation_m=-80), "The site is taken as 80 m lower than its temperatures say."),
        (SiteShift(days=6), "The site is taken as 6 days behind what its temperatures say."),
        (SiteShift(days=-6), "The site is taken as 6 days ahead of what its temperatures say."),
        (SiteShift(days=1), "The site is taken as 1 day behind what its temperatures say."),
        (SiteShift(), "The site's shift is the one of site.toml."),
    ],
)
def test_a_shift_says_which_way_and_by_how_much(shift: SiteShift, words: str) -> None:
    assert shift_sentence(shift) == words


def test_a_job_that_goes_is_told_by_how_many_of_it_go() -> None:
    assert losses_sentence((ONLY, SOME, ALL)) == (
        "This takes jobs away: Choose varieties (the only one), Rub off shoots (1 of its 4), Wash (all 3)."
    )
    assert losses_sentence(()) == ""
    assert unmeant((ONLY, ALL)) == (ONLY,)


@pytest.mark.parametrize(
    ("moved", "words"),
    [
        (move(APRIL, MAY, 31), "1-20 Apr -> 2-20 May, 31 days later"),
        (move(MAY, APRIL, -1, week="leaves"), "2-20 May -> 1-20 Apr, 1 day earlier, leaves this week"),
        (move(APRIL, APRIL, 0), "1-20 Apr -> 1-20 Apr, opens the same day"),
        (move(APRIL, None, None, gone=True), "1-20 Apr -> not there"),
        (move(APRIL, None, None), "1-20 Apr -> out of sight"),
        (move(None, APRIL, None, week="enters"), "not there -> 1-20 Apr, enters this week"),
    ],
)
def test_a_window_that_moves_is_told_before_and_after(moved: Move, words: str) -> None:
    lines = preview_text(Preview((moved,)), 80).splitlines()
    assert lines == ["1 window of this season would move.", "  Look, Old apple", f"      {words}"]


def test_a_preview_names_what_goes_and_a_job_of_the_whole_orchard() -> None:
    moved = Move("look/site/2026", "Look", "", APRIL, MAY, 31, "")
    lines = preview_text(Preview((moved, moved), losses=(ONLY,)), 80).splitlines()
    assert lines[:3] == [
        "2 windows of this season would move.",
        "This takes jobs away: Choose varieties (the only one).",
        "  Look, the orchard",
    ]
    assert preview_text(Preview(), 80) == "No window of this season moves."
    shape = preview_shape(Preview((moved,), losses=(ONLY,)), saved=True)
    assert (shape["saved"], shape["moves"][0]["days"], shape["losses"][0]["gone"]) == (True, 31, 1)


def test_every_template_stands_under_its_part_with_what_is_adjusted_and_why_it_has_no_job() -> None:
    def template(identity: str, part: str) -> Template:
        return Template(identity, f"Do {identity}", part, "site", Anchor(date="04-01"), Anchor(date="04-20"))  # type: ignore[arg-type]

    templates = (template("late", "aftercare"), template("cut", "wood"), template("off", "wood"))
    templates = (replace(templates[0], stake="graft", loss="it dries"), *templates[1:])
    adjustments = Adjustments(SiteShift(days=2), {"cut": Adjustment(opens_later_days=3), "off": Adjustment(off=True)})
    text = adjustments_text(adjustments, templates, {"late": "No graft was set."}, 80)
    assert [line.strip() for line in text.splitlines()] == [
        "The site is taken as 2 days behind what its temperatures say.",
        "Beside each rule what is at stake if its job is missed: tree, graft, year,",
        "little, ? unsaid.",
        "",
        "Wood",
        "cut                        ?      Do cut",
        "Adjusted for this site: opens 3 days later.",
        "off                        ?      Do off",
        "Left out.",
        "",
        "Aftercare",
        "late                       graft  Do late",
        "No graft was set.",
    ]
    assert adjustments_shape(adjustments, templates, {})

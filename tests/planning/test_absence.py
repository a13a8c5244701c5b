"""Why a template has no job this season, in words that a person would use."""

from __future__ import annotations

from datetime import date

import msgspec
import pytest
from steady_almanac import SteadyAlmanac

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.planning.absence import absence
from tendwork.planning.anchors import Anchors
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.subjects import Subjects
from tendwork.planning.vocabulary import Anchor, Template, Where

SEASON = Season(2026)
RECORDS = Records(
    trees=(Tree("t1", "Old apple", "apple", planted=2001),),
    grafts=(Graft("g1", "t1", "Red Lamp", state="took", set_on=date(2023, 4, 1)),),
)


def why(each: str = "graft", **where: object) -> str:
    template = Template("look", "Look", "aftercare", each, Anchor(date="04-01"), Anchor(date="05-01"))
    asked = Where(**where)  # type: ignore[arg-type]
    template = msgspec.structs.replace(template, where=asked)
    subjects = Subjects(Orchard(RECORDS, (), south=False, today=date(2026, 6, 1)))
    return absence(template, subjects, Anchors(SteadyAlmanac(), SEASON), SEASON)


@pytest.mark.parametrize(
    ("each", "years", "words"),
    [
        ("graft", (0, 0), "No graft was set this season."),
        ("graft", (0, 1), "No graft was set this season or last season."),
        ("graft", (1, 1), "No graft was set last season."),
        ("graft", (1, 2), "No graft was set 1 to 2 seasons ago."),
        ("graft", (4, 80), "No graft was set 4 to 80 seasons ago."),
        ("tree", (0, 3), "No tree was planted this season or up to 3 seasons ago."),
    ],
)
def test_an_age_is_said_in_seasons_since_the_first(each: str, years: tuple[int, int], words: str) -> None:
    assert why(each, age_years=years) == words


def test_growth_is_said_in_seasons_since_it_began() -> None:
    assert why(growing_years=(1, 1)) == "No graft first grew last season."


def test_a_job_that_follows_on_another_names_it() -> None:
    template = Template("look", "Look", "upkeep", "tree", Anchor(date="01-10"), Anchor(date="02-10"))
    look = msgspec.structs.replace(template, where=Where(follows="fit-guards"))
    fit = msgspec.structs.replace(template, id="fit-guards")
    subjects = Subjects(Orchard(RECORDS, (fit, look), south=False, today=date(2026, 6, 1)))
    said = absence(look, subjects, Anchors(SteadyAlmanac(), SEASON), SEASON)
    assert said == "No tree had fit-guards done this season."


def test_a_form_is_said_of_the_tree() -> None:
    assert why("tree", trained_flat=True) == "No tree is trained flat."


def test_a_condition_after_others_is_about_what_fits_those() -> None:
    assert why(state=("took",), age_years=(0, 0)) == "No graft that fits otherwise was set this season."


def test_what_is_asked_of_the_whole_orchard_beside_its_species_is_asked_of_its_grafts() -> None:
    assert why("site", state=("failed",)) == "No graft has the state failed."


def test_the_first_condition_that_leaves_nothing_is_named() -> None:
    assert why(species=("pear",), age_years=(0, 0)) == "No graft has the species pear."


def test_a_template_with_jobs_has_no_reason_to_be_absent() -> None:
    assert why(age_years=(3, 3)) == ""


def test_a_height_is_told_in_metres() -> None:
    assert why(above_m=2.5) == "No graft has a place above 2.5 m."


def test_an_orchard_without_what_the_job_is_about_says_so() -> None:
    assert why("wood") == "It is about each bundle of wood, and the orchard has none."


@pytest.mark.parametrize(
    ("opens", "words"),
    [
        (Anchor(after="tasted"), "Nothing that it waits for (tasted) gives a day in this season."),
        (Anchor(stage="shoot stop"), "Its window has no day in this season."),
    ],
)
def test_a_window_without_a_day_says_what_it_waits_for(opens: Anchor, words: str) -> None:
    template = Template("look", "Look", "aftercare", "graft", opens, Anchor(date="10-01"))
    subjects = Subjects(Orchard(RECORDS, (), south=False, today=date(2026, 6, 1)))
    assert absence(template, subjects, Anchors(SteadyAlmanac(), SEASON), SEASON) == words


@pytest.mark.parametrize("each", ["graft", "tree", "site"])
def test_a_union_that_does_not_fail_late_is_named(each: str) -> None:
    kind = "tree" if each == "tree" else "graft"
    assert why(each, union="fails late") == f"No {kind} has a union that is known to fail late."

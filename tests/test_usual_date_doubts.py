"""Usual dates that cannot be of this place: asked about in the check, with the file, the key and what to do.

That apple blooms in May in Wales and in October in Tasmania is common knowledge of the trade, no source; the normals of
both are from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from hill import SITE

from tendwork.folder.site import read_site
from tendwork.folder.site_text import site_text
from tendwork.workbench.folder_check import check_folder

Run = Callable[..., CompletedProcess[str]]

TODAY = date(2026, 4, 20)
SOUTH = """name = "Huon hill"
timezone = "Australia/Hobart"
latitude = -43.0
longitude = 147.0

[normals]
minimum_c = [10, 10, 9, 7, 5, 3, 2, 3, 4, 6, 7, 9]
maximum_c = [23, 23, 21, 18, 15, 13, 12, 13, 15, 17, 19, 21]
"""


def warned(orchard_path: Path, usual: str, site: str = SITE) -> str:
    """What the check says of usual dates; the line of the first of them is the last of the file."""
    (orchard_path / "site.toml").write_text(f"{site}\n[usual_dates]\n{usual}\n")
    faults, warnings = check_folder(orchard_path, TODAY)
    assert faults == ()
    return "\n".join(words for words in warnings if "usual_dates" in words)


def test_a_northern_date_in_the_south_is_asked_about_and_the_month_of_the_place_is_given(orchard_path: Path) -> None:
    said = warned(orchard_path, 'apple = { "full bloom" = "04-05" }', SOUTH)
    assert said.startswith('site.toml, line 11, key "usual_dates.apple.full bloom": 5 Apr is odd: the almanac expected')
    assert "In the south apple is at full bloom in October: is this a northern date?" in said
    assert said.endswith("Write the day as it is here, or take it out.")


def test_a_southern_date_in_the_north_is_asked_about(orchard_path: Path) -> None:
    assert "in May: is this a southern date?" in warned(orchard_path, 'apple = { "full bloom" = "11-05" }')


def test_bloom_in_the_middle_of_winter_is_asked_about_by_the_name_that_was_written(orchard_path: Path) -> None:
    said = warned(orchard_path, 'apple = { "bloom" = "01-15" }')
    assert 'key "usual_dates.apple.bloom": 15 Jan is odd' in said
    assert "southern" not in said


def test_stages_that_stand_back_to_front_are_asked_about(orchard_path: Path) -> None:
    said = warned(orchard_path, 'apple = { "green tip" = "06-01", "full bloom" = "05-10" }')
    assert 'key "usual_dates.apple.green tip": ' in said
    assert 'it is back to front: "full bloom", which comes after it, is given as 10 May.' in said
    near = warned(orchard_path, 'apple = { "pink" = "05-12", "full bloom" = "05-10" }')
    assert "pink" in near
    assert "is odd" not in near


@pytest.mark.parametrize("stage", ["shoot stop", "leaf fall"])
def test_stages_after_fruit_set_are_asked_about_too(orchard_path: Path, stage: str) -> None:
    assert f"{stage}" in warned(orchard_path, f'apple = {{ "{stage}" = "02-01" }}')


def test_a_usual_date_of_dormant_wood_changes_nothing_and_is_told_so(orchard_path: Path) -> None:
    said = warned(orchard_path, 'apple = { "dormant" = "11-20" }')
    assert said.endswith('changes nothing, for wood counts as dormant from leaf fall on. Give "leaf fall" instead.')


@pytest.mark.parametrize(
    ("usual", "site"),
    [
        (
            'apple = { "green tip" = "04-08", "full bloom" = "05-10", "shoot stop" = "08-10", "leaf fall" = "11-15" }',
            SITE,
        ),
        ('apple = { "full bloom" = "05-25" }\npear = { "full bloom" = "04-20" }', SITE),
        ('apple = { "full bloom" = "10-08", "leaf fall" = "05-20" }', SOUTH),
    ],
)
def test_dates_that_may_well_be_are_not_asked_about(orchard_path: Path, usual: str, site: str) -> None:
    assert warned(orchard_path, usual, site) == ""


def test_where_the_climate_is_a_guess_a_leaf_fall_of_early_november_is_believed(orchard_path: Path) -> None:
    guessed = 'name = "Ridge"\ntimezone = "America/New_York"\nlatitude = 38.0\nlongitude = -80.0\n'
    assert warned(orchard_path, 'apple = { "leaf fall" = "11-05" }', guessed) == ""


def test_two_wrong_dates_do_not_speak_for_each_other(orchard_path: Path) -> None:
    said = warned(orchard_path, 'apple = { "full bloom" = "04-05", "petal fall" = "04-15" }', SOUTH)
    assert said.count("is this a northern date?") == 2


def test_the_command_says_it(run: Run, orchard_path: Path) -> None:
    (orchard_path / "site.toml").write_text(f'{SITE}\n[usual_dates]\napple = {{ "full bloom" = "01-15" }}\n')
    assert 'key "usual_dates.apple.full bloom": 15 Jan is odd' in " ".join(run("check").stdout.split())


@pytest.mark.parametrize(("latitude", "example"), [(52.1, (5, 8)), (-43.0, (10, 8))])
def test_the_example_of_a_new_site_is_of_its_half_of_the_world_and_beyond_doubt(
    orchard_path: Path, latitude: float, example: tuple[int, int]
) -> None:
    lines = site_text("x", "UTC", latitude, 5.0).splitlines()
    woken = [line.removeprefix("# ") for line in lines if not line.startswith("# Everything")]
    text = "\n".join(woken).split("[colder_by]")[0]
    (usual,) = read_site(text).usual_dates
    assert (usual.month, usual.day) == example
    (orchard_path / "site.toml").write_text(text)
    assert not any("usual_dates" in words for words in check_folder(orchard_path, TODAY)[1])

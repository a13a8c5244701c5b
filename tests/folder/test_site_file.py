"""site.toml: every key of the contract, and every fault by file, line and key."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.folder.site import (
    DEFAULT_HOURS,
    ColderBy,
    Normals,
    Remind,
    TemperatureSource,
    UsualDate,
    check_site,
    read_site,
)
from tendwork.folder.site_text import site_text
from tendwork.plain_text import is_blank

FOUR = 'name = "Hill"\ntimezone = "Europe/London"\nlatitude = 52.1\nlongitude = -3.0\n'
WHOLE = (
    FOUR
    + """elevation_m = 240
units = "us"
reach_m = 1.8

[hours]
monday = 0.5
saturday = 4

[normals]
minimum_c = [1, 1, 2, 4, 7, 10, 12, 12, 9, 7, 3, 2]
maximum_c = [7, 7, 10, 13, 16, 19, 21, 21, 18, 14, 10, 7.5]

[usual_dates]
apple = { "full bloom" = "05-08" }
"tart cherry" = { bloom = "04-25" }

[colder_by]
days = 6

[[temperatures]]
file = "temperatures/*.csv"

[[temperatures]]
service = "somewhere"
station = 12

[remind]
at = "06:45"
command = ["mail", "-s", "Orchard", "me"]
calendar_file = "jobs.ics"
"""
)


def test_every_key_of_the_contract_is_read() -> None:
    site = read_site(WHOLE)
    assert (site.name, site.timezone, site.latitude, site.longitude) == ("Hill", "Europe/London", 52.1, -3.0)
    assert (site.elevation_m, site.units, site.reach_m) == (240, "us", 1.8)
    assert site.hours == (0.5, 0, 0, 0, 0, 4, 0)
    assert isinstance(site.normals, Normals)
    assert site.normals.maximum_c[11] == 7.5
    assert site.usual_dates == (
        UsualDate("apple", "full bloom", 5, 8),
        UsualDate("sour cherry", "full bloom", 4, 25),
    )
    assert site.colder_by == ColderBy(days=6)
    assert site.temperatures == (
        TemperatureSource(file="temperatures/*.csv"),
        TemperatureSource(service="somewhere", options={"station": 12}),
    )
    assert site.remind == Remind("06:45", ("mail", "-s", "Orchard", "me"), "jobs.ics")


def test_all_but_the_first_four_keys_have_a_default() -> None:
    site = read_site(FOUR)
    assert (site.units, site.reach_m, site.hours) == ("metric", 2.0, DEFAULT_HOURS)
    assert site.temperatures == (TemperatureSource(file="temperatures/*.csv"),)
    assert (site.normals, site.usual_dates, site.colder_by, site.remind) == (None, (), None, None)


def test_a_negative_latitude_is_south() -> None:
    assert read_site(FOUR.replace("52.1", "-41.3")).south


@pytest.mark.parametrize("key", ["name", "timezone", "latitude", "longitude"])
def test_each_of_the_first_four_keys_is_required(key: str) -> None:
    text = "".join(line for line in FOUR.splitlines(True) if not line.startswith(key))
    with pytest.raises(PersonError, match=f'site.toml, key "{key}": is missing'):
        read_site(text)


@pytest.mark.parametrize(
    ("extra", "words"),
    [
        ("elevation = 3", 'line 5, key "elevation": unknown key. Did you mean "elevation_m"?'),
        ("reach_m = 0", 'line 5, key "reach_m": must be more than 0'),
        ('reach_m = "2"', 'line 5, key "reach_m": must be a number'),
        ("reach_m = nan", 'line 5, key "reach_m": nan is not between 0 and 10'),
        ("reach_m = 1" + "0" * 400, 'line 5, key "reach_m": 10000000000000000000 is not between 0 and 10'),
        (
            "reach_m = 9",
            'line 5, key "reach_m": 9 m is more than anybody reaches with both feet on the ground. '
            "Give the height at which you can still work, standing: 2.6 at most.",
        ),
        ("reach_m = true", 'line 5, key "reach_m": must be a number'),
        ('units = "imperial"', 'line 5, key "units": must be one of metric, us'),
        ("hours = 3", 'line 5, key "hours": must be a table'),
        ("[hours]\nmonday = 25", 'line 6, key "hours.monday": 25 is not between 0 and 24'),
        ("[hours]\nmonnday = 2", 'line 6, key "hours.monnday": unknown key. Did you mean "monday"?'),
        ("[normals]\nminimum_c = [1, 2]", 'line 6, key "normals.minimum_c": must be twelve numbers'),
        (
            f"[normals]\nminimum_c = {[9] * 12}\nmaximum_c = {[8] * 12}",
            'line 6, key "normals.minimum_c": month 1 has a minimum of 9 above its maximum of 8',
        ),
        (
            '[usual_dates]\nappel = { bloom = "05-08" }',
            'line 6, key "usual_dates.appel": unknown species. Did you mean "apple"?',
        ),
        (
            '[usual_dates]\napple = { "ful bloom" = "05-08" }',
            'key "usual_dates.apple.ful bloom": unknown stage of apple. Did you mean "full bloom"?',
        ),
        (
            '[usual_dates.apple]\n"full bloom" = "30-02"',
            'line 6, key "usual_dates.apple.full bloom": must be a month and day',
        ),
        ("[colder_by]\ndays = 6\ndegrees_c = 1", 'line 5, key "colder_by": must have exactly one of'),
        ("[colder_by]", 'line 5, key "colder_by": must have exactly one of'),
        (
            '[[temperatures]]\nfile = "a"\n[[temperatures]]\nfile = "a"\nservice = "b"',
            'line 7, key "temperatures": must have exactly one of file, service',
        ),
        (
            '[[temperatures]]\nfile = "a"\nfromat = "x"',
            'line 7, key "temperatures.fromat": unknown key. Did you mean "format"?',
        ),
        ('[remind]\nat = "6:30"', 'line 6, key "remind.at": "6:30" is not a time of day'),
        ('[remind]\ncommand = "mail me"', 'line 6, key "remind.command": must be a list of words'),
        ("name = 3", "line 5"),
        ("[hours\nmonday = 1", "is not valid TOML"),
    ],
)
def test_a_fault_is_told_by_line_and_key(extra: str, words: str) -> None:
    _, faults = check_site(FOUR + extra)
    assert words in faults[0]


@pytest.mark.parametrize("zone", ["Europe/Lundon", "", "../../etc/passwd", "/etc/passwd", "a\\u0000b"])
def test_a_timezone_that_does_not_exist_is_refused(zone: str) -> None:
    with pytest.raises(PersonError, match="is not a timezone"):
        read_site(FOUR.replace("Europe/London", zone))


def test_a_latitude_beyond_the_pole_is_refused() -> None:
    with pytest.raises(PersonError, match='line 3, key "latitude": 91 is not between -90 and 90'):
        read_site(FOUR.replace("52.1", "91"))
    with pytest.raises(PersonError, match='line 4, key "longitude": -181 is not between -180 and 180'):
        read_site(FOUR.replace("-3.0", "-181"))


@pytest.mark.parametrize("name", ["", "  ", "\\u200b", "\\u2800 \\u3164", "\\u202e"])
def test_a_name_of_which_nothing_can_be_seen_is_refused(name: str) -> None:
    with pytest.raises(PersonError, match='line 1, key "name": is empty: nothing of it can be seen'):
        read_site(FOUR.replace("Hill", name))


def test_all_faults_are_told_in_one_go() -> None:
    _, faults = check_site('name = 3\nlatitude = "x"\nlongitud = 4\n')
    assert len(faults) == 5  # two missing, one unknown, two wrong


@given(
    st.text(st.characters(exclude_categories=["Cs"])).filter(lambda name: not is_blank(name)),
    st.floats(-90, 90),
    st.floats(-180, 180),
)
def test_the_text_of_a_new_site_reads_back_as_what_was_said(name: str, latitude: float, longitude: float) -> None:
    site = read_site(site_text(name, "Europe/London", latitude, longitude))
    assert (site.name, site.latitude, site.longitude) == (name, latitude, longitude)


def test_every_commented_line_of_a_new_site_is_valid_once_woken() -> None:
    lines = site_text("x", "UTC", 50.0, 5.0).splitlines()
    woken = [line.removeprefix("# ") for line in lines if not line.startswith("# Everything")]
    assert read_site("\n".join(woken)).reach_m == 2.0


@given(st.text(max_size=200))
def test_no_text_at_all_makes_anything_but_a_site_or_faults(text: str) -> None:
    site, faults = check_site(FOUR + text)
    assert (site is None) == bool(faults)

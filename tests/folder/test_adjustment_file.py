"""adjustments.toml: a value that no site can have is refused where it stands, before anything is computed with it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.adjustments import read_adjustments, refuse_values, write_adjustments
from tendwork.planning.adjustments import Adjustment, Adjustments
from tendwork.planning.vocabulary import LeftOut


def refusal_of(folder: Path, line: str) -> str:
    """What is said of a line that no template may have, behind its file, line and key."""
    file = folder / "adjustments.toml"
    file.write_text(f"[template.check-take]\n{line}\n", encoding="utf-8")
    with pytest.raises(PersonError) as caught:
        read_adjustments(file)
    place = f'adjustments.toml, line 2, key "template.check-take.{line.partition(" ")[0]}": '
    assert str(caught.value).startswith(place)
    return str(caught.value).removeprefix(place)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("closes_later_days = 2147483648", "must be between -400 and 400"),
        ("opens_later_days = -99999999999", "must be between -400 and 400"),
        ("every_days = 0", "must be between 1 and 1000"),
        ("times = 1000000000", "must be between 1 and 100"),
        ("minutes_each = 1e308", "must be between 0 and 10000"),
        ("setup_minutes = nan", "must be between 0 and 10000"),
        ("min_c = -inf", "must be between -60 and 60"),
        ("frost_free_nights = -1", "must be between 0 and 60"),
    ],
)
def test_a_value_out_of_bounds_is_told_with_line_and_key(tmp_path: Path, line: str, said: str) -> None:
    assert refusal_of(tmp_path, line) == said


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('stake = "trees"', '"trees" is not known here. Write one of tree, graft, year, little.'),
        (
            'visit = "Two Words"',
            '"Two Words" is not a name of a visit. '
            'Write small letters, numbers and hyphens, such as "aftercare" or "walk".',
        ),
    ],
)
def test_a_word_that_no_rule_may_have_is_told_with_what_may_stand_there(tmp_path: Path, line: str, said: str) -> None:
    assert refusal_of(tmp_path, line) == said


@pytest.mark.parametrize("line", ["degrees_c = nan", "elevation_m = 1e308", "days = -61"])
def test_a_shift_of_the_site_that_cannot_be_is_refused(tmp_path: Path, line: str) -> None:
    file = tmp_path / "adjustments.toml"
    file.write_text(f"[site]\n{line}\n", encoding="utf-8")
    with pytest.raises(PersonError, match=r"line 2, key \"site\.\w+\": must be between"):
        read_adjustments(file)


@pytest.mark.parametrize("text", ["template = 1\n", "template = [1]\n", "site = 1\n", "[template]\ncheck-take = 1\n"])
def test_what_should_be_a_table_and_is_none_is_told(tmp_path: Path, text: str) -> None:
    file = tmp_path / "adjustments.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(PersonError, match=r"^adjustments\.toml, line \d, key .*: expected a table, got "):
        read_adjustments(file)


def test_values_that_come_from_a_form_or_a_command_have_the_same_bounds() -> None:
    refuse_values(Adjustments(template={"check-take": Adjustment(max_c="none", opens_later_days=400)}))
    with pytest.raises(PersonError, match=r"template\.check-take\.opens_later_days must be between -400 and 400"):
        refuse_values(Adjustments(template={"check-take": Adjustment(opens_later_days=401)}))


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            "left_out = [{}]",
            'line 2, key "template.suckers.left_out": names neither a tree nor a season: for good',
        ),
        ("left_out = [{ season = 26 }]", 'key "template.suckers.left_out.season": must be the year of its spring'),
        ("left_out = [{ tre = 't1' }]", 'key "template.suckers.left_out.tre": unknown key. Did you mean "tree"?'),
        ("left_out = [{ tree = 1 }]", 'key "template.suckers.left_out.tree": expected text in quotes, got a whole'),
        ("left_out = 't1'", 'key "template.suckers.left_out": expected a list in [ ], got text in quotes'),
        ("off = true\nasked = true", 'line 3, key "template.suckers.asked": asks for what `off` leaves out'),
        ("off = true\nsince = 'May'", 'line 3, key "template.suckers.since": is not a day. Write one such as'),
    ],
)
def test_what_is_left_out_in_a_way_that_cannot_be_is_told_with_line_and_key(
    tmp_path: Path, lines: str, said: str
) -> None:
    file = tmp_path / "adjustments.toml"
    file.write_text(f"[template.suckers]\n{lines}\n", encoding="utf-8")
    with pytest.raises(PersonError) as caught:
        read_adjustments(file)
    assert said in str(caught.value)


def test_what_is_left_out_is_written_with_its_days_as_days_and_read_again(tmp_path: Path) -> None:
    file, day = tmp_path / "adjustments.toml", date(2026, 4, 20)
    entries = (LeftOut("t1", on=day), LeftOut(season=2026), LeftOut("Old, pear", 2027, day))
    held = Adjustments(
        template={"suckers": Adjustment(left_out=entries), "spring-bud": Adjustment(asked=True, since=day)}
    )
    write_adjustments(file, held)
    assert read_adjustments(file) == held
    assert "since = 2026-04-20\n" in file.read_text(encoding="utf-8")


def test_a_value_of_the_wrong_kind_is_told_at_the_line_of_its_own_template(tmp_path: Path) -> None:
    file = tmp_path / "adjustments.toml"
    file.write_text("[template.check-take]\ntimes = 1\n\n[template.suckers]\ntimes = 'x'\n", encoding="utf-8")
    with pytest.raises(PersonError, match=r'line 5, key "template\.suckers\.times": expected a whole number'):
        read_adjustments(file)

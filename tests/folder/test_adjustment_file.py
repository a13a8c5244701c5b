"""adjustments.toml: a value that no site can have is refused where it stands, before anything is computed with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.adjustments import read_adjustments, refuse_values
from tendwork.planning.adjustments import Adjustment, Adjustments


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
    file = tmp_path / "adjustments.toml"
    file.write_text(f"[template.check-take]\n{line}\n", encoding="utf-8")
    with pytest.raises(PersonError) as caught:
        read_adjustments(file)
    key = line.partition(" ")[0]
    assert str(caught.value) == f'adjustments.toml, line 2, key "template.check-take.{key}": {said}'


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
    file = tmp_path / "adjustments.toml"
    file.write_text(f"[template.check-take]\n{line}\n", encoding="utf-8")
    with pytest.raises(PersonError) as caught:
        read_adjustments(file)
    key = line.partition(" ")[0]
    assert str(caught.value) == f'adjustments.toml, line 2, key "template.check-take.{key}": {said}'


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

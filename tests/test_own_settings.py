"""The person's own file: what is kept in it, and what is said where it cannot be used."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from tendwork.cli import cli
from tendwork.dashboard.actions import ACTIONS, SCREENS, Keys
from tendwork.dashboard.own_choices import NIGHT, PAPER, own_choices
from tendwork.dashboard.own_keys import key_name, own_keys
from tendwork.errors import PersonError
from tendwork.folder.own_settings import keep_colours, read_own_settings

OWN = """# mine
[keys]
everywhere.colours = "T"   # capital
wood.mark = ["m", "insert"]
"""


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "own" / "dashboard.toml"
    path.parent.mkdir()
    monkeypatch.setenv("TENDWORK_SETTINGS", str(path))
    return path


def faults(file: Path, text: str) -> tuple[str, ...]:
    file.write_text(text, encoding="utf-8")
    return own_choices(read_own_settings(file)).faults


def test_chosen_colours_leave_every_other_line_as_it_is(file: Path) -> None:
    file.write_text(OWN, encoding="utf-8")
    keep_colours(file, PAPER)
    keep_colours(file, NIGHT)
    assert file.read_text(encoding="utf-8") == f'colours = "{NIGHT}"\n{OWN}'


def test_chosen_colours_make_the_file_where_there_is_none(tmp_path: Path) -> None:
    file = tmp_path / "none" / "yet" / "dashboard.toml"
    keep_colours(file, PAPER)
    assert own_choices(read_own_settings(file)).colours == PAPER


def test_a_broken_file_is_not_written_into(file: Path) -> None:
    file.write_text("colours = \n", encoding="utf-8")
    with pytest.raises(PersonError, match=r"dashboard.toml, line 1"):
        keep_colours(file, PAPER)
    assert file.read_text(encoding="utf-8") == "colours = \n"


def test_a_file_that_is_a_link_stays_one(file: Path, tmp_path: Path) -> None:
    real = tmp_path / "elsewhere.toml"
    real.write_text(OWN, encoding="utf-8")
    file.symlink_to(real)
    keep_colours(file, PAPER)
    assert (file.is_symlink(), real.read_text(encoding="utf-8").splitlines()[0]) == (True, f'colours = "{PAPER}"')


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[keys\n", "line 1: is not valid TOML"),
        (
            '[keys]\nwood.mrk = "m"\n',
            'line 2, key "keys.wood.mrk": "wood.mrk" is not known here. Did you mean "wood.mark"',
        ),
        ('[keys]\n\ntrees.add = "entr"\n', 'line 3, key "keys.trees.add": "entr" is no key'),
        ('[keys]\nseason.why = "up"\n', 'line 2, key "keys.season.why": "up" is needed for moving'),
        ('[keys]\nform.save = "s"\n', 'line 2, key "keys.form.save": "s" is written in a form'),
        ('[keys]\nmorning.tick = "x"\n', 'line 2, key "keys.morning.tick": "x" is already the key of morning.skip'),
        ('[keys.wood]\nmark = "y"\n', '"y" is already the key of everywhere.copy'),
        ("[keys]\nwood.mark = 3\n", 'line 2, key "keys.wood.mark": expected a key in quotes'),
        ("keys = 3\n", 'line 1, key "keys": expected a table'),
        ('colours = "pink"\n', "line 1, key \"colours\": 'pink' are no colours of this program"),
        ('color = "pink"\n', 'line 1, key "color": "color" is not known here. Did you mean "colours"'),
    ],
)
def test_a_fault_is_told_with_file_line_and_key_and_the_usual_keys_hold(file: Path, text: str, said: str) -> None:
    (fault,) = faults(file, text)
    assert (fault.startswith(str(file)), said in fault) == (True, True), fault
    assert own_choices(read_own_settings(file)).keys == Keys()


def test_two_keys_may_change_places(file: Path) -> None:
    assert faults(file, '[keys]\nmorning.tick = "x"\nmorning.skip = "space"\n') == ()


def test_the_same_name_on_two_screens_is_moved_on_one(file: Path) -> None:
    file.write_text('[keys]\nwood.mark = "f5"\n', encoding="utf-8")
    keys = own_choices(read_own_settings(file)).keys
    assert (keys.word("wood.mark"), keys.word("trees.mark")) == ("f5", "space")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("?", "question_mark"),
        ("/", "slash"),
        ("+", "plus"),
        (" ", "space"),
        ("ctrl+S", "ctrl+s"),
        ("F2", "f2"),
        ("shift+a", "A"),
    ],
)
def test_a_key_may_be_written_as_it_is_read(text: str, name: str) -> None:
    assert key_name(text) == name


def test_shift_and_a_letter_is_the_capital() -> None:
    assert key_name("shift+a") == "A"


@pytest.mark.parametrize("key", sorted({key for action in ACTIONS if action.on in SCREENS for key in action.keys}))
def test_every_usual_key_is_named_as_it_is_written(key: str) -> None:
    assert key_name(key) == key


def test_the_table_has_the_own_keys_the_ids_and_the_file(file: Path) -> None:
    file.write_text('[keys]\nmorning.skip = "f2"\n', encoding="utf-8")
    printed = CliRunner().invoke(cli, ["keys"]).output
    assert re.search(r"^  f2 +morning\.skip ", printed, re.MULTILINE)
    assert str(file) in printed


def test_a_fault_ends_the_command_with_one(file: Path) -> None:
    file.write_text('[keys]\nmorning.skip = "enter"\n', encoding="utf-8")
    done = CliRunner().invoke(cli, ["keys"])
    assert (done.exit_code, "line 2" in done.output) == (1, True)


def test_an_id_of_an_earlier_version_is_still_read(file: Path) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text('[keys]\neverywhere.reckon = "f6"\n', encoding="utf-8")
    keys, faults = own_keys(read_own_settings(file))
    assert faults == ()
    assert next(action.keys for action in keys.actions if action.id == "everywhere.update") == ("f6",)

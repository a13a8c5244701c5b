"""`tendwork propose` on a real folder: what it prints, its JSON, what it refuses, and one act that undo takes back."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]
ON = ("--on", "2026-11-20")
GRAFTS = """id,tree,variety,state,set_on,facing,height_m,out_m,ripens_from,ripens_to,verdict
k1,t1,Autumn Kept,bearing,2015-04-01,10,2,1,09-13,12-26,keep
k2,t1,Autumn Kept,bearing,2015-04-01,100,2,1,09-13,12-26,keep
p1,t1,Gone One,removed,2015-04-01,180,2,1,,,cut
p2,t1,Gone Two,removed,2015-04-01,270,2,1,,,cut
"""
VARIETIES = """species,variety,ripens
apple,Summer Wish,06-28 to 07-25
apple,Riddle,
"""


@pytest.fixture
def crown(run: Run, tmp_path: Path) -> Run:
    """The small orchard, with two free places on the first tree and two varieties that are wished for."""
    for kind, text in (("grafts", GRAFTS), ("varieties", VARIETIES)):
        file = tmp_path / f"{kind}.csv"
        file.write_text(text)
        assert run("bring", str(file), "--as", kind, *ON).returncode == 0
    return run


def shape(run: Run, *words: str) -> dict[str, object]:
    done = run("propose", *words, "--json", *ON)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)  # type: ignore[no-any-return]


def given(run: Run, folder: Path) -> dict[str, bytes]:
    assert run("give", str(folder)).returncode == 0
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def test_it_says_place_variety_reason_wood_and_what_is_not_known(crown: Run) -> None:
    text = " ".join(crown("propose", "--new", "1", *ON).stdout.split())
    assert "What to graft next spring: 1 graft proposed." in text
    assert "Summer Wish, whip and tongue; 2 m up, 1 m out, facing south; was Gone One." in text
    assert "Fills 4 weeks in which no other fruit is ripe." in text
    assert "Summer Wish (apple): ask for 1 stick: who has it is not known, by Thu 31 Dec 2026." in text
    assert (
        "Riddle (apple): when it is ripe, when it blooms and how strongly it grows is not known: counts for nothing."
        in text
    )
    assert text.endswith("with --accept plans these grafts in one act, which undo takes back.")


def test_the_json_has_the_keys_of_its_contract(crown: Run) -> None:
    made = shape(crown, "--new", "1")
    assert list(made) == [
        "today", "season", "lines", "wood", "without_partner", "misfits", "free", "not_chosen", "not_known", "limits",
        "notes",
    ]  # fmt: skip
    (line,) = made["lines"]  # type: ignore[misc]
    assert list(line) == [
        "place", "tree", "was", "free_now", "species", "variety", "method", "source", "copy_of", "ripe", "pinned",
        "because",
    ]  # fmt: skip
    assert (line["place"], line["variety"], line["ripe"]) == ("p1", "Summer Wish", "06-28 to 07-25")
    before, after = (made["season"][name] for name in ("bare_before", "bare_after"))  # type: ignore[index]
    assert set(before) - set(after) == {"06-28", "07-05", "07-12", "07-19"}


def test_pins_forbids_and_a_swap(crown: Run) -> None:
    def lines(*words: str) -> dict[str, str]:
        return {line["place"]: line["variety"] for line in shape(crown, *words)["lines"]}  # type: ignore[attr-defined]

    assert lines("--new", "1", "--pin", "riddle=p2") == {"p2": "Riddle"}
    assert lines("--new", "1", "--forbid", "Summer Wish") == {"p1": "Riddle"}
    assert lines("--new", "1", "--forbid", "=p1") == {"p2": "Summer Wish"}
    assert lines("--new", "0") == {}
    assert "Swapping" in crown("propose", "--swap", "p1", "p2", *ON).stdout or len(lines()) < 2


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("--pin", "Summer Wish"), 2, "is not a variety and a place"),
        (("--pin", "Nobody=p1"), 1, '"Nobody" is no candidate'),
        (("--forbid", "="), 2, "is not a variety and a place"),
        (("--hours", "-1"), 2, "give hours such as 3 or 2.5"),
        (("--hours", "nan"), 2, "give hours such as 3 or 2.5"),
        (("--new", "-1"), 2, "-1"),
        (("--new", "1", "--swap", "p1", "p2"), 1, "there is nothing to swap"),
        (("--new", "0", "--accept"), 1, "There is nothing to accept"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(crown: Run, words: tuple[str, ...], status: int, said: str) -> None:
    done = crown("propose", *words, *ON)
    assert done.returncode == status
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_nothing_is_written_until_it_is_accepted_and_undo_gives_all_back(crown: Run, tmp_path: Path) -> None:
    before = given(crown, tmp_path / "before")
    crown("propose", *ON)
    assert given(crown, tmp_path / "read") == before
    done = crown("propose", "--new", "1", "--accept", *ON)
    assert done.returncode == 0
    assert done.stdout.splitlines()[:2] == [
        "1 graft planned as proposed: Summer Wish at p1.",
        "  p1 on Old apple: Summer Wish, whip and tongue.",
    ]
    after = given(crown, tmp_path / "after")
    assert {name for name in before if after[name] != before[name]} == {"grafts.csv", "lives.csv"}
    assert b"p1,t1,,Summer Wish,whip and tongue," in after["grafts.csv"]
    assert crown("undo", *ON).stdout == "Undone: 1 graft planned as proposed: Summer Wish at p1.\n"
    assert given(crown, tmp_path / "undone") == before


def test_a_swap_is_not_accepted_but_named_as_the_pins_that_do_it(crown: Run, tmp_path: Path) -> None:
    more = "".join(f"k{n},t1,Autumn Kept,bearing,2015-04-01,{n},2,1,09-13,12-26,keep\n" for n in range(3, 7))
    (tmp_path / "more.csv").write_text(GRAFTS + more)  # a third of the crown is then two grafts and more
    assert crown("bring", str(tmp_path / "more.csv"), "--as", "grafts", *ON).returncode == 0
    pins = ("--pin", "Summer Wish=p1", "--pin", "Riddle=p2")
    before = given(crown, tmp_path / "before")
    named = '--pin "Riddle=p1" --pin "Summer Wish=p2"'
    done = crown("propose", *pins, "--swap", "p1", "p2", "--accept", *ON)
    assert done.returncode == 1
    assert named in done.stderr
    assert given(crown, tmp_path / "after") == before
    text = " ".join(crown("propose", *pins, "--swap", "p1", "p2", *ON).stdout.split())
    assert named in text
    assert "The same command with --accept" not in text

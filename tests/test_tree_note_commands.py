"""`tendwork trouble` and `tendwork spray` as a person meets them: what they say, what they leave, how they refuse."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tendwork.orchard.records import Spray, Trouble
from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]
DAY, TODAY = date(2026, 5, 4), ("--on", "2026-05-06")


@pytest.fixture
def said(run: Run) -> Callable[..., str]:
    """What a command says that goes well, on 6 May 2026."""

    def say(*words: str) -> str:
        done = run(*TODAY, *words)
        assert (done.returncode, done.stderr) == (0, "")
        return done.stdout

    return say


@pytest.fixture
def held(orchard_path: Path) -> Callable[[], tuple[tuple[Trouble, ...], tuple[Spray, ...]]]:
    def read() -> tuple[tuple[Trouble, ...], tuple[Spray, ...]]:
        bench = Workbench.open(orchard_path)
        records = bench.records.read()
        bench.close()
        return records.troubles, records.sprays

    return read


def test_a_sign_of_disease_is_noted_said_twice_and_undone(said: Callable[..., str], held: Callable) -> None:
    told = said("trouble", "wall pear", "Fire blight", "--on", "2026-05-04", "--note", "one shoot")
    assert told == "Wall pear (t2): fire blight seen on 2026-05-04.\n"
    assert held() == ((Trouble(DAY, "t2", "fire blight", "one shoot"),), ())
    told = said("trouble", "t2", "fire blight", "--on", "2026-05-04")
    assert told == "Wall pear (t2): fire blight seen on 2026-05-04 is already noted.\n"
    assert "fire blight seen (one shoot)" in said("trees")
    said("undo")
    assert held() == ((), ())


def test_without_a_day_it_was_seen_today(said: Callable[..., str], held: Callable) -> None:
    said("trouble", "t1", "canker")
    assert held()[0] == (Trouble(date(2026, 5, 6), "t1", "canker"),)


def test_a_word_of_ones_own_is_taken_and_said_to_be_one(said: Callable[..., str], held: Callable) -> None:
    assert said("trouble", "t1", "leaf curl").endswith(
        '"leaf curl" is your own word, and no job hangs on it. Jobs hang on fire blight, canker, gum, mosaic or'
        " rings, dieback, gnawed bark, storm.\n"
    )
    assert 'Did you mean "fire blight"? Then undo this, and note that.' in said("trouble", "t1", "fire blite")
    assert [trouble.what for trouble in held()[0]] == ["leaf curl", "fire blite"]


def test_a_spray_whose_days_are_not_known_says_so_and_how_to_tell_them(
    said: Callable[..., str], held: Callable
) -> None:
    first, how = said("spray", "t1", "Wall pear", "Invented wash").splitlines()
    assert first == (
        "Old apple (t1) and Wall pear (t2): Invented wash sprayed on 2026-05-06. The days to return and to harvest are"
        " not known, so the trees and their fruit stay barred until you note the same product and day again with the"
        " days from the label."
    )
    assert how.strip() == (
        "tendwork spray t1 t2 'Invented wash' --on 2026-05-06 --return-days DAYS --harvest-days DAYS"
    )
    assert held()[1] == tuple(Spray(date(2026, 5, 6), tree, "Invented wash") for tree in ("t1", "t2"))


def test_the_days_are_told_by_the_same_spray_again_and_one_undo_takes_them_back(
    said: Callable[..., str], held: Callable
) -> None:
    said("spray", "t1", "t2", "Invented wash", "--on", "2026-05-04")
    before = held()
    told = said("spray", "t1", "t2", "invented wash", "--on", "2026-05-04", "--return-days", "2", "--harvest-days", "0")
    assert told == (
        "Old apple (t1) and Wall pear (t2): Invented wash sprayed on 2026-05-04 amended, 2 days to return,"
        " 0 days to harvest (before: days to return not known, days to harvest not known).\n"
    )
    assert held()[1] == tuple(Spray(DAY, tree, "Invented wash", 2, 0) for tree in ("t1", "t2"))
    said("undo")
    assert held() == before


def test_what_was_noted_by_mistake_is_taken_away_and_comes_back_with_undo(
    said: Callable[..., str], held: Callable
) -> None:
    said("spray", "t1", "Invented wash", "--return-days", "2", "--harvest-days", "3")
    before = held()
    told = said("spray", "t1", "Invented wash", "--wrong")
    assert told == "Old apple (t1): Invented wash sprayed on 2026-05-06 taken away, noted by mistake.\n"
    assert held() == ((), ())
    said("undo")
    assert held() == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("trouble", "t9", "canker"), 'There is no tree "t9". `tendwork trees` lists them.'),
        (("trouble", "t1", "canker", "--on", "2026-05-07"), "of 2026-05-07 is in the future. Mend the date."),
        (("trouble", "t1", "can\x1bker"), "Sign holds a control character or a line break; take it out."),
        (("trouble", "t1", ""), "Sign is missing."),
        (("trouble", "t1", "canker", "--wrong"), "is not noted. Nothing of the kind is noted there."),
        (("spray", "t1", "t9", "Wash"), 'There is no tree "t9".'),
        (("spray", "t1", " "), "Product is missing."),
        (("spray", "t1", "Wash", "--on", "2026-05-07"), "The spray of 2026-05-07 is in the future. Mend the date."),
        (("spray", "t1", "Wash", "--return-days", "-1"), "Days to return -1 is not between 0 and 365."),
        (("spray", "t1", "Wash", "--harvest-days", "366"), "Days to harvest 366 is not between 0 and 365."),
        (("spray", "t1", "Wash", "--return-days", "1.5"), 'Days to return "1.5" is not a whole number.'),
        (("spray", "t1", "Wash", "--note", "a\nb"), "Note holds a control character or a line break"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_nothing_is_noted(
    run: Run, held: Callable, words: tuple[str, ...], told: str
) -> None:
    done = run(*TODAY, *words)
    assert (done.returncode, done.stdout) == (1, "")
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    assert held() == ((), ())


def test_sprays_brought_from_a_file_say_whose_days_are_not_known(
    said: Callable[..., str], held: Callable, tmp_path: Path
) -> None:
    file = tmp_path / "sprays.csv"
    file.write_text("date,tree,product,days_to_return,days_to_harvest\n2026-05-04,t1,Wash,1,\n2026-05-04,t1,Oil,1,2\n")
    told = said("bring", str(file), "--as", "sprays")
    assert "Brought 2 new" in told
    assert "Wash: The days to harvest are not known, so the fruit stays barred until you note" in told
    assert "Oil" not in told
    assert held()[1] == (Spray(DAY, "t1", "Wash", 1), Spray(DAY, "t1", "Oil", 1, 2))


def test_troubles_brought_from_a_file_name_words_of_ones_own(said: Callable[..., str], tmp_path: Path) -> None:
    file = tmp_path / "troubles.csv"
    file.write_text("date,tree,trouble\n2026-05-04,t1,Fire Blight\n2026-05-04,t2,rosy aphid\n")
    told = said("bring", str(file), "--as", "troubles", "--dry-run")
    assert "new: 2026-05-04 fire blight" in told
    assert '"rosy aphid" is your own word' in told


def test_a_row_of_a_day_to_come_is_named_by_its_line_and_nothing_is_taken(
    run: Run, held: Callable, tmp_path: Path
) -> None:
    file = tmp_path / "sprays.csv"
    file.write_text("date,tree,product\n2026-05-04,t1,Wash\n2026-05-07,t1,Wash\n")
    done = run(*TODAY, "bring", str(file), "--as", "sprays")
    assert done.returncode == 1
    assert 'sprays.csv, line 3, key "date": The spray of 2026-05-07 is in the future. Mend the date.' in done.stderr
    assert held() == ((), ())


def test_the_trees_as_json_hold_height_signs_and_sprays_and_nothing_where_nothing_is_known(
    said: Callable[..., str],
) -> None:
    said("trouble", "t2", "gum")
    said("spray", "t2", "Wash", "--harvest-days", "0")
    apple, pear = json.loads(said("trees", "--json"))["trees"]
    assert (apple["height_m"], apple["troubles"], apple["sprays"]) == (None, [], [])
    assert [trouble["what"] for trouble in pear["troubles"]] == ["gum"]
    assert [(spray["days_to_return"], spray["days_to_harvest"]) for spray in pear["sprays"]] == [(None, 0)]


def test_the_height_of_a_tree_is_told_in_the_orchards_units(run: Run, orchard_path: Path, tmp_path: Path) -> None:
    file = tmp_path / "trees.csv"
    file.write_text("id,name,species,height_m\nt1,Old apple,apple,3\n")
    assert run("bring", str(file), "--as", "trees").returncode == 0
    assert "  Its crown reaches 3 m.\n" in run("trees").stdout
    site = orchard_path / "site.toml"
    site.write_text('units = "us"\n' + site.read_text())
    shown = run("trees").stdout
    assert "Its crown reaches 9.8 ft." in shown
    assert "8.2 ft" in shown


@pytest.mark.parametrize(
    ("word", "known"),
    [
        ("Fireblight", "fire blight"), ("fire-blight", "fire blight"), ("blight", "fire blight"),
        ("bacterial canker", "canker"), ("Cankers", "canker"), ("gummosis", "gum"), ("mosaic", "mosaic or rings"),
        ("ring spot", "mosaic or rings"), ("virus", "mosaic or rings"), ("die-back", "dieback"),
    ],
)  # fmt: skip
def test_a_word_of_the_trade_for_a_sign_is_noted_as_the_known_one_and_said(
    said: Callable[..., str], held: Callable, tmp_path: Path, word: str, known: str
) -> None:
    assert f'"{word}" is noted as "{known}".' in said("trouble", "t1", word)
    file = tmp_path / "troubles.csv"
    file.write_text(f"date,tree,trouble\n2026-05-04,t2,{word}\n")
    assert f'"{word}" is noted as "{known}".' in said("bring", str(file), "--as", "troubles")
    assert [(one.tree, one.what) for one in held()[0]] == [("t1", known), ("t2", known)]


def test_a_known_word_in_other_capitals_is_not_said_to_be_another(said: Callable[..., str]) -> None:
    assert "is noted as" not in said("trouble", "t1", "Fire  Blight")


def test_rows_of_one_file_complete_each_other_as_the_command_does_and_what_is_said_matches(
    said: Callable[..., str], held: Callable, tmp_path: Path
) -> None:
    file = tmp_path / "sprays.csv"
    file.write_text(
        "date,tree,product,days_to_return,days_to_harvest\n2026-05-04,t1,Wash,2,30\n2026-05-04,t1,wash,,\n"
        "2026-05-04,t2,Oil,1,\n2026-05-04,t2,Oil,,7\n"
    )
    told = said("bring", str(file), "--as", "sprays")
    assert held()[1] == (Spray(DAY, "t1", "Wash", 2, 30), Spray(DAY, "t2", "Oil", 1, 7))
    assert "not known" not in told
    assert told.startswith("Brought 2 new, 0 changed and 0 unchanged sprays from sprays.csv.\n2 rows of the file ")
    assert "0 new, 0 changed and 4 unchanged" in said("bring", str(file), "--as", "sprays")


def test_equal_signs_in_one_file_are_one_record(said: Callable[..., str], held: Callable, tmp_path: Path) -> None:
    file = tmp_path / "troubles.csv"
    file.write_text("date,tree,trouble,note\n2026-05-04,t1,canker,low\n2026-05-04,t1,cankers,\n")
    said("bring", str(file), "--as", "troubles")
    assert held()[0] == (Trouble(DAY, "t1", "canker", "low"),)


@pytest.mark.parametrize("kind", ["troubles", "sprays", "grafts", "sightings"])
def test_a_name_in_the_column_of_the_trees_id_is_told_the_id(run: Run, tmp_path: Path, kind: str) -> None:
    rows = {
        "troubles": "date,tree,trouble\n2026-05-04,Wall Pear,gum\n",
        "sprays": "date,tree,product\n2026-05-04,Wall Pear,Wash\n",
        "grafts": "tree,variety\nWall Pear,Red Lamp\n",
        "sightings": "date,tree,species,stage\n2026-05-04,Wall Pear,pear,green tip\n",
    }
    file = tmp_path / "rows.csv"
    file.write_text(rows[kind])
    done = run(*TODAY, "bring", str(file), "--as", kind)
    assert done.returncode == 1
    assert 'there is no tree "Wall Pear". "Wall Pear" is a name: write its id, t2.' in done.stderr

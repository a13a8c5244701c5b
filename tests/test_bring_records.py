"""Records from spreadsheets: an orchard's grafts in one command, and what cannot be true refused by line and column."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.csv_files import csv_text, read_csv
from tendwork.folder.data_files import SAMPLE_CONFIG, data_folder
from tendwork.folder.records_db import RecordStore
from tendwork.folder.templates import check_templates
from tendwork.orchard.records import RECORD_KINDS, RecordKind, Records, Tick
from tendwork.planning.brought_ticks import TickReading
from tendwork.planning.wishes import wishes_of
from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]
TODAY = date(2026, 11, 2)


@pytest.fixture
def bench(orchard_path: Path) -> Workbench:
    """Two trees, four grafts: g1, g2 and g4 set in April 2026, g3 planned."""
    return Workbench.open(orchard_path)


def spreadsheet_export(path: Path, grafts: int) -> None:
    """As a spreadsheet of central Europe saves it: byte order mark, semicolons, decimal commas, CR LF."""
    lines = ["tree;variety;method;wrap;state;set_on;facing;height_m;out_m;note"]
    for number in range(grafts):
        place = f"{number * 7 % 360};{1 + number % 30 / 10:g};{0.5 + number % 20 / 10:g}".replace(".", ",")
        day = f"2024-04-{number % 28 + 1:02d}"
        lines.append(f't1;Invented {number // 2};cleft;raffia;took;{day};{place};"limb; row {number}"')
    path.write_bytes(b"\xef\xbb\xbf" + "\r\n".join([*lines, ""]).encode())


def test_150_grafts_from_a_spreadsheet_in_one_command(run: Run, orchard_path: Path, tmp_path: Path) -> None:
    file = tmp_path / "export.csv"
    spreadsheet_export(file, 150)
    done = run("bring", str(file), "--as", "grafts", "--on", "2026-11-02")
    assert done.returncode == 0, done.stderr
    assert done.stdout == (
        "Brought 150 new, 0 changed and 0 unchanged grafts from export.csv.\n"
        "Not known: whether 150 wraps are still on. `tendwork ask` takes one answer for many.\n"
    )
    held = Workbench.open(orchard_path).records.read().grafts[4:]
    assert len({graft.id for graft in held}) == 150
    assert (held[11].variety, held[11].facing, held[11].height_m, held[11].note) == (
        "Invented 5", 77, 2.1, "limb; row 11",
    )  # fmt: skip


def test_the_same_export_again_changes_nothing(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "export.csv"
    spreadsheet_export(file, 150)
    run("bring", str(file), "--as", "grafts", "--on", "2026-11-02")
    done = run("bring", str(file), "--as", "grafts", "--on", "2026-11-02")
    assert done.stdout == "Brought 0 new, 0 changed and 150 unchanged grafts from export.csv.\n"


def test_an_export_goes_back_in_one_undo(bench: Workbench, tmp_path: Path) -> None:
    before = bench.records.read()
    spreadsheet_export(tmp_path / "export.csv", 150)
    bench.records.bring(tmp_path / "export.csv", "grafts", TODAY)
    bench.records.undo(TODAY)
    assert bench.records.read() == before


WOOD = "id,variety,species,sticks,cut_on\nw1,Red Lamp,apple,3,2026-01-20\nw2,Red Lamp,apple,3,\n"


@pytest.mark.parametrize(
    ("kind", "text", "words"),
    [
        (
            "grafts",
            "id,tree,variety,state\ng7,t1,Red Lamp,planned\ng8,t1,Blue Lamp,took\n",
            'file.csv, line 3, key "set_on": Graft g8 "Blue Lamp" is "took" but was never set.'
            " Give the day on which it was set.",
        ),
        (
            "grafts",
            "id,tree,variety,state,set_on\ng8,t1,Blue Lamp,set,2026-11-03\n",
            'file.csv, line 2, key "set_on": Graft g8 "Blue Lamp" is set on 2026-11-03, in the future.'
            " Mend the date, or plan it without.",
        ),
        (
            "grafts",
            "id,wood,tree,variety,set_on\ng1,w1,t1,Red Lamp,2026-01-02\n",
            'file.csv, line 2, key "set_on": Graft g1 "Red Lamp" was set on 2026-01-02, before its wood "w1" was cut'
            " on 2026-01-20. Mend one of the two dates, or name other wood.",
        ),
        (
            "grafts",
            "id,wood,tree,variety\ng1,w2,t1,Red Lamp\n",
            'file.csv, line 2, key "wood": Graft g1 "Red Lamp" was set from bundle "w2", which is not cut yet.'
            " Give the day on which the wood was cut, or name other wood.",
        ),
        (
            "trees",
            "id,name,species,planted\nt9,New,apple,2027\n",
            'file.csv, line 2, key "planted": Tree "t9" is planted in 2027, which is in the future. Mend the year.',
        ),
        (
            "wood",
            "id,variety,species,sticks,cut_on\nw7,Red Lamp,apple,3,2026-12-01\n",
            'file.csv, line 2, key "cut_on": Bundle "w7" is cut on 2026-12-01, in the future.'
            " Mend the date, or leave it out until the wood is cut.",
        ),
        (
            "tastings",
            "date,graft,score\n2026-11-09,g1,4\n",
            'file.csv, line 2, key "date": The tasting of 2026-11-09 is in the future. Mend the date.',
        ),
        (
            "sightings",
            "date,species,stage\n2027-03-01,apple,green tip\n",
            'file.csv, line 2, key "date": The sighting of 2027-03-01 is in the future. Mend the date.',
        ),
    ],
)
def test_what_cannot_be_true_is_named_by_line_and_column(
    bench: Workbench, tmp_path: Path, kind: str, text: str, words: str
) -> None:
    wood, file = tmp_path / "wood.csv", tmp_path / "file.csv"
    wood.write_text(WOOD)
    bench.records.bring(wood, "wood", TODAY)
    before = bench.records.read()
    file.write_text(text)
    with pytest.raises(PersonError) as refused:
        bench.records.bring(file, kind, TODAY)
    assert str(refused.value) == f"{words}\nNothing was taken from the file."
    assert bench.records.read() == before


def test_wood_that_makes_a_graft_impossible_names_the_graft(bench: Workbench, tmp_path: Path) -> None:
    file = tmp_path / "file.csv"
    file.write_text("id,tree,variety,wood\ng1,t1,Red Lamp,w1\n")
    bench.records.bring(file, "grafts", TODAY)
    file.write_text("id,variety,species,sticks,cut_on\nw1,Red Lamp,apple,3,2026-05-01\n")
    with pytest.raises(PersonError, match=r'^file\.csv: Graft g1 "Red Lamp" was set on 2026-04-10, before its wood'):
        bench.records.bring(file, "wood", TODAY)


def test_many_faults_are_named_in_the_order_of_their_lines(bench: Workbench, tmp_path: Path) -> None:
    file = tmp_path / "file.csv"
    rows = "".join(f"h{number},t1,Lamp,{'took' if number % 2 else 'set'}\n" for number in range(30))
    file.write_text(f"id,tree,variety,state\n{rows}")
    with pytest.raises(PersonError) as refused:
        bench.records.bring(file, "grafts", TODAY)
    lines = str(refused.value).splitlines()
    assert [line.split(",")[1] for line in lines[:20]] == [f" line {number}" for number in range(2, 22)]
    assert lines[20:] == ["and 10 more rows", "Nothing was taken from the file."]


def test_a_fault_that_was_there_before_does_not_keep_a_file_out(orchard_path: Path, tmp_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    file = tmp_path / "file.csv"
    file.write_text("id,tree,variety,state,set_on\ng1,t1,Red Lamp,set,2026-04-10\ng9,t1,New Lamp,planned,\n")
    long_ago = date(2026, 4, 1)  # by a clock that stands wrong, the April grafts lie in the future
    assert bench.records.bring(file, "grafts", long_ago)[0].startswith("Brought 1 new")


def test_a_dry_run_refuses_the_same(bench: Workbench, tmp_path: Path) -> None:
    file = tmp_path / "file.csv"
    file.write_text("id,tree,variety,state\ng8,t1,Blue Lamp,took\n")
    with pytest.raises(PersonError, match="never set"):
        bench.records.bring(file, "grafts", TODAY, dry_run=True)


def test_strikes_of_a_day_to_come_are_refused_in_one_sentence_with_its_line(bench: Workbench, tmp_path: Path) -> None:
    file = tmp_path / "file.csv"
    file.write_text("task,unit,date,outcome\nfire-blight-watch/t1/2026,t1,2099-04-19,strikes\n")
    with pytest.raises(PersonError) as refused:
        bench.records.bring(file, "ticks", TODAY)
    assert str(refused.value) == (
        'file.csv, line 2, key "date": The tick of 2099-04-19 is in the future. Mend the date.\n'
        "Nothing was taken from the file."
    )


TICKS = "task,unit,date,outcome,note\n"


def brought_ticks(bench: Workbench, folder: Path, *rows: str, dry_run: bool = False) -> list[str]:
    file = folder / "file.csv"
    file.write_text("\n".join((TICKS.strip(), *rows, "")))
    return list(bench.records.bring(file, "ticks", TODAY, dry_run=dry_run))


def test_an_outcome_in_other_capitals_is_the_word_of_its_job_and_notes_the_sign(
    bench: Workbench, tmp_path: Path
) -> None:
    rows = ("fire-blight-watch/t1/2026,t1,2026-05-01,Strikes,", "check-take/t1/2026,g1,2026-05-09,TOOK,")
    told = [
        "Tree t1: fire blight of 2026-05-01 is noted on it.",
        '"Strikes" is noted as "strikes".',
        '"TOOK" is noted as "took".',
    ]
    assert brought_ticks(bench, tmp_path, *rows, dry_run=True)[3:] == told
    assert brought_ticks(bench, tmp_path, *rows)[1:] == told
    held = bench.records.read()
    assert [tick.outcome for tick in held.ticks] == ["strikes", "took"]
    assert [sign.what for sign in held.troubles] == ["fire blight"]
    assert brought_ticks(bench, tmp_path, *rows)[0] == "Brought 0 new, 0 changed and 2 unchanged ticks from file.csv."


def test_what_no_job_answers_to_in_a_tick_is_told_with_its_line_and_taken(bench: Workbench, tmp_path: Path) -> None:
    told = brought_ticks(
        bench,
        tmp_path,
        "fire-blight-watch/t1/2026,t1,2026-05-01,strikez,",
        "fire-blight-watch/t2/2026,t2,2026-05-01,strikez,",
        "check-takes/t1/2026,g1,2026-05-01,took,",
        "check-take/t1,g2,2026-05-01,took,",
        "check-take/old Apple/2026,g2,2026-05-01,took,",
        "check-take/t1/2026,red lamp,2026-05-01,took,",
        "check-take/t1/2026,g1,2026-05-01,took,",
    )
    assert told == [
        "Brought 7 new, 0 changed and 0 unchanged ticks from file.csv.",
        'file.csv, lines 2 and 3, key "outcome": "strikez" is no outcome of fire-blight-watch, so nothing follows from'
        ' it. Did you mean "strikes"?',
        'file.csv, line 4, key "task": there is no template "check-takes", so no job shows this tick.'
        ' Did you mean "check-take"?',
        'file.csv, line 5, key "task": "check-take/t1" is no key of a job, so no job shows this tick.'
        " A key is a template, a tree or site, and a season, with / between.",
        'file.csv, line 6, key "task": there is no tree "old Apple", so no job shows this tick.'
        ' "old Apple" is a name: write its id, t1.',
        'file.csv, line 7, key "unit": "red lamp" is no id of a unit of this job, so no job shows this tick.'
        ' "red lamp" is a variety: write its id, g1.',
    ]


def test_of_many_ticks_that_no_job_answers_to_the_first_are_told(bench: Workbench, tmp_path: Path) -> None:
    told = brought_ticks(bench, tmp_path, *(f"no-{number}/t1/2026,t1,2026-05-01,done," for number in range(25)))
    assert (len(told), told[-1]) == (22, "and 5 more of which no job speaks")


@pytest.mark.parametrize(
    ("outcome", "note", "words"),
    [
        ("put off until", "soon", '"soon" is not a date, such as 2026-03-15'),
        ("Put off until", "", "is missing"),
        (
            "planned for",
            "2026-13-01",
            '"2026-13-01" is a day or a month that there is not; write one such as 2026-03-15',
        ),
    ],
)
def test_a_job_put_off_until_no_day_is_refused_by_its_line(
    bench: Workbench, tmp_path: Path, outcome: str, note: str, words: str
) -> None:
    with pytest.raises(PersonError) as refused:
        brought_ticks(bench, tmp_path, f"check-take/t1/2026,*,2026-05-01,{outcome},{note}")
    assert str(refused.value) == f'file.csv, line 2, key "note": {words}\nNothing was taken from the file.'
    assert bench.records.read().ticks == ()


def test_ticks_that_were_held_before_come_back_as_they_are_and_nothing_is_said(
    orchard_path: Path, tmp_path: Path
) -> None:
    day = date(2026, 5, 1)
    with RecordStore.open(orchard_path / "records.db") as store, store.act("as it was once") as act:
        act.add(Tick("fire-blight-watch/t1/2026", "t1", day, "Strikes"))
        act.add(Tick("gone/t1", "Old apple", day, "Whatever"))
        act.add(Tick("check-take/t1/2026", "*", day, "put off until", "soon"))
    bench = Workbench.open(orchard_path)
    held = bench.records.read()
    file = tmp_path / "given.csv"
    file.write_text(csv_text("ticks", held.ticks))
    assert bench.records.bring(file, "ticks", TODAY) == (
        "Brought 0 new, 0 changed and 3 unchanged ticks from given.csv.",
    )
    assert bench.records.read() == held


def test_a_job_that_is_put_off_in_other_capitals_is_put_off(bench: Workbench, tmp_path: Path) -> None:
    brought_ticks(bench, tmp_path, "check-take/t1/2026,*,2026-05-01,Put Off Until,2026-05-20")
    assert wishes_of(bench.records.read().ticks).snoozed == {"check-take/t1/2026": date(2026, 5, 20)}


def test_the_ticks_of_the_sample_are_read_as_they_stand_and_every_one_is_of_a_job() -> None:
    sample = data_folder(SAMPLE_CONFIG)
    held = Records(**{kind: read_csv(sample / f"{kind}.csv", kind).records for kind in RECORD_KINDS})
    reading = TickReading(held, check_templates(None)[0].templates)
    assert len(held.ticks) > 100
    assert [tick for tick in held.ticks if reading.read(tick) is not tick or reading.unread(tick)] == []


@pytest.mark.parametrize(
    ("kind", "text", "line"),
    [
        ("varieties", "species,variety,bloom\napple,Red Lamp,3\n", "new: Red Lamp (apple)"),
        (
            "lives",
            "graft,variety,set_on,ended_on\ng1,Old Lamp,2001,2020-04\n",
            "new: Old Lamp, which stood at g1 until",
        ),
    ],
)
def test_a_dry_run_names_each_record_in_plain_words(
    bench: Workbench, tmp_path: Path, kind: RecordKind, text: str, line: str
) -> None:
    file = tmp_path / "some.csv"
    file.write_text(text)
    told = bench.records.bring(file, kind, TODAY, dry_run=True)
    assert any(one.startswith(line) for one in told)
    assert not any("=" in one for one in told)

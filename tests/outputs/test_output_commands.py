"""`sheet`, `calendar` and `labels` on a real folder: what they print, what they write, how they refuse."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from bench_acts import tick_job
from click.testing import CliRunner
from strict_icalendar import read_strictly

from tendwork.cli.outputs import calendar, labels, sheet
from tendwork.cli.session import Session
from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench
from tendwork.workbench.exports import write_calendar

ON = date(2026, 5, 5)


def said(command: object, orchard: Path, *words: str, on: date = ON) -> str:
    session = Session(orchard, on, False)
    done = CliRunner().invoke(command, list(words), obj=session, catch_exceptions=False)  # type: ignore[arg-type]
    assert done.exit_code == 0, done.output
    session.bench.close()
    return done.output


def test_the_sheet_is_printed_in_eighty_columns_with_boxes(orchard_path: Path) -> None:
    text = said(sheet, orchard_path)
    assert text.startswith("Test hill: Tue 5 May 2026 to Mon 11 May 2026\n")
    assert "Old apple: aftercare" in text
    assert "[ ] See whether the grafts took" in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_sheet_is_written_as_a_page(orchard_path: Path, tmp_path: Path) -> None:
    file = tmp_path / "week.html"
    assert said(sheet, orchard_path, "--html", str(file)) == f"Wrote {file}.\n"
    assert "See whether the grafts took" in file.read_text("utf-8")


def test_labels_are_printed_one_a_line(orchard_path: Path) -> None:
    assert "Red Lamp\tOld apple\tg1\t2026-04-10\twhip and tongue\n" in said(labels, orchard_path)


def test_labels_are_written_as_a_page(orchard_path: Path, tmp_path: Path) -> None:
    file = tmp_path / "labels.html"
    said(labels, orchard_path, "--html", str(file))
    assert file.read_text("utf-8").count('class="label"') == 6


def test_an_orchard_without_a_tree_has_nothing_to_label(tmp_path: Path) -> None:
    place = tmp_path / "new"
    Workbench.begin(place, name="New", timezone="UTC", latitude=52.1, longitude=-3.0).close()
    with pytest.raises(PersonError, match="no tree to label"):
        said(labels, place)


def test_the_calendar_written_twice_is_the_same_byte_for_byte(orchard_path: Path, tmp_path: Path) -> None:
    file = tmp_path / "orchard.ics"
    said(calendar, orchard_path, str(file))
    first = file.read_bytes()
    said(calendar, orchard_path, str(file))
    assert file.read_bytes() == first


def test_a_ticked_job_leaves_its_visit_in_the_calendar_and_one_alone_is_cancelled(
    orchard_path: Path, tmp_path: Path
) -> None:
    file = tmp_path / "orchard.ics"

    def shown(status: str) -> str:
        found = read_strictly(file.read_bytes()).named("VEVENT")
        told = [event for event in found if event.one("STATUS").value == status]
        return "\n".join(held.text for event in told for held in event.properties)

    said(calendar, orchard_path, str(file))
    assert "tendwork why check-take/t1/2026" in shown("CONFIRMED")
    assert "Last check of grafts not yet growing, Old apple" in shown("CONFIRMED")
    bench = Workbench.open(orchard_path)
    tick_job(bench, "check-take/t1/2026", (), ON, "took")
    bench.close()
    said(calendar, orchard_path, str(file))
    assert "check-take/t1/2026" not in shown("CONFIRMED")
    assert "Last check of grafts not yet growing, Old apple" in shown("CANCELLED")


def test_the_calendar_reminds_at_the_site_s_own_time(orchard_path: Path, tmp_path: Path) -> None:
    site = orchard_path / "site.toml"
    site.write_text(site.read_text() + '\n[remind]\nat = "05:45"\n')
    file = tmp_path / "orchard.ics"
    said(calendar, orchard_path, str(file), on=date(2026, 10, 20))
    triggers = {
        alarm.one("TRIGGER").value[9:]
        for event in read_strictly(file.read_bytes()).named("VEVENT")
        for alarm in event.named("VALARM")
    }
    assert triggers == {"044500Z", "054500Z"}  # 05:45 in British summer time, and from the end of October


def test_another_s_file_is_left_as_it_was(orchard_path: Path, tmp_path: Path) -> None:
    file = tmp_path / "diary.ics"
    file.write_text("dear diary")
    with pytest.raises(PersonError, match=r"diary\.ics: holds something that tendwork did not write"):
        said(calendar, orchard_path, str(file))
    assert file.read_text() == "dear diary"


def test_a_folder_that_is_not_there_is_named(orchard_path: Path, tmp_path: Path) -> None:
    with pytest.raises(PersonError, match="cannot be written"):
        said(labels, orchard_path, "--html", str(tmp_path / "nowhere" / "labels.html"))


def test_a_damaged_calendar_is_told_with_what_to_do(orchard_path: Path, tmp_path: Path) -> None:
    file = tmp_path / "season.ics"
    bench = Workbench.open(orchard_path)
    write_calendar(bench, file, ON)
    file.write_bytes(file.read_bytes().replace(b"SUMMARY:", b"SUMMARY:\xff", 1))
    with pytest.raises(PersonError, match=r"season\.ics: is a damaged calendar\. Nothing was changed; remove it"):
        write_calendar(bench, file, ON)
    bench.close()

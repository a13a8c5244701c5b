"""Two processes that change one file at once: adjustments, daily log, settings and sources lose nothing of either."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tendwork.errors import PersonError
from tendwork.folder.daily_log import read_log
from tendwork.folder.files import make_folder
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift, carried, clashes
from tendwork.workbench.adjusting import changed, shifted
from tendwork.workbench.bench import Workbench

ON = date(2026, 5, 5)

# Each does one change for each line that it reads, and says when it is done.
_ADJUSTER = """
import sys
from datetime import date
from pathlib import Path
from tendwork.workbench.adjusting import changed, shifted
from tendwork.planning.adjustments import SiteShift
from tendwork.workbench.bench import Workbench
bench = Workbench.open(Path(sys.argv[1]))
print("ready", flush=True)
for line in sys.stdin:
    name, field, value = line.split()
    before = bench.templates.adjustments()
    shift = SiteShift(days=float(value))
    after = shifted(before, shift) if name == "site" else changed(before, name, {field: int(value)})
    bench.templates.adjust(before, after, date(2026, 5, 5))
    print("done", flush=True)
"""
_DAILY_LOG = """
import sys
from datetime import date
from pathlib import Path
from tendwork.folder.daily_log import change_log
print("ready", flush=True)
for line in sys.stdin:
    change_log(Path(sys.argv[1]), lambda log: log.begun(line.strip(), date(2026, 5, 5)))
    print("done", flush=True)
"""
_SETTINGS = """
import sys
from pathlib import Path
from tendwork.folder.own_settings import keep_colours
print("ready", flush=True)
for line in sys.stdin:
    keep_colours(Path(sys.argv[1]), line.strip())
    print("done", flush=True)
"""
_SOURCES = """
import sys
from pathlib import Path
from tendwork.folder.temperature_origins import Origin, note_origin
from tendwork.workbench.temperature_files import alone_at_temperatures
print("ready", flush=True)
for line in sys.stdin:
    with alone_at_temperatures(Path(sys.argv[1])):
        note_origin(Path(sys.argv[1]), line.strip(), Origin(service="invented"))
    print("done", flush=True)
"""
PAIRS = (
    (("check-take", "opens_later_days"), ("suckers", "opens_later_days")),
    (("check-take", "closes_later_days"), ("check-take", "minutes_each")),
    (("site", "days"), ("suckers", "minutes_each")),
)


class Two:
    """Two processes of the same code, which are told to begin at the same moment."""

    def __init__(self, code: str, place: Path) -> None:
        self.processes = [
            subprocess.Popen(
                [sys.executable, "-c", code, str(place)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
            )
            for _ in range(2)
        ]
        self._await("ready")

    def do(self, *lines: str) -> None:
        for process, line in zip(self.processes, lines, strict=True):
            assert process.stdin is not None
            process.stdin.write(f"{line}\n")
            process.stdin.flush()
        self._await("done")

    def _await(self, word: str) -> None:
        for process in self.processes:
            assert process.stdout is not None
            assert process.stdout.readline() == f"{word}\n", process.communicate()[1]

    def end(self) -> None:
        assert [process.communicate(timeout=60)[1] for process in self.processes] == ["", ""]


def adjusted_in(orchard: Path) -> dict[str, Any]:
    return tomllib.loads((orchard / "adjustments.toml").read_text(encoding="utf-8"))


def lost_adjustments(orchard: Path, rounds: int) -> list[str]:
    """Values that were put in force and do not stand in the file after their round, over so many rounds."""
    two, lost, expected = Two(_ADJUSTER, orchard), [], {}
    for number in range(rounds):
        value = 1 + number % 5
        pair = PAIRS[number % len(PAIRS)]
        two.do(*(f"{name} {field} {value}" for name, field in pair))
        for name, field in pair:
            expected[name, field] = value
        stands = adjusted_in(orchard)
        for (name, field), wanted in expected.items():
            table = stands.get("site", {}) if name == "site" else stands.get("template", {}).get(name, {})
            if table.get(field) != wanted:
                lost.append(f"round {number}: {name} {field} {wanted}")
    two.end()
    return lost


def test_two_who_adjust_at_once_lose_nothing(orchard_path: Path) -> None:
    assert lost_adjustments(orchard_path, len(PAIRS)) == []


@pytest.mark.slow
def test_two_who_adjust_at_once_fifty_times_lose_nothing(orchard_path: Path) -> None:
    lost = lost_adjustments(orchard_path, 51)
    print(f"\n51 rounds of two adjusters, 17 of each kind of pair: {len(lost)} values lost")
    assert lost == []


@pytest.mark.slow
def test_two_adjust_commands_at_once_lose_nothing(orchard_path: Path) -> None:
    lost, rounds = [], 50
    words = {field: f"--{field.removesuffix('_days').replace('_', '-')}" for pair in PAIRS for _, field in pair}
    for number in range(rounds):
        value, pair = 1 + number % 5, PAIRS[number % len(PAIRS)]
        commands = [
            ["--behind", str(value)] if name == "site" else [name, words[field], str(value)] for name, field in pair
        ]
        start = [sys.executable, "-m", "tendwork", "--orchard", str(orchard_path), "--on", "2026-05-05", "adjust"]
        running = [
            subprocess.Popen([*start, *command, "--yes"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
            for command in commands
        ]
        assert [process.communicate(timeout=120)[1] for process in running] == ["", ""]
        stands = adjusted_in(orchard_path)
        for name, field in pair:
            table = stands.get("site", {}) if name == "site" else stands.get("template", {}).get(name, {})
            if table.get(field) != value:
                lost.append(f"round {number}: {name} {field} {value}")
    print(f"\n{rounds} rounds of two adjust commands: {len(lost)} values lost")
    assert lost == []


def changed_daily_log(orchard: Path, rounds: int) -> None:
    two = Two(_DAILY_LOG, orchard)
    for number in range(rounds):
        two.do(f"a{number}", f"b{number}")
    two.end()
    assert set(read_log(orchard).days) == {f"{who}{number}" for who in "ab" for number in range(rounds)}


def changed_settings(file: Path, rounds: int) -> None:
    own = '# mine\n[keys]\nwood.mark = ["m", "insert"]   # both\n'
    file.parent.mkdir()
    file.write_text(own, encoding="utf-8")
    two = Two(_SETTINGS, file)
    for _ in range(rounds):
        two.do("orchard night", "orchard paper")
        assert file.read_text(encoding="utf-8") in {f'colours = "orchard {name}"\n{own}' for name in ("night", "paper")}
    two.end()


def changed_sources(orchard: Path, rounds: int) -> None:
    two = Two(_SOURCES, orchard)
    for number in range(rounds):
        two.do(f"temperatures/a{number}.csv", f"temperatures/b{number}.csv")
    two.end()
    stands = tomllib.loads((orchard / "temperatures" / "sources.toml").read_text(encoding="utf-8"))
    assert set(stands) == {f"temperatures/{who}{number}.csv" for who in "ab" for number in range(rounds)}


def test_two_who_change_the_log_settings_and_sources_at_once_lose_nothing(tmp_path: Path) -> None:
    for part, place in ((changed_daily_log, tmp_path), (changed_settings, tmp_path / "own" / "dashboard.toml")):
        part(place, 5)
    changed_sources(tmp_path, 5)


@pytest.mark.slow
def test_two_who_change_the_log_settings_and_sources_fifty_times_lose_nothing(tmp_path: Path) -> None:
    for part, place in ((changed_daily_log, tmp_path), (changed_settings, tmp_path / "own" / "dashboard.toml")):
        part(place, 50)
    changed_sources(tmp_path, 50)
    print("\n50 rounds each of two who change the daily log, settings and sources: nothing lost")


def test_the_same_value_changed_meanwhile_is_refused_and_nothing_is_written(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    before = bench.templates.adjustments()
    bench.templates.adjust(before, changed(before, "suckers", {"minutes_each": 2.0}), ON)
    stood = (orchard_path / "adjustments.toml").read_bytes()
    with pytest.raises(PersonError, match=r"suckers\.minutes_each has been changed there meanwhile"):
        bench.templates.adjust(before, changed(before, "suckers", {"minutes_each": 3.0}), ON)
    assert (orchard_path / "adjustments.toml").read_bytes() == stood
    bench.templates.adjust(
        before, changed(before, "suckers", {"minutes_each": 2.0}), ON
    )  # what stands so already is no clash
    bench.close()


def test_two_changes_that_together_turn_a_window_round_are_refused(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    none = bench.templates.adjustments()
    bench.templates.adjust(none, changed(none, "let-in-light", {"opens_later_days": 8}), ON)
    stood = (orchard_path / "adjustments.toml").read_bytes()
    with pytest.raises(PersonError, match="let-in-light"):
        bench.templates.adjust(
            none, changed(none, "let-in-light", {"best_later_days": -9, "closes_later_days": -20}), ON
        )
    assert (orchard_path / "adjustments.toml").read_bytes() == stood
    bench.close()


def test_a_change_is_laid_value_by_value_over_what_stands() -> None:
    def of(**values: Any) -> Adjustments:
        return changed(Adjustments(), "a", values)

    onto = shifted(of(dry=True), SiteShift(days=2.0))
    laid = carried(Adjustments(), of(times=3), onto)
    assert laid == Adjustments(SiteShift(days=2.0), {"a": Adjustment(dry=True, times=3)})
    assert carried(of(dry=True), Adjustments(), onto) == Adjustments(SiteShift(days=2.0))
    assert clashes(Adjustments(), of(dry=False, times=3), onto) == ("template.a.dry",)
    assert clashes(Adjustments(), Adjustments(SiteShift(degrees_c=1.0)), onto) == ("site",)


@pytest.mark.skipif(os.name != "posix", reason="rights of Unix")
def test_folders_of_the_orchard_that_stand_open_are_closed_and_its_own_is_left(orchard_path: Path) -> None:
    orchard_path.chmod(0o750)
    for name in ("temperatures", "cache", "backups"):
        (orchard_path / name).mkdir(exist_ok=True)
        (orchard_path / name).chmod(0o775)
    file = orchard_path / "new.csv"
    file.write_text("date,tmin_c,tmax_c\n2026-04-01,1,9\n2026-04-02,1,9\n", encoding="utf-8")
    (orchard_path / "backups" / "records-2026-11-01.db").unlink(missing_ok=True)
    bench = Workbench.open(orchard_path)
    bench.temperatures.add(file, ON, False, None)
    bench.keep_copied("text")
    bench.records.back_up()
    bench.close()
    rights = {
        name: stat.S_IMODE((orchard_path / name).stat().st_mode) for name in (".", "temperatures", "cache", "backups")
    }
    assert rights == {".": 0o750, "temperatures": 0o700, "cache": 0o700, "backups": 0o700}


@pytest.mark.skipif(os.name != "posix", reason="rights of Unix")
def test_a_folder_of_the_person_s_and_one_behind_a_link_keep_their_rights(tmp_path: Path) -> None:
    theirs = tmp_path / "theirs"
    theirs.mkdir()
    theirs.chmod(0o755)
    make_folder(theirs, keep_rights=True)
    (tmp_path / "link").symlink_to(theirs)
    make_folder(tmp_path / "link")
    assert stat.S_IMODE(theirs.stat().st_mode) == 0o755


def test_a_copied_text_is_not_written_through_a_link(orchard_path: Path) -> None:
    (orchard_path / "cache").mkdir(exist_ok=True)
    (orchard_path / "cache" / "copied.txt").symlink_to(orchard_path / "site.toml")
    before = (orchard_path / "site.toml").read_bytes()
    bench = Workbench.open(orchard_path)
    assert bench.keep_copied("text").read_text() == "text\n"
    bench.close()
    assert (orchard_path / "site.toml").read_bytes() == before


def test_drafts_of_killed_writers_go_from_temperatures_and_cache(orchard_path: Path) -> None:
    (orchard_path / "cache").mkdir(exist_ok=True)
    drafts = [orchard_path / part / ".added.csv.abcdefgh.draft" for part in ("temperatures", "cache")]
    for draft in drafts:
        draft.write_text("half")
        os.utime(draft, (0, 0))
    file = orchard_path / "new.csv"
    file.write_text("date,tmin_c,tmax_c\n2026-04-01,1,9\n2026-04-02,1,9\n", encoding="utf-8")
    bench = Workbench.open(orchard_path)
    bench.temperatures.add(file, ON, False, None)
    bench.plan.summary(ON)
    bench.close()
    assert [draft.exists() for draft in drafts] == [False, False]

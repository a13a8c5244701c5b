"""The orchard folder: found, begun, opened, or refused in one sentence that says what to do."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.check import folder_faults
from tendwork.folder.location import locate
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.site import TemperatureSource
from tendwork.orchard.records import Records, Tree
from tendwork.workbench.front_page import FRONT_PAGE_FILE, FrontPage, read_front_page


def begin(path: Path, name: str = "Hill") -> OrchardFolder:
    return OrchardFolder.begin(path, name=name, timezone="Europe/London", latitude=52.1, longitude=-3.0)


@pytest.fixture
def folder(tmp_path: Path) -> OrchardFolder:
    return begin(tmp_path / "orchard [1]")


def refused(path: Path) -> str:
    with pytest.raises(PersonError) as caught:
        OrchardFolder.open(path)
    return str(caught.value)


def test_a_new_folder_opens_with_its_site_and_no_records(folder: OrchardFolder) -> None:
    assert folder.site.name == "Hill"
    assert folder.records.read() == Records()
    assert {entry.name for entry in folder.path.iterdir()} >= {"site.toml", "records.db", "temperatures", "templates"}


@pytest.mark.skipif(sys.platform == "win32", reason="permission bits are not there")
def test_a_new_folder_is_for_its_owner_only(folder: OrchardFolder) -> None:
    modes = {entry.name: oct(entry.stat().st_mode & 0o777) for entry in (folder.path, *folder.path.iterdir())}
    assert modes == {
        folder.path.name: "0o700",
        "site.toml": "0o600",
        "records.db": "0o600",
        ".records.db.lock": "0o600",
        "temperatures": "0o700",
        "templates": "0o700",
    }


@pytest.mark.parametrize("name", ['He said "hi"', "[b]x[/b]", "\x1b[31mred", "שלום", "果樹園", "back\\slash", "a'b\nc"])
def test_any_name_of_a_site_survives(tmp_path: Path, name: str) -> None:
    assert begin(tmp_path / "o", name).site.name == name


def test_a_folder_that_holds_an_orchard_is_not_begun_again(folder: OrchardFolder) -> None:
    before = (folder.path / "site.toml").read_bytes()
    with pytest.raises(PersonError, match=r"holds an orchard already. Nothing was changed"):
        begin(folder.path, "Other")
    assert (folder.path / "site.toml").read_bytes() == before


def test_a_folder_that_holds_other_things_is_not_begun(tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    with pytest.raises(PersonError, match=r"the folder is not empty. Nothing was changed"):
        begin(tmp_path)
    assert [entry.name for entry in tmp_path.iterdir()] == ["letters"]


def test_an_empty_folder_may_be_begun(tmp_path: Path) -> None:
    assert begin(tmp_path).site.name == "Hill"


def test_bad_values_make_no_folder(tmp_path: Path) -> None:
    with pytest.raises(PersonError, match="is not a timezone"):
        OrchardFolder.begin(tmp_path / "o", name="x", timezone="Nowhere", latitude=1, longitude=1)
    assert not (tmp_path / "o").exists()


def test_a_place_below_a_file_cannot_be_begun(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(PersonError, match="the folder cannot be made"):
        begin(tmp_path / "file" / "o")


def test_a_missing_folder_is_told_with_the_command_that_makes_one(tmp_path: Path) -> None:
    place = tmp_path / "a b"
    assert refused(place) == f"{place}: there is no orchard folder here. Make one with: tendwork begin '{place}'"


def test_an_empty_folder_is_told(tmp_path: Path) -> None:
    assert "the folder is empty. Begin an orchard in it with: tendwork begin" in refused(tmp_path)


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert "is not a folder" in refused(tmp_path / "file")


def test_a_folder_of_other_things_is_told(tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    assert "holds no site.toml, so it is no orchard folder" in refused(tmp_path)


def test_a_site_that_is_a_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "site.toml").mkdir()
    assert "cannot be read (is a directory). Name a file" in refused(tmp_path)


@pytest.mark.skipif(not hasattr(os, "setresuid"), reason="rights cannot be given up and taken back here")
def test_a_folder_that_may_not_be_read_is_told(tmp_path: Path) -> None:
    from test_records_damage import without_roots_rights

    begin(tmp_path / "o")
    (tmp_path / "o").chmod(0o000)
    with without_roots_rights():
        assert "cannot be read (permission denied). Give yourself the right" in refused(tmp_path / "o")
    (tmp_path / "o").chmod(0o700)


def test_the_argument_comes_before_the_environment_and_the_environment_before_the_default(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("TENDWORK_ORCHARD", "~/there")
    assert [locate(Path("here")), locate()] == [Path("here"), tmp_path / "there"]
    monkeypatch.setenv("TENDWORK_ORCHARD", "")
    assert locate().name == "orchard"
    assert locate().parent.name == "tendwork"


def test_records_that_vanished_beside_their_copies_are_not_taken_for_new(folder: OrchardFolder) -> None:
    with folder.records.act("a tree") as act:
        act.add(Tree("first", "First", "apple"))
    folder.back_up()
    folder.close()
    (folder.path / "records.db").unlink()
    with pytest.raises(PersonError, match=r"the records are missing. The newest good copy is"):
        _ = OrchardFolder.open(folder.path).records


def test_a_folder_of_only_a_site_gets_empty_records(tmp_path: Path) -> None:
    (tmp_path / "site.toml").write_text('name = "x"\ntimezone = "UTC"\nlatitude = 1\nlongitude = 1\n')
    assert OrchardFolder.open(tmp_path).records.read() == Records()


def test_temperature_files_are_found_by_pattern_in_the_order_of_names(folder: OrchardFolder, tmp_path: Path) -> None:
    for name in ("b.csv", "a.csv", "c.txt"):
        (folder.path / "temperatures" / name).write_text("")
    found = [
        [path.name for path in folder.temperature_files(TemperatureSource(file=pattern))]
        for pattern in ("temperatures/*.csv", "temperatures/c.txt", f"{tmp_path}/*/temperatures/a.csv", "other/*.csv")
    ]
    assert found == [["a.csv", "b.csv"], ["c.txt"], ["a.csv"], []]


def test_a_named_temperature_file_that_is_not_there_is_told(folder: OrchardFolder) -> None:
    with pytest.raises(PersonError, match=r"is not there, but site.toml names it"):
        folder.temperature_files(TemperatureSource(file="temperatures/mine.csv"))


@pytest.mark.parametrize(
    "change", ["site.toml", "adjustments.toml", "templates/a.toml", "temperatures/a.csv", "record"]
)
def test_the_content_token_is_new_after_any_change(folder: OrchardFolder, change: str) -> None:
    before = folder.content_token()
    assert folder.content_token() == before
    if change == "record":
        with folder.records.act("a") as act:
            act.add(Tree("t1", "x", "apple"))
    else:
        with (folder.path / change).open("a") as stream:
            stream.write("\n")
    assert folder.content_token() != before


def test_the_cache_keeps_and_may_vanish_at_any_time(folder: OrchardFolder) -> None:
    assert folder.read_cache("plan") is None
    folder.write_cache("plan", b"\x00\xff")
    assert folder.read_cache("plan") == b"\x00\xff"
    (folder.path / "cache" / "plan").unlink()
    assert folder.read_cache("plan") is None


def test_a_cache_that_cannot_be_written_is_no_fault(folder: OrchardFolder) -> None:
    (folder.path / "cache").write_text("a file in the way")
    folder.write_cache("plan", b"x")
    assert folder.read_cache("plan") is None


def test_a_new_folder_has_no_faults(folder: OrchardFolder) -> None:
    assert folder_faults(folder.path) == ()


def test_check_tells_the_faults_of_every_file_in_one_go(folder: OrchardFolder) -> None:
    folder.close()
    for name, text in {
        "site.toml": 'name = "x"\ntimezone = "UTC"\nlatitude = 1\nlongitude = 1\n',
        "adjustments.toml": "[sight]\n",
        "templates/mine.toml": "[[templat]]\n",
        "temperatures/a.csv": "date,tmin_c,tmax_c\n2026-01-01,9,1\n",
        "temperatures/b.csv": "nonsense\n",
        "records.db": "garbage",
        "records (other).db": "",
    }.items():
        (folder.path / name).write_text(text)
    starts = sorted(Path(fault.split(":")[0].split(",")[0]).name for fault in folder_faults(folder.path))
    assert starts == ["a.csv", "adjustments.toml", "b.csv", "mine.toml", "records (other).db", "records.db"]


def test_check_says_where_there_is_no_orchard(tmp_path: Path) -> None:
    with pytest.raises(PersonError, match="the folder is empty"):
        folder_faults(tmp_path)


def test_a_front_page_that_nests_without_end_counts_as_nothing_kept(tmp_path: Path) -> None:
    (tmp_path / "cache").mkdir()
    (tmp_path / "cache" / FRONT_PAGE_FILE).write_text("[" * 200_000, encoding="utf-8")
    assert read_front_page(tmp_path) == FrontPage()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")
def test_what_is_no_plain_file_in_the_cache_counts_as_nothing_kept(tmp_path: Path) -> None:
    folder = OrchardFolder.begin(tmp_path / "o", name="Hill", timezone="UTC", latitude=52.1, longitude=-3.0)
    (folder.path / "cache").mkdir()
    for name in ("plan.msgpack", FRONT_PAGE_FILE):
        os.mkfifo(folder.path / "cache" / name)
    assert folder.read_cache("plan.msgpack") is None
    assert read_front_page(folder.path) == FrontPage()
    folder.write_cache("plan.msgpack", b"x")
    assert folder.read_cache("plan.msgpack") is None
    folder.close()

"""A crown of 0 m is refused on every way in; one that stands already is read, asked about, and counts as not known."""

from __future__ import annotations

import sqlite3
import subprocess
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]
NO_CROWN = "0 is not the size of a crown; give metres, or leave it empty where it is not known"


@pytest.mark.parametrize("column", ["height_m", "spread_m"])
def test_a_crown_of_0_m_is_refused_in_a_file_and_in_the_form(
    run: Run, orchard_path: Path, tmp_path: Path, column: str
) -> None:
    file = tmp_path / "trees.csv"
    file.write_text(f"id,name,species,{column}\nt9,New tree,apple,0\n")
    done = run("bring", str(file), "--as", "trees")
    assert done.returncode != 0
    assert NO_CROWN in " ".join(done.stderr.split())
    with closing(Workbench.open(orchard_path)) as bench, pytest.raises(PersonError, match="0 is not the size"):
        bench.records.entries.add("trees", {"name": "New", "species": "apple", column: "0"}, date(2026, 11, 2))


def test_a_folder_that_holds_one_opens_and_check_asks(run: Run, orchard_path: Path) -> None:
    with closing(sqlite3.connect(orchard_path / "records.db")) as records, records:
        records.execute("UPDATE trees SET height_m = 0, spread_m = 0, crown_since = 1990, planted = 2012")
        records.execute("UPDATE content SET token = 'another'")
    told = " ".join(run("check").stdout.split())
    assert "its crown is noted as 0 m high, which is no crown, so its height counts as not known" in told
    assert "its crown is noted as 0 m wide" in told
    assert "growing since 1990, but it was planted in 2012" in told
    trees = " ".join(run("trees").stdout.split())
    assert "How high its crown reaches is not known, for 0 m is no crown's height." in trees

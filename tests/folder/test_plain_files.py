"""Reading and writing files that are none: devices, names that no file can have, what is too large."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder import files


def test_a_name_that_no_file_can_have_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(PersonError, match="cannot be written"):
        files.write_whole(tmp_path / ("a" * 300), b"")
    assert not files.exists(tmp_path / ("a" * 300))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_nothing_but_a_plain_file_is_written_over(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(PersonError, match="is no plain file"):
        files.write_whole(pipe, b"sheet")
    assert pipe.is_fifo()


def test_a_file_without_end_is_not_read_to_its_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "LARGEST_BYTES", 3_000_000)
    (tmp_path / "large.csv").write_bytes(b"x" * 3_000_001)
    with pytest.raises(PersonError, match=r"large.csv: is larger than 3 MB\. Name a smaller file\."):
        files.read_text(tmp_path / "large.csv", "large.csv")

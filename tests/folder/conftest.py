"""Real records for the tests of the folder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from folder_samples import FULL, fill

from tendwork.folder.records_db import RecordStore
from tendwork.orchard.records import Records


@pytest.fixture
def store(tmp_path: Path) -> Iterator[RecordStore]:
    with RecordStore.open(tmp_path / "records.db", create=True) as opened:
        yield opened


@pytest.fixture
def full_store(store: RecordStore) -> RecordStore:
    fill(store, FULL)
    return store


@pytest.fixture
def full_records() -> Records:
    return FULL

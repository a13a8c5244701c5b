"""The shipped data folders are found beside the package and inside it, and finding them costs no heavy import."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tendwork.folder.data_files import SAMPLE_CONFIG, TASK_TEMPLATES, data_folder

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("name", [TASK_TEMPLATES, SAMPLE_CONFIG])
def test_in_a_checkout_they_stand_beside_the_package(name: str) -> None:
    assert data_folder(name).samefile(ROOT / name)


def test_in_a_wheel_they_stand_inside_the_package(tmp_path: Path) -> None:
    package = tmp_path / "tendwork"
    (package / "folder").mkdir(parents=True)
    (package / "_data" / TASK_TEMPLATES).mkdir(parents=True)
    for name in ("__init__.py", "folder/__init__.py", "folder/data_files.py"):
        (package / name).write_bytes((ROOT / "tendwork" / name).read_bytes())
    script = "from tendwork.folder.data_files import data_folder; print(data_folder('task_templates'))"
    result = subprocess.run([sys.executable, "-c", script], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert Path(result.stdout.strip()).samefile(package / "_data" / TASK_TEMPLATES)


def test_opening_a_folder_loads_nothing_heavy(tmp_path: Path) -> None:
    script = f"""
import sys
from pathlib import Path
from tendwork.folder.orchard_folder import OrchardFolder
OrchardFolder.open(Path({str(tmp_path)!r})).records.read()
heavy = {{"pendulum", "tomli_w", "platformdirs", "textual", "rich", "apscheduler", "httpx", "numpy", "asyncio"}}
print(sorted(heavy & set(sys.modules)))
"""
    (tmp_path / "site.toml").write_text('name = "x"\ntimezone = "UTC"\nlatitude = 1\nlongitude = 1\n')
    result = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True)
    assert result.stdout == "[]\n"

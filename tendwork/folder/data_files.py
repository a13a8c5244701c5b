"""Where the shipped templates and the sample orchard stand: beside the package in a checkout, inside it in a wheel."""

from __future__ import annotations

from pathlib import Path

TASK_TEMPLATES = "task_templates"
SAMPLE_CONFIG = "sample_config"


def data_folder(name: str) -> Path:
    """The folder TASK_TEMPLATES or SAMPLE_CONFIG, in a checkout, an editable install and a wheel alike."""
    package = Path(__file__).parents[1]
    packed = package / "_data" / name
    return packed if packed.is_dir() else package.parent / name

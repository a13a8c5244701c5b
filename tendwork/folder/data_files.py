"""Where the templates and the sample stand: beside the package, or in a wheel inside it, as lists of varieties do."""

from __future__ import annotations

from pathlib import Path

TASK_TEMPLATES = "task_templates"
SAMPLE_CONFIG = "sample_config"
VARIETY_LISTS = "variety_lists"


def data_folder(name: str) -> Path:
    """One of these folders, in a checkout, an editable install and a wheel alike."""
    package = Path(__file__).parents[1]
    packed = package / "_data" / name
    return packed if packed.is_dir() else package.parent / name

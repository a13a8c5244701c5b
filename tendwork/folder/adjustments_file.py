"""adjustments.toml, which the program owns: the changed values alone, read strictly and written whole."""

from __future__ import annotations

from pathlib import Path

import msgspec

from tendwork.folder.files import read_text, write_whole
from tendwork.folder.toml_text import parse_toml, shape_fault
from tendwork.planning.adjustments import Adjustments


def read_adjustments(path: Path) -> Adjustments:
    """The adjustments; none if the file is not there. Raises PersonError naming file, line and key."""
    if not path.exists():
        return Adjustments()
    text = read_text(path, path.name)
    try:
        return msgspec.convert(parse_toml(text, path.name), Adjustments)
    except msgspec.ValidationError as error:
        raise shape_fault(text, path.name, (), error) from None


def write_adjustments(path: Path, adjustments: Adjustments) -> None:
    """Write what is changed and nothing else. Raises PersonError."""
    import tomli_w

    write_whole(path, tomli_w.dumps(msgspec.to_builtins(adjustments)).encode())

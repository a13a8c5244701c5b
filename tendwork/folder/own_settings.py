"""The settings that go with a person and not with an orchard: keys put elsewhere, and the colours.

They are read before the first paint; where there is no file, nothing is imported for it.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from msgspec import Struct

from tendwork.errors import PersonError, located

FILE_VARIABLE = "TENDWORK_SETTINGS"
COLOURS, KEYS = "colours", "keys"


class OwnSettings(Struct, frozen=True):
    """The file as it was read; `document` is empty where there is no file, or none that can be read."""

    file: Path
    text: str = ""
    document: dict[str, Any] = {}
    fault: str = ""

    def told(self, path: tuple[str, ...], what: str, remedy: str = "") -> str:
        """A fault with the file, the line and the key."""
        from tendwork.folder.toml_text import line_of

        key = ".".join(path)
        return str(located(str(self.file), what, line=line_of(self.text, path), key=key, remedy=remedy))

    def unknown(self, path: tuple[str, ...], word: str, known: Iterable[str]) -> str:
        """The fault of a word that is not among the known ones."""
        from difflib import get_close_matches

        close = get_close_matches(word, list(known), 1, 0.6)
        remedy = f'Did you mean "{close[0]}"?' if close else "`tendwork keys` lists what can stand here."
        return self.told(path, f'"{word}" is not known here', remedy)


def settings_file() -> Path:
    """Where the file stands, or would stand; TENDWORK_SETTINGS names another one."""
    from platformdirs import user_config_path

    named = os.environ.get(FILE_VARIABLE)
    return Path(named).expanduser() if named else user_config_path("tendwork", appauthor=False) / "dashboard.toml"


def read_own_settings(file: Path) -> OwnSettings:
    """The person's settings; none is no fault, and a file that cannot be read says so in `fault`."""
    if not os.path.exists(file):
        return OwnSettings(file)
    from tendwork.folder.files import read_text
    from tendwork.folder.toml_text import parse_toml

    try:
        text = read_text(file)
        return OwnSettings(file, text, parse_toml(text, str(file)))
    except PersonError as error:
        return OwnSettings(file, fault=str(error))


def keep_colours(file: Path, name: str) -> None:
    """Write the chosen colours into the file; every other line of it stays as it is. Raises PersonError.

    A file that is a link stays one; but nothing that an orchard keeps is written into, whatever names it.
    """
    from tendwork.folder.drafts import sweep
    from tendwork.folder.file_lock import alone_at
    from tendwork.folder.files import make_folder
    from tendwork.folder.outward import orchard_words

    place = file.resolve()
    if words := orchard_words(place):
        raise located(str(file), words, remedy=f"Nothing was changed; {FILE_VARIABLE} can name another file.")
    make_folder(place.parent, keep_rights=True)
    with alone_at(place):
        sweep(place.parent, place.name)
        _put_in(place, name)


def _put_in(file: Path, name: str) -> None:
    import tomli_w

    from tendwork.folder.files import read_text, write_whole
    from tendwork.folder.toml_text import parse_toml

    text = read_text(file) if os.path.exists(file) else ""
    parse_toml(text, str(file))
    line = tomli_w.dumps({COLOURS: name})
    top, below = _parted(text)
    changed = re.sub(rf"(?m)^[ \t]*[\"']?{COLOURS}[\"']?[ \t]*=.*\n?", lambda _: line, top, count=1)
    whole = (changed if changed != top or line in top else line + top) + below
    if parse_toml(whole, str(file)).get(COLOURS) != name:
        raise PersonError(f'{file}: the colours could not be put in. Write {COLOURS} = "{name}" into its first line.')
    write_whole(file, whole.encode())


def _parted(text: str) -> tuple[str, str]:
    """What stands before the first table, and the rest."""
    head = re.search(r"(?m)^[ \t]*\[", text)
    return (text, "") if head is None else (text[: head.start()], text[head.start() :])

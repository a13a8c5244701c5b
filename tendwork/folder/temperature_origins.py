"""temperatures/sources.toml: where the days of each file that the program writes come from, and how old they are.

It is no cache: attribution and licence must be shown with the data for as long as the data are held.
"""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import msgspec
from msgspec import Struct

from tendwork.errors import PersonError, located
from tendwork.folder.files import read_text, stands, write_own
from tendwork.folder.toml_text import parse_toml

ORIGINS_FILE = "temperatures/sources.toml"


class EmptySpan(Struct, frozen=True, forbid_unknown_fields=True):
    """Days that the service was asked for on `asked_on`, and did not give."""

    first: date
    last: date
    asked_on: date


class Origin(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The origin of one file's days.

    `service` is the one that was asked, `place` what it was asked for, `answered_at` when it last answered, in UTC.
    All days from `whole_from` to `whole_to` have been asked for; what lies outside is still wanted, and what is missing
    within is asked for again, but what came back `empty` only seldom.
    """

    service: str = ""
    place: str = ""
    answered_at: datetime | None = None
    attribution: tuple[str, ...] = ()
    licence: tuple[str, ...] = ()
    whole_from: date | None = None
    whole_to: date | None = None
    empty: tuple[EmptySpan, ...] = ()

    def owed_to(self, attribution: str, licence: str = "") -> Origin:
        """The same, with one more to whom the data are owed; nothing is said twice."""
        return msgspec.structs.replace(
            self,
            attribution=tuple(dict.fromkeys((*self.attribution, *([attribution] if attribution else [])))),
            licence=tuple(dict.fromkeys((*self.licence, *([licence] if licence else [])))),
        )


def read_origins(root: Path) -> dict[str, Origin]:
    """Origins by file, as in "temperatures/added.csv"; none where nothing is noted yet. Raises PersonError."""
    path = root / ORIGINS_FILE
    if not stands(path):
        return {}
    remedy = (
        "Mend that, or set the file aside: `tendwork temps fetch` notes again what services gave, "
        "but whom the days of your own files are owed to stands only in it."
    )
    try:
        return msgspec.convert(parse_toml(read_text(path, ORIGINS_FILE), ORIGINS_FILE), dict[str, Origin])
    except msgspec.ValidationError as error:
        raise located(ORIGINS_FILE, f"is damaged ({error})", remedy=remedy) from None
    except PersonError as error:
        raise PersonError(f"{str(error).rstrip('.')}. {remedy}") from None


def note_origin(root: Path, name: str, origin: Origin) -> None:
    """Note the origin of one file, whole or not at all; nothing is written that stands there. Raises PersonError."""
    import tomli_w

    before = read_origins(root)
    if before.get(name) == origin:
        return
    origins = before | {name: origin}
    document = {name: msgspec.to_builtins(origin, builtin_types=(datetime, date)) for name, origin in origins.items()}
    head = "# Written by tendwork: where the days of the files beside it come from.\n\n"
    write_own(root / ORIGINS_FILE, (head + tomli_w.dumps(document)).encode())

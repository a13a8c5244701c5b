"""adjustments.toml: the only file of settings that the program writes, and only the values a person changed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import msgspec

from tendwork.errors import PersonError, located
from tendwork.folder.files import read_text, stands, write_own
from tendwork.folder.site import SHIFT_BOUNDS
from tendwork.folder.template_checks import BOUNDS, LATER_DAYS, VISIT_NAMES, is_visit_name, unknown_keys
from tendwork.folder.toml_text import Path as Keys
from tendwork.folder.toml_text import first_few, key_words, line_of, parse_toml, shape_fault
from tendwork.planning.adjustments import NO_LIMIT, Adjustment, Adjustments, SiteShift
from tendwork.planning.vocabulary import STAKES
from tendwork.species import SPECIES

_HEADER = "# Written by tendwork: values changed for this site, laid over the templates. Delete a line to undo it.\n"

_FIRST_SEASON, _LAST_SEASON = 1900, 2999
_BOUNDS = {f"{name}_later_days": (-LATER_DAYS, LATER_DAYS) for name in ("opens", "best", "closes", "lapses")} | {
    key: bounds for key, bounds in BOUNDS.items() if key in Adjustment.__struct_fields__
}


def read_adjustments(path: Path) -> Adjustments:
    """The adjustments of the file; none where it is absent. Raises PersonError with file, line and key."""
    adjustments, faults = check_adjustments(path)
    if faults:
        raise PersonError(first_few(faults))
    return adjustments


def check_adjustments(path: Path) -> tuple[Adjustments, tuple[str, ...]]:
    """What could be read, and every fault, one sentence each."""
    if not stands(path):
        return Adjustments(), ()
    name = path.name
    try:
        text = read_text(path, name)
        document = parse_toml(text, name)
    except PersonError as error:
        return Adjustments(), (str(error),)
    faults = _unknown(document, text, name)
    if misshapen := _misshapen(document, text, name):
        return Adjustments(), (*faults, *misshapen)
    try:
        adjustments = msgspec.convert(document, Adjustments)
    except msgspec.ValidationError as error:
        return Adjustments(), (
            *faults,
            *(_misshapen(document, text, name) or [str(shape_fault(text, name, (), error))]),
        )
    return adjustments, (*faults, *_value_faults(adjustments, text, name))


def write_adjustments(path: Path, adjustments: Adjustments) -> None:
    """Write the changed values, whole or not at all. Raises PersonError."""
    import tomli_w

    document: dict[str, Any] = {}
    site = msgspec.to_builtins(adjustments.site)
    if site:
        document["site"] = site
    changed = {
        name: plain
        for name, change in sorted(adjustments.template.items())
        if (plain := msgspec.to_builtins(change, builtin_types=(date,)))
    }
    if changed:
        document["template"] = changed
    write_own(path, (_HEADER + "\n" + tomli_w.dumps(document)).encode())


def _unknown(document: dict[str, Any], text: str, name: str) -> list[str]:
    faults = unknown_keys(document, Adjustments, text, name, ())
    changes = document.get("template")
    for template, change in changes.items() if isinstance(changes, dict) else ():
        if isinstance(change, dict):
            faults += unknown_keys(change, Adjustment, text, name, ("template", template))
    return faults


def _misshapen(document: dict[str, Any], text: str, name: str) -> list[str]:
    """The faults of changes that are no such thing, each at the line of its own template."""
    changes, faults = document.get("template"), []
    for template, change in changes.items() if isinstance(changes, dict) else ():
        try:
            msgspec.convert(change, Adjustment)
        except msgspec.ValidationError as error:
            known = STAKES if "`$.stake`" in str(error) else (NO_LIMIT,)
            faults.append(str(shape_fault(text, name, ("template", template), error, known)))
    return faults


def _value_faults(adjustments: Adjustments, text: str, name: str) -> list[str]:
    faults = []
    given = [key for key in SiteShift.__struct_fields__ if getattr(adjustments.site, key) is not None]
    if len(given) > 1:
        what = f"holds {' and '.join(given)}, but only one of them can shift the site"
        faults.append(str(located(name, what, line=line_of(text, ("site",)), key="site")))
    for path, what in value_faults(adjustments):
        faults.append(str(located(name, what, line=line_of(text, path), key=key_words(path))))
    return faults


def value_faults(adjustments: Adjustments) -> Iterator[tuple[Keys, str]]:
    """(keys, what is wrong) of every value that no site can have, whoever gave it."""
    for path, given, bounds in (
        (("site",), adjustments.site, SHIFT_BOUNDS),
        *((("template", identity), change, _BOUNDS) for identity, change in adjustments.template.items()),
    ):
        for key, (low, high) in bounds.items():
            value = getattr(given, key)
            if isinstance(value, int | float) and not low <= value <= high:
                yield (*path, key), f"must be between {low} and {high}"
    for identity, change in adjustments.template.items():
        if change.off and change.asked:
            yield ("template", identity, "asked"), "asks for what `off` leaves out: delete one of the two"
        for number, entry in enumerate(change.left_out):
            place = ("template", identity, "left_out", number)
            if not entry.tree and entry.season is None:
                yield place, "names neither a tree nor a season: for good, for all trees, write off = true"
            if entry.season is not None and not _FIRST_SEASON <= entry.season <= _LAST_SEASON:
                yield (*place, "season"), f"must be the year of its spring, {_FIRST_SEASON} to {_LAST_SEASON}"
        for species in change.species or ():
            if species not in SPECIES:
                yield ("template", identity, "species"), f'"{species}" is not a species'
        if not is_visit_name(change.visit or ""):
            yield ("template", identity, "visit"), f'"{change.visit}" is not a name of a visit. {VISIT_NAMES}'


def refuse_values(adjustments: Adjustments) -> None:
    """Raise PersonError where a value is one that no site can have."""
    for path, what in value_faults(adjustments):
        raise PersonError(f"{key_words(path)} {what}. Nothing was changed.")

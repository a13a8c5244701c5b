"""TOML that a person writes: parsed, with every fault told by line and key, and the nearest known word offered."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Sequence
from typing import Any

import msgspec

from tendwork.errors import PersonError, located, nearest

Path = tuple[str | int, ...]

_STRING_OR_COMMENT = re.compile(
    r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*', re.DOTALL
)
_SHOWN_FAULTS = 5
_FEW_WORDS = 4  # so many are all named, near or not
_LARGEST_SEARCHED = 60_000  # characters
_TYPE_WORDS = {
    "int": "a whole number",
    "float": "a number",
    "str": "text in quotes",
    "bool": "true or false",
    "array": "a list in [ ]",
    "object": "a table",
    "null": "nothing",
}


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """The document as plain values. Raises PersonError with the line."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message = str(error)
        where = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)", message)
        line = None if where is None else int(where[1]) if where[1] else text.count("\n") + 1
        what = message if where is None else message[: where.start()]
        raise located(file, f"is not valid TOML: {what}", line=line) from None
    except (ValueError, RecursionError):
        raise located(file, "is not valid TOML: a number is too long, or lists are nested too deep") from None


def line_of(text: str, path: Path) -> int | None:
    """The line (from 1) of the key at `path`, such as ("template", 2, "opens", "days"); None if it stands nowhere.

    A list's index after the name of an array of tables counts its [[headers]]. None for a text that is larger than any
    that a person writes: each fault of it would search it again.
    """
    if len(text) > _LARGEST_SEARCHED:
        return None
    lines = _STRING_OR_COMMENT.sub(_without_content, text).split("\n")
    start, end, found = 0, len(lines), None
    for step, part in enumerate(path):
        if isinstance(part, int):
            continue
        index = path[step + 1] if step + 1 < len(path) else None
        heads = [at for at in range(start, end) if _heads_array(lines[at], part)] if isinstance(index, int) else []
        if isinstance(index, int) and index < len(heads):
            found = start = heads[index]
            end = heads[index + 1] if index + 1 < len(heads) else end
            continue
        found = next((at for at in range(start, end) if _names(lines[at], part)), None)
        if found is None:
            return None
        start = found
    return None if found is None else found + 1


def key_words(path: Path) -> str:
    """A path as a person writes it: opens.days, without the places in lists."""
    return ".".join(part for part in path if isinstance(part, str))


def unknown_key(text: str, file: str, path: Path, known: Iterable[str]) -> PersonError:
    """The fault of a key that nobody knows."""
    return located(
        file, "unknown key", line=line_of(text, path), key=key_words(path), remedy=nearest(str(path[-1]), known)
    )


def shape_fault(
    text: str, file: str, base: Path, error: msgspec.ValidationError, choices: Iterable[str] = ()
) -> PersonError:
    """A fault of msgspec's as a sentence with file, line and key; `choices` are the words allowed there."""
    what, _, place = str(error).partition(" - at `$")
    path = base + _path_from(place.rstrip("`"))
    remedy = ""
    if missing := re.match(r"Object missing required field `(\w+)`", what):
        what, remedy = f'"{missing[1]}" is missing', "Add it."
    elif wrong := re.match(r"Expected `([^`]+)`, got `([^`]+)`", what):
        wanted = " or ".join(
            _TYPE_WORDS.get(word.strip(), word.strip()) for word in wrong[1].split("|") if "null" not in word
        )
        what = f"expected {wanted}, got {_TYPE_WORDS.get(wrong[2], wrong[2])}"
    elif length := re.match(r"Expected `array` of length (\d+), got (\d+)", what):
        what, remedy = f"must be {length[1]} values, and has {length[2]}", "Write them with commas between them in [ ]."
    elif invalid := re.match(r"Invalid enum value '(.*)'", what):
        words = list(choices)
        allowed = f"Write one of {', '.join(words)}." if 0 < len(words) <= _FEW_WORDS else nearest(invalid[1], words)
        what, remedy = f'"{invalid[1]}" is not known here', allowed
    elif "RFC3339" in what:
        what, remedy = "is not a day", "Write one such as 2026-05-08."
    else:
        what = what[:1].lower() + what[1:]
    return located(file, what, line=line_of(text, path), key=key_words(path), remedy=remedy)


def first_few(faults: Sequence[str]) -> str:
    """The first few faults, one a line, and how many more there are."""
    more = len(faults) - _SHOWN_FAULTS
    return "\n".join(
        [*faults[:_SHOWN_FAULTS], *([f"and {more} more; `tendwork check` tells them all"] if more > 0 else [])]
    )


def _path_from(place: str) -> Path:
    return tuple(int(index) if index else name for name, index in re.findall(r"\.(\w+)|\[(\d+)\]", place))


def _without_content(match: re.Match[str]) -> str:
    """Blank out comments and strings, but leave a quoted key, so that only keys are found."""
    found, text = match[0], match.string
    if not found.startswith("#") and "\n" not in found:
        before = text[text.rfind("\n", 0, match.start()) + 1 : match.start()]
        in_header = re.match(r"\s*\[[^=]*$", before) is not None
        if re.match(r"\s*[=.\]]" if in_header else r"\s*[=.]", text[match.end() : match.end() + 9]):
            return found
    return re.sub(r"[^\n]", " ", found)


def _heads_array(line: str, name: str) -> bool:
    return re.match(rf"\s*\[\[\s*(?:[^\]]*\.\s*)?[\"']?{re.escape(name)}[\"']?\s*\]\]", line) is not None


def _names(line: str, name: str) -> bool:
    return re.search(rf"(?:^|[\s{{,.\[\"']){re.escape(name)}[\"']?\s*[=.\]]", line) is not None

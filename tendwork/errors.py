"""The one error that a person is meant to read."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.plain_text import plain

LONGEST_LINE = 500  # characters; what a hostile file gives to say is cut in the middle, where neither end is lost
_KEPT_END = 150


class PersonError(Exception):
    """Something the person must mend: the message says what is wrong, where, and what to do.

    It may quote a file, so nothing in it acts on a terminal, and no line of it is endless.
    """

    def __init__(self, message: str) -> None:
        super().__init__("\n".join(readable_line(line) for line in message.split("\n")))


def located(file: str, what: str, *, line: int | None = None, key: str = "", remedy: str = "") -> PersonError:
    """A PersonError that names file, line and key in one form: `file, line 3, key "x": what. remedy`."""
    place = file
    if line is not None:
        place += f", line {line}"
    if key:
        place += f', key "{key}"'
    sentence = f"{place}: {what}"
    if remedy:
        sentence = f"{sentence.rstrip('.')}. {remedy}"
    return PersonError(sentence)


def readable_line(line: str) -> str:
    """`line` with nothing in it that acts, cut in the middle where it is endless."""
    line = plain(line)
    if len(line) <= LONGEST_LINE:
        return line
    return f"{line[: LONGEST_LINE - _KEPT_END - 3]} … {line[-_KEPT_END:]}"


def nearest(word: str, known: Iterable[str]) -> str:
    """`Did you mean "opens"?`, or the known words where none is near."""
    words = list(known)
    return did_you_mean(word, words) or f"Known: {', '.join(words)}."


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`Did you mean "opens"?`; empty where none of the known words is near."""
    from difflib import get_close_matches

    close = get_close_matches(word.lower(), list(known), 1, 0.6)
    return f'Did you mean "{close[0]}"?' if close else ""

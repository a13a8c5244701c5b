"""Columns that stay straight: display widths, and text clipped, padded and wrapped by them.

`plain` is the house's one way to make text from files safe to show; it is had from here as well.
"""

from __future__ import annotations

import unicodedata

from tendwork.plain_text import UNSHOWN, plain

__all__ = ["ELLIPSIS", "UNSHOWN", "clipped", "display_width", "padded", "plain", "wrapped"]

ELLIPSIS = "…"
_SOFT_HYPHEN, _FIRST_COMBINING = "\u00ad", "\u0300"  # below the second, the first alone takes no column, and none two


def display_width(text: str) -> int:
    """Columns that `text` takes: 2 for the wide and fullwidth characters of UAX #11, 0 for marks that combine."""
    if text.isascii():
        return len(text)
    return sum(map(_width, text))


def _width(character: str) -> int:
    if character < _FIRST_COMBINING and character != _SOFT_HYPHEN:
        return 1
    if unicodedata.category(character) in ("Mn", "Me", "Cf") or "\u1160" <= character <= "\u11ff":
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def clipped(text: str, columns: int) -> str:
    """`text` in at most `columns` columns, ending in an ellipsis where something was left out."""
    if display_width(text) <= columns:
        return text
    if columns <= 0:
        return ""
    kept, used = [], 0
    for character in text:
        used += _width(character)
        if used > columns - 1:
            break
        kept.append(character)
    return "".join(kept).rstrip() + ELLIPSIS


def padded(text: str, columns: int, right: bool = False) -> str:
    """`text` in exactly `columns` columns, clipped or filled with blanks, set to the right if asked."""
    shown = clipped(text, columns)
    blanks = " " * (columns - display_width(shown))
    return blanks + shown if right else shown + blanks


def wrapped(text: str, columns: int, first: str = "", later: str | None = None) -> list[str]:
    """`text` broken at blanks into lines of `columns`; `first` stands before the first, `later` before the others."""
    line, used = first, display_width(first)
    hang = " " * used if later is None else later
    hang_columns = display_width(hang)
    lines: list[str] = []
    empty = True
    for word in text.split():
        for piece in _pieces(word, max(columns - hang_columns, 1)):
            width = display_width(piece)
            if not empty and used + 1 + width > columns:
                lines.append(line)
                line, used, empty = hang, hang_columns, True
            line += piece if empty else " " + piece
            used += width if empty else 1 + width
            empty = False
    return [*lines, line]


def _pieces(word: str, columns: int) -> list[str]:
    """A word that is longer than a line, cut up; any other as it is."""
    if display_width(word) <= columns:
        return [word]
    pieces, piece, used = [], "", 0
    for character in word:
        width = _width(character)
        if piece and used + width > columns:
            pieces.append(piece)
            piece, used = "", 0
        piece += character
        used += width
    return [*pieces, piece]

"""Text from files made safe to show, and columns that stay straight: the one `plain()` of the house and display widths.

A name may hold an escape code, a line break or a bidi override. Shown as it is, it could repaint the terminal or
reorder its row, so every front passes such text through `plain` first.
"""

from __future__ import annotations

import unicodedata

ELLIPSIS = "…"
UNSHOWN = "?"
_JOINERS = "\u200c\u200d"  # zero-width (non-)joiners: part of the spelling in several scripts, and harmless
_UNSHOWN_CATEGORIES = frozenset({"Cc", "Cf", "Cn", "Co", "Cs"})
_CONTROL_PICTURES = 0x2400
_DELETE = 0x7F
_SOFT_HYPHEN, _FIRST_COMBINING = "\u00ad", "\u0300"  # below the second, the first alone takes no column, and none two


def plain(text: str) -> str:
    """`text` in one line with nothing in it that acts: controls as their pictures, bidi and other invisibles as "?"."""
    if text.isprintable():
        return text
    return "".join(map(_shown, text))


def _shown(character: str) -> str:
    code = ord(character)
    if character in "\t\n\r\v\f" or unicodedata.category(character) in ("Zl", "Zp"):
        return " "
    if code < 0x20:
        return chr(_CONTROL_PICTURES + code)
    if code == _DELETE:
        return "\u2421"
    if character not in _JOINERS and unicodedata.category(character) in _UNSHOWN_CATEGORIES:
        return UNSHOWN
    return character


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

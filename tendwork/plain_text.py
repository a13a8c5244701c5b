"""Text from files made safe to show: the one `plain()` of the house, below everything that speaks to the person.

A name may hold an escape code, a line break or a bidi override. Shown as it is, it could repaint the terminal or
reorder its row, so every front passes such text through `plain` first, and every PersonError does so by itself.
"""

from __future__ import annotations

UNSHOWN = "?"
_JOINERS = "\u200c\u200d"  # zero-width (non-)joiners: part of the spelling in several scripts, and harmless
_UNSHOWN_CATEGORIES = frozenset({"Cc", "Cf", "Cn", "Co", "Cs"})
_CONTROL_PICTURES = 0x2400
_DELETE = 0x7F


def plain(text: str) -> str:
    """`text` in one line with nothing in it that acts: controls as their pictures, bidi and other invisibles as "?"."""
    if text.isprintable():
        return text
    return "".join(map(_shown, text))


def _shown(character: str) -> str:
    from unicodedata import category

    code = ord(character)
    if character in "\t\n\r\v\f" or category(character) in ("Zl", "Zp"):
        return " "
    if code < 0x20:
        return chr(_CONTROL_PICTURES + code)
    if code == _DELETE:
        return "\u2421"
    if character not in _JOINERS and category(character) in _UNSHOWN_CATEGORIES:
        return UNSHOWN
    return character

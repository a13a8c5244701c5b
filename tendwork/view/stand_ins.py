"""What stands for a character where only ASCII can be shown: the marks of the symbols, a letter without its accent.

The commands ask for one character at a time, once it turns out that the terminal has no such character.
"""

from __future__ import annotations

from tendwork.view.symbols import (
    COURSE_MARKS,
    DAY_MARKS,
    HEIGHT_STAND_INS,
    STAGE_MARKS,
    STRIP_MARKS,
    TASK_MARKS,
)

NO_STAND_IN = "?"

_PUNCTUATION = {
    "→": "->", "←": "<-", "↑": "^", "↓": "v", "…": "...", "•": "*", "°": "deg", "±": "+/-", "⁄": "/",
    "≤": "<=", "≥": ">=", "☐": "[ ]", "□": "o", "■": "#", "═": "=",
    "▾": "v", "▼": "v", "▴": "^", "▸": ">", "►": ">", "▪": "#", "▫": ".", "▔": "^", "◎": "o", "◉": "@", "┼": "+",
    "✎": "*", "✚": "+",
}  # fmt: skip
_LETTERS = {
    "ß": "ss", "ẞ": "SS", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ø": "o", "Ø": "O", "ł": "l", "Ł": "L",
    "đ": "d", "Đ": "D", "ð": "d", "Ð": "D", "þ": "th", "Þ": "Th", "ħ": "h", "Ħ": "H", "ı": "i",
}  # fmt: skip
_ALIKE = {"-": "‐‑‒–—―", "'": "‘’‚‛′ʼ", '"': "“”„‟″«»", "<": "‹", ">": "›"}
_CONTROL_PICTURES = {chr(0x2400 + code): f"^{chr(0x40 + code)}" for code in range(0x20)} | {"\u2421": "^?"}
# Where a symbol is in several tables, the first has it: within each table the stand-ins stay apart.
_STAND_INS = (
    {
        mark.symbol: mark.ascii
        for table in (DAY_MARKS, COURSE_MARKS, STAGE_MARKS, TASK_MARKS, dict(reversed(STRIP_MARKS.items())))
        for mark in table.values()
    }
    | HEIGHT_STAND_INS
    | _PUNCTUATION
    | _LETTERS
    | {character: stand_in for stand_in, characters in _ALIKE.items() for character in characters}
    | _CONTROL_PICTURES
)


def stand_in(character: str) -> str:
    """The ASCII that stands for one character; nothing for a mark above a letter, "?" where there is nothing better."""
    known = _known(character)
    if known is not None:
        return known
    from unicodedata import category, normalize

    if category(character) in ("Mn", "Me", "Cf"):
        return ""
    parts = normalize("NFKD", character)
    if parts == character:
        return NO_STAND_IN
    return "".join(_known(part) or ("" if category(part) in ("Mn", "Me") else NO_STAND_IN) for part in parts)


def _known(character: str) -> str | None:
    return character if character.isascii() else _STAND_INS.get(character)

"""Text from files made safe to show: the one `plain()` of the house, below everything that speaks to the person.

A name may hold an escape code, a line break or a bidi override. Shown as it is, it could repaint the terminal or
reorder its row, so every front passes such text through `plain` first, and every PersonError does so by itself.
"""

from __future__ import annotations

UNSHOWN = "?"
_JOINERS = "\u200c\u200d"  # zero-width (non-)joiners: part of the spelling in several scripts, and harmless
_UNSHOWN_CATEGORIES = frozenset({"Cc", "Cf", "Cn", "Co", "Cs"})
_BLANK_LETTERS = "\u2800\u115f\u1160\u3164\uffa0"  # the braille blank and the fillers of Hangul
_BREAKS = dict.fromkeys(map(ord, "\t\n\r"), " ")
_CONTROL_PICTURES = 0x2400
_DELETE = 0x7F


def plain(text: str) -> str:
    """`text` in one line with nothing in it that acts: controls as their pictures, bidi and other invisibles as "?"."""
    if text.isprintable():
        return text
    return "".join(map(_shown, text))


def is_blank(text: str) -> bool:
    """Whether a reader sees nothing of it: all of it, if anything, is blanks, invisibles and marks without a letter."""
    if text.isascii() and text.isprintable():
        return not text.strip()
    from unicodedata import category

    return all(character in _BLANK_LETTERS or category(character)[0] in "CZM" for character in text)


def folded_name(name: str) -> str:
    """The letters and digits of a name, small and without accents, by which names of varieties are compared."""
    return "".join(letter for letter in without_accents(name) if letter.isalnum())


def without_accents(text: str) -> str:
    """A text in small letters without accents, as names are compared and searched for."""
    small = text.casefold()
    if small.isascii():
        return small
    from unicodedata import combining, normalize

    return "".join(letter for letter in normalize("NFKD", small) if not combining(letter))


def is_unseen(character: str) -> bool:
    """Whether a reader does not see one character, other than an ordinary blank: what acts, joins or fills."""
    return not character.isprintable() or character in _BLANK_LETTERS


def is_text(text: str) -> bool:
    """Whether it can be written as UTF-8: an argument may hold bytes that are no text."""
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def acts(text: str) -> bool:
    """Whether something in it beyond line breaks and tabs would act on a screen, or is there without being seen."""
    return plain(text) != text.translate(_BREAKS)


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

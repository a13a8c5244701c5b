"""What is said of signs of disease and sprays: what is not known of them, how it is told, and what happened when."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from difflib import get_close_matches

from tendwork.orchard.records import SIGNS, Records, Spray, Trouble
from tendwork.orchard.tree_notes import Note, is_own_word, noted, trees_named
from tendwork.plain_text import plain

_TELL = "until you note the same product and day again with the days from the label."


def note_sentences(notes: Iterable[Note]) -> tuple[str, ...]:
    """What the person should know of what was noted: words that no rule has, and days that are not known."""
    notes = tuple(notes)
    unknown = _unknown_days([note for note in notes if isinstance(note, Spray)])
    return (*_own_words(notes), *([f"{unknown} {_TELL}"] if unknown else []))


def brought_sentences(notes: Iterable[Note]) -> tuple[str, ...]:
    """The same of many that came in from a file: each product is named whose days are not known."""
    notes = tuple(notes)
    by_product: dict[str, list[Spray]] = {}
    for note in notes:
        if isinstance(note, Spray):
            by_product.setdefault(note.product, []).append(note)
    unknown = [f"{product}: {said} {_TELL}" for product, held in by_product.items() if (said := _unknown_days(held))]
    return (*_own_words(notes), *unknown)


def reworded_sentences(words: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """That a person's word was taken as a known one, for each such pair."""
    return tuple(f'"{plain(told)}" is noted as "{known}".' for told, known in words)


def how_to_tell(records: Records, names: Iterable[str], product: str, day: date) -> str:
    """The command that tells the days of a spray that are not known; empty where all are."""
    from shlex import quote

    trees, _ = trees_named(records, names)
    held = [spray for spray in noted(records, trees, Spray(day, "", product)) if isinstance(spray, Spray)]
    lacks = _lacking(held)
    if not lacks:
        return ""
    ids = " ".join(quote(tree.id) for tree in trees)
    options = " ".join(f"--{'return' if name == 'days_to_return' else 'harvest'}-days DAYS" for name in lacks)
    return f"tendwork spray {ids} {quote(product)} --on {day} {options}"


def _own_words(notes: Iterable[Note]) -> tuple[str, ...]:
    own = dict.fromkeys(note.what for note in notes if isinstance(note, Trouble) and is_own_word(note))
    return tuple(map(_own_word, own))


def _own_word(what: str) -> str:
    near = get_close_matches(what.lower(), SIGNS, 1, 0.6)
    known = f'Did you mean "{near[0]}"? Then undo this, and note that.' if near else f"Jobs hang on {', '.join(SIGNS)}."
    return f'"{what}" is your own word, and no job hangs on it. {known}'


def _lacking(sprays: Iterable[Spray]) -> list[str]:
    sprays = tuple(sprays)
    return [name for name in ("days_to_return", "days_to_harvest") if any(getattr(one, name) is None for one in sprays)]


def _unknown_days(sprays: Iterable[Spray]) -> str:
    """That days are not known, and what stays barred because of it."""
    lacks = _lacking(sprays)
    if len(lacks) > 1:
        return "The days to return and to harvest are not known, so the trees and their fruit stay barred"
    if "days_to_return" in lacks:
        return "The days to return are not known, so the trees stay barred"
    return "The days to harvest are not known, so the fruit stays barred" if lacks else ""

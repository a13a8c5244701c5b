"""A person's own keys, laid over the action table: checked first, so that no key means two things on one screen."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from typing import Any

from tendwork.dashboard.actions import (
    EVERYWHERE,
    FORM,
    GRAFTING_DAY,
    KEY_WORDS,
    PAGE,
    QUESTIONS,
    SCREENS,
    TEMPLATES,
    TREES,
    WRAPS,
    Action,
    Keys,
    key_word,
)
from tendwork.folder.own_settings import KEYS, OwnSettings

_NAMED = {
    *("space", "insert", "delete", "backspace", "up", "down", "left", "right"),
    *("home", "end", "pageup", "pagedown", "tab", "enter", "escape"),
    *(f"f{number}" for number in range(1, 25)),
}
# Textual's names of characters whose name in Unicode is another one.
_CHARACTERS = {"/": "slash", "\\": "backslash", "@": "at", "-": "minus", "+": "plus", "_": "underscore"}
_EARLIER_IDS = {"everywhere.reckon": "everywhere.update"}  # what a file of an earlier version may have
_MODIFIERS = ("ctrl", "alt", "shift")
_MOVING = {
    *("enter", "escape", "tab", "shift+tab", "up", "down", "pageup", "pagedown", "home", "end"),
    *("backspace", "delete", "ctrl+c", "ctrl+q"),
}
_MOVING_ON = {
    TEMPLATES: {"left", "right", "shift+left", "shift+right"},
    TREES: {"left", "right"},
    PAGE: {"q"},
    WRAPS: {"q"},
    QUESTIONS: {"q", *"123456789"},
}
_WRITING = (FORM, GRAFTING_DAY)
_WRITES_NOTHING = re.compile(r"ctrl\+|alt\+|f\d")
# The screens on which keys are pressed for the actions of several places.
_TOGETHER = (*((EVERYWHERE, screen) for screen in SCREENS), (PAGE,), _WRITING, (WRAPS,), (QUESTIONS,))


def own_keys(settings: OwnSettings) -> tuple[Keys, tuple[str, ...]]:
    """The table with the person's keys and no fault, or the usual table and every fault, in sentences."""
    usual = Keys()
    held = settings.document.get(KEYS, {})
    if not isinstance(held, dict):
        return usual, (settings.told((KEYS,), "expected a table", 'Write [keys], and below it wood.mark = "m".'),)
    known = {action.id: action for action in usual.actions}
    changes: dict[str, tuple[str, ...]] = {}
    paths: dict[str, tuple[str, ...]] = {}
    faults: list[str] = []
    for path, value in _entries(held):
        identity = _EARLIER_IDS.get(".".join(path[1:]), ".".join(path[1:]))
        texts = value if isinstance(value, list) else [value]
        if identity not in known:
            faults.append(settings.unknown(path, identity, known))
        elif not texts or not all(isinstance(text, str) for text in texts):
            faults.append(settings.told(path, "expected a key in quotes, or a list of them"))
        else:
            keys = {key_name(text): text for text in texts}
            wrong = [why for key, text in keys.items() if (why := _refused(known[identity], text, key))]
            faults += [settings.told(path, why) for why in wrong]
            paths[identity] = path
            if not wrong:
                changes[identity] = tuple(keys)
    table = usual.moved(changes)
    faults += [settings.told(paths[one], why) for one, why in _clashes(table, changes)]
    return (usual, tuple(faults)) if faults else (table, ())


def key_name(text: str) -> str:
    """A key as Textual names it, from its name or as it is read on the screen: "question_mark" from "?"."""
    *modifiers, last = text.split("+") if len(text) > 1 and not text.endswith("+") else [text]
    if modifiers == ["shift"] and len(last) == 1 and last.isalpha():
        return last.upper()
    shown = {words: key for key, words in KEY_WORDS.items()}
    if last in shown:
        last = shown[last]
    elif len(last) == 1 and not last.isalnum():
        last = "space" if last == " " else _CHARACTERS.get(last) or _unicode_words(last)
    elif len(last) > 1 or modifiers:
        last = last.lower()
    return "+".join((*(modifier.lower() for modifier in modifiers), last))


def _unicode_words(character: str) -> str:
    return unicodedata.name(character, character).lower().replace("-", "_").replace(" ", "_")


def _entries(held: dict[str, Any]) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Every key of the table with its path; a screen may be a table of its own."""
    for name, value in held.items():
        if isinstance(value, dict):
            yield from (((KEYS, name, below), own) for below, own in value.items())
        else:
            yield (KEYS, name), value


def _refused(action: Action, text: str, key: str) -> str:
    """Why an action cannot have a key, or ""."""
    if not _is_key(key):
        return f'"{text}" is no key. A key is a character, "space", "f2", "ctrl+s"'
    if key in _MOVING | _MOVING_ON.get(action.on, set()):
        return f'"{text}" is needed for moving and writing'
    if action.on in _WRITING and not _WRITES_NOTHING.match(key):
        return f'"{text}" is written in a form. Give a key with ctrl, or one such as F2'
    return ""


def _is_key(key: str) -> bool:
    *modifiers, last = key.split("+")
    if not all(modifier in _MODIFIERS for modifier in modifiers):
        return False
    return len(last) == 1 or last in _NAMED or last in _CHARACTERS.values() or _is_character(last)


def _is_character(name: str) -> bool:
    try:
        unicodedata.lookup(name.replace("_", " "))
    except KeyError:
        return name in KEY_WORDS
    return True


def _clashes(table: Keys, changes: dict[str, tuple[str, ...]]) -> Iterator[tuple[str, str]]:
    """(id that was changed, why it cannot be) for each key that would mean two things on one screen."""
    told = set()
    for places in _TOGETHER:
        holders: dict[str, Action] = {}
        for action in table.on(*places):
            for key in action.keys:
                other = holders.setdefault(key, action)
                changed, kept = (action, other) if action.id in changes else (other, action)
                if other is not action and (changed.id, kept.id, key) not in told:
                    told.add((changed.id, kept.id, key))
                    yield changed.id, f'"{key_word(key)}" is already the key of {kept.id}. Give one of the two another'

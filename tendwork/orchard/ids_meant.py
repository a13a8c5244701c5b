"""The id that is meant where a person wrote a name, or the id in other capitals."""

from __future__ import annotations

from collections.abc import Iterable


def id_meant(named: str, what: str, things: str, called: Iterable[tuple[str, str]]) -> str:
    """What to write instead, as a sentence; empty where nothing is called so.

    `called` are the ids, each with its name; `what` a name of theirs is, such as "a variety"; `things` they are.
    """
    wanted, held = _folded(named), tuple(called)
    ids = list(dict.fromkeys(identity for identity, name in held if _folded(name) == wanted))
    if len(ids) == 1:
        return f'"{named}" is {what}: write its id, {ids[0]}.'
    if ids:
        return f'"{named}" is {what} of {len(ids)} {things}: write an id, {", ".join(ids)}.'
    by_capitals = list(dict.fromkeys(identity for identity, _ in held if identity.casefold() == wanted))
    return f"Its id is written {by_capitals[0]}." if len(by_capitals) == 1 else ""


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()

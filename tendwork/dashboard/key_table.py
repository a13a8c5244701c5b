"""The action table in words, for a person who puts keys elsewhere."""

from __future__ import annotations

from typing import Any

from tendwork.dashboard.actions import key_words, place_words
from tendwork.dashboard.own_choices import COLOUR_NAMES, Choices
from tendwork.view.text import display_width, padded, wrapped


def key_table(choices: Choices, file: str, file_stands: bool, width: int) -> str:
    """Every action by screen: its keys, its id, what it does; and how the file is written."""
    actions = choices.keys.actions
    keys = max(display_width(key_words(action)) for action in actions)
    ids = max(map(len, (action.id for action in actions)))
    lines = []
    for place in dict.fromkeys(action.on for action in actions):
        lines.append(place_words(place))
        for action in choices.keys.on(place):
            lines += wrapped(action.help, width, f"  {padded(key_words(action), keys)}  {padded(action.id, ids)}  ")
        lines.append("")
    standing = "Your settings stand in" if file_stands else "Your settings would stand in"
    names = ", ".join(f'"{name}"' for name in COLOUR_NAMES)
    return "\n".join(
        [
            *lines,
            f"{standing} {file}. So a key is put elsewhere there:",
            "",
            "  [keys]",
            '  morning.skip = "f2"',
            '  wood.mark = ["m", "insert"]',
            "",
            *wrapped(f'Above [keys], colours = "{choices.colours}" keeps the colours; there are {names}.', width),
        ]
    )


def key_shape(choices: Choices, file: str) -> dict[str, Any]:
    """The same for other programs; `keys` are named as the file takes them."""
    return {
        "file": file,
        "colours": choices.colours,
        "actions": [
            {"id": action.id, "keys": list(action.keys), "does": action.help} for action in choices.keys.actions
        ],
    }

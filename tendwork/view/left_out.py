"""What is left out, in words, as a table and as JSON: who left it out, for what, since when or why."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import Any

import msgspec

from tendwork.orchard.wording import listed
from tendwork.planning.adjustments import Adjustment, Adjustments
from tendwork.planning.left_out import LeftOutLine, lines_of
from tendwork.planning.vocabulary import Template
from tendwork.view.template_rows import LeftOutSaid
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import format_day

NOTHING = "Nothing is left out."
_COLUMNS = 26


def left_out_words(line: LeftOutLine, tree_names: Mapping[str, str], today: date) -> str:
    """Without the template: "left out by default: …", "left out for Old pear, for good, since 30 Nov"."""
    if line.by == "default":
        return f"left out by default: {plain(line.reason)}"
    span = "for good" if line.season is None else f"in season {line.season}"
    tree = f"for {plain(tree_names.get(line.tree, line.tree))}, " if line.tree else ""
    since = "" if line.on is None else f", since {format_day(line.on, today)}"
    return f"left out {tree}{span}{since}"


def all_left_out_words(lines: Iterable[LeftOutLine], tree_names: Mapping[str, str], today: date) -> str:
    """Several of one template as one sentence; empty where there are none."""
    said = [left_out_words(line, tree_names, today) for line in lines]
    if not said:
        return ""
    words = "; ".join([said[0], *(one.removeprefix("left out ") for one in said[1:])])
    return f"{words[:1].upper()}{words[1:]}{'' if words.endswith('.') else '.'}"


def said_of_each(
    templates: Iterable[Template],
    adjustments: Adjustments,
    seen: Collection[str],
    season: int,
    tree_names: Mapping[str, str],
    today: date,
) -> dict[str, LeftOutSaid]:
    """What is said of each template of which something is left out, by its id."""
    found = {}
    for template in templates:
        lines = lines_of(template, adjustments.template.get(template.id, Adjustment()), seen, season)
        if lines:
            whole = any(not line.tree and line.season in (None, season) for line in lines)
            found[template.id] = LeftOutSaid(all_left_out_words(lines, tree_names, today), whole)
    return found


def left_out_sentence(lines: Iterable[LeftOutLine], tree_names: Mapping[str, str], today: date) -> str:
    """What of a template is left out still, after something of it came back; empty where nothing is."""
    said = [left_out_words(line, tree_names, today).removeprefix("left out ") for line in lines]
    return f"Still left out {listed(said)}." if said else ""


def left_out_text(lines: Iterable[LeftOutLine], tree_names: Mapping[str, str], today: date, width: int) -> str:
    """Everything that is left out, a person's own first, and how each is brought back."""
    held = sorted(lines, key=lambda line: line.by == "default")
    if not held:
        return NOTHING
    printed = []
    for line in held:
        printed.append(f"{padded(line.template, _COLUMNS)} {plain(line.title)}")
        words = left_out_words(line, tree_names, today)
        printed += wrapped(f"{words[:1].upper()}{words[1:]}{'' if words.endswith('.') else '.'}", width, "    ")
    printed += wrapped("`tendwork take-in TEMPLATE` brings one back, for one tree with --tree TREE.", width)
    return "\n".join(printed)


def left_out_shape(lines: Iterable[LeftOutLine]) -> list[dict[str, Any]]:
    """`leave-out --json`."""
    return [msgspec.to_builtins(line) for line in lines]

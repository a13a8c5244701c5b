"""What has changed since an earlier day, told in one line and as a page."""

from __future__ import annotations

from datetime import date
from typing import Final

from tendwork.planning.results import ChangeKind, PlanDiff
from tendwork.view.text import wrapped
from tendwork.view.words import away_words, counted, format_day

BUDS: Final = "buds"
ENTERED: Final = "entered"
MISSED: Final = "missed"
MOVED: Final = "moved"
LEFT: Final = "left"
LATER: Final = "later"
HEADINGS: dict[ChangeKind, str] = {
    BUDS: "The buds",
    ENTERED: "New this week",
    MISSED: "Missed",
    MOVED: "Moved this week",
    LEFT: "No longer this week",
    LATER: "Later in the season",
}
_COUNTED: dict[ChangeKind, str] = {
    ENTERED: "new this week",
    MISSED: "missed",
    MOVED: "moved",
    LEFT: "no longer this week",
    LATER: "changed later on",
}


def changes_line(changed: PlanDiff, today: date) -> str:
    """ "Since yesterday: apple green tip 3 days earlier: seen 26 Mar; 2 jobs moved." in one line."""
    buds = [change.words.rstrip(".") for change in changed.found if change.kind == BUDS]
    parts = [(buds[0][0].lower() + buds[0][1:]).replace(" moved ", " ", 1)] if buds else []
    if len(buds) > 1:
        parts.append(f"{len(buds) - 1} more about the buds")
    for kind, words in _COUNTED.items():
        number = sum(change.kind == kind for change in changed.found)
        if number:
            parts.append(f"{counted(number, 'job')} {words}")
    return f"{_since(changed, today)}: {'; '.join(parts) or 'nothing has changed'}."


def changes_text(changed: PlanDiff, today: date, columns: int) -> str:
    """Everything that changed, by what it is about, wrapped to so many columns."""
    lines = [f"{_since(changed, today)}"]
    for kind, heading in HEADINGS.items():
        words = [change.words for change in changed.found if change.kind == kind]
        if words:
            lines += ["", heading, *(line for sentence in words for line in wrapped(sentence, columns, "  - "))]
    if not changed.found:
        lines += ["", "Nothing has changed."]
    return "\n".join(lines)


def _since(changed: PlanDiff, today: date) -> str:
    days = (today - changed.since).days
    return f"Since {away_words(changed.since, today) if days == 1 else format_day(changed.since, today)}"

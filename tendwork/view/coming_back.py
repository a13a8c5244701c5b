"""What was left while somebody was away for weeks: one line for the first look, and a page with all of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tendwork.planning.coming_back import ComingBack, LeftWork
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.words import counted, length_words

_LONGEST = 156  # two lines of a narrow terminal
_SHOWN = ((3, 3), (2, 2), (2, 1), (1, 1))  # how many jobs are named at most: of those to save, of those that are lost
_UNITS = {"site": "", "tree": "tree", "graft": "graft", "wood": "bundle", "variety": "variety"}


def back_line(back: ComingBack, today: date) -> str:
    """ "You were away for 5 weeks. Can still be saved: 3 wraps (Old Hallow). Lost: bud the plum (4 grafts)."."""
    lines = (_line(back, today, *shown) for shown in _SHOWN)
    return next((line for line in lines if display_width(line) <= _LONGEST), _line(back, today, *_SHOWN[-1]))


def back_text(back: ComingBack, today: date, columns: int) -> str:
    """The same with every job, one to a line."""
    lines = [_away_words(back, today)]
    for heading, works in (("Can still be saved", back.saved), ("Lost", back.lost)):
        if works:
            lines += ["", heading, *(line for work in works for line in wrapped(_words(work), columns, "  - "))]
    return "\n".join(lines if len(lines) > 1 else [f"{lines[0]} Nothing was lost."])


def _line(back: ComingBack, today: date, saved: int, lost: int) -> str:
    said = [f"Can still be saved: {_listed(back.saved, saved)}."] if back.saved else []
    said += [f"Lost: {_listed(back.lost, lost)}."] if back.lost else []
    return " ".join([_away_words(back, today), *(said or ["Nothing was lost."])])


def _away_words(back: ComingBack, today: date) -> str:
    return f"You were away for {length_words((today - back.since).days)}."


def _listed(works: Sequence[LeftWork], most: int) -> str:
    more = len(works) - most
    return ", ".join(map(_words, works[:most])) + (f", and {counted(more, 'more job')}" if more > 0 else "")


def _words(work: LeftWork) -> str:
    """ "3 wraps (Old Hallow)", "brace the grafts against wind (2 grafts)"."""
    place = plain(work.place)
    if work.is_wrap:
        return counted(work.amount, "wrap") + (f" ({place})" if place else "")
    title, unit = plain(work.title), _UNITS[work.each]
    amount = counted(work.amount, unit) if unit and not (unit == "tree" and place) else ""
    about = ", ".join(filter(None, (amount, place)))
    return f"{title[:1].lower()}{title[1:]}" + (f" ({about})" if about else "")

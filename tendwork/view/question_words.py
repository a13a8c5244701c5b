"""The open questions in words: for the page that asks, for the terminal, and for the line that says there are some."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from tendwork.orchard.records import Graft
from tendwork.planning.day_format import noted_short
from tendwork.planning.questions import ANSWERS, Question, QuestionName
from tendwork.view.json_shape import Shape
from tendwork.view.text import plain, wrapped
from tendwork.view.words import counted

TITLES: dict[QuestionName, str] = {"wraps": "Are the wraps still on?", "took": "Did the grafts take?"}
DO_NOT_KNOW = "do not know: ask again another day"
_ALL: dict[QuestionName, tuple[str, str]] = {
    "wraps": ("all are still on", "none is on any more"),
    "took": ("all took", "all failed"),
}
_SOME: dict[QuestionName, str] = {
    "wraps": "these are still on, the others off ...",
    "took": "these took, the others failed ...",
}
MARKING: dict[QuestionName, str] = {
    "wraps": "Mark the wraps that are still on; the others are off.",
    "took": "Mark the grafts that took; the others failed.",
}
_ABOUT: dict[QuestionName, str] = {
    "wraps": "came in after the time for their wraps was over, and nobody said whether these are still on.",
    "took": "are noted as set, and nobody said whether they took.",
}
_ABOUT_ONE: dict[QuestionName, str] = {
    "wraps": "came in after the time for its wrap was over, and nobody said whether this is still on.",
    "took": "is noted as set, and nobody said whether it took.",
}


def about_words(question: Question) -> str:
    """ "39 grafts came in after the time for their wraps was over, and nobody said whether these are still on."."""
    about = _ABOUT_ONE if len(question.grafts) == 1 else _ABOUT
    return f"{counted(len(question.grafts), 'graft')} {about[question.name]}"


def answers_offered(question: Question, before: Sequence[str]) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """What may be answered: the words, the answer in the word of the question ("" to choose some), and of whom.

    `before` are those that were set in an earlier season. The last one leaves all open.
    """
    first, second = ANSWERS[question.name]
    yes, no = _ALL[question.name]
    offered: list[tuple[str, str, tuple[str, ...]]] = [(yes, first, question.grafts)]
    if before and len(before) < len(question.grafts):
        told, answer = ("are off", second) if question.name == "wraps" else ("took", first)
        offered.append(
            (f"the {len(before)} set before this season {told}; ask on about the others", answer, tuple(before))
        )
    offered.append((no, second, question.grafts))
    if len(question.grafts) > 1:
        offered.append((_SOME[question.name], "", question.grafts))
    return (*offered, (DO_NOT_KNOW, "", ()))


def graft_words(graft: Graft, tree: str, today: date) -> str:
    """ "Blue Lamp (g2), Old Hallow: PVC tape, set 12 Apr"."""
    told = [plain(graft.wrap)] if graft.wrap else []
    told += [] if graft.set_on is None else [f"set {noted_short(graft.set_on, today)}"]
    return f"{plain(graft.variety)} ({plain(graft.id)}), {plain(tree)}" + (f": {', '.join(told)}" if told else "")


def questions_line(questions: Iterable[Question], key: str) -> str:
    """ "To answer: 39 wraps still on? 30 grafts took? (a)."; empty where nothing is asked."""
    asked = {"wraps": ("wrap", "still on?"), "took": ("graft", "took?")}
    parts = [f"{counted(len(one.grafts), asked[one.name][0])} {asked[one.name][1]}" for one in questions]
    return f"To answer: {' '.join(parts)} ({key})." if parts else ""


def brought_line(questions: Iterable[Question]) -> str:
    """What is said after grafts were brought; empty where nothing is asked."""
    parts = []
    for one in questions:
        number = len(one.grafts)
        is_on = f"{counted(number, 'wrap')} {'is' if number == 1 else 'are'} still on"
        parts.append(f"whether {is_on if one.name == 'wraps' else counted(number, 'graft') + ' took'}")
    return f"Not known: {' and '.join(parts)}. `tendwork ask` takes one answer for many." if parts else ""


def questions_text(questions: Iterable[Question], columns: int) -> str:
    """Every open question with the commands that answer it."""
    blocks = []
    for question in questions:
        lines = [TITLES[question.name], *wrapped(about_words(question), columns, "  ")]
        lines += [f"  tendwork ask {question.name} {answer} [GRAFT ...]" for answer in ANSWERS[question.name]]
        lines += wrapped(f"It is asked of {', '.join(map(plain, question.grafts))}.", columns, "  ")
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks) or "Nothing is to be answered."


def questions_shape(questions: Iterable[Question], today: date) -> Shape:
    """`ask --json`."""
    return {
        "today": today.isoformat(),
        "questions": [
            {"question": one.name, "grafts": list(one.grafts), "answers": list(ANSWERS[one.name])} for one in questions
        ],
    }

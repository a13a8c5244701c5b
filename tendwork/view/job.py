"""One job in sentences: its window, its reasons, its cautions and its units, as every front says them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from tendwork.planning.results import OF_THE_DAY, Caution, Task, Unit
from tendwork.planning.states import HELD
from tendwork.planning.visits import Visit
from tendwork.planning.vocabulary import Card
from tendwork.view.text import plain, wrapped
from tendwork.view.words import format_day, in_units, short_day, state_words, until_words

NO_CARD = "This job has no caution card. Take care all the same."
FIRST_AID = "First aid"
BY_SEASON = "For the weather and the season"
_MISSING_CARD = "the card is missing; take care."


def window_sentence(task: Task, today: date) -> str:
    """ "Until Thu 12 Mar, 2 days left: opens 1 Mar, best 5 Mar, closes 12 Mar, lapses 3 Apr."."""
    window = task.window
    said = until_words(task, today)
    days = [f"opens {short_day(window.opens, today)}", f"best {short_day(window.best, today)}"]
    days.append(f"closes {short_day(window.closes, today)}")
    if window.lapses > window.closes:
        days.append(f"lapses {short_day(window.lapses, today)}")
    return f"{said[0].upper()}{said[1:]}: {', '.join(days)}."


def reason_sentences(task: Task) -> tuple[str, ...]:
    """Why the job stands where it stands, the most telling first, each a whole sentence."""
    return tuple(map(sentence, task.because))


def caution_lines(task: Task | Visit, cards: Mapping[str, Card], own: bool = False) -> tuple[tuple[str, str], ...]:
    """(title, line) of each caution card of the job or the visit; a card that is not there is named, never dropped.

    Its `own` are those that the weather of the day does not ask of every job.
    """
    chosen = [caution for caution in task.cautions if not own or caution.card not in OF_THE_DAY]
    return tuple(_caution_line(caution, cards.get(caution.card)) for caution in chosen)


def folded_caution_lines(task: Task | Visit, cards: Mapping[str, Card]) -> tuple[tuple[str, str], ...]:
    """The same, in which those that only the usual days of the season ask stand together in one line, the last."""
    alone, together = _told_apart(task.cautions)
    lines = [_caution_line(caution, cards.get(caution.card)) for caution in alone]
    if together:
        each = (_caution_line(caution, cards.get(caution.card)) for caution in together)
        lines.append((BY_SEASON, " ".join(f"{title}: {line}" for title, line in each)))
    return tuple(lines)


def _told_apart(cautions: Sequence[Caution]) -> tuple[list[Caution], list[Caution]]:
    """Those that have a line of their own, and those of the season that share one, where there are several."""
    together = [caution for caution in cautions if caution.by_season]
    if len(together) == 1:
        return list(cautions), []
    return [caution for caution in cautions if not caution.by_season], together


def cards_of(tasks: Iterable[Task], cards: Mapping[str, Card], of_the_day: bool | None = None) -> dict[str, str]:
    """The line of each caution card of these jobs by its title, each once, of the day's alone or of all others."""
    named = dict.fromkeys(caution.card for task in tasks for caution in task.cautions)
    chosen = [card for card in named if of_the_day is None or (card in OF_THE_DAY) is of_the_day]
    return dict(_caution_line(Caution(card, ""), cards.get(card)) for card in chosen)


def caution_sentences(task: Task, cards: Mapping[str, Card], units: str = "metric") -> tuple[str, ...]:
    """The line of each caution card, and why it stands beside the job; those of the season stand in one sentence."""
    alone, together = _told_apart(task.cautions)

    def because(cautions: Iterable[Caution]) -> str:
        reasons = dict.fromkeys(in_units(plain(caution.because), units) for caution in cautions)
        return f"(Because {'; '.join(reasons)}.)"

    said = [f"{_caution_line(caution, cards.get(caution.card))[1]} {because((caution,))}" for caution in alone]
    if together:
        *_, (title, line) = folded_caution_lines(task, cards)
        said.append(f"{title}: {line} {because(together)}")
    return tuple(said)


def _caution_line(caution: Caution, card: Card | None) -> tuple[str, str]:
    if card is None:
        return plain(caution.card), f"{plain(caution.card)}: {_MISSING_CARD}"
    line = plain(card.line)
    if not caution.only:
        return plain(card.title), line
    return (
        f"{plain(card.title)}, {caution.only}",
        f"{caution.only[:1].upper()}{caution.only[1:]}: {line[:1].lower()}{line[1:]}",
    )


def caution_names(task: Task | Visit, cards: Mapping[str, Card]) -> str:
    """The titles of the caution cards in one phrase, those that the day asks counted; empty where there is none."""
    own = [title for title, _ in caution_lines(task, cards, own=True)]
    asked = len(task.cautions) - len(own)
    return "; ".join([*own, *([f"{asked} for the weather and the season"] if asked else [])])


def cards_text(task: Task | Visit, cards: Mapping[str, Card], columns: int, units: str = "metric") -> str:
    """The whole caution cards of the job or the visit, wrapped to so many columns."""
    if not task.cautions:
        return NO_CARD
    blocks = []
    for caution in task.cautions:
        card = cards.get(caution.card)
        if card is None:
            blocks.append([f"{plain(caution.card)}: {_MISSING_CARD}"])
            continue
        title, _ = _caution_line(caution, card)
        lines = [
            title,
            *wrapped(f"Here because {in_units(plain(caution.because), units)}.", columns, "  "),
            *wrapped(plain(card.line), columns, "  "),
        ]
        for point in card.points:
            lines += wrapped(plain(point), columns, "  - ")
        if card.first_aid:
            lines.append(f"  {FIRST_AID}:")
        for point in card.first_aid:
            lines += wrapped(plain(point), columns, "  - ")
        lines += [*wrapped(plain(card.defer), columns, "  "), *wrapped(f"Source: {plain(card.source)}", columns, "  ")]
        blocks.append(lines)
    return "\n\n".join("\n".join(block) for block in blocks)


def unit_words(unit: Unit, today: date, units: str = "metric") -> str:
    """One unit with its place and state: "Ashmead's Kernel (g12), 2.4 m up, above reach: 3 days late"."""
    parts = [f"{plain(unit.label)} ({plain(unit.id)})"]
    if unit.place:
        parts.append(in_units(plain(unit.place), units))
    if height := height_words(unit):
        parts.append(height)
    return f"{', '.join(parts)}: {unit_state_words(unit, today)}"


def height_words(unit: Unit) -> str:
    """Whether the work is higher than the person reaches, or may be for all that is noted; empty where it is not."""
    return "above reach" if unit.above_reach else "may be above reach" if unit.height_unknown else ""


def unit_state_words(unit: Unit, today: date) -> str:
    """ "3 days late", or how and when it was ticked: "took 12 Mar"."""
    if unit.state in ("done", "skipped") and unit.outcome and unit.done_on is not None:
        return f"{plain(unit.outcome)} {short_day(unit.done_on, today)}"
    said = state_words(unit.state, unit.window, today, unit.done_on, whole=False)
    if unit.state == HELD:
        said = "held back" if unit.held_until is None else f"held back until {short_day(unit.held_until, today)}"
        if unit.window.is_overdue(today):
            said += ", overdue"
    if unit.outcome and unit.done_on is not None:  # "not yet": looked at, and still to do
        return f"{said}, {plain(unit.outcome)} {short_day(unit.done_on, today)}"
    return said


def sentence(reason: str) -> str:
    """A reason as a whole sentence that is safe to show."""
    text = plain(reason)
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?", ":")) else text + "."


def rounds_words(task: Task, today: date) -> str:
    """When this job comes again; empty where it comes once."""
    return "" if task.again is None else f"Next round from {format_day(task.again, today)}."

"""What has changed since an earlier day, told in one line and as a page.

It is told of jobs and counts them, not visits: a visit is made of what one day finds together, and has no window of its
own that could move.
"""

from __future__ import annotations

from datetime import date

from tendwork.planning.plan_diff import JobNews, PlanDiff, StageNews
from tendwork.planning.vocabulary import GRAVE, stake_rank
from tendwork.view.job import sentence
from tendwork.view.stake_words import loss_words, missed_words
from tendwork.view.text import plain, wrapped
from tendwork.view.words import away_words, counted, format_day, length_words, short_day, span_words

BUDS = "The buds"
_HEADINGS = {
    "entered": "New this week",
    "missed": "Missed",
    "moved": "Moved this week",
    "left": "No longer this week",
    "later": "Later in the season",
}
_COUNTED = {
    "entered": "new this week",
    "missed": "missed",
    "moved": "moved",
    "left": "no longer this week",
    "later": "changed later on",
}


def changes_line(changed: PlanDiff, today: date) -> str:
    """ "Since yesterday: apple green tip 3 days earlier: seen 26 Mar; 2 jobs moved." in one line."""
    buds = [stage_sentence(news, today).rstrip(".") for news in changed.stages]
    parts = [(buds[0][0].lower() + buds[0][1:]).replace(" moved ", " ", 1)] if buds else []
    if len(buds) > 1:
        parts.append(f"{len(buds) - 1} more about the buds")
    for kind, words in _COUNTED.items():
        found = _of_kind(changed, kind)
        if found:
            worst = f" ({_lost_words(found[0])})" if kind == "missed" and found[0].stake in GRAVE else ""
            parts.append(f"{counted(len(found), 'job')} {words}{worst}")
    return f"{_since(changed, today)}: {'; '.join(parts) or 'nothing has changed'}."


def changes_text(changed: PlanDiff, today: date, columns: int) -> str:
    """Everything that changed, by what it is about, wrapped to so many columns."""
    lines = [f"{_since(changed, today)}"]
    for heading, sentences in changes_by_heading(changed, today).items():
        lines += ["", heading, *(line for words in sentences for line in wrapped(words, columns, "  - "))]
    if len(lines) == 1:
        lines += ["", "Nothing has changed."]
    return "\n".join(lines)


def changes_by_heading(changed: PlanDiff, today: date) -> dict[str, list[str]]:
    """Every change as a sentence, under the heading of what it is about; no heading stands over nothing."""
    found = {BUDS: [stage_sentence(news, today) for news in changed.stages]}
    for kind, heading in _HEADINGS.items():
        found[heading] = [job_sentence(news, today) for news in _of_kind(changed, kind)]
    return {heading: sentences for heading, sentences in found.items() if sentences}


def _of_kind(changed: PlanDiff, kind: str) -> list[JobNews]:
    """The news of one kind: of what was missed the worst first, else as the plan has them."""
    found = [news for news in changed.jobs if news.kind == kind]
    return sorted(found, key=lambda news: stake_rank(news.stake)) if kind == "missed" else found


def _lost_words(news: JobNews) -> str:
    said = loss_words(news.loss)
    return f"{plain(news.title)}: {said}" if said else plain(news.title)


def stage_sentence(news: StageNews, today: date) -> str:
    """A bud stage that was seen or that is expected on another day: "Apple green tip moved 3 days earlier: …"."""
    name = f"{news.species[:1].upper()}{news.species[1:]} {plain(news.stage)}"
    day = "" if news.day is None else f" {short_day(news.day, today)}"
    if not news.is_sighting:
        others = f", and {counted(news.others, 'later stage')} with it" if news.others else ""
        to = f", to{day}" if day else ""
        return f"{name} moved {_shift(news.days)}{to}{others}: {_why_moved(news, today)}."
    if news.days:
        return f"{name} moved {_shift(news.days)}: seen{day}."
    return f"{name} seen{day}{', as expected' if news.was_expected else ''}."


def job_sentence(news: JobNews, today: date) -> str:
    """A job that changed, and why: "Check the take, Old Tom: moved 3 days later, now 2 to 9 May. …"."""
    name = f"{plain(news.title)}, {plain(news.place) or 'the orchard'}"
    days = span_words(news.window.opens, news.window.closes)
    if news.is_gone:
        return f"{name}: no record or template asks for it any more."
    if news.kind == "missed":
        cost = f", with this at stake: {missed_words(news.stake, news.loss)}" if news.loss else ""
        return f"{name}: its time ended {short_day(news.window.lapses, today)}{cost}."
    reasons = [*map(sentence, news.reasons), *([sentence(news.adjusted)] if news.adjusted else [])]
    if news.is_new:
        return f"{name}: {' '.join([f'a new job, {days}.', *reasons])}"
    for shifts, verb in ((news.opens_days, "moved"), (news.closes_days, "ends")):
        if any(shifts):
            up_to = "" if len(shifts) == 1 else "up to "
            moved = f"{verb} {up_to}{_shift(max(shifts, key=abs))}, now {days}."
            return f"{name}: {' '.join([moved, *reasons])}"
    return f"{name}: " + ("nothing is left to do this week." if news.kind == "left" else f"its time has come, {days}.")


def _why_moved(news: StageNews, today: date) -> str:
    if news.seen:
        return f"{plain(news.seen)} was seen" + ("" if news.seen_on is None else f" {short_day(news.seen_on, today)}")
    if news.withdrawn:
        return f"{plain(news.withdrawn)} is no longer noted as seen"
    return plain(news.adjusted) or "calculated again from the temperatures"


def _shift(days: int) -> str:
    return f"{length_words(abs(days))} {'later' if days > 0 else 'earlier'}"


def _since(changed: PlanDiff, today: date) -> str:
    days = (today - changed.since).days
    return f"Since {away_words(changed.since, today) if days == 1 else format_day(changed.since, today)}"

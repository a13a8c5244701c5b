"""The wraps that are still on, by tree and the oldest first, and what the records leave open of grafts, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from tendwork.orchard.methods import METHODS
from tendwork.orchard.rough_dates import date_text
from tendwork.orchard.wording import listed
from tendwork.orchard.wraps import WRAPS
from tendwork.planning.day_format import noted_short
from tendwork.planning.results import (
    ASKED,
    HEIGHT,
    NO_JOB,
    NO_METHOD,
    SPRAY_DAYS,
    STILL_ON,
    TOOK,
    WRAP_GIVEN_UP,
    Gap,
    TaskState,
    WrapOn,
    WrapState,
)
from tendwork.planning.states import HELD
from tendwork.view.json_shape import Shape
from tendwork.view.symbols import task_symbol
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import counted, in_units, length_words, short_day, span_words

UNKNOWN_WRAP = "not noted"
NONE_ON = "No wrap is on, as far as the records say."
_NAMES_SHOWN = 4
_LABEL_COLUMNS, _WRAP_COLUMNS, _SINCE_COLUMNS, _HEAT_COLUMNS = 24, 18, 9, 15


class WrapRow(Struct, frozen=True):
    """One graft as a line: every text in it is safe to show."""

    graft: str
    task: str
    state: WrapState
    label: str
    wrap: str
    since: str
    heat: str
    until: str
    place: str
    overdue: bool


class WrapsOfTree(Struct, frozen=True):
    """The wraps on one tree, the oldest first."""

    tree: str
    name: str
    rows: tuple[WrapRow, ...]


def wraps_by_tree(wraps: Iterable[WrapOn], today: date, units: str = "metric") -> tuple[WrapsOfTree, ...]:
    """The trees in the order of their oldest wrap."""
    of_tree = _of_trees(wraps)
    return tuple(
        WrapsOfTree(tree, plain(held[0].tree_name), tuple(_row(wrap, today, units) for wrap in held))
        for tree, held in of_tree.items()
    )


def wraps_of_trees(wraps: Iterable[WrapOn], today: date) -> tuple[tuple[str, str], ...]:
    """For paper: each tree, and its grafts with what is on them since when."""
    of_tree = _of_trees(wraps)
    return tuple(
        (plain(held[0].tree_name), "; ".join(_paper_words(wrap, today) for wrap in held)) for held in of_tree.values()
    )


def _of_trees(wraps: Iterable[WrapOn]) -> dict[str, list[WrapOn]]:
    """The wraps by tree, in the order in which they come."""
    of_tree: dict[str, list[WrapOn]] = {}
    for wrap in wraps:
        of_tree.setdefault(wrap.tree, []).append(wrap)
    return of_tree


def _paper_words(wrap: WrapOn, today: date) -> str:
    since = "" if wrap.set_on is None else f" since {noted_short(wrap.set_on, today)}"
    overdue = ", overdue" if wrap.overdue else ", still on?" if wrap.state == ASKED else ""
    return plain(f"{wrap.variety} ({wrap.graft}), {wrap.wrap or UNKNOWN_WRAP}{since}{overdue}")


def wraps_text(
    wraps: Sequence[WrapOn],
    gaps: Iterable[Gap],
    today: date,
    width: int,
    units: str = "metric",
    ascii_only: bool = False,
) -> str:
    """Every wrap that is still on, and then what the records leave open."""
    lines = [wraps_sentence(wraps, today)]
    for tree in wraps_by_tree(wraps, today, units):
        lines += ["", tree.name]
        for row in tree.rows:
            lines.append(padded(wrap_line(row, ascii_only), width).rstrip())
            lines.append(f"    {padded(row.until, _LABEL_COLUMNS)} {row.task}".rstrip())
    notes = [line for sentence in gap_sentences(gaps, today) for line in wrapped(sentence, width, "  - ")]
    return "\n".join([*lines, *(["", "Not noted:", *notes] if notes else [])])


def wrap_line(row: WrapRow, ascii_only: bool) -> str:
    """One graft with its wrap, and how long and in how much warmth it has been on."""
    mark = task_symbol(wrap_state(row), ascii_only)
    cells = (
        padded(row.label, _LABEL_COLUMNS),
        padded(row.wrap, _WRAP_COLUMNS),
        padded(row.since, _SINCE_COLUMNS),
        padded(row.heat, _HEAT_COLUMNS, right=True),
    )
    return f"  {mark} {' '.join(cells)}"


def wrap_state(row: WrapRow) -> TaskState:
    """The state of a task whose mark stands before a wrap; one that no job asks for stands like a late one.

    One that is asked about waits.
    """
    if row.state == ASKED:
        return "waiting"
    return "late" if row.state == NO_JOB else row.state


def wraps_sentence(wraps: Sequence[WrapOn], today: date) -> str:
    """ "Wraps still on: 12, the oldest since 12 Apr; 3 overdue."."""
    if not wraps:
        return NONE_ON
    known = known_on(wraps)
    asked = f"; not known of {len(wraps) - len(known)}" if len(known) < len(wraps) else ""
    oldest = next((wrap.set_on for wrap in known if wrap.set_on is not None), None)
    since = "" if oldest is None else f", the oldest since {noted_short(oldest, today)}"
    overdue = sum(wrap.overdue for wrap in known)
    return f"Wraps still on: {len(known)}{since}{f'; {overdue} overdue' if overdue else ''}{asked}."


def known_on(wraps: Iterable[WrapOn]) -> list[WrapOn]:
    """Without those of which nobody has said whether they are still on."""
    return [wrap for wrap in wraps if wrap.state != ASKED]


def gap_sentences(gaps: Iterable[Gap], today: date | None = None) -> tuple[str, ...]:
    """What is not noted, what follows from that, and what to do; without `today` no days of methods."""
    return tuple(_gap_words(gap, today) for gap in gaps)


def wraps_line(wraps: Iterable[WrapOn], gaps: Iterable[Gap], key: str) -> str:
    """Overdue wraps and what is not noted in one line for a narrow screen; empty where neither is. `key` shows all.

    What is asked on the page of questions is not among it.
    """
    overdue = sum(wrap.overdue for wrap in wraps)
    said = [f"{counted(overdue, 'wrap')} overdue"] if overdue else []
    said += [words] if (words := _gap_words_in_short(gaps)) else []
    return f"{'; '.join(said)} ({key})." if said else ""


def _gap_words_in_short(gaps: Iterable[Gap]) -> str:
    held = tuple(gaps)
    parts = []
    sprays = sum(gap.kind == SPRAY_DAYS for gap in held)
    if sprays:
        parts.append(f"label days of {counted(sprays, 'spray')}")
    planned = sum(len(gap.grafts) for gap in held if gap.kind == NO_METHOD)
    if planned:
        parts.append(f"method of {counted(planned, 'planned graft')}")
    for field in ("wrap", "method"):
        number = sum(len(gap.grafts) for gap in held if gap.kind.split()[0] == field)
        if number:
            parts.append(f"{field} of {counted(number, 'graft')}")
    return f"not noted: {', '.join(parts)}" if parts else ""


def wraps_shape(wraps: Iterable[WrapOn], gaps: Iterable[Gap], today: date) -> Shape:
    """`wraps --json`."""
    return {
        "today": today.isoformat(),
        "wraps": [
            {
                "graft": wrap.graft,
                "tree": wrap.tree,
                "variety": wrap.variety,
                "wrap": wrap.wrap,
                "set_on": None if wrap.set_on is None else date_text(wrap.set_on),
                "days": wrap.days,
                "heat": None if wrap.heat is None else round(wrap.heat),
                "state": wrap.state,
                "by": None if wrap.by is None else wrap.by.isoformat(),
                "overdue": wrap.overdue,
                "task": wrap.task,
            }
            for wrap in wraps
        ],
        "not_noted": [
            {
                "kind": gap.kind,
                "grafts": list(gap.grafts),
                "word": gap.word,
                "species": gap.species,
                "tree": gap.tree,
                "day": None if gap.day is None else gap.day.isoformat(),
                "lacks": gap.lacks,
                "methods": [
                    {"method": method, "opens": opens.isoformat(), "closes": closes.isoformat()}
                    for method, opens, closes in gap.methods
                ],
            }
            for gap in gaps
        ],
    }


def _row(wrap: WrapOn, today: date, units: str) -> WrapRow:
    return WrapRow(
        graft=wrap.graft,
        task=plain(wrap.task),
        state=wrap.state,
        label=plain(f"{wrap.variety} ({wrap.graft})"),
        wrap=plain(wrap.wrap) or UNKNOWN_WRAP,
        since=_since(wrap, today),
        heat="heat not known" if wrap.heat is None else f"{wrap.heat:.0f} degree-days",
        until=_until(wrap, today),
        place=in_units(plain(wrap.place), units),
        overdue=wrap.overdue,
    )


def _since(wrap: WrapOn, today: date) -> str:
    if wrap.days is not None:
        return length_words(wrap.days)
    return "day unknown" if wrap.set_on is None else noted_short(wrap.set_on, today)


def _until(wrap: WrapOn, today: date) -> str:
    if wrap.state == ASKED:
        return "still on? nobody said"
    if wrap.by is None:
        return "no rule asks for it"
    if wrap.state == HELD:
        return "overdue, held back" if wrap.overdue else f"held back, off by {short_day(wrap.by, today)}"
    if wrap.overdue:
        return f"overdue, due {short_day(wrap.by, today)}"
    if wrap.state == "late":
        return f"late, due {short_day(wrap.by, today)}"
    return wrap.state if wrap.state == "skipped" else f"off by {short_day(wrap.by, today)}"


def _gap_words(gap: Gap, today: date | None) -> str:
    if gap.kind == SPRAY_DAYS:
        was = "was" if gap.trees == 1 else "were"
        when = "" if gap.day is None else f" on {short_day(gap.day, today or gap.day)}"
        return (
            f"{plain(gap.tree)} {was} sprayed with {plain(gap.word)}{when}, {gap.lacks} not noted: what hangs on"
            " them is held back until they are. Read the label and note them with `tendwork spray`."
        )
    if gap.kind == HEIGHT:
        of = [f"the crowns of {plain(gap.tree)}"] if gap.tree else []
        of += [f"{counted(len(gap.grafts), 'graft')} ({_ids(gap)})"] if gap.grafts else []
        return (
            f"No height is noted of {listed(of)}: the cautions for ladder work stand beside all their"
            " jobs in the crown. Note how high each tree is: one within your reach settles it for its grafts."
        )
    if gap.kind in (STILL_ON, TOOK):
        return f"{counted(len(gap.grafts), 'graft')} ({_ids(gap)}) {_came_in(gap)}"
    grafts = _grafts(gap)
    if gap.kind == NO_METHOD:
        what = f'a method that no rule knows ("{plain(gap.word)}")' if gap.word else "no method"
        open_now = [
            f"{method} ({_days(opens, closes, today)})" for method, opens, closes in gap.methods if today is not None
        ]
        offer = f" Open for {gap.species}: {listed(open_now)}." if open_now else ""
        return f"{grafts} planned with {what}, so no grafting job comes.{offer} Note one on the graft.{_hint(gap)}"
    if gap.kind == "wrap":
        held = f"{grafts} on the tree with no wrap noted: treated as one that neither stretches nor perishes."
        return f'{held} Note what it is, "none" if there was none.'
    if gap.kind == "wrap word":
        return (
            f'No rule knows the wrap "{plain(gap.word)}" ({_ids(gap)}): treated as one that neither stretches nor'
            f" perishes. Note one of the usual words, or write a template for it.{_hint(gap)}"
        )
    if gap.kind == WRAP_GIVEN_UP:
        return (
            f"{grafts} bearing and set three years ago or more, and nobody said that the wrap is off: only the winter"
            ' check asks about it from now on. Look now, and note the wrap "off", or what is still on.'
        )
    if gap.kind == "take":
        held = f"{grafts} set for more than half a year, and nobody said whether"
        return f"{held} {'it' if len(gap.grafts) == 1 else 'they'} took. Note the state in Trees: took or failed."
    what = f"{grafts} on the tree without a method"
    if gap.word:
        what = f'No rule knows the method "{plain(gap.word)}" ({_ids(gap)})'
    return f"{what}: only what holds for every graft is asked. Note how it was made.{_hint(gap)}"


def _came_in(gap: Gap) -> str:
    one = len(gap.grafts) == 1
    takes = "takes the answer" if one else "takes one answer for all of them"
    if gap.kind == TOOK:
        return f"came in as set: did {'it' if one else 'they'} take? `tendwork ask took` {takes}."
    asked = "its wrap: is it still on?" if one else "their wraps: are these still on?"
    return f"came in after the time for {asked} `tendwork ask wraps` {takes}."


_NEAR = 0.65  # "raphia" is "raffia"; "saddle" is no misspelt "side"


def _hint(gap: Gap) -> str:
    """The usual word that a misspelt one is near to, or the methods that rules know."""
    from difflib import get_close_matches

    words = WRAPS if gap.kind == "wrap word" else METHODS
    near = get_close_matches(gap.word.casefold(), [word.casefold() for word in words], 1, _NEAR)
    meant = next((word for word in words if near and word.casefold() == near[0]), "")
    if meant:
        return f' Did you mean "{meant}"?'
    return f" Rules know {listed(METHODS)}." if gap.kind == "method word" and gap.word else ""


def _days(opens: date, closes: date, today: date) -> str:
    return f"until {short_day(closes, today)}" if opens <= today else span_words(opens, closes)


def _grafts(gap: Gap) -> str:
    number = len(gap.grafts)
    return f"{counted(number, 'graft')} ({_ids(gap)}) {'is' if number == 1 else 'are'}"


def _ids(gap: Gap) -> str:
    shown = [plain(graft) for graft in gap.grafts[:_NAMES_SHOWN]]
    more = len(gap.grafts) - len(shown)
    return listed([*shown, f"{more} more"] if more else shown)

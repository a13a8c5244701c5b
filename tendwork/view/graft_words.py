"""What there is to know about one graft or one tree, in a few lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date

from tendwork.orchard.crown import place_of, place_words
from tendwork.orchard.graft_species import species_by_graft, variety_words
from tendwork.orchard.history import Event, history
from tendwork.orchard.lives import present_of
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import GRAFT_STATES, Graft, Records, Tree
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.tree_history import tree_history
from tendwork.orchard.unions import graft_hint, hints, tree_hint
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.verdicts import LIVING, first_crop_years
from tendwork.orchard.wraps import NO_WRAP, wrap_fate
from tendwork.planning.day_format import noted_full
from tendwork.view.plain import crown_sentence, tree_heading
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import counted, full_day, in_units, short_day

_DAY_COLUMNS = 15


def graft_title(graft: Graft, tree: Tree) -> str:
    """ "Ashmead's Kernel (g01) on Old Hallow"."""
    return plain(f"{variety_words(graft, tree)} ({graft.id}) on {tree.name}")


def graft_lines(records: Records, graft: Graft, south: bool, units: str, width: int, today: date) -> list[str]:
    """State and verdict, how it was made, where it is, when it ripens, the note, and its life."""
    verdict = f", {graft.verdict}" if graft.state in LIVING else ""
    method = graft.method or ("method not noted" if graft.state in ("planned", "set", "took") else "")
    made = [method, graft.wrap, graft.seal and f"sealed with {graft.seal}", graft.wood and f"wood {graft.wood}"]
    place = in_units(place_words(place_of(graft)), units)
    facts = [f"{graft.state}{verdict}", ", ".join(filter(None, made)), place, _ripe_words(graft)]
    told = "; ".join(fact for fact in facts if fact)
    lines = wrapped(plain(told[0].upper() + told[1:] + "."), width)
    lines += wrapped(plain(_wrap_words(records, graft, today)), width) if graft.state in LIVING else []
    tree = next((tree for tree in records.trees if tree.id == graft.tree), None)
    if tree is not None and (hint := graft_hint(graft, tree, today)):
        lines += wrapped(plain(hint), width)
    if graft.note:
        lines += wrapped(plain(graft.note), width, "Note: ")
    if chill := chill_words(records, graft):
        lines += wrapped(chill, width)
    expected = first_crop_years(graft, south)
    if graft.state in ("set", "took") and expected is not None and is_of_a_variety(graft):
        lines += wrapped(f"First crop to be expected in {expected[0]} or {expected[1]}.", width)
    return [*lines, *history_text(history(records, graft), width).splitlines()]


def chill_words(records: Records, graft: Graft) -> str:
    """ "Needs 60 chill portions, by the record of the variety.", empty where neither it nor the graft says so."""
    if graft.chill is not None:
        return f"Needs {graft.chill:g} chill portions, as noted on it."
    species = species_by_graft(records).get(graft.id, "")
    record = VarietyBook(records).record(species, graft.variety)
    if record is None or record.chill is None:
        return ""
    return f"Needs {record.chill:g} chill portions, by the record of the variety."


def _wrap_words(records: Records, graft: Graft, today: date) -> str:
    """ "Wrap on since 12 Apr 2026: PVC tape.", "Wrap off since 20 Jul 2026."."""
    fate = wrap_fate(graft, standing_ticks(present_of(records, graft).ticks), today)
    if fate.on:
        since = "" if graft.set_on is None else f" since {noted_full(graft.set_on)}"
        return f"Wrap on{since}: {graft.wrap or 'what it is was not noted'}."
    if fate.day is not None:
        return f"Wrap {'left on' if fate.word == 'left on' else 'off'} since {full_day(fate.day)}."
    if fate.word:
        return "Not wrapped." if fate.word == NO_WRAP else "Wrap off."
    return "Nobody noted that the wrap is off."


def tree_lines(records: Records, tree: Tree, width: int, today: date, units: str = "metric") -> list[str]:
    """The tree in a sentence, its grafts counted by state, what is not noted of it and of them, and its history."""
    grafts = [graft for graft in records.grafts if graft.tree == tree.id]
    counts = Counter(graft.state for graft in grafts)
    told = ", ".join(f"{counts[state]} {state}" for state in GRAFT_STATES if counts[state])
    going = sum(graft.verdict == "cut" and graft.state in LIVING for graft in grafts)
    lines = wrapped(tree_heading(tree, grafts), width)
    lines += wrapped(told[0].upper() + told[1:] + ".", width) if told else []
    lines += wrapped(f"{counted(going, 'graft')} to cut.", width) if going else []
    for field, states in (("method", ("planned", "set", "took")), ("wrap", ("set", "took"))):
        bare = [graft.id for graft in grafts if graft.state in states and not getattr(graft, field)]
        lines += wrapped(plain(f"Without a {field} noted: {', '.join(bare)}."), width) if bare else []
    lines += wrapped(crown_sentence(tree, units), width)
    lines += wrapped(plain(tree.note), width, "Note: ") if tree.note else []
    for hint in filter(None, (tree_hint(tree, today), *hints(records, grafts, today))):
        lines += wrapped(plain(hint), width)
    noted = tree_history(records, tree)
    return [*lines, *history_text(noted, width).splitlines()] if noted else lines


def _ripe_words(graft: Graft) -> str:
    days = [date(2001, month, min(day, 28) if month == 2 else day) for month, day in _ripe_days(graft)]
    return f"ripe {' to '.join(short_day(day, day) for day in days)}" if days else ""


def _ripe_days(graft: Graft) -> list[tuple[int, int]]:
    return [day for day in (graft.ripens_from, graft.ripens_to) if day is not None]


def history_text(events: Iterable[Event], width: int) -> str:
    """A line for each event, its day first; blank where the day is not known."""
    lines = []
    for event in events:
        day = "" if event.day is None else full_day(event.day)
        lines += wrapped(plain(event.words), width, padded(day, _DAY_COLUMNS) + " ", " " * (_DAY_COLUMNS + 1))
    return "\n".join(lines) or "Nothing is known of it yet."

"""The wood: its bundles with age and checks, what should not wait, and the page and JSON of `wood`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Final, Literal

from msgspec import Struct

from tendwork.orchard.mother_trees import MotherTrees, mother_words
from tendwork.orchard.records import PROMISED, REFUSED, Records, Wood
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.troubles import SickBar
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_age import WoodAge, WoodCheck, WoodState, check_due, checks_made, wood_age
from tendwork.orchard.wood_balance import warnings, wood_balance
from tendwork.orchard.wood_wishes import TO_ASK_FOR, UNANSWERED, wish_state
from tendwork.planning.cutting_list import cutting_list
from tendwork.planning.wood_offers import wood_offers
from tendwork.planning.wood_parcels import wood_parcels
from tendwork.planning.work_bars import barred_on, wishes_on
from tendwork.view.json_shape import Shape, json_rows
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, padded, plain, wrapped
from tendwork.view.wood_balance import balance_text
from tendwork.view.wood_swaps import swaps_shape
from tendwork.view.words import counted, format_day, full_day, length_words, short_day

BUNDLE_ORDERS = ("variety", "keeps", "check", "species", "sticks", "kept")
BundleState = WoodState | Literal["barred", "used up"]
Asking = Literal["to ask", "asked", "coming", "refused"]
"""How far the asking for wood has come that somebody else is to give."""
_ASKING: dict[str, Asking] = {TO_ASK_FOR: "to ask", UNANSWERED: "asked", PROMISED: "coming", REFUSED: "refused"}
USED_UP: Final = "used up"
BARRED: Final = "barred"
WOOD_MARKS: dict[BundleState | Asking, Mark] = {
    "fresh": Mark("●", "#", "fresh"),
    "fading": Mark("◐", "=", "fading"),
    "not cut": Mark("○", "o", "not cut"),
    "to ask": Mark("◇", "?", "to ask"),
    "asked": Mark("◈", "a", "asked"),
    "coming": Mark("▷", ">", "coming"),
    "refused": Mark("▫", ".", "refused"),
    BARRED: Mark("■", "X", BARRED),
    "faded": Mark("×", "x", "faded"),
    USED_UP: Mark("−", "-", USED_UP),
}
_BUNDLE_COLUMNS = ("id", "variety", "species", MARK, "state", "sticks", "keeps", "check", "promised", "kept", "from")
_MOST_VARIETY_COLUMNS = 26
_NEVER = 10**6
_INDENT = "    "


class Bundle(Struct, frozen=True):
    """One bundle with what follows from its record. `state` is a key of WOOD_MARKS; `due` is the day of the next check.

    `bar` is why it must not be used, where it must not. `asking` is how far the asking has come for what somebody else
    is to give, None for all else; `notes` are soft words on the mother tree.
    """

    wood: Wood
    age: WoodAge
    state: BundleState
    checks: tuple[WoodCheck, ...] = ()
    due: date | None = None
    bar: SickBar | None = None
    asking: Asking | None = None
    notes: tuple[str, ...] = ()

    @property
    def shown(self) -> BundleState | Asking:
        """The key of WOOD_MARKS that it is shown by."""
        return self.asking if self.asking is not None and self.state == "not cut" else self.state


def bundles(records: Records, today: date, check_every_days: int | None, south: bool) -> tuple[Bundle, ...]:
    """Every bundle in the order of entry; without a rhythm no check is due."""
    standing, barred = standing_ticks(records.ticks), barred_on(records, today, south)
    own, mothers = TreesByWord(records.trees), MotherTrees(records)
    found = []
    for wood in records.wood:
        age, checks = wood_age(wood, today), checks_made(wood.id, standing)
        due = None if check_every_days is None else check_due(wood, checks, check_every_days, today)
        used_up = wood.sticks == 0 and wood.cut_on is not None
        bar = None if used_up else barred.get(wood.id)
        state = USED_UP if used_up else age.state if bar is None else BARRED
        asking = _ASKING.get(wish_state(wood, own, today))
        notes = () if used_up else mothers.notes(wood, today)
        found.append(Bundle(wood, age, state, checks, due, bar, asking, notes))
    return tuple(found)


def bundles_in_order(held: Iterable[Bundle], order: str, backwards: bool = False) -> tuple[Bundle, ...]:
    """In an order of BUNDLE_ORDERS; what is used up stands last."""
    there = sorted(held, key=lambda bundle: (_bundle_key(bundle, order), bundle.wood.variety, bundle.wood.id))
    if backwards:
        there.reverse()
    return tuple(sorted(there, key=lambda bundle: bundle.state == USED_UP))


def bundle_columns(held: Iterable[Bundle], width: int) -> tuple[Column, ...]:
    """The columns that a page has room for."""
    rows = tuple(held)
    ids = min(max((display_width(plain(bundle.wood.id)) for bundle in rows), default=2), 10)
    varieties = max((display_width(plain(bundle.wood.variety)) for bundle in rows), default=0)
    wanted = {"id": ids, "variety": min(max(varieties, 14), 22, max(width - ids - 16, 8)), MARK: 1, "sticks": 7}
    wanted |= {"keeps": 8, "state": 7, "check": 12, "promised": 8, "kept": 18, "species": 12, "from": 16}
    return lay_columns(wanted, _BUNDLE_COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def bundle_cells(bundle: Bundle, columns: tuple[Column, ...], today: date, ascii_only: bool = False) -> str:
    """The row of a bundle."""
    wood, left, mark = bundle.wood, bundle.age.days_left, WOOD_MARKS[bundle.shown]
    keeps = "" if left is None or left < 0 or bundle.state == USED_UP else length_words(left)
    late = bundle.due is not None and bundle.due < today
    cells = {
        "id": wood.id,
        "variety": wood.variety,
        "species": wood.species,
        MARK: mark.ascii if ascii_only else mark.symbol,
        "state": mark.word,
        "sticks": str(wood.sticks),
        "keeps": keeps,
        "check": "" if bundle.due is None else f"{'late,' if late else 'due'} {short_day(bundle.due, today)}",
        "promised": str(wood.promised_sticks or ""),
        "kept": wood.kept,
        "from": wood.came_from,
    }
    return row_line(columns, cells)


def bundle_lines(bundle: Bundle, check_every_days: int | None, today: date, width: int) -> list[str]:
    """What there is to know about a bundle: age, whence, where, promised to whom, checks, note."""
    wood = bundle.wood
    told = f"{counted(wood.sticks, 'stick')}; " + bundle_words(wood, bundle.checks, check_every_days, today, bundle.bar)
    lines = wrapped(f"{told[0].upper()}{told[1:]}.", width)
    if wood.cut_on is not None:
        lines += wrapped(f"Cut {full_day(wood.cut_on)}.", width)
    if wood.note:
        lines += wrapped(plain(wood.note), width, "Note: ")
    lines += [line for note in bundle.notes for line in wrapped(plain(note), width)]
    for check in reversed(bundle.checks):
        note = f" ({check.note})" if check.note else ""
        lines += wrapped(plain(f"{full_day(check.day)} checked: {check.found}{note}"), width)
    return lines


def wood_warnings(records: Records, today: date, held: Sequence[Bundle]) -> tuple[str, ...]:
    """What should not wait, the most pressing first: barred or missing wood, checks overdue, wood that fades."""
    barred = [
        f"{bundle.wood.variety} ({bundle.wood.id}) is {bar_words(bundle.wood, bundle.bar, today)}."
        for bundle in held
        if bundle.bar is not None
    ]
    balances = wood_balance(records, today, {bundle.wood.id for bundle in held if bundle.bar is not None})
    missing = [sentence for balance in balances if balance.missing for sentence in warnings(balance)]
    to_come = [sentence for balance in balances if not balance.missing for sentence in warnings(balance)]
    keys = variety_keys(records)
    wanted = {keys.of(one.species, one.variety) for one in balances if one.needed or one.promised}
    late, fading = [], []
    for bundle in held:
        name = f"{bundle.wood.variety} ({bundle.wood.id})"
        if bundle.due is not None and bundle.due < today:
            late.append(f"{name}: a check was due {short_day(bundle.due, today)}.")
        if keys.of(bundle.wood.species, bundle.wood.variety) in wanted and bundle.state == "fading":
            fading.append(f"{name} is fading: {length_words(bundle.age.days_left or 0)} left.")
        if bundle.state == "faded" and bundle.wood.promised_sticks:
            fading.append(f"{name} has faded, and {counted(bundle.wood.promised_sticks, 'stick')} of it were promised.")
    return tuple(map(plain, (*barred, *missing, *late, *fading, *to_come)))


def _bundle_key(bundle: Bundle, order: str) -> tuple[float, str]:
    wood = bundle.wood
    if order == "keeps":
        left = bundle.age.days_left
        return (_NEVER if left is None else left, "")
    if order == "check":
        return (_NEVER if bundle.due is None else bundle.due.toordinal(), "")
    if order == "sticks":
        return (-wood.sticks, "")
    word = {"species": wood.species, "kept": wood.kept, "variety": wood.variety}[order]
    return (0 if word else 1, word.casefold())


def bar_words(bundle: Wood, bar: SickBar, today: date) -> str:
    """ "barred: fire blight was seen on t1 on 4 May; use none of it, and give none away"."""
    seen = f"{bar.trouble.what} was seen on {bar.trouble.tree} on {short_day(bar.trouble.day, today)}"
    rest = "cut it elsewhere" if bundle.cut_on is None else "use none of it, and give none away"
    return plain(f"barred: {seen}; {rest}")


def bundles_text(records: Records, today: date, check_every_days: int | None, width: int, south: bool) -> str:
    """Each bundle with its sticks, then its age, where it is and whence, its promise, its last check and the next."""
    standing, barred = standing_ticks(records.ticks), barred_on(records, today, south)
    lines = []
    for bundle in records.wood:
        sticks = "  " + counted(bundle.sticks, "stick")
        head = plain(f"{bundle.id}  {bundle.variety}, {bundle.species}")
        lines.append(padded(head, width - len(sticks)) + sticks)
        told = bundle_words(bundle, checks_made(bundle.id, standing), check_every_days, today, barred.get(bundle.id))
        lines += wrapped(told, width, _INDENT)
    return "\n".join(lines) or "No wood is recorded yet."


def age_words(age: WoodAge) -> str:
    """ "fresh, 5 weeks old, 12 weeks left", "faded, 30 weeks old", or "not cut yet"."""
    if age.age_days is None or age.days_left is None:
        return "not cut yet"
    left = f", {length_words(age.days_left)} left" if age.days_left >= 0 else ""
    return f"{age.state}, {length_words(age.age_days)} old{left}"


def bundle_words(
    bundle: Wood,
    checks: tuple[WoodCheck, ...],
    check_every_days: int | None,
    today: date,
    bar: SickBar | None = None,
) -> str:
    """What bars it, age, whence, where, promised to whom, last check and next: one phrase each.

    Without a rhythm no check is due.
    """
    due = None if check_every_days is None else check_due(bundle, checks, check_every_days, today)
    told = ["" if bar is None else bar_words(bundle, bar, today), age_words(wood_age(bundle, today))]
    told += [f"from {bundle.came_from}" if bundle.came_from else "", asking_words(bundle, today), mother_words(bundle)]
    told += [f"kept {bundle.kept}" if bundle.kept else ""]
    if bundle.promised_sticks:
        told.append(f"{bundle.promised_sticks} promised" + (f" to {bundle.promised_to}" if bundle.promised_to else ""))
    if checks:
        told.append(f"checked {short_day(checks[-1].day, today)}: {checks[-1].found}")
    if due is not None:
        told.append(f"check {'was due' if due < today else 'due'} {format_day(due, today)}")
    return plain("; ".join(filter(None, told)))


def asking_words(bundle: Wood, today: date) -> str:
    """ "asked for Wed 12 Nov, no answer yet", "asked for Wed 12 Nov, promised", "asked for Wed 12 Nov, arrived"."""
    if bundle.asked_on is None and not bundle.answer:
        return ""
    arrived = bundle.cut_on is not None and bundle.cut_on <= today
    asked = "" if bundle.asked_on is None else f"asked for {format_day(bundle.asked_on, today)}, "
    return asked + ("arrived" if arrived else bundle.answer or "no answer yet")


def wood_page(records: Records, today: date, check_every_days: int | None, width: int, south: bool) -> str:
    """What presses, every bundle with its age and checks, and the balance of each variety."""
    if not records.wood and not any(graft.state == "planned" for graft in records.grafts):
        return "No wood is recorded yet. `tendwork bring wood.csv --as wood` brings it in."
    total = sum(bundle.sticks for bundle in records.wood)
    lines = [f"{counted(len(records.wood), 'bundle')}, {counted(total, 'stick')}"]
    for sentence in wood_warnings(records, today, bundles(records, today, check_every_days, south)):
        lines += wrapped(sentence, width, "! ")
    parts = [bundles_text(records, today, check_every_days, width, south)] if records.wood else []
    balances = wood_balance(records, today, barred_on(records, today, south))
    return "\n\n".join(["\n".join(lines), *parts, balance_text(balances, width)])


def wood_page_shape(records: Records, today: date, check_every_days: int | None, south: bool) -> Shape:
    """`wood --json`: the bundles, beside each its age and checks, the balances, and what presses."""
    held = bundles(records, today, check_every_days, south)
    beside = [
        {
            "state": bundle.state,
            "age_days": bundle.age.age_days,
            "days_left": bundle.age.days_left,
            "checks": json_rows(bundle.checks),
            "check_due": None if bundle.due is None else bundle.due.isoformat(),
            "barred": None if bundle.bar is None else bar_words(bundle.wood, bundle.bar, today),
            "asking": bundle.asking,
            "notes": list(bundle.notes),
        }
        for bundle in held
    ]
    return {
        "wood": [bundle | more for bundle, more in zip(json_rows(records.wood), beside, strict=True)],
        "balance": json_rows(wood_balance(records, today, barred_on(records, today, south))),
        "warnings": list(wood_warnings(records, today, held)),
        **swaps_shape(
            wishes_on(records, today, south), wood_offers(records, today, south), wood_parcels(records, today, south)
        ),
        "cut": json_rows(cutting_list(records, today, south)),
    }

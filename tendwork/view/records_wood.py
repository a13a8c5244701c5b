"""The wood as plain text: the balance of each variety, and each bundle with its age, checks and promises."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tendwork.orchard.records import Records, Wood
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.troubles import SickBar
from tendwork.orchard.wood_age import WoodAge, WoodCheck, check_due, checks_made, wood_age
from tendwork.orchard.wood_balance import GRAFTS_A_STICK, Balance, barred_words, warnings
from tendwork.planning.work_bars import barred_on
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import counted, format_day, length_words, short_day

BALANCE_COLUMNS = ("grafts", "needed", "held", "to come", "promised", "free", "missing")
_ASSUMED = f"Planned with {GRAFTS_A_STICK} grafts a stick; a bridge takes a whole one, a T-bud none."
_INDENT = "    "
_LEAST_NAME_COLUMNS = 16


def balance_cells(balance: Balance) -> tuple[int, ...]:
    """The figures of one variety, in the order of BALANCE_COLUMNS, all but the first in sticks."""
    return (
        balance.grafts,
        balance.needed,
        balance.held,
        balance.to_cut + balance.expected,
        balance.promised,
        balance.free,
        balance.missing,
    )


def balance_text(balances: Iterable[Balance], width: int) -> str:
    """A table of all varieties, or on a narrow page a line for each, then what to do about those that are short."""
    rows = tuple(balances)
    if not rows:
        return "No graft is planned and no wood is held."
    size = width - sum(len(name) + 2 for name in BALANCE_COLUMNS)
    lines = _balance_table(rows, size) if size >= _LEAST_NAME_COLUMNS else _balance_list(rows, width)
    sentences = [sentence for row in rows for sentence in (*warnings(row), barred_words(row)) if sentence]
    notes = [line for sentence in (*sentences, _ASSUMED) for line in wrapped(plain(sentence), width, "  - ")]
    return "\n".join([*lines, "", *notes])


def _balance_table(rows: tuple[Balance, ...], size: int) -> list[str]:
    lines = [padded("Sticks of", size) + "".join(f"  {name}" for name in BALANCE_COLUMNS)]
    for row in rows:
        cells = zip(BALANCE_COLUMNS, balance_cells(row), strict=True)
        figures = "".join("  " + padded(str(cell), len(head), True) for head, cell in cells)
        lines.append(padded(_variety(row), size) + figures)
    return lines


def _balance_list(rows: tuple[Balance, ...], width: int) -> list[str]:
    lines = []
    for row in rows:
        known = [f"{head} {cell}" for head, cell in zip(BALANCE_COLUMNS, balance_cells(row), strict=True) if cell]
        lines += wrapped(f"{_variety(row)}: {', '.join(known)}", width, "", _INDENT)
    return lines


def _variety(balance: Balance) -> str:
    return plain(f"{balance.variety}, {balance.species}")


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
    told += [f"from {bundle.came_from}" if bundle.came_from else "", f"kept {bundle.kept}" if bundle.kept else ""]
    if bundle.promised_sticks:
        told.append(f"{bundle.promised_sticks} promised" + (f" to {bundle.promised_to}" if bundle.promised_to else ""))
    if checks:
        told.append(f"checked {short_day(checks[-1].day, today)}: {checks[-1].found}")
    if due is not None:
        told.append(f"check {'was due' if due < today else 'due'} {format_day(due, today)}")
    return plain("; ".join(filter(None, told)))

"""The wood as two tables: its bundles with age and checks, and the balance of each variety."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from tendwork.orchard.records import Records, Wood
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.troubles import SickBar
from tendwork.orchard.wood_age import WoodAge, WoodCheck, check_due, checks_made, wood_age
from tendwork.orchard.wood_balance import Balance, barred_words, warnings, wood_balance
from tendwork.planning.work_bars import barred_on
from tendwork.view.records_wood import BALANCE_COLUMNS, balance_cells, bar_words, bundle_words
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.words import counted, full_day, length_words, short_day

BUNDLE_ORDERS = ("variety", "keeps", "check", "species", "sticks", "kept")
BALANCE_ORDERS = ("state", "variety")
USED_UP = "used up"
BARRED = "barred"
WOOD_MARKS = {
    "fresh": Mark("●", "#", "fresh"),
    "fading": Mark("◐", "=", "fading"),
    "not cut": Mark("○", "o", "not cut"),
    BARRED: Mark("■", "X", BARRED),
    "faded": Mark("×", "x", "faded"),
    USED_UP: Mark("−", "-", USED_UP),
}
BALANCE_MARKS = {
    "missing": Mark("◆", "!", "missing"),
    "to come": Mark("◇", "o", "to come"),
    "enough": Mark("✓", "+", "enough"),
}
_BUNDLE_COLUMNS = ("id", "variety", "species", MARK, "state", "sticks", "keeps", "check", "promised", "kept", "from")
_MOST_VARIETY_COLUMNS = 26
_NEVER = 10**6


class Bundle(Struct, frozen=True):
    """One bundle with what follows from its record. `state` is a key of WOOD_MARKS; `due` is the day of the next check.

    `bar` is why it must not be used, where it must not.
    """

    wood: Wood
    age: WoodAge
    state: str
    checks: tuple[WoodCheck, ...] = ()
    due: date | None = None
    bar: SickBar | None = None


def bundles(records: Records, today: date, check_every_days: int | None, south: bool) -> tuple[Bundle, ...]:
    """Every bundle in the order of entry; without a rhythm no check is due."""
    standing, barred = standing_ticks(records.ticks), barred_on(records, today, south)
    found = []
    for wood in records.wood:
        age, checks = wood_age(wood, today), checks_made(wood.id, standing)
        due = None if check_every_days is None else check_due(wood, checks, check_every_days, today)
        used_up = wood.sticks == 0 and wood.cut_on is not None
        bar = None if used_up else barred.get(wood.id)
        state = USED_UP if used_up else age.state if bar is None else BARRED
        found.append(Bundle(wood, age, state, checks, due, bar))
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
    wood, left, mark = bundle.wood, bundle.age.days_left, WOOD_MARKS[bundle.state]
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
    for check in reversed(bundle.checks):
        note = f" ({check.note})" if check.note else ""
        lines += wrapped(plain(f"{full_day(check.day)} checked: {check.found}{note}"), width)
    return lines


def balance_state(balance: Balance) -> str:
    """ "missing", "to come" or "enough"."""
    if balance.missing:
        return "missing"
    return "to come" if balance.needed + balance.promised > balance.held else "enough"


def balances_in_order(held: Iterable[Balance], order: str, backwards: bool = False) -> tuple[Balance, ...]:
    """In an order of BALANCE_ORDERS, of which "state" has what is missing first."""
    states = tuple(BALANCE_MARKS)

    def key(balance: Balance) -> tuple[int, str, str]:
        state = states.index(balance_state(balance)) if order == "state" else 0
        return state, balance.variety.casefold(), balance.species

    return tuple(sorted(held, key=key, reverse=backwards))


def balance_columns(held: Iterable[Balance], width: int) -> tuple[Column, ...]:
    """The columns that a page has room for: all figures before the words."""
    varieties = max((display_width(plain(balance.variety)) for balance in held), default=0)
    figures = {name: len(name) for name in BALANCE_COLUMNS}
    room = width - sum(size + 2 for size in figures.values()) - 2
    least = min(max(varieties, 8), 22, max(room, 8))
    wanted = {"variety": least, MARK: 1} | dict(reversed(figures.items())) | {"state": 7, "species": 12}
    in_order = ("variety", "species", MARK, "state", *BALANCE_COLUMNS)
    return lay_columns(wanted, in_order, width, "variety", _MOST_VARIETY_COLUMNS)


def balance_row(balance: Balance, columns: tuple[Column, ...], ascii_only: bool = False) -> str:
    """The row of a variety; a nought is left blank, so that what is there is seen."""
    mark = BALANCE_MARKS[balance_state(balance)]
    figures = dict(zip(BALANCE_COLUMNS, balance_cells(balance), strict=True))
    cells = {"variety": balance.variety, "species": balance.species, "state": mark.word}
    cells[MARK] = mark.ascii if ascii_only else mark.symbol
    cells |= {name: str(figure).rjust(len(name)) if figure else "" for name, figure in figures.items()}
    return row_line(columns, cells)


def balance_lines(records: Records, balance: Balance, width: int) -> list[str]:
    """What to do about a variety's wood, which grafts want it, and in which bundles it is."""
    trees = {tree.id: tree for tree in records.trees}
    lines = []
    for sentence in filter(None, (*(warnings(balance) or (_no_worry(balance),)), barred_words(balance))):
        lines += wrapped(plain(sentence), width)
    planned = [
        f"{graft.id} on {trees[graft.tree].name}" + (f" ({graft.method})" if graft.method else "")
        for graft in records.grafts
        if graft.state == "planned" and graft.variety == balance.variety and graft.tree in trees
        if trees[graft.tree].species == balance.species
    ]
    lines += wrapped(plain("; ".join(planned)), width, "Planned: ") if planned else []
    held = [
        f"{wood.id}, {counted(wood.sticks, 'stick')}"
        for wood in records.wood
        if (wood.variety, wood.species) == (balance.variety, balance.species)
    ]
    return lines + (wrapped(plain("; ".join(held)), width, "Bundles: ") if held else [])


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
    wanted = {(balance.variety, balance.species) for balance in balances if balance.needed or balance.promised}
    late, fading = [], []
    for bundle in held:
        name = f"{bundle.wood.variety} ({bundle.wood.id})"
        if bundle.due is not None and bundle.due < today:
            late.append(f"{name}: a check was due {short_day(bundle.due, today)}.")
        if (bundle.wood.variety, bundle.wood.species) in wanted and bundle.state == "fading":
            fading.append(f"{name} is fading: {length_words(bundle.age.days_left or 0)} left.")
        if bundle.state == "faded" and bundle.wood.promised_sticks:
            fading.append(f"{name} has faded, and {counted(bundle.wood.promised_sticks, 'stick')} of it were promised.")
    return tuple(map(plain, (*barred, *missing, *late, *fading, *to_come)))


def _no_worry(balance: Balance) -> str:
    free = f", {counted(balance.free, 'stick')} free" if balance.free else ""
    return f"Enough is held{free}."


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

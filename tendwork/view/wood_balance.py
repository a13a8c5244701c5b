"""The balance of the wood: of each variety what is needed, held, to come, promised and missing, in sticks."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.records import Graft, Records, Wood
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_balance import GRAFTS_A_STICK, Balance, barred_words, warnings
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, padded, plain, wrapped
from tendwork.view.words import counted

BALANCE_ORDERS = ("state", "variety")
BalanceState = Literal["missing", "to come", "enough"]
BALANCE_MARKS: dict[BalanceState, Mark] = {
    "missing": Mark("◆", "!", "missing"),
    "to come": Mark("◇", "o", "to come"),
    "enough": Mark("✓", "+", "enough"),
}
BALANCE_COLUMNS = ("grafts", "needed", "held", "to come", "promised", "free", "missing")
_ASSUMED = f"Calculated with {GRAFTS_A_STICK} grafts a stick; a bridge takes one, a summer bud none."
_INDENT = "    "
_MOST_VARIETY_COLUMNS = 26
_LEAST_NAME_COLUMNS = 16


def balance_state(balance: Balance) -> BalanceState:
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
    trees, keys = {tree.id: tree for tree in records.trees}, variety_keys(records)
    key = keys.of(balance.species, balance.variety)
    lines = []
    said = (*balance.unions, *(warnings(balance) or (_no_worry(balance),)), barred_words(balance))
    for sentence in filter(None, said):
        lines += wrapped(plain(sentence), width)
    planned = [
        f"{_id_and_name(graft, balance)} on {trees[graft.tree].name}" + (f" ({graft.method})" if graft.method else "")
        for graft in records.grafts
        if graft.state == "planned" and graft.tree in trees
        if keys.of(graft_species(graft, trees[graft.tree]), graft.variety) == key
    ]
    lines += wrapped(plain("; ".join(planned)), width, "Planned: ") if planned else []
    held = [
        f"{_id_and_name(wood, balance)}, {counted(wood.sticks, 'stick')}"
        for wood in records.wood
        if keys.of(wood.species, wood.variety) == key
    ]
    return lines + (wrapped(plain("; ".join(held)), width, "Bundles: ") if held else [])


def _id_and_name(record: Graft | Wood, balance: Balance) -> str:
    """ "w3", or "w3 (Bartlett)" where the variety is called otherwise there."""
    return record.id if record.variety == balance.variety else f"{record.id} ({record.variety})"


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
    sentences = [sentence for row in rows for sentence in (*row.unions, *warnings(row), barred_words(row)) if sentence]
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


def _no_worry(balance: Balance) -> str:
    if balance.summer_buds and not balance.needed and not balance.held:
        return (
            "Its buds are cut fresh in summer: no stored wood is needed. To bud in spring name the bundle in the graft."
        )
    spare = f"; {counted(balance.free, 'stick')} spare" if balance.free else ""
    return f"Enough wood{spare}."

"""Keep or cut: each graft with its crops, its neighbours in the season, and for what it would be missed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, get_args

from msgspec import Struct, to_builtins

from tendwork.orchard.number_words import number_word, place_word
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.verdicts import Suggestion
from tendwork.orchard.wording import counted, listed_in_short
from tendwork.planning.verdict_reasons import VerdictReasons, nothing_else_words, runs_words, until_words
from tendwork.view.json_shape import Shape
from tendwork.view.table import Column, lay_columns, row_line
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.words import span_words

Advice = Literal["cut", "keep", "wait", ""]
ADVICE: tuple[Advice, ...] = get_args(Advice)
"""What is suggested; nothing where it is judged already."""
VERDICT_ORDERS = ("advice", "variety", "score", "missed", "verdict", "tree")
_COLUMNS = ("id", "variety", "advice", "crops", "score", "others", "place", "missed", "verdict", "tree")
_MOST_VARIETY_COLUMNS = 28
_INDENT = " " * 4


class VerdictRow(Struct, frozen=True):
    """One graft with the reasons for its verdict."""

    graft: Graft
    tree: Tree
    reasons: VerdictReasons

    @property
    def id(self) -> str:
        return self.graft.id

    @property
    def suggestion(self) -> Suggestion | None:
        return self.reasons.suggestion

    @property
    def advice(self) -> Advice:
        return advice_of(self.reasons.suggestion)

    @property
    def state(self) -> str:
        """What its colour goes by."""
        return self.advice

    @property
    def words(self) -> str:
        """What a filter looks through."""
        graft, tree = self.graft, self.tree
        said = (graft.id, graft.variety, tree.name, self.reasons.species, graft.verdict, self.advice)
        return " ".join(said).casefold()


def advice_of(suggestion: Suggestion | None) -> Advice:
    """A suggestion in one word: "wait" for staying on trial."""
    if suggestion is None:
        return ""
    return "wait" if suggestion.suggested == "on trial" else suggestion.suggested


def verdict_rows(records: Records, reasons: Iterable[VerdictReasons]) -> tuple[VerdictRow, ...]:
    """A row for each graft, in the order of entry."""
    trees = {tree.id: tree for tree in records.trees}
    grafts = {graft.id: graft for graft in records.grafts}
    return tuple(VerdictRow(grafts[one.graft], trees[one.tree], one) for one in reasons)


def verdicts_in_order(rows: Iterable[VerdictRow], order: str, backwards: bool = False) -> tuple[VerdictRow, ...]:
    """In an order of VERDICT_ORDERS; what is judged already stands behind, whatever the order."""
    ordered = sorted(rows, key=lambda row: _key(row, order), reverse=backwards)
    return tuple(sorted(ordered, key=lambda row: row.suggestion is None))


def _key(row: VerdictRow, order: str) -> tuple[object, ...]:
    own: object
    if order == "advice":
        own = ADVICE.index(row.advice), not row.reasons.crops.years
    elif order == "score":
        own = -(row.reasons.crops.score or 0.0)
    elif order == "missed":
        missed = row.reasons.missed
        own = -sum((last - first).days for first, last in missed.alone), -len(missed.partner_of)
    elif order == "tree":
        own = row.tree.name.casefold()
    else:
        own = row.graft.verdict if order == "verdict" else row.graft.variety.casefold()
    return own, row.graft.variety.casefold(), row.graft.id


def verdict_columns(rows: Iterable[VerdictRow], width: int) -> tuple[Column, ...]:
    """The columns that a page has room for."""
    held = tuple(rows)
    ids = min(max((display_width(plain(row.graft.id)) for row in held), default=2), 10)
    varieties = max((display_width(plain(row.graft.variety)) for row in held), default=0)
    wanted = {"id": ids, "variety": min(max(varieties, 14), 20), "advice": 7, "missed": 14, "score": 6}
    wanted |= {"others": 6, "verdict": 8, "place": 7, "crops": 5, "tree": 14}
    return lay_columns(wanted, _COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def verdict_cells(row: VerdictRow, columns: tuple[Column, ...]) -> str:
    """The row of a graft: its own score, that of the others of its weeks, and the weeks that it alone fills."""
    crops, beside = row.reasons.crops, row.reasons.beside
    cells = {
        "id": row.graft.id,
        "variety": row.graft.variety,
        "advice": row.advice,
        "crops": str(len(crops.years)),
        "score": "" if crops.score is None else f"{crops.score:.1f}",
        "others": "" if beside.mean is None else f"{beside.mean:.1f}",
        "place": "" if beside.rank is None else f"{beside.rank} of {len(beside.scored) + 1}",
        "missed": _missed_cell(row.reasons),
        "verdict": row.graft.verdict,
        "tree": row.tree.name,
    }
    return row_line(columns, cells)


def _missed_cell(reasons: VerdictReasons) -> str:
    missed = reasons.missed
    if missed.alone:
        more = f" +{len(missed.alone) - 1}" if len(missed.alone) > 1 else ""
        return span_words(*missed.alone[0]) + more
    if missed.partner_of:
        return "as a partner"
    return "no" if missed.good else "not known"


def verdicts_summary(rows: Iterable[VerdictRow]) -> str:
    """The page in one sentence."""
    held = tuple(rows)
    if not held:
        return "No graft grows yet."
    number = {advice: sum(row.advice == advice for row in held) for advice in ADVICE}
    if number[""] == len(held):
        return "No graft is on trial."
    said = f"On trial: {number['cut']} to cut, {number['keep']} to keep, {number['wait']} to wait for. You decide."
    return f"{said} Judged: {number['']}." if number[""] else said


def verdict_lines(reasons: VerdictReasons, width: int) -> list[str]:
    """What is suggested and why, how it stands among those of its weeks, and what is missed once it is cut."""
    lines = [advice_words(reasons.suggestion) or f"Judged: {reasons.verdict}. {_crops_words(reasons)}"]
    lines += [_beside_words(reasons), _season_words(reasons), _bloom_words(reasons)]
    return [line for said in lines if said for line in wrapped(plain(said), width)]


def advice_words(suggestion: Suggestion | None) -> str:
    """ "Cut? 3 crops seen ... You decide."; empty where nothing is suggested."""
    advice = advice_of(suggestion)
    if suggestion is None or not advice:
        return ""
    return suggestion.because if advice == "wait" else f"{advice.capitalize()}? {suggestion.because} You decide."


def _crops_words(reasons: VerdictReasons) -> str:
    return reasons.crops.words if reasons.crops.words.endswith(".") else f"{reasons.crops.words}."


def _beside_words(reasons: VerdictReasons) -> str:
    beside, crops, species = reasons.beside, reasons.crops, reasons.species
    if not reasons.missed.good:
        return "When it ripens is not known, so there is nothing to compare it with."
    unscored = len(beside.unscored)
    if beside.mean is None:
        if not unscored:
            return f"No other variety of {species} that grows here is good to eat in the same weeks."
        have = "has" if unscored == 1 else "have"
        return f"{counted(unscored, 'other variety')} of {species} good in the same weeks {have} no score yet."
    number = len(beside.scored)
    others = f"{number_word(number)} other {'variety' if number == 1 else 'varieties'} of {species}"
    of = "the score" if number == 1 else "the mean"
    if crops.score is None:
        said = f"{of.capitalize()} of {others} good in the same weeks is {beside.mean:.1f}."
    else:
        place = f"{place_word(beside.rank or 1)} of {number_word(number + 1)}"
        said = f"{crops.score:.1f} against {beside.mean:.1f}, {of} of {others} good in the same weeks: {place}."
    return f"{said} {number_word(unscored).capitalize()} more not scored yet." if unscored else said


def _season_words(reasons: VerdictReasons) -> str:
    missed = reasons.missed
    if not missed.good:
        return "What the season would lose without it is not known."
    good = f"Good to eat in the weeks {runs_words(missed.good)}."
    if missed.same:
        return f"{good} {_grafts_words(missed.same)} of the same variety bears, too, and stays."
    if missed.alone:
        young = f" {_grafts_words(missed.young)} of the same variety does not bear yet." if missed.young else ""
        return f"{good} If it is cut, {nothing_else_words(missed)}{until_words(missed)}.{young}"
    fewest = f"at least {number_word(missed.fewest_others)} other{'' if missed.fewest_others == 1 else 's'}"
    are = "is" if missed.fewest_others == 1 else "are"
    return f"{good} If it is cut, {fewest} {are} good in each of these weeks ({listed_in_short(missed.others)})."


def _grafts_words(grafts: tuple[str, ...]) -> str:
    return f"{'Another graft' if len(grafts) == 1 else 'Each of the other grafts'} ({listed_in_short(grafts)})"


def _bloom_words(reasons: VerdictReasons) -> str:
    missed = reasons.missed
    if missed.same:
        return ""
    unknown = f"of {number_word(len(missed.not_known))} it is not known" if missed.not_known else ""
    if missed.partner_of:
        lose = "loses its" if len(missed.partner_of) == 1 else "lose their"
        said = f"If it is cut, {listed_in_short(missed.partner_of)} {lose} only known partner in bloom"
    else:
        said = "No variety is known to need it as its only partner in bloom"
    return f"{said}; {unknown}." if unknown else f"{said}."


def verdicts_text(rows: Iterable[VerdictRow], width: int) -> str:
    """Each graft with what there is to know for its verdict; of one without a crop, no more than that. You decide."""
    lines = []
    for row in verdicts_in_order(rows, "advice"):
        reasons = row.reasons
        name = f"{plain(row.graft.variety)} ({plain(row.graft.id)})"
        first, *more = verdict_lines(reasons, width=10_000)
        lines += wrapped(f"{name}: {first}", width, "", _INDENT)
        if reasons.crops.years:
            lines += [line for said in more for line in wrapped(said, width, _INDENT, _INDENT)]
    return "\n".join(lines) or "No graft grows yet."


def verdict_shape(reasons: VerdictReasons) -> Shape:
    """One of the "verdicts" of `fruit --json`."""
    shape: Shape = to_builtins(reasons)
    return {**shape, "advice": advice_of(reasons.suggestion)}

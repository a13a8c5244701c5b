"""What bars trees, in sentences: whole ones for what is held back, short ones beside a job that is not.

One spray of one day is one sentence, on however many trees it was; so is one sign of disease.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from msgspec import Struct

from tendwork.orchard.sprays import RETURN, SprayBar, days_not_noted
from tendwork.orchard.troubles import SickBar
from tendwork.orchard.wording import counted, listed, listed_in_short
from tendwork.planning.day_format import day_and_month


class Bar(Struct, frozen=True):
    """What bars one tree, or in a sentence of its own a bundle, and the first day on which it does no more.

    None is a day that is not known, or that never comes.
    """

    cause: SprayBar | SickBar | str
    until: date | None


class HoldWords:
    """Writes the sentences as of one day; `names` are what the trees are called."""

    def __init__(self, names: Mapping[str, str], today: date) -> None:
        self._names = names
        self._today = today

    def whole(self, bars: Iterable[Bar]) -> str:
        """Why a unit is held back."""
        said = []
        for cause, trees in _gathered(bars):
            if isinstance(cause, str):
                said.append(cause)
            else:
                said.append(self._spray(cause, trees) if isinstance(cause, SprayBar) else self._sick(cause, trees))
        return " ".join(dict.fromkeys(said))

    def short(self, bars: Iterable[Bar]) -> tuple[str, ...]:
        """What is barred beside a job: "Not Cherry before 20 Aug: sprayed with Slow on 20 Jul, 30 days."."""
        said = []
        for cause, trees in _gathered(bars):
            if isinstance(cause, str):
                said.append(cause)
            elif isinstance(cause, SprayBar):
                said.append(self._short_spray(cause, trees))
            else:
                said.append(self._short_sick(cause, trees))
        return tuple(dict.fromkeys(said))

    def blight(self, seen: Mapping[str, date]) -> str:
        """In which order to cut where fire blight was seen, by the tree; every one is named."""
        where = listed(f"on {self.name(tree)} on {self.day(day)}" for tree, day in seen.items())
        if len(seen) == 1:
            return f"Fire blight was seen {where}: do this tree last, and clean the blade before and after."
        return f"Fire blight was seen {where}: do these trees last, and clean the blade before and after each."

    def name(self, tree: str) -> str:
        return self._names.get(tree, tree)

    def day(self, day: date) -> str:
        return day_and_month(day) if day.year == self._today.year else f"{day_and_month(day)} {day.year}"

    def _trees(self, trees: Sequence[str]) -> str:
        return listed_in_short([self.name(tree) for tree in trees])

    def _spray(self, bar: SprayBar, trees: Sequence[str]) -> str:
        were, them, are = ("was", "it", "it is") if len(trees) == 1 else ("were", "them", "they are")
        sprayed = f"{self._trees(trees)} {were} sprayed with {bar.spray.product} on {self.day(bar.spray.day)}"
        if not bar.noted:
            return (
                f"{sprayed}, {days_not_noted(bar.spray)} not noted: read the label and note them with `tendwork spray`."
                f" Until then {are} barred, at most up to and including {self.day(bar.last)}."
            )
        label = f"its label says {counted(_label_days(bar), 'day')} to {bar.kind}"
        its = "its" if len(trees) == 1 else "their"
        barred = f"no work in {them}" if bar.kind == RETURN else f"none of {its} fruit is to be eaten"
        return f"{sprayed}: {label}, so {barred} up to and including {self.day(bar.last)}."

    def _sick(self, bar: SickBar, trees: Sequence[str]) -> str:
        seen = f"{bar.trouble.what} was seen on {self._trees(trees)} on {self.day(bar.trouble.day)}"
        seen = f"{seen[:1].upper()}{seen[1:]}"
        it, gives, them = ("it", "gives", "it") if len(trees) == 1 else ("they", "give", "them")
        if bar.until is None:
            return f"{seen}: a virus stays in a tree, so {it} never {gives} wood or buds again."
        return f"{seen}: a winter must pass first, so no wood or buds from {them} before {self.day(bar.until)}."

    def _short_spray(self, bar: SprayBar, trees: Sequence[str]) -> str:
        sprayed = f"sprayed with {bar.spray.product} on {self.day(bar.spray.day)}"
        if not bar.noted:
            return (
                f"Not {self._trees(trees)} yet: {sprayed}, {days_not_noted(bar.spray)} not noted;"
                " read the label and note them with `tendwork spray`."
            )
        days = counted(_label_days(bar), "day") + ("" if bar.kind == RETURN else " to harvest")
        return f"Not {self._trees(trees)} before {self.day(bar.until)}: {sprayed}, {days}."

    def _short_sick(self, bar: SickBar, trees: Sequence[str]) -> str:
        seen = f"{bar.trouble.what} was seen on {self.day(bar.trouble.day)}"
        when = "ever again" if bar.until is None else f"before {self.day(bar.until)}"
        return f"No wood or buds from {self._trees(trees)} {when}: {seen}."


def _label_days(bar: SprayBar) -> int:
    days = bar.spray.days_to_return if bar.kind == RETURN else bar.spray.days_to_harvest
    return days or 0


def _gathered(bars: Iterable[Bar]) -> list[tuple[SprayBar | SickBar | str, tuple[str, ...]]]:
    """The causes in their order, those that differ in their tree alone as one, each with its trees."""
    causes: dict[object, SprayBar | SickBar | str] = {}
    trees: dict[object, dict[str, None]] = {}
    for cause in (bar.cause for bar in bars):
        key: object = cause
        if isinstance(cause, SprayBar):
            product = " ".join(cause.spray.product.split()).casefold()
            key = cause.spray.day, product, cause.kind, cause.last, cause.noted, days_not_noted(cause.spray)
        elif isinstance(cause, SickBar):
            key = cause.trouble.what.casefold(), cause.trouble.day, cause.last
        causes.setdefault(key, cause)
        tree = "" if isinstance(cause, str) else (cause.spray if isinstance(cause, SprayBar) else cause.trouble).tree
        trees.setdefault(key, {})[tree] = None
    return [(cause, tuple(trees[key])) for key, cause in causes.items()]

"""The methods and wraps that rules know: the trade's own, and those of which a template says what to do."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.orchard.methods import METHODS, SAME_METHODS
from tendwork.orchard.records import Graft
from tendwork.orchard.wraps import SAME_WRAPS, WRAP_OFF, WRAPS
from tendwork.planning.vocabulary import UNKNOWN, Template


class RuleWords:
    """The words that templates know as `method` and `wrap`, beside those of the trade."""

    def __init__(self, templates: Iterable[Template]) -> None:
        self._known: dict[str, set[str]] = {"method": set(METHODS), "wrap": {*WRAPS, WRAP_OFF}}
        for template in templates:
            self._known["method"].update(template.where.method or ())
            if template.takes_wraps_off:
                self._known["wrap"].update(template.where.wrap or ())
        self._known = {field: {word.casefold() for word in words} - {UNKNOWN} for field, words in self._known.items()}
        self._folds: dict[tuple[str, ...], frozenset[str]] = {}

    def unknown_of(self, graft: Graft) -> tuple[str, ...]:
        """Which of "method" and "wrap" no rule knows of this graft: empty, or a word that nobody gave a rule."""
        return tuple(field for field in ("method", "wrap") if not self._knows(field, getattr(graft, field)))

    def fits(self, field: str, word: str, allowed: tuple[str, ...]) -> bool:
        """Whether a word, in whatever capitals, is among those allowed, or is one that nobody knows where that is."""
        return (
            word in allowed
            or (UNKNOWN in allowed and not self._knows(field, word))
            or (self._meant(field, word) in self._folded(allowed))
        )

    def _knows(self, field: str, word: str) -> bool:
        return self._meant(field, word) in self._known[field]

    def _meant(self, field: str, word: str) -> str:
        """The word in small letters, or the known method or wrap that is called so, too, where no rule has it."""
        folded = " ".join(word.casefold().split())
        also = SAME_WRAPS if field == "wrap" else SAME_METHODS
        return folded if folded in self._known[field] else also.get(folded, folded).casefold()

    def _folded(self, words: tuple[str, ...]) -> frozenset[str]:
        if words not in self._folds:
            self._folds[words] = frozenset(word.casefold() for word in words)
        return self._folds[words]

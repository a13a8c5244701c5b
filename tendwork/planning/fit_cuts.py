"""Whether work can fit at all, minutes taken as divisible: every set of days must hold the work that has only them.

Work that may be done on some days, and days that hold some minutes, are a transport network; the work fits if and only
if no cut of that network is smaller than the demand behind it (L. R. Ford and D. R. Fulkerson, Maximal flow through a
network, Canadian Journal of Mathematics 8, 1956; D. Gale, A theorem on flows in networks, Pacific Journal of
Mathematics 7, 1957). A week has seven days, so the cuts are few enough to keep all of them at hand; each then answers
at once whether one more placing leaves room for the rest, and the worst one says how much is too much, and by when.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

_OUT, _WHOLE, _LADDER = 0, 1, 2
_BYTES = 5  # of one field: seconds of many thousand years of work
_SIGN = 1 << (8 * _BYTES - 1)


class Cuts:
    """The slack of every cut. A day has time, part of which is fit for the ladder; days are bits of a mask.

    A cut takes from each day nothing, the whole of its time, or only what is fit for the ladder. All times are whole
    numbers of one unit. `held` is the state, to be noted and set back: the slacks of all cuts side by side in one whole
    number, a field for each, so that one subtraction changes them all; the top bit of a field is set while its slack is
    not negative.
    """

    def __init__(self, time: Sequence[int], ladder_time: Sequence[int]) -> None:
        choices = [
            (_OUT, _WHOLE, _LADDER) if 0 < ladder < whole else (_OUT, _WHOLE)
            for whole, ladder in zip(time, ladder_time, strict=True)
        ]
        self._lit = sum(1 << day for day, ladder in enumerate(ladder_time) if ladder > 0)
        self._whole: list[int] = []
        self._any: list[int] = []
        self._fields: dict[tuple[int, bool], int] = {}
        for cut in product(*choices):
            self._whole.append(sum(1 << day for day, choice in enumerate(cut) if choice == _WHOLE))
            self._any.append(sum(1 << day for day, choice in enumerate(cut) if choice != _OUT))
        self._signs = _joined(_SIGN for _ in self._any)
        self.held = self._signs
        for day, (whole, ladder) in enumerate(zip(time, ladder_time, strict=True)):
            lit_only = ((any_ & ~whole_) >> day & 1 for any_, whole_ in zip(self._any, self._whole, strict=True))
            self.held += whole * _joined(mask >> day & 1 for mask in self._whole) + ladder * _joined(lit_only)
        self._uses = {
            (day, ladder): _joined(mask >> day & 1 for mask in masks)
            for day in range(len(time))
            for ladder, masks in ((False, self._whole), (True, self._any))
        }

    def demand(self, days: int, ladder: bool, amount: int) -> None:
        """Ask for `amount` of time on `days`; a negative amount takes it back."""
        fields = self._fields.get((days, ladder))
        if fields is None:
            behind = (self.is_behind(cut, days, ladder) for cut in range(len(self._any)))
            fields = self._fields[(days, ladder)] = _joined(behind)
        self.held -= amount * fields

    def use(self, day: int, ladder: bool, amount: int) -> None:
        """Use `amount` of the time of a day; a negative amount gives it back."""
        self.held -= amount * self._uses[(day, ladder)]

    def is_behind(self, cut: int, days: int, ladder: bool) -> bool:
        """Whether work on `days` has no time outside the cut."""
        return (days & self._lit if ladder else days) & ~(self._any if ladder else self._whole)[cut] == 0

    @property
    def fits(self) -> bool:
        """Whether all that is asked for fits, if it may be divided at will."""
        return self.held & self._signs == self._signs

    @property
    def slack(self) -> list[int]:
        """The time that each cut has left, negative where it lacks some."""
        fields = self.held.to_bytes(_BYTES * len(self._any), "little")
        return [
            int.from_bytes(fields[start : start + _BYTES], "little") - _SIGN for start in range(0, len(fields), _BYTES)
        ]

    @property
    def lacking(self) -> int:
        """How much time is lacking: what the greatest flow leaves of the demand."""
        return max(0, -min(self.slack))


def _joined(values: Iterable[int]) -> int:
    return int.from_bytes(b"".join(int(value).to_bytes(_BYTES, "little") for value in values), "little")

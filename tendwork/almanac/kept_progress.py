"""How the buds went on in runs of days that were worked out before, found again by what they were worked out from.

Past seasons do not change, and as long as no day is measured or foreseen again, neither does this one. What a run of
days gives hangs on these days, the place's latitude and the season alone, so a mark of those finds it again, whatever
else has changed; a run of which any part is another has another mark, and is worked out.
"""

from __future__ import annotations

from array import array
from collections.abc import Mapping, Sequence
from hashlib import blake2b

from tendwork.almanac.development import MODELS, Progress, ways_forward
from tendwork.almanac.ensemble import Trace
from tendwork.almanac.seasons import Season

_MARK_BYTES = 16
_RUNS = MODELS + 1


class KeptProgress:
    """The ways forward of each season asked for. `held` are those of earlier, as `asked` had them then, by their marks.

    `asked` is what is to be kept on: all that was asked for since, whether it was found or made.
    """

    def __init__(self, held: Mapping[bytes, tuple[int, bytes]] | None = None) -> None:
        self._held = held or {}
        self.asked: dict[bytes, tuple[int, bytes]] = {}

    def ways_forward(
        self, known: Trace, coming: Sequence[Trace], season: Season, latitude_deg: float
    ) -> list[Progress]:
        """As the function of that name gives them."""
        mark = _mark(known, coming, season, latitude_deg)
        packed = self._held.get(mark)
        if packed is None:
            made = ways_forward(known, coming, season, latitude_deg)
            self.asked[mark] = _packed(made)
            return made
        self.asked[mark] = packed
        return _unpacked(*packed)


def _mark(known: Trace, coming: Sequence[Trace], season: Season, latitude_deg: float) -> bytes:
    digest = blake2b(f"{season.name} {season.south} {latitude_deg!r}".encode(), digest_size=_MARK_BYTES)
    for trace in (known, *coming):
        digest.update(len(trace.tmin_c).to_bytes(4, "big"))
        digest.update(array("d", trace.tmin_c))
        digest.update(array("d", trace.tmax_c))
    return digest.digest()


def _packed(ways: Sequence[Progress]) -> tuple[int, bytes]:
    """How many ways there are, and the days of all models and of the heat of each, one after the other."""
    runs = (days for progress in ways for days in (*progress.models, progress.heat))
    return len(ways), b"".join(array("d", days).tobytes() for days in runs)


def _unpacked(count: int, packed: bytes) -> list[Progress]:
    values = array("d", packed).tolist()
    days = len(values) // (count * _RUNS)
    runs = [values[number * days : (number + 1) * days] for number in range(count * _RUNS)]
    return [Progress(runs[way * _RUNS : way * _RUNS + MODELS], runs[way * _RUNS + MODELS]) for way in range(count)]

"""What followed from a tick, made as if the tick had not been: leniently, so that what was changed since is spared.

The records do not say what a tick changed: whoever keeps the acts hands that in.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from datetime import date

from msgspec import Struct
from msgspec.structs import asdict, replace

from tendwork.orchard.edits import Add, EditUnderWay, Named, Remove, Replace, Row
from tendwork.orchard.records import KIND_OF, Record, RecordKind
from tendwork.orchard.standing_ticks import TickKey, standing_tick

_COUNTED = frozenset({"sticks", "promised_sticks"})
"""Where several acts each take a few, taking one back puts its share back instead of the old total."""


class Followed(Struct, frozen=True):
    """One change that followed from a tick: the number of its row, and the record before and after; None for none."""

    row: int
    before: Record | None
    after: Record | None

    @property
    def kind(self) -> RecordKind:
        """The kind of the record."""
        return KIND_OF[type(self.after if self.before is None else self.before)]


class TickedActs(Struct, frozen=True):
    """What the acts tell of ticks: the changes that followed from each one that stands on a unit, oldest tick first.

    `rows` are the numbers of the rows of the kinds that were changed, in the order of the records.
    """

    followed: Mapping[TickKey, tuple[tuple[Followed, ...], ...]] = {}
    rows: Mapping[str, tuple[int, ...]] = {}


class TakingBack:
    """Takes back what followed from ticks, within an edit that otherwise removes nothing."""

    def __init__(self, edit: EditUnderWay, acts: TickedActs) -> None:
        self._edit = edit
        self._left = {key: list(layers) for key, layers in acts.followed.items()}
        self._rows = {kind: list(rows) for kind, rows in acts.rows.items()}

    def follow_ups(self, task: str, unit: str, ticks: int) -> None:
        """Take back what followed from so many of the newest ticks on this unit of this task, the newest first."""
        layers = self._left.get((task, unit), [])
        for _ in range(min(ticks, len(layers))):
            for change in reversed(layers.pop()):
                self._reverse(change)

    def tick(self, task: str, unit: str, day: date) -> bool:
        """Take back the newest tick that stands, dated `day`, and what followed from it; False where none stands."""
        tick = standing_tick(self._edit.records.ticks, task, unit)
        if tick is None:
            return False
        self.follow_ups(task, unit, 1)
        self._edit.make(Add(replace(tick, undone=True, day=day)))
        return True

    def _reverse(self, change: Followed) -> None:
        rows = self._rows[change.kind]
        place = bisect_left(rows, change.row)
        row = Row(change.row, place)
        is_there = place < len(rows) and rows[place] == change.row
        now: Record | None = getattr(self._edit.records, change.kind)[place] if is_there else None
        if change.before is None and now is not None:
            rows.pop(place)
            self._edit.make(Remove(now, row))
        elif change.after is None and change.before is not None and now is None:
            rows.insert(place, change.row)
            self._edit.make(Add(change.before, row))
        elif isinstance(now, Named) and change.before is not None and change.after is not None:
            restored = _restored(now, asdict(change.before), asdict(change.after))
            if restored != now:
                self._edit.make(Replace(restored))


def _restored(now: Named, before: dict[str, object], after: dict[str, object]) -> Named:
    """The record with those fields put back that are still as they were left, and counts by their difference."""
    fields: dict[str, object] = {}
    for name, value in before.items():
        left, held = after[name], getattr(now, name)
        if name in _COUNTED and isinstance(value, int) and isinstance(left, int):
            fields[name] = max(0, held + value - left)
        elif held == left:
            fields[name] = value
    return replace(now, **fields)

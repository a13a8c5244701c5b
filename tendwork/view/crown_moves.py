"""From graft to graft in the picture of a crown, as the arrow keys go."""

from __future__ import annotations

from tendwork.orchard.crown import SLOT_COLUMNS, Layout, Spot

_CELL_ASPECT = 2.0  # a terminal's cell is about twice as high as wide
_ASIDE = 2.0  # how much farther a graft seems that lies aside of the way


def neighbour(layout: Layout, chosen: str, down: int, right: int) -> str:
    """The graft that comes next one step `down` or `right` (1, 0 or -1); the chosen one itself where none does.

    Of grafts that share a slot, each is passed in turn. Without a chosen graft in the picture, the one nearest the
    trunk.
    """
    forward = down + right > 0
    here = next((spot for spot in layout.spots if chosen in spot.grafts), None)
    if here is None:
        row, column = layout.trunk
        start = Spot(row, column // SLOT_COLUMNS, ())
        nearest = min(layout.spots, key=lambda spot: sum(abs(part) for part in _way(start, spot)), default=None)
        return chosen if nearest is None else nearest.grafts[0]
    place = here.grafts.index(chosen) + (1 if forward else -1)
    if 0 <= place < len(here.grafts):
        return here.grafts[place]
    ahead = []
    for spot in layout.spots:
        to_down, to_right = _way(here, spot)
        along = to_down * down + to_right * right
        if along > 0:
            ahead.append((along + _ASIDE * abs(to_down * right + to_right * down), spot.row, spot.slot, spot))
    if not ahead:
        return chosen
    following = min(ahead, key=lambda entry: entry[:3])[3]
    return following.grafts[0 if forward else -1]


def _way(start: Spot, end: Spot) -> tuple[float, float]:
    """Down and to the right, in heights of a cell."""
    return end.row - start.row, (end.slot - start.slot) * SLOT_COLUMNS / _CELL_ASPECT

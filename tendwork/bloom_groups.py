"""The bloom groups of the British lists, 1 to 7 or A to G, in days: the measure of all that is said of bloom.

A group is four days: the one list that dates them has A at 1-3 May and G at 24-28 May, so the middles of its groups lie
4.0 days apart. That list is a hobby page; a nursery's five weeks from the earliest to the latest kind make it five days
at the most. For pears there is no such list: a group counts as in apples. Group 3 is the middle of the British lists,
and there the species stands; in pears that is C.
"""

from __future__ import annotations

DAYS_OF_A_GROUP = 4.0
_SPECIES_GROUP = 3.0


def days_of_group(group: float) -> float:
    """Days after its species that a variety of this group blooms; before it they are negative."""
    return DAYS_OF_A_GROUP * (group - _SPECIES_GROUP)


def group_of_days(days: float) -> float:
    """The group of a variety that blooms so many days after its species."""
    return _SPECIES_GROUP + days / DAYS_OF_A_GROUP

"""How a variety is called as a unit: by its name and species, and formerly by its place among all recorded ones."""

from __future__ import annotations

import re
from collections.abc import Iterable
from hashlib import blake2b


def variety_id(variety: str, species: str) -> str:
    """A variety's id, which can be typed and is the same whoever else is there: "clapp.pear".

    A name whose letters do not give it back, such as "Clapp's", has a mark of its own: "clapp-s-3f2a.pear".
    """
    slug = _slug(variety)
    if slug.replace("-", " ") != variety.casefold():
        slug += f"-{blake2b(variety.casefold().encode(), digest_size=2).hexdigest()}"
    return f"{slug}.{species.replace(' ', '-')}"


def former_variety_ids(varieties: Iterable[tuple[str, str]]) -> dict[tuple[str, str], str]:
    """The ids that varieties, each a name and a species, had by their place among them: ticks under them still count.

    The second of two names that look alike had a number.
    """
    taken: set[str] = set()
    return {variety: _free_slug(variety[0], taken) for variety in sorted(varieties)}


def may_be_former_id(unit: str) -> bool:
    """Whether varieties may have been ticked under this id before ids had their species in them."""
    return unit == _slug(unit)


def _slug(name: str) -> str:
    return re.sub(r"[^\w]+", "-", name.casefold()).strip("-") or "variety"


def _free_slug(name: str, taken: set[str]) -> str:
    slug = _slug(name)
    free, number = slug, 2
    while free in taken:
        free, number = f"{slug}-{number}", number + 1
    taken.add(free)
    return free

"""By which names a variety is the same one: its letters and digits alone, and the other names that lists know of it.

Two names are of one variety only within a species. What names a person gives one variety is in their own records
(orchard/variety_keys.py).
"""

from __future__ import annotations

from collections.abc import Mapping

from tendwork.plain_text import folded_name

Key = tuple[str, str]
"""The species of a variety and its name without case, accents and signs."""

_MEMORY, _NONE = "from memory", "no source"
_IN_LISTS = "the lists that have the variety"
OTHER_NAMES: Mapping[tuple[str, str], Mapping[str, str]] = {
    ("apple", "Adams's Pearmain"): {"Adam's Pearmain": _IN_LISTS},
    ("apple", "Akane"): {"Tokyo Rose": _IN_LISTS},
    ("apple", "Api"): {"Lady": _MEMORY},
    ("apple", "Baldwin"): {"Woodpecker": _NONE, "Butters": _NONE},
    ("apple", "Belle de Boskoop"): {"Boskoop": _NONE},
    ("apple", "Bramley's Seedling"): {"Bramley": _MEMORY},
    ("apple", "Fiesta"): {"Red Pippin": _MEMORY},
    ("apple", "King of Tompkins County"): {"Tompkins King": _NONE},
    ("apple", "Mutsu"): {"Crispin": _IN_LISTS},
    ("apple", "Newtown Pippin"): {"Yellow Newtown": _NONE, "Albemarle Pippin": _NONE},
    ("apple", "Pink Lady"): {"Cripps Pink": _MEMORY},
    ("apple", "Red Delicious"): {"Delicious": _IN_LISTS},
    ("apple", "Rome Beauty"): {"Rome": _IN_LISTS},
    ("apple", "Stayman"): {"Stayman Winesap": _IN_LISTS},
    ("apple", "Yellow Transparent"): {"Weisser Klarapfel": _NONE},
    ("pear", "Anjou"): {"Beurre d'Anjou": _NONE},
    ("pear", "Bartlett"): {
        "Williams' Bon Chretien": _NONE,
        "Williams": "Heritage Fruit Trees, undated; Woodbridge Fruit Trees, undated",
    },
    ("pear", "Beurre Hardy"): {"Hardy": _MEMORY},
    ("pear", "Bosc"): {"Kaiser Alexander": _NONE, "Beurre Bosc": _NONE},
    ("pear", "Doyenne du Comice"): {"Comice": _MEMORY},
    ("pear", "Graefin von Paris"): {"Comtesse de Paris": _NONE, "Gräfin von Paris": _NONE},
    ("pear", "Louise Bonne"): {"Gute Luise": _NONE},
    ("pear", "Packham's Triumph"): {"Packham": _MEMORY},
    ("plum", "Denniston's Superb"): {"Imperial Gage": _IN_LISTS},
    ("plum", "Farleigh Damson"): {"Farleigh": _MEMORY},
    ("plum", "Green Gage"): {"Reine Claude": _NONE},
    ("plum", "Pershore Yellow Egg"): {"Pershore": _MEMORY},
    ("peach", "Biscoe"): {"Bisco": _NONE},
    ("sweet cherry", "Napoleon"): {"Royal Ann": _NONE},
}
"""By (species, variety) as the lists call it: its other names, each with who gives it."""


def variety_key(species: str, name: str) -> Key:
    """What makes two spellings of a name in a species the same variety's."""
    return species, folded_name(name) or name.casefold()


def listed_names(species: str, name: str) -> tuple[str, ...]:
    """All names that lists know of the variety of this name, their own first; none where they know the one alone."""
    return _NAMES.get(variety_key(species, name), ())


_NAMES: dict[Key, tuple[str, ...]] = {
    variety_key(species, name): (variety, *others)
    for (species, variety), others in OTHER_NAMES.items()
    for name in (variety, *others)
}

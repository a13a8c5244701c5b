"""The stocks by the names that people write: what species each is, and how large the trees on it grow.

Of the heights that a source gives for a stock the lower one counts, to which a tree is kept that is pruned every year.
What species a stock is, is common knowledge of the trade, no source; where no source that we know says how large trees
grow on it, its size is None. What takes on it is in compatibility.py.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Literal, get_args

from msgspec import Struct

from tendwork.species import SPECIES

Size = Literal["small", "middle-sized", "large"]
SIZES: tuple[Size, ...] = get_args(Size)

Kind = Literal[
    "apple", "pear", "quince", "medlar", "hawthorn",
    "plum", "myrobalan", "japanese plum", "peach", "apricot", "mazzard", "sour cherry", "mahaleb", "hybrid cherry",
    "other",
]  # fmt: skip
"""What a scion is joined to: the wood of a species, or the group of a stock. Mazzard is the wood of the sweet cherry.

"other" is a stock that has a name and is of none of these, of which nothing is known here.
"""
_OWN: dict[str, Kind] = {"sweet cherry": "mazzard"}


class Stock(Struct, frozen=True):
    """A stock by its names, the kind of its wood, what its source says of the trees on it, and the size that follows.

    No species is all. No kind is that of the tree's own species, as of a seedling.
    """

    names: tuple[str, ...]
    kind: Kind | None
    said: str = ""
    size: Size | None = None
    source: str = ""
    species: tuple[str, ...] = ()


_RHS = "Royal Horticultural Society, Rootstocks, undated"
_HORNE_CREEK = "NC Historic Sites, Horne Creek, undated"
_EXTENSION = "apples.extension.org, undated"
_NO_SOURCE = "common practice, no source"
STOCKS: tuple[Stock, ...] = (
    Stock(("M.27", "EMLA 27", "Malling 27"), "apple", "1.5 to 1.8 m high", "small", _RHS),
    Stock(
        ("M.9", "M.9 T337", "M.26", "EMLA 9", "EMLA 26", "Malling 9", "Malling 26"),
        "apple",
        "2.4 to 3.6 m high",
        "small",
        _RHS,
    ),
    Stock(("G.41", "Geneva 41"), "apple", "as large as on M.9", "small", "NC-140 as a nursery quotes it, undated"),
    Stock(("B.9", "Bud 9", "Budagovsky 9"), "apple", "1.8 to 3 m high", "small", _HORNE_CREEK),
    Stock(("G.202", "Geneva 202"), "apple", "3.7 to 4.3 m high", "middle-sized", _HORNE_CREEK),
    Stock(("MM.106", "EMLA 106", "Malling Merton 106"), "apple", "3.6 to 5.4 m high", "middle-sized", _RHS),
    Stock(("M.7", "EMLA 7", "Malling 7"), "apple", "4.3 to 4.9 m high", "large", _HORNE_CREEK),
    Stock(("MM.111", "EMLA 111", "Malling Merton 111"), "apple", "4.6 to 7.6 m high", "large", _HORNE_CREEK),
    Stock(("M.25", "M.116", "P.22", "G.11", "G.16", "G.30", "G.210", "G.214", "G.890", "G.935", "G.969"), "apple"),
    Stock(("Geneva", "Bud 118", "B.118", "crab", "apple"), "apple"),
    Stock(("Antonovka", "Bittenfelder", "apple seedling"), "apple", "about 9 m high unpruned", "large", _EXTENSION),
    Stock(("seedling",), None, "about 9 m high unpruned", "large", _EXTENSION, ("apple",)),
    Stock(("Kirchensaller", "pear seedling"), "pear", "a tall tree", "large", _NO_SOURCE),
    Stock(("seedling",), None, "a tall tree", "large", _NO_SOURCE, ("pear", "sweet cherry")),
    Stock(("seedling",), None, species=tuple(one for one in SPECIES if one not in ("apple", "pear", "sweet cherry"))),
    Stock(("own roots", "own root"), None),
    Stock(("Pyrodwarf", "Pyro 2-33", "OHxF", "OH x F", "OHF", "pear"), "pear"),
    Stock(("Quince A",), "quince", "3 to 6 m high", "middle-sized", _RHS),
    Stock(("Quince C",), "quince", "3 to 5 m high", "middle-sized", _RHS),
    Stock(("BA 29", "Quince Adams", "Provence quince", "quince seedling", "quince", "EM A", "EM C"), "quince"),
    Stock(("hawthorn", "Crataegus"), "hawthorn"),
    Stock(("medlar seedling", "medlar"), "medlar"),
    Stock(("Pixy",), "plum", "a semi-dwarf tree", "middle-sized", _RHS),
    Stock(
        ("St Julien A", "Saint Julien A", "St Julian A", "Saint Julian A"),
        "plum",
        "a semi-vigorous tree",
        "large",
        _RHS,
    ),
    Stock(("Brompton",), "plum", "up to 6 m high", "large", _RHS),
    Stock(
        (
            "St Julien",
            "Saint Julien",
            "St Julian",
            "Saint Julian",
            "Wangenheim",
            "plum seedling",
            "European plum",
            "plum",
        ),
        "plum",
    ),
    Stock(("Myrobalan", "Myrobalan B", "Myro", "cherry plum", "Marianna"), "myrobalan"),
    Stock(("Japanese plum",), "japanese plum"),
    Stock(("Lovell", "Nemaguard", "Montclar", "Rubira", "GF 305", "peach seedling", "peach"), "peach"),
    Stock(("apricot seedling", "Manicot", "apricot"), "apricot"),
    Stock(("Mazzard", "F.12/1", "wild cherry", "gean", "sweet cherry"), "mazzard"),
    Stock(("sour cherry", "Morello seedling"), "sour cherry"),
    Stock(("Mahaleb", "SL 64", "St Lucie", "Saint Lucie"), "mahaleb"),
    Stock(("Gisela 5",), "hybrid cherry", "3 to 4 m high", "middle-sized", _RHS),
    Stock(("Colt",), "hybrid cherry", "6 to 8 m high", "large", _RHS),
    Stock(("Gisela", "Krymsk 5", "Krymsk 6", "MaxMa"), "hybrid cherry"),
    Stock(("Krymsk", "VVA-1", "GF 677", "Citation", "Adesoto"), "other"),
)


def own_kind(species: str) -> Kind:
    """The kind of a species' own wood, by a name of `tendwork.species`."""
    return _OWN.get(species) or _KINDS.get(species, "other")


def species_of(kind: Kind) -> str:
    """The species whose own wood a kind is; a kind that is of none is called by its own name."""
    return next((species for species in SPECIES if own_kind(species) == kind), kind)


@cache
def stock_named(word: str, species: str) -> Stock | None:
    """The stock that a person's word means for a species, in whatever spelling ("MM106", "m 9 emla"); None for none."""
    parts = _parts(word)
    found = [
        (max(map(len, named)), -place, stock)
        for place, stock in enumerate(STOCKS)
        if not stock.species or species in stock.species
        if (named := [name for name in stock.names if _named_in(parts, name)])
    ]
    return max(found)[-1] if found else None


_KINDS: dict[str, Kind] = {kind: kind for kind in get_args(Kind)}


def _parts(word: str) -> list[str]:
    return re.findall(r"[a-z]+|[0-9]+", word.casefold())


def _named_in(parts: list[str], name: str) -> bool:
    """Whether the letters and numbers of a name stand together in those of a word."""
    wanted = _parts(name)
    return any(parts[at : at + len(wanted)] == wanted for at in range(len(parts)))

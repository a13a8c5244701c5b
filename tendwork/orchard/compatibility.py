"""What takes on what: a table of scion on stock, each row with its source and that source's grade. No code decides.

Grades: A an extension service, a university or a journal; B a learned society, a nursery, the trade press or an old
textbook; C growers in a forum or on a list; "" from memory, no source. Where sources disagree the row has what the
better grade says, among equals the worse, and `others` what the other side says. A pair that no row has is not known,
which is never "takes".
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from typing import Literal, get_args

from msgspec import Struct

from tendwork.orchard.stocks import Kind, own_kind
from tendwork.plain_text import without_accents
from tendwork.species import SPECIES
from tendwork.variety_names import listed_names

Verdict = Literal[
    "takes as a rule", "depends on the variety", "takes but short-lived or unreliable", "does not take", "not known"
]
PAIR_VERDICTS: tuple[Verdict, ...] = get_args(Verdict)
TAKES, DEPENDS, SHORT, NOT, UNKNOWN = PAIR_VERDICTS
Grade = Literal["A", "B", "C", ""]

FROM_MEMORY = "from memory, no source"
POME: tuple[Kind, ...] = ("apple", "pear", "quince", "medlar", "hawthorn")
STONE: tuple[Kind, ...] = (
    "plum", "myrobalan", "japanese plum", "peach", "apricot", "mazzard", "sour cherry", "mahaleb", "hybrid cherry"
)  # fmt: skip
PROVEN_YEARS = 10
"""Who has stood so long on a stock that suits some varieties is one of these: the latest failure published of pear on
quince; for the other pairs, of which none is published, our own bound."""


class Said(Struct, frozen=True):
    """What one source says of a variety on a stock: that it takes there, or that it does not."""

    takes: bool
    source: str


class Varietal(Struct, frozen=True):
    """A variety that sources name, by its names, and what each of them says of it."""

    names: tuple[str, ...]
    said: tuple[Said, ...]


class Pair(Struct, frozen=True):
    """A species on one or several stocks. `fails_after` is after how many years a failure may show.

    `others` is what another source says, `why` adds a fact in words that follow the verdict, `bridges` are the
    varieties that stand between the two (interstem). `late_grade` is the grade of who says how late.
    """

    scion: str
    stocks: tuple[Kind, ...]
    verdict: Verdict
    source: str = FROM_MEMORY
    grade: Grade = ""
    why: str = ""
    others: tuple[Verdict, str] | None = None
    fails_after: tuple[int, int] | None = None
    late_grade: Grade = ""
    bridges: tuple[str, ...] = ()
    varieties: tuple[Varietal, ...] = ()


_WITHIN = "University of New Hampshire, Grafting Fruit Trees in the Home Orchard, undated"
_BAILEY = "L. H. Bailey, The Apple-Tree, 1922"
_WICKSON = "E. J. Wickson, California Fruits, undated"
_HERITAGE = "Heritage Fruit Trees, undated"
_WOODBRIDGE = "Woodbridge Fruit Trees, undated"
_KEEPERS = "Keepers Nursery, undated"
_WALCOT = "Walcot Nursery, undated"
_ORGANIC = "an organic orchard text, undated"
_MAPLE_GROVE = "Maple Grove Nursery, undated"
_PNW_619 = "Oregon State University, PNW 619, 2021"
_MAHALEB = "Raptopoulos and Kantartzis, abstract, undated"
_KRYMSK = "Sierra Gold Trees, undated"
_MARIANNA = "Raintree Nursery, undated"
_CUMMINS = "owner of Cummins Nursery, NAFEX list, 2001"
_NAFEX = "NAFEX list, 2011"
_FORUM = "growers at growingfruit.org, undated"
_GARDENWEB = "growers at GardenWeb, undated"
_CULTIVAR_GUIDE = "cultivar.guide, undated"

_ON_QUINCE = (
    Varietal(("Beurré Hardy", "Hardy"), (Said(True, _HERITAGE), Said(True, _WOODBRIDGE))),
    Varietal(("Comice",), (Said(True, _HERITAGE), Said(True, _WOODBRIDGE))),
    Varietal(("Conference",), (Said(True, _HERITAGE), Said(False, _WOODBRIDGE))),
    Varietal(("Winter Nelis",), (Said(True, _HERITAGE), Said(False, _WOODBRIDGE))),
    Varietal(("Packham",), (Said(False, _HERITAGE), Said(True, _WOODBRIDGE))),
    Varietal(("Williams", "Bartlett"), (Said(False, _HERITAGE), Said(False, _WOODBRIDGE))),
    Varietal(("Bosc",), (Said(False, _HERITAGE), Said(False, _WOODBRIDGE))),
)


def own_pairs(species: Iterable[str]) -> tuple[Pair, ...]:
    """Each of these species on its own kind; "other" is no species' own, for nothing is known of what it is."""
    own = ((one, own_kind(one)) for one in species)
    why = "it is the same species"
    return tuple(Pair(one, (kind,), TAKES, _WITHIN, "A", why=why) for one, kind in own if kind != "other")


PAIRS: tuple[Pair, ...] = (
    Pair("apple", ("pear",), NOT, others=(SHORT, FROM_MEMORY)),
    Pair("apple", ("quince", "hawthorn"), NOT),
    Pair("pear", ("apple",), SHORT, _BAILEY, "B"),
    Pair(
        # how late: a nursery quoted at the forum of the Home Orchard Society, undated
        "pear", ("quince",), DEPENDS, f"{_HERITAGE}; {_WOODBRIDGE}", "B",
        fails_after=(8, 10), late_grade="C", bridges=("Beurré Hardy", "Comice"), varieties=_ON_QUINCE,
    ),
    Pair("pear", ("hawthorn",), SHORT, others=(DEPENDS, FROM_MEMORY)),
    Pair("pear", ("peach",), NOT, _WICKSON, "B"),
    Pair("quince", ("apple",), NOT),
    Pair("quince", ("pear",), SHORT, _FORUM, "C", fails_after=(2, 3), late_grade="C"),
    Pair("quince", ("hawthorn",), TAKES, _NAFEX, "C"),
    Pair("medlar", ("apple",), NOT),
    Pair("medlar", ("pear",), DEPENDS, _KEEPERS, "B", others=(TAKES, FROM_MEMORY)),
    Pair("medlar", ("quince", "hawthorn"), TAKES, _KEEPERS, "B"),
    Pair("plum", ("plum",), TAKES, _WALCOT, "B"),
    Pair("plum", ("myrobalan",), TAKES, _ORGANIC, "B"),
    Pair("plum", ("japanese plum",), SHORT, _FORUM, "C", why="it often fails over time"),
    Pair("plum", ("peach",), DEPENDS, _ORGANIC, "B", why="most plums and prunes take"),
    Pair("plum", ("apricot",), SHORT, others=(DEPENDS, FROM_MEMORY)),
    Pair("plum", ("mazzard", "mahaleb", "hybrid cherry"), NOT),
    Pair("japanese plum", ("plum",), DEPENDS, _FORUM, "C"),
    Pair("japanese plum", ("myrobalan",), TAKES, _ORGANIC, "B"),
    Pair("japanese plum", ("peach",), TAKES, f"{_FORUM}; {_CULTIVAR_GUIDE}", "C"),
    Pair("japanese plum", ("apricot",), DEPENDS),
    Pair("japanese plum", ("mazzard", "mahaleb", "hybrid cherry"), NOT),
    Pair("sweet cherry", ("plum",), NOT, _MAPLE_GROVE, "B", why="cherries take on cherry stocks only"),
    Pair("sweet cherry", ("myrobalan", "japanese plum", "peach", "apricot"), NOT),
    Pair("sweet cherry", ("mazzard",), TAKES, _PNW_619, "A"),
    Pair(
        "sweet cherry", ("mahaleb",), DEPENDS, f"{_PNW_619}; {_MAHALEB}", "A",
        fails_after=(6, 6), late_grade="A",
    ),
    Pair("sweet cherry", ("hybrid cherry",), DEPENDS, _PNW_619, "A", others=(TAKES, f"{_KRYMSK}, of Krymsk 5")),
    Pair("sour cherry", ("plum", "myrobalan", "japanese plum", "peach", "apricot"), NOT),
    Pair("sour cherry", ("mazzard", "hybrid cherry"), TAKES),
    Pair("sour cherry", ("mahaleb",), TAKES, _MAHALEB, "A"),
    Pair("peach", ("plum",), DEPENDS, _MAPLE_GROVE, "B", others=(TAKES, FROM_MEMORY)),
    Pair(
        "peach", ("myrobalan",), DEPENDS, _MARIANNA, "B",
        why="on Marianna some peaches live, and winter grafts rarely take", others=(NOT, _GARDENWEB),
    ),
    Pair("peach", ("japanese plum",), SHORT, others=(DEPENDS, FROM_MEMORY)),
    Pair("peach", ("apricot",), SHORT, _FORUM, "C"),
    Pair("peach", ("mazzard", "mahaleb", "hybrid cherry"), NOT),
    Pair("apricot", ("plum", "myrobalan"), DEPENDS, f"{_MAPLE_GROVE}; {_CUMMINS}", "B", why="weak unions may snap"),
    Pair("apricot", ("japanese plum",), DEPENDS),
    Pair("apricot", ("peach",), DEPENDS, _CULTIVAR_GUIDE, "C", others=(TAKES, FROM_MEMORY)),
    Pair("apricot", ("mazzard", "mahaleb", "hybrid cherry"), NOT),
    *own_pairs(SPECIES),
    *(Pair(one, STONE, NOT) for one in SPECIES if one in POME),
    *(Pair(one, POME, NOT) for one in SPECIES if own_kind(one) in STONE),
)  # fmt: skip
"""The first row of a pair counts."""


@cache
def pair_of(scion: str, kind: Kind) -> Pair:
    """The row of a species on a stock; where there is none, one that says that it is not known."""
    found = (pair for pair in PAIRS if pair.scion == scion and kind in pair.stocks)
    return next(found, Pair(scion, (kind,), UNKNOWN, ""))


def varietal_of(pair: Pair, variety: str) -> Varietal | None:
    """What sources say of a variety in this row; "Doyenné du Comice" is Comice. None where they say nothing."""
    return next((one for one in pair.varieties if names_any(variety, one.names, pair.scion)), None)


def names_any(text: str, names: tuple[str, ...], species: str) -> bool:
    """Whether a text is one of these names of varieties, or another name that lists know of one of them.

    The whole of it: one word of a name may be of another variety. Case, accents and a possessive s do not matter, nor
    that it says of what species it is, or that it is an interstem.
    """
    own = _called(text, species)
    return any(own & _called(name, species) for name in names)


def _called(text: str, species: str) -> set[str]:
    """All names of a variety, as they are compared."""
    plain_words = [word for word in without_accents(text).split() if word.strip("(),") not in (species, "interstem")]
    text = " ".join(plain_words)
    return {_bare(name) for name in (text, *listed_names(species, text))} - {""}


def _bare(name: str) -> str:
    words = re.findall(r"[^\W_]+", re.sub("['’‘`]", "", without_accents(name)))
    return " ".join(word.removesuffix("s") for word in words)

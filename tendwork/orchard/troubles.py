"""Which trees give no buds and no wood, for what was seen on them.

Fire blight: no wood from a tree with strikes that season, even where they were cut out; mark the tree and let one
winter pass (Washington State University Extension, T. Smith, "Bark Grafting", undated). The same is held of canker, gum
and dieback (common practice: no wood with canker or ooze; California Rare Fruit Growers, San Diego, undated). A virus
stays in the tree, so that mosaic or rings bar it for good (common practice, no source).

A tree at rest gets no new strikes: fire blight that is found on one grew in the summer before, and counts from then.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct

from tendwork.orchard.records import FIRE_BLIGHT, SIGNS, TROUBLES, Records, Trouble, Wood
from tendwork.orchard.tree_names import TreesByWord

MOSAIC = "mosaic or rings"
DORMANT_DAYS = 212
"""From a season's first day until its dormant wood is surely cut, 1 June in the north: our own choice."""

AT_REST_DAYS = 120
"""From a season's first day until shoots may be struck again, the end of February in the north: our own choice."""

_SAME = {
    "fire blight": ("fireblight", "blight", "erwinia", "erwinia amylovora"),
    "canker": ("cankers", "bacterial canker", "bacterial cankers", "nectria canker", "european canker"),
    "gum": ("gummosis", "gumming", "gum flow"),
    "mosaic or rings": (
        "mosaic", "mosaics", "mosaic virus", "rings", "ring spot", "ring spots", "ringspot", "ringspots",
        "virus", "viruses", "sharka", "plum pox",
    ),
    "dieback": ("die back", "diebacks", "dying back"),
    "gnawed bark": (
        "gnawed", "gnawing", "girdled", "vole", "voles", "vole damage", "mice", "rabbit", "rabbits", "rabbit damage",
        "hares", "deer", "rodents", "tooth marks",
    ),
    "storm": (
        "storms", "gale", "gales", "wind", "windstorm", "thunderstorm", "hail", "snow", "heavy snow", "snow load",
        "ice", "ice storm", "glaze",
    ),
}  # fmt: skip
"""What else the trade calls one of SIGNS."""
_KNOWN = {word: sign for sign in SIGNS for word in (sign, *_SAME[sign])}

FirstDay = Callable[[date], date]
"""Gives the first day of the season that a day falls in."""


class SickBar(Struct, frozen=True):
    """What keeps a tree from giving wood: the sign, and the `last` day of it; None where it is for good."""

    trouble: Trouble
    last: date | None

    @property
    def until(self) -> date | None:
        """The first day on which its wood may be taken; None where that day never comes."""
        return None if self.last is None else self.last + timedelta(days=1)


def counts_from(trouble: Trouble, first_day: FirstDay) -> date:
    """The day whose season a sign counts for: its own, or the last one of growth for fire blight on a tree at rest."""
    start = first_day(trouble.day)
    is_at_rest = sign_of(trouble) == FIRE_BLIGHT and trouble.day < start + timedelta(days=AT_REST_DAYS)
    return start - timedelta(days=1) if is_at_rest else trouble.day


def fire_blight_seen(
    troubles: Iterable[Trouble], tree: str, is_then: Callable[[date], bool], first_day: FirstDay
) -> date | None:
    """The last day on which strikes of such a time were seen: then bleach cleans its blades, and alcohol does not."""
    return max(_fire_blight_days(troubles, tree, is_then, first_day), default=None)


def fire_blight_first_seen(
    troubles: Iterable[Trouble], tree: str, is_then: Callable[[date], bool], first_day: FirstDay
) -> date | None:
    """The first day on which strikes of such a time were seen on a tree."""
    return min(_fire_blight_days(troubles, tree, is_then, first_day), default=None)


def _fire_blight_days(
    troubles: Iterable[Trouble], tree: str, is_then: Callable[[date], bool], first_day: FirstDay
) -> Iterator[date]:
    for held in troubles:
        if held.tree == tree and sign_of(held) == FIRE_BLIGHT and is_then(counts_from(held, first_day)):
            yield held.day


def sign_of(trouble: Trouble) -> str:
    """Which of TROUBLES it is, by whatever word; empty for what is no disease, or a person's own: that bars nothing."""
    sign = sign_named(trouble.what)
    return sign if sign in TROUBLES else ""


def sign_named(word: str) -> str:
    """Which of SIGNS a word means, in whatever capitals and with or without hyphens; empty for a person's own."""
    return _KNOWN.get(" ".join(word.replace("-", " ").split()).casefold(), "")


def signs_seen(troubles: Iterable[Trouble], tree: str | None = None) -> frozenset[str]:
    """Which of SIGNS were ever seen on a tree, or on any of the place where None is named."""
    return frozenset(sign_named(held.what) for held in troubles if tree in (None, held.tree)) - {""}


def bar_on(troubles: Iterable[Trouble], tree: str, day: date, first_day: FirstDay) -> SickBar | None:
    """Why a tree gives no wood on a day; of several signs the one that bars it longest."""
    bars = [
        SickBar(trouble, _last_day(trouble, first_day))
        for trouble in troubles
        if trouble.tree == tree and sign_of(trouble) and trouble.day <= day
    ]
    return _longest(bar for bar in bars if bar.last is None or bar.last >= day)


def bundle_bar(
    troubles: Iterable[Trouble], bundle: Wood, trees: Collection[str], day: date, first_day: FirstDay
) -> SickBar | None:
    """Why a bundle must not be used: one of the `trees` that it may be from bars wood now, or did when it was cut.

    The wood itself stays barred, whatever becomes of its tree.
    """
    cut = bundle.cut_on or day
    found = []
    for trouble in troubles:
        if trouble.tree not in trees or not sign_of(trouble):
            continue
        last = _last_day(trouble, first_day)
        if last is None or first_day(counts_from(trouble, first_day)) <= cut <= last:
            found.append(SickBar(trouble, None if bundle.cut_on is not None else last))
    return _longest(found)


def barred_wood(records: Records, day: date, first_day: FirstDay) -> dict[str, SickBar]:
    """Every bundle that must not be used, by its id; one may say whence it came by a tree's id or by its name."""
    found = {}
    by_word = TreesByWord(records.trees)
    for bundle in records.wood if records.troubles else ():
        bar = bundle_bar(records.troubles, bundle, by_word.meant(bundle.came_from), day, first_day)
        if bar is not None:
            found[bundle.id] = bar
    return found


def _last_day(trouble: Trouble, first_day: FirstDay) -> date | None:
    """The end of the dormant time of the season after the one that the sign counts for."""
    if sign_of(trouble) == MOSAIC:
        return None
    start = first_day(counts_from(trouble, first_day))
    return start.replace(year=start.year + 1) + timedelta(days=DORMANT_DAYS - 1)


def _longest(bars: Iterable[SickBar]) -> SickBar | None:
    return max(bars, key=lambda bar: (bar.last or date.max, bar.trouble.day), default=None)

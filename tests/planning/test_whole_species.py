"""A species stands in a few tables and in the templates that are meant for it: what one lacks is said in sentences."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from shipped import BUD_METHODS, SPRING_METHODS, TEMPLATES, WRAPS, chosen, fits, offering

from tendwork.almanac.callus import callus_range
from tendwork.almanac.requirements import heat_to_bloom, share_of_bloom
from tendwork.almanac.shoot_stop import NEEDS
from tendwork.orchard.compatibility import POME, STONE
from tendwork.orchard.stocks import own_kind, stock_named
from tendwork.orchard.wood_age import KEEPING
from tendwork.planning.vocabulary import UNKNOWN
from tendwork.species import SPECIES, STAGES


def _own_wood(species: str) -> str:
    kind = own_kind(species)
    if kind == "other":
        raise KeyError(species)
    return kind


def _stock_of_its_own(species: str) -> str:
    stock = stock_named(species, species)
    if stock is None or stock.kind != own_kind(species):
        raise KeyError(species)
    return stock.names[0]


TABLES: dict[str, Callable[[str], object]] = {
    "its family in FAMILIES of tendwork/species.py": SPECIES.index,
    "its stages in STAGES of tendwork/species.py": STAGES.__getitem__,
    "its heat to full bloom in _HEAT_TO_FULL_BLOOM of tendwork/almanac/requirements.py": heat_to_bloom,
    "its shares in _SHARES, or its model in _LIKE, of tendwork/almanac/requirements.py": lambda of: share_of_bloom(
        of, 65
    ),
    "when its shoots stop in NEEDS of tendwork/almanac/shoot_stop.py": NEEDS.__getitem__,
    "its callus weather in _RANGES of tendwork/almanac/callus.py": callus_range,
    "how long its wood keeps in KEEPING of tendwork/orchard/wood_age.py": KEEPING.__getitem__,
    "the kind of its wood in Kind of tendwork/orchard/stocks.py": _own_wood,
    "a stock of its own wood in STOCKS of tendwork/orchard/stocks.py": _stock_of_its_own,
    "the family of its wood in POME or STONE of tendwork/orchard/compatibility.py": lambda of: (*POME, *STONE).index(
        own_kind(of)
    ),
}


SET_IN_JUNE_TOO = ("peach", "apricot", "japanese plum")
"""Their summer buds are set in June in hot places (Galveston County, GC-310), and may be once more in late summer."""


def absent(species: str) -> Iterator[str]:
    for what, found in TABLES.items():
        try:
            found(species)
        except (KeyError, ValueError):
            yield f"{species} lacks {what}"


def without_share(species: str) -> Iterator[str]:
    for stage, _, code in STAGES[species]:
        if 0 < code < 90 and share_of_bloom(species, code) is None:
            yield f"{species} has no share for {stage} (BBCH {code}) in _SHARES of tendwork/almanac/requirements.py"


def without_template(species: str) -> Iterator[str]:
    def counted(wanted: int, found: int, job: str) -> Iterator[str]:
        if found != wanted:
            yield f"{species}: {found} templates {job}, where there should be {wanted}"

    cutting = [t for t in TEMPLATES if t.each == "variety" and "cut" in t.outcomes and fits(t.where.species, species)]
    yield from counted(1, len(cutting), "cut its wood")
    for method in (*SPRING_METHODS, *BUD_METHODS):
        ways = 2 if method in BUD_METHODS else 1  # buds are set in spring or in summer
        ways += method in BUD_METHODS and species in SET_IN_JUNE_TOO
        setting = offering("set", chosen(species, "planned", method))
        yield from counted(ways, len(setting), f"set its {method} grafts")
        if not offering("took", chosen(species, "set", method)):
            yield f"{species}: no template looks whether its {method} grafts took"
    for method in (*SPRING_METHODS, *BUD_METHODS, UNKNOWN):
        for wrap in WRAPS:
            taking_off = offering("off", chosen(species, "took", method, wrap))
            yield from counted(1, len(taking_off), f"take {wrap} off its {method} grafts")


@pytest.mark.parametrize("species", SPECIES)
def test_a_species_stands_in_every_table_and_has_templates_from_its_wood_to_its_wrap(
    species: str,
) -> None:
    lacking = [*absent(species)] or [*without_share(species), *without_template(species)]
    assert not lacking, "\n".join(lacking)


def test_a_species_that_stands_nowhere_is_told_every_place() -> None:
    assert len([*absent("oak")]) == len(TABLES)
    assert "oak: 0 templates cut its wood, where there should be 1" in [*without_template("oak")]
    assert "oak: 0 templates set its cleft grafts, where there should be 1" in [*without_template("oak")]

"""The species and their bud stages: the words that every other package shares.

Stage names are the trade's (Chapman & Catlin 1976 and the extension guides that follow it); BBCH codes are our own
reading of the BBCH wording, since no published page maps trade names to codes.
"""

from __future__ import annotations

FAMILIES: tuple[tuple[str, ...], ...] = (
    ("apple", "pear", "quince", "medlar"),
    ("plum", "japanese plum", "sweet cherry", "sour cherry", "peach", "apricot"),
)
"""The species by family, pome and stone: within one a variety may be grafted from one species onto another."""
SPECIES: tuple[str, ...] = tuple(species for family in FAMILIES for species in family)


def family_of(species: str) -> tuple[str, ...]:
    """The species of the same family; itself is one of them."""
    return next((family for family in FAMILIES if species in family), (species,))


# (stage name, other names in use, BBCH code of its beginning), in the order in which the buds pass through them.
StageRow = tuple[str, tuple[str, ...], int]

_APPLE: tuple[StageRow, ...] = (
    ("dormant", (), 0),
    ("silver tip", ("bud swell", "swollen bud"), 51),
    ("green tip", ("bud burst", "bud break"), 53),
    ("half-inch green", ("mouse-ear",), 54),
    ("tight cluster", ("green cluster",), 55),
    ("pink", ("first pink", "pink bud"), 57),
    ("full pink", ("open cluster",), 59),
    ("first bloom", ("king bloom",), 60),
    ("full bloom", ("bloom",), 65),
    ("petal fall", ("post bloom",), 67),
    ("fruit set", (), 71),
    ("shoot stop", ("terminal bud set",), 91),
    ("leaf fall", (), 93),
)
_PEAR: tuple[StageRow, ...] = (
    ("dormant", (), 0),
    ("swollen bud", ("scale separation", "bud swell"), 51),
    ("bud burst", ("blossom buds exposed", "green tip", "bud break"), 53),
    ("green cluster", ("tight cluster",), 55),
    ("white bud", ("first white", "popcorn"), 57),
    ("full white", (), 59),
    ("first bloom", ("king blossom",), 60),
    ("full bloom", ("bloom",), 65),
    ("petal fall", ("post bloom",), 67),
    ("fruit set", (), 71),
    ("shoot stop", ("terminal bud set",), 91),
    ("leaf fall", (), 93),
)
_QUINCE: tuple[StageRow, ...] = (
    ("dormant", (), 0),
    ("swollen bud", ("silver tip", "bud swell"), 51),
    ("green tip", ("bud burst", "bud break"), 53),
    ("first bloom", (), 60),
    ("full bloom", ("bloom",), 65),
    ("petal fall", ("post bloom",), 67),
    ("fruit set", (), 71),
    ("shoot stop", ("terminal bud set",), 91),
    ("leaf fall", (), 93),
)
_PLUM: tuple[StageRow, ...] = (
    ("dormant", (), 0),
    ("swollen bud", ("first swelling", "bud swell"), 51),
    ("bud burst", ("side white", "green tip", "bud break"), 53),
    ("tip green", (), 54),
    ("green cluster", ("tight cluster",), 55),
    ("white bud", ("first white",), 57),
    ("first bloom", (), 60),
    ("full bloom", ("bloom",), 65),
    ("petal fall", ("post bloom",), 67),
    ("shuck split", ("fruit set",), 72),
    ("shoot stop", ("terminal bud set",), 91),
    ("leaf fall", (), 93),
)
_CHERRY: tuple[StageRow, ...] = (
    ("dormant", (), 0),
    ("swollen bud", ("bud swell", "first swelling"), 51),
    ("side green", (), 52),
    ("green tip", ("bud burst", "bud break"), 53),
    ("tight cluster", ("early white bud",), 55),
    ("open cluster", (), 56),
    ("white bud", ("first white", "popcorn"), 57),
    ("first bloom", (), 60),
    ("full bloom", ("bloom",), 65),
    ("petal fall", ("post bloom",), 67),
    ("fruit set", ("shucks on",), 71),
    ("shoot stop", ("terminal bud set",), 91),
    ("leaf fall", (), 93),
)
_PEACH: tuple[StageRow, ...] = (
    ("dormant", (), 0),
    ("swollen bud", ("first swelling", "bud swell"), 51),
    ("half-inch green", ("calyx green", "green tip", "bud burst"), 53),
    ("calyx red", (), 55),
    ("pink", ("first pink",), 57),
    ("late pink", (), 59),
    ("first bloom", (), 60),
    ("full bloom", ("bloom",), 65),
    ("petal fall", ("post bloom",), 67),
    ("fruit set", ("shucks on",), 72),
    ("shuck split", (), 73),
    ("shoot stop", ("terminal bud set",), 91),
    ("leaf fall", (), 93),
)
_APRICOT: tuple[StageRow, ...] = (
    ("dormant", (), 0),
    ("swollen bud", ("first swelling", "bud swell"), 51),
    ("tips separate", ("green tip", "bud burst"), 53),
    ("calyx red", ("red calyx",), 55),
    ("first white", ("white bud",), 57),
    ("first bloom", (), 60),
    ("full bloom", ("bloom",), 65),
    ("petal fall", (), 67),
    ("in the shuck", ("fruit set",), 72),
    ("green fruit", (), 73),
    ("shoot stop", ("terminal bud set",), 91),
    ("leaf fall", (), 93),
)

STAGES: dict[str, tuple[StageRow, ...]] = {
    "apple": _APPLE,
    "pear": _PEAR,
    "quince": _QUINCE,
    "medlar": _QUINCE,
    "plum": _PLUM,
    "japanese plum": _PLUM,
    "sweet cherry": _CHERRY,
    "sour cherry": _CHERRY,
    "peach": _PEACH,
    "apricot": _APRICOT,
}

_OTHER_SPECIES_NAMES = {
    "tart cherry": "sour cherry",
    "european plum": "plum",
    "cherry": "sweet cherry",
    "nectarine": "peach",
    "bullace": "plum",
    "damson": "plum",
    "gage": "plum",
    "greengage": "plum",
    "mirabelle": "plum",
}


def species_named(word: str) -> str | None:
    """The species a person means, or None; case and a few trade synonyms are forgiven."""
    name = " ".join(word.lower().split())
    name = _OTHER_SPECIES_NAMES.get(name, name)
    return name if name in STAGES else None


def stage_named(species: str, word: str) -> str | None:
    """The stage of `species` that `word` names, by its own or another name in use; None if the word names none.

    A name that only another species uses stands for the stage with the same BBCH code, so that one template can say
    "green tip" for all species.
    """
    name = " ".join(word.lower().split())
    rows = STAGES[species]
    for stage, _, _ in rows:
        if stage == name:
            return stage
    for stage, others, _ in rows:
        if name in others:
            return stage
    for other_rows in STAGES.values():
        for stage, others, code in other_rows:
            if stage == name or name in others:
                return _nearest_code(rows, code)
    return None


def bbch(species: str, stage: str) -> int:
    """The BBCH code at which `stage` begins. Raises KeyError for a stage that the species does not have."""
    for name, _, code in STAGES[species]:
        if name == stage:
            return code
    raise KeyError(stage)


def _nearest_code(rows: tuple[StageRow, ...], code: int) -> str:
    reached = [name for name, _, own in rows if own <= code]
    return reached[-1]

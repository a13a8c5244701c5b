"""The records of an orchard: what a person has, did and saw. Frozen; every change makes new ones.

`known_since` of a tree, a graft or a bundle is the day on which it came into the records; None is from always.
"""

from __future__ import annotations

from datetime import date
from typing import Final, Literal, get_args

from msgspec import Struct

from tendwork.orchard.rough_dates import Noted

GraftState = Literal["planned", "set", "took", "failed", "bearing", "removed"]
GRAFT_STATES: tuple[GraftState, ...] = get_args(GraftState)
Verdict = Literal["on trial", "keep", "cut"]
VERDICTS: tuple[Verdict, ...] = get_args(Verdict)
MotherHealth = Literal["certified", "tested", "said healthy"]
MOTHER_HEALTH: tuple[MotherHealth, ...] = get_args(MotherHealth)
Answer = Literal["promised", "refused"]
ANSWERS: tuple[Answer, ...] = get_args(Answer)
PROMISED: Final = "promised"
REFUSED: Final = "refused"
FIRE_BLIGHT = "fire blight"
TROUBLES = (FIRE_BLIGHT, "canker", "gum", "mosaic or rings", "dieback")
GNAWED = "gnawed bark"
"""What voles, rabbits or deer did: no disease, and no bar to its wood, but its tree is guarded from then on."""
STORM = "storm"
"""That wind, snow or ice has been at a tree: no disease, but its unions are looked at."""
SIGNS = (*TROUBLES, GNAWED, STORM)
"""What rules speak of, of all that may be seen on a tree."""
"""The signs that bar a tree from giving wood or buds."""


class Tree(Struct, frozen=True):
    """A tree. `stock` is the rootstock or framework variety, `interstem` what stands between it and the crown.

    `planted` is a year, `height_m` and `spread_m` are how high and how wide its crown is, `form` how it is trained.
    `crown_since` is the year since when the wood of its present crown grows, where it was headed back or worked over;
    None is since planting.
    """

    id: str
    name: str
    species: str
    stock: str = ""
    planted: int | None = None
    place: str = ""
    height_m: float | None = None
    known_since: date | None = None
    interstem: str = ""
    spread_m: float | None = None
    form: str = ""
    crown_since: int | None = None
    note: str = ""


class Graft(Struct, frozen=True):
    """One variety at one place of a tree's crown.

    `id` names the place; the other fields tell the present life in it, which begins with `set_on`, or with being
    planned while there is none. What stood there before is kept as a `Life` each. `wrap` "" is unknown, never none.
    `species` "" is the tree's (`graft_species`).
    `facing` is degrees clockwise from north, `height_m` above ground, `out_m` from the trunk. `chill` is the variety's
    chill requirement in chill portions where known. `ripens_from` and `ripens_to` are (month, day).
    """

    id: str
    tree: str
    variety: str
    method: str = ""
    wrap: str = ""
    seal: str = ""
    state: GraftState = "planned"
    set_on: Noted | None = None
    facing: int | None = None
    height_m: float | None = None
    out_m: float | None = None
    wood: str = ""
    chill: float | None = None
    ripens_from: tuple[int, int] | None = None
    ripens_to: tuple[int, int] | None = None
    note: str = ""
    verdict: Verdict = "on trial"
    known_since: date | None = None
    species: str = ""


class Life(Struct, frozen=True):
    """A graft that stood at a place before the present one: `graft` is the id of the place, `state` how it ended.

    `ended_on` is the day on which it was seen to have failed or was taken off, else the one on which the next was set.
    """

    graft: str
    variety: str
    method: str = ""
    wrap: str = ""
    seal: str = ""
    state: GraftState = "failed"
    set_on: Noted | None = None
    ended_on: Noted | None = None
    wood: str = ""
    verdict: Verdict = "on trial"
    note: str = ""
    species: str = ""


class Wood(Struct, frozen=True):
    """A bundle of dormant scion wood. `came_from` is a tree, by its id, its name or both, or the person it came
    from (`from` in CSV).

    One that is asked of a person is a bundle without `cut_on`: `asked_on` is the day of asking, `answer` what that
    person said, "" while nobody answered. Once it is here it has a `cut_on`. What others are to have is
    `promised_to` them. `mother_years` is how old the tree is said to be that it was cut from, `mother_health` how
    healthy, "" for not known, and `health_by` who says so or tested it, and when.
    """

    id: str
    variety: str
    species: str
    sticks: int
    cut_on: date | None = None
    came_from: str = ""
    kept: str = ""
    promised_to: str = ""
    promised_sticks: int = 0
    note: str = ""
    known_since: date | None = None
    asked_on: date | None = None
    answer: Answer | Literal[""] = ""
    mother_years: int | None = None
    mother_health: MotherHealth | Literal[""] = ""
    health_by: str = ""


class Sighting(Struct, frozen=True):
    """A bud stage seen, on the whole species or on one tree."""

    day: date
    species: str
    stage: str
    tree: str = ""
    note: str = ""


class Tick(Struct, frozen=True):
    """What was done about one unit of one task. `undone` is the opposite act: it takes the earlier one back.

    `minutes` is how long the unit took by the person's own note, with its share of setting up; None is not noted.
    """

    task: str
    unit: str
    day: date
    outcome: str = "done"
    note: str = ""
    undone: bool = False
    minutes: float | None = None


class Tasting(Struct, frozen=True):
    """A tasting of one graft's fruit. `ripe` is a word (unripe, ripe, over), `score` 1 to 5."""

    day: date
    graft: str
    ripe: str = ""
    score: int | None = None
    use: str = ""
    note: str = ""


class Trouble(Struct, frozen=True):
    """A sign of disease or harm seen on a tree: `what` is one of SIGNS, or the person's own word."""

    day: date
    tree: str
    what: str
    note: str = ""


class Spray(Struct, frozen=True):
    """A spray on a tree. `product` is as the person names it, the days to wait as its label says; None is not known.

    `days_to_return` is until people may work in the tree again, `days_to_harvest` until its fruit may be eaten.
    """

    day: date
    tree: str
    product: str
    days_to_return: int | None = None
    days_to_harvest: int | None = None
    note: str = ""


class Variety(Struct, frozen=True):
    """What the person knows of a variety of a species: one record for each, by its name without case and accents.

    Everything is as written, and empty where unknown. `also` are other names with commas between them; `bloom` a group
    or days after its species; `ripens` days against another variety ("Red Delicious -12") or a span ("09-15 to
    10-02"); `chill` its requirement in chill portions; `source` who says all this, where not the person alone.
    """

    species: str
    variety: str
    also: str = ""
    bloom: str = ""
    pollen: str = ""
    ripens: str = ""
    keeps: str = ""
    vigour: str = ""
    chill: float | None = None
    use: str = ""
    source: str = ""
    note: str = ""


Record = Tree | Graft | Wood | Sighting | Tasting | Tick | Life | Trouble | Spray | Variety

RecordKind = Literal[
    "trees", "wood", "grafts", "sightings", "ticks", "tastings", "lives", "troubles", "sprays", "varieties"
]
RECORD_KINDS: tuple[RecordKind, ...] = get_args(RecordKind)
"""The kinds of record, named as the fields of Records. A kind comes after the kinds that it refers to."""
KIND_OF: dict[type, RecordKind] = {
    Tree: "trees",
    Graft: "grafts",
    Wood: "wood",
    Sighting: "sightings",
    Tick: "ticks",
    Tasting: "tastings",
    Life: "lives",
    Trouble: "troubles",
    Spray: "sprays",
    Variety: "varieties",
}


class Records(Struct, frozen=True):
    """Everything that a person recorded, each kind in a stable order."""

    trees: tuple[Tree, ...] = ()
    grafts: tuple[Graft, ...] = ()
    wood: tuple[Wood, ...] = ()
    sightings: tuple[Sighting, ...] = ()
    ticks: tuple[Tick, ...] = ()
    tastings: tuple[Tasting, ...] = ()
    lives: tuple[Life, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    sprays: tuple[Spray, ...] = ()
    varieties: tuple[Variety, ...] = ()

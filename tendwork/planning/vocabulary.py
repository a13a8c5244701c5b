"""The words a task template may use: small, closed, no formulas. Decoded by msgspec, unknown keys refused."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Final, Literal, get_args

from msgspec import Struct, field

from tendwork.orchard.wood_wishes import WishState

Part = Literal["planning", "wood", "preparing", "grafting", "aftercare", "second chance", "pruning", "fruit", "upkeep"]
PARTS: tuple[Part, ...] = get_args(Part)
Each = Literal["site", "tree", "graft", "wood", "variety"]
Event = Literal[
    "planted",
    "planned",
    "cut",
    "received",
    "promised",
    "set",
    "budded",
    "woken",
    "took",
    "failed",
    "unwrapped",
    "tasted",
    "verdict",
    "fire blight",
    "look",
    "ripe from",
    "ripens",
    "hangs",
    "eat",
    "eat later",
    "use by",
    "picked",
    "stored",
    "none left",
    "gnawed bark",
    "storm",
]


Act = Literal["takes wood", "carries wood", "lifts"]
WorkAt = Literal["limb", "crown", "ground", "indoors"]
Stake = Literal["tree", "graft", "year", "little"]
UnionState = Literal["fails late", "no doubt"]
FAILS_LATE: Final = "fails late"
STAKES: tuple[Stake, ...] = get_args(Stake)
"""What is lost if a job is missed, the worst first: the tree or a limb; the graft; this year's chance; little."""
GRAVE: tuple[Stake, ...] = ("tree", "graft")
"""What does not come back: a job with this at stake never leaves the list unsaid."""
UNSAID_COUNTS_AS: Stake = "year"
"""How a rule that does not say its stake is ordered: before what is known to be little, after what is known to die."""
Use = Literal["cuts wood", "saws", "strikes", "reaches up", "needs both hands", "cleans blades"]

TO_CUT: Final = "to cut"
WoodNeed = Literal["to cut", WishState]
"""What is still to be done about wood: to be cut from trees here, or how far the asking of others has come."""

UNKNOWN = "unknown"
"""In `where`, beside or instead of methods and wraps: an empty cell, and a word that nobody gave a rule."""
OFF = "off"


class Anchor(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A point in the season: one of date, stage, after, latest_of, earliest_of,
    first_known; then days, weeks or heat from it.

    `date` is "MM-DD" written for the north; `stage` a bud-stage name, resolved for the species whose buds a unit goes
    by (`Subject.buds`); `after` an event of the unit's record, or what its variety's ripening gives; `first_known` the
    first of its parts, as they are written, that has a day; `heat` degree-days C above 5 (single sine, no upper
    cut-off) summed from the anchor. The event "woken" is when a bud may grow: at once, or in the season after.
    """

    date: str | None = None
    stage: str | None = None
    after: Event | None = None
    latest_of: tuple[Anchor, ...] | None = None
    earliest_of: tuple[Anchor, ...] | None = None
    first_known: tuple[Anchor, ...] | None = None
    days: int = 0
    weeks: float = 0
    heat: float | None = None

    @property
    def parts(self) -> tuple[Anchor, ...]:
        """The anchors of which it takes one; empty for one that hangs on a day of its own."""
        return self.latest_of or self.earliest_of or self.first_known or ()


class Ticked(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """That one of `jobs` was done on a tree, so many seasons ago: `years` are the least and the most, 0 is this one.

    `until` is "MM-DD", written for the north: what was done later in its season does not count.
    """

    jobs: tuple[str, ...]
    years: tuple[int, int] = (0, 0)
    until: str | None = None


class AnyOf(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Signs of which one is enough to let a tree in; one that is not given lets nobody in.

    `age_years` counts seasons since it was planted, `age_unknown` lets in what has no year, `ticked` is work that was
    done on it, and `seen` are troubles that were ever noted of it, or, with `seen_years`, from so many
    seasons ago to so many; fire blight that was noted on a tree at rest is of the season before.
    """

    age_years: tuple[int, int] | None = None
    age_unknown: bool = False
    seen: tuple[str, ...] = ()
    seen_years: tuple[int, int] | None = None
    ticked: Ticked | None = None


class Where(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which units a template is about: an absent key accepts all. `age_years` counts seasons since set or planted,
    `growing_years` those of a graft since the first in which it grew, which for a summer bud is the one after.

    `species` is that of the unit itself: of a graft its own, also where its tree is of another.
    "unknown" among methods or wraps is an empty cell, or a word that no template and no list of the trade has.
    `any_of` is for trees alone: one of its signs is enough. `union` "fails late" is one that may fail years after it
    took, "no doubt" any other: of a tree that on its stock, of a graft that on what it stands on (orchard/unions.py).
    Of the planned grafts of a variety those count that need winter wood, and summer buds only where `method` names any.
    `trained_flat` is for trees alone: whether its form is tied to wires or a wall (orchard/tree_size.py).
    `follows` is for trees alone: the job that must have been done this season, where it is asked for at all.
    `wood` is for bundles and varieties: what the cutting list has of it, also what is promised to others, or how far
    the asking for wood has come that somebody else is to give.
    """

    species: tuple[str, ...] | None = None
    state: tuple[str, ...] | None = None
    method: tuple[str, ...] | None = None
    wrap: tuple[str, ...] | None = None
    verdict: tuple[str, ...] | None = None
    above_m: float | None = None
    age_years: tuple[int, int] | None = None
    growing_years: tuple[int, int] | None = None
    any_of: AnyOf | None = None
    union: UnionState | None = None
    wood: WoodNeed | None = None
    trained_flat: bool | None = None
    follows: str | None = None


class Repeats(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The job comes again `every_days`, `times` rounds in all; no round opens after `until`, where it is given."""

    every_days: int
    times: int
    until: Anchor | None = None


class Weather(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The weather a job wants. Temperatures in °C of the day.

    `frost_free_nights` counts the nights that follow in which it must not get as cold as `frost_c`.
    """

    dry: bool = False
    min_c: float | None = None
    max_c: float | None = None
    frost_free_nights: int = 0
    frost_c: float = 0.0


class Effort(Struct, frozen=True, forbid_unknown_fields=True):
    """Minutes to set up once, and minutes for each unit: the same for all, or by the size of the unit's tree.

    `minutes_by_size` are those on a small, a middle-sized and a large tree (to 2.5 m, to 4 m, above); a template has
    them or `minutes_each`.
    """

    setup_minutes: float = 0
    minutes_each: float = 0
    minutes_by_size: tuple[float, float, float] | None = None


class Template(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One rule: which units, when, how long, how, and who says so.

    `work_at` says where: in the "crown" of a tree, or at the place of a graft; on the "limb" beyond that place, which
    may be as high as the tree; from the "ground", however high the unit is; "indoors", at a bench. `acts` names what
    neither the tools nor the units tell, `cautions` the cards that nothing implies; all others follow from the work
    (cautions.py).

    `visit` is with what it is done: jobs that have the same word, on one tree, are one visit with one kit (visits.py);
    a word that ends in "walk" joins the jobs of all trees.

    `stake` is what is lost if the job is missed, None where the rule does not say, and `loss` the same in a few words
    that follow "or": "the tape cuts in".

    `left_out` is the reason why the rule gives no job unless a person takes it in; empty for one that is asked for.
    `unless_seen` asks for it all the same: troubles, once one of them was noted of any tree of the place, and what is
    known of the place itself (`almanac/winters.py`).
    """

    id: str
    title: str
    part: Part
    each: Each
    opens: Anchor
    closes: Anchor
    where: Where = field(default_factory=Where)
    best: Anchor | None = None
    lapses: Anchor | None = None
    repeats: Repeats | None = None
    weather: Weather = field(default_factory=Weather)
    effort: Effort = field(default_factory=Effort)
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    outcomes: tuple[str, ...] = ("done",)
    source: str = "common practice"
    note: str = ""
    work_at: WorkAt = "crown"
    acts: tuple[Act, ...] = ()
    stake: Stake | None = None
    loss: str = ""
    visit: str = ""
    left_out: str = ""
    unless_seen: tuple[str, ...] = ()

    def unasked(self, seen: Collection[str]) -> str:
        """Why it is left out by default; empty where it is asked for. `seen` is what `unless_seen` may name of here."""
        return "" if any(sign in seen for sign in self.unless_seen) else self.left_out

    @property
    def takes_wraps_off(self) -> bool:
        """Whether it is a rule for taking a wrap off: such a job stays until its wrap is off, however late it is."""
        return self.each == "graft" and OFF in self.outcomes

    @property
    def at_stake(self) -> Stake | None:
        """The stake as the rule says it; a forgotten wrap costs the graft, also where its rule does not say so."""
        return self.stake or ("graft" if self.takes_wraps_off else None)


def stake_rank(stake: Stake | None) -> int:
    """The place of a stake in the order of all work: 0 for the worst."""
    return STAKES.index(stake or UNSAID_COUNTS_AS)


class LeftOut(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """That a template is left out: for one `tree`, all where it is empty; in one `season`, in every one where None.

    `on` is the day on which a person said so, None where nobody noted it.
    """

    tree: str = ""
    season: int | None = None
    on: date | None = None


class AdjustedTemplate(Template, frozen=True, kw_only=True):
    """A template with what a person changed laid over it, which `changed` says in one sentence.

    `own_opens` is the opening as the template has it: it decides the season of a job, wherever the job is moved.
    `not_for` are the trees and the seasons in which it gives no job.
    """

    own_opens: Anchor
    changed: str = ""
    not_for: tuple[LeftOut, ...] = ()


class Card(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A caution card: `line` stands beside the work, the rest is the whole card; `defer` says who decides.

    `first_aid` is what to do once harm is done; it stands last and bold, so that it is found at once.
    """

    id: str
    title: str
    line: str
    points: tuple[str, ...]
    defer: str
    source: str
    first_aid: tuple[str, ...] = ()


class Tool(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A tool that templates name: the `cautions` that come with it, what it is used for, what to `bring` with it.

    `aloft` is what is taken too where the work may be above reach.
    """

    id: str
    cautions: tuple[str, ...] = ()
    uses: tuple[Use, ...] = ()
    bring: tuple[str, ...] = ()
    aloft: tuple[str, ...] = ()


class TemplateFile(Struct, frozen=True, forbid_unknown_fields=True):
    """One TOML file: templates, caution cards, tools, or some of them."""

    template: tuple[Template, ...] = ()
    card: tuple[Card, ...] = ()
    tool: tuple[Tool, ...] = ()

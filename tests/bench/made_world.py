"""What a made season does to grafts that are looked after or not: invented dates, with rules of the trade.

A rule stands here only where somebody says so; who, stands beside it. Sources that give a range are taken at the latest
day that they give, so that a plan is not blamed for a day that somebody allows. What only weakens is counted apart.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

from msgspec import Struct
from played_orchard import FAILS, YEAR, PlayedGraft

WEEK = timedelta(weeks=1)
FIRST_DAY, LAST_DAY = date(YEAR, 5, 1), date(YEAR, 10, 31)

GROWTH_SHOWS_AFTER = 4 * WEEK
"""First growth is expected within a month (Home Orchard Society, Grafting aftercare, undated)."""
SURE_AFTER = 9 * WEEK
"""Until then a dead scion cannot be told from one that has not woken: one grafted on 27 March was not to be given up
before about June (Laramie Garden Club, notes of a University of Wyoming Extension class, 2021)."""
TIE_LENGTH_AFTER = 7 * WEEK
"""When shoots are 10 to 15 cm long in this invented year, the length at which they are tied (T. Neder, 2018)."""
BRACE_AFTER = 5 * WEEK
"""Braces are fitted a little over a month after grafting (grousemtfarm, on bark grafts, 2014)."""
SLIT_LENGTH_AFTER = 9 * WEEK
"""When shoots are 20 to 30 cm long in this invented year; until then tape stays on ("not yet")."""

GIRDLES_AFTER = {
    "electrical tape": 17 * WEEK,
    "PVC tape": 17 * WEEK,
    "raffia": 12 * WEEK,
    "budding rubber": 12 * WEEK,
}
"""From the day on which a graft was set. Tape: three to four months, the later (Texas A&M, Whip grafting, undated; its
"at latest a year" is left aside here, as tape on a vigorous limb had to be cut in early June, Northern Pecans, 2012).
Raffia: loosened once it has taken, four to six weeks on (Gartenbauverein Dillingen, undated); eight at the latest,
counted here from the first growth, is ours. Rubber: perishes in sun, stays under wax (homeorchardsociety, rubber
bands), off at about three months (growingfruit.org, Three Months After Spring Grafting). Film perishes: not here."""

SWAMPED_FROM, SWAMPED_TO, LEAST_ROUNDS = 2 * WEEK, 10 * WEEK, 2
"""Stock shoots swamp a graft in its second to eighth week (Home Orchard Society), and growers come back every three to
four weeks at the least (Northern Pecans, 2017): fewer than two rounds between the second and the tenth are too few."""

STORMS = (date(YEAR, 7, 12), date(YEAR, 8, 29))
NEEDS_BRACE = ("cleft", "bark")
"""Unbraced ones snap in a storm from their tenth week on: braces come a little over a month after grafting and the
growth is 1.2 to 1.8 m (grousemtfarm, 2014); unbraced grafts snapped in a storm (growingfruit.org 36107). Of whip grafts
the sources say no more than that a shoot is tied at 10 to 15 cm: an untied one leans, and is not counted as lost."""
LONG_ENOUGH_TO_SNAP = 10 * WEEK

BEARS_IN_YEAR_TWO = "bark"
FRUIT_TEARS_ON = date(YEAR, 8, 29)
"""A bark graft in its second year was torn off by its own fruit (NAFEX list, July 2009). First-year fruit only weakens
here."""

CROPS = "t4"
CROP_BREAKS_ON = date(YEAR, 8, 8)
"""The plum sets heavily this year. Unthinned and unpropped a heavy limb breaks in its last month (K-State, U. Upham,
2003, on props); that thinning by then spares the prop is common practice, no source."""


ONLY_LOOKED = ("not yet", "not needed")
LOOK_MINUTES = 1.0
"""What it takes to see that there is nothing to do yet, where the work itself takes longer; common practice, no
source."""


class Fate(Struct):
    """What was done to one graft this season, and when."""

    graft: PlayedGraft
    took: bool
    rubbed: list[date]
    wrap_off: date | None = None
    held_up: date | None = None
    fruit_off: date | None = None
    looked: date | None = None
    budded: date | None = None
    removed: bool = False


class Losses(NamedTuple):
    """What the season cost, by the ids of the grafts or trees."""

    girdled: tuple[str, ...]
    overgrown: tuple[str, ...]
    snapped: tuple[str, ...]
    torn_by_fruit: tuple[str, ...]
    limbs_broken: tuple[str, ...]
    never_looked_at: tuple[str, ...]
    no_second_chance: tuple[str, ...]
    not_budded: tuple[str, ...]
    leaning: tuple[str, ...]
    weakened_by_fruit: tuple[str, ...]

    @property
    def lost(self) -> tuple[str, ...]:
        """Grafts and limbs that are gone; each once."""
        gone = (*self.girdled, *self.overgrown, *self.snapped, *self.torn_by_fruit, *self.limbs_broken)
        return tuple(dict.fromkeys(gone))


class MadeWorld:
    """The grafts of one played season: what a person finds at them, and what becomes of them."""

    def __init__(self, grafts: Iterable[PlayedGraft]) -> None:
        self.fates = {graft.id: Fate(graft, graft.id not in FAILS, []) for graft in grafts}
        self._thinned: date | None = None

    def found(self, template: str, unit: str, day: date, offered: tuple[str, ...]) -> str:
        """The outcome that somebody who works on this unit on this day gives truly; empty where a job offers none."""
        fate = self.fates.get(unit)
        wanted = self._wanted(template, fate, day) if fate is not None else _WHAT_ELSE_IS_FOUND.get(template, "done")
        if not offered or wanted in offered:
            return wanted if offered else ""
        return next((word for word in ("done", "off", "set", *offered) if word in offered), "")

    def done(self, template: str, unit: str, day: date, outcome: str) -> None:
        """Note what this act did."""
        if template.startswith(("thin-", "prop-")) and unit == CROPS and outcome == "done":
            self._thinned = self._thinned or day
        fate = self.fates.get(unit)
        if fate is None or outcome == "not yet":
            return
        if template.startswith("rub-off"):
            fate.rubbed.append(day)
        elif template.startswith(("brace-", "tie-in", "support-", "stake-")):
            fate.held_up = fate.held_up or day
        elif template.startswith(("first-year-fruit", "second-year-fruit")):
            fate.fruit_off = fate.fruit_off or day
        elif template.startswith("bud-") and outcome == "set":
            fate.budded = day
        if outcome == "removed":
            fate.removed = True
        if outcome in ("took", "failed"):
            fate.looked = fate.looked or day
        if outcome in ("off", "slit it", "weathered away"):
            fate.wrap_off = fate.wrap_off or day

    def is_removed(self, unit: str) -> bool:
        """Whether a graft was cut out of its tree."""
        return unit in self.fates and self.fates[unit].removed

    def losses(self) -> Losses:
        """What is counted on the last day."""
        fates = self.fates.values()
        new = [fate for fate in fates if fate.graft.id.startswith("n")]
        grew = [fate for fate in new if fate.took]
        year_two = [fate for fate in fates if fate.graft.id.startswith("y")]
        whips = [fate for fate in grew if fate.graft.method not in NEEDS_BRACE]
        unlooked = [fate for fate in new if fate.looked is None]
        return Losses(
            girdled=_ids(fate for fate in grew if _is_girdled(fate)),
            overgrown=_ids(fate for fate in grew if _rounds_that_count(fate) < LEAST_ROUNDS),
            snapped=_ids(fate for fate in grew if fate.graft.method in NEEDS_BRACE and _is_snapped(fate)),
            torn_by_fruit=_ids(
                fate
                for fate in year_two
                if fate.graft.method == BEARS_IN_YEAR_TWO and not _by(fate.fruit_off, FRUIT_TEARS_ON)
            ),
            limbs_broken=() if _by(self._thinned, CROP_BREAKS_ON) else (CROPS,),
            never_looked_at=_ids(unlooked),
            no_second_chance=_ids(fate for fate in unlooked if not fate.took),
            not_budded=_ids(fate for fate in fates if fate.graft.id.startswith("p") and fate.budded is None),
            leaning=_ids(fate for fate in whips if _is_snapped(fate)),
            weakened_by_fruit=_ids(fate for fate in grew if fate.fruit_off is None),
        )

    def _wanted(self, template: str, fate: Fate, day: date) -> str:
        since = day - (fate.graft.set_on or day)
        if template.startswith(("check-take", "last-look")):
            if not fate.took:
                return "failed" if since >= SURE_AFTER else "not yet"
            return "took" if since >= GROWTH_SHOWS_AFTER else "not yet"
        if template == "check-bud-take":
            return "took"
        if template == "look-at-wraps":
            return "all well"
        if template.startswith("wraps-film"):
            return "weathered away"
        if template.startswith("wraps-") and "tape" in fate.graft.wrap:
            return "off" if since >= SLIT_LENGTH_AFTER or not fate.took else "not yet"
        if template.startswith(("tie-in", "brace-")):
            after = TIE_LENGTH_AFTER if template.startswith("tie-in") else BRACE_AFTER
            return "not needed" if not fate.took else "done" if since >= after else "not yet"
        if template.startswith("spring-bud"):
            return "leave for summer"
        return _WHAT_ELSE_IS_FOUND.get(template, "done")


_WHAT_ELSE_IS_FOUND = {
    "fire-blight-watch": "none found",
    "look-at-guards": "all well",
    "check-labels-and-ties": "all well",
    "note-growth": "middle",
    "judge-varieties": "keep",
    "remove-cut-verdicts-pome": "removed",
    "remove-cut-verdicts-stone": "removed",
    "check-seals": "all well",
    "water-new-grafts": "watered",
    "film-on-buds": "left on",
    "collect-wood-apple-pear": "got from elsewhere",
    "collect-wood-stone": "got from elsewhere",
}


def _ids(fates: Iterable[Fate]) -> tuple[str, ...]:
    return tuple(fate.graft.id for fate in fates)


def _by(done: date | None, day: date) -> bool:
    return done is not None and done < day


def _set_on(fate: Fate) -> date:
    assert fate.graft.set_on is not None
    return fate.graft.set_on


def _is_girdled(fate: Fate) -> bool:
    weeks = GIRDLES_AFTER.get(fate.graft.wrap)
    return weeks is not None and not _by(fate.wrap_off, _set_on(fate) + weeks + timedelta(days=1))


def _rounds_that_count(fate: Fate) -> int:
    start = _set_on(fate)
    return len({day for day in fate.rubbed if start + SWAMPED_FROM <= day <= start + SWAMPED_TO})


def _is_snapped(fate: Fate) -> bool:
    return any(storm - _set_on(fate) >= LONG_ENOUGH_TO_SNAP and not _by(fate.held_up, storm) for storm in STORMS)

"""How many grafts took, by what one can choose: method, wrap, week, age of the wood. Few grafts say little.

The interval is Wilson's score interval (Wilson, Probable inference, the law of succession, and statistical inference,
JASA 22, 1927), which stays honest for small numbers and for "all" and "none".
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from math import sqrt

from msgspec import Struct

from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.lives import present
from tendwork.orchard.methods import method_named
from tendwork.orchard.records import Graft, Life, Records, Tick
from tendwork.orchard.rough_dates import day_known, first_day, last_day
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.wording import listed

INTERVAL = "Wilson score interval, 95 %"
_Z_95 = 1.959963984540054  # the standard normal quantile of 0.975
WOOD_AGE_BAND_DAYS = 28
_YEAR_OF_53_WEEKS = 2020


class Trial(Struct, frozen=True):
    """One graft whose fate is known. `week` is the ISO 8601 week in which it was set; "" and None where not noted."""

    graft: str
    species: str
    method: str
    wrap: str
    took: bool
    week: int | None = None
    wood_age_days: int | None = None


class TakeRate(Struct, frozen=True):
    """How many of those tried took, and the shares between which the true rate lies, 0 to 1."""

    of: str
    tried: int
    took: int
    low: float
    high: float

    @property
    def share(self) -> float:
        return self.took / self.tried


def wilson_interval(took: int, tried: int) -> tuple[float, float]:
    """Wilson's score interval of a share, from 0 to 1. Raises ValueError for no share at all."""
    if not 0 <= took <= tried or tried == 0:
        raise ValueError(f"{took} of {tried} is no share")
    share, weight = took / tried, _Z_95 * _Z_95 / tried
    middle = share + weight / 2
    half = _Z_95 * sqrt((share * (1 - share) + weight / 4) / tried)
    return max(0.0, (middle - half) / (1 + weight)), min(1.0, (middle + half) / (1 + weight))


class Fate(Struct, frozen=True):
    """A graft that stands or stood at a place (`graft`), and whether it took; None where that is not known."""

    graft: str
    record: Graft | Life
    took: bool | None


def fates(records: Records) -> tuple[Fate, ...]:
    """What became of every graft, those that stood at a place before first."""
    now = present(records)
    ticked = _take_checks(standing_ticks(now.ticks))
    tasted = {tasting.graft for tasting in now.tastings}
    before = [Fate(life.graft, life, _took(life, None, _was_tasted(records, life))) for life in records.lives]
    return (
        *before,
        *(Fate(graft.id, graft, _took(graft, ticked.get(graft.id), graft.id in tasted)) for graft in records.grafts),
    )


def trials(records: Records) -> tuple[Trial, ...]:
    """Every graft that is known to have taken or failed, in the order of entry; those still open are left out.

    What stood at a place before counts as well.
    """
    trees = {tree.id: tree for tree in records.trees}
    cut_on = {bundle.id: bundle.cut_on for bundle in records.wood}
    tree_of = {graft.id: graft.tree for graft in records.grafts}
    return tuple(
        Trial(
            fate.graft,
            graft_species(fate.record, trees[tree_of[fate.graft]]),
            fate.record.method,
            fate.record.wrap,
            fate.took,
            None if (day := day_known(fate.record.set_on)) is None else day.isocalendar().week,
            wood_age_days(cut_on.get(fate.record.wood), day_known(fate.record.set_on)),
        )
        for fate in fates(records)
        if fate.took is not None and tree_of.get(fate.graft) in trees
    )


def take_rates(tried: Iterable[Trial], by: str) -> tuple[TakeRate, ...]:
    """The rates by "method", "species", "wrap", "week" or "wood age", in the order of their keys.

    Grafts for which that was not noted are left out.
    """
    counts: dict[tuple[int, str], list[bool]] = {}
    for trial in tried:
        key = _KEYS[by](trial)
        if key is not None:
            counts.setdefault(key, []).append(trial.took)
    return tuple(_rate(key[1], fates) for key, fates in sorted(counts.items()))


def choice_sentence(tried: Iterable[Trial], species: str, by: str = "method") -> str:
    """What one's own grafts of a species say about a choice, the best first; empty where nothing was tried yet.

    One is called better than another only where their intervals stand apart.
    """
    rates = sorted(
        take_rates((trial for trial in tried if trial.species == species), by),
        key=lambda rate: (-rate.share, -rate.tried, rate.of),
    )
    if not rates:
        return ""
    told = "; ".join(f"{rate.of} {rate_words(rate)}" for rate in rates)
    beaten = [rate.of for rate in rates[1:] if rate.high < rates[0].low]
    verdict = f" So far {rates[0].of} takes better than {listed(beaten)}." if beaten else ""
    if not beaten and len(rates) > 1:
        verdict = " Too few to say that one is better."
    return f"Your {species} grafts: {told}.{verdict}"


def rate_words(rate: TakeRate) -> str:
    """ "14 of 16 took (64 to 97 %)"."""
    return f"{rate.took} of {rate.tried} took ({rate.low * 100:.0f} to {rate.high * 100:.0f} %)"


def _rate(of: str, fates: list[bool]) -> TakeRate:
    low, high = wilson_interval(sum(fates), len(fates))
    return TakeRate(of, len(fates), sum(fates), low, high)


def _take_checks(standing: Iterable[Tick]) -> dict[str, bool]:
    """For each unit whether its last take check that stands said "took"; one that failed later did not take."""
    newest: dict[str, Tick] = {}
    for tick in standing:
        if tick.outcome in ("took", "failed") and (tick.unit not in newest or newest[tick.unit].day <= tick.day):
            newest[tick.unit] = tick
    return {unit: tick.outcome == "took" for unit, tick in newest.items()}


def _was_tasted(records: Records, life: Life) -> bool:
    if life.set_on is None or life.ended_on is None:
        return False
    first, last = first_day(life.set_on), last_day(life.ended_on)
    return any(tasting.graft == life.graft and first <= tasting.day <= last for tasting in records.tastings)


def _took(graft: Graft | Life, ticked: bool | None, tasted: bool) -> bool | None:
    if graft.state in ("took", "bearing"):
        return True
    if graft.state == "failed":
        return False
    if graft.state != "removed":
        return None
    if tasted or graft.verdict != "on trial":  # only a living graft is tasted or judged
        return True
    return ticked


def wood_age_days(cut_on: date | None, set_on: date | None) -> int | None:
    """How old wood was when it was set; None where a day is not known, or the wood was cut after it."""
    return (set_on - cut_on).days if cut_on is not None and set_on is not None and cut_on <= set_on else None


def _word(word: str) -> tuple[int, str] | None:
    return (0, word) if word else None


def _week(trial: Trial) -> tuple[int, str] | None:
    return None if trial.week is None else (trial.week, f"week {trial.week}, {_part_of_month(trial.week)}")


def _part_of_month(week: int) -> str:
    """Where an ISO week lies by its Thursday, in a year that has 53: "mid Apr"."""
    thursday = date.fromisocalendar(_YEAR_OF_53_WEEKS, week, 4)
    part = "early" if thursday.day <= 10 else "mid" if thursday.day <= 20 else "late"
    return f"{part} {thursday:%b}"


def _wood_age(trial: Trial) -> tuple[int, str] | None:
    return None if trial.wood_age_days is None else wood_age_band(trial.wood_age_days)


def wood_age_band(days: int) -> tuple[int, str]:
    """The band of four weeks that wood of this age falls in: its number, and "4 to 7 weeks"."""
    band = days // WOOD_AGE_BAND_DAYS
    return band, f"{band * 4} to {band * 4 + 3} weeks"


_KEYS: dict[str, Callable[[Trial], tuple[int, str] | None]] = {
    "method": lambda trial: _word(method_named(trial.method)),
    "species": lambda trial: _word(trial.species),
    "wrap": lambda trial: _word(trial.wrap),
    "week": _week,
    "wood age": _wood_age,
}

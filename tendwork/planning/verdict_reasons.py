"""Keep, cut or wait: a suggestion for each graft on trial, by its crops, its neighbours in the season, and its loss.

A graft that bore too few crops is waited for. Of the others
- a good one (4 of 5 and more) is kept;
- a poor one (2.5 and less), and one that is half a point or more below the others of its species that are good to eat
  in the same weeks, is cut, unless it would be missed: where nothing else that bears fills one of its weeks, or another
  variety has no other partner in bloom, and where nobody knows when it ripens;
- one between that fills weeks alone is kept, and so is one that is no worse than those others. One a little below them
  is waited for, and so is one with none to compare.
The suggestions to cut hold together: the poorest is taken first, and each is asked what would be missed once those
before it are gone. So all of them leave no week bare and nobody without a partner. The scores and the half point are
this program's own. The person decides.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.lives import present
from tendwork.orchard.number_words import number_word
from tendwork.orchard.records import Records, Tasting, Verdict
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.verdicts import CUT_TO, KEEP_FROM, Crops, Suggestion, best_of_years, crops_seen
from tendwork.orchard.wording import listed_in_short
from tendwork.planning.day_format import day_and_month
from tendwork.planning.fruit_spans import fruit_spans
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.season_loss import Missed, Run, SeasonLoss
from tendwork.variety_names import Key

MARGIN = 0.5
"""So much below the mean of the others of its weeks is worse; less is not told from chance in a few tastings."""


class Beside(Struct, frozen=True):
    """The other varieties of its species that are good to eat in one of its weeks: what they scored, the best first.

    `mean` is that of the `scored`, and `rank` the place of the graft among them and itself; None where there is nothing
    to compare. `unscored` have no score yet.
    """

    scored: tuple[tuple[str, float], ...] = ()
    unscored: tuple[str, ...] = ()
    mean: float | None = None
    rank: int | None = None


class VerdictReasons(Struct, frozen=True):
    """What there is to know of one graft for its verdict. `suggestion` is None where it is judged already."""

    graft: str
    variety: str
    species: str
    tree: str
    verdict: Verdict
    crops: Crops
    beside: Beside
    missed: Missed
    suggestion: Suggestion | None = None


def verdict_reasons(
    records: Records, dates: Sequence[RipeDates], book: VarietyBook, today: date, south: bool = False
) -> tuple[VerdictReasons, ...]:
    """Of every growing graft of a variety, in the order of entry; by the season's `dates`, moved to those usual."""
    records = present(records)
    species = species_by_graft(records)
    crops = crops_seen(records, today, south)
    as_if_kept = replace(records, grafts=tuple(replace(graft, verdict="keep") for graft in records.grafts))
    loss = SeasonLoss(records, fruit_spans(as_if_kept, dates, book, usual=True), book, south)
    scores = _variety_scores(records, loss, south)
    found = []
    for graft in records.grafts:
        if graft.id in crops and graft.id in species:
            own, of = crops[graft.id], species[graft.id]
            beside = _beside(loss.key(graft.id), own.score, loss, scores)
            missed = loss.of(graft.id)
            found.append(VerdictReasons(graft.id, graft.variety, of, graft.tree, graft.verdict, own, beside, missed))
    return _suggested(found, loss)


def suggestions_of(reasons: Iterable[VerdictReasons]) -> tuple[Suggestion, ...]:
    """The suggestions for those on trial."""
    return tuple(one.suggestion for one in reasons if one.suggestion is not None)


def runs_words(runs: Iterable[Run]) -> str:
    """ "21 Jun to 27 Jun and 5 Jul to 18 Jul"."""
    return listed_in_short([f"{day_and_month(first)} to {day_and_month(last)}" for first, last in runs])


def nothing_else_words(missed: Missed) -> str:
    """ "nothing else is ripe 21 Jun to 27 Jun", as far as is known."""
    known = "known to be ripe" if missed.undated else "ripe"
    return f"nothing else is {known} {runs_words(missed.alone)}"


def until_words(missed: Missed) -> str:
    """ " until Early Lamp bears"; empty where nothing is on the way."""
    if not missed.to_come:
        return ""
    return f" until {listed_in_short(missed.to_come)} {'bears' if len(missed.to_come) == 1 else 'bear'}"


def _variety_scores(records: Records, loss: SeasonLoss, south: bool) -> dict[Key, float]:
    """The mean over years of each year's best, of each variety that was tasted on any of its grafts."""
    tasted: dict[Key, list[Tasting]] = {}
    grafts = species_by_graft(records).keys()
    for tasting in records.tastings:
        if tasting.score is not None and tasting.graft in grafts:
            tasted.setdefault(loss.key(tasting.graft), []).append(tasting)
    best = {key: best_of_years(held, south) for key, held in tasted.items()}
    return {key: sum(years.values()) / len(years) for key, years in best.items()}


def _beside(own: Key, score: float | None, loss: SeasonLoss, scores: Mapping[Key, float]) -> Beside:
    with_it = [key for key in loss.standing() if key != own and key[0] == own[0] and loss.good_together(own, key)]
    scored = sorted(((loss.name(key), scores[key]) for key in with_it if key in scores), key=lambda one: (-one[1], one))
    unscored = sorted(loss.name(key) for key in with_it if key not in scores)
    mean = sum(of for _, of in scored) / len(scored) if scored else None
    rank = None if score is None or not scored else 1 + sum(of > score for _, of in scored)
    return Beside(tuple(scored), tuple(unscored), mean, rank)


def _suggested(found: Sequence[VerdictReasons], loss: SeasonLoss) -> tuple[VerdictReasons, ...]:
    """With the suggestions; what is to be cut is asked for from the poorest on."""
    gone: list[str] = []
    words: dict[str, tuple[Verdict, str]] = {}
    doubted = [one for one in found if one.verdict == "on trial" and _speaks_against(one)]
    for one in sorted(doubted, key=lambda one: (one.crops.score or 0.0, one.graft)):
        held = _held_by(one, loss, gone)
        against = _speaks_against(one)
        if held:
            words[one.graft] = "on trial", f"{against}, but {held}"
        else:
            words[one.graft] = "cut", f"{against}, and the season loses nothing"
            gone.append(one.graft)
    return tuple(
        one
        if one.verdict != "on trial"
        else replace(one, suggestion=_suggestion(one, *(words.get(one.graft) or _undoubted(one))))
        for one in found
    )


def _suggestion(one: VerdictReasons, suggested: Verdict, because: str) -> Suggestion:
    crops = one.crops
    said = f"{crops.words}: {because}." if because else crops.waits_for
    return Suggestion(one.graft, one.variety, suggested, said, crops.years, crops.bare_years, crops.score)


def _speaks_against(one: VerdictReasons) -> str:
    """Why its scores speak for cutting it; empty where they do not, or where it is too early."""
    score, mean = one.crops.score, one.beside.mean
    if score is None or one.crops.waits_for or score >= KEEP_FROM:
        return ""
    if score <= CUT_TO:
        return "poor"
    return f"{_apart(one)} below {_others(one)}" if mean is not None and mean - score >= MARGIN else ""


def _held_by(one: VerdictReasons, loss: SeasonLoss, gone: Sequence[str]) -> str:
    """For what it would be missed, once those that are `gone` are cut; empty for nothing."""
    missed = loss.of(one.graft, gone)
    if not missed.good:
        return "when it ripens is not known"
    if missed.alone:
        first = "" if missed.alone == one.missed.alone else _once_cut(one, loss, gone)
        return f"{first}{nothing_else_words(missed)}{until_words(missed)}"
    if missed.partner_of:
        first = "" if missed.partner_of == one.missed.partner_of else _once_cut(one, loss, gone, partners=True)
        return f"{first}it is the only known partner in bloom of {listed_in_short(missed.partner_of)}"
    return ""


def _once_cut(one: VerdictReasons, loss: SeasonLoss, gone: Iterable[str], partners: bool = False) -> str:
    """ "once Dull Lamp is cut, ": what was still there in its weeks, or as a partner, and is to be cut before it."""
    own = loss.key(one.graft)
    keys = [
        key
        for graft in gone
        if (key := loss.key(graft)) == own or (key[0] == own[0] if partners else loss.good_together(own, key))
    ]
    names = sorted({"its other graft" if key == own else loss.name(key) for key in keys})
    return f"once {listed_in_short(names)} {'is' if len(names) == 1 else 'are'} cut, "


def _undoubted(one: VerdictReasons) -> tuple[Verdict, str]:
    """Of one whose scores do not speak for cutting it."""
    score, mean = one.crops.score, one.beside.mean
    if score is None or one.crops.waits_for:
        return "on trial", ""
    if score >= KEEP_FROM:
        return "keep", "good enough to keep"
    if one.missed.alone:
        return "keep", f"neither good nor poor, and {nothing_else_words(one.missed)}{until_words(one.missed)}"
    if not one.missed.good:
        return "on trial", "neither good nor poor, and when it ripens is not known, so there is nothing to compare with"
    if mean is None:
        return "on trial", f"neither good nor poor, and no other {one.species} of its weeks has a score to compare with"
    if score >= mean:
        return "keep", f"no worse than {_others(one)}"
    return "on trial", f"only {_apart(one)} below {_others(one)}, which may be chance"


def _apart(one: VerdictReasons) -> str:
    assert one.crops.score is not None
    assert one.beside.mean is not None
    return f"{one.beside.mean - one.crops.score:.1f}"


def _others(one: VerdictReasons) -> str:
    number = len(one.beside.scored)
    if number == 1:
        return f"{one.beside.scored[0][0]}, which is good in the same weeks"
    return f"the {number_word(number)} other varieties of {one.species} that are good in the same weeks"

"""The parts of a report about grafts: what was set and took, what was lost, and whose wood it was."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from tendwork.almanac.seasons import Season
from tendwork.orchard.wording import counted, listed
from tendwork.planning.season_grafts import Loss, LossKind, Tally
from tendwork.planning.season_report import SeasonReport
from tendwork.planning.season_wood import Awaited, Given, Received, Thanks
from tendwork.view.report_blocks import Block, Items, Part, Said, Table
from tendwork.view.report_days import noted_words, season_day
from tendwork.view.text import plain

_SET_HEAD = ("set", "took", "failed", "not known")
_KINDS: dict[LossKind, str] = {
    "failed": "failed",
    "broken off": "broken off",
    "judged cut": "taken off, judged cut",
    "taken off": "taken off",
}
_ANSWERS = {"promised": "promised, not here", "refused": "refused", "": "no answer noted"}


def takes_part(report: SeasonReport) -> Part:
    """What was set and took, by method, by wood and by its age."""
    grafts = report.grafts
    if not grafts.total.set:
        return Part("Set and took", (Said("Nothing noted: no graft has a day of this season as the day it was set."),))
    blocks: list[Block] = [
        _tally_table("By method", grafts.by_method, grafts.total),
        _tally_table("By wood from", grafts.by_giver, grafts.total),
        _tally_table("By age of the wood", grafts.by_wood_age, grafts.total),
    ]
    if grafts.by_year_alone:
        only = counted(grafts.by_year_alone, "graft")
        blocks.append(Said(f"Of {only} no more than the year is noted, which counts to the season of that year."))
    return Part("Set and took", tuple(blocks))


def losses_part(report: SeasonReport) -> Part:
    """What was lost, and what was seen on trees; why something was lost is said only as far as it was noted."""
    grafts, season = report.grafts, report.season
    blocks: list[Block] = []
    if grafts.losses:
        kinds = Counter(_KINDS[loss.kind] for loss in grafts.losses)
        counts = listed(f"{number} {kind}" for kind, number in sorted(kinds.items(), key=lambda one: (-one[1], one[0])))
        blocks.append(Said(f"{len(grafts.losses)} {'loss' if len(grafts.losses) == 1 else 'losses'}: {counts}."))
        blocks.append(Items(tuple(plain(_loss_words(loss, season)) for loss in grafts.losses)))
    else:
        blocks.append(Said("No loss is noted in this season."))
    if grafts.undated:
        names = _in_short([f"{loss.variety} ({loss.graft})" for loss in grafts.undated])
        gone = f"{counted(len(grafts.undated), 'graft')} set by then {_is(len(grafts.undated))} gone on a day not noted"
        blocks.append(Said(plain(f"{gone}, in this season or another: {names}.")))
    if grafts.signs:
        blocks.append(Said("Seen on trees:"))
        signs = (
            f"{sign.what}: " + ", ".join(f"{tree} ({season_day(day, season)})" for tree, day in sign.seen)
            for sign in grafts.signs
        )
        blocks.append(Items(tuple(map(plain, signs))))
    else:
        blocks.append(Said("No disease, gnawed bark or storm is noted on any tree."))
    return Part("Lost", tuple(blocks))


def wood_part(report: SeasonReport) -> Part:
    """Wood that came, went and was cut here, and whom to thank."""
    wood, season = report.wood, report.season
    blocks: list[Block] = []
    if wood.received:
        blocks.append(Said("Received:"))
        blocks.append(Items(tuple(plain(_received_words(one, season)) for one in wood.received)))
    else:
        blocks.append(Said("No wood is noted as received."))
    if wood.awaited:
        blocks.append(Said("Asked for, and not here:"))
        blocks.append(Items(tuple(plain(_awaited_words(one)) for one in wood.awaited)))
    if wood.given:
        blocks.append(Said("Given:"))
        blocks.append(Items(tuple(plain(_given_words(one, season)) for one in wood.given)))
    else:
        blocks.append(Said("No wood is noted as given."))
    if wood.own_bundles:
        bundles = counted(wood.own_bundles, "bundle")
        blocks.append(Said(f"Cut from own trees: {bundles}, {counted(wood.own_sticks, 'stick')} left."))
    if wood.thanks:
        blocks.append(Said("Thanks to:"))
        thanked = (_thanks_words(one) for one in wood.thanks)
        blocks.append(Items(tuple(map(plain, thanked))))
    return Part("Wood given and received", tuple(blocks))


def _tally_table(name: str, tallies: Iterable[Tally], total: Tally) -> Table:
    rows = [(plain(one.of), *_counts(one)) for one in tallies]
    return Table((name, *_SET_HEAD), (*rows, ("all", *_counts(total))))


def _counts(tally: Tally) -> tuple[str, ...]:
    return tuple(str(number) for number in (tally.set, tally.took, tally.failed, tally.unknown))


def _loss_words(loss: Loss, season: Season) -> str:
    if not loss.graft:
        return f"{loss.tree}, the whole tree: {_KINDS[loss.kind]}, {noted_words(loss.day, season)}."
    said = f"{loss.variety} ({loss.graft}), {loss.tree}: {_KINDS[loss.kind]}, {noted_words(loss.day, season)}"
    said += f"; set {noted_words(loss.set_on, season)}" if loss.set_on is not None else ""
    said += f"; noted: {loss.note.rstrip('.')}" if loss.note else ""
    seen = listed(f"{what} ({season_day(day, season)})" for what, day in loss.signs) if loss.signs else ""
    return f"{said}{f'; seen on its tree before: {seen}' if seen else ''}."


def _received_words(one: Received, season: Season) -> str:
    said = f"{one.who}: {one.variety} ({one.species}), {noted_words(one.day, season)}"
    if one.grafts:
        said += f"; {counted(one.grafts, 'graft')} set from it, {one.took} took"
    else:
        said += "; no graft is noted as set from it"
    return f"{said}; {counted(one.sticks, 'stick')} left." if one.sticks else f"{said}; none left."


def _awaited_words(one: Awaited) -> str:
    return f"{one.who}: {one.variety} ({one.species}), {counted(one.sticks, 'stick')}: {_ANSWERS[one.answer]}."


def _thanks_words(one: Thanks) -> str:
    """ "P. Hill, for Red Lamp, which took"; of several that did not all take, which did."""
    said = f"{one.who}, for {listed(one.gave)}"
    if one.took == one.gave:
        return f"{said}, {'which' if len(one.gave) == 1 else 'all of which'} took."
    return f"{said}; {listed(one.took)} took." if one.took else f"{said}."


def _given_words(one: Given, season: Season) -> str:
    said = f"{one.who}: {one.variety} ({one.species})"
    if one.sent_on is None:
        return f"{said}, {counted(one.sticks, 'stick')} promised, not ticked as sent."
    return f"{said}, sent {season_day(one.sent_on, season)}."


def _in_short(names: list[str]) -> str:
    most = 6
    return listed(names) if len(names) <= most else f"{', '.join(names[:most])} and {len(names) - most} more"


def _is(number: int) -> str:
    return "is" if number == 1 else "are"

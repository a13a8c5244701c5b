"""What to graft where, in words and as JSON: `tendwork propose`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from tendwork.orchard.crown import place_words
from tendwork.orchard.fruit_year import month_day_of
from tendwork.orchard.records import Tree
from tendwork.orchard.ripening import HIGH_SUMMER, WEEKS
from tendwork.orchard.variety_words import MonthDay, span_text
from tendwork.planning.choosing import Line, Proposal, Swap
from tendwork.planning.graft_asking import WoodNeed
from tendwork.planning.graft_candidates import Candidate
from tendwork.planning.graft_places import OpenPlace
from tendwork.planning.season_cover import longest_run
from tendwork.view.json_shape import Shape
from tendwork.view.text import plain, wrapped
from tendwork.view.words import counted, full_day, in_units, short_day

_INDENT = "    "
_HOW_TO_ACCEPT = (
    "Nothing is written. The same command with --accept plans these grafts in one act, which undo takes back."
)


def accepted_lines(lines: Iterable[Line]) -> list[str]:
    """Place, variety and method of what is planned: "g13 on Old Hallow: Gate Bramley, whip and tongue"."""
    return [plain(f"{line.place.id} on {line.place.tree_name}: {_what(line)}, {line.place.method}") for line in lines]


def pin_options(swap: Swap) -> str:
    """The options that do a swap."""
    return " ".join(f'--pin "{pin.variety}={pin.place}"' for pin in swap.pins)


def proposal_text(
    proposal: Proposal,
    needs: Sequence[WoodNeed],
    trees: Iterable[Tree],
    today: date,
    south: bool,
    units: str,
    width: int,
    swap: Swap | None = None,
    how_to_accept: str = _HOW_TO_ACCEPT,
) -> str:
    """The season before and after, the lines by tree with their reasons, the wood, and what is not chosen or known."""
    names = {tree.id: tree.name for tree in trees}
    parts = [_season_lines(proposal, south, width)]
    parts += _tree_parts(proposal.lines, units, width)
    if proposal.lines:
        parts.append(["Wood", *(line for need in needs for line in need_lines(need, names, today, width))])
    if proposal.lacking:
        parts.append(wrapped(f"No partner in bloom is known for: {', '.join(map(plain, proposal.lacking))}.", width))
    parts.append(_free_lines(proposal.empty, units, width))
    parts.append(_grouped("Go nowhere", proposal.not_chosen, width))
    parts.append(_grouped("Not known", proposal.not_known, width))
    parts.append(_listed("To know", (*proposal.limits, *proposal.notes), width))
    if swap is not None:
        parts.append(wrapped(plain(swap.words), width))
    if proposal.lines:
        how = how_to_accept if swap is None else _how_to_accept_swapped(swap)
        parts.append(wrapped(plain(how), width))
    return "\n\n".join("\n".join(part) for part in parts if part)


def _how_to_accept_swapped(swap: Swap) -> str:
    if not swap.pins:
        return "Nothing is written. The same command without --swap and with --accept plans these grafts in one act."
    return (
        f"Nothing is written. To swap them, give {pin_options(swap)} instead of --swap and of other pins of the two; "
        "with --accept, that plans the grafts in one act, which undo takes back."
    )


def _what(line: Line) -> str:
    same = line.candidate.species == line.place.species
    return line.candidate.variety + ("" if same else f", {line.candidate.species}")


def weeks_words(weeks: Sequence[int], south: bool) -> str:
    """The runs of weeks as days: "21 Jun to 27 Jun, 15 Nov to 19 Dec"; "none" where there are none."""
    runs: list[list[int]] = []
    for week in weeks:
        if runs and runs[-1][-1] == week - 1:
            runs[-1].append(week)
        else:
            runs.append([week])
    return ", ".join(f"{_day(run[0] * 7, south)} to {_day(run[-1] * 7 + 6, south)}" for run in runs) or "none"


def _day(days: int, south: bool) -> str:
    day = date(2001, *month_day_of(HIGH_SUMMER + days, south))
    return short_day(day, day)


def _season_lines(proposal: Proposal, south: bool, width: int) -> list[str]:
    number = len(proposal.lines)
    made = f"{counted(number, 'graft')} proposed." if number else "No graft is proposed."
    season = f"{_day(0, south)} to {_day(WEEKS * 7 - 1, south)}"
    lines = wrapped(f"What to graft next spring: {made}", width)
    then = f"; with these grafts, once they bear, {_bare_words(proposal.after)}" if number else ""
    said = f"Of the {WEEKS} weeks from {season}: now {_bare_words(proposal.before)}{then}."
    lines += wrapped(said, width)
    if proposal.before:
        lines += wrapped(f"Now: {weeks_words(proposal.before, south)}.", width, _INDENT)
    if proposal.after and proposal.after != proposal.before:
        lines += wrapped(f"Then: {weeks_words(proposal.after, south)}.", width, _INDENT)
    return lines


def _bare_words(weeks: Sequence[int]) -> str:
    if not weeks:
        return "none without ripe fruit"
    on_end = longest_run(weeks)
    return f"{len(weeks)} without ripe fruit" + (f", {on_end} of them on end" if on_end > 1 else "")


def _tree_parts(lines: Sequence[Line], units: str, width: int) -> list[list[str]]:
    parts = []
    for tree in dict.fromkeys(line.place.tree for line in lines):
        own = [line for line in lines if line.place.tree == tree]
        part = [plain(f"{own[0].place.tree_name} ({tree}), {own[0].place.species}")]
        for line in own:
            head = f"{line.place.id}: {_what(line)}, {line.place.method}; {_where(line.place, units)}."
            part += wrapped(plain(head), width, "  ", _INDENT)
            part += wrapped(in_units(plain(line.reason), units), width, _INDENT)
        parts.append(part)
    return parts


def _where(place: OpenPlace, units: str) -> str:
    where = in_units(place_words(place.place), units) or "place not noted"
    return f"{where}; {'was' if place.free_now else 'instead of'} {place.was}"


def need_lines(need: WoodNeed, trees: Mapping[str, str], today: date, width: int) -> list[str]:
    """The wood of one variety: how much of it, from where, and by when it is to be asked for; `trees` by id."""
    return wrapped(plain(f"{need.variety} ({need.species}): {_need_words(need, trees, today)}."), width, "- ", "  ")


def _need_words(need: WoodNeed, trees: Mapping[str, str], today: date) -> str:
    sticks = counted(need.sticks, "bud stick" if need.buds else "stick")
    giver = trees.get(need.giver, need.giver)
    if need.source == "in hand":
        return f"{sticks} of {need.bundle}, in hand"
    if need.source == "promised":
        return f"{sticks} of {need.bundle}, promised by {giver}" if giver else f"{sticks} of {need.bundle}, promised"
    if need.source == "on a tree here":
        return f"{sticks} to cut from {giver}"
    if need.source == "asked for":
        return f"{sticks} asked for, no answer yet" + (f" from {giver}" if giver else "")
    said = f"ask {giver} for {sticks}" if giver else f"ask for {sticks}: who has it is not known"
    if need.buds:
        return f"{said}, in summer"
    if need.by is None:
        return f"{said}; no rule says by when"
    return f"{said}, by {full_day(need.by)}" if need.by >= today else f"{said} now, that day was {full_day(need.by)}"


def _free_lines(empty: Sequence[OpenPlace], units: str, width: int) -> list[str]:
    said = [f"{place.id} on {place.tree_name} ({place.tree}), {_where(place, units)}" for place in empty]
    return _listed("Places for which nothing is proposed", said, width)


def _grouped(title: str, held: Mapping[str, Sequence[Candidate]], width: int) -> list[str]:
    said = [f"{', '.join(f'{one.variety} ({one.species})' for one in found)}: {why}" for why, found in held.items()]
    return _listed(title, said, width)


def _listed(title: str, sentences: Iterable[str], width: int) -> list[str]:
    lines = [line for sentence in sentences for line in wrapped(plain(sentence), width, "- ", "  ")]
    return [title, *lines] if lines else []


def proposal_shape(
    proposal: Proposal, needs: Sequence[WoodNeed], today: date, south: bool, swap: Swap | None = None
) -> Shape:
    """`propose --json`: the season, the lines with their reasons, the wood, and what is not chosen or known."""
    shape: Shape = {
        "today": today.isoformat(),
        "season": {
            "weeks": WEEKS,
            "from": _month_day(month_day_of(HIGH_SUMMER, south)),
            "bare_before": [_week(week, south) for week in proposal.before],
            "bare_after": [_week(week, south) for week in proposal.after],
            "longest_before": longest_run(proposal.before),
            "longest_after": longest_run(proposal.after),
        },
        "lines": [_line_shape(line) for line in proposal.lines],
        "wood": [
            {
                "species": need.species,
                "variety": need.variety,
                "sticks": need.sticks,
                "source": need.source,
                "from": need.giver,
                "bundle": need.bundle,
                "ask_by": None if need.by is None else need.by.isoformat(),
            }
            for need in needs
        ],
        "without_partner": list(proposal.lacking),
        "misfits": proposal.worth.misfit,
        "free": [{"place": place.id, "tree": place.tree} for place in proposal.empty],
        "not_chosen": _by_variety(proposal.not_chosen),
        "not_known": [
            {"species": one.species, "variety": one.variety, "unknown": list(one.unknown)}
            for found in proposal.not_known.values()
            for one in found
        ],
        "limits": list(proposal.limits),
        "notes": list(proposal.notes),
    }
    if swap is not None:
        possible = swap.worth is not None
        misfits = None if swap.worth is None else swap.worth.misfit - proposal.worth.misfit
        shape["swap"] = {"possible": possible, "misfits": misfits, "because": swap.words}
    return shape


def _line_shape(line: Line) -> Shape:
    one, place = line.candidate, line.place
    return {
        "place": place.id,
        "tree": place.tree,
        "was": place.was,
        "free_now": place.free_now,
        "species": one.species,
        "variety": one.variety,
        "method": place.method,
        "source": one.source,
        "copy_of": one.copy_of,
        "ripe": "" if one.fruit is None else span_text(*((day.month, day.day) for day in one.fruit.days)),
        "pinned": line.pinned,
        "because": line.reason,
    }


def _by_variety(held: Mapping[str, Sequence[Candidate]]) -> list[Shape]:
    return [
        {"species": one.species, "variety": one.variety, "because": why} for why, found in held.items() for one in found
    ]


def _month_day(day: MonthDay) -> str:
    return f"{day[0]:02d}-{day[1]:02d}"


def _week(week: int, south: bool) -> str:
    """The first day of a week, as "MM-DD"."""
    return _month_day(month_day_of(HIGH_SUMMER + week * 7, south))

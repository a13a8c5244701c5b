"""A proposal of what to graft where in sentences: the season, the chosen line, and what a wish changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from tendwork.errors import PersonError
from tendwork.orchard.crown import place_words
from tendwork.orchard.ripening import WEEKS
from tendwork.planning.choosing import Proposal, Swap, Wishes
from tendwork.planning.fruit_spans import FruitSpan
from tendwork.planning.graft_asking import WoodNeed
from tendwork.planning.graft_picks import Pick
from tendwork.planning.graft_places import OpenPlace
from tendwork.planning.season_cover import longest_run
from tendwork.view.choosing import need_lines
from tendwork.view.choosing_rows import CandidateRow, PlaceChoice, season_days
from tendwork.view.text import plain, wrapped
from tendwork.view.words import counted, in_units, minutes_words, short_day, span_words

_MOST_DIGITS, _MOST_HOURS = 4, 9999
_LEAP_YEAR = 2000
_NAMED = 2  # varieties that a change names one by one


def season_words(proposal: Proposal, minutes: float, south: bool) -> str:
    """The season without and with the proposed grafts, how many these are, and how long they take."""
    first, last = season_days(south)
    number, bare = len(proposal.lines), len(proposal.before)
    said = f"{WEEKS} weeks from {short_day(first, first)} to {short_day(last, last)}: "
    said += f"now {bare or 'none'} without ripe fruit"
    if not number:
        return f"{said}. No graft is proposed."
    these = f"{'this' if number == 1 else 'these'} {counted(number, 'new graft')}"
    said += f"; with {these}, once {'it bears' if number == 1 else 'they bear'}, {len(proposal.after) or 'none'}"
    return f"{said}. About {minutes_words(minutes)} of grafting."


def limit_words(wishes: Wishes) -> str:
    """What the person limits, pins and forbids; empty where that is nothing."""
    said = [] if wishes.new is None else [f"at most {counted(wishes.new, 'new graft')}"]
    said += [] if wishes.hours is None else [f"as many as fit into {wishes.hours:g} h with what is planned"]
    said += [f"{len(wishes.pins)} pinned"] if wishes.pins else []
    said += [f"{len(wishes.forbids)} forbidden"] if wishes.forbids else []
    return f"Your wishes, until you accept or leave: {', '.join(said)}." if said else ""


def pick_words(pick: Pick) -> str:
    """ "Margil at g13", "Margil", "g13"."""
    return plain(" at ".join(filter(None, (pick.variety, pick.place))))


def dropped_words(before: Wishes, after: Wishes) -> str:
    """Which wishes are dropped, since the records changed."""
    picks = [pick for pick in (*before.pins, *before.forbids) if pick not in (*after.pins, *after.forbids)]
    named = ", ".join(map(pick_words, picks))
    return f"The records changed, so these wishes are dropped: {named}." if picks else "Your wishes are dropped."


def cost_words(proposal: Proposal, swap: Swap) -> str:
    """What a swap costs, in a few words."""
    if swap.worth is None:
        return "cannot be swapped"
    more = swap.worth.misfit - proposal.worth.misfit
    if not more:
        return "costs nothing"
    return f"{counted(abs(more), 'thing')} {'more' if more > 0 else 'fewer'} against a place"


def change_words(before: Proposal, after: Proposal) -> str:
    """What is other in a proposal than in the one before: weeks without fruit, grafts, what moved, and new limits."""
    said = [_weeks_change(len(before.after), len(after.after), longest_run(before.after), longest_run(after.after))]
    grafts = len(after.lines) - len(before.lines)
    if grafts:
        said.append(f"{counted(abs(grafts), 'graft')} {'more' if grafts > 0 else 'fewer'}")
    was = {line.candidate.key: line for line in before.lines}
    now = {line.candidate.key: line for line in after.lines}
    out = [line.candidate.variety for key, line in was.items() if key not in now]
    come = [f"{line.candidate.variety} ({line.place.id})" for key, line in now.items() if key not in was]
    moved = [
        f"{line.candidate.variety} to {line.place.id}"
        for key, line in now.items()
        if key in was and was[key].place.id != line.place.id
    ]
    said += [f"{what} {_named(names)}" for what, names in (("new:", come), ("moved:", moved), ("out:", out)) if names]
    limits = [limit for limit in after.limits if limit not in before.limits]
    return " ".join([f"{'; '.join(said)}.", *limits])


def place_title(row: PlaceChoice) -> str:
    """The place, and what is proposed there."""
    if row.place is None:
        return row.heading
    if row.line is None:
        what = "nothing, forbidden by you" if row.state == "forbidden" else "nothing; enter chooses a candidate"
    else:
        what = f"{row.line.candidate.variety}, {row.place.method}"
        what += ", pinned by you" if row.state == "pinned" else ""
    return plain(f"{row.place.id} on {row.place.tree_name}: {what}")


def place_lines(
    row: PlaceChoice, needs: Sequence[WoodNeed], trees: Mapping[str, str], today: date, units: str, width: int
) -> list[str]:
    """Why it is proposed there, from where its wood comes, and where the place is."""
    place, lines = row.place, []
    if place is None:
        if row.room is None:
            return []
        room = row.room
        counts = (
            f"{room.planned or 'No'} of {counted(room.parts, 'place')} noted {'is' if room.planned == 1 else 'are'}"
        )
        return wrapped(f"{counts} planned or set for that spring; a third of a crown a year is the most.", width)
    if row.line is not None:
        lines += wrapped(in_units(plain(row.line.reason), units), width)
        one = row.line.candidate
        own = [need for need in needs if (need.species, need.variety) == (one.species, one.variety)]
        lines += [line for need in own for line in need_lines(need, trees, today, width)]
    elif row.room is not None and not row.room.room:
        lines += wrapped("A third of this crown is changed for that spring already.", width)
    where = in_units(place_words(place.place), units) or "place not noted"
    was = f"{place.was} stood there" if place.free_now else f"{place.was} is still there, and judged cut"
    return lines + wrapped(plain(f"{where}; {was}."), width)


def candidate_title(row: CandidateRow, place: str) -> str:
    """The candidate, and for which place it is looked at."""
    one = row.candidate
    return plain(f"{one.variety} ({one.species})" + (f" for {place}: {row.here}" if place else ""))


def candidate_lines(row: CandidateRow, proposal: Proposal, place: OpenPlace | None, width: int) -> list[str]:
    """Where it goes and why, or why it goes nowhere; then what is known of it."""
    one = row.candidate
    line = next((line for line in proposal.lines if line.candidate.key == one.key), None)
    said = [f"Goes to {row.at}. {line.reason}" if line is not None else f"Goes nowhere: {row.why}"]
    if row.here == "cannot" and place is not None:
        said[0] += f" {cannot_words(row, place)}"
    known = ["when it is ripe is not known" if one.fruit is None else _fruit_words(one.fruit)]
    known += [f"keeps {one.keeps}"] if one.keeps else []
    known += [f"{one.score:.1f} of 5 when tasted"] if one.score is not None else []
    known += [f"grows {one.vigour}"] if one.vigour else []
    giver = f", {one.giver}" if one.giver else ""
    known.append(f"wood: {one.source}{giver}{f' ({one.bundle})' if one.bundle else ''}")
    unknown = [what for what in one.unknown if one.fruit is not None or what != "when it is ripe"]
    known += [f"not known: {', '.join(unknown)}"] if unknown else []
    words = "; ".join(known)
    return [
        line for sentence in (*said, f"{words[:1].upper()}{words[1:]}.") for line in wrapped(plain(sentence), width)
    ]


def cannot_words(row: CandidateRow, place: OpenPlace) -> str:
    """Why a candidate cannot stand at a place, as a sentence; empty where it can, or only a wish is against it."""
    one = row.candidate
    if row.here != "cannot":
        return ""
    if one.home == place.tree:
        return plain(f"{one.variety} stands on {place.tree_name} already.")
    return plain(
        f"{one.variety} ({one.species}) does not take on {place.tree_name} ({place.species}), or not for long."
    )


def _fruit_words(fruit: FruitSpan) -> str:
    """ "ripe 12 Oct-20 Oct, then in store to 31 Mar", of a season as usual; "picked about 5 Oct, good 1 Dec-31 Mar"."""
    if fruit.on_tree is None:
        good = "" if fruit.in_store is None else f", good {span_words(*fruit.in_store)}"
        return f"picked about {_day(fruit.picked)}{good}"
    store = "" if fruit.in_store is None else f", then in store to {_day(fruit.in_store[1])}"
    return f"ripe {span_words(*fruit.on_tree)}{store}"


def _day(day: date) -> str:
    return short_day(day, day)


def _weeks_change(before: int, after: int, run_before: int, run_after: int) -> str:
    if after != before:
        return f"{counted(abs(after - before), 'week')} {'more' if after > before else 'fewer'} without ripe fruit"
    if run_after != run_before:
        return f"as many weeks without ripe fruit, at most {run_after} on end instead of {run_before}"
    return "as many weeks without ripe fruit as before"


def _named(names: Sequence[str]) -> str:
    more = len(names) - _NAMED
    return ", ".join(names[:_NAMED]) + (f" and {more} more" if more > 0 else "")


def limits_texts(new: int | None, hours: float | None) -> dict[str, str]:
    """The limits as a form shows them; no limit is an empty line."""
    return {"new": "" if new is None else str(new), "hours": "" if hours is None else f"{hours:g}"}


def limits_read(new: str, hours: str) -> tuple[int | None, float | None]:
    """The limits that a form says. Raises PersonError for what is no number."""
    new, hours = new.strip(), hours.strip().replace(",", ".")
    if new and not (new.isascii() and new.isdigit() and len(new) <= _MOST_DIGITS):
        raise PersonError(f'"{new}" is no number of grafts: write a whole number such as 5, or nothing for no limit.')
    try:
        spent = float(hours) if hours else None
    except ValueError:
        spent = -1.0
    if spent is not None and not 0 <= spent <= _MOST_HOURS:
        raise PersonError(f'"{hours}" is no number of hours: write such as 3 or 2.5, or nothing for no limit.')
    return int(new) if new else None, spent

"""Why a variety goes to a place, why another goes nowhere, and what a change would cost: one sentence each."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from tendwork.orchard.wording import counted, listed
from tendwork.planning.graft_candidates import Candidate, WoodFrom
from tendwork.planning.graft_gain import Suits
from tendwork.planning.graft_question import Choosing, Worth
from tendwork.planning.season_cover import weeks_of

_SOURCE_WORDS: dict[WoodFrom, str] = {
    "in hand": "its wood is in hand",
    "promised": "its wood is promised",
    "on a tree here": "its wood is on a tree here",
    "asked for": "its wood is asked for",
    "to ask for": "its wood can be asked for",
    "wished for": "it is wished for",
}


def line_reason(
    candidate: Candidate,
    number: int,
    task: Choosing,
    chosen: Collection[int],
    fit: Suits,
    waiting: Sequence[tuple[str, frozenset[int]]],
    found: Sequence[Candidate],
    is_pinned: bool,
) -> str:
    """The sentence of a line, the weightiest first: pinned, the season, partners, a copy, a free place; and the fit."""
    said = ["pinned by you"] if is_pinned else []
    said += _season_words(candidate, number, task, chosen)
    helped = [name for name, partners in waiting if number in partners]
    helped += [
        found[other].variety
        for other in sorted(chosen)
        if task.choices[other].needs and number in task.choices[other].partners
    ]
    said += [f"a partner in bloom for {listed(helped)}"] if helped else []
    if candidate.copy_of:
        score = "" if candidate.score is None else f", {candidate.score:.1f} of 5 when tasted"
        said.append(f"worth keeping{score}, and only {candidate.copy_of} carries it")
    if not said:
        said.append(f"a place is left, and {_SOURCE_WORDS[candidate.source]}")
    said += [reason.rstrip(".") for reason in fit.speaks_for]
    said += [f"though {against.rstrip('.')}" for against in fit.against]
    said += ["no partner in bloom is known for it"] if _lacks(number, task, chosen) else []
    said += [] if candidate.fruit is not None else ["when it is ripe is unknown: counts for nothing"]
    text = "; ".join(said)
    return f"{text[:1].upper()}{text[1:]}."


def _season_words(candidate: Candidate, number: int, task: Choosing, chosen: Collection[int]) -> list[str]:
    own = {week for week in weeks_of(candidate.span) if week not in task.covered}
    if not own:
        return []
    others = {week for other in chosen if other != number for week in weeks_of(task.choices[other].span)}
    alone = own - others
    if alone:
        return [f"fills {counted(len(alone), 'week')} in which no other fruit is ripe"]
    return [f"fills {counted(len(own), 'week')} that others of these fill too"]


def _lacks(number: int, task: Choosing, chosen: Collection[int]) -> bool:
    return task.choices[number].needs and not task.choices[number].partners & set(chosen)


def not_chosen_reason(number: int, task: Choosing, pairs: Sequence[tuple[int, int]], fits: Sequence[Suits]) -> str:
    """Why a candidate goes nowhere, as a sentence to stand after its name."""
    choice, chosen = task.choices[number], {other for other, _ in pairs}
    if not fits:
        return "no place is free."
    can = [place for place, misfit in enumerate(choice.misfits) if misfit is not None]
    if not can:
        if any(fit.misfit is not None for fit in fits):
            return "forbidden by you."
        why = tuple(dict.fromkeys(reason for fit in fits for reason in fit.against))
        return f"{why[0].rstrip('.')}." if len(why) == 1 else "it takes on none of the trees with a free place."
    if _lacks(number, task, chosen):
        return "no partner in bloom is known for it, and it fills no week that others do not."
    if len(pairs) >= task.most < len(task.trees):
        return "no more grafts are wanted, or fit into the hours, and those chosen bring more."
    on = [task.trees[place] for _, place in pairs]
    if all(on.count(tree) >= task.room[tree] for tree in {task.trees[place] for place in can}):
        return "a third of each crown that it could go to is changed this year already."
    if all(choice.misfits[place] for place in can):
        return f"no free place suits it: {next(reason for place in can for reason in fits[place].against).rstrip('.')}."
    return "the places that suit it go to what brings more."


def swap_words(before: Worth, after: Worth) -> str:
    """What a swap of two places costs, to stand after its name: the same varieties, so only how they suit counts."""
    if after.misfit > before.misfit:
        return f"costs {counted(after.misfit - before.misfit, 'thing')} that speaks against a place"
    if after.misfit < before.misfit:
        return f"spares {counted(before.misfit - after.misfit, 'thing')} that speaks against a place"
    return "costs nothing"

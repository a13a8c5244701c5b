"""What to graft where next spring: a proposal out of what is free, what may be had and what is known. Nothing is kept.

The aims, each only among what is best in those before it: the fewest weeks from high summer to midwinter without ripe
fruit of what is kept, off the tree or out of the store, and the shortest runs of them; a partner in bloom for every
variety; each in a place that suits its growth; a second graft of what is worth keeping and stands once; and what
wood is had, or wished for, filled into the places that are left, the nearest wood first. Bounds that nothing breaks: a
third of a crown a year, the hours, and how many new grafts are wanted. It is computed exactly (`graft_assignment.py`),
and again whenever the person pins or forbids.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.orchard.edits import Edit, changes_of, checked, refusal
from tendwork.orchard.ids import next_id
from tendwork.orchard.known_since import entered
from tendwork.orchard.lives import passed_on
from tendwork.orchard.methods import is_of_a_variety, is_summer_bud
from tendwork.orchard.records import Graft, Life, Records
from tendwork.orchard.ripening import WEEKS
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import NO_REFERENCE, VarietyReference
from tendwork.orchard.wording import counted, listed, listed_in_short
from tendwork.planning.graft_assignment import best_assignment
from tendwork.planning.graft_candidates import WOOD_FROM, Candidate, Candidates, candidates, vigour_of_grafts
from tendwork.planning.graft_gain import Blooms, KeptSeason, Suits, blooms_of, kept_season, suits
from tendwork.planning.graft_picks import Pick, PickReader, pick_name
from tendwork.planning.graft_places import OpenPlace, OpenPlaces, heir_note, open_places
from tendwork.planning.graft_question import Choice, Choosing, Worth, worth_of
from tendwork.planning.graft_reasons import line_reason, not_chosen_reason, swap_words
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.season_cover import bare_weeks


class Wishes(Struct, frozen=True):
    """What the person wants: at most `new` grafts, no more than `hours` of grafting, what is pinned and forbidden.

    `minutes` are those of a graft by species and method: to set up once for every tree, and for each.
    """

    new: int | None = None
    hours: float | None = None
    pins: tuple[Pick, ...] = ()
    forbids: tuple[Pick, ...] = ()
    minutes: Mapping[tuple[str, str], tuple[float, float]] = {}


class Line(Struct, frozen=True):
    """One planned graft of the proposal, and in one sentence why. `wood_to_ask` says that its wood is nowhere yet."""

    candidate: Candidate
    place: OpenPlace
    reason: str
    pinned: bool = False

    @property
    def wood_to_ask(self) -> bool:
        return self.candidate.source in ("to ask for", "wished for")


class Swap(Struct, frozen=True):
    """What it would cost to swap what two places get; `worth` is None where one of the two cannot stand there.

    `pins` are those that do it.
    """

    words: str
    worth: Worth | None = None
    pins: tuple[Pick, ...] = ()


class Proposal(Struct, frozen=True):
    """What to graft where, and what it comes to: bare weeks of the season by number, `before` and `after`.

    `not_chosen` are the candidates that go nowhere and `not_known` those of which something is not known, by the
    sentence that says it; `lacking` are the varieties without a known partner in bloom. `empty` are the places that
    stay free. `notes` are sentences on what is no candidate or no place, and `limits` on what bounds the number.
    """

    lines: tuple[Line, ...]
    before: tuple[int, ...]
    after: tuple[int, ...]
    worth: Worth
    not_chosen: Mapping[str, tuple[Candidate, ...]]
    not_known: Mapping[str, tuple[Candidate, ...]]
    lacking: tuple[str, ...]
    empty: tuple[OpenPlace, ...]
    notes: tuple[str, ...]
    limits: tuple[str, ...]
    task: Choosing
    pairs: tuple[tuple[int, int], ...]
    places: OpenPlaces
    candidates: Candidates


def propose(
    records: Records,
    today: date,
    south: bool,
    dates: Sequence[RipeDates],
    wishes: Wishes | None = None,
    reference: VarietyReference = NO_REFERENCE,
) -> Proposal:
    """The best proposal as of a day, with the ripening `dates` of its season.

    Raises PersonError for a pin or a forbid that names nothing, or cannot be kept.
    """
    return _Proposing(records, today, south, dates, wishes or Wishes(), reference).proposal()


def swap_cost(proposal: Proposal, one: str, other: str) -> Swap:
    """What it would cost to swap what two places get, by their ids. Raises PersonError for a place without a line."""
    held = {line.place.id: pair for line, pair in zip(proposal.lines, proposal.pairs, strict=True)}
    if len(held) < 2:
        raise PersonError("Fewer than two grafts are proposed, so there is nothing to swap.")
    for place in (one, other):
        if place not in held:
            raise PersonError(f'Nothing is proposed for "{place}". Name two of: {listed(held)}.')
    if one == other:
        raise PersonError(f"{one} cannot be swapped with itself. Name two places.")
    (first, first_place), (second, second_place) = held[one], held[other]
    choices, found = proposal.task.choices, proposal.candidates.candidates
    for choice, number in ((first, second_place), (second, first_place)):
        if choices[choice].misfits[number] is None:
            name = proposal.places.places[number].id
            return Swap(f"{found[choice].variety} cannot stand at {name}, so the two cannot be swapped.")
    swapped = {first_place: second, second_place: first}
    worth = worth_of(proposal.task, [(swapped.get(place, choice), place) for choice, place in proposal.pairs])
    what = f"Swapping {found[first].variety} ({one}) and {found[second].variety} ({other})"
    pins = (Pick(pick_name(found[second], found), one), Pick(pick_name(found[first], found), other))
    return Swap(f"{what} {swap_words(proposal.worth, worth)}.", worth, pins)


def picks_of(proposal: Proposal) -> tuple[Pick, ...]:
    """What is proposed where, as it would be pinned."""
    found = proposal.candidates.candidates
    return tuple(Pick(pick_name(line.candidate, found), line.place.id) for line in proposal.lines)


def refuse_other(proposal: Proposal, shown: Sequence[Pick]) -> None:
    """Raise PersonError where other grafts are proposed than those that were shown."""
    now = picks_of(proposal)
    if set(now) == set(shown):
        return
    come = [f"{pick.variety} at {pick.place}" for pick in now if pick not in shown]
    gone = [f"{pick.variety} at {pick.place}" for pick in shown if pick not in now]
    said = [
        f"{listed_in_short(names)} {'is' if len(names) == 1 else 'are'} {what}"
        for names, what in ((come, "proposed now"), (gone, "not proposed any more"))
        if names
    ]
    raise PersonError(f"The records changed since: {'; '.join(said)}. Look, and accept again.")


def accepted(records: Records, proposal: Proposal, today: date) -> Edit:
    """The proposal as planned grafts, one edit. A place that is free keeps its id, and what stood there as a life.

    Where the limb to cut still stands, or the day of what stood there is not known, the planned graft gets an id of its
    own, and its note says whose place it takes.
    """
    if not proposal.lines:
        return refusal("There is nothing to accept: no graft is proposed.")
    grafts = {graft.id: graft for graft in records.grafts}
    replaced: list[Graft] = []
    added: list[Graft] = []
    lives: list[Life] = []
    for line in proposal.lines:
        before = grafts[line.place.id]
        keeps_id = line.place.free_now and before.set_on is not None
        if keeps_id:
            after, life = passed_on(records, before, _planned(line, replace(before, state="planned")), today, _GIVEN)
            if life is not None:
                lives.append(life)
                replaced.append(after)
                continue
        identity = next_id((*records.grafts, *added), "g")
        fresh = Graft(
            identity,
            before.tree,
            "",
            facing=before.facing,
            height_m=before.height_m,
            out_m=before.out_m,
            note=heir_note(before.id),
        )
        added.append(entered(_planned(line, fresh), today))
    names = listed_in_short([f"{pick.variety} at {pick.place}" for pick in picks_of(proposal)])
    words = f"{counted(len(proposal.lines), 'graft')} planned as proposed: {names}"
    return checked(records, Edit(words, changes_of(replace=replaced, add=(*added, *lives))), today)


_GIVEN = ("variety", "species", "method", "wood")


def _planned(line: Line, graft: Graft) -> Graft:
    candidate, place = line.candidate, line.place
    return replace(
        graft,
        variety=candidate.variety,
        species="" if candidate.species == place.species else candidate.species,
        method=place.method,
        wrap="",
        seal="",
        wood="" if place.method == "chip bud" else candidate.bundle,
    )


class _Proposing:
    def __init__(
        self,
        records: Records,
        today: date,
        south: bool,
        dates: Sequence[RipeDates],
        wishes: Wishes,
        reference: VarietyReference,
    ) -> None:
        self._records, self._today, self._wishes = records, today, wishes
        self._book = VarietyBook(records, reference)
        self._places = open_places(records, today, south, vigour_of_grafts(records, self._book))
        self._found = candidates(records, today, south, self._book, dates)
        self._kept = kept_season(records, today, south, self._book, dates)
        self._trees = {tree.id: tree for tree in records.trees}

    def proposal(self) -> Proposal:
        found, places = self._found.candidates, self._places.places
        fits = [[suits(one, place, self._trees, self._today) for place in places] for one in found]
        reader = PickReader(found, self._places, self._book)
        pins = reader.pinned(self._wishes.pins)
        forbidden = reader.forbidden(self._wishes.forbids, self._wishes.pins)
        blooms = blooms_of(self._records, found, self._book)
        kept = self._kept
        trees = [room.tree for room in self._places.rooms]
        most, limits = self._most()
        reader.refuse_too_many(pins, self._wishes.new, most)
        task = Choosing(
            WEEKS,
            kept.weeks,
            tuple(self._choice(number, fits[number], blooms, forbidden) for number in range(len(found))),
            tuple(trees.index(place.tree) for place in places),
            tuple(room.room for room in self._places.rooms),
            most,
            tuple(partners for _, partners in blooms.waiting),
            pins,
        )
        best = best_assignment(task)
        return self._told(task, best.pairs, best.worth, fits, blooms, limits, kept)

    def _choice(
        self, number: int, fits: Sequence[Suits], blooms: Blooms, forbidden: frozenset[tuple[int, int]]
    ) -> Choice:
        candidate = self._found.candidates[number]
        return Choice(
            candidate.span,
            tuple(None if (number, place) in forbidden else fit.misfit for place, fit in enumerate(fits)),
            blooms.needs[number],
            blooms.partners[number],
            int(bool(candidate.copy_of)),
            WOOD_FROM.index(candidate.source),
            frozenset(place for place, fit in enumerate(fits) if fit.speaks_for),
        )

    def _most(self) -> tuple[int, tuple[str, ...]]:
        """How many new grafts there may be, and what bounds that."""
        wishes, most, limits = self._wishes, len(self._places.places), []
        for room in self._places.rooms:
            if room.planned:
                planned = f"{counted(room.planned, 'graft')} planned or set for that spring"
                takes = f"it takes {room.room or 'no'} more, a third in all"
                limits.append(f"{room.tree_name}: {planned}; of {counted(room.parts, 'place')} noted {takes}.")
        if wishes.new is not None:
            most = min(most, wishes.new)
        if wishes.hours is not None:
            fit, said = self._in_hours(wishes.hours)
            most = min(most, fit)
            limits.append(said)
        return most, tuple(limits)

    def _in_hours(self, hours: float) -> tuple[int, str]:
        """As many as surely fit: each is counted as long as the slowest of the methods, each tree is set up once."""
        species = {tree.id: tree.species for tree in self._records.trees}
        planned = [
            graft
            for graft in self._records.grafts
            if graft.state == "planned" and is_of_a_variety(graft) and not is_summer_bud(graft)
        ]
        methods = {(place.species, place.method) for place in self._places.places}
        setup, slowest = (max((self._minutes(*one)[part] for one in methods), default=0.0) for part in (0, 1))
        trees = {graft.tree for graft in planned} | {place.tree for place in self._places.places}
        taken = len(trees) * setup + sum(
            self._minutes(species.get(graft.tree, ""), graft.method, slowest)[1] for graft in planned
        )
        left = max(0.0, hours * 60 - taken)
        fit = int(left // slowest) if slowest else len(self._places.places)
        what = (
            f"{counted(len(planned), 'graft')} planned already and setting up take {taken:g} of {hours * 60:g} minutes"
        )
        return fit, f"{what}; at {slowest:g} minutes a graft there is time for {fit} more."

    def _minutes(self, species: str, method: str, unknown: float = 0.0) -> tuple[float, float]:
        return self._wishes.minutes.get((species, method), (0.0, unknown))

    def _told(
        self,
        task: Choosing,
        pairs: tuple[tuple[int, int], ...],
        worth: Worth,
        fits: Sequence[Sequence[Suits]],
        blooms: Blooms,
        limits: tuple[str, ...],
        kept: KeptSeason,
    ) -> Proposal:
        found, places = self._found.candidates, self._places.places
        order = sorted(pairs, key=lambda pair: pair[1])
        chosen = {choice for choice, _ in order}
        pinned = set(task.pins)
        lines = tuple(
            Line(
                found[choice],
                places[place],
                line_reason(
                    found[choice],
                    choice,
                    task,
                    chosen,
                    fits[choice][place],
                    blooms.waiting,
                    found,
                    (choice, place) in pinned,
                ),
                (choice, place) in pinned,
            )
            for choice, place in order
        )
        spans = [task.choices[choice].span for choice in chosen]
        filled = {place for _, place in order}
        not_chosen: dict[str, list[Candidate]] = {}
        not_known: dict[str, list[Candidate]] = {}
        for number, one in enumerate(found):
            if number not in chosen:
                not_chosen.setdefault(not_chosen_reason(number, task, order, fits[number]), []).append(one)
            if one.unknown:
                not_known.setdefault(f"{listed(one.unknown)} is not known: counts for nothing.", []).append(one)
        lacking = [name for name, partners in blooms.waiting if not partners & chosen]
        lacking += [
            found[number].variety
            for number in sorted(chosen)
            if task.choices[number].needs and not task.choices[number].partners & chosen
        ]
        notes = [*self._found.left_aside, *self._places.closed]
        if kept.unknown:
            are = "is" if len(kept.unknown) == 1 else "are"
            notes.append(f"When {listed_in_short(kept.unknown)} here {are} ripe is unknown: counts for nothing.")
        if kept.poor:
            notes.append(f"Not counted as good fruit, for their tastings speak for cutting: {listed(kept.poor)}.")
        if blooms.not_known:
            has = f"{counted(blooms.not_known, 'variety')} here {'has' if blooms.not_known == 1 else 'have'}"
            notes.append(f"Whether {has} a partner in bloom is unknown: counts for nothing.")
        return Proposal(
            lines,
            bare_weeks(WEEKS, task.covered, ()),
            bare_weeks(WEEKS, task.covered, spans),
            worth,
            {reason: tuple(held) for reason, held in not_chosen.items()},
            {reason: tuple(held) for reason, held in not_known.items()},
            tuple(lacking),
            tuple(place for number, place in enumerate(places) if number not in filled),
            tuple(notes),
            limits,
            task,
            tuple(order),
            self._places,
            self._found,
        )

"""What a person wishes of a proposal: each wish is calculated at once, off the loop, and its effect is said."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.dashboard.screens.base import ScreenReadWhenSeen
from tendwork.dashboard.screens.graft_history import WishHistory
from tendwork.dashboard.screens.graft_limits import GraftLimitsScreen, Limits
from tendwork.dashboard.screens.records import RecordsScreen
from tendwork.errors import PersonError
from tendwork.planning.choosing import Line, Proposal, Wishes, picks_of, swap_cost
from tendwork.planning.graft_asking import WoodNeed
from tendwork.planning.graft_candidates import Candidate
from tendwork.planning.graft_picks import Pick, pick_name
from tendwork.planning.graft_wishes import (
    still_held,
    with_forbid,
    with_new,
    with_pin,
    with_swap,
    without_forbid,
    without_pin,
)
from tendwork.view.choosing_rows import CandidateRow, PlaceChoice
from tendwork.view.choosing_words import cannot_words, change_words, cost_words, dropped_words, pick_words
from tendwork.view.text import plain, wrapped
from tendwork.view.words import counted
from tendwork.workbench.bench import Workbench

NO_PROPOSAL = "There is no proposal."
_CALCULATING = "Calculating the proposal."


class Made(Struct, frozen=True):
    """A proposal with the wood that it needs and the minutes that it takes."""

    proposal: Proposal
    needs: tuple[WoodNeed, ...]
    minutes: float


class WishingScreen(ScreenReadWhenSeen, RecordsScreen):
    """What is shown follows the wishes and the records; a screen made from it says what the cursor is on."""

    def __init__(self) -> None:
        super().__init__()
        self.made: Made | None = None
        self._history = WishHistory()
        self._shown = Wishes()  # those of the proposal that is shown
        self._said = ""  # what was wished since
        self._doubted: Pick | None = None
        self._is_calculating = False

    @property
    def wishes(self) -> Wishes:
        """What the person wishes now."""
        return self._history.now

    @property
    def place(self) -> PlaceChoice | None:
        """The place under the cursor."""
        raise NotImplementedError

    @property
    def candidate(self) -> CandidateRow | None:
        """The candidate under the cursor, while the person is among the candidates."""
        raise NotImplementedError

    def show_proposal(self) -> None:
        """Show what was calculated."""
        raise NotImplementedError

    def read(self) -> None:
        self._is_calculating = True
        calculate: Callable[[], Awaitable[None]] = self._calculate  # begun by the worker, for one may follow at once
        self.run_worker(calculate, group="proposal", exclusive=True, exit_on_error=False)

    def done(self) -> None:
        self._history.accepted(self.app.acts)
        self.read_if_seen()

    def wish(self, wishes: Wishes, said: str) -> None:
        """Wish this from now on, and calculate what follows."""
        if wishes != self.wishes:
            self._history.wish(wishes)
            self._said = said
            self.app.say(_CALCULATING)
            self.read()

    def pin(self, row: CandidateRow) -> bool:
        """Pin a candidate to the place under the cursor; where it cannot stand, only once the person has read that.

        False where nothing was pinned.
        """
        place = self.place
        if place is None or place.place is None:
            self.app.say("Choose a place first: the cursor is on no place.")
            return False
        pick = Pick(self._picked_as(row.candidate), place.place.id)
        against = cannot_words(row, place.place)
        if against and pick != self._doubted:
            self._doubted = pick
            self.app.say(f"{against} Once more pins it all the same.", trouble=True)
            return False
        self.wish(with_pin(self.wishes, pick), f"{pick_words(pick)} is pinned")
        return True

    def action_pin(self) -> None:
        """Pin what the cursor is on, or let it go again."""
        row, one, place = self.place, self.candidate, self.place_id()
        if one is not None:
            pick = Pick(self._picked_as(one.candidate), place)
            if pick in self.wishes.pins:
                self._let_go(pick)
            else:
                self.pin(one)
        elif row is None or row.line is None:
            self.app.say("Nothing is proposed here to pin: press enter to choose a candidate for the place.")
        else:
            pick = Pick(self._picked_as(row.line.candidate), place)
            if row.line.pinned:
                self._let_go(pick)
            else:
                self.wish(with_pin(self.wishes, pick), f"{pick_words(pick)} is pinned")

    def action_forbid(self) -> None:
        """Forbid the chosen candidate everywhere, or the place, or allow it again."""
        one, place = self.candidate, self.place_id()
        if one is not None:
            self._forbid(Pick(self._picked_as(one.candidate)))
        elif place:
            self._forbid(Pick("", place))
        else:
            self.app.say("Choose a place or a candidate first.")

    def action_forbid_here(self) -> None:
        """Forbid the chosen candidate, or what is proposed, at the place under the cursor, or allow it again."""
        row, one, place = self.place, self.candidate, self.place_id()
        if one is not None and place:
            self._forbid(Pick(self._picked_as(one.candidate), place))
        elif row is not None and row.line is not None:
            self._forbid(Pick(self._picked_as(row.line.candidate), place))
        else:
            self.app.say("Nothing is proposed here: choose a candidate for the place first.")

    def action_swap(self) -> None:
        """Let the person choose with which place to swap, each with what that costs."""
        row, made = self.place, self.made
        if row is None or row.line is None or made is None:
            self.app.say("Nothing is proposed here to swap.")
            return
        here = row.line
        others = {line.place.id: line for line in made.proposal.lines if line.place.id != here.place.id}
        if not others:
            self.app.say("Nothing else is proposed to swap it with.")
            return
        costs = {place: swap_cost(made.proposal, here.place.id, place) for place in others}
        items = [
            (place, f"{place}, {line.candidate.variety}: {cost_words(made.proposal, costs[place])}")
            for place, line in others.items()
        ]

        def swap(place: str) -> None:
            if costs[place].worth is None:
                self.app.say(costs[place].words, trouble=True)
            else:
                self._swap(here, others[place])

        self.pick(f"Swap {here.candidate.variety} ({here.place.id}) with", items, swap)

    def action_more(self) -> None:
        """One graft more."""
        self._count(1)

    def action_fewer(self) -> None:
        """One graft fewer."""
        self._count(-1)

    def action_limit(self) -> None:
        """Ask how many new grafts and hours there may be at most."""
        wishes = self.wishes

        def take(limits: Limits | None) -> None:
            if limits is not None:
                new, hours = limits
                self.wish(replace(wishes, new=new, hours=hours), "With these limits")

        self.app.push_screen(GraftLimitsScreen(wishes.new, wishes.hours), take)

    def action_start_over(self) -> None:
        """Drop all wishes."""
        if self.wishes == Wishes():
            self.app.say("Nothing is pinned, forbidden or limited.")
        else:
            self.wish(Wishes(), "All wishes are dropped")

    def action_undo(self) -> None:
        """Take the last wish back; where there is none, the last thing done."""
        if self._history.take_back():
            self._said = "Your last wish is undone"
            self.app.say(_CALCULATING)
            self.read()
        else:
            self.run_worker(self._undo(), exit_on_error=False)

    def action_accept(self) -> None:
        """Plan the grafts as they are proposed."""
        if self._is_calculating:
            self.app.say("The proposal is being calculated: accept it once it stands here.")
            return
        wishes = self._shown
        shown = () if self.made is None else picks_of(self.made.proposal)
        self.run_worker(
            self._accept(lambda bench, today: bench.records.accept_proposal(wishes, today, shown)[0]),
            exit_on_error=False,
        )

    def no_place_words(self, width: int) -> tuple[str, list[str]]:
        """What is said where there is no place to graft."""
        assert self.made is not None
        keys = self.app.keys
        said = (
            f"Judge a graft cut with {keys.word('trees.judge')} in Trees ({keys.word('everywhere.trees')}) or Fruit "
            f"({keys.word('everywhere.fruit')}), or note that one failed or was removed: its place is then free."
        )
        sentences = (said, *self.made.proposal.places.closed)
        return "No place is free and no limb is judged cut.", _lines(sentences, width)

    def no_candidate_words(self, width: int) -> tuple[str, list[str]]:
        """What is said where there is no variety to graft."""
        assert self.made is not None
        keys = self.app.keys
        said = (
            f"Add a bundle of wood with {keys.word('wood.add')} in Wood ({keys.word('everywhere.wood')}), or a variety "
            f"that you wish for with {keys.word('fruit.add')} in Fruit ({keys.word('everywhere.fruit')})."
        )
        return "There is no variety to graft.", _lines((said, *self.made.proposal.candidates.left_aside), width)

    def place_id(self) -> str:
        """The place under the cursor; empty where it is on none."""
        row = self.place
        return "" if row is None or row.place is None else row.place.id

    def _picked_as(self, candidate: Candidate) -> str:
        return (
            candidate.variety if self.made is None else pick_name(candidate, self.made.proposal.candidates.candidates)
        )

    def _let_go(self, pick: Pick) -> None:
        self.wish(without_pin(self.wishes, pick), f"{pick_words(pick)} is not pinned any more")

    def _forbid(self, forbid: Pick) -> None:
        if forbid in self.wishes.forbids:
            self.wish(without_forbid(self.wishes, forbid), f"{pick_words(forbid)} is allowed again")
        else:
            self.wish(with_forbid(self.wishes, forbid), f"{pick_words(forbid)} is forbidden")

    def _swap(self, one: Line, other: Line) -> None:
        picks = (Pick(self._picked_as(line.candidate), line.place.id) for line in (one, other))
        self.wish(with_swap(self.wishes, *picks), f"{one.candidate.variety} and {other.candidate.variety} are swapped")

    def _count(self, step: int) -> None:
        if self.made is None:
            return
        wishes = self.wishes
        changed = with_new(wishes, len(self.made.proposal.lines), step, len(self.made.proposal.places.places))
        if changed == wishes:
            self.app.say("There is no limit to the number." if step > 0 else "None is wanted already.")
        else:
            most = "No limit to the number" if changed.new is None else f"At most {counted(changed.new, 'new graft')}"
            self.wish(changed, most)

    async def _calculate(self) -> None:
        """Calculate until something can be shown; what cannot be is taken back, the last wish first."""
        before, fault = self.made, ""
        while True:
            wishes = self.wishes
            try:
                self.made = await self._asked(wishes)
                break
            except PersonError as error:
                fault = fault or str(error)
            if wishes != self._shown and self._history.take_back():
                fault += "" if fault.endswith(_TAKEN_BACK) else _TAKEN_BACK
            elif wishes != Wishes():
                held = await self._still_held(wishes)
                self._history.begin_with(held)
                fault = dropped_words(wishes, held)
            else:
                self.made = None
                break
        self._shown, self._is_calculating = self.wishes, False
        self.show_proposal()
        if fault:
            self.app.say(fault, trouble=True)
        elif self._said and before is not None and self.made is not None:
            self.app.say(plain(f"{self._said}: {change_words(before.proposal, self.made.proposal)}"))
        self._said = ""

    async def _asked(self, wishes: Wishes) -> Made:
        """What is proposed for these wishes. Raises PersonError."""

        def ask(bench: Workbench, today: date) -> Made:
            proposal, records = bench.records.proposal(wishes, today), bench.records
            return Made(proposal, records.wood_needs(proposal, today), records.grafting_minutes(proposal, today))

        return await self.app.ask(ask)

    async def _still_held(self, wishes: Wishes) -> Wishes:
        """Those of the wishes that the records leave possible; none of them where that cannot be said."""
        try:
            found = (await self._asked(Wishes())).proposal
        except PersonError:
            return Wishes()
        candidates = found.candidates.candidates
        varieties = {pick_name(one, candidates) for one in candidates}
        held = still_held(wishes, varieties, {place.id for place in found.places.places})
        return Wishes() if held == wishes else held

    async def _accept(self, call: Callable[[Workbench, date], str]) -> None:
        if why := await self.app.attempt(call):
            self.app.say(why, trouble=True)
            self.read()  # what is proposed now, where that is why
        else:
            self.done()

    async def _undo(self) -> None:
        act = self.app.acts
        if why := await self.app.attempt(lambda bench, today: bench.records.undo(today)):
            self.app.say(why, trouble=True)
        else:
            self._history.accept_undone(act)
            self.read_if_seen()


_TAKEN_BACK = " Your last wish was taken back."


def _lines(sentences: tuple[str, ...], width: int) -> list[str]:
    return [line for sentence in sentences for line in wrapped(plain(sentence), width)]

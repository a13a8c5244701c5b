"""`tendwork propose`: what to graft where next spring."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from tendwork.cli.printing import note_done
from tendwork.cli.session import Answer, Number, Session, common, print_json, say_done, width
from tendwork.errors import PersonError

if TYPE_CHECKING:
    from tendwork.planning.graft_picks import Pick


class Graft(Answer):
    """VARIETY=PLACE, or what a `may_lack` option allows: VARIETY alone, or =PLACE."""

    name = "variety=place"

    def __init__(self, may_lack: bool) -> None:
        self._may_lack = may_lack

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Pick:
        from tendwork.planning.graft_picks import Pick

        if isinstance(value, Pick):
            return value
        variety, _, place = (part.strip() for part in value.rpartition("=" if "=" in value else "\0"))
        pick = Pick(variety, place) if "=" in value else Pick(place, "")
        if not (pick.variety or pick.place) or (not self._may_lack and not (pick.variety and pick.place)):
            self.fail(f'{value!r} is not a variety and a place such as "Egremont Russet=g13".', param, ctx)
        return pick


@click.command()
@click.option("--new", type=click.IntRange(min=0), help="At most so many new grafts.")
@click.option("--hours", type=Number(), help="At most so many hours of grafting, with what is planned already.")
@click.option("--pin", "pins", type=Graft(False), multiple=True, help="This variety goes to this place.")
@click.option(
    "--forbid", "forbids", type=Graft(True), multiple=True, help="Not there; alone: nowhere; =PLACE: nothing."
)
@click.option("--swap", nargs=2, metavar="PLACE PLACE", help="Say what it costs to swap what two places get.")
@click.option("--accept", is_flag=True, help="Plan these grafts, in one act.")
@common()
@click.pass_obj
def propose(
    session: Session,
    /,
    as_json: bool,
    new: int | None,
    hours: float | None,
    pins: tuple[Pick, ...],
    forbids: tuple[Pick, ...],
    swap: tuple[str, str] | None,
    accept: bool,
) -> None:
    """Propose what to graft where next spring.

    Which variety into which free place, with its reason, its method and its wood: first for weeks without ripe fruit,
    then for partners in bloom, for how well it suits the place, and for what should not be lost. A place is named by
    the graft that stands or stood there. Nothing is written without --accept; with it, give the same options again.
    """
    from tendwork.planning.choosing import Wishes, swap_cost
    from tendwork.view.choosing import accepted_lines, pin_options, proposal_shape, proposal_text

    if hours is not None and not 0 <= hours < float("inf"):
        raise click.BadParameter("give hours such as 3 or 2.5.", param_hint="--hours")
    bench, today = session.bench, session.today
    wishes = Wishes(new, hours, pins, forbids)
    said = ""
    if accept and swap is None:
        said, proposal = bench.records.accept_proposal(wishes, today)
    else:
        proposal = bench.records.proposal(wishes, today)
    cost = None if swap is None else swap_cost(proposal, *swap)
    if accept and cost is not None:
        how = f"To accept it swapped, give {pin_options(cost)} instead of --swap." if cost.pins else cost.words
        raise PersonError(f"--swap says what a swap costs, and cannot be accepted. {how} Nothing was written.")
    needs, south = bench.records.wood_needs(proposal, today), bench.site.south
    if as_json:
        if said:
            note_done("Recorded", (said,))
        print_json(proposal_shape(proposal, needs, today, south, cost))
    elif said:
        say_done(said, *(f"  {line}." for line in accepted_lines(proposal.lines)), "  `tendwork undo` takes it back.")
    else:
        trees = bench.records.read().trees
        click.echo(proposal_text(proposal, needs, trees, today, south, bench.site.units, width(), cost))

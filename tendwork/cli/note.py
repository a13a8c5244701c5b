"""The commands that note something on trees: a sign of disease, a spray."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from tendwork.cli.session import Day, Session, common, say, say_done

if TYPE_CHECKING:
    from tendwork.orchard.records import RecordKind

_WRONG = "Take the record away again: it was noted by mistake."


@click.command()
@common(reads=False, has_day=True)
@click.argument("trees", nargs=-1, required=True, metavar="TREE...")
@click.argument("what", metavar="TROUBLE")
@click.option("--on", "day", type=Day(), help="The day on which you saw it, if not today.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.option("--wrong", is_flag=True, help=_WRONG)
@click.pass_obj
def trouble(session: Session, trees: tuple[str, ...], what: str, day: date | None, note: str, wrong: bool) -> None:
    """Record a sign of disease on a tree.

    TREE is an id or a name, TROUBLE is "fire blight", canker, gum, "mosaic or rings", dieback, "gnawed bark", or a word
    of your own, on which no job hangs.
    """
    typed = {"day": (day or session.today).isoformat(), "what": what, "note": note}
    _record(session, "troubles", trees, typed, wrong)


@click.command()
@common(reads=False, has_day=True)
@click.argument("trees", nargs=-1, required=True, metavar="TREE...")
@click.argument("product")
@click.option("--return-days", default="", help="Days until people may work in the tree, from the label.")
@click.option("--harvest-days", default="", help="Days until the fruit may be eaten, from the label.")
@click.option("--on", "day", type=Day(), help="The day on which you sprayed, if not today.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.option("--wrong", is_flag=True, help=_WRONG)
@click.pass_obj
def spray(
    session: Session,
    trees: tuple[str, ...],
    product: str,
    return_days: str,
    harvest_days: str,
    day: date | None,
    note: str,
    wrong: bool,
) -> None:
    """Record a spray on one tree or several.

    TREE is an id or a name. Days that you leave out are not known, never none; the same trees, product and day again
    add them.
    """
    from tendwork.orchard.tree_note_words import how_to_tell

    sprayed = day or session.today
    waits = {"days_to_return": return_days, "days_to_harvest": harvest_days}
    _record(session, "sprays", trees, {"day": sprayed.isoformat(), "product": product, **waits, "note": note}, wrong)
    if how := how_to_tell(session.bench.records.read(), trees, product, sprayed):
        say(f"  {how}")


def _record(session: Session, kind: RecordKind, trees: tuple[str, ...], typed: dict[str, str], wrong: bool) -> None:
    today = session.today
    if wrong:
        said = session.bench.records.entries.withdraw(kind, trees, typed, today)
    else:
        said = session.bench.records.entries.note(kind, trees, typed, today)
    say_done(said)

"""`tendwork adjust`: change a template or the site's shift, see what moves, and keep it."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import click

from tendwork.cli.printing import note_done
from tendwork.cli.session import Answer, Number, Session, common, print_json, say_done, width
from tendwork.errors import PersonError
from tendwork.planning.vocabulary import STAKES

if TYPE_CHECKING:
    from collections.abc import Collection

    from tendwork.planning.adjustments import Adjustments

_NO_VISIT = "none"
_SHIFTS = ("opens_later_days", "best_later_days", "closes_later_days", "lapses_later_days")


class _Limit(Answer):
    """Degrees C, or "none" to take the template's limit away."""

    name = "degrees|none"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        from tendwork.planning.adjustments import NO_LIMIT

        return NO_LIMIT if value == NO_LIMIT else click.FLOAT.convert(value, param, ctx)


@click.command()
@common()
@click.argument("template", required=False)
@click.option("--colder", "degrees_c", type=Number(), help="The site is colder than its temperatures, by degrees C.")
@click.option("--higher", "elevation_m", type=Number(), help="The site lies higher than its temperatures, by metres.")
@click.option("--behind", "days", type=Number(), help="The site is behind its temperatures, by days.")
@click.option("--later", "all_later", type=int, help="The whole window later by days; earlier with a minus.")
@click.option("--opens-later", "opens_later_days", type=int, help="Only the opening.")
@click.option("--best-later", "best_later_days", type=int, help="Only the best day.")
@click.option("--closes-later", "closes_later_days", type=int, help="Only the closing.")
@click.option("--lapses-later", "lapses_later_days", type=int, help="Only the last day on which it is worth doing.")
@click.option("--species", help="Only for these, commas between them.")
@click.option("--min-c", type=_Limit(), help="The day's maximum must reach this; `none` for no limit.")
@click.option("--max-c", type=_Limit(), help="The day's maximum must not pass this; `none` for no limit.")
@click.option("--frost-free", "frost_free_nights", type=int, help="Nights without frost that must follow.")
@click.option("--dry/--wet-or-dry", "dry", default=None, help="Whether it wants a dry day.")
@click.option("--setup-minutes", type=Number(), help="Minutes to set up.")
@click.option("--minutes-each", type=Number(), help="Minutes for each unit.")
@click.option("--every-days", type=int, help="Days between rounds.")
@click.option("--rounds", "times", type=int, help="How many rounds.")
@click.option("--stake", type=click.Choice(STAKES), help="What is lost if it is missed; ranks it among late jobs.")
@click.option("--loss", help='The same in a few words that follow "or".')
@click.option("--visit", help="With which jobs it is done; `none` for no other.")
@click.option(
    "--leave-out/--take-in", "off", default=None, help="Leave the template out for good, or take it in again."
)
@click.option("--reset", is_flag=True, help="Back to the template's own values; without a template, all of them.")
@click.option("--preview", "only_show", is_flag=True, help="Only show what would move.")
@click.option("--yes", "agreed", is_flag=True, help="Save it also where it takes jobs away.")
@click.pass_obj
def adjust(
    session: Session, /, template: str | None, as_json: bool, reset: bool, only_show: bool, agreed: bool, **values: Any
) -> None:
    """Adjust TEMPLATE, or the shift of the whole site.

    Without any change, list all templates with what is adjusted, and why some have no job this season. A change that
    takes jobs away asks first.
    """
    from tendwork.view.adjusted import (
        adjustments_shape,
        adjustments_text,
        losses_sentence,
        preview_shape,
        preview_text,
        unmeant,
    )

    bench, today = session.bench, session.today
    before = bench.templates.adjustments()
    given = {key: value for key, value in values.items() if value is not None}
    unasked = {held.id for held in bench.templates.loaded().templates if held.left_out} if "off" in given else set()
    after = _after(before, template, reset, given, unasked)
    if after == before and not reset:
        absences, templates = bench.plan.absences(today), bench.templates.loaded().templates
        left_out = _left_out(session)
        if as_json:
            print_json(adjustments_shape(before, templates, absences, left_out))
        else:
            click.echo(adjustments_text(before, templates, absences, width(), left_out))
        return
    moved = bench.plan.preview(after, today)
    lost = losses_sentence(unmeant(moved.losses))
    asks = bool(lost) and not only_show and not agreed
    if asks and (as_json or not sys.stdin.isatty()):
        raise PersonError(f"{lost} Nothing was saved; --yes saves it all the same.")
    if not as_json:
        click.echo(preview_text(moved, width()))
    keep = not only_show and (not asks or click.confirm("Save it all the same?"))
    saved = bench.templates.adjust(before, after, today) if keep else None
    if as_json:
        if saved is not None:
            note_done("Recorded", (saved,))
        print_json(preview_shape(moved, saved=saved is not None))
    elif saved is None:
        click.echo("Nothing was kept.")
    else:
        say_done(saved)


def _left_out(session: Session) -> dict[str, str]:
    """What is left out of each template, in words."""
    from itertools import groupby

    from tendwork.orchard.tree_names import tree_names
    from tendwork.view.left_out import all_left_out_words

    names, today = tree_names(session.bench.records.read().trees), session.today
    by_template = groupby(session.bench.templates.left_out(today), key=lambda line: line.template)
    return {template: all_left_out_words(lines, names, today) for template, lines in by_template}


def _after(
    before: Adjustments, template: str | None, reset: bool, given: dict[str, Any], unasked: Collection[str]
) -> Adjustments:
    """The adjustments with what was given; `unasked` are the templates that their own rule leaves out."""
    from tendwork.planning.adjustments import SiteShift
    from tendwork.workbench import adjusting

    shift = {key: given.pop(key) for key in ("degrees_c", "elevation_m", "days") if key in given}
    if len(shift) > 1:
        raise click.UsageError("Only one of --colder, --higher and --behind can shift the site.")
    if reset:
        before = adjusting.reset(before, template)
    if shift:
        before = adjusting.shifted(before, SiteShift(**shift))
    later = given.pop("all_later", None)
    if later is not None:
        given = dict.fromkeys(_SHIFTS, later) | given
    if "species" in given:
        given["species"] = tuple(word.strip().lower() for word in given["species"].split(","))
    if given.get("visit") == _NO_VISIT:
        given["visit"] = ""
    if not given:
        return before
    if template is None:
        raise click.UsageError("Name the template to adjust. `tendwork adjust` lists them.")
    if "off" in given:
        given |= {"asked": template in unasked and not given["off"], "since": None}
    return adjusting.changed(before, template, given)

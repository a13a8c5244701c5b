"""`tendwork leave-out` and `take-in`: which jobs are not asked for here, and which are again."""

from __future__ import annotations

import click

from tendwork.cli.printing import note_done
from tendwork.cli.session import Session, common, print_json, say_done, width


@click.command("leave-out")
@common()
@click.argument("template", required=False)
@click.option("--tree", default="", help="Only for this tree, by its id or its name.")
@click.option("--season", "this_season", is_flag=True, help="Only in this season.")
@click.pass_obj
def leave_out(session: Session, /, template: str | None, as_json: bool, tree: str, this_season: bool) -> None:
    """Leave TEMPLATE out: it asks for nothing more here.

    Without a template, list all that is left out: by you, and by default, with the reason.
    """
    from shlex import quote

    from tendwork.orchard.tree_names import tree_names
    from tendwork.view.left_out import left_out_shape, left_out_text

    bench, today = session.bench, session.today
    if template is None and (tree or this_season):
        raise click.UsageError("Name the template to leave out. `tendwork adjust` lists them.")
    if template is not None:
        said = bench.templates.leave_out(template, tree, this_season, today=today)
        option = f" --tree {quote(tree)}" if tree else ""
        if not as_json:
            say_done(said, f"  `tendwork take-in {template}{option}` brings it back.")
            return
        note_done("Recorded", (said,))
    if as_json:
        print_json(left_out_shape(bench.templates.left_out(today)))
    else:
        names = tree_names(bench.records.read().trees)
        click.echo(left_out_text(bench.templates.left_out(today), names, today, width()))


@click.command("take-in")
@common(reads=False)
@click.argument("template")
@click.option("--tree", default="", help="Only for this tree, by its id or its name.")
@click.pass_obj
def take_in(session: Session, template: str, tree: str) -> None:
    """Bring back TEMPLATE, which was left out, by you or by default."""
    say_done(session.bench.templates.take_in(template, tree, today=session.today))

"""`tendwork report`: a season to read about in winter, and to show to others."""

from __future__ import annotations

from pathlib import Path

import click

from tendwork.cli.session import Session, common, print_json, say_done, width


@click.command()
@common()
@click.argument("year", type=int, required=False)
@click.option("--html", "file", type=click.Path(path_type=Path), help="Write a page to print to this file.")
@click.pass_obj
def report(session: Session, as_json: bool, year: int | None, file: Path | None) -> None:
    """How a season went, to read and to show.

    Grafts, losses, fruit, wood, hours, jobs, weather, and what was learned. YEAR names the season by its spring.
    Without it, it is the season of the last crop: until the end of March (in the south of September) last year's, then
    the one under way.
    """
    from tendwork.workbench import exports

    bench, today = session.bench, session.today
    if as_json and file is not None:
        raise click.UsageError("--json and --html are two forms. Ask for one after the other.")
    if as_json:
        from tendwork.view.report_shape import report_shape

        print_json(report_shape(bench.plan.season_report(year, today)))
    elif file is not None:
        say_done(exports.write_season_page(bench, file, year, today), how="Written")
    else:
        from tendwork.view.report_blocks import report_text

        click.echo(report_text(exports.season_page(bench, year, today), width()))

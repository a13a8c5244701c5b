"""The commands for paper and for the phone: the week's sheet, the labels, the calendar file."""

from __future__ import annotations

from pathlib import Path

import click

from tendwork.cli.session import Session, common, say_done

_PAGE = click.option("--html", "file", type=click.Path(path_type=Path), help="Write a page to print to this file.")


@click.command()
@common(reads=False)
@_PAGE
@click.option(
    "--cards", "all_cards", is_flag=True, help="All caution cards instead, front and back of a sheet, to hang up."
)
@click.option("--cutting", "wood", is_flag=True, help="What scion wood to cut instead, tree by tree, and for whom.")
@click.pass_obj
def sheet(session: Session, file: Path | None, all_cards: bool, wood: bool) -> None:
    """The week on one page with boxes to tick.

    As text, or as a page to print.
    """
    from tendwork.workbench import exports

    if all_cards and wood:
        raise click.UsageError("--cards and --cutting are two sheets. Ask for one after the other.")
    if wood and file is not None:
        say_done(exports.write_cutting(session.bench, file, session.today), how="Written")
    elif wood:
        from tendwork.outputs.cutting_page import cutting_text

        click.echo(cutting_text(exports.cutting(session.bench, session.today)))
    elif all_cards and file is not None:
        say_done(exports.write_card_sheet(session.bench, file), how="Written")
    elif all_cards:
        from tendwork.outputs.cards_page import card_sheet_text

        click.echo(card_sheet_text(exports.card_sheet(session.bench)))
    elif file is not None:
        say_done(exports.write_sheet(session.bench, file, session.today), how="Written")
    else:
        from tendwork.outputs.sheet_page import sheet_text

        click.echo(sheet_text(exports.sheet(session.bench, session.today)))


@click.command()
@common(reads=False)
@click.argument("file", type=click.Path(path_type=Path))
@click.pass_obj
def calendar(session: Session, file: Path) -> None:
    """Write the season's jobs to FILE as a calendar.

    One written before is brought up to date.
    """
    from tendwork.workbench import exports

    say_done(exports.write_calendar(session.bench, file, session.today), how="Written")


@click.command()
@common(reads=False)
@_PAGE
@click.option("--bundles", is_flag=True, help="Labels of the wood instead: what is to be cut, and what lies here.")
@click.pass_obj
def labels(session: Session, file: Path | None, bundles: bool) -> None:
    """Labels of trees and grafts.

    One a line with tabs between, or as a page to print and cut.
    """
    from tendwork.workbench import exports

    if bundles and file is not None:
        say_done(exports.write_wood_labels(session.bench, file, session.today), how="Written")
    elif file is not None:
        say_done(exports.write_labels(session.bench, file), how="Written")
    else:
        from tendwork.outputs.labels import labels_text

        bench = session.bench
        click.echo(labels_text(exports.wood_labels(bench, session.today) if bundles else exports.labels(bench)))

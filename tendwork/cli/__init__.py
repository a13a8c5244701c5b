"""The `tendwork` command: thin, each command asks the workbench and prints what the view makes of it."""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path

import click

from tendwork import __version__
from tendwork.cli import act, outputs, read, records, temps, watch
from tendwork.cli.adjust import adjust
from tendwork.cli.session import Day, Session
from tendwork.errors import PersonError


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--demo", is_flag=True, help="Use a throw-away copy of the invented sample orchard.")
@click.option("--orchard", type=click.Path(path_type=Path), help="The orchard folder.")
@click.option("--on", type=Day(), help="The day to plan for.")
@click.version_option(__version__, prog_name="tendwork")
@click.pass_context
def cli(context: click.Context, demo: bool, orchard: Path | None, on: date | None) -> None:
    """The right orchard jobs for the week, from rule templates, the calendar and the buds.

    Without a command: the dashboard, or the week in words where there is no terminal.
    """
    context.obj = Session(orchard, on, demo)
    if context.invoked_subcommand is None:
        if _has_terminal():
            from tendwork.dashboard.app import run_dashboard

            run_dashboard(context.obj.bench, on)
        else:
            context.invoke(read.week, as_json=False)


def _has_terminal() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty() and os.environ.get("TERM") != "dumb"


for _command in (
    act.begin,
    read.check,
    read.week,
    read.season,
    read.stages,
    read.wood,
    read.trees,
    read.why,
    act.tick,
    act.untick,
    act.put_off,
    act.saw,
    temps.temps,
    watch.watch,
    act.bring,
    act.give,
    act.restore,
    records.fruit,
    records.rates,
    records.undo,
    adjust,
    outputs.sheet,
    outputs.calendar,
    outputs.labels,
):
    cli.add_command(_command)


def main() -> None:
    """Run a command; a PersonError is one sentence on stderr and exit 1."""
    try:
        cli.main(prog_name="tendwork")
    except PersonError as error:
        click.echo(f"tendwork: {error}", err=True)
        sys.exit(1)

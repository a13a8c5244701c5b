"""The command that shows every key of the dashboard, and the file in which a person puts them elsewhere."""

from __future__ import annotations

import os
import sys

import click

from tendwork.cli.session import print_json, width


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def keys(as_json: bool) -> None:
    """Every key of the dashboard with the id to put it elsewhere."""
    from tendwork.dashboard.key_table import key_shape, key_table
    from tendwork.dashboard.own_choices import own_choices
    from tendwork.folder.own_settings import read_own_settings, settings_file

    file = settings_file()
    choices = own_choices(read_own_settings(file))
    if as_json:
        print_json(key_shape(choices, str(file)))
    else:
        click.echo(key_table(choices, str(file), os.path.exists(file), width()))
    for fault in choices.faults:
        click.echo(f"tendwork: {fault}", err=True)
    if choices.faults:
        sys.exit(1)

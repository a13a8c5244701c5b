"""The `tendwork` command: thin, each command asks the workbench and prints what the view makes of it.

A command's file is loaded when the command is asked for, so that one that reads does not pay for those that write.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator, Mapping
from datetime import date
from importlib import import_module
from pathlib import Path

import click

from tendwork import __version__
from tendwork.cli.printing import as_they_were, exit_code, stand_between, usage_words
from tendwork.cli.session import Day, Session
from tendwork.errors import PersonError

_COMMANDS_BY_FILE = {
    "act": ("begin", "bring", "give", "put-off", "restore", "saw", "tick", "untick"),
    "adjust": ("adjust",),
    "ask": ("ask",),
    "leave_out": ("leave-out", "take-in"),
    "outputs": ("calendar", "labels", "sheet"),
    "read": ("check", "season", "stages", "trees", "week", "why", "wood"),
    "keys": ("keys",),
    "note": ("spray", "trouble"),
    "propose": ("propose",),
    "records": ("fruit", "rates", "undo", "wraps"),
    "report": ("report",),
    "temps": ("temps",),
    "watch": ("watch",),
}
_FILES = {command: file for file, commands in _COMMANDS_BY_FILE.items() for command in commands}


class _Commands(Mapping[str, click.Command]):
    """The commands by name, each loaded when it is taken out."""

    def __getitem__(self, name: str) -> click.Command:
        command: click.Command = getattr(import_module(f"tendwork.cli.{_FILES[name]}"), name.replace("-", "_"))
        return command

    def __iter__(self) -> Iterator[str]:
        return iter(_FILES)

    def __len__(self) -> int:
        return len(_FILES)


@click.group(
    commands=_Commands(), invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]}
)
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
            from tendwork.dashboard.opening import run_dashboard

            folder = context.obj.folder()
            with as_they_were():
                run_dashboard(folder, on)
        else:
            from tendwork.cli.read import week

            context.invoke(week, as_json=False)


def _has_terminal() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty() and os.environ.get("TERM") != "dumb"


def main() -> None:
    """Run a command; a PersonError is one sentence on stderr and exit 1.

    A command ends long before there is anything to collect, and looking for it would take a tenth of its time. What
    stays, the dashboard and the watch, turns the collector on again.
    """
    out = stand_between()
    gc.disable()
    try:
        code = _run()
    finally:
        gc.enable()
    sys.exit(exit_code(out, code))


def _run() -> int:
    """The exit code of the command that was asked for."""
    try:
        code = cli.main(prog_name="tendwork", standalone_mode=False)
    except SystemExit as ended:
        code = ended.code
    except click.Abort:
        click.echo("Aborted!", err=True)
        return 1
    except click.ClickException as error:
        click.echo(usage_words(error), err=True, nl=False)
        return error.exit_code
    except PersonError as error:
        click.echo(f"tendwork: {error}", err=True)
        return 1
    return int(code) if isinstance(code, int) else 0

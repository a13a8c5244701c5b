"""`tendwork temps`: temperatures in from files, and what is held."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import monotonic

import click

from tendwork.cli.session import Session, common, print_json, say, say_done, width
from tendwork.plain_text import plain

_SECONDS_BETWEEN_REPORTS = 3.0


@click.group()
def temps() -> None:
    """Daily temperatures: from a file, from a service, what is held."""


@temps.command()
@common(reads=False)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--dry-run", is_flag=True, help="Only say what the file holds and what would change.")
@click.option(
    "--dates",
    type=click.Choice(("day-first", "month-first")),
    help="How the file writes dates, where it could be either.",
)
@click.option(
    "--unit",
    type=click.Choice(("celsius", "fahrenheit", "tenths")),
    help=(
        "The unit of a file that does not say it, neither in the names of its columns nor beside its values: "
        "celsius takes 21.5 as 21.5 °C, fahrenheit takes 70.7 as 21.5 °C, tenths takes 215 as 21.5 °C. "
        "Without it such a file is taken only if its months fit the normals of site.toml, or the days held, in one "
        "unit and in no other. A file that says its own unit refuses another."
    ),
)
@click.pass_obj
def add(session: Session, file: Path, dry_run: bool, dates: str | None, unit: str | None) -> None:
    """Add the days of a temperature file, never doubling one."""
    progress = _lines_read(file) if sys.stderr.isatty() else None
    lines = session.bench.temperatures.add(file, session.today, dry_run, dates, unit, progress)
    say(*lines) if dry_run else say_done(*lines)


def _lines_read(file: Path) -> Callable[[int], None]:
    """Says every few seconds how far a long file is read."""
    last = monotonic()

    def report(lines: int) -> None:
        nonlocal last
        if monotonic() - last >= _SECONDS_BETWEEN_REPORTS:
            last = monotonic()
            click.echo(plain(f"{file.name}: still reading, {lines:,} lines so far ..."), err=True)

    return report


@temps.command()
@common(reads=False)
@click.pass_obj
def fetch(session: Session) -> None:
    """Fetch past days and the forecast from weather services.

    From those that site.toml names, the best first.
    """
    say_done(*session.bench.temperatures.fetch(session.today), how="Fetched")


@temps.command()
@common()
@click.pass_obj
def show(session: Session, as_json: bool) -> None:
    """What is held, how old it is, and what follows from it.

    The last and the coming days, and the season's heat, chill and frost.
    """
    held = session.bench.temperatures.known(session.today)
    if as_json:
        from tendwork.view.temperatures import temperatures_shape

        print_json(temperatures_shape(held))
    else:
        from tendwork.view.temperatures import temperatures_text

        click.echo(temperatures_text(held, session.bench.site.units, width()))

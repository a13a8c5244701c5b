"""`tendwork temps`: temperatures in from files, and what is held."""

from __future__ import annotations

from pathlib import Path

import click

from tendwork.cli.session import Session, common, print_json, say, say_done, width


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
@click.pass_obj
def add(session: Session, file: Path, dry_run: bool, dates: str | None) -> None:
    """Add the days of a temperature file, never doubling one."""
    lines = session.bench.add_temperatures(file, session.today, dry_run, dates)
    say(*lines) if dry_run else say_done(*lines)


@temps.command()
@common(reads=False)
@click.pass_obj
def fetch(session: Session) -> None:
    """Fetch past days and the forecast from weather services.

    From those that site.toml names, the best first.
    """
    say_done(*session.bench.fetch_temperatures(session.today), how="Fetched")


@temps.command()
@common()
@click.pass_obj
def show(session: Session, as_json: bool) -> None:
    """What is held, how old it is, and what follows from it.

    The last and the coming days, and the season's heat, chill and frost.
    """
    held = session.bench.temperatures(session.today)
    if as_json:
        from tendwork.view.temperatures import temperatures_shape

        print_json(temperatures_shape(held))
    else:
        from tendwork.view.temperatures import temperatures_text

        click.echo(temperatures_text(held, session.bench.site.units, width()))

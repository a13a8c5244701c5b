"""The commands that act: ticks, sightings, a new orchard, records in and out."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import click

from tendwork.cli.session import Day, Session, common

KINDS = ("trees", "grafts", "wood", "sightings", "tastings", "ticks")

# What a new orchard starts from where nothing else is said: the invented sample's place.
SAMPLE_SITE = {"name": "Home orchard", "timezone": "Europe/London", "latitude": 52.1, "longitude": -3.0}


@click.command()
@click.argument("directory", type=click.Path(path_type=Path))
@click.option("--name", help="What the orchard is called.")
@click.option("--timezone", help="Its IANA time zone, such as Europe/London.")
@click.option("--latitude", type=float, help="Degrees north.")
@click.option("--longitude", type=float, help="Degrees east.")
def begin(
    directory: Path, name: str | None, timezone: str | None, latitude: float | None, longitude: float | None
) -> None:
    """Begin a new orchard folder, asking for what is not given where there is a terminal."""
    given = {"name": name, "timezone": timezone, "latitude": latitude, "longitude": longitude}
    values = {key: SAMPLE_SITE[key] if value is None else value for key, value in given.items()}
    missing = [key for key, value in given.items() if value is None]
    if missing and sys.stdin.isatty():
        for key in missing:
            values[key] = click.prompt(key.capitalize(), default=SAMPLE_SITE[key], type=type(SAMPLE_SITE[key]))
        missing = []
    from tendwork.workbench import Workbench

    bench = Workbench.begin(directory, **values)  # type: ignore[arg-type]
    if missing:
        click.echo(f"Not given, so taken from the sample site: {', '.join(f'{key} {values[key]}' for key in missing)}.")
    click.echo(f"{bench.path} is ready. Look through site.toml, then bring your trees:")
    click.echo(f"  tendwork --orchard {bench.path} bring trees.csv --as trees")
    bench.close()


@click.command()
@common(reads=False)
@click.argument("task")
@click.argument("units", nargs=-1)
@click.option("--outcome", default="", help="How it went, in one of the job's own words.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.pass_obj
def tick(session: Session, task: str, units: tuple[str, ...], outcome: str, note: str) -> None:
    """Tick units of a job, or all that are to do."""
    click.echo(session.bench.tick(task, units, session.today, outcome, note).sentence)


@click.command()
@common(reads=False)
@click.argument("task")
@click.argument("units", nargs=-1)
@click.pass_obj
def untick(session: Session, task: str, units: tuple[str, ...]) -> None:
    """Take back the ticks of a job, and what they changed."""
    click.echo(session.bench.untick(task, units, session.today).sentence)


@click.command("put-off")
@common(reads=False)
@click.argument("task")
@click.argument("day", type=Day())
@click.option("--fix", is_flag=True, help="Plan it for just that day.")
@click.pass_obj
def put_off(session: Session, task: str, day: date, fix: bool) -> None:
    """Put a job off until DAY."""
    click.echo(session.bench.put_off(task, day, session.today, fix).sentence)


@click.command()
@common(reads=False)
@click.argument("species")
@click.argument("stage")
@click.option("--tree", default="", help="The tree's id, if it was seen on one tree only.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.pass_obj
def saw(session: Session, species: str, stage: str, tree: str, note: str) -> None:
    """Record a bud stage that you saw today."""
    click.echo(session.bench.saw(species, stage, session.today, tree, note).sentence)


@click.command()
@common(reads=False)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--as", "kind", type=click.Choice(KINDS), required=True, help="What the rows are.")
@click.option("--dry-run", is_flag=True, help="Only say what would change.")
@click.pass_obj
def bring(session: Session, file: Path, kind: str, dry_run: bool) -> None:
    """Bring records in from a CSV file."""
    for line in session.bench.bring(file, kind, session.today, dry_run):
        click.echo(line)


@click.command()
@common(reads=False)
@click.argument("directory", type=click.Path(path_type=Path))
@click.pass_obj
def give(session: Session, directory: Path) -> None:
    """Write all records out as CSV files."""
    for line in session.bench.give(directory):
        click.echo(line)


@click.command()
@common(reads=False)
@click.argument("copy", required=False, type=click.Path(path_type=Path))
@click.option("--list", "only_list", is_flag=True, help="Only list the copies.")
@click.pass_obj
def restore(session: Session, copy: Path | None, only_list: bool) -> None:
    """Put a copy of the records back: COPY, or the newest good one where they cannot be read.

    Close tendwork elsewhere first.
    """
    for line in session.copies() if only_list else session.restore(copy):
        click.echo(line)

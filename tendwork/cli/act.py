"""The commands that act: ticks, sightings, a new orchard, records in and out."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import Any

import click

from tendwork.cli.session import Day, Number, Session, common, say, say_done
from tendwork.orchard.records import RECORD_KINDS, RecordKind

# What a new orchard starts from where nothing else is said: the invented sample's place.
SAMPLE_SITE: dict[str, str | float] = {
    "name": "Home orchard",
    "timezone": "Europe/London",
    "latitude": 52.1,
    "longitude": -3.0,
}
_QUESTIONS = {
    "name": "What is it called",
    "timezone": "Its time zone, such as America/Halifax",
    "latitude": "Its latitude, degrees north (south with a minus)",
    "longitude": "Its longitude, degrees east (west with a minus)",
}
_KINDS_OF_ANSWER: dict[str, Any] = {"name": str, "timezone": str, "latitude": Number(), "longitude": Number()}


def _default(key: str) -> str | float:
    """What is offered for a question: this computer's time zone where it is told, else the sample's value."""
    if key == "timezone":
        from tendwork.site_clock import own_timezone

        name = own_timezone()
        return name if "/" in name else SAMPLE_SITE[key]
    return SAMPLE_SITE[key]


@click.command()
@click.argument("directory", type=click.Path(path_type=Path), required=False)
@click.option("--name", help="What the orchard is called.")
@click.option("--timezone", help="Its IANA time zone, such as Europe/London.")
@click.option("--latitude", type=Number(), help="Degrees north.")
@click.option("--longitude", type=Number(), help="Degrees east.")
def begin(
    directory: Path | None, name: str | None, timezone: str | None, latitude: float | None, longitude: float | None
) -> None:
    """Begin a new orchard in DIRECTORY.

    What is not given is asked for where there is a terminal. Without DIRECTORY it is begun where the other commands
    look for it.
    """
    given: dict[str, str | float | None] = {
        "name": name,
        "timezone": timezone,
        "latitude": latitude,
        "longitude": longitude,
    }
    values = {key: SAMPLE_SITE[key] if value is None else value for key, value in given.items()}
    missing = [key for key, value in given.items() if value is None]
    if missing and sys.stdin.isatty():
        for key in missing:
            values[key] = click.prompt(_QUESTIONS[key], default=_default(key), type=_KINDS_OF_ANSWER[key])
        missing = []
    from shlex import quote

    from tendwork.folder.location import locate
    from tendwork.workbench.bench import Workbench

    bench = Workbench.begin(locate(directory), **values)  # type: ignore[arg-type]
    given_words = ", ".join(f"{key} {values[key]}" for key in missing)
    named = "" if directory is None else f"--orchard {quote(str(bench.path))} "
    say_done(
        *([f"Not given, so taken from the sample site: {given_words}."] if missing else []),
        f"{bench.path} is ready. Look through site.toml, then bring your trees:",
        f"  tendwork {named}bring trees.csv --as trees",
        how="Begun",
    )
    bench.close()


@click.command()
@common(reads=False)
@click.argument("task")
@click.argument("units", nargs=-1)
@click.option("--outcome", default="", help="How it went, in one of the job's own words.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.option("--minutes", type=Number(), help="How long all of it took you, setting up included.")
@click.option("--wrap", help='What the grafts that you set are wrapped in, such as "budding rubber"; or "none".')
@click.option("--sure", is_flag=True, help="Tick it although something holds it back.")
@click.pass_obj
def tick(
    session: Session,
    task: str,
    units: tuple[str, ...],
    outcome: str,
    note: str,
    minutes: float | None,
    wrap: str | None,
    sure: bool,
) -> None:
    """Tick units of a job, or all that are to do.

    TASK may be a whole visit, such as "aftercare/t1"; UNITS are then its parts.

    A finding, such as "took" or "all well", is never assumed: give it with --outcome. At a terminal you are asked for
    it, and for the wrap of a graft that you set. Minutes that you note move the time planned for such jobs.
    """
    from tendwork.workbench.records_room import JobTick

    ticks: tuple[JobTick, ...] = (JobTick(task, units, outcome, note, minutes),)
    if sys.stdin.isatty():
        from tendwork.cli.asking import asked_ticks, asked_wrap

        visit = session.bench.plan.visit(task, session.today)
        meant = session.bench.plan.task(task, session.today) if visit is None else visit
        ticks, jobs = asked_ticks(meant, ticks[0])
        if wrap is None:
            wrap = asked_wrap(session.bench.records.read(), jobs, ticks)
    say_done(session.bench.records.tick(ticks, session.today, wrap, sure))


@click.command()
@common(reads=False)
@click.argument("task")
@click.argument("units", nargs=-1)
@click.pass_obj
def untick(session: Session, task: str, units: tuple[str, ...]) -> None:
    """Undo ticks of a job, and what they changed."""
    say_done(session.bench.records.untick(task, units, session.today))


@click.command("put-off")
@common(reads=False)
@click.argument("task")
@click.argument("day", type=Day())
@click.option("--fix", is_flag=True, help="Plan it for just that day.")
@click.pass_obj
def put_off(session: Session, task: str, day: date, fix: bool) -> None:
    """Put a job off until DAY."""
    say_done(session.bench.records.put_off((task,), day, session.today, fix))


@click.command()
@common(reads=False)
@click.argument("species")
@click.argument("stage")
@click.option("--tree", default="", help="The tree's id, if it was seen on one tree only.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.option("--sure", is_flag=True, help="Record it although the almanac or another sighting contradicts it.")
@click.pass_obj
def saw(session: Session, species: str, stage: str, tree: str, note: str, sure: bool) -> None:
    """Record a bud stage that you saw today."""
    say_done(session.bench.records.saw(species, stage, session.today, tree, note, sure))


@click.command()
@common(reads=False)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--as", "kind", type=click.Choice(RECORD_KINDS), required=True, help="What the rows are.")
@click.option("--dry-run", is_flag=True, help="Only say what would change.")
@click.pass_obj
def bring(session: Session, file: Path, kind: RecordKind, dry_run: bool) -> None:
    """Bring records in from a CSV file.

    Its first line names the columns, in any order; `tendwork give DIR` writes files with all that there are. What is
    known by its id is changed, and nothing is ever removed.
    """
    lines = session.bench.records.bring(file, kind, session.today, dry_run)
    say(*lines) if dry_run else say_done(*lines)


@click.command()
@common(reads=False)
@click.argument("directory", type=click.Path(path_type=Path))
@click.pass_obj
def give(session: Session, directory: Path) -> None:
    """Write all records out as CSV files."""
    say_done(*session.bench.records.give(directory), how="Written")


@click.command()
@common(reads=False)
@click.argument("copy", required=False, type=click.Path(path_type=Path))
@click.option("--list", "only_list", is_flag=True, help="Only list the copies.")
@click.pass_obj
def restore(session: Session, copy: Path | None, only_list: bool) -> None:
    """Put a copy of the records back.

    That is COPY, or the newest good one where the records cannot be read. What stands there is set aside. Close
    tendwork elsewhere first.
    """
    if only_list:
        say(*session.copies())
    else:
        say_done(*session.restore(copy), how="Restored")

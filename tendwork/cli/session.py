"""What every command shares: the options before and after it, the workbench, and how things are printed."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from tendwork.cli.printing import note_done
from tendwork.errors import PersonError
from tendwork.orchard.rough_dates import day_written
from tendwork.plain_text import is_unseen, plain

if TYPE_CHECKING:
    from tendwork.workbench.bench import Workbench

_Command = TypeVar("_Command", bound=Callable[..., Any])


_EARLIEST, _LATEST = date(1900, 1, 1), date(2199, 12, 31)  # the seasons before and after must be days as well


class Answer(click.ParamType):  # type: ignore[type-arg]
    """Something that a person types, made into a value; click makes it generic in its newer versions only."""


class Day(Answer):
    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        if isinstance(value, date):
            return value
        try:
            day = day_written(value)
        except ValueError as error:
            self.fail(f"{error}.", param, ctx)
        if not _EARLIEST <= day <= _LATEST:
            self.fail(f"{value} is not between {_EARLIEST} and {_LATEST}.", param, ctx)
        return day


class Number(Answer):
    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        if isinstance(value, float):
            return value
        try:
            return float(value.replace(",", "."))
        except ValueError:
            self.fail(f"{value!r} is not a number such as 52.1.", param, ctx)


class Session:
    """What the options before and after the command say, and the workbench once it is open."""

    def __init__(self, orchard: Path | None, on: date | None, demo: bool) -> None:
        self.orchard = orchard
        self.on = on
        self.demo = demo
        self._bench: Workbench | None = None

    @property
    def bench(self) -> Workbench:
        if self._bench is None:
            from tendwork.workbench.bench import Workbench

            self._bench = Workbench.open(self.folder())
        return self._bench

    @property
    def today(self) -> date:
        return self.on or self.bench.today()

    def check(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """(faults, warnings) of the folder's files, even where they keep it from being opened."""
        from tendwork.workbench.folder_check import check_folder

        try:
            folder: Path | None = self.bench.path
            day = self.today
        except PersonError:  # no site that says where it is: the computer's day is the only one there is
            folder, day = self.folder(), self.on or date.today()  # noqa: DTZ011
        return check_folder(folder, day)

    def restore(self, copy: Path | None) -> tuple[str, ...]:
        """Put a copy of the records back, even where they keep the folder from being opened."""
        from tendwork.workbench.records_copies import restore_records

        return restore_records(self.folder(), copy)

    def copies(self) -> tuple[str, ...]:
        """Every copy of the records, one line each."""
        from tendwork.workbench.records_copies import listed_copies

        return listed_copies(self.folder())

    def folder(self) -> Path | None:
        """The orchard folder that was named, or the throw-away copy of the sample."""
        if not self.demo:
            return self.orchard
        from tendwork.workbench.demo import throw_away_demo

        return throw_away_demo(self.on)


def common(reads: bool = True, has_day: bool = False) -> Callable[[_Command], _Command]:
    """--orchard and --on after the command as well as before it, and --json where something is read.

    A command that `has_day` has an --on of its own: the day of what it records.
    """

    def add_common_options(command: _Command) -> _Command:
        if reads:
            command = click.option("--json", "as_json", is_flag=True, help="Print JSON.")(command)
        if not has_day:
            on = click.option("--on", type=Day(), expose_value=False, callback=_note_on, help="The day to plan for.")
            command = on(command)
        return click.option(
            "--orchard",
            type=click.Path(path_type=Path),
            expose_value=False,
            callback=_note_orchard,
            help="The orchard folder.",
        )(command)

    return add_common_options


def _note_on(context: click.Context, _: click.Parameter, value: date | None) -> None:
    if value is not None:
        context.find_root().obj.on = value


def _note_orchard(context: click.Context, _: click.Parameter, value: Path | None) -> None:
    if value is not None:
        context.find_root().obj.orchard = value


def width() -> int:
    from shutil import get_terminal_size

    return get_terminal_size((80, 24)).columns if sys.stdout.isatty() else 80


def say(*lines: str) -> None:
    """Print lines with nothing in them that acts on a terminal: they may quote a file, a name or a note."""
    for line in lines:
        click.echo(plain(line))


def say_done(*lines: str, how: str = "Recorded") -> None:
    """Print what a command did, which stands even where it cannot be printed; `how` it stands, such as "Written"."""
    note_done(how, lines)
    say(*lines)


def print_json(shape: object) -> None:
    """Print JSON in which what acts, what is not seen and what the terminal does not have is escaped."""
    import msgspec

    try:
        text = msgspec.json.format(msgspec.json.encode(shape), indent=2).decode()
    except UnicodeEncodeError:  # a path may hold bytes that are no text; Python's own JSON escapes them
        import json

        text = json.dumps(msgspec.to_builtins(shape), indent=2)
    click.echo(_escaped(text, sys.stdout.encoding))


def _escaped(text: str, encoding: str) -> str:
    try:
        text.encode(encoding)
        has_all = True
    except UnicodeEncodeError:
        has_all = False
    return text.translate(
        {
            ord(character): "".join(f"\\u{unit:04x}" for unit in _utf16_units(character))
            for character in set(text)
            if character != "\n" and (is_unseen(character) or not (has_all or character.isascii()))
        }
    )


def _utf16_units(character: str) -> tuple[int, ...]:
    code = ord(character) - 0x10000
    return (ord(character),) if code < 0 else (0xD800 + (code >> 10), 0xDC00 + (code & 0x3FF))

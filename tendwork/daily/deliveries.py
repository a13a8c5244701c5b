"""What the daily jobs bring to the person: the morning sheet and the frost warning, whole before they are delivered."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from itertools import groupby
from pathlib import Path

from tendwork.almanac.results import FrostNight
from tendwork.daily.handing_over import hand_over
from tendwork.errors import PersonError, located
from tendwork.folder.outward import write_outward
from tendwork.folder.site import SITE_FILE
from tendwork.outputs.sheet_page import sheet_text
from tendwork.view.temperatures import coldest_frost_sentence
from tendwork.view.text import plain, wrapped
from tendwork.view.words import format_day
from tendwork.workbench import exports
from tendwork.workbench.bench import Workbench

Delivery = Callable[[], str]
"""Does something that must not be done twice, and says what it did. Raises PersonError."""

COLUMNS = 80
WARNED_NIGHTS = 3
_MARK = "\nWritten by tendwork.\n"  # the last line of a sheet, by which the next one knows that it may take its place
_FROST_CAUTION = (
    "Published temperatures are for buds held half an hour at them; in a hollow it is colder than the forecast says. "
    "They warn, they do not promise."
)


def sheet_delivery(bench: Workbench, today: date) -> Delivery | None:
    """Delivers the morning sheet to all that site.toml names; None where it has no [remind]. Raises PersonError."""
    remind = bench.site.remind
    if remind is None:
        return None
    if not (remind.command or remind.sheet_file or remind.calendar_file):
        raise PersonError(
            'site.toml, key "remind": names no command, sheet_file or calendar_file, so no sheet is delivered.'
        )
    text = morning_text(bench, today)
    ways: list[Delivery] = []
    if remind.command:
        ways.append(lambda: hand_over(remind.command, text, bench.path))
    if remind.sheet_file:
        ways.append(lambda: _write_sheet(bench, _placed(bench, "sheet_file"), text, today))
    if remind.calendar_file:
        ways.append(lambda: exports.write_calendar(bench, _placed(bench, "calendar_file"), today))
    return lambda: _each(f"The sheet of {format_day(today, today)}:", ways)


def morning_text(bench: Workbench, today: date) -> str:
    """The sheet as text, with the frost to come and what there is to know of the data. Raises PersonError."""
    lines = [sheet_text(exports.sheet(bench, today), COLUMNS)]
    frost = frost_lines(bench.plan.of(today).frost, today, bench.site.units)
    lines += ["", *frost] if frost else []
    words = bench.plan.of(today).words
    lines += ["", "To know:"] if words else []
    lines += [line for sentence in words for line in wrapped(plain(sentence), COLUMNS, "- ")]
    return "\n".join(lines)


def frost_delivery(bench: Workbench, today: date) -> Delivery | None:
    """Warns of frost in the next nights; None where none reaches a kill temperature. Raises PersonError."""
    last = today + timedelta(days=WARNED_NIGHTS)
    nights = tuple(night for night in bench.plan.of(today).frost if today < night.night <= last)
    if not nights:
        return None
    units, remind = bench.site.units, bench.site.remind
    coldest = coldest_frost_sentence(nights, today, units)
    if remind is None or not remind.command:
        return lambda: f"{coldest} No command is named under [remind] to hand this to."
    text = "\n".join((f"{plain(bench.site.name)}: frost", "", *frost_lines(nights, today, units)))
    return lambda: f"{coldest} {_sentence(hand_over(remind.command, text, bench.path))}"


def frost_lines(nights: tuple[FrostNight, ...], today: date, units: str) -> list[str]:
    """A sentence for each night, and one of caution."""
    ordered = sorted(nights, key=lambda night: night.night)
    lines = [
        line
        for _, group in groupby(ordered, key=lambda night: night.night)
        for line in wrapped(coldest_frost_sentence(tuple(group), today, units), COLUMNS, "Frost: ")
    ]
    return [*lines, *wrapped(_FROST_CAUTION, COLUMNS)] if lines else []


def write_file(orchard: Path, file: Path, text: str) -> str:
    """Write the text into a file in place of one written before, whole or not at all, and say so. Raises PersonError.

    Its last line says who wrote it.
    """
    write_outward(orchard, file, f"{text.rstrip()}\n{_MARK}".encode("utf-8", "replace"), _MARK.encode())
    return f"written to {file}."


def placed(folder: Path, name: str, key: str) -> Path:
    """Where a file lies that site.toml names under `key`: in the orchard folder, unless it begins with / or ~.

    Raises PersonError where it names the home of somebody who is not known here.
    """
    try:
        return folder / Path(name).expanduser()
    except RuntimeError:
        what = f'"{name}" is in the home of somebody who is not known on this computer'
        raise located(SITE_FILE, what, key=key, remedy="Write the whole path.") from None


def _placed(bench: Workbench, key: str) -> Path:
    return placed(bench.path, getattr(bench.site.remind, key), f"remind.{key}")


def _write_sheet(bench: Workbench, file: Path, text: str, today: date) -> str:
    if file.suffix.lower() in (".html", ".htm"):
        return exports.write_sheet(bench, file, today)
    return write_file(bench.path, file, text)


def _each(lead: str, ways: list[Delivery]) -> str:
    """All of them, each on its own. Raises PersonError with every sentence if one fails."""
    said, failed = [], False
    for way in ways:
        try:
            said.append(_sentence(way()))
        except PersonError as error:
            said.append(str(error))
            failed = True
    words = " ".join((lead, *said))
    if failed:
        raise PersonError(words)
    return words


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]

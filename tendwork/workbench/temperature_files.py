"""Temperatures in from files of many kinds: what is over into one file, what is to come into another, no day twice."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, nullcontext
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Literal

from tendwork.almanac.temperature import MEASURED
from tendwork.errors import PersonError
from tendwork.folder.drafts import sweep
from tendwork.folder.file_lock import locked
from tendwork.folder.files import make_folder, stands
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.temperature_origins import Origin, note_origin, read_origins
from tendwork.folder.temperature_sources import ADDED_FILE, FORECAST_FILE
from tendwork.folder.temperatures_csv import read_temperatures, write_temperatures
from tendwork.weather.readers import DatedMinMax, Reading, Usual, merge, usual_of
from tendwork.weather.readers import read_temperatures as read_any
from tendwork.workbench.plan_inputs import LONGEST_FORECAST_DAYS, temperatures_of

DATE_ORDERS: dict[str, Literal["dmy", "mdy"]] = {"day-first": "dmy", "month-first": "mdy"}
UNITS: dict[str, Literal["c", "f", "tenths"]] = {"celsius": "c", "fahrenheit": "f", "tenths": "tenths"}


def add_temperatures(
    folder: OrchardFolder,
    file: Path,
    today: date,
    dry_run: bool,
    dates: str | None,
    unit: str | None = None,
    progress: Callable[[int], None] | None = None,
) -> tuple[str, ...]:
    """Add the days of a file in any known form, or only say what would be added. Raises PersonError.

    Measured days join those added before. A forecast, and days after `today` of whatever file, take the place of the
    forecast held. `dates` and `unit` are what the person says, of DATE_ORDERS and UNITS; `progress` is told how many
    lines have been read.
    """
    written_at = _written_at(file)
    saved_on = min(today, written_at.date())  # no file holds what was measured after it was written
    reading = read_any(
        file,
        folder.site.timezone,
        None if dates is None else DATE_ORDERS[dates],
        today=saved_on,
        unit=None if unit is None else UNITS[unit],
        usual=lambda: usual_at(folder, today),
        progress=progress,
    )
    measured, forecast, beyond = split(reading, today)
    if not measured and not forecast:
        until = (today + timedelta(days=LONGEST_FORECAST_DAYS)).isoformat()
        raise PersonError(f"{file}: no day up to {until} has both a minimum and a maximum. Nothing was added.")
    words = [*reading.words]
    if beyond:
        words.append(f"{beyond} days more than {LONGEST_FORECAST_DAYS} days ahead are left out.")
    root = folder.path
    with nullcontext() if dry_run else alone_at_temperatures(root):
        origins = read_origins(root)  # before anything is written, for it may have to be mended first
        past, past_words = merged(root / ADDED_FILE, measured)
        to_come = with_days_gone_by(root / FORECAST_FILE, forecast, today) if forecast else ()
        if measured:
            words.append(f"{ADDED_FILE}: {' '.join(past_words)}")
        if forecast:
            words.append(f"{FORECAST_FILE}: a forecast of {_span(forecast)}, in place of the one before.")
        if dry_run:
            return (*words, "Nothing was written: this was a dry run.")
        written: list[str] = []
        try:
            if measured:
                write_rows(root / ADDED_FILE, past)
                written.append(ADDED_FILE)
            if forecast:
                write_rows(root / FORECAST_FILE, to_come)
                written.append(FORECAST_FILE)
            _note(root, origins, reading.attribution, bool(measured), written_at if forecast else None)
        except PersonError as error:
            if not written:
                raise
            rest = f"{' and '.join(written)} had been written before; add the file again when this is mended."
            raise PersonError(f"{str(error).rstrip('.')}. {rest}") from None
    return (*words, *([reading.attribution] if reading.attribution else []))


def usual_at(folder: OrchardFolder, today: date) -> Usual:
    """What the measured days held and the normals of site.toml say of the place's months. Raises PersonError."""
    normals, series = folder.site.normals, temperatures_of(folder, today).series
    held: Iterable[tuple[date, float, float]] = ()
    if series is not None:
        first = series.first_day.toordinal()
        days = zip(series.tmin_c, series.tmax_c, series.marks, strict=True)
        held = (
            (date.fromordinal(first + at), low, high) for at, (low, high, mark) in enumerate(days) if mark == MEASURED
        )
    twelve = None if normals is None else (normals.minimum_c, normals.maximum_c)
    return usual_of(folder.site.south, twelve, held)


@contextmanager
def alone_at_temperatures(root: Path) -> Iterator[None]:
    """Hold the temperature files from reading to writing, so that two who add lose nothing. Raises PersonError."""
    folder = root / "temperatures"
    make_folder(folder)
    with locked(folder / ".lock", f"{folder}: another tendwork is writing here. Nothing was changed; do it again."):
        sweep(folder)
        yield


def split(reading: Reading, today: date) -> tuple[tuple[DatedMinMax, ...], tuple[DatedMinMax, ...], int]:
    """(measured rows, forecast rows, how many lie too far ahead). Days after `today` are never measured."""
    measured: list[DatedMinMax] = []
    forecast: list[DatedMinMax] = []
    beyond = 0
    last = today + timedelta(days=LONGEST_FORECAST_DAYS)
    for day, low, high, is_forecast in reading.marked_rows():
        if day > last:
            beyond += 1
        else:
            (forecast if is_forecast or day > today else measured).append(DatedMinMax(day, low, high))
    return tuple(measured), tuple(forecast), beyond


def merged(path: Path, measured: tuple[DatedMinMax, ...]) -> tuple[tuple[DatedMinMax, ...], tuple[str, ...]]:
    """The rows of the file with these measured ones laid into them, and words. Raises PersonError."""
    return merge(read_rows(path), measured)


def with_days_gone_by(path: Path, forecast: Iterable[DatedMinMax], today: date) -> tuple[DatedMinMax, ...]:
    """A new forecast, behind those days of the old one that have come before it begins. Raises PersonError.

    Where no source gives past days, the forecast of a day is all that will ever be known of it.
    """
    new = sorted(forecast)
    return tuple(row for row in read_rows(path) if row[0] < new[0][0] and row[0] <= today) + tuple(new)


def read_rows(path: Path) -> tuple[DatedMinMax, ...]:
    """The rows of a file that the program writes, none where it is not there yet. Raises PersonError."""
    if not stands(path):
        return ()
    return tuple(DatedMinMax(day, low, high) for day, (low, high) in read_temperatures(path, path.name).days.items())


def write_rows(path: Path, rows: Iterable[DatedMinMax]) -> None:
    """Write whole rows, unless the file holds just these. Raises PersonError.

    A line that the file holds and that cannot be believed stays, until there is a better one of its day: it may be no
    more than mistyped, and the person is told of it at every reading.
    """
    whole = {day: (low, high) for day, low, high in rows if low is not None and high is not None}
    held = read_temperatures(path, path.name) if stands(path) else None
    if held is None:
        write_temperatures(path, whole)
    elif held.days != whole:
        write_temperatures(path, {**held.unbelieved, **whole})


def _written_at(file: Path) -> datetime:
    try:
        return datetime.fromtimestamp(file.stat().st_mtime, UTC)
    except (OSError, ValueError, OverflowError):
        return datetime.now(UTC)  # the reader says what is wrong with the file


def _note(
    root: Path, origins: Mapping[str, Origin], attribution: str, has_past: bool, forecast_of: datetime | None
) -> None:
    """Keep whom the data are owed to, and the age of a forecast, beside the files that they went into."""
    if has_past and attribution:
        note_origin(root, ADDED_FILE, origins.get(ADDED_FILE, Origin()).owed_to(attribution))
    if forecast_of is not None:
        held = origins.get(FORECAST_FILE, Origin())
        origin = Origin(answered_at=forecast_of, attribution=held.attribution, licence=held.licence)
        note_origin(root, FORECAST_FILE, origin.owed_to(attribution))


def _span(rows: tuple[DatedMinMax, ...]) -> str:
    return f"{len(rows)} days from {rows[0][0]} to {rows[-1][0]}"

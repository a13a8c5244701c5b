"""What comes in from files and goes out to files: CSV records, temperatures, and the check of the whole folder."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from tendwork.folder.adjustments import check_adjustments
from tendwork.folder.bring import Changes, bring, changes
from tendwork.folder.check import folder_faults
from tendwork.folder.csv_files import CsvRows, give, read_csv, refusal
from tendwork.folder.orchard_folder import OrchardFolder, locate
from tendwork.folder.templates import check_templates


def bring_file(folder: OrchardFolder, path: Path, kind: str, today: date, dry_run: bool) -> tuple[str, ...]:
    """Bring a CSV file's rows into the records in one act, or say what it would change. Raises PersonError."""
    rows = read_csv(path, kind)
    _refuse_future(rows, today)
    found = changes(rows, folder.records.read())
    summary = _summary(found, kind, path.name)
    if dry_run:
        return (f"Would bring {summary}.", *_lines(found))
    if found.new or found.changed:
        with folder.records.act(f"brought {path.name} as {kind}") as act:
            bring(act, found)
    return (f"Brought {summary}.",)


def give_files(folder: OrchardFolder, target: Path) -> tuple[str, ...]:
    """Write all records as CSV files into `target`. Raises PersonError rather than write over a file."""
    return tuple(f"Wrote {path}." for path in give(folder.records.read(), target))


def check_folder(path: Path | None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(faults, warnings) of all the folder's files, one sentence each. Raises PersonError if it cannot be read."""
    folder = locate(path)
    faults = folder_faults(folder)
    loaded, _ = check_templates(folder / "templates")
    adjustments, _ = check_adjustments(folder / "adjustments.toml")
    known = {template.id for template in loaded.templates}
    idle = [
        f'adjustments.toml: there is no template "{identity}", so its change has no effect.'
        for identity in adjustments.template
        if identity not in known
    ]
    return faults, (*loaded.warnings, *idle)


def _refuse_future(rows: CsvRows, today: date) -> None:
    faults = []
    for record, line in zip(rows.records, rows.lines, strict=True):
        for name in ("day", "set_on", "cut_on"):
            day = getattr(record, name, None)
            if day is not None and day > today:
                faults.append(f"{rows.file}, line {line}: {day.isoformat()} lies in the future. Mend the date.")
    if faults:
        raise refusal(faults[:20], len(faults))


def _summary(found: Changes, kind: str, name: str) -> str:
    return f"{len(found.new)} new, {len(found.changed)} changed and {found.same} unchanged {kind} from {name}"


def _lines(found: Changes) -> tuple[str, ...]:
    new = [f"new: {_named(record)}" for record in found.new]
    changed = [f"changed: {_named(after)}" for _, after in found.changed]
    return (*new, *changed)


def _named(record: object) -> str:
    for name in ("id", "day"):
        value = getattr(record, name, None)
        if value is not None:
            rest = getattr(record, "variety", None) or getattr(record, "name", None) or getattr(record, "stage", "")
            return f"{value} {rest}".strip()
    return repr(record)

"""What comes in from files and goes out to files: CSV records, temperatures, and the check of the whole folder."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path

import msgspec

from tendwork.doubting import doubtful_words
from tendwork.errors import located
from tendwork.folder.adjustments import check_adjustments
from tendwork.folder.bring import Changes, bring, changes
from tendwork.folder.check import folder_faults
from tendwork.folder.csv_files import SHOWN_ROWS, CsvRows, give, read_csv, refusal
from tendwork.folder.fields import KINDS, Record
from tendwork.folder.orchard_folder import RECORDS_FILE, OrchardFolder, refuse_unless_readable
from tendwork.folder.restoring import copies, restore
from tendwork.folder.templates import check_templates
from tendwork.folder.toml_text import nearest
from tendwork.location import locate
from tendwork.orchard.faults import Fault, faults, faults_found
from tendwork.orchard.records import Graft, Records, Sighting
from tendwork.orchard.wording import listed
from tendwork.planning.vocabulary import Template


def bring_file(folder: OrchardFolder, path: Path, kind: str, today: date, dry_run: bool) -> tuple[str, ...]:
    """Bring a CSV file's rows into the records in one act, or say what it would change. Raises PersonError."""
    rows = read_csv(path, kind)
    held = folder.records.read()
    found = changes(rows, held)
    _refuse_faults(rows, held, found, today)
    summary = _summary(found, kind, path.name)
    unheard = unheard_words((*found.new, *(now for _, now in found.changed)), _templates(folder.path))
    doubtful = _doubtful(folder, held, found, today) if kind == "sightings" else ()
    if dry_run:
        return (f"Would bring {summary}.", *_lines(found), *unheard, *doubtful)
    if found.new or found.changed:
        with folder.records.act(f"brought {path.name} as {kind}") as act:
            bring(act, found)
    return (f"Brought {summary}.", *unheard, *doubtful)


def give_files(folder: OrchardFolder, target: Path) -> tuple[str, ...]:
    """Write all records as CSV files into `target`. Raises PersonError rather than write over a file."""
    return tuple(f"Wrote {path}." for path in give(folder.records.read(), target))


def check_folder(path: Path | None, today: date) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(faults, warnings) of all the folder's files, one sentence each. Raises PersonError if it cannot be read."""
    from tendwork.temperature_fetching import service_faults

    folder = locate(path)
    unheard: tuple[str, ...] = ()
    doubtful: tuple[str, ...] = ()
    faults = folder_faults(folder)
    if not faults:
        opened = OrchardFolder.open(folder)
        faults = service_faults(opened)
        unheard = unheard_words(opened.records.read().grafts, _templates(folder))
        if not faults:
            doubtful = doubtful_words(opened, opened.records.read(), today)
    loaded, _ = check_templates(folder / "templates")
    adjustments, _ = check_adjustments(folder / "adjustments.toml")
    known = {template.id for template in loaded.templates}
    idle = [
        f'adjustments.toml: there is no template "{identity}", so its change has no effect.'
        for identity in adjustments.template
        if identity not in known
    ]
    return faults, (*loaded.warnings, *idle, *unheard, *doubtful)


def unheard_words(records: Iterable[Record], templates: Iterable[Template]) -> tuple[str, ...]:
    """Methods and wraps of living grafts that no template speaks of: misspelt, or in need of a template."""
    asked = [template.where for template in templates]
    living = [one for one in records if isinstance(one, Graft) and one.state not in ("failed", "removed")]
    sentences = []
    for field in ("method", "wrap"):
        known = sorted({word for where in asked for word in getattr(where, field) or ()})
        for word in sorted({getattr(graft, field) for graft in living} - {"", *known}):
            of = listed([graft.id for graft in living if getattr(graft, field) == word])
            what = f'No template speaks of the {field} "{word}" (graft {of}), so its jobs never come.'
            sentences.append(f"{what} {nearest(word, known)}")
    return tuple(sentences)


def _doubtful(folder: OrchardFolder, held: Records, found: Changes, today: date) -> tuple[str, ...]:
    """What speaks against sightings that come in: they are taken all the same."""
    new = {record for record in found.new if isinstance(record, Sighting)}
    after = _with_changes(held, "sightings", found)
    return doubtful_words(folder, after, today, new)


def _templates(folder: Path) -> tuple[Template, ...]:
    return check_templates(folder / "templates")[0].templates


def _refuse_faults(rows: CsvRows, held: Records, found: Changes, today: date) -> None:
    """Raise for what the rows would make untrue of the records; what was untrue before does not hinder them."""
    before = set(faults(held, today))
    brought = [
        fault for fault in faults_found(_with_changes(held, rows.kind, found), today) if fault.words not in before
    ]
    lines = {_who(record): line for record, line in zip(rows.records, rows.lines, strict=True)}
    sentences = []
    for fault in brought:
        line = lines.get(_who(fault.record)) if fault.kind == rows.kind else None
        key = "" if line is None else _column(fault)
        sentences.append((line or 0, str(located(rows.file, fault.words, line=line, key=key))))
    if sentences:
        raise refusal([words for _, words in sorted(sentences)][:SHOWN_ROWS], len(sentences))


def _who(record: object) -> object:
    """What tells a record from others of its kind: its id, else all of it."""
    return getattr(record, "id", record)


def _column(fault: Fault) -> str:
    return next(field.column for field in KINDS[fault.kind].fields if field.name == fault.field)


def _with_changes(held: Records, kind: str, found: Changes) -> Records:
    """The records as the rows would leave them."""
    after = {record.id: record for _, record in found.changed}  # type: ignore[union-attr]
    kept = tuple(after.get(getattr(record, "id", ""), record) for record in getattr(held, kind))
    return msgspec.structs.replace(held, **{kind: (*kept, *found.new)})


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


def restore_records(path: Path | None, copy: Path | None) -> tuple[str, ...]:
    """Put a copy of the records back, the newest good one unless one is named. Raises PersonError."""
    records = locate(path) / RECORDS_FILE
    refuse_unless_readable(records.parent)
    used, aside = restore(records, copy)
    said = (f"{used.name} stands in the place of {records.name} again.",)
    return said if aside is None else (*said, f"What stood there is in {aside}.")


def listed_copies(path: Path | None) -> tuple[str, ...]:
    """Every copy of the records, one line each. Raises PersonError where there is no folder to read."""
    records = locate(path) / RECORDS_FILE
    refuse_unless_readable(records.parent)
    found = copies(records)
    if not found:
        return ("There is no copy yet; one is made each day before the first act.",)
    return tuple(f"{copy}  {'good' if good else 'cannot be read back'}" for copy, good in found)

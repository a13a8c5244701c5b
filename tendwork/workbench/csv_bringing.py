"""The rows of a CSV file brought into the records in one act, and what the person is told of them."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import msgspec

from tendwork.errors import located
from tendwork.folder.csv_files import SHOWN_ROWS, CsvRows, read_csv, refusal
from tendwork.folder.csv_references import refuse_loose_rows
from tendwork.folder.csv_ticks import in_known_words, unread_sentences
from tendwork.folder.fields import KINDS
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.templates import check_templates
from tendwork.folder.variety_lists import variety_reference
from tendwork.orchard.bringing import (
    Brought,
    changes,
    edit_of,
    identity_of,
    notes_without_groups,
    with_blooms,
    with_lives,
    with_signs,
)
from tendwork.orchard.edits import applied
from tendwork.orchard.faults import Fault, faults, faults_found
from tendwork.orchard.known_since import entered
from tendwork.orchard.records import (
    KIND_OF,
    Graft,
    Life,
    Record,
    RecordKind,
    Records,
    Sighting,
    Spray,
    Tasting,
    Tick,
    Tree,
    Trouble,
    Variety,
    Wood,
)
from tendwork.orchard.rough_dates import date_text, when_words
from tendwork.orchard.tree_note_words import brought_sentences, reworded_sentences
from tendwork.orchard.unions import hints, late_trees, tree_hints
from tendwork.orchard.variety_checks import twice_in_place, twice_sentences, variety_hints
from tendwork.orchard.wood_doubts import wood_doubts
from tendwork.orchard.wording import counted, listed_in_short
from tendwork.plain_text import plain
from tendwork.planning.gaps import open_questions
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.results import TOOK
from tendwork.planning.vocabulary import Template
from tendwork.planning.work_bars import TickBars, WorkBars
from tendwork.view.wraps import gap_sentences
from tendwork.workbench.doubting import doubtful_words


def bring_file(folder: OrchardFolder, path: Path, kind: RecordKind, today: date, dry_run: bool) -> tuple[str, ...]:
    """Bring a CSV file's rows into the records in one act, or say what it would change. Raises PersonError."""
    rows = read_csv(path, kind)
    templates = _templates(folder.path) if kind in ("grafts", "ticks") else ()
    if dry_run:
        held = folder.records.read()
        rows, found = _changes_of(rows, held, templates, today)
        return (
            f"Would bring {_summary(found, kind, path.name)}.",
            *_told(folder, rows, held, found, templates, today, _lines(found)),
        )
    with folder.records.act(f"brought {plain(path.name)} as {kind}") as act:
        held = folder.records.read()  # within the act: of two who bring the same rows the second finds them there
        rows, found = _changes_of(rows, held, templates, today)
        act.apply(edit_of(found))
    return (f"Brought {_summary(found, kind, path.name)}.", *_told(folder, rows, held, found, templates, today))


def _changes_of(rows: CsvRows, held: Records, templates: tuple[Template, ...], today: date) -> tuple[CsvRows, Brought]:
    """The rows in known words, and what they would change, with all that follows from it.

    Raises PersonError where it may not be.
    """
    refuse_loose_rows(rows, held)
    if rows.kind == "ticks":
        rows = in_known_words(rows, held, templates)
    told = (
        record if "known_since" in given else entered(record, today)
        for record, given in zip(rows.records, rows.given, strict=True)
    )
    found = changes(held, rows.kind, notes_without_groups(tuple(told)), rows.given)
    found = with_blooms(with_signs(with_lives(found, held, today), held), held, rows.records)
    _refuse_faults(rows, held, found, today)
    return rows, found


def _told(
    folder: OrchardFolder,
    rows: CsvRows,
    held: Records,
    found: Brought,
    templates: tuple[Template, ...],
    today: date,
    lines: tuple[str, ...] = (),
) -> tuple[str, ...]:
    """What the person should know of rows that are brought: what is in doubt, barred or not known."""
    after = applied(held, edit_of(found))
    unheard = _not_noted(after, found, templates, folder.site.south, today) if rows.kind == "grafts" else ()
    unheard += reworded_sentences(rows.reworded)
    if rows.kind == "ticks":
        unheard += tuple(unread_sentences(rows, found.new, after, templates))
    unheard += brought_sentences(record for record in _touched(found) if isinstance(record, Trouble | Spray))
    touched = {record.id for record in _touched(found) if isinstance(record, Graft | Tree)}
    if rows.kind in ("grafts", "trees"):
        planned = (one for one in after.grafts if one.state == "planned" and one.id in touched)
        if rows.kind == "grafts":
            unheard += (*twice_in_place(after, touched), *hints(after, planned, today))
        unheard += tree_hints((tree for tree in late_trees(after, today) if tree.id in touched), today)
    unheard += _of_varieties(held, after) if rows.kind == "varieties" else ()
    if rows.kind == "wood":
        touched = {record.id for record in _touched(found) if isinstance(record, Wood)}
        unheard += wood_doubts(after, (bundle for bundle in after.wood if bundle.id in touched))
    unheard += _against(after, found, templates, folder.site.south, today)
    doubtful = _doubtful(folder, after, found, today) if rows.kind == "sightings" else ()
    return (*_again(found), *lines, *_kept(found), *unheard, *doubtful)


def _of_varieties(held: Records, after: Records) -> tuple[str, ...]:
    """What is likely a mistake in the records of varieties, and was not before: a name of another record, above all."""
    known = {*twice_sentences(held), *variety_hints(held, variety_reference())}
    found = (*twice_sentences(after), *variety_hints(after, variety_reference()))
    return tuple(sentence for sentence in found if sentence not in known)


def _not_noted(
    after: Records, found: Brought, templates: tuple[Template, ...], south: bool, today: date
) -> tuple[str, ...]:
    """What is not noted of grafts that come in, so that rules must guess: empty, misspelt, or without a template."""
    touched = {graft.id for graft in _touched(found) if isinstance(graft, Graft)}
    grafts = tuple(graft for graft in after.grafts if graft.id in touched)
    brought = msgspec.structs.replace(after, grafts=grafts, sprays=())
    orchard = Orchard(brought, templates, south, today)
    return gap_sentences(gap for gap in open_questions(orchard, today) if gap.kind != TOOK)


def _against(
    after: Records, found: Brought, templates: tuple[Template, ...], south: bool, today: date
) -> tuple[str, ...]:
    """What was done although something bars it, fruit eaten, grafts set or units ticked: it is taken all the same."""
    bars = WorkBars(after, south, today)
    tastings = [
        (f"Tasting of {record.graft} on {record.day}", bars.against_tasting(record))
        for record in found.new
        if isinstance(record, Tasting)
    ]
    before = {now.id: then for then, now in found.changed if isinstance(now, Graft)}
    grafts = [
        (f"Graft {record.id} set {when_words(record.set_on)}", bars.against_setting((record,)))
        for record in _touched(found)
        if isinstance(record, Graft) and getattr(before.get(record.id), "set_on", None) != record.set_on
    ]
    ticks = _against_ticks(after, templates, south, [record for record in found.new if isinstance(record, Tick)])
    return tuple(f"{what}: {against}" for what, against in (*tastings, *grafts, *ticks) if against)


def _against_ticks(
    after: Records, templates: tuple[Template, ...], south: bool, ticks: list[Tick]
) -> list[tuple[str, str]]:
    """The ticks that tell of work that was barred on its day, those of one job and day together, each with why."""
    if not ticks:
        return []
    bars = TickBars(after, templates, south)
    units: dict[tuple[str, date, str], list[str]] = {}
    for tick in ticks:
        units.setdefault((tick.task, tick.day, bars.against(tick)), []).append(tick.unit)
    return [
        (f"Tick of {task}, {listed_in_short(names)}, on {day}", against)
        for (task, day, against), names in units.items()
    ]


def _doubtful(folder: OrchardFolder, after: Records, found: Brought, today: date) -> tuple[str, ...]:
    """What speaks against sightings that come in: they are taken all the same."""
    new = {record for record in found.new if isinstance(record, Sighting)}
    return doubtful_words(folder, after, today, new)


def _templates(folder: Path) -> tuple[Template, ...]:
    return check_templates(folder / "templates")[0].templates


def _refuse_faults(rows: CsvRows, held: Records, found: Brought, today: date) -> None:
    """Raise for what the rows would make untrue of the records; what was untrue before does not hinder them."""
    before = set(faults(held, today))
    after = applied(held, edit_of(found))
    brought = [fault for fault in faults_found(after, today) if fault.words not in before]
    lines = {identity_of(record): line for record, line in zip(rows.records, rows.lines, strict=True)}
    ticked = {sign: found.new[place] for place, sign in found.signs.items()}
    at_fault = {fault.record for fault in brought}
    sentences = []
    for fault in brought:
        record = ticked.get(fault.record, fault.record) if isinstance(fault.record, Trouble) else fault.record
        if record is not fault.record and record in at_fault:
            continue  # what is wrong with the sign is wrong with its tick, which is told
        line = lines.get(identity_of(record)) if KIND_OF[type(record)] == rows.kind else None
        key = "" if line is None else _column(fault)
        sentences.append((line or 0, str(located(rows.file, fault.words, line=line, key=key))))
    if sentences:
        raise refusal([words for _, words in sorted(sentences)][:SHOWN_ROWS], len(sentences))


def _column(fault: Fault) -> str:
    return next(field.column for field in KINDS[fault.kind].fields if field.name == fault.field)


def _touched(found: Brought) -> tuple[Record, ...]:
    """The records that are new or changed, as they would be."""
    return (*found.new, *(now for _, now in found.changed))


def _summary(found: Brought, kind: RecordKind, name: str) -> str:
    return f"{len(found.new)} new, {len(found.changed)} changed and {found.same} unchanged {kind} from {name}"


def _again(found: Brought) -> tuple[str, ...]:
    """That rows of the file tell of what another row of it tells of already."""
    if not found.again:
        return ()
    rows = f"{counted(found.again, 'row')} of the file"
    return (f"{rows} told of what another row tells: they are one record each.",)


def _kept(found: Brought) -> tuple[str, ...]:
    """What is recorded beside the rows: earlier grafts of a place, signs of disease of a tick, bloom of a note."""
    lives = (
        f"Graft {life.graft}: {life.variety}, set {when_words(life.set_on)}, is kept in the history of its place."
        for life in found.lives
    )
    signs = (f"Tree {sign.tree}: {sign.what} of {sign.day} is noted on it." for sign in found.signs.values())
    blooms = (
        f"Variety {bloom.variety} ({bloom.species}): bloom {bloom.bloom}, from the note of a graft, is kept with it."
        for _, bloom in found.blooms
    )
    return (*lives, *signs, *blooms)


def _lines(found: Brought) -> tuple[str, ...]:
    new = [f"new: {_named(record)}" for record in found.new]
    changed = [f"changed: {_named(after)}" for _, after in found.changed]
    return (*new, *changed)


def _named(record: Record) -> str:
    if isinstance(record, Variety):
        return f"{record.variety} ({record.species})"
    if isinstance(record, Life):
        ended = "" if record.ended_on is None else f" until {date_text(record.ended_on)}"
        return f"{record.variety}, which stood at {record.graft}{ended}"
    called = record.id if isinstance(record, (Tree, Graft, Wood)) else record.day
    words = (getattr(record, word, "") for word in ("variety", "name", "stage", "what", "product"))
    return f"{called} {next(filter(None, words), '')}".strip()

"""What a person enters of trees, grafts, wood and fruit: each is one act of the records, or none.

What is typed becomes an edit, which is made of the records as they are within the act, so that what another process
wrote in between is not lost and is not contradicted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from typing import Any

import msgspec

from tendwork.errors import PersonError
from tendwork.folder.csv_values import is_another_word
from tendwork.folder.fields import KINDS
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.variety_lists import variety_reference
from tendwork.orchard import record_edits, tree_notes, variety_edits
from tendwork.orchard.crown import CrownPlace
from tendwork.orchard.edits import Edit
from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.ids import free_id
from tendwork.orchard.records import Graft, RecordKind, Records, Tasting, Tree, Trouble
from tendwork.orchard.series import Draft
from tendwork.orchard.tree_note_words import note_sentences, reworded_sentences
from tendwork.orchard.unions import hints, tree_hints
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning import work_edits
from tendwork.planning.gaps import open_questions
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.results import NO_METHOD, Plan, Task
from tendwork.planning.work_bars import WorkBars
from tendwork.view.varieties import planning_words
from tendwork.view.wraps import gap_sentences
from tendwork.workbench.form_values import parted, values

Typed = Mapping[str, str]
_OF_A_UNION = {"species", "variety", "tree", "state", "method", "height_m", "stock", "interstem", "planted"}
"""The fields on which it hangs what is known against a union."""


class Entries:
    """What a person enters by hand. Every method returns what it did as a sentence, and raises PersonError.

    `typed` are texts by field name, as a form holds them. `plan_of` gives the plan of a day, if any can be had.
    """

    def __init__(self, folder: OrchardFolder, plan_of: Callable[[date], Plan | None]) -> None:
        self._folder = folder
        self._plan_of = plan_of

    def add(self, kind: RecordKind, typed: Typed, today: date) -> str:
        """Add a tree, a graft or a bundle; without an id it gets the next free one."""
        fields = values(kind, typed)

        def new(records: Records) -> Edit:
            identity = fields.get("id") or free_id(records, kind)
            return record_edits.add(records, KINDS[kind].record(**{**fields, "id": identity}), today)

        edit = self._write(new)
        added = [record.id for record in edit.added if isinstance(record, Graft)]
        trees = [record.id for record in edit.added if isinstance(record, Tree)]
        known = self._known(one for one in edit.added if isinstance(one, Graft) and one.state == "planned")
        told = (*self._without_method(added, today), *self._barred(added, today), *self._unions(added, trees, today))
        return " ".join([edit.sentence, *known, *told])

    def _known(self, planned: Iterable[Graft]) -> tuple[str, ...]:
        """What is known of the varieties of grafts that are planned, and from whom; nothing where nothing is."""
        grafts = tuple(planned)
        if not grafts:
            return ()
        records = self._folder.records.read()
        book, species = VarietyBook(records, variety_reference()), species_by_graft(records)
        told = (planning_words(book.known(species[graft.id], graft.variety)) for graft in grafts)
        return tuple(filter(None, told))

    def change(self, kind: RecordKind, ids: Sequence[str], typed: Typed, today: date) -> str:
        """Give the typed fields their values in every one of these records; all other fields stay."""
        fields = values(kind, typed)
        if not fields:
            raise PersonError("Nothing was changed.")
        edit = self._write(lambda records: record_edits.change_all(records, kind, ids, today, fields))
        touched = ids if kind == "grafts" else ()
        told = self._barred(touched, today) if fields.keys() & {"state", "set_on", "wood"} else ()
        if fields.keys() & _OF_A_UNION:
            told += self._unions(touched, ids if kind == "trees" else (), today)
        return " ".join([edit.sentence, *self._without_method(touched, today), *told])

    def asked(self, ids: Sequence[str], typed: Typed, today: date) -> str:
        """Note that these bundles were asked for. What is left empty stays; an answer from before does not count."""
        told = {name: text for name, text in typed.items() if text.strip()}
        return self.change("wood", ids, {**told, "answer": ""}, today)

    def _barred(self, ids: Sequence[str], today: date) -> tuple[str, ...]:
        """What bars the tree or the wood of those of these grafts that are noted as set."""
        if not ids:
            return ()
        records = self._folder.records.read()
        against = self._bars(records, today).against_setting(one for one in records.grafts if one.id in ids)
        return (against,) if against else ()

    def _unions(self, grafts: Sequence[str], trees: Sequence[str], today: date) -> tuple[str, ...]:
        """What is known against those of these grafts that are planned, and against these trees on their stock."""
        if not grafts and not trees:
            return ()
        records = self._folder.records.read()
        planned = [one for one in records.grafts if one.id in grafts and one.state == "planned"]
        of_trees = tree_hints((tree for tree in records.trees if tree.id in trees), today)
        return (*hints(records, planned, today), *of_trees)

    def _without_method(self, ids: Sequence[str], today: date) -> tuple[str, ...]:
        """That no grafting job comes for those of these grafts that are planned without a method."""
        if not ids:
            return ()
        records = self._folder.records.read()
        touched = msgspec.structs.replace(records, grafts=tuple(one for one in records.grafts if one.id in ids))
        orchard = Orchard(touched, self._folder.templates().templates, self._folder.site.south, today)
        return gap_sentences(gap for gap in open_questions(orchard, today) if gap.kind == NO_METHOD)

    def move(self, ids: Sequence[str], tree: str, typed: Typed, today: date) -> str:
        """Note that grafts stand on another tree, or that one stands at another place.

        On its own tree, what is not typed of one graft's place stays; on another, it is not known any more.
        """
        told = values("grafts", typed)
        edit = self._write(lambda records: record_edits.move(records, ids, tree, today, told))
        return " ".join([edit.sentence, *self._unions(ids, (), today)])

    def split_graft(self, identity: str, typed: Typed, today: date) -> str:
        """Record a second place of what was noted as one graft."""
        place = CrownPlace(**values("grafts", typed))
        return self._write(lambda records: record_edits.split_graft(records, identity, place, today)).sentence

    def split_bundle(self, identity: str, typed: Typed, today: date) -> str:
        """Put some sticks of a bundle into a new one."""
        sticks = values("wood", typed)["sticks"]
        return self._write(lambda records: record_edits.split_bundle(records, identity, sticks, today)).sentence

    def remove(self, kind: RecordKind, ids: Sequence[str], today: date) -> str:
        """Remove records that nothing hangs on."""
        return self._write(lambda records: record_edits.remove_all(records, kind, ids, today)).sentence

    def set_grafts(self, tree: str, series: Sequence[Typed], today: date, sure: bool = False) -> str:
        """Set a series of grafts on one tree today; the wood is counted down.

        What is barred there is refused where the person is not `sure`.
        """
        drafts, south = _drafts(tree, series), self._folder.site.south
        return self._write(lambda records: work_edits.series_edit(records, drafts, today, south, sure)).sentence

    def against_setting(self, tree: str, series: Sequence[Typed], today: date) -> str:
        """What speaks against setting this series: a spray on the tree, wood of a sick one; empty for nothing."""
        records = self._folder.records.read()
        return work_edits.against_series(records, _drafts(tree, series), today, self._folder.site.south)

    def taste(self, typed: Typed, today: date, sure: bool = False) -> str:
        """Record a tasting; the job that asked for it is ticked.

        Fruit that must not be eaten yet is refused where the person is not `sure`.
        """
        tasting, south = _tasting(typed, today), self._folder.site.south
        tasks = self._tasks(today)
        return self._write(
            lambda records: work_edits.tasting_edit(records, tasks, tasting, today, south, sure)
        ).sentence

    def against_tasting(self, typed: Typed, today: date) -> str:
        """What speaks against eating the fruit that was tasted; empty for nothing."""
        return self._bars(self._folder.records.read(), today).against_tasting(_tasting(typed, today))

    def _bars(self, records: Records, today: date) -> WorkBars:
        return WorkBars(records, self._folder.site.south, today)

    def judge(self, ids: Sequence[str], verdict: str, today: date) -> str:
        """Give grafts a verdict; the jobs that asked for it are ticked, and the verdict goes if their tick does."""
        tasks = self._tasks(today)
        return self._write(lambda records: work_edits.verdict_edit(records, tasks, ids, verdict, today)).sentence

    def note(self, kind: RecordKind, names: Sequence[str] | str, typed: Typed, today: date) -> str:
        """Note a sign of disease or a spray on trees, by id or name, or complete what is noted there already.

        `names` may be one text with commas between them.
        """
        told = self._note(kind, typed, today)
        edit = self._write(
            lambda records: tree_notes.on_named_trees(records, parted(names), told, today, tree_notes.note)
        )
        records = self._folder.records.read()
        trees, _ = tree_notes.trees_named(records, parted(names))
        noted = tree_notes.noted(records, trees, told)
        return " ".join([edit.sentence, *_reworded(typed, told), *note_sentences(noted)])

    def withdraw(self, kind: RecordKind, names: Sequence[str] | str, typed: Typed, today: date) -> str:
        """Take a sign of disease or a spray away that was noted by mistake."""
        told = self._note(kind, typed, today)
        return self._write(
            lambda records: tree_notes.on_named_trees(records, parted(names), told, today, tree_notes.withdraw)
        ).sentence

    def _note(self, kind: RecordKind, typed: Typed, today: date) -> tree_notes.Note:
        """What is told, on no tree yet."""
        fields = values(kind, {name: text for name, text in typed.items() if name != "tree"})
        note: tree_notes.Note = KINDS[kind].record(**{"day": today, "tree": "", **fields})
        return note

    def variety(self, species: str, name: str, typed: Typed, today: date) -> str:
        """Note something of a variety, under any of its names: the typed fields of its record get their values."""
        return self._note_variety(species, name, values("varieties", typed), today)

    def add_variety(self, typed: Typed, today: date) -> str:
        """Make the record of a variety, or complete the one that there is; what is left empty stays."""
        fields = {name: value for name, value in values("varieties", typed).items() if value not in ("", None)}
        species, name = fields.pop("species"), fields.pop("variety")
        return self._note_variety(species, name, fields, today)

    def _note_variety(self, species: str, name: str, fields: Mapping[str, Any], today: date) -> str:
        reference = variety_reference()
        return self._write(
            lambda records: variety_edits.note_variety(records, species, name, fields, today, reference)
        ).sentence

    def remove_variety(self, species: str, name: str) -> str:
        """Take a variety's record away."""
        reference = variety_reference()
        return self._write(lambda records: variety_edits.remove_variety(records, species, name, reference)).sentence

    def _tasks(self, today: date) -> Sequence[Task]:
        """The jobs of the day's plan, of which one may have asked for what is recorded."""
        plan = self._plan_of(today)
        return () if plan is None else plan.tasks

    def _write(self, edit_of: Callable[[Records], Edit]) -> Edit:
        return self._folder.records.write(edit_of)


def _reworded(typed: Typed, told: tree_notes.Note) -> tuple[str, ...]:
    """That a sign was noted by another word than the one that was typed."""
    word = typed.get("what", "")
    if not isinstance(told, Trouble) or not is_another_word(word, told.what):
        return ()
    return reworded_sentences([(word.strip(), told.what)])


def _tasting(typed: Typed, today: date) -> Tasting:
    return Tasting(**{"day": today, **values("tastings", typed)})


def _drafts(tree: str, series: Sequence[Typed]) -> list[Draft]:
    return [Draft(tree, **values("grafts", typed)) for typed in series]

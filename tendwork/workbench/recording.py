"""What a person records of trees, grafts, wood and fruit from a front: each is one act of the records, or none.

Whether it may be done is asked of `orchard.changes`, and asked again inside the act, so that what another process
wrote in between is not lost and is not contradicted.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

import msgspec

from tendwork.errors import PersonError
from tendwork.folder.csv_values import is_another_word
from tendwork.folder.fields import KINDS
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.transactions import Transaction
from tendwork.orchard import edits as changes
from tendwork.orchard import tree_notes
from tendwork.orchard.bloom_overlap import with_bloom_group
from tendwork.orchard.crown import CrownPlace, place_of
from tendwork.orchard.edits import Edit, Held
from tendwork.orchard.records import Graft, Records, Tasting, Tick, Tree, Trouble
from tendwork.orchard.series import Draft, set_grafts
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.wording import counted
from tendwork.planning.gaps import open_questions
from tendwork.planning.results import NO_METHOD, Plan, Task
from tendwork.planning.standing import STILL_OPEN
from tendwork.planning.states import ACTIONABLE, HELD
from tendwork.planning.subjects import Orchard
from tendwork.planning.work_bars import WorkBars
from tendwork.view.tree_note_words import note_sentences, reworded_sentences
from tendwork.view.wood import barred_on
from tendwork.view.wraps import gap_sentences
from tendwork.workbench.form_values import parted, values

_PREFIX = {"trees": "t", "grafts": "g", "wood": "w"}
_ONE = {"trees": "tree", "grafts": "graft", "wood": "bundle of wood"}
Typed = Mapping[str, str]


class Recording:
    """The room of the workbench for records. Every method returns what it did as a sentence, and raises PersonError.

    `typed` are texts by field name, as a form holds them. `last_plan` gives the newest plan without a reckoning.
    """

    def __init__(self, folder: OrchardFolder, last_plan: Callable[[], Plan | None]) -> None:
        self._folder = folder
        self._last_plan = last_plan

    def add(self, kind: str, typed: Typed, today: date) -> str:
        """Add a tree, a graft or a bundle; without an id it gets the next free one."""
        fields = values(kind, typed)

        def make(records: Records) -> Edit:
            own = {**fields, "id": fields.get("id") or changes.next_id(getattr(records, kind), _PREFIX[kind])}
            return changes.add(records, _record(kind, own), today)

        before = {graft.id for graft in self._folder.records.read().grafts}
        said = self._do(make, today)
        added = [graft.id for graft in self._folder.records.read().grafts if graft.id not in before]
        return " ".join([said, *self._without_method(added, today), *self._barred(added, today)])

    def change(self, kind: str, ids: Sequence[str], typed: Typed, today: date) -> str:
        """Give the typed fields their values in every one of these records; all other fields stay."""
        fields = values(kind, typed)
        if not fields:
            raise PersonError("Nothing was changed.")

        def make(records: Records) -> Edit:
            if kind == "grafts":
                return changes.change_grafts(records, ids, today, **fields)
            edits = []
            for identity in ids:
                held = _held(records, kind, identity)
                edits.append(changes.change(records, msgspec.structs.replace(held, **fields), today))
            return _joined(edits, kind, "changed")

        said = self._do(make, today)
        touched = ids if kind == "grafts" else ()
        told = self._barred(touched, today) if fields.keys() & {"state", "set_on", "wood"} else ()
        return " ".join([said, *self._without_method(touched, today), *told])

    def _barred(self, ids: Sequence[str], today: date) -> tuple[str, ...]:
        """What bars the tree or the wood of those of these grafts that are noted as set."""
        if not ids:
            return ()
        records = self._folder.records.read()
        against = self._bars(records, today).against_setting(one for one in records.grafts if one.id in ids)
        return (against,) if against else ()

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
        fields = values("grafts", typed)

        def make(records: Records) -> Edit:
            if len(ids) > 1:
                return changes.move_grafts(records, ids, tree, today)
            graft = next((graft for graft in records.grafts if graft.id == ids[0]), None)
            stays = graft is not None and tree in ("", graft.tree)
            place = msgspec.structs.replace(place_of(graft) if graft and stays else CrownPlace(), **fields)
            return changes.move_graft(records, ids[0], place, today, tree)

        return self._do(make, today)

    def split_graft(self, identity: str, typed: Typed, today: date) -> str:
        """Record a second place of what was noted as one graft."""
        place = CrownPlace(**values("grafts", typed))
        return self._do(lambda records: changes.split_graft(records, identity, place, today), today)

    def split_bundle(self, identity: str, typed: Typed, today: date) -> str:
        """Put some sticks of a bundle into a new one."""
        sticks = values("wood", typed)["sticks"]
        return self._do(lambda records: changes.split_bundle(records, identity, sticks, today), today)

    def remove(self, kind: str, ids: Sequence[str], today: date) -> str:
        """Remove records that nothing hangs on."""

        def make(records: Records) -> Edit:
            edits = [changes.remove(records, _held(records, kind, identity)) for identity in ids]
            return _joined(edits, kind, "removed")

        return self._do(make, today)

    def set_grafts(self, tree: str, series: Sequence[Typed], today: date, sure: bool = False) -> str:
        """Set a series of grafts on one tree today; the wood is counted down.

        What is barred there is refused where the person is not `sure`.
        """

        def make(records: Records) -> Edit:
            edit = self._series(records, tree, series, today)
            return edit if sure else _unless(self._against_setting(records, edit, today), edit)

        return self._do(make, today)

    def against_setting(self, tree: str, series: Sequence[Typed], today: date) -> str:
        """What speaks against setting this series: a spray on the tree, wood of a sick one; empty for nothing."""
        records = self._folder.records.read()
        return self._against_setting(records, self._series(records, tree, series, today), today)

    def taste(self, typed: Typed, today: date, sure: bool = False) -> str:
        """Record a tasting; the job that asked for it is ticked.

        Fruit that must not be eaten yet is refused where the person is not `sure`.
        """
        tasting = _tasting(typed, today)

        def make(records: Records) -> Edit:
            edit = changes.taste(records, tasting, today)
            return edit if sure else _unless(self._bars(records, today).against_tasting(tasting), edit)

        outcome = STILL_OPEN if tasting.ripe == "unripe" else "tasted"
        return self._do(make, today, {tasting.graft: outcome})

    def against_tasting(self, typed: Typed, today: date) -> str:
        """What speaks against eating the fruit that was tasted; empty for nothing."""
        return self._bars(self._folder.records.read(), today).against_tasting(_tasting(typed, today))

    def _bars(self, records: Records, today: date) -> WorkBars:
        return WorkBars(records, self._folder.site.south, today)

    def _series(self, records: Records, tree: str, series: Sequence[Typed], today: date) -> Edit:
        drafts = [Draft(tree, **values("grafts", typed)) for typed in series]
        return set_grafts(records, drafts, today, barred_on(records, today, self._folder.site.south))

    def _against_setting(self, records: Records, edit: Edit, today: date) -> str:
        touched = (record for record in (*edit.add, *edit.replace) if isinstance(record, Graft))
        return self._bars(records, today).against_setting(touched)

    def judge(self, ids: Sequence[str], verdict: str, today: date) -> str:
        """Give grafts a verdict; the jobs that asked for it are ticked, and the verdict goes if their tick does."""

        def make(records: Records) -> Edit:
            return changes.change_grafts(records, ids, today, done=f"judged: {verdict}", verdict=verdict)

        return self._do(make, today, dict.fromkeys(ids, verdict))

    def note(self, kind: str, names: Sequence[str] | str, typed: Typed, today: date) -> str:
        """Note a sign of disease or a spray on trees, by id or name, or complete what is noted there already.

        `names` may be one text with commas between them.
        """
        told = self._note(kind, typed, today)
        said = self._do(lambda records: _on_trees(records, names, told, today, tree_notes.note), today)
        records = self._folder.records.read()
        trees, _ = tree_notes.trees_named(records, parted(names))
        return " ".join([said, *_reworded(typed, told), *note_sentences(tree_notes.noted(records, trees, told))])

    def withdraw(self, kind: str, names: Sequence[str] | str, typed: Typed, today: date) -> str:
        """Take a sign of disease or a spray away that was noted by mistake."""
        told = self._note(kind, typed, today)
        return self._do(lambda records: _on_trees(records, names, told, today, tree_notes.withdraw), today)

    def _note(self, kind: str, typed: Typed, today: date) -> tree_notes.Note:
        """What is told, on no tree yet."""
        fields = values(kind, {name: text for name, text in typed.items() if name != "tree"})
        return KINDS[kind].record(**{"day": today, "tree": "", **fields})

    def bloom_group(self, species: str, variety: str, typed: str, today: date) -> str:
        """Note the bloom group of a variety on its grafts; an empty text takes it away."""
        if typed.strip() and not typed.strip().isdecimal():
            raise PersonError(f'Bloom group "{typed.strip()}" is not a number.')
        group = int(typed) if typed.strip() else None

        def make(records: Records) -> Edit:
            trees = {tree.id for tree in records.trees if tree.species == species}
            edits = [
                changes.change_grafts(records, (graft.id,), today, note=with_bloom_group(graft.note, group))
                for graft in records.grafts
                if graft.variety == variety and graft.tree in trees
            ]
            if not edits:
                return Edit("", refused=(f"There is no graft of {variety}.",))
            words = f"{variety}: " + ("no bloom group" if group is None else f"bloom group {group}")
            return msgspec.structs.replace(_joined(edits, "grafts", "changed"), words=words)

        return self._do(make, today)

    def _do(self, make: Callable[[Records], Edit], today: date, answers: Mapping[str, str] | None = None) -> str:
        """Make an edit in one act. `answers` are words by graft that answer the jobs which ask for them, if any."""
        self._folder.back_up()
        store = self._folder.records
        words = _sound(make(store.read())).words
        with store.act(words) as act:
            records = store.read()
            _make(act, _sound(make(records)), self._ticks(records, answers or {}, today))
        return f"{words}."

    def _ticks(self, records: Records, answers: Mapping[str, str], today: date) -> dict[str, Tick]:
        plan = self._last_plan()
        if plan is None or not answers:
            return {}
        done = {(tick.task, tick.unit) for tick in standing_ticks(records.ticks) if tick.outcome != STILL_OPEN}
        found = {}
        for unit, word in answers.items():
            task = _asking(plan.tasks, unit, word)
            if task is not None and (task.key, unit) not in done:
                found[unit] = Tick(task.key, unit, today, word)
        return found


def _asking(tasks: Sequence[Task], unit: str, word: str) -> Task | None:
    """The job that waits for this word about this unit."""
    for task in tasks:
        if word in task.outcomes and any(held.id == unit and held.state in (*ACTIONABLE, HELD) for held in task.units):
            return task
    return None


def _make(act: Transaction, edit: Edit, ticks: dict[str, Tick]) -> None:
    """A tick goes before the change that it stands for, so that the change goes back with it."""
    for record in edit.remove:
        act.remove(record)
    for record in sorted(edit.replace, key=lambda record: record.id in ticks):
        if record.id in ticks:
            act.add(ticks.pop(record.id))
        act.replace(record)
    for added in edit.add:
        act.add(added)
    for tick in ticks.values():
        act.add(tick)


def _on_trees(
    records: Records,
    names: Sequence[str] | str,
    told: tree_notes.Note,
    today: date,
    make: Callable[[Records, Sequence[Tree], tree_notes.Note], Edit],
) -> Edit:
    trees, faults = tree_notes.trees_named(records, parted(names))
    if not trees and not faults:
        faults = ("Name the tree, by its id or its name.",)
    if faults:
        return Edit("", refused=faults)
    edit = make(records, trees, told)
    return edit if edit.refused else changes.checked(records, edit, today)


def _reworded(typed: Typed, told: tree_notes.Note) -> tuple[str, ...]:
    """That a sign was noted by another word than the one that was typed."""
    word = typed.get("what", "")
    if not isinstance(told, Trouble) or not is_another_word(word, told.what):
        return ()
    return reworded_sentences([(word.strip(), told.what)])


def _unless(against: str, edit: Edit) -> Edit:
    """The edit, refused where something speaks against it and nothing else does."""
    if not against or edit.refused:
        return edit
    return msgspec.structs.replace(edit, refused=(f"Held back: {against} Nothing was recorded.",))


def _tasting(typed: Typed, today: date) -> Tasting:
    return Tasting(**{"day": today, **values("tastings", typed)})


def _sound(edit: Edit) -> Edit:
    if edit.refused:
        raise PersonError(" ".join(edit.refused))
    return edit


def _record(kind: str, fields: dict[str, Any]) -> Held:
    return KINDS[kind].record(**fields)


def _held(records: Records, kind: str, identity: str) -> Held:
    for record in getattr(records, kind):
        if record.id == identity:
            return record
    raise PersonError(f'There is no {_ONE[kind]} "{identity}". Choose one that is there.')


def _joined(edits: Sequence[Edit], kind: str, done: str) -> Edit:
    """Several edits as one, refused where one of them is."""
    many = f"{counted(len(edits), _ONE[kind].split()[0])} {done}"
    return Edit(
        edits[0].words if len(edits) == 1 else many,
        replace=tuple(record for edit in edits for record in edit.replace),
        remove=tuple(record for edit in edits for record in edit.remove),
        refused=tuple(dict.fromkeys(words for edit in edits for words in edit.refused)),
    )

"""The database makes of an edit what the edit says: the same records in the same order, whatever was done before."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from examples import examples
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.folder.records_db import RecordStore
from tendwork.folder.transactions import Transaction
from tendwork.orchard import record_edits
from tendwork.orchard.edits import Add, Edit, Remove, applied, changes_of
from tendwork.orchard.ids import free_id
from tendwork.orchard.records import Graft, Records, Sighting, Spray, Tasting, Tree, Trouble, Wood
from tendwork.orchard.series import Draft
from tendwork.orchard.sighting_edits import sighting_edit
from tendwork.orchard.standing_ticks import TickKey, key_of
from tendwork.orchard.taking_back import TickedActs
from tendwork.orchard.tree_notes import note, on_named_trees, withdraw
from tendwork.orchard.variety_edits import note_variety, remove_variety
from tendwork.planning.results import Task, Unit, Window
from tendwork.planning.tick_edits import TaskTick, tick_edit, unit_key, unit_ticks, untick_edit
from tendwork.planning.vocabulary import Each
from tendwork.planning.wish_edits import put_off_edit
from tendwork.planning.work_edits import series_edit, tasting_edit, verdict_edit

FIRST_DAY, LAST_DAY = date(2026, 4, 1), date(2026, 4, 9)
ALL_YEAR = Window(date(2026, 1, 1), date(2026, 1, 1), date(2026, 12, 1), date(2026, 12, 1))
START = Records(
    trees=(Tree("t1", "Old", "apple"), Tree("t2", "Young", "apple"), Tree("t3", "Bare", "pear")),
    wood=(Wood("w1", "Late", "apple", 9, date(2026, 1, 10), promised_sticks=2), Wood("w2", "Early", "apple", 3)),
    grafts=tuple(
        Graft(f"g{number}", f"t{1 + number % 2}", ("Late", "Early")[number % 2], "cleft") for number in range(4)
    ),
)
Moment = tuple[Records, Transaction, date]
Edits = Callable[[Moment], Edit]


def job(each: Each, template: str, outcomes: tuple[str, ...], *units: Unit) -> Task:
    return Task(
        key=f"{template}/t1/2026",
        template=template,
        title=template,
        part="grafting",
        each=each,
        subject="t1",
        place="Old",
        window=ALL_YEAR,
        state="open",
        minutes=10.0,
        units=units,
        tools=(),
        steps=(),
        cautions=(),
        outcomes=outcomes,
        because=(),
        source="invented",
    )


def unit(name: str, **more: str) -> Unit:
    return Unit(name, name, "open", ALL_YEAR, **more)  # type: ignore[arg-type]


GRAFTS = tuple(unit(f"g{number}") for number in range(4))
JOBS = (
    job("graft", "grafting", ("set", "not yet", "failed"), *GRAFTS),
    job("graft", "check-take", ("took", "failed", "not yet"), *GRAFTS),
    job("graft", "judge", ("keep", "cut", "on trial"), *GRAFTS),
    job("wood", "send", ("sent", "lost", "still good"), unit("w1"), unit("w2")),
    job("variety", "cut-wood", ("cut", "not needed"), unit("late.apple", variety="Late", species="apple"),
        unit("early.apple", variety="Early", species="apple")),
    job("tree", "fire-blight-watch", ("strikes", "none found", "cut out"), unit("t1"), unit("t2")),
)  # fmt: skip
DAYS = st.dates(FIRST_DAY, LAST_DAY)
GRAFT_IDS = st.sampled_from([f"g{number}" for number in range(6)])
TREE_IDS = st.sampled_from(["t1", "t2", "t3", "t4"])


@st.composite
def ticks(draw: st.DrawFn) -> Edits:
    asked = []
    for task in draw(st.lists(st.sampled_from(JOBS), min_size=1, max_size=2, unique_by=lambda job: job.key)):
        units = draw(st.lists(st.sampled_from([one.id for one in task.units]), min_size=1, max_size=2))
        outcome, said = draw(st.sampled_from(task.outcomes)), draw(st.sampled_from(["", "seen twice"]))
        asked.append(TaskTick(task, tuple(units), outcome, said))
    wrap = draw(st.sampled_from([None, "", "film"]))

    def edit_of(moment: Moment) -> Edit:
        records, act, today = moment
        acts = act.ticked_acts([key_of(one.tick) for one in unit_ticks(asked, today)])
        return tick_edit(records, acts, asked, today, wrap)

    return edit_of


@st.composite
def unticks(draw: st.DrawFn) -> Edits:
    task = draw(st.sampled_from(JOBS))
    units = draw(st.lists(st.sampled_from([one.id for one in task.units]), min_size=1, max_size=2, unique=True))

    def edit_of(moment: Moment) -> Edit:
        records, act, today = moment
        keys = [unit_key(task, one) for one in task.units]
        return untick_edit(records, act.ticked_acts(keys), task, units, today)

    return edit_of


@st.composite
def other_edits(draw: st.DrawFn) -> Edits:
    identity, tree, number = draw(GRAFT_IDS), draw(TREE_IDS), draw(st.integers(0, 3))
    bundle = draw(st.sampled_from(["w1", "w2", "w3"]))
    noted = draw(st.sampled_from([Trouble(FIRST_DAY, "", "canker"), Spray(FIRST_DAY, "", "wash", number or None)]))
    edits: tuple[Callable[[Records, date], Edit], ...] = (
        lambda records, today: record_edits.add(
            records, Graft(free_id(records, "grafts"), tree, "Late", "cleft"), today
        ),
        lambda records, today: record_edits.add(records, Tree(tree, "New", "plum"), today),
        lambda records, today: record_edits.change_all(
            records, "grafts", (identity,), today, {"state": ("planned", "set", "took", "failed")[number]}
        ),
        lambda records, today: record_edits.change_all(records, "wood", ("w1", bundle), today, {"sticks": number}),
        lambda records, today: record_edits.move(records, (identity,), tree, today, {"facing": number}),
        lambda records, _: record_edits.remove_all(records, "grafts", (identity,), LAST_DAY),
        lambda records, _: record_edits.remove_all(records, "wood", (bundle,), LAST_DAY),
        lambda records, _: record_edits.remove_all(records, "trees", (tree,), LAST_DAY),
        lambda records, today: record_edits.split_bundle(records, bundle, number, today),
        lambda records, today: note_variety(records, "apple", "Late", {"bloom": str(number or "")}, today),
        lambda records, _: remove_variety(records, "apple", "late"),
        lambda records, today: series_edit(records, [Draft(tree, "Late", "cleft")] * number, today, False, True),
        lambda records, today: tasting_edit(records, JOBS, Tasting(today, identity, "ripe"), today, False, True),
        lambda records, today: verdict_edit(records, JOBS, (identity,), ("keep", "cut")[number % 2], today),
        lambda records, today: on_named_trees(records, (tree,), noted, today, note),
        lambda records, today: on_named_trees(records, (tree,), noted, today, withdraw),
        lambda records, today: put_off_edit(records, JOBS[:number], LAST_DAY, today, fixed=False),
        lambda records, today: sighting_edit(records, Sighting(today, "apple", "pink", "t1")),
    )
    chosen = draw(st.sampled_from(edits))
    return lambda moment: chosen(moment[0], moment[2])


UNDO = "undo"


@examples(60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.one_of(ticks(), ticks(), unticks(), other_edits(), st.just(UNDO)), DAYS), max_size=14))
def test_the_database_holds_what_the_edit_says(
    tmp_path_factory: pytest.TempPathFactory, moves: list[tuple[Edits | str, date]]
) -> None:
    with RecordStore.open(tmp_path_factory.mktemp("made") / "records.db", create=True) as store:
        store.write(lambda _: Edit("start", changes_of(add=(*START.trees, *START.wood, *START.grafts))))
        before_act = [Records()]
        for move, today in moves:
            before = store.read()
            if isinstance(move, str):
                if len(before_act) > 1:
                    store.undo_last()
                    assert without_ticks(store.read()) == without_ticks(before_act.pop())
                continue
            with store.act("") as act:
                edit = move((before, act, today))
                if not edit.refused:
                    act.apply(edit)
            assert store.read() == (before if edit.refused else applied(before, edit))
            if store.read() != before:
                before_act.append(before)


def test_what_a_tick_had_added_and_another_took_away_stands_in_its_place_again(store: RecordStore) -> None:
    watch = next(task for task in JOBS if task.each == "tree")
    store.write(lambda _: Edit("start", changes_of(add=START.trees)))

    def tick(tree: str, outcome: str) -> Edit:
        return written(store, lambda records, acts: tick_edit(
            records, acts, [TaskTick(watch, (tree,), outcome)], FIRST_DAY, sure=True
        ), (watch.key, tree))  # fmt: skip

    for tree in ("t1", "t2"):
        tick(tree, "strikes")
    seen = store.read().troubles
    tick("t1", "none found")
    assert store.read().troubles == seen[1:]
    edit = written(store, lambda records, acts: untick_edit(records, acts, watch, ("t1",), LAST_DAY), (watch.key, "t1"))
    assert edit.added[0] == seen[0]
    assert store.read().troubles == seen


def written(store: RecordStore, edit_of: Callable[[Records, TickedActs], Edit], key: TickKey) -> Edit:
    """An edit that is made, and foretold rightly, with what the acts tell of the ticks on one unit."""
    before = store.read()
    with store.act("") as act:
        edit = edit_of(before, act.ticked_acts([key]))
        act.apply(edit)
    assert store.read() == applied(before, edit)
    return edit


def without_ticks(records: Records) -> Records:
    """What an undo brings back: ticks stay, with their opposites."""
    return Records(**{name: getattr(records, name) for name in records.__struct_fields__ if name != "ticks"})


def test_of_records_that_are_equal_the_newest_goes(store: RecordStore) -> None:
    first, second = Sighting(FIRST_DAY, "apple", "pink"), Sighting(LAST_DAY, "apple", "pink")
    store.write(lambda _: Edit("seen", changes_of(add=(first, second, first))))
    before = store.read()
    edit = store.write(lambda _: Edit("not seen", (Remove(first),)))
    assert store.read().sightings == applied(before, edit).sightings == (first, second)


def test_an_edit_that_is_refused_is_not_made(store: RecordStore) -> None:
    with pytest.raises(PersonError, match=r"One reason\. Another\."):
        store.write(lambda _: Edit("added", (Add(START.trees[0]),), ("One reason.", "Another.")))
    assert store.read() == Records()


def test_the_words_of_an_edit_are_what_undo_tells(store: RecordStore) -> None:
    edit = store.write(lambda _: Edit("a tree added", (Add(START.trees[0]),), told="Added, in the meadow."))
    assert (edit.sentence, store.undo_last()) == ("Added, in the meadow.", "a tree added")

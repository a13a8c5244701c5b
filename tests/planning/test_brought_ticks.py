"""A tick from a file means what the same words mean to the command that ticks, and what means nothing is named."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.planning.brought_ticks import TickReading
from tendwork.planning.vocabulary import Anchor, Each, Template

DAY = date(2026, 5, 1)
RECORDS = Records(
    trees=(Tree("t1", "Old apple", "apple"), Tree("t2", "Wall pear", "pear"), Tree("t3", "Old Apple", "apple")),
    grafts=(Graft("g1", "t1", "Clapp"), Graft("g2", "t2", "Clapp"), Graft("g3", "t2", "Red Lamp")),
    wood=(Wood("w1", "Red Lamp", "apple", 3),),
)


def template(each: Each, *outcomes: str) -> Template:
    day = Anchor(date="05-01")
    return Template(f"of-{each}", "A job", "grafting", each, opens=day, closes=day, outcomes=outcomes or ("done",))


READING = TickReading(
    RECORDS,
    (
        template("tree", "none found", "strikes"),
        template("graft", "took", "Strong"),
        template("wood"),
        template("variety"),
        template("site"),
    ),
)


def unread(task: str, unit: str, outcome: str = "done", undone: bool = False) -> list[tuple[str, str]]:
    tick = Tick(task, unit, DAY, outcome, undone=undone)
    return [(one.field, one.words) for one in READING.unread(tick)]


@pytest.mark.parametrize(
    ("task", "unit", "told", "known"),
    [
        ("of-tree/t1/2026", "t1", "Strikes", "strikes"),
        ("of-tree/t1/2026", "t1", "None  Found", "none found"),
        ("of-tree/t1/2026", "t1", "SKIPPED", "skipped"),
        ("of-tree/t1/2026", "t1", "Not mine: Arborist", "not mine: arborist"),
        ("of-tree/t1/2026", "t1", "Took", "Took"),
        ("of-graft/t1/2026", "g1", "strong", "Strong"),
        ("nobody-s/t1/2026", "g1", "Took", "took"),
        ("of-tree/t1/2026", "*", "Planned For", "planned for"),
        ("of-tree/t1/2026", "*", "Strikes", "Strikes"),
    ],
)
def test_an_outcome_is_the_word_of_its_job_in_whatever_capitals(task: str, unit: str, told: str, known: str) -> None:
    assert READING.read(Tick(task, unit, DAY, told)) == Tick(task, unit, DAY, known)


@pytest.mark.parametrize(
    ("task", "unit", "outcome"),
    [
        ("of-tree/t1/2026", "t1", "strikes"),
        ("of-tree/t1/2026.2", "t1", "strikes"),
        ("of-tree/t1/2026", "*", "put off until"),
        ("of-graft/t1/2026", "g1", "not mine: arborist"),
        ("of-graft/t1/2026", "g99", "skipped"),
        ("of-wood/site/2026", "w1", "done"),
        ("of-wood/site/2026", "used-up", "done"),
        ("of-variety/site/2026", "clapp.pear", "done"),
        ("of-variety/site/2026", "clapp", "done"),
        ("of-site/site/2026", "site", "done"),
    ],
)
def test_of_what_a_job_answers_to_or_is_only_gone_nothing_is_said(task: str, unit: str, outcome: str) -> None:
    assert unread(task, unit, outcome) == []


UNSHOWN = "so no job shows this tick."


@pytest.mark.parametrize(
    ("task", "unit", "field", "words"),
    [
        ("of-tree", "t1", "task", '"of-tree" is no key of a job'),
        ("of-tree/t1/", "t1", "task", '"of-tree/t1/" is no key of a job'),
        ("of-tree/t1/2026.x", "t1", "task", "A key is a template, a tree or site, and a season, with / between."),
        ("off-tree/t1/2026", "t1", "task", f'there is no template "off-tree", {UNSHOWN} Did you mean "of-tree"?'),
        ("of-tree/site/2026", "t1", "task", f'there is no tree "site", {UNSHOWN} Write the id of a tree.'),
        ("of-tree/T1/2026", "t1", "task", f'there is no tree "T1", {UNSHOWN} Its id is written t1.'),
        ("of-wood/t1/2026", "w1", "task", f'{UNSHOWN} Write site for "t1" in its key.'),
        ("of-tree/t1/2026", "wall pear", "unit", '"wall pear" is a name: write its id, t2.'),
        ("of-tree/t1/2026", "Old apple", "unit", '"Old apple" is a name of 2 trees: write an id, t1, t3.'),
        ("of-graft/t2/2026", "Clapp", "unit", '"Clapp" is a variety: write its id, g2.'),
        ("of-graft/t1/2026", "Red Lamp", "unit", '"Red Lamp" is a variety: write its id, g3.'),
        ("of-graft/t1/2026", "G1", "unit", "Its id is written g1."),
        ("of-wood/site/2026", "red lamp", "unit", '"red lamp" is a variety: write its id, w1.'),
        ("of-variety/site/2026", "Red Lamp", "unit", '"Red Lamp" is a name: write its id, red-lamp.pear.'),
        ("of-site/site/2026", "The orchard", "unit", '"The orchard" is a name: write its id, site.'),
    ],
)
def test_what_no_job_or_unit_answers_to_is_named_with_what_to_write(
    task: str, unit: str, field: str, words: str
) -> None:
    ((named, told),) = unread(task, unit, "skipped")
    assert named == field
    assert words in told


def test_an_outcome_that_no_job_has_is_named_and_not_where_it_is_taken_back() -> None:
    ((field, words),) = unread("of-tree/t1/2026", "t1", "strikez")
    assert (field, words) == (
        "outcome",
        '"strikez" is no outcome of of-tree, so nothing follows from it. Did you mean "strikes"?',
    )
    assert unread("of-tree/t1/2026", "t1", "strikez", undone=True) == []
    ((field, words),) = unread("of-tree/t1/2026", "*", "strikes")
    assert (field, words) == (
        "outcome",
        '"strikes" is nothing that a whole job can be, so nothing follows from it. Known: planned for, put off until.',
    )

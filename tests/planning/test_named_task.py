"""A task and its units by what a person writes: whole, begun, mistaken or with two meanings."""

from __future__ import annotations

import pytest
from fitting import task
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.planning.named_task import task_named, units_named

TASKS = (task("prune"), task("prune-late"), task("wash"))
WASH = TASKS[2].units[0]
JOB = replace(
    TASKS[2],
    units=(
        replace(WASH, id="g1", label="Red Lamp"),
        replace(WASH, id="g2", label="Blue Lamp"),
        replace(WASH, id="g3", label="Blue Lamp"),
        replace(WASH, id="clapp.pear", label="Clapp, pear"),
        replace(WASH, id="clapp.apple", label="Clapp, apple"),
        replace(WASH, id="comice.pear", label="Doyenne"),
    ),
)


@pytest.mark.parametrize(
    ("key", "found"), [("prune/t/2026", "prune"), ("prune/", "prune"), ("prune-l", "prune-late"), ("wash", "wash")]
)
def test_a_task_is_named_by_its_key_or_by_a_beginning_that_no_other_has(key: str, found: str) -> None:
    assert task_named(TASKS, key, "season 2026").template == found


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("prune", '"prune" may mean prune/t/2026, prune-late/t/2026. Write more of the one you mean.'),
        ("wahs/t/2026", 'There is no task "wahs/t/2026" in season 2026. Near it: wash/t/2026'),
        ("????", 'There is no task "????" in season 2026. `tendwork season` lists the tasks.'),
    ],
)
def test_a_key_with_two_meanings_or_none_says_which_there_are(key: str, words: str) -> None:
    with pytest.raises(PersonError) as told:
        task_named(TASKS, key, "season 2026")
    assert str(told.value).startswith(words)


@pytest.mark.parametrize(
    ("word", "found"), [("g2", "g2"), ("Red Lamp", "g1"), ("RED lamp", "g1"), ("comice", "comice.pear"), ("g3", "g3")]
)
def test_a_unit_is_named_by_its_id_its_label_or_its_variety_where_that_is_one(word: str, found: str) -> None:
    assert [unit.id for unit in units_named(JOB, (word, word))] == [found]


@pytest.mark.parametrize(
    ("word", "words"),
    [
        ("blue lamp", '"blue lamp" may mean g2 and g3 in wash/t/2026. Write the id of the one you mean.'),
        ("clapp", 'wash/t/2026 has no unit "clapp". It has g1, g2, g3, clapp.pear, clapp.apple, comice.pear.'),
    ],
)
def test_a_word_for_two_units_or_none_is_refused(word: str, words: str) -> None:
    with pytest.raises(PersonError) as told:
        units_named(JOB, (word,))
    assert str(told.value) == words

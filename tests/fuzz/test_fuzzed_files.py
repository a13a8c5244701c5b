"""No file, however mangled, brings anything but a plan or a sentence: every kind of file that the program reads.

A few seeded cases of each run by default; `pytest tests/fuzz -m fuzz -s` runs the 100,000 and prints what came of them.
"""

from __future__ import annotations

import os
from random import Random

import pytest
from fuzz_ground import NOW, FuzzGround, assert_inert
from fuzz_run import Report, run
from fuzz_targets import TARGETS
from mutator import mutated

from tendwork.errors import PersonError
from tendwork.outputs.calendar import calendar_of
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.workbench.plan_cache import CACHE_FILE, KeptPlans

SEED = int(os.environ.get("TENDWORK_FUZZ_SEED", "20261"))
FEW = {"weather": 60, "kept plan": 10, "calendar": 4, "records database": 8, "house temperatures": 10}


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> FuzzGround:
    return FuzzGround(tmp_path_factory.mktemp("fuzz"))


def corpus_of(ground: FuzzGround, name: str) -> tuple[bytes, ...]:
    """The corpus of a target, which a few take from what the program itself has written."""
    corpus = TARGETS[name][1]
    if corpus is not None:
        return corpus
    if name == "records database":
        return ((ground.path / "records.db").read_bytes(),)
    made = ground.made_now()
    if name == "kept plan":
        KeptPlans(ground.folder).keep(made)
        return ((ground.path / "cache" / CACHE_FILE).read_bytes(),)
    place = CalendarSite("Test hill", "Europe/London")
    events = events_of(made.plan, made.week.tasks[:3], place, ground.templates.cards)[:6]
    text = calendar_of(events, NOW, place, b"", "season.ics")
    return (text if isinstance(text, bytes) else text.encode(),)


def fuzzed(ground: FuzzGround, name: str, cases: int) -> Report:
    target, corpus = TARGETS[name][0], corpus_of(ground, name)

    def case(chance: Random) -> bool:
        try:
            return target(ground, mutated(chance.choice(corpus), corpus, chance), chance)
        except PersonError as error:
            assert_inert(str(error))
            return False

    return run(name, SEED, cases, case)


@pytest.mark.parametrize("name", TARGETS)
def test_the_files_of_the_corpus_are_read_as_they_are(ground: FuzzGround, name: str) -> None:
    taken = [TARGETS[name][0](ground, content, Random(1)) for content in corpus_of(ground, name)[:4]]
    assert any(taken)


@pytest.mark.parametrize("name", TARGETS)
def test_a_few_mangled_files_give_a_plan_or_a_sentence(ground: FuzzGround, name: str) -> None:
    report = fuzzed(ground, name, FEW.get(name, 20))
    assert not report.faults, report.words()


@pytest.mark.fuzz
@pytest.mark.parametrize("name", TARGETS)
def test_thousands_of_mangled_files_give_a_plan_or_a_sentence(ground: FuzzGround, name: str) -> None:
    report = fuzzed(ground, name, TARGETS[name][2])
    print("\n" + report.line(), flush=True)
    assert not report.faults, report.words()

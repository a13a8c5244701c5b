"""One answer for many grafts: what it changes, and what it may not."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from tendwork.orchard.edits import Edit, applied
from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.orchard.wraps import wrap_fate
from tendwork.planning.answers import answer_edit
from tendwork.planning.questions import Question, questions_of, set_before_this_season
from tendwork.planning.results import Gap
from tendwork.planning.vocabulary import Anchor, Template, Where
from tendwork.view.question_words import answers_offered, brought_line, questions_line

TODAY = date(2026, 6, 25)
TAPE = Template(
    "tape",
    "Slit the tape",
    "aftercare",
    "graft",
    where=Where(wrap=("PVC tape",)),
    opens=Anchor(after="set", weeks=4),
    closes=Anchor(after="set", weeks=8),
    outcomes=("off", "not yet"),
)
RECORDS = Records(
    (Tree("t1", "Old Hallow", "apple"),),
    (
        Graft("g1", "t1", "One", wrap="PVC tape", state="set", set_on=date(2026, 4, 1), known_since=TODAY),
        Graft("g2", "t1", "Two", wrap="PVC tape", state="set", set_on=date(2025, 4, 1), known_since=TODAY),
        Graft("g3", "t1", "Three", wrap="raffia", state="set", set_on=date(2026, 4, 1), known_since=TODAY),
    ),
)
WRAPS = Question("wraps", ("g1", "g2", "g3"))
TOOK = Question("took", ("g1", "g2", "g3"))


def answered(question: Question, word: str, *grafts: str) -> Edit:
    return answer_edit(RECORDS, (TAPE,), False, question, word, grafts, TODAY)


def test_off_is_ticked_where_a_rule_asks_and_noted_where_none_does() -> None:
    edit = answered(WRAPS, "off")
    after = applied(RECORDS, edit)
    assert after.ticks == (
        Tick("tape/t1/2026", "g1", TODAY, "off", "as it came in"),
        Tick("tape/t1/2026", "g2", TODAY, "off", "as it came in"),
    )
    assert [graft.wrap for graft in after.grafts] == ["PVC tape", "PVC tape", "off"]
    assert not any(wrap_fate(graft, after.ticks, TODAY).on for graft in after.grafts)
    assert edit.words == "3 wraps noted as off"


def test_still_on_is_not_yet_off_and_refused_where_no_rule_asks() -> None:
    assert [tick.outcome for tick in applied(RECORDS, answered(WRAPS, "on", "g1")).ticks] == ["not yet"]
    assert answered(WRAPS, "on").refused == ("No rule asks for the wrap of g3: its template is left out.",)


def test_takes_are_states_and_nothing_else_is_touched() -> None:
    after = applied(RECORDS, answered(TOOK, "took", "g2"))
    assert after.grafts == (RECORDS.grafts[0], replace(RECORDS.grafts[1], state="took"), RECORDS.grafts[2])
    assert [graft.state for graft in applied(RECORDS, answered(TOOK, "failed")).grafts] == ["failed"] * 3


def test_no_other_word_and_no_other_graft_is_taken() -> None:
    assert answered(TOOK, "on").refused
    assert answered(TOOK, "took", "g1", "g9").refused == ("Nothing is asked about g9. `tendwork ask` lists what is.",)


def test_those_of_an_earlier_season_can_be_answered_by_themselves() -> None:
    before = set_before_this_season(RECORDS.grafts, TODAY, south=False)
    assert before == ("g2",)
    assert [(answer, grafts) for _, answer, grafts in answers_offered(TOOK, before)] == [
        ("took", ("g1", "g2", "g3")),
        ("took", ("g2",)),
        ("failed", ("g1", "g2", "g3")),
        ("", ("g1", "g2", "g3")),
        ("", ()),
    ]
    assert [(answer, grafts) for _, answer, grafts in answers_offered(WRAPS, before)][1] == ("off", ("g2",))
    assert len(answers_offered(WRAPS, ())) == 4
    assert len(answers_offered(Question("wraps", ("g1",)), ())) == 3


def test_a_question_stands_as_long_as_the_plan_has_its_gap() -> None:
    gaps = (Gap("take", ("g2",)), Gap("took", ("g1",)), Gap("still on", ("g1", "g3")), Gap("wrap", ("g4",)))
    found = questions_of(gaps)
    assert found == (Question("wraps", ("g1", "g3")), Question("took", ("g2", "g1")))
    assert questions_line(found, "a") == "To answer: 2 wraps still on? 2 grafts took? (a)."
    assert questions_line((), "a") == brought_line(()) == ""
    assert brought_line((Question("wraps", ("g1",)),)) == (
        "Not known: whether 1 wrap is still on. `tendwork ask` takes one answer for many."
    )

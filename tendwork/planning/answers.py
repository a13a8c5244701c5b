"""What an answer to an open question changes: ordinary ticks and changes of the records, which undo takes back."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date

from tendwork.almanac.seasons import season_of
from tendwork.orchard.edits import Edit, changes_of, refusal
from tendwork.orchard.outcomes import STILL_OPEN
from tendwork.orchard.record_edits import change_grafts
from tendwork.orchard.records import Records, Tick
from tendwork.orchard.wording import counted, listed_in_short
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.questions import ANSWERS, Question
from tendwork.planning.subjects import Subjects
from tendwork.planning.vocabulary import OFF, Template


def answer_edit(
    records: Records,
    templates: Iterable[Template],
    south: bool,
    question: Question,
    answer: str,
    grafts: Collection[str],
    today: date,
) -> Edit:
    """The change that an answer makes for some of the question's grafts, or for all where none is named."""
    if answer not in ANSWERS[question.name]:
        return refusal(f'"{answer}" is no answer here. Say one of {", ".join(ANSWERS[question.name])}.')
    if strange := [graft for graft in dict.fromkeys(grafts) if graft not in question.grafts]:
        return refusal(f"Nothing is asked about {listed_in_short(strange)}. `tendwork ask` lists what is.")
    meant = tuple(graft for graft in question.grafts if not grafts or graft in grafts)
    if question.name == "took":
        return change_grafts(records, meant, today, f'noted as "{answer}"', state=answer)
    rules = _wrap_rules(records, templates, south, today)
    return _wraps_edit(records, rules, meant, answer, season_of(today, south).name, today)


def _wrap_rules(records: Records, templates: Iterable[Template], south: bool, today: date) -> dict[str, str]:
    """The wrap rule that each graft comes under."""
    held, season = tuple(templates), season_of(today, south)
    subjects = Subjects(Orchard(records, held, south, today))
    rules: dict[str, str] = {}
    for template in held:
        for subject in subjects.of(template, season) if template.takes_wraps_off else ():
            if subject.matches:
                rules.setdefault(subject.id, template.id)
    return rules


def _wraps_edit(
    records: Records, rules: dict[str, str], grafts: tuple[str, ...], answer: str, season: int, today: date
) -> Edit:
    """A tick of its wrap rule on each graft; one that no rule asks for has its wrap noted as off."""
    by_id = {graft.id: graft for graft in records.grafts}
    outcome = OFF if answer == OFF else STILL_OPEN
    ticks = [
        Tick(f"{rules[graft]}/{by_id[graft].tree}/{season}", graft, today, outcome, "as it came in")
        for graft in grafts
        if graft in rules
    ]
    without = [graft for graft in grafts if graft not in rules]
    if without and answer != OFF:
        return refusal(f"No rule asks for the wrap of {listed_in_short(without)}: its template is left out.")
    words = f"{counted(len(grafts), 'wrap')} noted as {'off' if answer == OFF else 'still on'}"
    if without:
        edit = change_grafts(records, without, today, wrap=OFF)
        return Edit(words, (*edit.changes, *changes_of(add=ticks)), edit.refused)
    return Edit(words, changes_of(add=ticks))

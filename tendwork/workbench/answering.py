"""The open questions of an orchard folder, and an answer made into one act."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from tendwork.errors import PersonError, did_you_mean
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.orchard.edits import Edit, joined
from tendwork.orchard.records import Records
from tendwork.planning.answers import answer_edit
from tendwork.planning.questions import QUESTIONS, Question
from tendwork.planning.vocabulary import Template


def question_named(questions: Sequence[Question], name: str) -> Question:
    """The open question of this name. Raises PersonError where there is none."""
    if name not in QUESTIONS:
        hint = did_you_mean(name, QUESTIONS) or f"Say one of {', '.join(QUESTIONS)}."
        raise PersonError(f'There is no question "{name}". {hint}')
    found = next((question for question in questions if question.name == name), None)
    if found is None:
        raise PersonError(f'Nothing is asked about "{name}" now: the records say all of it.')
    return found


def answer(
    folder: OrchardFolder,
    templates: tuple[Template, ...],
    question: Question,
    answers: Mapping[str, Sequence[str]],
    today: date,
) -> str:
    """Write answers into the records in one act, each for some grafts or for all, and say so. Raises PersonError."""
    south = folder.site.south

    def edit_of(records: Records) -> Edit:
        edits = [
            answer_edit(records, templates, south, question, word, grafts, today) for word, grafts in answers.items()
        ]
        return edits[0] if len(edits) == 1 else joined(edits, "; ".join(edit.words for edit in edits))

    return folder.records.write(edit_of).sentence

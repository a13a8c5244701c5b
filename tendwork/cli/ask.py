"""`tendwork ask`: what the program cannot know of grafts that came in, answered for many at once."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from tendwork.cli.session import Session, common, print_json, say, say_done, width

if TYPE_CHECKING:
    from tendwork.planning.questions import Question


@click.command()
@common()
@click.argument("question", required=False)
@click.argument("answer", required=False)
@click.argument("grafts", nargs=-1)
@click.pass_obj
def ask(session: Session, question: str | None, answer: str | None, grafts: tuple[str, ...], as_json: bool) -> None:
    """Answer what is not known of grafts that came in.

    QUESTION is "wraps" (answer on or off) or "took" (answer took or failed); without GRAFTS the answer is for all that
    it is asked of. Without an answer you are asked at a terminal; else the questions are printed. `tendwork undo`
    takes an answer back.
    """
    from tendwork.view.question_words import questions_shape, questions_text
    from tendwork.workbench.answering import question_named

    bench, today = session.bench, session.today
    found = bench.records.questions(today)
    if question is not None:
        found = (question_named(found, question),)
    if question is not None and answer is not None:
        say_done(bench.records.answer(question, {answer: grafts}, today))
    elif as_json:
        print_json(questions_shape(found, today))
    elif found and sys.stdin.isatty():
        for one in found:
            _ask(session, one)
    else:
        click.echo(questions_text(found, width()))


def _ask(session: Session, question: Question) -> None:
    """Put one question; "do not know" leaves it open."""
    from tendwork.cli.asking import asked_place
    from tendwork.planning.questions import ANSWERS, set_before_this_season
    from tendwork.view.question_words import TITLES, about_words, answers_offered, graft_words

    bench, today = session.bench, session.today
    records = bench.records.read()
    trees = {tree.id: tree.name for tree in records.trees}
    grafts = [graft for graft in records.grafts if graft.id in question.grafts]
    say("", about_words(question))
    offered = answers_offered(question, set_before_this_season(grafts, today, bench.site.south))
    _, answer, meant = offered[asked_place(TITLES[question.name], [said for said, _, _ in offered])]
    if answer:
        say_done(bench.records.answer(question.name, {answer: meant}, today))
    elif meant:
        say(*(f"  {graft_words(graft, trees.get(graft.tree, ''), today)}" for graft in grafts))
        first, other = ANSWERS[question.name]
        named = (
            click.prompt(f'Which are "{first}"? Their ids, with blanks between them', default="", show_default=False)
            .replace(",", " ")
            .split()
        )
        left = tuple(graft for graft in meant if graft not in named)
        answers = {word: tuple(ids) for word, ids in ((first, named), (other, left)) if ids}
        say_done(bench.records.answer(question.name, answers, today))

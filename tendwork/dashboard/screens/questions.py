"""The page of questions: what the program cannot know of grafts that came in, answered for many at once."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.events import Key
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.actions import FORM, QUESTIONS, bindings
from tendwork.dashboard.screens.choosing_many import ChoosingManyScreen
from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose
from tendwork.dashboard.widgets.press_line import word_of
from tendwork.planning.questions import ANSWERS, Question, questions_of, set_before_this_season
from tendwork.view.question_words import MARKING, TITLES, about_words, answers_offered, graft_words
from tendwork.view.text import clipped, plain

_TOLD_COLUMNS = 160
_NEVER = "Which of these jobs do you never do?"


class QuestionsScreen(Dialog[None]):
    """One question after the other; a number or enter takes an answer, escape leaves all that is not answered open."""

    CSS_PATH = ["dialog.tcss", "form.tcss"]
    BINDINGS = [Binding("escape,q", "dismiss(None)", show=False), *bindings(QUESTIONS)]
    PLACES = (FORM, QUESTIONS)

    def __init__(self) -> None:
        super().__init__()
        self._passed: frozenset[str] = frozenset()  # questions that the person leaves open for now
        self._answered: frozenset[tuple[str, str]] = frozenset()  # until the plan that follows is there
        self._offered: tuple[tuple[str, str, tuple[str, ...]], ...] = ()

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(classes="heading", markup=False, id="question")
            yield Static(markup=False, id="asked_of")
            yield LinesToChoose(markup=False, compact=True, id="answers")
            yield Static(markup=False, id="told")
            yield hint(
                word_of(self.app.keys.action(f"{QUESTIONS}.undo")),
                leave_word(words="later"),
                also="a number or enter takes it",
            )

    def on_mount(self) -> None:
        self.watch(self.app, "state", self._show)
        self.watch(self.app, "notice", self._tell, init=False)
        self.query_one("#answers").focus()

    @property
    def question(self) -> Question | None:
        """The question that is asked now, of the grafts that are still without an answer."""
        for held in questions_of(self.app.state.gaps):
            left = tuple(graft for graft in held.grafts if (held.name, graft) not in self._answered)
            if left and held.name not in self._passed:
                return Question(held.name, left)
        return None

    def on_key(self, event: Key) -> None:
        """A number takes the answer that it stands before."""
        if event.key.isdecimal() and 1 <= int(event.key) <= len(self._offered):
            event.stop()
            self._take(int(event.key) - 1)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._take(event.option_index)

    def action_undo(self) -> None:
        """Undo the last thing done, so that it is asked again."""
        self._answered, self._passed = frozenset(), frozenset()
        self.app.act(lambda bench, today: bench.records.undo(today))

    def _take(self, place: int) -> None:
        question = self.question
        _, answer, grafts = self._offered[place]
        if question is None:
            self.dismiss(None) if not grafts else self._ask_never(grafts)
        elif answer:
            self._answer(question, {answer: grafts})
        elif grafts:
            self._ask_some(question)
        else:
            self._passed |= {question.name}
            self._show()

    def _ask_some(self, question: Question) -> None:
        """Let the person mark those of which the first answer is true; the other is true of the rest."""
        state = self.app.state
        trees = {tree.id: tree.name for tree in state.records.trees}
        lines = [
            (graft.id, graft_words(graft, trees.get(graft.tree, ""), state.today))
            for graft in state.records.grafts
            if graft.id in question.grafts
        ]
        first, other = ANSWERS[question.name]

        def take(marked: tuple[str, ...] | None) -> None:
            if marked is not None:
                rest = tuple(graft for graft in question.grafts if graft not in marked)
                self._answer(question, {word: grafts for word, grafts in ((first, marked), (other, rest)) if grafts})

        self.app.push_screen(ChoosingManyScreen(MARKING[question.name], lines), take)

    def _ask_never(self, templates: tuple[str, ...]) -> None:
        titles = {task.template: plain(task.title) for task in self.app.state.jobs}

        def take(marked: tuple[str, ...] | None) -> None:
            if marked:
                self.app.act(
                    lambda bench, today: " ".join(bench.templates.leave_out(name, today=today) for name in marked)
                )
                self.dismiss(None)

        lines = [(template, titles.get(template, template)) for template in templates]
        self.app.push_screen(ChoosingManyScreen(_NEVER, lines), take)

    def _answer(self, question: Question, answers: dict[str, tuple[str, ...]]) -> None:
        self.run_worker(self._answering(question, answers), group="acts", exit_on_error=False)

    async def _answering(self, question: Question, answers: dict[str, tuple[str, ...]]) -> None:
        if why := await self.app.attempt(lambda bench, today: bench.records.answer(question.name, answers, today)):
            self.app.say(why, trouble=True)
            return
        self._answered |= {(question.name, graft) for grafts in answers.values() for graft in grafts}
        self._show()

    def _show(self) -> None:
        """Show the question that is asked now, or that all are answered."""
        state, question = self.app.state, self.question
        held = self.query_one("#answers", OptionList)
        if question is None:
            jobs = tuple(dict.fromkeys(task.template for task in state.jobs))
            self._offered = (("choose jobs that you never do ...", "", jobs), ("close", "", ()))
            title, about = "That is all", "Nothing else is asked. Jobs that you never do can be left out for good."
        else:
            grafts = [graft for graft in state.records.grafts if graft.id in question.grafts]
            self._offered = answers_offered(question, set_before_this_season(grafts, state.today, state.south))
            title, about = TITLES[question.name], about_words(question)
        self.query_one("#question", Static).update(title)
        self.query_one("#asked_of", Static).update(about)
        held.set_options(
            Option(Content.assemble((f" {number}  ", "bold $accent"), words))
            for number, (words, _, _) in enumerate(self._offered, 1)
        )
        held.highlighted = 0 if question is None else None  # enter alone answers nothing

    def _tell(self) -> None:
        self.query_one("#told", Static).update(clipped(self.app.notice.text, _TOLD_COLUMNS))

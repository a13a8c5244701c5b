"""What is at stake in a job, in words: a heading, what follows "or", and what was lost."""

from __future__ import annotations

from tendwork.orchard.wording import listed
from tendwork.planning.results import Task
from tendwork.planning.states import TO_DO
from tendwork.planning.vocabulary import GRAVE, UNSAID_COUNTS_AS, Stake
from tendwork.view.text import plain

STAKE_WORDS: dict[Stake, str] = {
    "tree": "a tree is at stake",
    "graft": "a graft is at stake",
    "year": "this year's chance",
    "little": "little is lost",
}
_ASIDE: dict[Stake, str] = {
    "tree": "the tree is at stake",
    "graft": "the graft is at stake",
    "year": "this year's chance is lost",
    "little": "little is lost by it",
}


def loss_words(loss: str) -> str:
    """The loss of a rule as words that may follow "or"; safe to show."""
    return plain(loss).rstrip(" .!")


def missed_words(stake: Stake | None, loss: str) -> str:
    """ "the tape cuts in (the graft is at stake)", as it follows "If missed:"."""
    said = loss_words(loss)
    if stake is None:
        ordered = f"it is ordered as if {_ASIDE[UNSAID_COUNTS_AS].removesuffix(' is lost')} were lost"
        return f"{said} (the rule does not say its stake; {ordered})" if said else f"the rule does not say; {ordered}"
    return f"{said} ({_ASIDE[stake]})" if said else _ASIDE[stake]


def lost_sentences(task: Task) -> tuple[str, ...]:
    """What was at stake in a missed job, and how a line that stays goes away; none where no plant dies of it."""
    if task.stake not in GRAVE or not (task.is_lost or task.state == "missed"):
        return ()
    missed = [f"{plain(unit.label)} ({plain(unit.id)})" for unit in task.units if unit.state == "missed"]
    whose = f" in {listed(missed)}, missed" if any(unit.state in TO_DO for unit in task.units) else ""
    stays = " This line stays until you tick or skip the job." if task.is_lost else ""
    return (f"At stake{whose}: {loss_words(task.loss) or f'the {task.stake}'}.{stays}",)

"""When the page of questions opens by itself: once, when records came in that leave something open."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from tendwork.dashboard.state import State
from tendwork.planning.questions import questions_of

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard


def asks_more(before: State, after: State, known: Collection[str]) -> bool:
    """Whether something is asked of grafts that came in since earlier on the same day, and are not `known`.

    What is asked again because an answer was undone is no reason to stand in the person's way.
    """
    if not before.made or before.plan_day != after.plan_day:
        return False
    return any(graft not in known for held in questions_of(after.gaps) for graft in held.grafts)


def ask_about(app: Dashboard, before: State, known: Collection[str]) -> bool:
    """Open the page where something new is asked and no other page is open; whether it was opened."""
    from tendwork.dashboard.screens.base import OrchardScreen
    from tendwork.dashboard.screens.questions import QuestionsScreen

    if not isinstance(app.screen, OrchardScreen) or not asks_more(before, app.state, known):
        return False
    app.push_screen(QuestionsScreen())
    return True

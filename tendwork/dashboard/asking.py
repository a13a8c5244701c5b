"""When the page of questions opens by itself: once, when records came in that leave something open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendwork.dashboard.state import State
from tendwork.planning.questions import questions_of

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard


def asks_more(before: State, after: State) -> bool:
    """Whether something is asked of grafts of which nothing was asked earlier on the same day."""
    if not before.made or before.plan_day != after.plan_day:
        return False
    asked = {(held.name, graft) for held in questions_of(before.gaps) for graft in held.grafts}
    return any((held.name, graft) not in asked for held in questions_of(after.gaps) for graft in held.grafts)


def ask_about(app: Dashboard, before: State) -> bool:
    """Open the page where something new is asked and no other page is open; whether it was opened."""
    from tendwork.dashboard.screens.base import OrchardScreen
    from tendwork.dashboard.screens.questions import QuestionsScreen

    if not isinstance(app.screen, OrchardScreen) or not asks_more(before, app.state):
        return False
    app.push_screen(QuestionsScreen())
    return True

"""A job with nothing in it but what a test names, and a window given in days from one day."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.planning.results import Caution, Task, Unit, Window

TODAY = date(2026, 3, 12)  # a Thursday


def window(opens: int = -3, closes: int = 9, lapses: int | None = None) -> Window:
    """A window given in days from TODAY."""
    first, last, end = (TODAY + timedelta(days=at) for at in (opens, closes, closes if lapses is None else lapses))
    return Window(first, first, last, end)


def task_with(name: str, state: str, each: str, units: tuple[Unit, ...], **more: object) -> Task:
    """A job called `name` on the tree t1; `cautions` are the ids of cards."""
    values = {
        "key": f"{name}/t1/2026",
        "template": name,
        "title": f"Do {name}",
        "part": "aftercare",
        "each": each,
        "subject": "t1",
        "place": "Old Tom",
        "window": window(),
        "state": state,
        "minutes": 20.0,
        "units": units,
        "tools": (),
        "steps": (),
        "outcomes": ("done",),
        "because": (),
        "source": "common practice",
    }
    cautions = tuple(Caution(card, "the test says so") for card in more.pop("cautions", ()))  # type: ignore[attr-defined]
    return Task(**(values | more | {"cautions": cautions}))  # type: ignore[arg-type]

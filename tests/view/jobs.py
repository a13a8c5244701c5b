"""Small tasks for the tests of the view and the dashboard: invented, with nothing in them but what a test names."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.planning.results import Caution, Task, Unit, Window

TODAY = date(2026, 3, 12)  # a Thursday


def window(opens: int, closes: int, lapses: int | None = None) -> Window:
    """A window given in days from TODAY."""
    day = TODAY + timedelta(days=opens)
    last = TODAY + timedelta(days=closes)
    return Window(day, day, last, last if lapses is None else TODAY + timedelta(days=lapses))


def unit(name: str, state: str = "open", **more: object) -> Unit:
    return Unit(id=name, label=f"Variety {name}", state=state, window=more.pop("window", window(-3, 9)), **more)  # type: ignore[arg-type]


def task(name: str, state: str = "open", **more: object) -> Task:
    """A job called `name` on one tree, with one unit in the job's own state."""
    own = more.pop("window", window(-3, 9))
    units = more.pop("units", (unit("g1", state, window=own),))
    values = {
        "key": f"{name}/t1/2026",
        "template": name,
        "title": f"Do {name}",
        "part": "aftercare",
        "each": "graft",
        "subject": "t1",
        "place": "Old Tom",
        "window": own,
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

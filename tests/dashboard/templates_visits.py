"""What tests of the Templates screen do again and again: go there, choose, and read screen and file."""

from __future__ import annotations

import tomllib
from pathlib import Path

from settling import settled
from textual.pilot import Pilot

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.templates import TemplatesScreen
from tendwork.dashboard.widgets.template_list import TemplateList
from tendwork.dashboard.widgets.template_panel import FieldList
from tendwork.planning.adjustments import Adjustment
from tendwork.workbench.bench import Workbench

CALENDAR = "let-in-light"  # in the sample from 14 Aug, best 21 Aug, until 2 Sep; late until 18 Sep
ABSENT = "graft-quince"


async def visit(pilot: Pilot, template: str = CALENDAR, *keys: str) -> TemplatesScreen:
    """Goes to Templates, puts the cursor of the list on a template, and presses keys there."""
    await settled(pilot)
    await pilot.press("6")
    await pilot.pause(0.1)
    await settled(pilot)
    screen = pilot.app.screen
    assert isinstance(screen, TemplatesScreen)
    screen.query_one(TemplateList).choose(template)
    await pilot.press(*keys)
    await settled(pilot)
    return screen


def written(folder: Path) -> dict:
    """What stands in adjustments.toml."""
    file = folder / "adjustments.toml"
    return tomllib.loads(file.read_text("utf-8")) if file.exists() else {}


def row_of(screen: TemplatesScreen, template: str) -> str:
    """The template's row as it stands in the list."""
    return str(screen.query_one(TemplateList).get_option(template).prompt)


def on_field(screen: TemplatesScreen, field: str) -> None:
    """Puts the cursor of the panel on a field."""
    fields = screen.query_one(FieldList)
    fields.highlighted = fields.get_option_index(field)


def draft_of(app: Dashboard, template: str = CALENDAR) -> Adjustment:
    """What the draft changes in a template."""
    assert app.draft is not None
    return app.draft.now.template.get(template, Adjustment())


def bench_of(app: Dashboard) -> Workbench:
    """The workbench that the app works with."""
    return app._bench

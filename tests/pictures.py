"""Makes the pictures of the README: `python tests/pictures.py` writes one SVG for each screen into .pictures/.

The orchard in them is the invented sample on a fixed day, so the pictures change only when the screens do.
"""

from __future__ import annotations

import asyncio
import os
from datetime import date
from pathlib import Path

from tendwork.dashboard.app import Dashboard
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import throw_away_demo

DAY = date(2026, 4, 20)
SIZE = (100, 32)
PICTURES = Path(__file__).parent.parent / ".pictures"
KEYS = {
    "morning": ("1",),
    "season": ("2",),
    "trees": ("3", "down", "down"),
    "wood": ("4",),
    "fruit": ("5",),
    "templates": ("6",),
    "temperatures": ("7",),
    "graft": ("8",),
    "why": ("1", "w"),
}


async def draw(name: str, keys: tuple[str, ...]) -> None:
    """Open the dashboard on a fresh copy, press the keys, and keep what is shown."""
    app = Dashboard(Workbench.open(throw_away_demo(DAY)), DAY)
    async with app.run_test(size=SIZE) as pilot:
        while not app.state.made:
            await pilot.pause(0.1)
        for key in keys:
            await pilot.press(key)
            await pilot.pause(0.5)
        (PICTURES / f"{name}.svg").write_text(app.export_screenshot(title="tendwork"), encoding="utf-8")


def main() -> None:
    """Draw every screen."""
    PICTURES.mkdir(exist_ok=True)
    os.environ["TENDWORK_SETTINGS"] = str(
        PICTURES / "no-settings.toml"
    )  # not the keys and colours of whoever draws them
    for name, keys in KEYS.items():
        asyncio.run(draw(name, keys))


if __name__ == "__main__":
    main()

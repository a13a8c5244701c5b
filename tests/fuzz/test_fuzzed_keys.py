"""Any keys, any text, any clicks and any size of the terminal: the dashboard over a small orchard raises nothing.

Nothing raised also means no notice that something could not be worked out because of a fault of the program.
"""

from __future__ import annotations

import re
import shutil
import traceback
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from random import Random

import pytest
from fuzz_ground import NOW, FuzzGround
from nasty_values import NUMBERS, TEXTS, WORDS
from test_fuzzed_files import SEED
from textual.pilot import OutOfBounds, Pilot

from tendwork.dashboard.actions import ACTIONS
from tendwork.dashboard.app import Dashboard
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

FAULT = re.compile(r"could not be \w+( out)? \((?!PersonError)\w+:")
KEYS = tuple(sorted({key for action in ACTIONS for key in action.keys if action.id != "leave"}))
MOVES = (
    "down", "up", "left", "right", "pageup", "pagedown", "home", "end", "tab", "shift+tab", "enter", "enter", "escape",
    "escape", "backspace", "delete", "space", "ctrl+s", "plus", "minus",
)  # fmt: skip
SIZES = ((80, 24), (60, 20), (120, 40), (40, 10), (20, 5), (200, 60))
PRESSES, FEW, AN_APP = 1_500, 12, 150


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> FuzzGround:
    return FuzzGround(tmp_path_factory.mktemp("fuzzed-keys"))


async def press(pilot: Pilot[None], chance: Random) -> str:
    """One thing that a person, or a cat, can do; in words."""
    way = chance.random()
    if way < 0.5:
        key = chance.choice(KEYS)
    elif way < 0.8:
        key = chance.choice(MOVES)
    elif way < 0.92:
        text = chance.choice(TEXTS + NUMBERS + WORDS)[:40]
        await pilot.press(*(letter for letter in text if letter.isprintable() and letter != "q"))
        return f"typed {text!r}"
    elif way < 0.98:
        width, height = pilot.app.size
        place = (chance.randrange(max(width, 1)), chance.randrange(max(height, 1)))
        with suppress(OutOfBounds):
            await pilot.click(offset=place)
        return f"clicked {place}"
    else:
        size = chance.choice(SIZES)
        await pilot.resize_terminal(*size)
        return f"resized {size}"
    await pilot.press(key)
    return key


async def drive(folder: Path, chance: Random, presses: int) -> tuple[int, list[str]]:
    """Press up to so many times in one app, until it is left: how often, and what went wrong after what."""
    bench = Workbench.open(folder)
    app = Dashboard(bench, NOW)
    done: list[str] = []
    faults: list[str] = []
    async with app.run_test(size=(80, 24)) as pilot:
        for number in range(presses):
            done.append(await press(pilot, chance))
            if app._exception is not None:
                raise AssertionError(f"after {done[-12:]}") from app._exception
            said = app.notice.text
            if FAULT.search(said) and said not in faults:
                faults.append(f"{said} after {done[-12:]}")
            if number % 50 == 49:
                await pilot.app.workers.wait_for_complete()
            if not app.is_running:
                break
    bench.close()
    return len(done), faults


async def fuzzed(ground: FuzzGround, presses: int, report: Callable[[str], None]) -> list[str]:
    faults: list[str] = []
    pressed = round_number = 0
    while pressed < presses:
        folder = ground.place / f"pressed-{round_number}"
        shutil.copytree(ground.path, folder)
        try:
            times, found = await drive(folder, Random(f"keys/{SEED}/{round_number}"), min(AN_APP, presses - pressed))
        except Exception as error:
            times, found = AN_APP, ["".join(traceback.format_exception(error))[-3500:]]
        pressed, round_number, faults = pressed + times, round_number + 1, [*faults, *found]
        report(f"key presses: seed {SEED}, {pressed} in {round_number} apps, {len(faults)} faults")
    return faults


async def test_a_few_key_presses_raise_nothing(ground: FuzzGround, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ground.place)
    faults = await fuzzed(ground, FEW, lambda _: None)
    assert not faults, "\n\n".join(faults)


@pytest.mark.fuzz
async def test_many_key_presses_raise_nothing(ground: FuzzGround, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ground.place)  # pages are written into files there
    lines: list[str] = []
    faults = await fuzzed(ground, PRESSES, lines.append)
    print("\n" + lines[-1], flush=True)
    assert not faults, "\n\n".join(faults[:12])

"""Every key of the program on every screen, and on what each of them opens there: none of them ends the program."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.screen import ModalScreen

from tendwork.dashboard.actions import ACTIONS, SCREENS
from tendwork.dashboard.app import Dashboard

pytestmark = pytest.mark.anyio

KEYS = sorted({key for action in ACTIONS for key in action.keys} - {"q", "g"})  # leaves; sends, where it is told to
MOVES = ("enter", "escape", "tab", "up", "down", "backspace")
_LAYERS = 4


async def back_to(pilot: Pilot, screen: str) -> None:
    """Leaves what stands over the screen, however deep, and goes to it."""
    for _ in range(_LAYERS):
        if isinstance(pilot.app.screen, ModalScreen):
            await pilot.press("escape")
            await pilot.pause()
    assert not isinstance(pilot.app.screen, ModalScreen)
    if pilot.app.current_mode != screen:
        await pilot.app.switch_mode(screen)
        await pilot.pause()


@pytest.mark.parametrize("screen", SCREENS)
async def test_each_key_on_each_screen_raises_nothing(
    screen: str, app: Dashboard, at_rest, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        for key in (*KEYS, *MOVES):
            await back_to(pilot, screen)
            await pilot.press(key)
            assert app._exception is None, key
        await at_rest(pilot)


@pytest.mark.slow
@pytest.mark.parametrize("screen", SCREENS)
async def test_each_key_on_what_each_key_opens_raises_nothing(
    screen: str, app: Dashboard, at_rest, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    seen: set[str] = set()
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        for key in (*KEYS, "enter"):
            await back_to(pilot, screen)
            await pilot.press(key)
            await pilot.pause()
            opened = pilot.app.screen
            name = f"{type(opened).__name__} {getattr(opened, '_title', '')}"
            if not isinstance(opened, ModalScreen) or name in seen:
                continue
            seen.add(name)
            for within in (*KEYS, *MOVES):
                if pilot.app.screen is not opened:
                    await back_to(pilot, screen)
                    await pilot.press(key)
                    await pilot.pause()
                    opened = pilot.app.screen
                await pilot.press(within)
                assert app._exception is None, (key, within)
        await at_rest(pilot)

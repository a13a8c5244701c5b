"""The one action table: what feeds keys, key lines, palette, help and README must be sound in itself."""

from __future__ import annotations

import pytest

from tendwork.dashboard.actions import ACTIONS, EVERYWHERE, bindings, key_table
from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.help import help_text
from tendwork.dashboard.widgets import top_line

SCREENS = tuple(Dashboard.MODES)


@pytest.mark.parametrize("screen", SCREENS)
def test_no_key_means_two_things_on_one_screen(screen: str) -> None:
    keys = [key for action in ACTIONS if action.on in (EVERYWHERE, screen) for key in action.keys]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("screen", SCREENS)
def test_a_key_line_has_at_most_seven_keys(screen: str) -> None:
    assert 1 <= sum(screen in action.shown for action in ACTIONS) <= 7


@pytest.mark.parametrize(("on", "owner"), [(EVERYWHERE, Dashboard), *Dashboard.MODES.items()])
def test_every_action_is_done_by_somebody(on: str, owner: type) -> None:
    assert [action.id for action in ACTIONS if action.on == on and not hasattr(owner, f"action_{action.id}")] == []


def test_the_top_line_names_every_screen() -> None:
    assert set(top_line.SCREENS) == set(SCREENS)


def test_every_binding_has_an_id() -> None:
    assert all(binding.id for on in (EVERYWHERE, *SCREENS) for binding in bindings(on))


def test_the_help_names_every_action() -> None:
    page = " ".join(help_text(80, ascii_only=False).split())
    assert [action.id for action in ACTIONS if action.help not in page] == []


def test_the_key_table_has_a_row_for_every_action() -> None:
    assert len(key_table().splitlines()) == len(ACTIONS) + 2

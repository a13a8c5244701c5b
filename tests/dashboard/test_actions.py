"""The one action table: what feeds keys, key lines, palette and help must be sound in itself."""

from __future__ import annotations

import pytest

from tendwork.dashboard.actions import ACTIONS, EVERYWHERE, SCREENS, Keys, bindings, key_word, to_run
from tendwork.dashboard.app import Dashboard, screen_class
from tendwork.dashboard.help import help_text


@pytest.mark.parametrize("screen", SCREENS)
def test_no_key_means_two_things_on_one_screen(screen: str) -> None:
    keys = [key for action in ACTIONS if action.on in (EVERYWHERE, screen) for key in action.keys]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("screen", SCREENS)
def test_a_key_line_fits_into_eighty_columns(screen: str) -> None:
    words = [f"{key_word(action.keys[0])} {action.label}" for action in ACTIONS if screen in action.shown]
    assert len("  ".join(words)) <= 78


@pytest.mark.parametrize(("on", "owner"), [(EVERYWHERE, Dashboard), *((name, screen_class(name)) for name in SCREENS)])
def test_every_action_is_done_by_somebody(on: str, owner: type) -> None:
    runs = [to_run(action).partition("(")[0] for action in ACTIONS if action.on == on]
    assert [name for name in runs if not hasattr(owner, f"action_{name}")] == []


def test_every_screen_is_a_mode_of_the_dashboard_and_has_a_key_that_goes_there() -> None:
    assert tuple(Dashboard.MODES) == SCREENS
    assert {action.name for action in ACTIONS if action.on == EVERYWHERE} >= set(SCREENS)


def test_every_binding_has_an_id() -> None:
    assert all(binding.id for on in (EVERYWHERE, *SCREENS) for binding in bindings(on))


def test_the_help_names_every_action() -> None:
    page = " ".join(help_text(Keys(), (), None, 80, ascii_only=False).split())
    assert [action.id for action in ACTIONS if action.help not in page] == []


def test_every_action_has_an_id_of_its_own() -> None:
    ids = [action.id for action in ACTIONS]
    assert len(ids) == len(set(ids))

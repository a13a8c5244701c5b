"""How many examples Hypothesis tries: what a test asks for, or ten times as many with --hypothesis-profile=thorough."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import settings

_SMALL, _THOROUGH = 100, 1000


def profiles() -> None:
    """Name the two profiles and take the small one, until the command line asks for the other."""
    settings.register_profile("small", max_examples=_SMALL, deadline=None)
    settings.register_profile("thorough", max_examples=_THOROUGH, deadline=None)
    settings.load_profile("small")


def examples(count: int, **more: Any) -> Callable[[Any], Any]:
    """Let a test try so many examples, times what the profile asks for."""
    return settings(max_examples=count * settings.default.max_examples // _SMALL, deadline=None, **more)

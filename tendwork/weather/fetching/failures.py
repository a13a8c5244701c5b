"""The two ways in which a service fails: now, or for good."""

from __future__ import annotations

from tendwork.errors import PersonError

_LONGEST_REASON = 200


class Outage(Exception):
    """The service cannot be had now. `wait_s` is how long it asks to be left alone."""

    def __init__(self, sentence: str, wait_s: float | None = None) -> None:
        super().__init__(sentence)
        self.wait_s = wait_s


class Refusal(PersonError):
    """The service does not want this request, now or later."""


def quoted(text: str) -> str:
    """Printable characters in one short line, so that nothing a service says can steer a terminal."""
    line = "".join(letter if letter.isprintable() else " " for letter in text[: 2 * _LONGEST_REASON])
    return " ".join(line.split())[:_LONGEST_REASON].rstrip(". ")

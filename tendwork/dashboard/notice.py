"""What the program has to say to the person, in one sentence."""

from __future__ import annotations

from msgspec import Struct


class Notice(Struct, frozen=True):
    """A sentence for the person; `trouble` where something is to be mended."""

    text: str = ""
    trouble: bool = False

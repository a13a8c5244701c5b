"""What a person has chosen for the dashboard: keys and colours, or the usual ones where the file has a fault."""

from __future__ import annotations

from msgspec import Struct

from tendwork.dashboard.actions import Keys
from tendwork.folder.own_settings import COLOURS, KEYS, OwnSettings

NIGHT = "orchard night"
PAPER = "orchard paper"
CLEAR = "orchard clear"
TERMINAL = "terminal colours"
COLOUR_NAMES = (NIGHT, PAPER, CLEAR, TERMINAL)


class Choices(Struct, frozen=True):
    """`faults` are whole sentences."""

    keys: Keys = Keys()
    colours: str = NIGHT
    faults: tuple[str, ...] = ()

    @property
    def fault_words(self) -> str:
        """The first fault, how many more there are, and what holds meanwhile; empty where all is well."""
        if not self.faults:
            return ""
        more = f" {len(self.faults) - 1} more: `tendwork keys` tells them." if len(self.faults) > 1 else ""
        return f"{self.faults[0].rstrip('.')}.{more} The usual ones hold meanwhile."


def own_choices(settings: OwnSettings) -> Choices:
    """What the file says, each part of it only where it has no fault."""
    if settings.fault:
        return Choices(faults=(settings.fault,))
    if not settings.document:
        return Choices()
    from tendwork.dashboard.own_keys import own_keys

    keys, faults = own_keys(settings)
    faults += tuple(
        settings.unknown((name,), name, (COLOURS, KEYS)) for name in settings.document if name not in (COLOURS, KEYS)
    )
    colours = settings.document.get(COLOURS, NIGHT)
    if colours not in COLOUR_NAMES:
        known = ", ".join(f'"{name}"' for name in COLOUR_NAMES)
        faults += (settings.told((COLOURS,), f"{colours!r} are no colours of this program", f"Known: {known}."),)
        colours = NIGHT
    return Choices(keys, colours, faults)

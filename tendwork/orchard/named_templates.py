"""The shipped templates that the program knows by name, each with what hangs on it: no code speaks of any other.

A person's own template of the same id takes the place of the shipped one, and what hangs on the name stays with it.
"""

from __future__ import annotations

from typing import Final

ASK_FOR_WOOD: Final = ("ask-for-wood-stone", "ask-for-wood-apple-pear")
"""The jobs of asking others for wood: the day on which they close is the one that a message asks for it by."""

ASK_FOR_BUD_STICKS: Final = ("ask-for-bud-sticks", "ask-for-bud-sticks-peach-apricot")
"""The jobs of asking others for bud sticks: while one is to be done, the text to copy asks for them too."""

CHECK_WOOD: Final = "check-wood"
"""The look through the wood in store: a tick of it begins the days again after which a bundle is to be looked at."""

CHOOSE_VARIETIES: Final = "choose-varieties"
"""The choice of varieties and limbs in winter: its job names the planned grafts that may not take, or fail late."""

FIRE_BLIGHT_WATCH: Final = "fire-blight-watch"
"""The walk for fire blight: strikes ticked on it are noted as a sign of disease, which bars the tree."""

LOOK_AT_GUARDS: Final = "look-at-guards"
"""The look at guards in winter: gnawing ticked on it is noted of the tree, which is guarded from then on."""

NOTE_GROWTH: Final = "note-growth"
"""The look at the season's shoots: how a graft grew stands in its history, and what follows from its vigour."""

REMIND_OF_WOOD: Final = "remind-of-wood"
"""The job of reminding who did not answer: from the day on which it opens a reminder is written."""

SEND_PROMISED_WOOD: Final = "send-promised-wood"
"""The job of sending wood: its units say to whom how many sticks go, and its reasons what stands on each label."""

SUCKERS: Final = "suckers"
"""The round on which suckers are torn off: they stay on a tree whose bark was bridged this season."""

WINTER_CHECK: Final = "check-labels-and-ties"
"""The winter round of ties and labels: its job names the grafts of which nobody ever said that the wrap is off."""

THINNING: Final = ("thin-apple-pear", "thin-stone-fruit")
"""Jobs of the part fruit whose fruit is not ripe and not eaten: a spray's days to harvest say nothing of them."""

FORMER_IDS: Final = {
    "collect-wood-peach-apricot": "collect-wood-stone",
    "bark-quince-medlar": "graft-quince-medlar",
    "bark-peach-apricot": "graft-peach-apricot",
    "choose-one-shoot-stone": "choose-one-shoot",
    "rub-off-monthly-stone": "rub-off-monthly",
    "graft-quince": "graft-quince-medlar",
    "graft-medlar": "graft-quince-medlar",
}
"""Templates by the id that their job had before it was renamed or split: what was ticked under that still counts."""

NAMED_TEMPLATES: Final = (
    *ASK_FOR_WOOD,
    *ASK_FOR_BUD_STICKS,
    CHECK_WOOD,
    CHOOSE_VARIETIES,
    FIRE_BLIGHT_WATCH,
    LOOK_AT_GUARDS,
    NOTE_GROWTH,
    REMIND_OF_WOOD,
    SEND_PROMISED_WOOD,
    SUCKERS,
    WINTER_CHECK,
    *THINNING,
    *FORMER_IDS,
)

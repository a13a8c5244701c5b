"""The colours for colour-blind eyes, against published models of colour vision.

Colour vision deficiency: G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A Physiologically-based Model for
Simulation of Color Vision Deficiency", IEEE TVCG 15 (2009). Difference: CIEDE2000, CIE 142-2001. Contrast: W3C, Web
Content Accessibility Guidelines 2.1, success criterion 1.4.3 (4.5 : 1). All three as the library coloraide has them.
The hues begin from M. Okabe and K. Ito, "Color Universal Design" (2008).
"""

from __future__ import annotations

from itertools import combinations

import pytest
from coloraide import Color

from tendwork.dashboard.own_choices import CLEAR
from tendwork.dashboard.theme import THEMES

THEME = next(theme for theme in THEMES if theme.name == CLEAR)
STATES = {name: THEME.variables[name] for name in ("late", "closing", "open", "waiting", "done", "blossom")}
HUES = STATES | {"text": str(THEME.foreground)}
GROUNDS = {
    "background": THEME.background,
    "surface": THEME.surface,
    "panel": THEME.panel,
    "cursor": THEME.variables["block-cursor-background"],
}
LEAST_CONTRAST = 4.5
LEAST_DIFFERENCE = 9.0  # the difference that can just be seen is about 1; common practice wants several times that


def seen(hue: str, eyes: str) -> Color:
    return Color(hue) if eyes == "usual" else Color(hue).filter(eyes, 1, method="machado")


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("state", HUES)
def test_every_hue_can_be_read_on_every_ground(state: str, ground: str) -> None:
    assert Color(HUES[state]).contrast(Color(str(GROUNDS[ground])), method="wcag21") >= LEAST_CONTRAST


@pytest.mark.parametrize("eyes", ["usual", "protan", "deutan", "tritan"])
@pytest.mark.parametrize(("one", "other"), combinations(HUES, 2))
def test_no_two_hues_look_alike(one: str, other: str, eyes: str) -> None:
    assert seen(HUES[one], eyes).delta_e(seen(HUES[other], eyes), method="2000") >= LEAST_DIFFERENCE

"""The house colours, dark and light, and the terminal's own. A hue only ever repeats what a symbol and a word say."""

from __future__ import annotations

from textual.theme import Theme

from tendwork.dashboard.own_choices import CLEAR, NIGHT, PAPER, TERMINAL

# The hue of each task state and bud state, as a variable that style sheets and text spans share.
TASK_STYLES = {
    "late": "bold $late",
    "closing": "bold $closing",
    "open": "$open",
    "waiting": "$waiting",
    "held": "$closing",
    "coming": "$coming",
    "done": "$done",
    "skipped": "$done",
    "missed": "$missed",
}
GRAFT_STYLES = {
    "planned": "$waiting",
    "set": "$closing",
    "took": "$open",
    "bearing": "$blossom",
    "failed": "$late",
    "removed": "$faint",
}
WOOD_STYLES = {
    "fresh": "$open",
    "fading": "bold $closing",
    "not cut": "$waiting",
    "to ask": "bold $closing",
    "asked": "$waiting",
    "coming": "$open",
    "refused": "$faint",
    "barred": "bold $late",
    "faded": "$faint",
    "used up": "$faint",
    "missing": "bold $late",
    "to come": "$closing",
    "enough": "$open",
}
FRUIT_STYLES = {
    "barred": "bold $late",
    "now": "bold $blossom",
    "soon": "$blossom",
    "later": "$faint",
    "young": "$waiting",
    "unknown": "$faint",
    "partner": "$open",
    "alone": "bold $late",
    "self": "$faint",
    "to cut": "bold $late",
    "free": "$open",
    "keep": "bold $open",
    "cut": "bold $late",
    "wait": "$faint",
}
CHOICE_STYLES = {"pinned": "bold $accent", "proposed": "$waiting", "forbidden": "bold $late", "empty": "$faint"}
WEEK_STYLES = {"fills": "$open", "ripe": "$waiting", "none": "$faint", "bare": "bold $late", "filled": "$open"}
STAGE_STYLES = {"seen": "bold $blossom", "past": "$blossom", "predicted": "$coming", "unreached": "$faint"}


def _own(
    late: str, closing: str, opens: str, waiting: str, faint: str, blossom: str, cursor: tuple[str, str], bar: str
) -> dict[str, str]:
    """The variables of one theme; `cursor` is background and foreground of its row, `bar` what scrolls."""
    background, foreground = cursor
    return {
        "late": late,
        "closing": closing,
        "open": opens,
        "waiting": waiting,
        "coming": faint,
        "done": faint,
        "missed": late,
        "faint": faint,
        "blossom": blossom,
        "scrollbar": bar,
        "scrollbar-hover": faint,
        "scrollbar-active": faint,
        "block-cursor-background": background,
        "block-cursor-foreground": foreground,
        "block-cursor-text-style": "none",
        "block-cursor-blurred-background": background,
        "block-cursor-blurred-foreground": foreground,
        "block-cursor-blurred-text-style": "none",
    }


THEMES: tuple[Theme, ...] = (
    Theme(
        name=NIGHT,
        primary="#f3a9b9",
        secondary="#9fd0a8",
        accent="#f3a9b9",
        warning="#ecc766",
        error="#ff9a7d",
        success="#9fd0a8",
        foreground="#e5ede0",
        background="#101c17",
        surface="#16261f",
        panel="#1d3229",
        dark=True,
        variables=_own(
            "#ff9a7d", "#ecc766", "#9fd0a8", "#9cc7de", "#93a79a", "#f3a9b9", ("#2c4a3c", "#ffffff"), "#2c4a3c"
        ),
    ),
    Theme(
        name=PAPER,
        primary="#9c1f4c",
        secondary="#2a6638",
        accent="#9c1f4c",
        warning="#7d5200",
        error="#a83018",
        success="#2a6638",
        foreground="#22302a",
        background="#f8f4e9",
        surface="#f1ebda",
        panel="#e6dfca",
        dark=False,
        variables=_own(
            "#a83018", "#7d5200", "#2a6638", "#1f5f85", "#5d665f", "#9c1f4c", ("#d3e0c2", "#101c17"), "#cfc6a9"
        ),
    ),
    # The hues of M. Okabe and K. Ito, "Color Universal Design" (2008), three of them lightened for a dark ground.
    Theme(
        name=CLEAR,
        primary="#56b4e9",
        secondary="#1aa881",
        accent="#56b4e9",
        warning="#f0e442",
        error="#db7626",
        success="#1aa881",
        foreground="#ffffff",
        background="#0a0d10",
        surface="#101417",
        panel="#171c21",
        dark=True,
        variables=_own(
            "#db7626", "#f0e442", "#1aa881", "#56b4e9", "#8d979e", "#e6bcd3", ("#0e2a38", "#ffffff"), "#264b66"
        )
        | {"block-cursor-text-style": "bold"},
    ),
    Theme(
        name=TERMINAL,
        ansi=True,
        primary="ansi_magenta",
        secondary="ansi_green",
        accent="ansi_magenta",
        warning="ansi_yellow",
        error="ansi_red",
        success="ansi_green",
        foreground="ansi_default",
        background="ansi_default",
        surface="ansi_default",
        panel="ansi_default",
        boost="ansi_default",
        variables=_own(
            "ansi_red",
            "ansi_yellow",
            "ansi_green",
            "ansi_blue",
            "ansi_default",
            "ansi_magenta",
            ("ansi_blue", "ansi_bright_white"),
            "ansi_default",
        )
        | {
            "ansi-background": "ansi_default",
            "ansi-foreground": "ansi_default",
            "block-cursor-text-style": "bold underline",  # all that is left of the cursor's row under NO_COLOR
        },
    ),
)

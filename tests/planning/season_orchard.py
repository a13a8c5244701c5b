"""A small invented orchard over two seasons, for the tests of a season's report: everything is worked out by hand."""

from __future__ import annotations

from datetime import date

from tendwork.orchard.records import Graft, Life, Records, Tasting, Tick, Tree, Trouble, Wood
from tendwork.orchard.rough_dates import RoughDate

TODAY = date(2026, 12, 1)
TREES = (Tree("t1", "Barn apple", "apple"), Tree("t2", "Path pear", "pear"))
GRAFTS = (
    Graft("g1", "t1", "Red Lamp", "cleft", state="took", set_on=date(2026, 4, 10), wood="w1"),
    Graft("g2", "t1", "Red Lamp", "cleft", state="failed", set_on=date(2026, 4, 10), wood="w1"),
    Graft("g3", "t1", "Blue Lamp", "Whip", state="set", set_on=date(2026, 4, 12), wood="w2"),
    Graft("g4", "t2", "Green Lamp", state="bearing", set_on=RoughDate(2026)),
    Graft("g5", "t2", "Old Lamp", "bark", state="removed", set_on=date(2015, 5, 1), verdict="cut"),
    Graft("g6", "t1", "Lost Lamp", "bark", state="removed", set_on=date(2014, 5, 1)),
    Graft("g7", "t1", "New Lamp", "cleft", state="took", set_on=date(2026, 4, 20)),
    Graft("g8", "t1", "Next Lamp", "cleft"),
    Graft("g9", "t1", "Far Lamp", "cleft", state="bearing", set_on=date(2022, 4, 10)),
)
LIVES = (
    Life("g7", "Gone Lamp", "cleft", set_on=date(2025, 4, 1), ended_on=date(2025, 12, 24), state="took", note="snow"),
    Life("g8", "Dry Lamp", "cleft", set_on=date(2026, 4, 2), ended_on=date(2026, 6, 3), note="dried out"),
)
WOOD = (
    Wood("w1", "Red Lamp", "apple", 2, date(2026, 1, 3), "P. Hill", asked_on=date(2025, 11, 9), answer="promised"),
    Wood("w2", "Blue Lamp", "apple", 3, date(2026, 2, 1), "Barn apple", promised_to="R. Dale", promised_sticks=1),
    Wood("w3", "Grey Lamp", "pear", 0, date(2025, 1, 20), "t2", promised_to="S. Mill"),
    Wood("w4", "Far Pear", "pear", 2, None, "A. Weir", asked_on=date(2025, 11, 20), answer="refused"),
    Wood("w5", "Old Wood", "apple", 2, date(2025, 1, 3), "P. Hill"),
)
TICKS = (
    Tick("check-take/t1/2026", "g2", date(2026, 5, 30), "failed"),
    Tick("limbs-off/t2/2026", "g5", date(2026, 2, 8), "removed"),
    Tick("send-promised-wood/w3/2026", "w3", date(2026, 1, 25), "sent"),
    Tick("first-fruit/t1/2026", "g9", date(2026, 8, 20), "bearing"),
)
TROUBLES = (
    Trouble(date(2026, 5, 20), "t1", "storm"),
    Trouble(date(2026, 6, 20), "t1", "canker"),
    Trouble(date(2025, 6, 20), "t1", "gum"),
)
TASTINGS = (
    Tasting(date(2026, 9, 5), "g9", "unripe", 2),
    Tasting(date(2026, 9, 19), "g9", "ripe", 4),
    Tasting(date(2026, 9, 20), "g4", "ripe", 2),
    Tasting(date(2027, 1, 9), "g9", "ripe", 5),
    Tasting(date(2026, 1, 9), "g9", "", None),
)
RECORDS = Records(TREES, GRAFTS, WOOD, ticks=TICKS, tastings=TASTINGS, lives=LIVES, troubles=TROUBLES)

"""Growth noted by ticks, and who is to be shortened or spared."""

from __future__ import annotations

from datetime import date

from orchard_records import graft, orchard, tick

from tendwork.orchard.records import Tick
from tendwork.orchard.vigour import Growth, growth_noted, growth_sentences

GRAFTS = tuple(
    graft(f"g{number}", state="took", variety=name)
    for number, name in enumerate(("Red Lamp", "Blue Lamp", "Green Lamp"), 1)
)


def note(unit: str, word: str, year: int = 2026, **more: object) -> Tick:
    return tick("note-growth", unit, date(year, 7, 10), word, str(year), **more)


def sentences(*ticks: Tick, season: int = 2026) -> tuple[str, ...]:
    return growth_sentences(growth_noted(orchard(*GRAFTS, ticks=ticks)), GRAFTS, season)


def test_notes_are_kept_by_season_oldest_first() -> None:
    ticks = (note("g1", "strong"), note("g1", "middle", 2025))
    assert growth_noted(orchard(*GRAFTS, ticks=ticks)) == {"g1": (Growth(2025, "middle"), Growth(2026, "strong"))}


def test_a_note_that_was_taken_back_and_other_jobs_say_nothing() -> None:
    ticks = (note("g1", "strong"), note("g1", "strong", undone=True), tick("look", "g2", date(2026, 7, 1), "weak"))
    assert growth_noted(orchard(*GRAFTS, ticks=ticks)) == {}


def test_the_strong_are_named_to_shorten_and_the_weak_to_spare() -> None:
    assert sentences(note("g1", "strong"), note("g2", "weak"), note("g3", "strong")) == (
        "Shorten Red Lamp (g1) and Green Lamp (g3): strong growth this summer.",
        "Spare Blue Lamp (g2): weak growth this summer.",
    )


def test_middle_growth_is_not_named() -> None:
    assert sentences(note("g1", "middle")) == ()


def test_an_older_note_speaks_until_there_is_a_new_one() -> None:
    assert sentences(note("g1", "strong", 2025)) == ("Shorten Red Lamp (g1): strong growth noted in 2025.",)
    assert sentences(note("g1", "strong", 2025), note("g1", "middle", 2026)) == ()


def test_a_later_season_says_nothing_of_this_one() -> None:
    assert sentences(note("g1", "strong", 2027)) == ()


def test_a_graft_that_is_gone_is_not_named() -> None:
    gone = (graft("g1", state="removed"),)
    assert growth_sentences({"g1": (Growth(2026, "strong"),)}, gone, 2026) == ()

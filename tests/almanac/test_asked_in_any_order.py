"""An almanac stays while the workbench is open, so what it answers must not hang on what it was asked before."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from random import Random

from test_stage_distances import normals

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.kept_progress import KeptProgress
from tendwork.almanac.results import SeenStage
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import DailySeries

TODAY = date(2026, 3, 20)
FIRST = date(2022, 9, 1)
Question = Callable[[Almanac], object]


def almanac(kept: KeptProgress) -> Almanac:
    days = invented_days(normals("Bonn"), 7, FIRST, TODAY)
    series = DailySeries(FIRST, tuple(low for _, low, _ in days), tuple(high for _, _, high in days), "m" * len(days))
    seen = (
        SeenStage(date(2025, 4, 20), "apple", "full bloom"),
        SeenStage(date(2025, 4, 8), "pear", "full bloom", "Early One"),
        SeenStage(date(2024, 11, 10), "apple", "leaf fall"),
        SeenStage(date(2026, 3, 18), "apricot", "full bloom"),
    )
    place = Place(50.7, elevation_m=60.0, usual_dates=(UsualDate("plum", "full bloom", 4, 12),))
    return Almanac(place, series, seen, TODAY, kept)


def questions() -> list[Question]:
    asked: list[Question] = [
        lambda one, species=species, name=name: one.stages(species, Season(name))  # type: ignore[misc]
        for species in ("apple", "pear", "plum", "apricot")
        for name in (2024, 2025, 2026, 2027)
    ]
    asked += [lambda one: one.stages("pear", Season(2026), "Early One"), lambda one: one.frost_nights(["apricot"])]
    for back_days in (3, 90, 500, 1300, 3000):
        start = TODAY - timedelta(days=back_days)
        asked.append(lambda one, start=start: one.heat_between(start, TODAY))  # type: ignore[misc]
        asked.append(lambda one, start=start: one.heat_after(start, 333.3))  # type: ignore[misc]
    for ahead_days in (5, 200, 700):
        day = TODAY + timedelta(days=ahead_days)
        asked.append(lambda one, day=day: one.heat_between(TODAY, day))  # type: ignore[misc]
    return asked


def test_no_answer_hangs_on_what_was_asked_before() -> None:
    once = KeptProgress()
    alone = [question(almanac(once)) for question in questions()]
    for seed in range(3):
        order = list(enumerate(questions()))
        Random(seed).shuffle(order)
        kept = almanac(KeptProgress(once.asked))
        for number, question in order:
            assert question(kept) == alone[number], number

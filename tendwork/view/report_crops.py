"""The parts of a report about fruit: first crops, best and worst, and the weeks in which there was some."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from tendwork.almanac.seasons import Season
from tendwork.orchard.rough_dates import MONTHS
from tendwork.orchard.wording import counted
from tendwork.planning.season_crops import FirstCrop, FruitWeek, Scored
from tendwork.planning.season_report import SeasonReport
from tendwork.view.report_blocks import Block, Items, Part, Said, Strip
from tendwork.view.report_days import noted_words, season_day
from tendwork.view.text import plain
from tendwork.view.words import span_words

_FULL, _BARE, _GAP = "■", "·", "×"
_NAMED = 12


def crops_part(report: SeasonReport) -> Part:
    """First crops, and what was best and worst by score."""
    crops, season = report.crops, report.season
    if not crops.tastings and not crops.first_crops:
        return Part("Crops", (Said("Nothing noted: no fruit of this season's crop was tasted or ticked as borne."),))
    blocks: list[Block] = []
    young = [crop for crop in crops.first_crops if not crop.may_be_older]
    old = [crop for crop in crops.first_crops if crop.may_be_older]
    if young:
        blocks.append(Said("First crops:"))
        blocks.append(Items(tuple(plain(_first_words(crop, season)) for crop in young)))
    else:
        blocks.append(Said("No first crop is noted."))
    if old:
        blocks.append(Said("First noted this year, on grafts so old that they may have borne before:"))
        blocks.append(Items(tuple(plain(_first_words(crop, season)) for crop in old)))
    if crops.scores:
        blocks.append(Said(plain(f"Best: {_scored_words(crops.best)}.")))
        if crops.worst:
            blocks.append(Said(plain(f"Worst: {_scored_words(crops.worst)}.")))
        blank = crops.tastings - crops.scored
        without = f" {counted(blank, 'tasting')} had no score." if blank else ""
        blocks.append(
            Said(f"By the best score of each of {counted(len(crops.scores), 'variety')} this year, 1 to 5.{without}")
        )
    elif crops.tastings:
        blocks.append(Said(f"{counted(crops.tastings, 'tasting')}, none with a score: no best and no worst is known."))
    return Part("Crops", tuple(blocks))


def weeks_part(report: SeasonReport) -> Part:
    """Week by week from high summer to midwinter: off the tree, out of the store, tasted."""
    weeks = report.crops.weeks
    if not any(week.has_fruit for week in weeks):
        said = "Nothing noted: no day is known on which any variety that bears here is ripe."
        return Part("Weeks with fruit", (Said(said),))
    counts = [
        sum(bool(getattr(week, kind)) for week in weeks) for kind in ("tree", "store", "tasted", "has_fruit")
    ]  # fmt: skip
    total = f"{counts[3]} of {len(weeks)} weeks: {counts[0]} with fruit on the tree and {counts[1]} with fruit in store"
    blocks: list[Block] = [
        Said(f"{total}, both by calculation; in {counts[2] or 'none'} of the {len(weeks)} fruit was tasted ripe."),
        Strip(
            _months(weeks),
            (
                ("on the tree", _marks(weeks, "tree")),
                ("in store", _marks(weeks, "store")),
                ("tasted ripe", _marks(weeks, "tasted")),
                ("no fruit", "".join((_BARE if week.has_fruit else _GAP) * 2 for week in weeks)),
            ),
            "On the tree and in store: calculated, of what bore then and is still kept; tasted ripe: as noted.",
        ),
    ]
    if report.crops.gaps:
        gaps = (
            f"No fruit known {span_words(gap.first, gap.last)} ({counted(gap.weeks, 'week')})."
            for gap in report.crops.gaps
        )
        blocks.append(Items(tuple(gaps)))
    if weeks[-1].starts + timedelta(days=6) > report.today:
        blocks.append(Said("The weeks after today are foreseen."))
    return Part("Weeks with fruit", tuple(blocks))


def _first_words(crop: FirstCrop, season: Season) -> str:
    said = f"{crop.variety} ({crop.graft}), {crop.tree}: {season_day(crop.day, season)}"
    said += f", {crop.score} of 5" if crop.score is not None else ", no score"
    return f"{said}; set {noted_words(crop.set_on, season)}."


def _scored_words(scored: Sequence[Scored]) -> str:
    """ "Ashmead's Kernel (2 tastings), 5 of 5"."""
    named = [f"{one.variety} ({counted(one.tastings, 'tasting')})" for one in scored[:_NAMED]]
    more = f" and {len(scored) - _NAMED} more" if len(scored) > _NAMED else ""
    return f"{', '.join(named)}{more}: {scored[0].score} of 5"


def _months(weeks: Sequence[FruitWeek]) -> str:
    """The names of the months over the weeks, two columns each."""
    head = ""
    for number, week in enumerate(weeks):
        new = number == 0 or week.starts.month != weeks[number - 1].starts.month
        if new and len(head) <= 2 * number:
            head = head.ljust(2 * number) + MONTHS[week.starts.month - 1]
    return head


def _marks(weeks: Sequence[FruitWeek], kind: str) -> str:
    return "".join((_FULL if getattr(week, kind) else _BARE) * 2 for week in weeks)

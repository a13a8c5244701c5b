"""Mornings of one invented orchard, played through the real plan: which job is named first, what is at stake, and why.

Nothing is ticked but what a morning says, so late work piles up. Beside each morning stands why that job is the right
one to do first, with who says so; "common practice, no source" where nobody does.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

import pytest
from shipped import TEMPLATES
from steady_almanac import DAY_OF_CODE, SteadyAlmanac

from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.planning.fit import fit_week
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import FittedWeek
from tendwork.planning.variety_ids import variety_id
from tendwork.planning.visits import visits_of
from tendwork.planning.vocabulary import STAKES
from tendwork.planning.windows import Openings
from tendwork.species import bbch
from tendwork.view.plain import week_text
from tendwork.view.week import GROUPS, next_sentence, row_of, week_groups

GRAFTING_DAY = date(2026, 4, 14)
TOOK_ON = date(2026, 6, 1)


class WholeYear(SteadyAlmanac):
    """The steady almanac with a summer and an autumn: a stage between two known days takes the earlier one's."""

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate:  # noqa: ARG002
        days = {**DAY_OF_CODE, 71: (5, 15), 72: (5, 16), 73: (5, 22), 91: (7, 25), 93: (11, 8)}
        code = bbch(species, stage)
        day = season.on(*days[max(known for known in days if known <= code)])
        day = day.replace(year=season.name - (code == 0)) if code in (0, 93) else day
        return StageDate(stage, code, "predicted", day, day, day)


ALMANAC = WholeYear()
OPENINGS = Openings(ALMANAC)
TREES = (
    Tree("t1", "Old Hallow", "apple", planted=1950),
    Tree("t2", "Young plum", "plum", planted=2024),
    Tree("t3", "Gnawed pear", "pear", planted=2015),
)


def grafts_on(today: date) -> tuple[Graft, ...]:
    """Three grafts that are set in April and take, a bridge that nobody sets, and an old graft that bears."""
    is_set, took = today >= GRAFTING_DAY, today >= TOOK_ON
    state, set_on = "took" if took else "set" if is_set else "planned", GRAFTING_DAY if is_set else None
    return (
        Graft("g1", "t1", "Lamp", "cleft", "PVC tape", state=state, set_on=set_on),
        Graft("g2", "t1", "Moss", "bark", "PVC tape", state=state, set_on=set_on),
        Graft("g3", "t2", "Blue", "whip and tongue", "budding rubber", state=state, set_on=set_on),
        Graft("g4", "t3", "Bridge", "bridge", "", state="planned"),
        Graft("g6", "t2", "Blue", state="bearing", set_on=date(2019, 4, 1)),
        Graft("g5", "t1", "Elder", "whip and tongue", "film", state="bearing", set_on=date(2019, 4, 1)),
    )


def week_on(today: date, *more: Graft, ticks: tuple[Tick, ...] = (), without: tuple[str, ...] = ()) -> FittedWeek:
    grafts = tuple(graft for graft in (*grafts_on(today), *more) if graft.id not in without)
    records = Records(TREES, grafts, ticks=ticks)
    return fit_week(plan(SiteLimits(), records, ALMANAC, tuple(TEMPLATES), today, OPENINGS))


def first_of(week: FittedWeek, today: date) -> str:
    """The next job, without what is done with it."""
    return next_sentence(week.tasks, today, week.following).partition(" With it ")[0]


def keys_in_order(week: FittedWeek, today: date) -> list[str]:
    return [part.key for visit in visits_of(week.tasks, today) for part in visit.parts]


@dataclass(frozen=True)
class Morning:
    day: date
    first: str
    stake: str
    said: str
    stands_above: str
    because: str


MORNINGS = (
    Morning(
        date(2025, 12, 4), "fit-guards", "tree",
        "Fit guards before the snow, Young plum: 18 min, 4 days late, or voles or rabbits girdle the trunk.",
        "read-verdicts",
        "Young thin bark is most at risk (Dane County Extension teaching garden, 2019), and voles girdle trees "
        "(PennLive, 2011); reading the tastings can wait (common practice, no source).",
    ),
    Morning(
        date(2026, 1, 21), "collect-wood-stone", "year",
        "Cut plum and cherry scion wood, the orchard: 16 min, until Sun 25 Jan, 4 days left, "
        "or the buds swell and there is no wood.",
        "pick-mummies",
        "In February the buds of cherry are swollen and it waits for August (J. Schröder, infranken.de, undated).",
    ),
    Morning(
        date(2026, 2, 14), "look-at-guards", "tree",
        "Look at guards in deep winter, Young plum: 7 min, 4 days late, or gnawed bark is found too late to bridge.",
        "collect-wood-stone",
        "A tree that is girdled dies unless it is bridged, with wood cut while it is dormant (USDA Leaflet 508).",
    ),
    Morning(
        date(2026, 3, 10), "check-labels-and-ties", "graft",
        "Check labels and ties for ingrowth, Old Hallow: 6 min, 13 days late, or a wire or a tie cuts in.",
        "sort-swapped-wood",
        "Above string and wire tops turn yellow and some snap there; freed early the tree recovers "
        "(russelltreeexperts.com, 2019). The wood whose last day it is costs a year at most.",
    ),
    Morning(
        date(2026, 4, 3), "cleft-apple-pear", "year",
        "Cleft graft apple and pear, Old Hallow: 24 min, until Sat 4 Apr, 1 day left, or this graft waits a year.",
        "bark-apple-pear",
        "Clefts are made before the bark slips, bark grafts after it (Country Folks Grower, D. Weber, Penn State).",
    ),
    Morning(
        date(2026, 4, 17), "check-seals", "graft",
        "Look after the new grafts, twice, Old Hallow: all 2, 6 min, until Fri 17 Apr, the last day, "
        "or the scion dries out.",
        "winter-prune-pome",
        "Wax cracks in its first days: look twice, two to three days apart (OMAFRA Factsheet 98-005, 1998).",
    ),
    Morning(
        date(2026, 5, 9), "bridge-gnawed-bark", "tree",
        "Bridge gnawed bark, Gnawed pear: 30 min, 1 day late, or the girdled tree dies.",
        "suckers",
        "A trunk that is girdled and not bridged dies (USDA Leaflet 508); suckers come again all summer (Iowa State "
        "University Extension, 2022).",
    ),
    Morning(
        date(2026, 6, 14), "fire-blight-watch", "tree",
        "Watch for fire blight from bloom on, Old Hallow: 6 min, until Mon 15 Jun, 1 day left, "
        "or blight runs into the trunk.",
        "brace-grafts",
        "In ten trials any removal of strikes saved trees; of those left alone in New York all died (WSU, Pruning fire "
        "blight, 2023).",
    ),
    Morning(
        date(2026, 6, 26), "brace-grafts", "graft",
        "Brace the grafts against wind, Old Hallow: all 2, 25 min, 4 weeks late, or a storm snaps the union.",
        "water-in-drought",
        "Apricot grafts snapped in a storm when their braces came off after three months (growingfruit.org 36107); no "
        "source asks to water a mature tree for its new grafts.",
    ),
    Morning(
        date(2026, 8, 1), "wraps-rubber", "graft",
        "Overdue: take off tight budding rubber, Young plum: 5 min, 8 weeks late, or covered rubber cuts in.",
        "summer-prune-plum",
        "Rubber under tape or seal gets no sun, stays, and grew into a tree (homeorchardsociety, rubber bands).",
    ),
    Morning(
        date(2026, 9, 30), "wraps-rubber", "graft",
        "Overdue: take off tight budding rubber, Young plum: 5 min, 16 weeks late, or covered rubber cuts in.",
        "taste-apples",
        "As in August; what the fruit tastes like can still be found out next year (common practice, no source).",
    ),
    Morning(
        date(2026, 10, 24), "wraps-rubber", "graft",
        "Overdue: take off tight budding rubber, Young plum: 5 min, 20 weeks late, or covered rubber cuts in.",
        "judge-varieties",
        "One forgotten season of tape held back girth and height of some fifteen trees (tomtheappleman.co.uk); a trial "
        "goes on for a year without harm (common practice, no source).",
    ),
)  # fmt: skip


@pytest.mark.parametrize("morning", MORNINGS, ids=lambda morning: f"{morning.day} {morning.first}")
def test_on_this_morning_the_worst_stands_first_and_says_what_is_lost(morning: Morning) -> None:
    asked = tuple(
        Tick("ask-for-wood-stone/site/2026", variety_id(graft.variety, "plum"), date(2025, 11, 20), "asked")
        for graft in grafts_on(morning.day)
    )
    fitted = (Tick("fit-guards/t2/2026", "t2", date(2025, 12, 10), "done"),) if morning.day.year > 2025 else ()
    week = week_on(morning.day, ticks=(*asked, *fitted))
    assert first_of(week, morning.day) == morning.said, morning.because
    order = keys_in_order(week, morning.day)
    by_key = {task.key: task for task in week.tasks}
    assert (by_key[order[0]].template, by_key[order[0]].stake) == (morning.first, morning.stake), morning.because
    lesser = [by_key[key].template for key in order].index(morning.stands_above)
    assert lesser > 0, morning.because
    assert morning.because
    page = week_text(week.tasks, morning.day, "Invented", (), 200, following=week.following)
    assert f"Next: {morning.said}" in page
    names = re.compile(rf"\b({morning.first}|{morning.stands_above})[/)]")  # alone by key, in a visit by its rule
    assert names.findall(page)[:1] == [morning.first]
    assert morning.stands_above in names.findall(page)


TAPED = Graft("g9", "t1", "Forgotten", "cleft", "PVC tape", state="took", set_on=date(2025, 4, 12))
"""Its tape was to be off on 19 July: nursery trees lost a season by such tape (tomtheappleman.co.uk), and several
layers of it cut deep notches (growingfruit.org 4208)."""


def test_neither_a_notebook_nor_a_tidy_cut_stands_above_a_tape_that_is_sixteen_weeks_late() -> None:
    for day in (date(2025, 11, 8), date(2026, 4, 27), date(2026, 5, 30)):
        week = week_on(day, TAPED, without=("g4",))
        order = [key.partition("/")[0] for key in keys_in_order(week, day)]
        below = order[order.index("wraps-tape-pome") + 1 :]
        lesser = {"judge-varieties", "read-verdicts", "tidy-stubs", "choose-one-shoot"}
        present = lesser & {*order}
        assert present, day
        assert present <= {*below}, (day, order)
    autumn = week_on(date(2025, 11, 8), TAPED)
    assert first_of(autumn, date(2025, 11, 8)) == (
        "Overdue: slit tape on apple and pear grafts, Old Hallow: 5 min, 16 weeks late, or the tape cuts in."
    )


def test_in_a_year_of_mornings_what_presses_stands_by_stake_and_then_by_the_days_left() -> None:
    worst_first = ("tree", "graft", "year", "little")
    for step in range(0, 360, 9):
        day = date.fromordinal(date(2025, 11, 2).toordinal() + step)
        week = week_on(day, TAPED)
        by_key = {visit.key: visit for visit in visits_of(week.tasks, day)}
        headings = {GROUPS[stake] for stake in STAKES}
        rows = [row for group in week_groups(week.tasks, day) if group.name in headings for row in group.rows]
        pressing = [by_key[row.key].first for row in rows]
        ends = [task.window.lapses if task.state == "late" else task.window.closes for task in pressing]
        keys = [
            (worst_first.index(task.stake or "year"), task.no_time, task.pressed, end)
            for task, end in zip(pressing, ends, strict=True)
        ]
        assert keys == sorted(keys), day
        shown = {part.key for row in rows for part in by_key[row.key].parts}
        due = [task for task in week.tasks if task.state in ("late", "closing")]
        assert {task.key for task in due if not (task.can_wait or task.no_time)} <= shown
        assert all(task.stake == "little" for task in due if task.can_wait), day


AUGUST = date(2026, 8, 1)
BRACE = "brace-grafts/t1/2026"


def missed_on(day: date, *ticks: Tick, without: tuple[str, ...] = ()) -> dict[str, tuple[str, ...]]:
    """What stands under Missed, by key, with what is said beside it."""
    week = week_on(day, ticks=ticks, without=without)
    visits = [visit for visit in visits_of(week.tasks, day) if visit.state == "missed"]
    return {part.key: row_of(part, day).beside for visit in visits for part in visit.parts}


def test_a_brace_that_was_missed_stays_with_what_it_risks_until_it_is_ticked_or_skipped_or_its_graft_is_gone() -> None:
    assert BRACE not in missed_on(date(2026, 7, 7))  # late, and still worth doing
    for day in (date(2026, 7, 8), AUGUST, date(2026, 10, 31)):
        assert missed_on(day)[BRACE] == (
            "At stake: a storm snaps the union. This line stays until you tick or skip the job.",
        )
    both = [Tick(BRACE, graft, AUGUST, outcome) for outcome in ("done", "skipped") for graft in ("g1", "g2")]
    assert BRACE not in missed_on(AUGUST, *both[:2])
    assert BRACE not in missed_on(AUGUST, *both[2:])
    assert BRACE in missed_on(AUGUST, both[0])
    assert BRACE not in missed_on(AUGUST, without=("g1", "g2"))


def test_what_is_missed_for_less_goes_after_two_weeks() -> None:
    guards = "take-guards-off/t2/2026"
    assert missed_on(date(2026, 5, 28))[guards] == ()  # it lapsed on 24 May, 75 days after the buds swelled
    assert guards not in missed_on(date(2026, 6, 20))


def test_what_the_calendar_brings_again_says_for_two_weeks_what_was_at_stake() -> None:
    guards = "fit-guards/t2/2026"
    assert guards not in missed_on(date(2026, 1, 5))  # still useful
    assert missed_on(date(2026, 3, 5))[guards] == ("At stake: voles or rabbits girdle the trunk.",)
    assert guards not in missed_on(date(2026, 4, 5))


def test_of_rounds_only_the_last_is_told_as_missed_where_a_graft_is_at_stake() -> None:
    key = "check-seals/t1/2026"
    assert key not in missed_on(date(2026, 4, 24))
    assert missed_on(date(2026, 4, 24))[f"{key}.2"] == ("At stake: the scion dries out.",)
    assert f"{key}.2" not in missed_on(date(2026, 5, 10))


def test_what_lapsed_in_the_last_days_of_a_season_is_still_told_in_the_next() -> None:
    late = Graft("g8", "t1", "Late", "cleft", "film", state="took", set_on=date(2026, 8, 8))
    key = "brace-grafts/t1/2026"
    told = {}
    for day in (date(2026, 11, 2), date(2026, 11, 12)):
        week = week_on(day, late, without=("g1", "g2"))
        told[day] = key in {task.key for task in week.tasks if task.state == "missed"}
    assert told == {date(2026, 11, 2): True, date(2026, 11, 12): False}

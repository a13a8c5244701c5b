"""The shipped templates as a whole: sound, and in order through the year."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from functools import cache
from itertools import product
from pathlib import Path

import msgspec
import pytest
from ripe_dates import ripe_dates
from shipped import BENCH, BUD_METHODS, CARDS, FILES, SPRING_METHODS, TEMPLATES, TOOLS, WRAPS, read
from steady_almanac import DAY_OF_CODE, SteadyAlmanac

from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.orchard.records import SIGNS, Graft, Records, Tick, Tree, Trouble, Wood
from tendwork.planning.anchors import Anchors
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.ripe_events import RipeOfGrafts
from tendwork.planning.subjects import Subjects
from tendwork.planning.vocabulary import PARTS, UNKNOWN, Anchor, Template
from tendwork.species import SPECIES, bbch, stage_named

SEASON = Season(2026)
LATE_STAGES = {71: (5, 15), 72: (5, 16), 73: (5, 22), 91: (7, 25), 93: (11, 8)}
LEAF_FALL = 93
BRANCHES = ("latest_of", "earliest_of", "first_known")


def every_template(rule: Callable[[Template], None]) -> Callable[[], None]:
    """One test of a rule over all templates, which lists those that break it."""

    def test() -> None:
        broken = []
        for template in TEMPLATES:
            try:
                rule(template)
            except AssertionError as fault:
                broken.append(f"{template.id}: {fault}")
        assert not broken, "\n".join(broken)

    test.__name__ = rule.__name__
    return test


class WholeYear(SteadyAlmanac):
    """The steady almanac with a summer and an autumn; a stage between two known days takes the earlier one's."""

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate:  # noqa: ARG002
        days = {**DAY_OF_CODE, **LATE_STAGES}
        code = bbch(species, stage)
        day = season.on(*days[max(known for known in days if known <= code)])
        if code == 0:
            day = day.replace(year=season.name - 1)
        elif code == LEAF_FALL:  # after the season's last day
            day = day.replace(year=season.name)
        return StageDate(stage, code, "predicted", day, day, day)


def anchors_of(template: Template) -> Iterator[Anchor]:
    waiting = [anchor for anchor in (template.opens, template.best, template.closes, template.lapses) if anchor]
    while waiting:
        anchor = waiting.pop()
        yield anchor
        for branch in BRANCHES:
            waiting.extend(getattr(anchor, branch) or ())


@cache
def whole_orchard() -> Records:
    """A tree of every species with a graft of every method in every state, and one bundle of wood each.

    One tree, and a graft on it, have a union that fails late.
    """
    doubtful = Tree("doubtful", "doubtful", "pear", "apple seedling", planted=2010)
    trees, grafts, wood = [Tree("young", "young", "plum", planted=2025), doubtful], [], []
    grafts.append(Graft("q1", "doubtful", "x", "cleft", state="took", set_on=date(2024, 4, 14), species="quince"))
    for species in SPECIES:
        trees.append(Tree(species, species, species, planted=2005))
        wood.append(
            Wood(f"wood {species}", "x", species, 6, date(2026, 1, 6), promised_to="a friend", promised_sticks=2)
        )
        for method, wrap in product((*SPRING_METHODS, *BUD_METHODS, BENCH), WRAPS):
            now = date(2026, 7, 20) if method in BUD_METHODS else date(2026, 4, 14)
            for state, set_on in (
                ("planned", None),
                ("set", now),
                ("took", now),
                ("took", now.replace(year=2025)),
                ("took", now.replace(year=2024)),
                ("bearing", now.replace(year=2020)),
                ("failed", now),
                ("failed", now.replace(year=2025)),
            ):
                for verdict in ("on trial", "cut", "keep") if state == "bearing" else ("on trial",):
                    grafts.append(
                        Graft(
                            f"g{len(grafts)}", species, "x", method, wrap, state=state, set_on=set_on, verdict=verdict
                        )
                    )
    for species in ("apple", "plum"):
        grafts.append(Graft(f"g{len(grafts)}", species, "elsewhere", "cleft"))
    for species in ("apple", "peach"):
        grafts.append(Graft(f"g{len(grafts)}", species, "elsewhere", "chip bud"))
    wood.append(Wood("asked", "y", "apple", 2, came_from="a friend", asked_on=date(2025, 11, 12)))
    seen = tuple(Trouble(date(2026, 2, 1), "young", sign) for sign in SIGNS)
    return Records(tuple(trees), tuple(grafts), tuple(wood), ticks=tuple(_ticks()), troubles=(*BLIGHT, *seen))


BLIGHT = (Trouble(date(2025, 6, 9), "medlar", "fire blight"), Trouble(date(2026, 6, 1), "medlar", "fire blight"))


def _ticks() -> Iterator[Tick]:
    """Nurse limbs marked on every tree this winter and the last, a guard fitted, and an early summer pruning."""
    yield Tick("fit-guards/young/2026", "young", date(2025, 11, 20))
    cuts = {species: t.id for t in TEMPLATES if t.id.startswith("summer-prune-") for species in t.where.species or ()}
    for species in SPECIES:
        for year in (2025, 2026):
            yield Tick(f"mark-nurse-limbs/{species}/{year}", species, date(year, 2, 1))
        if species in cuts:
            yield Tick(f"{cuts[species]}/{species}/2026", species, date(2026, 7, 20))


@cache
def picked_orchard() -> Records:
    """The whole orchard with the fruit of every third graft that bears picked."""
    records = whole_orchard()
    bearing = [graft for graft in records.grafts if graft.state == "bearing"][::3]
    ticks = [Tick(f"pick-apples/{graft.tree}/2026", graft.id, PICKED, "picked") for graft in bearing]
    return msgspec.structs.replace(records, ticks=(*records.ticks, *ticks))


@cache
def ripe() -> RipeOfGrafts:
    """Of every second graft that bears: a keeper, picked in autumn and eaten from the winter on."""
    bearing = [graft for graft in whole_orchard().grafts if graft.state == "bearing"]
    keeper = ripe_dates(PICKED, eat=date(2026, 12, 1), until=date(2027, 4, 30))
    return {SEASON: {graft.id: keeper for graft in bearing[::2]}}


PICKED = date(2026, 10, 5)


def test_the_folder_holds_a_whole_year_of_templates() -> None:
    assert len(TEMPLATES) >= 32
    assert {template.part for template in TEMPLATES} == set(PARTS)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_a_file_decodes_with_no_unknown_word_and_holds_something(file: Path) -> None:
    held = read(file)
    assert held.template or held.card or held.tool


def test_no_id_stands_twice() -> None:
    for ids in ([entry.id for entry in (*TEMPLATES, *CARDS)], [tool.id for tool in TOOLS]):
        assert sorted(set(ids)) == sorted(ids)


@every_template
def test_every_caution_of_a_template_has_its_card(template: Template) -> None:
    assert set(template.cautions) <= {card.id for card in CARDS}


@every_template
def test_a_template_says_how_long_it_takes_with_what_and_in_which_steps(template: Template) -> None:
    effort = template.effort
    assert effort.setup_minutes + effort.minutes_each + sum(effort.minutes_by_size or ()) > 0
    assert template.tools
    unknown = {*template.tools} - {tool.id for tool in TOOLS}
    assert not unknown, f"task_templates/tools.toml lacks {', '.join(sorted(unknown))}"
    assert 2 <= len(template.steps) <= 6


@every_template
def test_a_template_names_a_lapse_and_a_dated_source(template: Template) -> None:
    assert template.lapses is not None
    assert template.source == "common practice" or re.search(r", (undated|[a-z]* ?\d{4})$", template.source, re.I)


@every_template
def test_words_fit_an_eighty_column_screen(template: Template) -> None:
    assert len(template.title) <= 44
    assert all(len(step) <= 140 for step in template.steps)


@every_template
def test_an_anchor_has_one_base_and_stages_that_every_chosen_species_knows(template: Template) -> None:
    for anchor in anchors_of(template):
        bases = (anchor.date, anchor.stage, anchor.after, *(getattr(anchor, branch) for branch in BRANCHES))
        assert sum(base is not None for base in bases) == 1
        if anchor.stage is not None:
            assert all(stage_named(species, anchor.stage) for species in template.where.species or SPECIES)


@every_template
def test_methods_and_wraps_are_words_of_the_trade(template: Template) -> None:
    assert set(template.where.method or ()) <= {*SPRING_METHODS, *BUD_METHODS, BENCH, UNKNOWN}
    assert set(template.where.wrap or ()) <= set(WRAPS)


@every_template
def test_a_template_opens_before_its_best_day_before_it_closes_before_it_lapses(template: Template) -> None:
    orchard = Orchard(picked_orchard(), TEMPLATES, south=False, today=date(2026, 6, 1))
    subjects = Subjects(orchard, ripe())
    anchors = Anchors(WholeYear(), SEASON)
    resolved = 0
    for subject in subjects.of(template, SEASON):
        if not subject.matches:
            continue
        opens, closes, lapses = (
            anchors.resolve(a, subject) for a in (template.opens, template.closes, template.lapses)
        )
        best = opens if template.best is None else anchors.resolve(template.best, subject)
        if opens is None or closes is None or lapses is None or best is None:
            continue
        assert opens.day <= best.day <= closes.day <= lapses.day, f"{template.id} for {subject.species}"
        resolved += 1
    assert resolved


def test_every_template_appears_in_a_season_of_an_orchard_that_has_everything() -> None:
    year = plan(SiteLimits(), picked_orchard(), WholeYear(), TEMPLATES, date(2026, 6, 1), ripe=ripe())
    assert {template.id for template in TEMPLATES} - {task.template for task in year.tasks} == set()


def test_a_union_is_looked_at_in_one_job_a_winter() -> None:
    year = plan(SiteLimits(), whole_orchard(), WholeYear(), TEMPLATES, date(2026, 6, 1))
    looks = ("check-unions", "check-old-unions", "look-at-doubtful-unions")
    asked = [unit.id for task in year.tasks if task.template in looks and task.season == 2026 for unit in task.units]
    assert "q1" in asked
    assert len(asked) == len(set(asked))


@every_template
def test_an_outcome_that_changes_the_record_stands_only_where_it_can_be_true(template: Template) -> None:
    states = set(template.where.state or ())
    if "set" in template.outcomes:
        assert states == {"planned"}
    if "took" in template.outcomes:
        assert states == {"set"}
    if "off" in template.outcomes:
        assert template.where.wrap is not None
    if {"set", "took", "failed", "off", "removed"} & set(template.outcomes):
        assert template.each == "graft"


@pytest.mark.parametrize("species", ["plum", "japanese plum", "sweet cherry", "sour cherry"])
def test_grown_plums_and_cherries_are_not_cut_while_silver_leaf_spores_fly(species: str) -> None:
    # Amateur Gardening on silver leaf (O43): spores fly from September to May. Suckers are torn, not pruned.
    cuts = [t for t in TEMPLATES if t.part == "pruning" and t.id != "suckers" and not t.left_out]
    records = msgspec.structs.replace(whole_orchard(), trees=(Tree(species, species, species, planted=2005),))
    tasks = plan(SiteLimits(), records, WholeYear(), cuts, date(2026, 6, 1)).tasks
    this_year = [task for task in tasks if "/2026" in task.key]
    assert this_year
    assert all(task.window.opens >= date(2026, 6, 1) for task in this_year)
    assert all(task.window.lapses <= date(2026, 8, 31) for task in this_year)


def test_what_hangs_on_wraps_waits_for_heat_as_well_as_weeks() -> None:
    wraps = [t for t in TEMPLATES if t.id.startswith("wraps-") and UNKNOWN not in (t.where.wrap or ())]
    assert len(wraps) >= 6
    for template in wraps:
        kinds = {(part.weeks > 0, part.heat is not None) for part in template.opens.latest_of or ()}
        assert kinds == {(True, False), (False, True)}

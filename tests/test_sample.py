"""The files of the sample orchard: complete, valid, and said to be invented."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from tendwork.almanac.seasons import season_of
from tendwork.folder.data_files import SAMPLE_CONFIG, data_folder
from tendwork.folder.fields import record_fault
from tendwork.folder.site import read_site
from tendwork.folder.templates import load_templates
from tendwork.orchard.outcomes import SKIPPED
from tendwork.orchard.records import FIRE_BLIGHT, GRAFT_STATES, VERDICTS, Records
from tendwork.planning.subject import SITE
from tendwork.species import STAGES
from tendwork.workbench.demo import REFERENCE_SEASON, sample_records

SAMPLE = data_folder(SAMPLE_CONFIG)


@pytest.fixture(scope="module")
def sample() -> Records:
    return sample_records(SAMPLE)


def test_five_trees_are_two_apples_a_pear_a_plum_and_a_sweet_cherry(sample: Records) -> None:
    assert Counter(tree.species for tree in sample.trees) == {"apple": 2, "pear": 1, "plum": 1, "sweet cherry": 1}


def test_sixty_grafts_stand_and_forty_of_them_on_one_apple(sample: Records) -> None:
    assert len(sample.grafts) == 60
    assert Counter(graft.tree for graft in sample.grafts)["t1"] == 40


def test_every_state_and_every_verdict_occurs(sample: Records) -> None:
    assert {graft.state for graft in sample.grafts} == set(GRAFT_STATES)
    assert {graft.verdict for graft in sample.grafts} == set(VERDICTS)


def test_fourteen_grafts_belong_to_the_season_described(sample: Records) -> None:
    seasons = Counter(season_of(graft.set_on).name for graft in sample.grafts if graft.set_on)
    assert seasons[REFERENCE_SEASON] == 14


def test_some_grafts_hang_above_the_reach_and_some_within_it(sample: Records) -> None:
    reach_m = read_site((SAMPLE / "site.toml").read_text(encoding="utf-8")).reach_m
    heights_m = [graft.height_m for graft in sample.grafts if graft.height_m is not None]
    assert len(heights_m) == 60
    assert min(heights_m) < 1 < reach_m < 4 < max(heights_m)


def test_no_graft_hangs_higher_than_its_tree_and_one_height_is_left_open(sample: Records) -> None:
    heights_m = {tree.id: tree.height_m for tree in sample.trees}
    assert [tree for tree, height_m in heights_m.items() if height_m is None] == ["t5"]
    assert all((graft.height_m or 0) < (heights_m[graft.tree] or 99) for graft in sample.grafts)


def test_a_sign_of_disease_and_a_spray_are_of_an_earlier_season(sample: Records) -> None:
    assert [trouble.what for trouble in sample.troubles] == [FIRE_BLIGHT]
    assert ["invented" in spray.product for spray in sample.sprays] == [True]
    assert all(season_of(note.day).name < REFERENCE_SEASON for note in (*sample.troubles, *sample.sprays))


def test_some_wood_was_asked_for_and_promised_and_some_is_still_unanswered(sample: Records) -> None:
    asked = [bundle for bundle in sample.wood if bundle.asked_on is not None]
    assert {bundle.answer for bundle in asked} == {"promised", ""}
    assert all(season_of(bundle.asked_on).name == REFERENCE_SEASON for bundle in asked if bundle.asked_on)
    assert any(bundle.mother_health for bundle in asked)


def test_fourteen_bundles_stand_some_promised_and_three_not_cut(sample: Records) -> None:
    assert len(sample.wood) == 14
    assert sum(bundle.cut_on is None for bundle in sample.wood) == 3
    assert sum(bool(bundle.promised_to) for bundle in sample.wood) >= 2


def test_a_graft_names_wood_of_its_own_variety_that_was_cut_before(sample: Records) -> None:
    bundles = {bundle.id: bundle for bundle in sample.wood}
    for graft in sample.grafts:
        if graft.wood:
            bundle = bundles[graft.wood]
            assert bundle.variety == graft.variety
            assert graft.set_on is None or (bundle.cut_on is not None and bundle.cut_on < graft.set_on)


def test_every_row_is_valid(sample: Records) -> None:
    rows = (row for kind in Records.__struct_fields__ for row in getattr(sample, kind))
    assert [fault for row in rows if (fault := record_fault(row))] == []


def test_a_row_names_only_what_is_there(sample: Records) -> None:
    trees = {tree.id: tree for tree in sample.trees}
    assert {graft.tree for graft in sample.grafts} <= trees.keys()
    assert {tasting.graft for tasting in sample.tastings} <= {graft.id for graft in sample.grafts}
    assert {note.tree for note in (*sample.troubles, *sample.sprays)} <= trees.keys()
    for sighting in sample.sightings:
        assert sighting.stage in [row[0] for row in STAGES[sighting.species]]
        assert not sighting.tree or trees[sighting.tree].species == sighting.species


def test_three_seasons_hold_sightings_and_ticks(sample: Records) -> None:
    seasons = {REFERENCE_SEASON - 2, REFERENCE_SEASON - 1, REFERENCE_SEASON}
    assert {season_of(sighting.day).name for sighting in sample.sightings} == seasons
    assert {season_of(tick.day).name for tick in sample.ticks} == seasons


def test_a_tick_names_a_shipped_template_its_season_and_one_of_its_outcomes(sample: Records) -> None:
    templates = {template.id: template for template in load_templates(Path("no templates of our own")).templates}
    for tick in sample.ticks:
        identity, _, season = tick.task.split("/")
        assert int(season.split(".")[0]) == season_of(tick.day).name, tick
        assert tick.outcome in (*templates[identity].outcomes, SKIPPED), tick


def test_a_tick_names_a_subject_and_a_unit_of_its_templates_kind(sample: Records) -> None:
    templates = {template.id: template for template in load_templates(Path("no templates of our own")).templates}
    tree_of = {graft.id: graft.tree for graft in sample.grafts} | {tree.id: tree.id for tree in sample.trees}
    bundles = {bundle.id for bundle in sample.wood}
    for tick in sample.ticks:
        identity, subject, _ = tick.task.split("/")
        each = templates[identity].each
        if each in ("graft", "tree"):
            assert subject == tree_of[tick.unit], tick
        else:
            assert subject == SITE, tick
            assert each != "wood" or tick.unit in bundles, tick


def test_no_unit_of_a_task_is_ticked_twice(sample: Records) -> None:
    counts = Counter((tick.task, tick.unit) for tick in sample.ticks if tick.outcome != "not yet")
    assert [key for key, count in counts.items() if count > 1] == []


def test_a_graft_set_in_these_seasons_has_the_tick_of_its_day(sample: Records) -> None:
    ticked = {(tick.unit, tick.day) for tick in sample.ticks if tick.outcome == "set"}
    for graft in sample.grafts:
        if graft.set_on is not None and season_of(graft.set_on).name >= REFERENCE_SEASON - 2:
            assert (graft.id, graft.set_on) in ticked


@pytest.mark.parametrize("file", ["site.toml", "ABOUT.txt"])
def test_files_that_can_carry_a_comment_say_that_all_is_invented(file: str) -> None:
    assert "is invented" in (SAMPLE / file).read_text(encoding="utf-8")


def test_the_name_of_the_site_says_that_it_is_invented() -> None:
    assert "invented" in read_site((SAMPLE / "site.toml").read_text(encoding="utf-8")).name

"""No wrap is forgotten: from its sixth week until somebody says that it is off, one line of the week is about it."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

import msgspec
import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from shipped import BUD_METHODS, SPRING_METHODS, TEMPLATES, WRAPS
from steady_almanac import SteadyAlmanac

from tendwork.folder.data_files import SAMPLE_CONFIG, data_folder
from tendwork.orchard.lives import present
from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.wraps import NO_WRAP, wrap_fate
from tendwork.planning.fit import fit_week
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan
from tendwork.planning.sight import in_sight
from tendwork.planning.states import TO_DO
from tendwork.planning.vocabulary import Template
from tendwork.planning.windows import Openings
from tendwork.species import SPECIES
from tendwork.view.wraps import gap_sentences
from tendwork.workbench.demo import as_of, sample_records

ABOUT_WRAPS = tuple(template for template in TEMPLATES if template.takes_wraps_off or template.id == "look-at-wraps")
ALMANAC = SteadyAlmanac()
OPENINGS = Openings(ALMANAC)
SET_ON = date(2025, 4, 12)
APPLE = Tree("t1", "Old apple", "apple")


def planned(records: Records, today: date) -> Plan:
    return plan(SiteLimits(), records, ALMANAC, ABOUT_WRAPS, today, OPENINGS)


def lines_of(made: Plan) -> Counter[str]:
    """For each graft how many lines of the week are about its wrap and not done."""
    return Counter(
        unit.id for task in made.tasks if in_sight(task, made.today) for unit in task.units if unit.state in TO_DO
    )


def wrong_lines(records: Records, made: Plan) -> list[str]:
    now, today, lines = present(records), made.today, lines_of(made)
    found = []
    for graft in now.grafts:
        if graft.state in ("set", "took") and graft.set_on is not None and today >= graft.set_on + timedelta(weeks=6):
            wanted = 1 if wrap_fate(graft, standing_ticks(now.ticks), today).on else 0
            if lines[graft.id] != wanted:
                found.append(f"{today}: {lines[graft.id]} lines about {graft.id}, {graft.method} in {graft.wrap}")
    return found


def orchard(*grafts: Graft, ticks: tuple[Tick, ...] = ()) -> Records:
    return Records(trees=(APPLE, Tree("t2", "Peach", "peach")), grafts=grafts, ticks=ticks)


def graft(identity: str = "g1", **changes: object) -> Graft:
    base: dict[str, object] = {
        "tree": "t1", "variety": "Red Lamp", "method": "cleft", "wrap": "PVC tape", "state": "set", "set_on": SET_ON,
    }  # fmt: skip
    return Graft(identity, **{**base, **changes})  # type: ignore[arg-type]


def test_on_every_day_of_three_years_of_the_sample_each_wrap_has_one_line_until_it_is_off() -> None:
    whole = sample_records(data_folder(SAMPLE_CONFIG))
    wrong, asked = [], 0
    for step in range(3 * 365):
        today = date(2023, 11, 1) + timedelta(days=step)
        records = as_of(whole, today)
        made = planned(records, today)
        wrong += wrong_lines(records, made)
        asked += sum(lines_of(made).values())
    assert not wrong, "\n".join(wrong[:20])
    assert asked > 1000


_DAYS = st.integers(-400, 900).map(lambda days: SET_ON + timedelta(days=days))
_GRAFTS = st.builds(
    Graft,
    st.sampled_from([f"g{number}" for number in range(6)]),
    st.sampled_from(SPECIES),
    st.just("x"),
    st.sampled_from((*SPRING_METHODS, *BUD_METHODS, "", "inlay", "Cleft")),
    st.sampled_from((*WRAPS, "", "bandage", NO_WRAP, "off")),
    state=st.sampled_from(("set", "took", "bearing", "failed", "removed", "planned")),
    set_on=_DAYS,
)
_TICKS = st.sampled_from(ABOUT_WRAPS).flatmap(
    lambda template: st.builds(
        lambda graft, season, day, outcome: Tick(f"{template.id}/t/{season}", graft, day, outcome),
        st.sampled_from([f"g{number}" for number in range(6)]),
        st.integers(2024, 2028),
        _DAYS,
        st.sampled_from(template.outcomes),
    )
)


@examples(150)
@given(st.lists(_GRAFTS, max_size=6, unique_by=lambda one: one.id), st.lists(_TICKS, max_size=8), _DAYS)
def test_whatever_the_records_say_each_wrap_that_is_on_has_one_line_and_the_others_none(
    grafts: list[Graft], ticks: list[Tick], today: date
) -> None:
    trees = tuple(Tree(species, species, species) for species in SPECIES)
    keyed = {one.id: one.tree for one in grafts}
    mine = (
        msgspec.structs.replace(tick, task=tick.task.replace("/t/", f"/{keyed.get(tick.unit, 't')}/")) for tick in ticks
    )
    records = Records(trees=trees, grafts=tuple(grafts), ticks=tuple(mine))
    made = planned(records, today)
    assert not wrong_lines(records, made)
    asked = [wrap.graft for wrap in made.wraps]
    assert len(asked) == len(set(asked))
    now = present(records)
    assert set(asked) == {one.id for one in now.grafts if wrap_fate(one, standing_ticks(now.ticks), today).on}
    assert fit_week(made).tasks is not None


def test_a_wrap_that_came_off_by_one_job_is_not_asked_for_by_another_in_which_it_was_not_yet_off() -> None:
    not_yet = Tick("wraps-soft-tape/t1/2025", "g1", SET_ON, "not yet")
    off = Tick("cut-bud-ties/t1/2024", "g1", SET_ON, "off")
    one = graft(wrap="splicing tape", set_on=date(2025, 3, 1))
    for ticks, lines in (((not_yet,), 1), ((not_yet, off), 0), ((off, not_yet), 0)):
        made = planned(orchard(one, ticks=ticks), SET_ON + timedelta(days=60))
        assert (lines_of(made)["g1"], len(made.wraps)) == (lines, lines)


@pytest.mark.parametrize("wrap", [*WRAPS[:-1], "", "bandage"])
@pytest.mark.parametrize("method", ["cleft", "T-bud", ""])
def test_a_wrap_is_asked_for_through_winters_until_it_is_off(wrap: str, method: str) -> None:
    records = orchard(graft(wrap=wrap, method=method))
    for years in (0, 1, 2, 6):
        today = date(2025 + years, 11, 20)
        (task,) = [task for task in planned(records, today).tasks if task.units[0].state in TO_DO]
        assert task.state == "late"
        assert task.title.startswith("Overdue: ")
        assert "constriction" in task.steps[0]
        assert in_sight(task, today)
        assert task in [
            msgspec.structs.replace(one, days=(), units=task.units) for one in fit_week(planned(records, today)).tasks
        ]
    off = Tick(task.key, "g1", date(2026, 1, 20), "off")
    after = planned(orchard(graft(wrap=wrap, method=method), ticks=(off,)), date(2026, 1, 22))
    assert not [unit for task in after.tasks for unit in task.units if unit.state in TO_DO]
    assert after.wraps == ()


def test_a_place_grafted_again_gets_its_wrap_removal_again() -> None:
    ticks = (
        Tick("wraps-tape-pome/t1/2023", "g1", date(2023, 7, 1), "off"),
        Tick("check-take/t1/2023", "g1", date(2023, 8, 1), "failed"),
    )
    made = planned(orchard(graft(), ticks=ticks), date(2025, 6, 20))
    (task,) = [task for task in made.tasks if task.template == "wraps-tape-pome"]
    assert [(unit.id, unit.state) for unit in task.units] == [("g1", "open")]


def test_a_place_grafted_again_in_the_same_season_gets_its_jobs_again() -> None:
    ticks = (
        Tick("wraps-tape-pome/t1/2025", "g1", date(2025, 3, 1), "off"),
        Tick("check-take/t1/2025", "g1", date(2025, 4, 1), "failed"),
    )
    made = planned(orchard(graft(), ticks=ticks), date(2025, 6, 20))
    (task,) = [task for task in made.tasks if task.template == "wraps-tape-pome"]
    assert [(unit.id, unit.state) for unit in task.units] == [("g1", "open")]


def test_a_rule_by_the_calendar_asks_once_in_the_first_season_after_the_graft_was_set() -> None:
    own = msgspec.convert(
        {
            "id": "own", "title": "Loosen it", "part": "aftercare", "each": "graft", "opens": {"date": "03-02"},
            "closes": {"date": "03-14"}, "outcomes": ["off", "not yet"],
        },
        Template,
    )  # fmt: skip
    for set_on, season in ((date(2025, 3, 1), 2025), (date(2025, 4, 1), 2026)):
        for today in (date(2025, 4, 2), date(2026, 3, 10), date(2028, 1, 5)):
            made = plan(SiteLimits(), orchard(graft(set_on=set_on)), ALMANAC, (own,), today)
            assert [task.season for task in made.tasks] == [season], (set_on, today)


def test_an_unknown_wrap_is_looked_at_in_its_sixth_week_and_off_by_the_end_of_its_first_summer() -> None:
    for set_on, last in ((SET_ON, date(2025, 7, 19)), (date(2025, 6, 25), date(2025, 8, 31))):
        (task,) = [
            task
            for task in planned(orchard(graft(wrap="", set_on=set_on)), set_on + timedelta(days=45)).tasks
            if task.template == "wraps-unknown"
        ]
        assert task.window.opens == set_on + timedelta(weeks=6)
        assert task.window.closes == last


def test_a_graft_that_bears_and_came_in_as_it_is_has_no_wrap_job_but_the_winter_check_names_it() -> None:
    old = graft(state="bearing", set_on=date(2019, 4, 14))
    assert planned(orchard(old), date(2026, 1, 20)).wraps == ()
    made = plan(SiteLimits(), orchard(old), ALMANAC, TEMPLATES, date(2026, 1, 20))
    (check,) = [task for task in made.tasks if task.template == "check-labels-and-ties" and "/2026" in task.key]
    assert check.because[0] == "No word that the wrap is off: Red Lamp (g1). Look there first."
    said = orchard(old, ticks=(Tick("wraps-tape-pome/t1/2019", "g1", date(2019, 8, 1), "off"),))
    (check,) = [
        task
        for task in plan(SiteLimits(), said, ALMANAC, TEMPLATES, date(2026, 1, 20)).tasks
        if task.template == "check-labels-and-ties" and "/2026" in task.key
    ]
    assert not check.because[0].startswith("No word")


def test_a_graft_that_bears_early_and_came_in_as_it_is_is_asked_about() -> None:
    young = graft(state="bearing", set_on=date(2024, 4, 14))
    assert [wrap.graft for wrap in planned(orchard(young), date(2026, 1, 20)).wraps] == ["g1"]


@pytest.mark.parametrize(("method", "wrap"), [("Cleft", "pvc tape"), ("CLEFT", "PVC Tape"), ("t-bud", "Raffia")])
def test_capitals_make_no_other_method_or_wrap(method: str, wrap: str) -> None:
    made = planned(orchard(graft(method=method, wrap=wrap)), date(2025, 6, 10))
    assert made.gaps == ()
    (task,) = [task for task in made.tasks if task.window.stays]
    assert task.template == ("cut-bud-ties" if method == "t-bud" else "wraps-tape-pome")


def test_tasting_the_first_fruit_does_not_make_a_forgotten_wrap_vanish() -> None:
    took = Tick("check-take/t1/2025", "g1", date(2025, 5, 20), "took")
    made = planned(orchard(graft(state="bearing"), ticks=(took,)), date(2027, 9, 20))
    assert [wrap.graft for wrap in made.wraps] == ["g1"]
    assert [unit.state for task in made.tasks for unit in task.units] == ["late"]


def test_the_wraps_still_on_are_listed_oldest_first_with_days_heat_and_job() -> None:
    young = graft("g2", set_on=date(2025, 5, 1), wrap="", tree="t2", method="")
    made = planned(orchard(young, graft()), date(2025, 6, 1))
    oldest, second = made.wraps
    assert (oldest.graft, oldest.days, oldest.heat, oldest.state) == ("g1", 50, 500.0, "open")
    assert (oldest.task, oldest.by) == ("wraps-tape-pome/t1/2025", date(2025, 7, 19))
    assert (second.graft, second.wrap, second.days, second.state) == ("g2", "", 31, "coming")
    assert second.task == "wraps-unknown/t2/2025"


def test_where_the_person_left_the_rule_out_the_wrap_is_listed_all_the_same() -> None:
    made = plan(SiteLimits(), orchard(graft()), ALMANAC, (), date(2025, 6, 1))
    assert [(wrap.graft, wrap.state, wrap.task, wrap.by) for wrap in made.wraps] == [("g1", "no job", "", None)]


def test_a_job_that_stays_can_be_put_off_and_gets_a_day_of_the_week() -> None:
    today = date(2025, 11, 20)
    week = fit_week(planned(orchard(graft()), today))
    (task,) = week.tasks
    assert task.days
    assert not week.short


def test_what_the_records_leave_open_is_named_with_what_to_do_about_it() -> None:
    records = orchard(
        graft("g1", wrap="", state="took"),
        graft("g2", wrap="bandage", state="took"),
        graft("g3", method="", state="took"),
        graft("g4", method="nurse root", wrap="none", state="took"),
        graft("g5", state="planned", set_on=None, method="", wrap=""),
        graft("g6", state="bearing", method="", wrap="", set_on=date(2019, 4, 1)),
        graft("g7", state="failed", method="", wrap=""),
        graft("g8", wrap="none"),
    )
    made = plan(SiteLimits(), records, ALMANAC, TEMPLATES, date(2026, 4, 14))
    told = {(gap.kind, gap.word): gap for gap in made.gaps}
    assert {key: gap.grafts for key, gap in told.items()} == {
        ("no method", ""): ("g5",),
        ("take", ""): ("g8",),
        ("wrap", ""): ("g1",),
        ("wrap word", "bandage"): ("g2",),
        ("method", ""): ("g3",),
        ("method word", "nurse root"): ("g4",),
    }
    offered = [method for method, _, _ in told["no method", ""].methods]
    assert {"whip and tongue", "cleft", "bark", "chip bud", "T-bud"} <= set(offered)
    assert all(closes >= date(2026, 4, 14) for _, _, closes in told["no method", ""].methods)


def test_a_wrap_that_leaves_the_list_for_its_age_is_said_for_a_year() -> None:
    old = orchard(graft(wrap="bandage", state="bearing", set_on=date(2023, 4, 10)))

    def told(today: date) -> list[str]:
        return [gap.kind for gap in plan(SiteLimits(), old, ALMANAC, TEMPLATES, today).gaps]

    assert [wrap.graft for wrap in planned(old, date(2026, 4, 8)).wraps] == ["g1"]
    assert told(date(2026, 4, 8)) == ["wrap word"]
    assert planned(old, date(2026, 4, 9)).wraps == ()
    assert told(date(2026, 4, 9)) == told(date(2027, 4, 8)) == ["wrap given up"]
    assert told(date(2027, 4, 9)) == []
    (sentence,) = gap_sentences(plan(SiteLimits(), old, ALMANAC, TEMPLATES, date(2026, 4, 9)).gaps)
    assert sentence.startswith("1 graft (g1) is bearing and set three years ago or more, and nobody said")
    said = orchard(graft(wrap="off", state="bearing", set_on=date(2023, 4, 10)))
    assert planned(said, date(2026, 4, 9)).gaps == ()


@pytest.mark.parametrize("word", ["parafilm", "Parafilm", "grafting film"])
def test_parafilm_counts_as_film(word: str) -> None:
    named, film = (planned(orchard(graft(wrap=one)), date(2025, 6, 10)) for one in (word, "film"))
    assert named.gaps == ()
    assert [task.key for task in named.tasks] == [task.key for task in film.tasks]


@pytest.mark.parametrize("word", ["rind", "Rind graft", "inlay bark"])
def test_a_rind_graft_is_a_bark_graft(word: str) -> None:
    named, bark = (planned(orchard(graft(method=one)), date(2025, 6, 10)) for one in (word, "bark"))
    assert named.gaps == ()
    assert [task.key for task in named.tasks] == [task.key for task in bark.tasks]

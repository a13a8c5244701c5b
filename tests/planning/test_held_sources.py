"""Holds follow the trees: those that bear a variety whatever stands beneath, those of one name, those of a bundle."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import pytest
from msgspec.structs import replace
from steady_almanac import SteadyAlmanac

from tendwork.orchard import sprays
from tendwork.orchard.outcomes import ARBORIST
from tendwork.orchard.records import Graft, Records, Spray, Tick, Tree, Trouble, Wood
from tendwork.orchard.sprays import latest_sprays
from tendwork.orchard.tree_names import TreesByWord, twin_sentences
from tendwork.orchard.wood_balance import wood_balance
from tendwork.planning.fit import fit_week
from tendwork.planning.gaps import open_questions
from tendwork.planning.held_back import speaks_against
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan, Task
from tendwork.planning.vocabulary import Anchor, Effort, Repeats, Template, Tool, Where
from tendwork.planning.work_bars import TickBars, barred_on
from tendwork.view.week import short_where

DAY = date(2026, 6, 4)
TOOLS = {
    "pruning saw": Tool("pruning saw", uses=("cuts wood", "saws")),
    "grafting knife": Tool("grafting knife", uses=("cuts wood",)),
}
TREES = (
    Tree("p1", "Path pear", "pear", height_m=1.5),
    Tree("q1", "Wall quince", "quince", height_m=1.5),
    Tree("q2", "Low quince", "quince", height_m=1.5),
    Tree("s1", "Cherry", "sweet cherry", height_m=1.5),
)
BLIGHT = Trouble(date(2026, 5, 20), "p1", "fire blight")
SAID = (
    "Fire blight was seen on Path pear on 20 May: a winter must pass first,"
    " so no wood or buds from it before 1 Jun 2027."
)
SHORT = "No wood or buds from Path pear before 1 Jun 2027: fire blight was seen on 20 May."
CUT_LAST = "Fire blight was seen on Path pear on 20 May: do this tree last, and clean the blade before and after."


def template(**changes: object) -> Template:
    base: dict[str, object] = {
        "id": "care", "title": "Care", "part": "aftercare", "each": "graft", "opens": Anchor(date="06-01"),
        "closes": Anchor(date="06-20"), "lapses": Anchor(date="07-10"), "effort": Effort(setup_minutes=5),
    }  # fmt: skip
    return Template(**{**base, **changes})  # type: ignore[arg-type]


COLLECT = template(
    id="collect", part="wood", each="variety", acts=("takes wood",), where=Where(state=("planned",)),
    outcomes=("cut", "not needed"), tools=("grafting knife",),
)  # fmt: skip
BUD = replace(COLLECT, id="bud", part="second chance", each="graft", outcomes=("set", "not yet"))
PRUNE = template(
    id="prune", part="pruning", each="site", tools=("pruning saw",), where=Where(species=("pear", "quince"))
)


def bears(identity: str, tree: str, variety: str = "Comice") -> Graft:
    return Graft(identity, tree, variety, state="bearing", set_on=date(2020, 4, 1), height_m=1.0)


def planned(identity: str, tree: str, variety: str = "Comice") -> Graft:
    return Graft(identity, tree, variety)


def sprayed(tree: str, back: int | None = 30, day: date = DAY) -> Spray:
    return Spray(day, tree, "Slow", back, back)


def made(*templates: Template, on: date = DAY, trees: tuple[Tree, ...] = TREES, **records: object) -> Plan:
    held = Records(trees=trees, **records)  # type: ignore[arg-type]
    return plan(SiteLimits(), held, SteadyAlmanac(), templates, on, tools=TOOLS)


def only(held: Plan, subject: str = "site") -> Task:
    (task,) = [task for task in held.tasks if task.subject == subject and task.season == held.season]
    return task


@pytest.mark.parametrize(("job", "subject"), [(COLLECT, "site"), (BUD, "q1")])
def test_a_variety_of_a_sick_pear_is_held_though_it_goes_onto_a_quince(job: Template, subject: str) -> None:
    task = only(made(job, grafts=(bears("g1", "p1"), planned("g2", "q1")), troubles=(BLIGHT,)), subject)
    assert (task.state, task.units[0].held_by, task.units[0].held_until) == ("held", SAID, date(2027, 6, 1))


def test_stone_fruit_follows_its_own_family_and_pome_fruit_of_the_same_name_does_not_count() -> None:
    trees = (*TREES, Tree("b1", "Plum", "plum", height_m=1.5))
    grafts = (bears("g1", "s1", "Early"), bears("g2", "p1", "Early"), planned("g3", "b1", "Early"))
    gum = Trouble(date(2026, 5, 20), "s1", "gum")
    assert only(made(COLLECT, trees=trees, grafts=grafts, troubles=(gum,))).state == "held"
    assert only(made(COLLECT, trees=trees, grafts=grafts, troubles=(BLIGHT,))).state == "open"


def test_trees_of_its_own_species_come_first_and_the_sick_one_of_another_is_still_named() -> None:
    grafts = (bears("g1", "p1"), bears("g2", "q2"), planned("g3", "q1"))
    task = only(made(COLLECT, grafts=grafts, troubles=(BLIGHT,)))
    assert (task.state, task.not_now) == ("open", (SHORT,))


def test_a_job_for_the_orchard_names_the_tree_that_is_barred_beside_it() -> None:
    job = template(id="watch", each="site", part="upkeep")
    task = only(made(job, sprays=(sprayed("s1"),), grafts=()))
    assert task.state == "open"
    assert task.not_now == ("Not Cherry before 5 Jul: sprayed with Slow on 4 Jun, 30 days.",)
    unknown = only(made(job, sprays=(sprayed("s1", None),)))
    assert unknown.not_now[0].startswith("Not Cherry yet: sprayed with Slow on 4 Jun, days to return and days to")
    assert only(made(job)).not_now == ()


def test_where_a_job_cuts_the_tree_with_fire_blight_comes_last_this_season_and_the_next() -> None:
    assert only(made(PRUNE, troubles=(BLIGHT,))).mind == (CUT_LAST,)
    assert only(made(replace(PRUNE, each="tree"), troubles=(BLIGHT,)), "p1").mind == (CUT_LAST,)
    assert only(made(replace(PRUNE, each="tree"), troubles=(BLIGHT,)), "q1").mind == ()
    assert only(made(replace(PRUNE, tools=()), troubles=(BLIGHT,))).mind == ()
    next_year = only(made(PRUNE, troubles=(BLIGHT,), on=date(2027, 6, 4))).mind[0]
    assert next_year == CUT_LAST.replace("20 May", "20 May 2026")
    assert only(made(PRUNE, troubles=(BLIGHT,), on=date(2028, 6, 4))).mind == ()


def test_several_sick_trees_are_all_named_with_their_days() -> None:
    more = Trouble(date(2026, 6, 1), "q1", "fire blight")
    assert only(made(PRUNE, troubles=(BLIGHT, more))).mind == (
        "Fire blight was seen on Path pear on 20 May and on Wall quince on 1 Jun: do these trees last, and clean the"
        " blade before and after each.",
    )


def test_the_blade_for_wood_of_a_pear_that_goes_onto_a_quince_is_cleaned_with_bleach() -> None:
    tools = TOOLS | {"alcohol wipes": Tool("alcohol wipes", uses=("cleans blades",))}
    records = Records(trees=TREES, grafts=(bears("g1", "p1"), planned("g2", "q1")), troubles=(BLIGHT,))
    (task,) = [one for one in plan(SiteLimits(), records, SteadyAlmanac(), (COLLECT,), DAY, tools=tools).tasks
               if one.season == 2026]  # fmt: skip
    assert any("bleach" in tool for tool in task.tools)


TWINS = (Tree("p1", "Old Tom", "pear", height_m=1.5), Tree("p2", "old tom", "pear", height_m=1.5), TREES[3])


def test_two_trees_of_one_name_are_told_apart_in_what_holds_them_and_where_they_stand() -> None:
    job = template(each="tree", part="pruning")
    held = made(job, trees=TWINS, sprays=(sprayed("p2"),))
    assert only(held, "p2").units[0].held_by.startswith("old tom (p2) was sprayed with Slow")
    assert [only(held, one).place for one in ("p1", "p2", "s1")] == ["Old Tom (p1)", "old tom (p2)", "Cherry"]
    assert [short_where(only(held, one)) for one in ("p1", "p2", "s1")] == ["Old Tom (p1)", "old tom (p2)", "Cherry"]
    assert twin_sentences(TREES) == ()
    assert twin_sentences(TWINS)[0].startswith('Trees p1 and p2 have one name, "Old Tom"')


@pytest.mark.parametrize("word", ["p1", "P1", "path  PEAR", "Path pear (p1)", "path pear (P1)"])
def test_a_bundle_is_barred_however_its_tree_is_written(word: str) -> None:
    bundle = Wood("w1", "Comice", "pear", 3, date(2026, 1, 5), came_from=word)
    send = template(id="send", part="wood", each="wood", acts=("carries wood",), work_at="indoors")
    (unit,) = only(made(send, wood=(bundle,), troubles=(BLIGHT,))).units
    assert unit.held_by.startswith("Comice (w1) was cut from Path pear, where fire blight was seen on 20 May.")
    records = Records(trees=TREES, wood=(replace(bundle, cut_on=None),))
    assert wood_balance(records, date(2026, 1, 10), ())[0].cut_from == (word,)


def test_a_bundle_whose_word_fits_two_trees_is_barred_by_either_and_says_so() -> None:
    bundle = Wood("w1", "Comice", "pear", 3, date(2026, 1, 5), came_from="Old Tom")
    send = template(id="send", part="wood", each="wood", acts=("carries wood",), work_at="indoors")
    (unit,) = only(made(send, trees=TWINS, wood=(bundle,), troubles=(replace(BLIGHT, tree="p2"),))).units
    assert unit.held_by == (
        "Comice (w1) was cut from Old Tom, which may be p1 or p2, and on old tom (p2) fire blight was seen on 20 May."
        " Use none of it, and give none away."
    )
    exact = replace(bundle, came_from="p1")
    assert only(made(send, trees=TWINS, wood=(exact,), troubles=(replace(BLIGHT, tree="p2"),))).state == "open"
    assert TreesByWord(TWINS).meant("a neighbour") == ()


@pytest.mark.parametrize(
    ("south", "seen", "last_barred"),
    [
        (False, date(2026, 5, 20), date(2027, 5, 31)),
        (False, date(2026, 11, 20), date(2027, 5, 31)),  # on a tree at rest: strikes of the summer before
        (True, date(2026, 5, 20), date(2026, 11, 28)),
        (True, date(2026, 11, 20), date(2027, 11, 28)),
    ],
)
def test_wood_cut_before_the_next_season_s_dormant_time_is_over_is_doubted(
    south: bool, seen: date, last_barred: date
) -> None:
    records = Records(trees=TREES, grafts=(bears("g1", "p1"),), troubles=(replace(BLIGHT, day=seen),))
    bars = TickBars(records, (COLLECT,), south)

    def against(day: date) -> str:
        return bars.against(Tick("collect/site/2027", "comice.pear", day, "cut"))

    assert against(last_barred).startswith("Fire blight was seen on Path pear")
    assert against(last_barred + timedelta(days=1)) == ""


@pytest.mark.parametrize(
    ("south", "seen", "season_began"),
    [(False, date(2026, 5, 20), date(2025, 11, 1)), (True, date(2026, 11, 20), date(2026, 5, 1))],
)
def test_wood_cut_in_the_season_in_which_its_tree_was_sick_is_barred(
    south: bool, seen: date, season_began: date
) -> None:
    bundle = Wood("w1", "Comice", "pear", 3, season_began, came_from="p1")
    earlier = replace(bundle, id="w2", cut_on=season_began - timedelta(days=1))
    clean = replace(bundle, id="w3", came_from="q1")
    records = Records(trees=TREES, wood=(bundle, earlier, clean), troubles=(replace(BLIGHT, day=seen),))
    barred = barred_on(records, seen + timedelta(days=20), south)
    assert {identity: (bar.trouble.tree, bar.until) for identity, bar in barred.items()} == {"w1": ("p1", None)}


def test_a_tick_of_today_is_doubted_where_the_tree_is_barred_today_though_the_job_opens_later() -> None:
    job = template(each="tree", part="upkeep")
    coming = made(job, on=date(2026, 5, 20), sprays=(sprayed("s1", 5, date(2026, 5, 19)),))
    task = only(coming, "s1")
    assert (task.state, task.units[0].held_by) == ("coming", "")
    (said,) = speaks_against(task, ("s1",), "done")
    assert said.startswith("Cherry was sprayed with Slow on 19 May: its label says 5 days to return")
    assert speaks_against(task, ("s1",), "skipped") == ()
    assert speaks_against(only(coming, "p1"), ("p1",), "done") == ()
    late = only(made(job, on=date(2026, 7, 12), sprays=(sprayed("s1", 5, date(2026, 7, 11)),)), "s1")
    assert late.state == "missed"
    assert speaks_against(late, ("s1",), "done")


def test_what_an_arborist_has_stays_in_sight_though_its_graft_fits_the_job_no_more() -> None:
    job = template(tools=("pruning saw",), where=Where(state=("took",)), repeats=Repeats(every_days=7, times=2))
    high = replace(bears("g1", "p1"), height_m=4.0)
    other = replace(bears("g2", "p1"), state="took")
    ticks = (Tick("care/p1/2026.2", "g1", DAY, ARBORIST), Tick("care/p1/2026.2", "g2", DAY, "done"))
    held = made(job, on=date(2026, 12, 1), grafts=(high, other), ticks=ticks)
    (task,) = [one for one in fit_week(held).tasks if one.key == "care/p1/2026.2"]
    assert (task.state, [unit.id for unit in task.units if unit.state == "held"]) == ("held", ["g1"])


MANY = tuple(Tree(f"t{number}", f"Tree {number}", "apple", height_m=1.5) for number in range(400))


def test_one_spray_on_all_of_many_trees_is_one_sentence() -> None:
    job = template(id="watch", each="site", part="upkeep")
    (unit,) = only(made(job, trees=MANY, sprays=tuple(sprayed(tree.id) for tree in MANY))).units
    assert unit.held_by == (
        "Tree 0, Tree 1 and 398 more were sprayed with Slow on 4 Jun: its label says 30 days to return,"
        " so no work in them up to and including 4 Jul."
    )
    some = only(made(job, trees=MANY, sprays=tuple(sprayed(tree.id) for tree in MANY[:9])))
    assert some.not_now == ("Not Tree 0, Tree 1 and 7 more before 5 Jul: sprayed with Slow on 4 Jun, 30 days.",)
    records = Records(trees=MANY, sprays=tuple(sprayed(tree.id, None) for tree in MANY))
    (gap,) = open_questions(Orchard(records, (), False, DAY), DAY)
    assert (gap.tree, gap.trees) == ("Tree 0 (t0), Tree 1 (t1) and 398 more", 400)


def test_sprays_that_are_long_over_are_walked_once_and_not_for_every_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    walked = 0

    def counting(held: Iterable[Spray]) -> tuple[Spray, ...]:
        nonlocal walked
        found = latest_sprays(held)
        walked += len(found)
        return found

    monkeypatch.setattr(sprays, "latest_sprays", counting)
    old = tuple(sprayed(f"t{number % 400}", 3, date(2010, 1, 1) + timedelta(days=number)) for number in range(2000))
    held = made(template(each="tree", part="pruning"), trees=MANY, sprays=(*old, sprayed("t0")))
    assert [task.subject for task in held.tasks if task.state == "held"] == ["t0"]
    assert walked < 3 * len(old)

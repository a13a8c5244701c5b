"""Checks of the care of grafts and of safe work, on the shipped rules, cards and tools; who says so stands by each row.

A check is called and raises AssertionError where what is shipped does not answer. Trees and grafts are invented.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, timedelta
from itertools import pairwise

from timing_orchard import almanac_of

from tendwork.almanac.seasons import season_of
from tendwork.folder.templates import load_templates
from tendwork.orchard.methods import METHODS
from tendwork.orchard.records import Graft, Records, Tick, Tree, Trouble
from tendwork.orchard.troubles import bar_on
from tendwork.orchard.variety_reference import NO_REFERENCE
from tendwork.orchard.wraps import NO_WRAP, SAME_WRAPS, WRAPS
from tendwork.planning.adjustments import Adjustments, adjusted
from tendwork.planning.cautions import IF_YOU_LEAVE, Height, Work, cautions_of, tools_of
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Caution, Task, Unit, Window
from tendwork.planning.ripe_events import ripening_of
from tendwork.planning.vocabulary import Stake, Template
from tendwork.planning.work_weather import WorkWeather
from tendwork.species import family_of, stage_named

LOADED = load_templates(None)
RULES = {template.id: template for template in LOADED.templates}
CARDS, TOOLS = LOADED.cards, LOADED.tools
OUTDOORS = [rule for rule in RULES.values() if rule.work_at != "indoors" and rule.each != "wood"]
IN_THE_CROWN = [rule for rule in OUTDOORS if rule.work_at in ("crown", "limb")]
LOADED_RULES = adjusted(tuple(RULES.values()), Adjustments())
CALM, COLD, WARM = "maritime", "cold continental", "warm"
SET_ON, YEAR = date(2027, 4, 15), 2027
ANY_DAY = Window(SET_ON, SET_ON, SET_ON, SET_ON)


def beside(rule: Template, height: Height) -> dict[str, Caution]:
    """The cautions beside work on one unit at such a height, while trees are in leaf."""
    unit = Unit("u", "u", "open", ANY_DAY, above_reach=height == "above", height_unknown=height == "unknown")
    if rule.work_at == "ground":
        unit = Unit("u", "u", "open", ANY_DAY)  # as the planner has it: the ground is never above reach
    tools = tools_of(rule, TOOLS, may_be_aloft=height != "low")
    return {one.card: one for one in cautions_of(Work(rule, tools, (unit,), 2.0))}


def height_unknown_is_not_low(rule: Template) -> bool:
    """Whether the ladder's card stands beside it: "if you leave the ground" where no height is noted."""
    return beside(rule, "unknown")["ladder"].only == IF_YOU_LEAVE and not beside(rule, "above")["ladder"].only


def keeps_off_blight(rule: Template) -> bool:
    """Whether a step keeps off trees with fire blight; stone fruit has none, and leaves the rest to the card."""
    species = rule.where.species
    stone_only = species is not None and {*species} <= {*family_of("plum")}
    return stone_only or "blight" in " ".join(rule.steps).casefold()


def uses(rule: Template, *words: str) -> bool:
    return any(word in TOOLS[name].uses for name in rule.tools for word in words)


def every(rules: Iterable[Template], holds: Callable[[Template], object]) -> Callable[[], None]:
    """A check of all these rules, of which there must be some."""

    def check() -> None:
        held = list(rules)
        assert held
        assert not [rule.id for rule in held if not holds(rule)]

    return check


def card_says(card: str, *words: str) -> Callable[[], None]:
    def check() -> None:
        text = " ".join((CARDS[card].line, *CARDS[card].points, *CARDS[card].first_aid))
        assert not [word for word in words if word not in text]

    return check


def rule_says(rule: str, *words: str) -> Callable[[], None]:
    def check() -> None:
        text = " ".join(RULES[rule].steps).casefold()
        assert not [word for word in words if word not in text]

    return check


def has_stake(stake: Stake, *rules: str) -> Callable[[], None]:
    return every([RULES[rule] for rule in rules], lambda rule: rule.stake == stake)


def tasks(
    *grafts: Graft,
    today: date = date(YEAR, 6, 1),
    tree: Tree | None = None,
    site: str = CALM,
    troubles: tuple[Trouble, ...] = (),
    ticks: tuple[Tick, ...] = (),
) -> list[Task]:
    """This season's jobs of an orchard of one tree, with nothing adjusted."""
    records = Records((tree or Tree("t", "Tree", "apple", planted=1990),), grafts, ticks=ticks, troubles=troubles)
    almanac = almanac_of(site, today)
    ripe = ripening_of(records, NO_REFERENCE, almanac, False, today)
    made = plan(SiteLimits(), records, almanac, LOADED_RULES, today, ripe=ripe)
    return [task for task in made.tasks if task.season == made.season]


def job(rule: str, *grafts: Graft, **more: object) -> Task:
    """The first round of a job. Raises ValueError where there is none."""
    found = [task for task in tasks(*grafts, **more) if task.template == rule and task.round == 1]  # type: ignore[arg-type]
    (one,) = found
    return one


def graft(method: str = "whip and tongue", wrap: str = "film", aged: int = 0, **more: object) -> Graft:
    state = "took" if aged else "set"
    set_on = SET_ON.replace(year=YEAR - aged)
    return Graft("g", "t", "Lamp", method, wrap, state=state, set_on=set_on, **more)  # type: ignore[arg-type]


def asked(grafted: Graft, **more: object) -> set[str]:
    return {task.template for task in tasks(grafted, **more)}  # type: ignore[arg-type]


def day_of(stage: str, today: date, site: str = CALM) -> date:
    """When apple comes to a stage in the season of a day."""
    found = almanac_of(site, today).stage("apple", stage_named("apple", stage) or stage, season_of(today)).date
    assert found is not None
    return found


def wrap_is_off_by(wrap: str, days: int, site: str = WARM) -> Callable[[], None]:
    """A wrap's job closes within so many days, by the warmth of a place."""

    def check() -> None:
        (one,) = [task for task in tasks(graft(wrap=wrap), site=site) if RULES[task.template].takes_wraps_off]
        assert (one.window.closes - SET_ON).days <= days

    return check


def blight_bars_a_year() -> None:
    seen = (Trouble(date(2026, 6, 1), "t", "fire blight"),)
    bar = bar_on(seen, "t", date(2026, 8, 1), lambda day: date(day.year - (day.month < 11), 11, 1))
    assert bar is not None
    assert bar.last is not None
    assert bar.last >= date(2027, 3, 1)


def ticks_from_april_to_october() -> None:
    weather = WorkWeather(almanac_of(CALM, date(YEAR, 1, 15)), south=False)
    for month, is_asked in ((1, False), (4, True), (6, True), (9, True)):
        found = {one.card for one in weather.asks(date(YEAR, month, 15), date(YEAR, month, 20))}
        assert ("ticks" in found) == is_asked, month


def suckers_are_kept_below_a_bridge() -> None:
    bridge = graft("bridge", "PVC tape")
    assert {task.state for task in tasks(bridge) if task.template == "suckers"} == {"held"}


def bridges_are_looked_at_every_three_to_four_weeks_until_august() -> None:
    rounds = [task.window for task in tasks(graft("bridge", "PVC tape")) if task.template == "rub-off-bridges"]
    apart = {(later.opens - one.opens).days for one, later in pairwise(rounds)}
    assert apart
    assert 21 <= min(apart) <= max(apart) <= 28
    assert rounds[-1].opens <= date(YEAR, 8, 31)


def a_wrap_nobody_noted_is_looked_at_and_off_by_the_fourteenth_week() -> None:
    for wrap in ("", "who knows"):
        look, take_off = job("look-at-wraps", graft(wrap=wrap)), job("wraps-unknown", graft(wrap=wrap))
        weeks = [(day - SET_ON).days / 7 for day in (look.window.opens, take_off.window.opens, take_off.window.best)]
        assert weeks[0] <= 5
        assert weeks[1:] == [6, 8]
        assert (take_off.window.closes - SET_ON).days <= 14 * 7 or take_off.window.closes <= date(YEAR, 10, 31)


def tape_is_off_by_leaf_fall_where_warmth_never_suffices() -> None:
    today = date(YEAR, 7, 5)
    late = Graft("g", "t", "Lamp", "bark", "electrical tape", state="set", set_on=date(YEAR, 6, 24))
    assert job("wraps-tape-pome", late, today=today, site="Alaska").window.closes <= day_of(
        "leaf fall", today, "Alaska"
    )


def no_word_for_a_wrap_is_left_without_a_rule() -> None:
    for wrap in (*WRAPS, *SAME_WRAPS, "string or wire", "polyethylene", "not known", ""):
        rules = [one for one in asked(graft(wrap=wrap)) if RULES[one].takes_wraps_off]
        assert len(rules) == (0 if wrap == NO_WRAP else 1), wrap


def a_wrap_stays_overdue_until_it_is_ticked() -> None:
    for wrap in ("PVC tape", "raffia", "string", "wire", "budding rubber", ""):
        found = [
            task
            for task in plan(
                SiteLimits(),
                Records((Tree("t", "Tree", "apple"),), (graft(wrap=wrap),)),
                almanac_of(CALM, date(YEAR + 1, 1, 20)),
                LOADED_RULES,
                date(YEAR + 1, 1, 20),
            ).tasks
            if RULES[task.template].takes_wraps_off
        ]
        assert [task.state for task in found] == ["late"], wrap
        assert "opposite the scion" in " ".join(found[0].steps)
        assert "splint" in " ".join(found[0].steps)


def january_names_each_graft_whose_wrap_nobody_took_off() -> None:
    winter = job("check-labels-and-ties", graft(wrap="PVC tape", aged=1), today=date(YEAR, 1, 20))
    assert any("wrap is off" in words and "(g)" in words for words in winter.because)


def water_is_for_young_trees_weekly_from_petal_fall_through_august() -> None:
    for planted, is_asked in ((2027, True), (2025, True), (2024, False), (1990, False), (None, False)):
        tree = Tree("t", "Tree", "apple", planted=planted)
        rounds = [task.window for task in tasks(graft(), tree=tree) if task.template == "water-in-drought"]
        assert bool(rounds) == is_asked, planted
        if is_asked:
            assert rounds[0].opens == day_of("petal fall", date(YEAR, 6, 1))
            assert date(YEAR, 8, 18) < rounds[-1].opens <= date(YEAR, 8, 31)
            assert {(later.opens - one.opens).days for one, later in pairwise(rounds)} == {7}


def trees_of_two_years_are_not_let_dry_out_until_leaf_fall() -> None:
    leaf_fall = day_of("leaf fall", date(YEAR, 6, 1))
    for planted, is_asked in ((2027, True), (2026, True), (2025, True), (2024, False), (None, False)):
        tree = Tree("t", "Tree", "apple", planted=planted)
        rounds = [task.window for task in tasks(graft(), tree=tree) if task.template == "water-young-in-autumn"]
        assert bool(rounds) == is_asked, planted
        if is_asked:
            assert rounds[0].opens == date(YEAR, 9, 1)
            assert leaf_fall - timedelta(days=28) < rounds[-1].opens < leaf_fall
    rule_says("water-young-in-autumn", "never let these trees dry out", "desert", "sparingly")()
    for rule in RULES.values():
        assert not ("water" in rule.id and "none after" in " ".join(rule.steps)), rule.id


def guards_are_for_trees_to_eight_years_and_gnawed_ones() -> None:
    winter = date(YEAR, 1, 15)
    for planted, seen, is_asked in ((2019, (), True), (2018, (), False), (None, (), True), (1990, ("voles",), True)):
        noted = tuple(Trouble(date(2025, 2, 1), "t", word) for word in seen)
        found = tasks(tree=Tree("t", "Tree", "apple", planted=planted), today=winter, troubles=noted)
        assert ("fit-guards" in {task.template for task in found}) == is_asked, planted


def unions_are_looked_at_in_winter_and_after_bloom_for_five_years() -> None:
    for aged in range(12):
        found = asked(graft(aged=aged), today=date(YEAR, 6, 1))
        assert {"check-unions", "check-unions-after-bloom"} & found == (
            {"check-unions", "check-unions-after-bloom"} if 1 <= aged <= 5 else set()
        )
    assert RULES["check-unions"].visit == RULES["check-labels-and-ties"].visit
    winter = job("check-unions", graft(aged=2), today=date(YEAR, 1, 20)).window
    assert date(YEAR, 1, 1) <= winter.opens <= winter.closes <= date(YEAR, 2, 28)
    petal_fall = day_of("petal fall", date(YEAR, 6, 1))
    assert job("check-unions-after-bloom", graft(aged=2)).window.best == petal_fall + timedelta(days=10)


def unions_of_thick_limbs_are_looked_at_to_the_tenth_year() -> None:
    for method, aged, is_asked in (("cleft", 6, True), ("bark", 10, True), ("bark", 11, False), ("side", 7, False)):
        assert ("check-old-unions" in asked(graft(method, aged=aged))) == is_asked


def braces_stay_until_the_second_winter() -> None:
    for aged in range(6):
        assert ("brace-off" in asked(graft("bark", aged=aged), today=date(YEAR, 1, 20))) == (aged == 2)
    set_on = SET_ON.replace(year=YEAR - 2)
    off = job("brace-off", graft("bark", aged=2), today=date(YEAR, 1, 20)).window.opens
    assert (off - set_on).days > 365 + 180


def nothing_is_bent_in_its_first_summer() -> None:
    for method in METHODS:
        assert "second-year-training" not in asked(graft(method))
    first_summer = [rule for rule in RULES.values() if rule.where.age_years == (0, 0)]
    bends = [rule.id for rule in first_summer if any("spread" in step.casefold() for step in rule.steps)]
    assert bends == []


def training_is_done_while_dormant() -> None:
    for method in ("whip and tongue", "cleft", "bark", "side"):
        window = job("second-year-training", graft(method, aged=1), today=date(YEAR, 2, 20)).window
        assert window.best == day_of("swollen bud", date(YEAR, 2, 20))
        assert window.closes <= day_of("green tip", date(YEAR, 2, 20)) + timedelta(days=7)


def props_come_six_weeks_before_the_first_fruit_ripens_and_by_mid_july() -> None:
    old = Tree("t", "Tree", "plum", planted=2000)
    for ripens, opens in (((7, 28), date(YEAR, 6, 16)), ((9, 28), date(YEAR, 7, 15)), (None, date(YEAR, 7, 15))):
        bears = Graft("g", "t", "Lamp", "cleft", "film", state="bearing", set_on=date(2015, 4, 1), ripens_from=ripens)
        window = job("prop-heavy-limbs", bears, tree=old, today=date(YEAR, 6, 10)).window
        late = timedelta(days=14)  # by which this season is later than the day noted, at the most
        assert window.opens <= min(opens + late, date(YEAR, 7, 15))
        assert abs(window.opens - opens) <= late or ripens is None or ripens > (8, 26)


def a_sign_raises(rule: str, word: str) -> Callable[[], None]:
    def check() -> None:
        seen = Trouble(date(YEAR, 5, 20), "t", word)
        assert job(rule, troubles=(seen,)).window.opens == seen.day
        assert rule not in {task.template for task in tasks()}

    return check


def buds_that_were_cut_back_are_rubbed_free_and_dormant_ones_get_no_light() -> None:
    for aged in (0, 1):
        bud = Graft("g", "t", "Lamp", "T-bud", "film", state="took", set_on=date(YEAR - aged, 8, 5))
        found = asked(bud, today=date(YEAR, 8, 20))
        assert ("rub-off-beside-buds" in found) == (aged == 1)
        assert any(rule.startswith("let-in-light") for rule in found) == (aged == 1)


def bench_grafts_are_planted_out_bagged_and_watered() -> None:
    own = {"plant-out-bench-grafts", "bags-off-bench-grafts", "water-bench-grafts", "water-in-drought"}
    new = Tree("t", "New", "apple")
    assert own <= asked(graft("bench graft"), tree=new)
    planted = job("plant-out-bench-grafts", graft("bench graft"), tree=new, site=COLD).window
    assert planted.opens <= date(YEAR, 5, 10) <= planted.closes  # Oshkosh: after the risk of frost, early in May


def grave_jobs_never_lapse_unsaid() -> None:
    brace = job("brace-grafts", graft("bark"), today=date(YEAR, 9, 20))
    assert (brace.state, brace.is_lost) == ("missed", True)


CUTS_ABOVE = [rule for rule in IN_THE_CROWN if uses(rule, "cuts wood", "reaches up")]
HANDS = [rule for rule in IN_THE_CROWN if uses(rule, "needs both hands")]
SAWS = [rule for rule in IN_THE_CROWN if uses(rule, "saws")]
WIPES = [rule for rule in RULES.values() if {"alcohol wipes", "70 % alcohol or bleach mix"} & {*rule.tools}]
GIVES = [rule for rule in RULES.values() if "takes wood" in rule.acts]
UP: tuple[Height, ...] = ("above", "unknown")

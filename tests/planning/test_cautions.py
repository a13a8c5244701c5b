"""Which cautions stand beside a job, in situations one after the other: what is taken, how high, what is done, when.

The cards that heights bring follow the sources named in the cards; the temperatures from which heat and cold bring
theirs follow the US National Weather Service (heat index from 80 °F, sun up to 15 °F more; wind chill up to 50 °F) and
NIOSH 2010-115 (cold stress near freezing). Thunder, stings and ticks: common practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shipped import CARDS, TEMPLATES, TOOLS
from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tree
from tendwork.planning.cautions import IF_YOU_LEAVE, Work, cautions_of, tools_of
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Caution, Task, Unit, Window
from tendwork.planning.vocabulary import Anchor, Template, Tool

ON = {"winter": date(2026, 1, 20), "spring": date(2026, 4, 20), "summer": date(2026, 7, 10)}
MILD = (5.0, 13.0, "m")  # °C: asks for nothing but a look at the season
TABLE = {tool.id: tool for tool in TOOLS}
# No shipped job takes them, but a person's own may.
OWN_TOOLS = {
    "sprayer", "loppers", "ladder", "chainsaw", "secateurs", "hand pruners", "billhook", "axe", "hammer",
}  # fmt: skip


def job(tools: tuple[str, ...], on: date, **changes: object) -> Template:
    base: dict[str, object] = {
        "id": "job",
        "title": "Job",
        "part": "aftercare",
        "each": "graft",
        "opens": Anchor(date=f"{on:%m-%d}"),
        "closes": Anchor(date=f"{on + timedelta(days=9):%m-%d}"),
        "tools": tools,
    }
    return Template(**{**base, **changes})  # type: ignore[arg-type]


def planned(
    template: Template,
    on: date,
    height_m: float | None = 1.0,
    tree_m: float | None = None,
    weather: tuple[float, float, str] | None = MILD,
    south: bool = False,
    species: str = "apple",
) -> Task:
    """The one task of a template in an orchard of one tree with one graft, on a day in such weather."""
    tree = Tree("t1", "Old apple", species, height_m=tree_m)
    graft = Graft("g1", "t1", "Red Lamp", state="set", set_on=date(2025, 4, 1), height_m=height_m)
    days = {} if weather is None else {on + timedelta(days=step): weather for step in range(-2, 40)}
    records = Records(trees=(tree,), grafts=(graft,))
    made = plan(SiteLimits(south=south), records, SteadyAlmanac(days), (template,), on, tools=TABLE)
    (task,) = [task for task in made.tasks if task.window.opens <= on]
    return task


def shown(task: Task) -> list[str]:
    """The cards in their order; one with a question mark counts only if you leave the ground."""
    return [caution.card + ("?" if caution.only else "") for caution in task.cautions]


LOW, HIGH, UNKNOWN = 1.0, 3.0, None
# What is taken; how high the graft; where, what part and what is done; when and in which weather; the exact cards.
HAND = [
    ("a grafting knife low down", ("grafting knife",), LOW, {}, [
        "knife", "alcohol", "clean-blades", "ticks", "sprays",
    ]),
    (
        "a grafting knife above reach",
        ("grafting knife",),
        HIGH,
        {},
        ["both-hands", "ladder", "power-lines", "eyes", "knife", "alcohol", "clean-blades", "ticks", "sprays"],
    ),
    (
        "a grafting knife at a height that nobody noted",
        ("grafting knife",),
        UNKNOWN,
        {},
        ["both-hands?", "ladder?", "power-lines?", "eyes", "knife", "alcohol", "clean-blades", "ticks", "sprays"],
    ),
    ("a pruning saw low down", ("pruning saw",), LOW, {}, [
        "saw", "eyes", "alcohol", "clean-blades", "ticks", "sprays",
    ]),
    (
        "a pruning saw above reach",
        ("pruning saw",),
        HIGH,
        {},
        ["saw-aloft", "ladder", "power-lines", "eyes", "saw", "alcohol", "clean-blades", "ticks", "sprays"],
    ),
    (
        "a pruning saw at an unknown height",
        ("pruning saw",),
        UNKNOWN,
        {},
        ["saw-aloft?", "ladder?", "power-lines", "eyes", "saw", "alcohol", "clean-blades", "ticks", "sprays"],
    ),
    ("shears low down", ("bypass shears",), LOW, {}, ["saw", "eyes", "alcohol", "clean-blades", "ticks", "sprays"]),
    (
        "shears above reach cut overhead",
        ("bypass shears",),
        HIGH,
        {},
        ["ladder", "power-lines", "eyes", "saw", "alcohol", "clean-blades", "ticks", "sprays"],
    ),
    (
        "loppers above reach need both hands",
        ("loppers",),
        HIGH,
        {},
        ["both-hands", "ladder", "power-lines", "eyes", "saw", "alcohol", "clean-blades", "ticks", "sprays"],
    ),
    (
        "a pole pruner from the ground reaches lines",
        ("pole pruner",),
        LOW,
        {},
        ["saw", "power-lines", "eyes", "alcohol", "clean-blades", "ticks", "sprays"],
    ),
    (
        "a pole pruner above reach",
        ("pole pruner",),
        HIGH,
        {},
        ["saw-aloft", "ladder", "power-lines", "eyes", "saw", "alcohol", "clean-blades", "ticks", "sprays"],
    ),
    ("alcohol alone", ("alcohol wipes",), LOW, {}, ["alcohol", "ticks", "sprays"]),
    ("a bleach mix alone", ("bleach mix",), LOW, {}, ["bleach", "eyes", "ticks", "sprays"]),
    ("shears with a bleach mix need no alcohol", ("bypass shears", "bleach mix"), LOW, {}, [
        "saw", "eyes", "bleach", "clean-blades", "ticks", "sprays",
    ]),
    ("hot wax low down", ("wax or compound",), LOW, {}, ["hot-wax", "ticks", "sprays"]),
    ("hot wax above reach", ("wax or compound",), HIGH, {}, [
        "both-hands", "ladder", "power-lines", "hot-wax", "ticks", "sprays",
    ]),
    (
        "hot wax beside a knife means alcohol beside wax",
        ("grafting knife", "wax or compound"),
        LOW,
        {},
        ["knife", "hot-wax", "alcohol", "alcohol-near-wax", "clean-blades", "ticks", "sprays"],
    ),
    ("paint", ("paint",), LOW, {}, ["paint", "eyes", "ticks", "sprays"]),
    ("a sprayer", ("sprayer",), LOW, {}, ["spraying", "sprays", "eyes", "ticks"]),
    ("a cleft tool is struck", ("cleft tool and mallet",), LOW, {}, [
        "knife", "eyes", "alcohol", "clean-blades", "ticks", "sprays",
    ]),
    ("a blade for wraps cuts no wood", ("utility blade",), LOW, {}, ["knife", "ticks", "sprays"]),
    ("a blade for wraps above reach", ("utility blade",), HIGH, {}, [
        "both-hands", "ladder", "power-lines", "knife", "ticks", "sprays",
    ]),
    ("a notebook low down", ("notebook",), LOW, {}, ["ticks", "sprays"]),
    ("a notebook above reach", ("notebook",), HIGH, {}, ["ladder", "power-lines", "ticks", "sprays"]),
    ("a notebook, read from the ground", ("notebook",), HIGH, {"work_at": "ground"}, ["ticks", "sprays"]),
    ("a notebook, from the ground, height unknown", ("notebook",), UNKNOWN, {"work_at": "ground"}, ["ticks", "sprays"]),
    ("a knife at the bench", ("knife",), HIGH, {"work_at": "indoors"}, ["knife", "alcohol", "clean-blades"]),
    ("buckets", ("buckets",), LOW, {"work_at": "ground"}, ["lifting", "ticks", "sprays"]),
    ("a limb is carried away", ("notebook",), LOW, {"acts": ("lifts",)}, ["lifting", "ticks", "sprays"]),
    ("wood is taken", ("shears",), LOW, {"acts": ("takes wood",)}, [
        "saw", "eyes", "alcohol", "clean-blades", "plant-health", "ticks", "sprays",
    ]),
    ("wood is sent", ("padded envelope",), LOW, {"acts": ("carries wood",), "work_at": "indoors"}, ["plant-health"]),
    ("a tool that no table has", ("adze",), LOW, {}, ["other-tool", "ticks", "sprays"]),
    ("pruning among what may be sprayed", ("shears",), LOW, {"part": "pruning"}, [
        "saw", "eyes", "alcohol", "clean-blades", "ticks", "sprays",
    ]),
    ("tasting", ("notebook",), UNKNOWN, {"part": "fruit"}, ["ladder?", "power-lines?", "ticks", "sprays"]),
    ("a card that only the template knows of", ("notebook",), LOW, {"cautions": ("plant-health",)}, [
        "plant-health", "ticks", "sprays",
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("tools", "height_m", "changes", "cards"), [row[1:] for row in HAND], ids=[r[0] for r in HAND])
def test_what_is_in_the_hand_how_high_and_what_is_done_brings_exactly_these_cards(
    tools: tuple[str, ...], height_m: float | None, changes: dict[str, object], cards: list[str]
) -> None:
    task = planned(job(tools, ON["spring"], **changes), ON["spring"], height_m)
    assert shown(task) == cards


DAYS = [
    ("a hot summer day", "summer", (14.0, 29.0, "m"), ["heat", "lightning", "stings", "ticks"]),
    ("65 °F in the shade is 80 °F in the sun", "summer", (9.0, 18.4, "m"), ["heat", "lightning", "stings", "ticks"]),
    ("a day below that", "summer", (9.0, 18.2, "m"), ["lightning", "stings", "ticks"]),
    ("a fresh spring day", "spring", (5.0, 13.0, "m"), ["ticks"]),
    ("a day of 10 °C, where wind chill begins", "spring", (4.0, 10.0, "m"), ["cold", "ticks"]),
    ("a mild day after a frosty night", "spring", (0.0, 14.0, "f"), ["cold", "ticks"]),
    ("a mild winter day", "winter", (4.0, 11.0, "m"), []),
    ("a cold winter day", "winter", (-6.0, 1.0, "m"), ["cold"]),
    ("a usual cold winter day", "winter", (-2.0, 3.0, "n"), ["cold"]),
    ("a usual warm summer day", "summer", (13.0, 24.0, "n"), ["heat", "lightning", "stings", "ticks"]),
    ("too cold for ticks", "spring", (-3.0, 4.0, "m"), ["cold"]),
    ("no temperature known in summer", "summer", None, ["heat", "lightning", "stings", "ticks"]),
    ("no temperature known in winter", "winter", None, ["cold"]),
]


@pytest.mark.parametrize(("when", "weather", "cards"), [row[1:] for row in DAYS], ids=[row[0] for row in DAYS])
def test_the_weather_of_the_days_brings_exactly_these_cards(
    when: str, weather: tuple[float, float, str] | None, cards: list[str]
) -> None:
    assert (
        shown(planned(job(("notebook",), ON[when], part="planning", work_at="ground"), ON[when], weather=weather))
        == cards
    )


def test_ticks_are_about_in_the_other_half_of_the_year_in_the_south() -> None:
    january = planned(
        job(("notebook",), date(2026, 7, 20), part="planning", work_at="ground"),
        ON["winter"],
        weather=(12.0, 14.0, "m"),
        south=True,
    )
    assert shown(january) == ["ticks"]


def test_no_weather_comes_indoors() -> None:
    assert shown(planned(job(("notebook",), ON["winter"], work_at="indoors"), ON["winter"], weather=None)) == []


@pytest.mark.parametrize(
    ("height_m", "tree_m", "card"),
    [
        (None, None, "ladder?"),
        (None, 1.8, None),
        (None, 4.0, "ladder?"),
        (1.5, None, None),
        (2.5, None, "ladder"),
        (None, 0.0, "ladder?"),
        (None, 0.1, "ladder?"),
        (None, 0.3, None),
    ],
)
def test_a_graft_without_a_height_is_as_high_as_its_tree_may_be(
    height_m: float | None, tree_m: float | None, card: str | None
) -> None:
    """What no crown can be, such as 0, is not known."""
    cards = shown(planned(job(("notebook",), ON["spring"]), ON["spring"], height_m, tree_m))
    assert cards == ["ticks", "sprays"] if card is None else cards[0] == card


@pytest.mark.parametrize(
    ("graft_m", "tree_m", "card"),
    [
        (1.0, None, "ladder?"),
        (None, 1.9, None),
        (1.0, 4.5, "ladder"),
        (2.6, None, "ladder"),
        (2.6, 1.5, "ladder"),
        (None, 0.0, "ladder?"),
        (None, 0.1, "ladder?"),
        (1.0, 0.0, "ladder?"),
    ],
)
def test_work_on_a_tree_is_as_high_as_its_crown_and_unknown_where_that_is_not_noted(
    graft_m: float | None, tree_m: float | None, card: str | None
) -> None:
    task = planned(job(("notebook",), ON["spring"], each="tree"), ON["spring"], graft_m, tree_m)
    assert shown(task) == ["ticks", "sprays"] if card is None else shown(task)[0] == card


def test_wood_is_cut_from_trees_that_may_be_high() -> None:
    template = job(("shears",), ON["winter"], each="variety", acts=("takes wood",))
    assert shown(planned(template, ON["winter"], tree_m=None))[:2] == ["ladder?", "power-lines?"]
    assert shown(planned(template, ON["winter"], tree_m=0.0))[:2] == ["ladder?", "power-lines?"]
    assert "ladder" not in "".join(shown(planned(template, ON["winter"], tree_m=1.9)))


@pytest.mark.parametrize(
    ("graft_m", "tree_m", "card"),
    [(1.5, 1.9, None), (1.5, 4.0, "ladder?"), (1.5, None, "ladder?"), (2.5, 4.0, "ladder"), (None, 1.9, None)],
)
def test_work_on_the_limb_beyond_a_graft_may_be_as_high_as_the_tree(
    graft_m: float | None, tree_m: float | None, card: str | None
) -> None:
    task = planned(job(("notebook",), ON["spring"], work_at="limb"), ON["spring"], graft_m, tree_m)
    assert shown(task) == ["ticks", "sprays"] if card is None else shown(task)[0] == card


def test_a_pole_saw_is_taken_too_where_a_limb_may_be_above_reach() -> None:
    low, high = (planned(job(("pruning saw",), ON["spring"]), ON["spring"], height) for height in (LOW, HIGH))
    assert "pole saw" not in low.tools
    assert {"pole saw", "hard hat"} <= set(high.tools)
    assert "pole saw" not in planned(job(("fine saw",), ON["spring"]), ON["spring"], HIGH).tools  # no graft is made so


@pytest.mark.parametrize(("warmest_c", "words"), [(30.9, "feels hotter"), (31.2, "only in the early morning")])
def test_in_the_heat_that_is_called_danger_in_the_sun_the_reason_says_so(warmest_c: float, words: str) -> None:
    # US National Weather Service: danger from a heat index of 103 °F, and the sun adds up to 15 °F: 88 °F (31.1 °C)
    task = planned(job(("notebook",), ON["summer"]), ON["summer"], weather=(18.0, warmest_c, "m"))
    assert words in next(caution.because for caution in task.cautions if caution.card == "heat")


def test_each_caution_says_why_it_stands_there() -> None:
    task = planned(job(("pruning saw",), ON["summer"], part="pruning"), ON["summer"], HIGH, weather=(14.0, 29.0, "f"))
    said = {caution.card: caution.because for caution in task.cautions}
    assert said["ladder"] == "Red Lamp (g1) is above your reach of 2 m"
    assert said["saw-aloft"] == "you take the pruning saw, and Red Lamp (g1) is above your reach of 2 m"
    assert said["alcohol"] == "you take the alcohol wipes"
    assert said["heat"] == "29 °C is forecast for 10 July, and full sun feels hotter"
    unknown = planned(job(("notebook",), ON["spring"]), ON["spring"], UNKNOWN)
    assert unknown.cautions[0] == Caution("ladder", "no height is noted of Red Lamp (g1)", IF_YOU_LEAVE)


def test_what_goes_with_a_tool_is_taken_too() -> None:
    task = planned(job(("pruning saw",), ON["spring"]), ON["spring"])
    assert task.tools == ("pruning saw", "eye protection", "gloves", "alcohol wipes")


def test_where_fire_blight_was_seen_the_blade_is_cleaned_with_bleach() -> None:
    # Iowa State University Extension, pruner care questions: no alcohol for apple tools where fire blight is present
    template = job(("bypass shears", "alcohol wipes"), ON["spring"])
    tools = tools_of(template, TABLE, blighted=True)
    assert [tool.id for tool in tools] == ["bypass shears", "eye protection", "bleach mix", "gloves"]
    cards = [caution.card for caution in cautions_of(Work(template, tools, (), 2.0))]
    assert "bleach" in cards
    assert "alcohol" not in cards


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.id)
@pytest.mark.parametrize("height", ["low", "above", "unknown"])
def test_no_shipped_job_uses_a_tool_without_its_cautions_and_none_has_one_that_nothing_explains(
    template: Template, height: str
) -> None:
    day = ON["summer"]
    unit = Unit("g1", "g1", "open", Window(day, day, day, day), above_reach=height == "above",
                height_unknown=height == "unknown")  # fmt: skip
    tools = tools_of(template, TABLE, may_be_aloft=height != "low")
    assert {tool.id for tool in tools} <= set(TABLE)
    found = {caution.card for caution in cautions_of(Work(template, tools, (unit,), 2.0))}
    owed = {card for tool in tools for card in tool.cautions}
    assert owed <= found
    cuts = any("cuts wood" in tool.uses for tool in tools)
    explained = owed | set(template.cautions)
    explained |= {"ladder", "power-lines"} if height != "low" else set()
    uses = {use for tool in tools for use in tool.uses}
    explained |= {"saw-aloft"} if height != "low" and uses & {"saws", "reaches up"} else set()
    explained |= {"both-hands"} if height != "low" and "needs both hands" in uses else set()
    explained |= {"eyes"} if height != "low" and cuts else set()
    explained |= {"clean-blades"} if cuts else set()
    explained |= {"alcohol-near-wax"} if {"alcohol", "hot-wax"} <= owed else set()
    explained |= {"plant-health"} if {"takes wood", "carries wood"} & set(template.acts) else set()
    explained |= {"lifting"} if "lifts" in template.acts else set()
    under_trees = template.work_at != "indoors" and template.each != "wood" and template.part != "planning"
    explained |= {"sprays"} if under_trees else set()
    assert found <= explained


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.id)
def test_a_shipped_template_names_no_caution_and_no_tool_that_its_work_implies(template: Template) -> None:
    bare = Template(**{**{name: getattr(template, name) for name in template.__struct_fields__}, "cautions": ()})
    tools = tools_of(bare, TABLE)
    implied = {caution.card for caution in cautions_of(Work(bare, tools, (), 2.0))}
    assert not implied & set(template.cautions)
    brought = {name for tool in template.tools for name in TABLE[tool].bring}
    assert not brought & set(template.tools)


def test_every_card_can_come_and_every_tool_is_known_to_some_job_or_kept_for_a_persons_own() -> None:
    by_work = {"ladder", "saw-aloft", "both-hands", "clean-blades", "alcohol-near-wax", "plant-health", "lifting"}
    by_weather = {"heat", "lightning", "cold", "stings", "ticks", "sprays", "other-tool"}
    named = {card for entry in (*TEMPLATES, *TOOLS) for card in entry.cautions}
    idle = {card.id for card in CARDS} - (by_work | by_weather | named)
    assert not idle, f"no tool, no template and no rule of by_work or by_weather here brings the card {idle}"
    assert by_work | by_weather | named <= {card.id for card in CARDS}
    used = {name for template in TEMPLATES for name in template.tools}
    brought = {name for tool in TOOLS for name in tool.bring} | {"alcohol wipes"}
    unused = set(TABLE) - used - brought - {"pole saw"}
    assert unused == OWN_TOOLS, f"used by no template, or not only in OWN_TOOLS: {unused ^ OWN_TOOLS}"


TOOL_NAMES = st.lists(st.sampled_from(sorted(TABLE)), unique=True, max_size=6).map(tuple)


@given(tools=TOOL_NAMES, more=TOOL_NAMES, height=st.sampled_from([LOW, HIGH, UNKNOWN]))
def test_taking_more_never_takes_a_caution_away(tools: tuple[str, ...], more: tuple[str, ...], height: float) -> None:
    few, many = (
        {caution.card for caution in planned(job(taken, ON["spring"]), ON["spring"], height).cautions}
        for taken in (tools, tuple(dict.fromkeys((*tools, *more))))
    )
    assert few - many <= {"alcohol", "alcohol-near-wax"}  # wipes are brought only where nothing else cleans the blade


@given(tools=TOOL_NAMES)
def test_an_unknown_height_brings_every_card_of_a_known_high_one(tools: tuple[str, ...]) -> None:
    high, unknown = (
        {caution.card for caution in planned(job(tools, ON["spring"]), ON["spring"], height).cautions}
        for height in (HIGH, UNKNOWN)
    )
    assert high == unknown


def test_a_tool_is_known_in_whatever_capitals() -> None:
    assert tools_of(job(("Fine Saw",), ON["spring"]), TABLE)[0] == TABLE["fine saw"]


def test_tools_that_bring_each_other_in_a_ring_or_a_long_row_come_once_each() -> None:
    ring = {"a": Tool("a", bring=("b",)), "b": Tool("b", bring=("a", "b"))}
    row = {f"x{number}": Tool(f"x{number}", bring=(f"x{number + 1}",)) for number in range(3000)}
    assert [tool.id for tool in tools_of(job(("a",), ON["spring"]), ring)] == ["a", "b"]
    assert len(tools_of(job(("x0",), ON["spring"]), row)) == 3001


def test_a_plan_without_a_table_of_tools_says_nothing_of_them() -> None:
    assert tools_of(job(("adze",), ON["spring"]), {}) == (Tool("adze"),)

"""Template files: decoded into the vocabulary, every fault by file, key and line."""

from __future__ import annotations

from pathlib import Path

import pytest
from examples import examples
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.folder.templates import check_templates, load_templates
from tendwork.planning.vocabulary import Anchor

CARD = """
[[card]]
id = "ladder"
title = "Ladder"
line = "Three points of contact."
points = ["a", "b"]
defer = "local rules"
source = "common practice"
"""


def template(identity: str = "rub-off", **changes: str) -> str:
    keys = {
        "id": f'"{identity}"',
        "title": '"Rub off shoots"',
        "part": '"aftercare"',
        "each": '"graft"',
        "opens": '{ after = "set", days = 21 }',
        "closes": '{ after = "set", days = 42 }',
    } | changes
    return "\n[[template]]\n" + "".join(f"{key} = {value}\n" for key, value in keys.items())


@pytest.fixture
def shipped(tmp_path: Path) -> Path:
    folder = tmp_path / "shipped"
    folder.mkdir()
    (folder / "one.toml").write_text(CARD + template() + template("other"))
    return folder


@pytest.fixture
def own(tmp_path: Path) -> Path:
    folder = tmp_path / "templates"
    folder.mkdir()
    return folder


def faults_of(own: Path, shipped: Path, text: str) -> tuple[str, ...]:
    (own / "mine.toml").write_text(text, encoding="utf-8")
    return check_templates(own, shipped)[1]


def test_shipped_templates_and_cards_are_decoded(shipped: Path) -> None:
    loaded = load_templates(None, shipped)
    assert [entry.id for entry in loaded.templates] == ["rub-off", "other"]
    assert loaded.templates[0].opens == Anchor(after="set", days=21)
    assert loaded.cards["ladder"].points == ("a", "b")


def test_an_own_template_with_a_shipped_id_replaces_it_in_its_place(own: Path, shipped: Path) -> None:
    (own / "mine.toml").write_text(template(title='"My way"'))
    loaded = load_templates(own, shipped)
    assert [entry.title for entry in loaded.templates] == ["My way", "Rub off shoots"]
    assert loaded.warnings == (
        'templates/mine.toml: "rub-off" replaces the shipped template; the cautions and tools of that one stay',
        'templates/mine.toml, line 3, key "template.stake": does not say what is lost if the job is missed, so it is '
        "ordered as if this year's chance were. Write one of tree, graft, year, little, and loss = the same in a few "
        'words that follow "or", such as "the tape cuts in".',
    )


def test_an_own_template_that_says_its_stake_or_takes_a_wrap_off_gets_no_hint(own: Path, shipped: Path) -> None:
    takes_off = template("b", outcomes='["off"]')
    (own / "mine.toml").write_text(template("a", stake='"little"') + takes_off + template("c"))
    loaded = load_templates(own, shipped)
    assert [(entry.id, entry.at_stake) for entry in loaded.templates] == [
        ("rub-off", None), ("other", None), ("a", "little"), ("b", "graft"), ("c", None),
    ]  # fmt: skip
    (hint,) = loaded.warnings
    assert hint.startswith('templates/mine.toml, line 21, key "template.stake": does not say')


def test_a_folder_without_own_templates_is_well(shipped: Path, tmp_path: Path) -> None:
    assert len(load_templates(tmp_path / "absent", shipped).templates) == 2


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"opnes": "{ days = 1 }"}, 'line 9, key "template.opnes": unknown key. Did you mean "opens"?'),
        ({"opens": '{ aftr = "set" }'}, 'line 7, key "template.opens.aftr": unknown key. Did you mean "after"?'),
        (
            {"opens": '{ after = "sett" }'},
            'line 7, key "template.opens.after": "sett" is not known here. Did you mean "set"',
        ),
        (
            {"part": '"aftercar"'},
            'line 5, key "template.part": "aftercar" is not known here. Did you mean "aftercare"?',
        ),
        ({"each": '"leaf"'}, 'line 6, key "template.each": "leaf" is not known here. Known: site, tree'),
        (
            {"opens": '{ after = "set", days = "x" }'},
            'line 7, key "template.opens.days": expected a whole number, got text',
        ),
        ({"steps": '"one"'}, 'line 9, key "template.steps": expected a list in [ ], got text in quotes'),
        ({"opens": '{ stage = "gren tip" }'}, '"gren tip" is not a stage. Did you mean "green tip"?'),
        ({"opens": '{ date = "13-01" }'}, 'line 7, key "template.opens.date": "13-01" is not a month and day'),
        ({"opens": '{ date = "02-01", after = "set" }'}, "It has date and after."),
        ({"opens": "{ days = 3 }"}, "It has none of them."),
        (
            {"each": '"tree"', "opens": '{ first_known = [{ date = "11-20", days = 3 }, { after = "ripens" }] }'},
            'line 7, key "template.opens.first_known": what stands after date = "11-20" is never used, as that always'
            " has a day. Put it last, or take out what follows.",
        ),
        ({"opens": "{ first_known = [] }"}, 'key "template.opens.first_known": must hold at least one anchor'),
        ({"opens": '{ first_known = [{ after = "look" }], date = "09-01" }'}, "It has date and first_known."),
        (
            {"each": '"site"', "opens": '{ first_known = [{ after = "ripens" }, { date = "09-01" }] }'},
            'key "template.opens.first_known.after": "ripens" is nothing that happens to a site',
        ),
        (
            {"each": '"tree"', "opens": '{ first_known = [{ after = "picked" }, { date = "09-01" }] }'},
            '"picked" is nothing that happens to a tree',
        ),
        ({"opens": "{ latest_of = [] }"}, 'key "template.opens.latest_of": must hold at least one anchor'),
        ({"opens": '{ latest_of = [{ date = "99-01" }] }'}, 'key "template.opens.latest_of.date": "99-01" is not'),
        (
            {"where": '{ species = ["appel"] }'},
            'line 9, key "template.where.species": "appel" is not known here. Did you',
        ),
        ({"where": '{ state = ["takes"] }'}, '"takes" is not known here'),
        ({"where": '{ union = "late" }'}, '"late" is not known here. Write one of fails late, no doubt.'),
        ({"where": '{ wood = "to ask for" }'}, 'is for rules of each "wood" or "variety", and this one is of each'),
        (
            {"where": '{ wood = "unansered" }'},
            '"unansered" is not known here. Did you mean "unanswered"?',
        ),
        ({"where": "{ age_years = [-9, -4] }"}, "must be seasons ago, 0 for this one: nothing is younger"),
        ({"where": "{ age_years = [1] }"}, 'key "template.where.age_years": must be 2 values, and has 1'),
        (
            {"each": '"tree"', "where": "{ any_of = { seen_years = [0, 1] } }"},
            'key "template.where.any_of.seen_years": says when a sign was seen, and no sign is named',
        ),
        (
            {"each": '"tree"', "where": '{ any_of = { seen = ["canker"], seen_years = [-1, 1] } }'},
            'key "template.where.any_of.seen_years": must be seasons ago',
        ),
        (
            {"each": '"wood"', "where": '{ union = "fails late" }'},
            'key "template.where.union": is about grafts or trees, and this rule is of each bundle of wood',
        ),
        (
            {"opens": '{ after = "promised" }'},
            '"promised" is nothing that happens to a graft. Write one of planned, set',
        ),
        (
            {"each": '"site"', "opens": '{ latest_of = [{ date = "05-01" }, { after = "cut" }] }'},
            '"cut" is nothing that happens to a site. Write a date or a stage.',
        ),
        ({"where": "{ age_years = [3, 1] }"}, "must be the lower age first"),
        ({"where": '{ follows = "fit-guards" }'}, 'is for rules of each "tree", and this one is of each'),
        ({"where": "{ trained_flat = true }"}, 'is for rules of each "tree", and this one is of each'),
        ({"where": "{ growing_years = [3, 1] }"}, 'key "template.where.growing_years": must be the lower age first'),
        (
            {"where": "{ any_of = { age_years = [0, 2] } }"},
            'line 9, key "template.where.any_of": is for rules of each "tree", and this one is of each "graft"',
        ),
        ({"each": '"tree"', "where": "{ any_of = {} }"}, 'key "template.where.any_of": holds none of its signs'),
        (
            {"each": '"tree"', "where": "{ any_of = { age_year = [0, 2] } }"},
            'line 9, key "template.where.any_of.age_year": unknown key. Did you mean "age_years"?',
        ),
        (
            {"each": '"tree"', "where": "{ any_of = { age_years = [2, 0] } }"},
            'key "template.where.any_of.age_years": must be the lower age first',
        ),
        (
            {"each": '"tree"', "where": '{ any_of = { seen = ["gnawed barks"] } }'},
            '"gnawed barks" is no trouble that rules speak of. Did you mean "gnawed bark"?',
        ),
        (
            {"each": '"tree"', "where": "{ any_of = { ticked = { jobs = [], years = [2, 1] } } }"},
            'key "template.where.any_of.ticked.jobs": must name at least one template',
        ),
        (
            {"each": '"tree"', "where": '{ any_of = { ticked = { jobs = ["suckers"], years = [2, 1] } } }'},
            'key "template.where.any_of.ticked.years": must be the lower number of seasons first',
        ),
        (
            {"each": '"tree"', "where": '{ any_of = { ticked = { jobs = ["suckers"], until = "08-40" } } }'},
            'key "template.where.any_of.ticked.until": "08-40" is not a month and day',
        ),
        ({"weather": "{ frost_c = -90 }"}, 'key "template.weather.frost_c": must be between -60 and 60'),
        ({"left_out": '" "'}, 'line 9, key "template.left_out": holds an empty text'),
        (
            {"left_out": '"Not here."', "unless_seen": '["blight"]'},
            'line 10, key "template.unless_seen": "blight" is no trouble that rules speak of.',
        ),
        (
            {"unless_seen": '["canker"]'},
            'line 9, key "template.unless_seen": asks for what is asked for already. Say in `left_out` why',
        ),
        ({"repeats": "{ every_days = 0, times = 2 }"}, 'key "template.repeats.every_days": must be between 1 and 1000'),
        ({"opens": '{ after = "set", weeks = nan }'}, 'key "template.opens.weeks": must be between -150 and 150'),
        ({"opens": '{ after = "set", days = 99999999999 }'}, 'key "template.opens.days": must be between -1000'),
        ({"weather": "{ min_c = 9, max_c = 2 }"}, 'key "template.weather.min_c": 9 is above max_c, 2'),
        ({"effort": "{ minutes_each = -1 }"}, 'key "template.effort.minutes_each": must be between 0 and 10000'),
        (
            {"effort": "{ minutes_by_size = [5, -1, 9] }"},
            'line 9, key "template.effort.minutes_by_size": must be three numbers between 0 and 10000',
        ),
        ({"effort": "{ minutes_by_size = [5, nan, 9] }"}, "must be three numbers between 0 and 10000"),
        (
            {"effort": "{ minutes_by_size = [5, 9, 8] }"},
            'key "template.effort.minutes_by_size": must not become less for a larger tree. Write those of a small',
        ),
        ({"effort": "{ minutes_by_size = [5, 9] }"}, 'line 9, key "template.effort.minutes_by_size": '),
        ({"effort": "{ minutes_by_size = 5 }"}, 'key "template.effort.minutes_by_size": expected a list in [ ]'),
        (
            {"effort": '{ minutes_by_size = [5, "9", 20] }'},
            'line 9, key "template.effort.minutes_by_size": expected a number, got text',
        ),
        (
            {"effort": "{ minutes_each = 3, minutes_by_size = [5, 9, 20] }"},
            'key "template.effort.minutes_by_size": stands beside minutes_each. Keep one of the two.',
        ),
        (
            {"effort": "{ minutes_by_size = [5, 9, 20] }", "each": '"site"', "opens": '{ date = "02-01" }'},
            'is for jobs of a tree or a graft, and this one is for each "site". Write minutes_each.',
        ),
        ({"effort": "{ minutes_by_siz = [5, 9, 20] }"}, 'unknown key. Did you mean "minutes_by_size"?'),
        (
            {"cautions": '["ladr"]'},
            'line 9, key "template.cautions": there is no caution card "ladr". Did you mean "ladder"?',
        ),
        *(
            ({key: f'["done", "{blank}"]'}, f'key "template.{key}": holds an empty text')
            for key in ("outcomes", "steps", "tools")
            for blank in ("", "  ", "\\u200b", "\\u00ad", "\\u0007", "\u2800", "\u3164", "\u0301")
        ),
        (
            {"outcomes": '["of\u00adf"]'},
            'line 9, key "template.outcomes": "of?f" holds a character that cannot be seen',
        ),
        ({"tools": '["pruning saw\\u0007"]'}, '"pruning saw␇" holds a character that cannot be seen'),
        ({"title": '"\u200b"'}, 'line 4, key "template.title": is empty'),
        ({"where": '{ method = ["\u200b"] }'}, 'line 9, key "template.where.method": holds an empty text'),
        ({"where": "{ above_m = nan }"}, 'line 9, key "template.where.above_m": must be between 0 and 100'),
        (
            {"opens": '{ date = "11-01", days = -1000 }', "closes": '{ date = "11-01", days = -990 }'},
            'line 7, key "template.opens": lies 1000 days from its day, which is beyond every season',
        ),
        ({"opens": '{ stage = "green tip", weeks = 60 }'}, 'key "template.opens": lies 420 days from its day'),
        ({"outcomes": "[]"}, 'key "template.outcomes": must name at least one outcome'),
        (
            {"stake": '"grafts"'},
            'line 9, key "template.stake": "grafts" is not known here. Write one of tree, graft, year, little.',
        ),
        ({"stake": "3"}, 'line 9, key "template.stake": expected text in quotes, got a whole number'),
        ({"stakes": '"tree"'}, 'line 9, key "template.stakes": unknown key. Did you mean "stake"?'),
        ({"loss": '"  "'}, 'line 9, key "template.loss": holds an empty text'),
        ({"loss": '["a"]'}, 'line 9, key "template.loss": expected text in quotes, got a list in [ ]'),
        ({"id": '"Rub off"'}, 'line 3, key "template.id": "Rub off" is not an id'),
    ],
)
def test_a_fault_is_told_by_file_line_and_key(own: Path, shipped: Path, changes: dict[str, str], words: str) -> None:
    faults = faults_of(own, shipped, template("mine", **changes))
    assert any(fault.startswith("templates/mine.toml") and words in fault for fault in faults), faults


def test_an_event_of_long_ago_may_open_a_job(own: Path, shipped: Path) -> None:
    text = template("mine", opens='{ after = "set", days = 900 }', closes='{ after = "set", days = 930 }')
    assert faults_of(own, shipped, text) == ()


def test_a_tool_whose_name_is_not_seen_is_refused(own: Path, shipped: Path) -> None:
    (fault,) = faults_of(own, shipped, '[[tool]]\nid = "\\u200b"\n')
    assert fault.startswith('templates/mine.toml, line 2, key "tool.id": is empty')


def test_a_missing_key_is_named(own: Path, shipped: Path) -> None:
    text = template("mine").replace("closes", "#closes")
    assert faults_of(own, shipped, text) == (
        'templates/mine.toml, line 2, key "template": "closes" is missing. Add it.',
    )


def test_broken_toml_is_told_with_its_line(own: Path, shipped: Path) -> None:
    (fault,) = faults_of(own, shipped, template("mine") + 'x = "open\n')
    assert fault.startswith("templates/mine.toml, line 9: is not valid TOML")


@pytest.mark.parametrize("text", ["x = " + "[" * 5000, "x = " + "9" * 5000])
def test_toml_that_is_too_deep_or_too_long_is_told(own: Path, shipped: Path, text: str) -> None:
    (fault,) = faults_of(own, shipped, text)
    assert fault.startswith("templates/mine.toml: is not valid TOML: a number is too long")


def test_the_same_id_twice_is_told(own: Path, shipped: Path) -> None:
    faults = faults_of(own, shipped, template("mine") + template("mine"))
    assert faults == (
        'templates/mine.toml, line 11, key "template.id": "mine" stands in templates/mine.toml already. '
        "Give one of them another id.",
    )


def test_a_stage_counts_for_the_species_that_the_template_is_about(own: Path, shipped: Path) -> None:
    text = template("mine", opens='{ stage = "shuck split" }', where='{ species = ["plum"] }')
    assert faults_of(own, shipped, text) == ()


def test_faults_of_all_templates_are_told_in_one_go_and_the_whole_ones_still_load(own: Path, shipped: Path) -> None:
    text = template("a", opnes="{}") + template("b", title="3") + template("c") + template("d", part='"x"')
    (own / "mine.toml").write_text(text)
    loaded, faults = check_templates(own, shipped)
    assert [len(faults), [entry.id for entry in loaded.templates]] == [3, ["rub-off", "other", "a", "c"]]


def test_loading_tells_the_first_few_faults_and_how_many_more(own: Path, shipped: Path) -> None:
    (own / "mine.toml").write_text("".join(template(f"a{number}", nonsense="1") for number in range(9)))
    with pytest.raises(PersonError) as caught:
        load_templates(own, shipped)
    assert str(caught.value).splitlines()[5] == "and 4 more; `tendwork check` tells them all"


def test_every_shipped_template_is_without_fault() -> None:
    loaded, faults = check_templates(None)
    assert faults == ()
    assert loaded.templates


@examples(60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=300))
def test_no_text_at_all_makes_anything_but_templates_or_faults(own: Path, shipped: Path, text: str) -> None:
    check_templates_of = faults_of(own, shipped, text.replace("\r", ""))
    assert all(fault.startswith("templates/mine.toml") for fault in check_templates_of)


_VALUES = st.recursive(
    st.sampled_from(["1", "-1", "true", '"set"', '"12-15"', '"apple"', "1.5", "[]", "{}", "1979-05-27"]),
    lambda inner: (
        st.lists(inner, max_size=2).map(lambda values: f"[{', '.join(values)}]")
        | st.dictionaries(
            st.sampled_from(["after", "date", "days", "stage", "latest_of", "species"]), inner, max_size=2
        ).map(lambda table: "{ " + ", ".join(f"{key} = {value}" for key, value in table.items()) + " }")
    ),
    max_leaves=4,
)


@examples(120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.dictionaries(
        st.sampled_from(
            ["id", "title", "part", "opens", "best", "where", "repeats", "weather", "effort", "steps", "x"]
        ),
        _VALUES,
        max_size=3,
    )
)
def test_values_of_every_shape_make_templates_or_faults(own: Path, shipped: Path, changes: dict[str, str]) -> None:
    for fault in faults_of(own, shipped, template("mine", **changes)):
        assert fault.startswith("templates/mine.toml, line ")

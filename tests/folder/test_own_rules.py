"""A person's own card, template or tool over a shipped one: cautions are added and never emptied."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from tendwork.folder.own_rules import sheds, stricter
from tendwork.folder.templates import check_templates, load_templates
from tendwork.outputs.cards_page import card_sheet_of
from tendwork.planning.vocabulary import Template, Tool

CARD = """
[[card]]
id = "ladder"
title = "Mine"
line = "My line."
points = ["My point."]
defer = "My label."
source = "common practice"
"""
SHIPPED_LADDER = load_templates(None).cards["ladder"]
WHIP = next(template for template in load_templates(None).templates if template.id.startswith("whip"))


@pytest.fixture
def own(tmp_path: Path) -> Path:
    folder = tmp_path / "templates"
    folder.mkdir()
    return folder


def mine(own: Path, text: str) -> Path:
    (own / "mine.toml").write_text(text)
    return own


def test_an_own_card_adds_to_the_shipped_one_and_takes_nothing_away(own: Path) -> None:
    card = load_templates(mine(own, CARD)).cards["ladder"]
    assert card.title == SHIPPED_LADDER.title  # other cards send the reader to it by this name
    assert card.line == f"{SHIPPED_LADDER.line} My line."
    assert card.points == ("My point.", *SHIPPED_LADDER.points)
    assert card.defer == f"My label. {SHIPPED_LADDER.defer}"
    assert SHIPPED_LADDER.source in card.source


def test_an_own_card_adds_first_aid_and_takes_none_away(own: Path) -> None:
    shipped = load_templates(None).cards["knife"]
    text = CARD.replace('"ladder"', '"knife"') + 'first_aid = ["The kit hangs in the shed."]\n'
    card = load_templates(mine(own, text)).cards["knife"]
    assert card.first_aid == ("The kit hangs in the shed.", *shipped.first_aid)
    assert load_templates(mine(own, CARD.replace('"ladder"', '"knife"'))).cards["knife"].first_aid == shipped.first_aid
    (fault,) = check_templates(mine(own, CARD + 'first_aid = ["\\u200b"]\n'))[1]
    assert fault.startswith('templates/mine.toml, line 9, key "card.first_aid": holds an empty line')


def test_an_own_card_that_repeats_the_shipped_words_does_not_say_them_twice(own: Path) -> None:
    points = ", ".join(f'"{point}"' for point in (SHIPPED_LADDER.points[1], "Never alone."))
    text = CARD.replace('"My line."', f'"{SHIPPED_LADDER.line} And tie it."').replace('"My point."', points)
    card = load_templates(mine(own, text)).cards["ladder"]
    assert card.line == f"{SHIPPED_LADDER.line} And tie it."
    assert card.points.count(SHIPPED_LADDER.points[1]) == 1
    assert set(card.points) == {"Never alone.", *SHIPPED_LADDER.points}


@pytest.mark.parametrize("identity", ["ladder", "my-bees"])
@pytest.mark.parametrize(
    ("key", "line", "value", "words"),
    [
        ("title", 4, '" "', "is empty"),
        ("line", 5, '""', "is empty. Write the sentence that is to stand beside the work."),
        ("points", 6, "[]", "is empty. Write at least one sentence in it"),
        ("points", 6, '["My point.", " "]', "holds an empty line"),
        ("defer", 7, '"  "', "is empty. Say who decides"),
        ("source", 8, '""', "is empty"),
        ("title", 4, '"\\u200b"', "is empty"),
        ("line", 5, '"\\u00ad \\u2060"', "is empty"),
        ("points", 6, '["\u2800"]', "holds an empty line"),
        ("defer", 7, '"\\u0007"', "is empty"),
    ],
)
def test_a_card_with_an_empty_part_is_refused_with_file_line_and_key(
    own: Path, identity: str, key: str, line: int, value: str, words: str
) -> None:
    lines = CARD.replace('"ladder"', f'"{identity}"').splitlines()
    lines[line - 1] = f"{key} = {value}"
    loaded, faults = check_templates(mine(own, "\n".join(lines)))
    (fault,) = faults
    assert fault.startswith(f'templates/mine.toml, line {line}, key "card.{key}": {words}')
    assert set(SHIPPED_LADDER.points) <= set(loaded.cards["ladder"].points)


def own_template(**changes: str) -> str:
    keys = {
        "id": f'"{WHIP.id}"',
        "title": '"My way"',
        "part": '"grafting"',
        "each": '"graft"',
        "opens": '{ stage = "green tip" }',
        "closes": '{ stage = "full bloom" }',
        "outcomes": '["set", "not yet"]',
    } | changes
    return "[[template]]\n" + "".join(f"{key} = {value}\n" for key, value in keys.items())


def test_an_own_template_keeps_the_cautions_and_tools_of_the_shipped_one_that_it_replaces(own: Path) -> None:
    text = own_template(cautions='["heat"]', tools='["my clamp"]', work_at='"indoors"')
    loaded = load_templates(mine(own, text))
    (found,) = [template for template in loaded.templates if template.id == WHIP.id]
    assert WHIP.tools
    assert set(found.cautions) == {*WHIP.cautions, "heat"}
    assert set(found.acts) >= set(WHIP.acts)
    assert found.tools == ("my clamp", *WHIP.tools)
    assert found.work_at == WHIP.work_at
    assert found.title == "My way"


@pytest.mark.parametrize(
    ("key", "value", "said", "stays"),
    [
        ("part", '"planning"', 'line 4, key "template.part"', 'must stay "grafting"'),
        ("each", '"wood"', 'line 5, key "template.each"', 'must stay "graft"'),
        ("outcomes", '["not yet"]', 'line 8, key "template.outcomes"', 'must hold "set"'),
        ("outcomes", '["set", "skipped"]', 'line 8, key "template.outcomes"', 'must hold "not yet"'),
    ],
)
def test_an_own_template_may_not_shed_what_holds_and_cautions_hang_on(
    own: Path, key: str, value: str, said: str, stays: str
) -> None:
    faults = check_templates(mine(own, own_template(**{key: value})))[1]
    words = f"{stays}, as in the shipped template. Or give it another id."
    assert faults == (f"templates/mine.toml, {said}: {words}",)
    assert check_templates(mine(own, own_template(**{key: value, "id": '"my-way"'})))[1] == ()


@pytest.mark.parametrize(
    ("shipped", "word"),
    [
        (template, word)
        for template in load_templates(None).templates
        for word in ("off", "strikes", "cut out")
        if word in template.outcomes
    ],
    ids=lambda value: getattr(value, "id", value),
)
def test_a_wrap_to_take_off_and_a_strike_to_note_stay_among_the_outcomes(shipped: Template, word: str) -> None:
    left = tuple(outcome for outcome in shipped.outcomes if outcome != word)
    ((key, what, _),) = sheds(shipped, msgspec.structs.replace(shipped, outcomes=left))
    assert key == "outcomes"
    assert f'"{word}"' in what
    assert not list(sheds(shipped, msgspec.structs.replace(shipped, outcomes=(*shipped.outcomes, "my word"))))


def test_an_own_tool_may_not_leave_at_home_what_cleans_the_shipped_one(own: Path) -> None:
    text = '[[tool]]\nid = "grafting knife"\nuses = ["cleans blades"]\n'
    (fault,) = check_templates(mine(own, text))[1]
    assert fault.startswith('templates/mine.toml, line 3, key "tool.uses": must not hold "cleans blades"')


def test_a_card_added_to_without_a_source_does_not_stand_as_a_whole_without_a_source(own: Path) -> None:
    text = CARD.replace('"common practice"', '"common practice; WSPS, Ladder Safety, 2022"')
    cards = load_templates(mine(own, text)).cards
    assert cards["ladder"].source.count("WSPS, Ladder Safety, 2022") == 1
    unsourced = card_sheet_of([cards["ladder"], cards["other-tool"]], "Hill").unsourced
    assert "Ladders (some of it)" in unsourced
    assert "A tool of your own (all of it)" in unsourced


def test_an_own_template_may_say_that_the_work_is_higher_but_not_that_it_is_lower() -> None:
    ground = msgspec.structs.replace(WHIP, work_at="ground")
    crown = msgspec.structs.replace(WHIP, work_at="crown")
    assert stricter(ground, crown).work_at == "crown"
    assert stricter(crown, ground).work_at == "crown"


def test_an_own_tool_adds_cautions_and_uses_and_takes_none_away() -> None:
    shipped = Tool("lopper", cautions=("saw",), uses=("cuts wood",), bring=("oil",))
    found = stricter(shipped, Tool("lopper", cautions=("knife",), uses=("reaches up",)))
    assert found == Tool("lopper", ("saw", "knife"), ("cuts wood", "reaches up"), ("oil",))


def test_an_own_template_keeps_the_shipped_stake_and_loss_where_it_says_neither() -> None:
    shipped = msgspec.structs.replace(WHIP, stake="graft", loss="the tape cuts in")
    bare = msgspec.structs.replace(WHIP, stake=None, loss="")
    for own_template, in_force in (
        (bare, ("graft", "the tape cuts in")),
        (msgspec.structs.replace(bare, stake="graft"), ("graft", "the tape cuts in")),
        (msgspec.structs.replace(bare, loss="it swells"), ("graft", "it swells")),
        (msgspec.structs.replace(bare, stake="little"), ("little", "")),
    ):
        made = stricter(shipped, own_template)
        assert (made.stake, made.loss) == in_force

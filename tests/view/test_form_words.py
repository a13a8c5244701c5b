"""What forms offer and how they complete it; what a grafting day says."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.folder.fields import KINDS
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.take_rates import trials
from tendwork.view.form_words import FIELDS_OF, completed, field_choices, field_text, form_field
from tendwork.view.grafting_words import (
    following_variety,
    planned_texts,
    rates_words,
    series_varieties,
    series_wood,
    series_words,
)

TODAY = date(2026, 4, 11)
TREE = Tree("t1", "Hill apple", "apple")
RECORDS = Records(
    (TREE,),
    (
        Graft("g1", "t1", "Red Lamp", "cleft", "cloth", state="took", set_on=date(2025, 4, 1)),
        Graft("g2", "t1", "Blue Lamp", "bark", facing=90, height_m=1.5, wood="w2"),
    ),
    (
        Wood("w1", "Red Lamp", "apple", 3, date(2026, 1, 20)),
        Wood("w2", "Blue Lamp", "apple", 2, date(2026, 1, 20)),
        Wood("w3", "Pear Lamp", "pear", 2, date(2026, 1, 20)),
        Wood("w4", "Old Lamp", "apple", 2, date(2025, 1, 20)),
    ),
)
VARIETIES = ("Ashmead's Kernel", "Annie Elizabeth", "Red Lamp", "Red Lantern")


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("red", "Red Lamp"),
        ("red lan", "Red Lantern"),
        ("Red Lantern", "Red Lantern"),
        ("ak", "Ashmead's Kernel"),
        ("ae", "Annie Elizabeth"),
        ("Red ", "Red "),
        ("", ""),
        ("New Lamp", "New Lamp"),
    ],
)
def test_the_beginning_or_the_initials_of_a_word_stand_for_it(text: str, word: str) -> None:
    assert completed(text, VARIETIES) == word


def test_a_field_offers_the_words_of_the_trade_and_those_in_use() -> None:
    assert "whip and tongue" in field_choices("method", RECORDS)
    assert field_choices("wrap", RECORDS).count("cloth") == 1
    assert field_choices("variety", RECORDS) == ("Blue Lamp", "Old Lamp", "Pear Lamp", "Red Lamp")


@pytest.mark.parametrize(
    ("name", "value", "units", "text"),
    [
        ("height_m", 3.0, "metric", "3"),
        ("height_m", 3.0, "us", "9.8 ft"),
        ("ripens_from", (9, 5), "metric", "09-05"),
        ("set_on", date(2026, 4, 1), "metric", "2026-04-01"),
        ("planted", None, "metric", ""),
        ("facing", 22, "metric", "NNE"),
        ("facing", 120, "metric", "120"),
        ("spread_m", 2.0, "us", "6.6 ft"),
    ],
)
def test_values_stand_in_forms_as_they_are_typed(name: str, value: object, units: str, text: str) -> None:
    assert field_text(name, value, units) == text


def test_a_hint_speaks_of_feet_where_the_orchard_has_feet() -> None:
    assert form_field("height_m", RECORDS, units="us").hint == "8 ft, or metres above ground"


def test_a_series_offers_what_is_planned_then_what_there_is_good_wood_of() -> None:
    assert series_varieties(RECORDS, TREE, TODAY, False) == ("Blue Lamp", "Red Lamp")
    assert series_wood(RECORDS, TREE, "Red Lamp", TODAY, False) == ("w1",)


def test_a_series_goes_on_with_the_last_variety_unless_another_is_planned() -> None:
    assert following_variety(RECORDS, TREE, "Red Lamp") == "Blue Lamp"
    bare = Records((TREE,), RECORDS.grafts[:1])
    assert following_variety(bare, TREE, "Red Lamp") == "Red Lamp"


def test_a_planned_graft_fills_the_form() -> None:
    assert planned_texts(RECORDS.grafts[1], "metric") == {
        "variety": "Blue Lamp", "method": "bark", "wood": "w2", "facing": "E", "height_m": "1.5",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        ({"variety": "Blue Lamp"}, "planned as g2; from w2, fresh: 2 sticks, 1 after this one"),
        ({"variety": "Red Lamp", "method": "cleft"}, "not planned; from w1, fresh: 3 sticks, 2 after this one"),
        ({"variety": "Red Lamp", "method": "T-bud"}, "not planned; a fresh bud of this summer"),
        ({"variety": "Red Lamp", "method": "chip bud"}, "not planned; a fresh bud of this summer"),
        ({"variety": "Lost Lamp"}, "not planned; no good wood of it is held"),
        ({"variety": "Old Lamp"}, "not planned; no good wood of it is held"),
        ({"variety": ""}, ""),
    ],
)
def test_a_series_says_what_a_graft_would_be_and_counts_the_wood_down(texts: dict[str, str], words: str) -> None:
    assert series_words(RECORDS, TREE, texts, TODAY, False) == words


def test_rates_are_told_where_they_help_a_choice() -> None:
    tried = trials(RECORDS)
    assert rates_words(tried, "apple", "method").startswith("Your apple grafts: cleft 1 of 1 took")
    assert rates_words(tried, "apple", "height_m") == ""


@pytest.mark.parametrize("kind", FIELDS_OF)
def test_a_form_has_a_line_for_every_field_of_its_record(kind: str) -> None:
    noted_by_itself = {"known_since"}
    assert set(FIELDS_OF[kind]) == {field.name for field in KINDS[kind].fields} - noted_by_itself

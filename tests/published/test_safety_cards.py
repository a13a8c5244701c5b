"""The caution cards against public guidance: each figure is a published one, and what must not be said is not."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import msgspec
import pytest

from tendwork.planning.vocabulary import Card, Template, TemplateFile

FOLDER = Path(__file__).parents[2] / "task_templates"
FILES = [
    msgspec.convert(tomllib.loads(file.read_text(encoding="utf-8")), TemplateFile)
    for file in sorted(FOLDER.glob("*.toml"))
]
CARDS: dict[str, Card] = {card.id: card for file in FILES for card in file.card}
TEMPLATES: list[Template] = [template for file in FILES for template in file.template]
FIGURE = re.compile(r"\d+(?: \d+/\d+|/\d+|\.\d+)?")

# Every figure that a card may show, and where it is published; where sources disagree, normally the stricter one.
PUBLISHED: dict[str, dict[str, str]] = {
    "knife": {
        "10": "minutes of pressure before help: British Red Cross, adapted by selfinjurysupport.org.uk; AAFP says 20",
        "5": "years since a tetanus dose, dirty wound: Merck Manual consumer table; Minnesota Department of Health",
    },
    "ladder": {
        "30": "minutes on one ladder: HSE INDG455, January 2014, copy at elcosh.org",
        "16": "feet, longest orchard ladder on a farm: WAC 296-307-05505, 2020",
        "4.88": "the same in metres",
    },
    "saw": {
        "19": "mm, hand shears: Iowa State University Extension, equipment questions (3/4 in)",
        "3/4": "inch, the same",
        "38": "mm, loppers: Iowa State University Extension, equipment questions (1 1/2 in)",
        "1 1/2": "inches, the same",
        "87.1": "ANSI Z87.1 eyewear: American Optometric Association, 2010; two news pages misprint it",
    },
    "hot-wax": {
        "20": "minutes of cooling a burn: southashford.org.uk; the NHS trust nbt.nhs.uk says 10 to 30",
    },
    "alcohol": {"70": "per cent: Iowa State University Extension, pruner questions; UF/IFAS Polk County, 2019"},
    "bleach": {
        "10": "minutes of soaking: Iowa State University Extension; Penn State Extension",
        "2": "hours a mix keeps: Iowa State University Extension",
        "1": "minute, shortest in any source: 1992 Californian trial in nujournal.com, 2018",
        "30": "minutes, longest in any source: UF/IFAS",
    },
    "heat": {
        "15": "minutes between drinks: NIOSH 2017-126; and °F that full sun adds: NWS Fort Worth",
        "20": "minutes between drinks: NIOSH 2017-126",
        "240": "ml (8 oz) a drink: NIOSH 2017-126",
        "8": "oz a drink: NIOSH 2017-126; and 15 °F as a difference in °C",
        "1.4": "litres an hour at most (48 oz): NIOSH 2017-126",
        "48": "oz an hour at most: NIOSH 2017-126",
        "90": "°F, extreme caution: NWS heat-index bands, copy of 2015",
        "32": "90 °F in °C",
        "103": "°F, danger: NWS heat-index bands, copy of 2015",
        "39": "103 °F in °C",
    },
    "cold": {
        "0": "°F with wind: NWS wind chill, in 10tv.com, 2013",
        "18": "0 °F in °C below zero",
        "30": "minutes to frozen skin: NWS wind chill, in 10tv.com, 2013",
    },
    "lightning": {"30": "minutes after the last thunder: University of Nebraska-Lincoln; NWS (D. Franklin), 2009"},
    "lifting": {
        "23": "kg under the best conditions: NIOSH 94-110, rev. 2021",
        "51": "lb, the same: OSHA poultry eTool",
    },
    "ticks": {
        "0.5": "per cent permethrin on clothing: CDC advice in an Oxford Township leaflet",
        "2": "hours to a shower: the same",
        "10": "minutes in the dryer: the same",
    },
    "power-lines": {
        "10": "feet to a line: 29 CFR 1910.269; and metres at which to call its owner: NIE Networks",
        "3": "metres, 10 ft rounded",
        "3.05": "metres, 10 ft: 29 CFR 1910.269",
    },
}
every_card = pytest.mark.parametrize("card", CARDS.values(), ids=lambda card: card.id)


def words_of(card: Card) -> str:
    return " ".join((card.title, card.line, *card.points))


def words_of_all() -> list[str]:
    """Everything that a person can read of cards and templates, sentence by sentence."""
    read = [text for card in CARDS.values() for text in (card.title, card.line, *card.points, card.defer, card.source)]
    return read + [text for t in TEMPLATES for text in (t.title, *t.steps, *t.tools, t.note, t.source)]


def test_there_is_a_card_for_every_danger_of_the_orchard() -> None:
    assert set(CARDS) == {
        "knife", "ladder", "saw", "hot-wax", "alcohol", "bleach", "heat", "cold", "lightning", "lifting", "stings",
        "ticks", "power-lines", "sprays", "plant-health",
    }  # fmt: skip


@every_card
def test_a_card_shows_published_figures_only(card: Card) -> None:
    assert set(FIGURE.findall(words_of(card))) == set(PUBLISHED.get(card.id, {}))


@every_card
def test_a_card_names_its_source_and_who_decides(card: Card) -> None:
    assert len(card.source) > 10
    assert re.search(r"label|code|doctor|clinician|authority|service|licensed", card.defer)


@every_card
def test_a_card_is_short(card: Card) -> None:
    assert 3 <= len(card.points) <= 9
    assert all(len(text) <= 140 for text in (card.line, *card.points))


@pytest.mark.parametrize(
    ("shown", "published", "within"),
    [
        (19.0, 0.75 * 25.4, 0.1),  # Iowa State: hand shears to 3/4 in
        (38.0, 1.5 * 25.4, 0.2),  # Iowa State: loppers to 1 1/2 in
        (4.88, 16 * 0.3048, 0.01),  # WAC 296-307-05505: 16 ft
        (3.05, 10 * 0.3048, 0.01),  # 29 CFR 1910.269: 10 ft
        (23.0, 51 * 0.45359237, 0.2),  # NIOSH 94-110: 51 lb
        (240.0, 8 * 29.5735, 4.0),  # NIOSH 2017-126: 8 oz
        (1.4, 48 * 0.0295735, 0.03),  # NIOSH 2017-126: 48 oz
        (32.0, (90 - 32) / 1.8, 0.5),  # NWS bands
        (39.0, (103 - 32) / 1.8, 0.6),
        (8.0, 15 / 1.8, 0.5),  # NWS Fort Worth: a difference of 15 °F
        (-18.0, (0 - 32) / 1.8, 0.3),
    ],
)
def test_a_metric_figure_on_a_card_equals_the_published_one(shown: float, published: float, within: float) -> None:
    assert abs(shown - published) <= within


def test_the_leaning_rule_is_by_working_length_and_never_for_tripods() -> None:
    # San Joaquin County handout: a quarter of the working length. OSHA letter of 21 January 2010: not for stepladders.
    (point,) = [point for point in CARDS["ladder"].points if "quarter" in point]
    assert "working length" in point
    assert "Never so for tripods or stepladders" in point


def test_the_highest_step_is_the_third_from_the_top_counted_with_the_cap() -> None:
    # OSHA tripod orchard ladder card (copies); how to count is the tool's own choice.
    (point,) = [point for point in CARDS["ladder"].points if "third step" in point]
    assert "the cap counted as the first" in point
    assert "label" in point


def test_bleach_mix_is_one_to_nine_and_water_only() -> None:
    # Iowa State: 1 part bleach to 9 parts water. CDC CS316270A and Washington State: never with these.
    bleach = words_of(CARDS["bleach"])
    assert "One part bleach to nine parts water" in bleach
    assert all(word in bleach for word in ("ammonia", "acid", "vinegar", "alcohol", "any other cleaner"))


def test_lightning_waits_from_the_last_thunder_without_counting_seconds() -> None:
    # NWS (D. Franklin, 2009): the present message is to go in at the first thunder.
    lightning = words_of(CARDS["lightning"])
    assert "first thunder" in lightning
    assert "Every new thunder starts the 30 minutes again" in lightning


def test_a_dirty_cut_sends_to_a_clinician_and_never_decides_about_a_shot() -> None:
    # Merck Manual: 5 years for a dirty wound. The tool asks, it does not decide.
    (point,) = [point for point in CARDS["knife"].points if "tetanus" in point]
    assert "ask a clinician" in point
    assert not re.search(r"you (do not )?need", point)


@pytest.mark.parametrize(
    ("name", "pattern"),
    [
        ("a wind speed: no official limit was found", r"\d\s*(mph|km/h|kph|knots?|m/s)\b"),
        ("UK slope limits that could not be found", r"\b(16|6)\s*(°(?! ?[CF])|deg)"),
        ("loosening a tourniquet, superseded advice", r"tourniquet"),
        ("a misprinted eyewear standard", r"Z78"),
        ("chainsaw technique", r"kickback|chain brake|bar tip|felling cut|plunge"),
        ("a wax temperature from hobby pages", r"\b(160|212|250|300|375)\s*°?\s*F\b|\b(71|121|149|191)\s*°?\s*C\b"),
        ("a count of deaths", r"\bdeaths?\b"),
        ("a re-entry or harvest interval", r"(re-entry|harvest interval|REI)\D{0,20}\d"),
        ("a spray or its amount", r"\d\s*(g|ml|l|oz|kg)\s*(per|/)\s*(l|litre|liter|ha|acre|gallon|100)\b"),
        ("a rule that the knife always goes away from you", r"[Aa]lways cut away"),
    ],
)
def test_what_must_not_be_said_is_said_nowhere(name: str, pattern: str) -> None:
    assert [text for text in words_of_all() if re.search(pattern, text)] == [], name


def test_a_chainsaw_is_named_only_to_leave_it_to_others() -> None:
    named = [text for text in words_of_all() if re.search(r"chain ?saw", text, re.I)]
    assert len(named) <= 2
    assert all("trained" in text or "HSE INDG317" in text for text in named)


def test_no_height_is_presented_as_law_for_a_garden() -> None:
    lawful = [point for card in CARDS.values() for point in card.points if re.search(r"\b(law|rule)\b.*\bft\b", point)]
    assert lawful
    assert all("it binds farms, not gardens" in point for point in lawful)


def test_the_spray_card_gives_no_number_at_all() -> None:
    assert not FIGURE.findall(words_of(CARDS["sprays"]))


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.id)
def test_a_sharp_or_hot_tool_brings_its_caution(template: Template) -> None:
    tools = " ".join(template.tools)
    for card, pattern in {"knife": r"knife|blade", "saw": r"saw|shears|pruner", "hot-wax": r"wax|compound"}.items():
        assert card in template.cautions or not re.search(pattern, tools), card
    if re.search(r"mallet|hammer|pole pruner|tin snips", tools):
        assert "eye protection" in tools


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.id)
def test_no_step_sends_anybody_up_a_ladder(template: Template) -> None:
    assert not any("ladder" in step.lower() or "climb" in step.lower() for step in template.steps)

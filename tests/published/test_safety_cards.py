"""The caution cards against public guidance: each figure has its source and each source its figure, and no more."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

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
SAFER = {"the lower": min, "the higher": max}
NUMBER_WORDS = {
    "one": 1, "a single": 1, "two": 2, "second": 2, "twice": 2, "three": 3, "third": 3, "four": 4, "fourth": 4,
    "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "half": 0.5, "one quarter": 4,
}  # fmt: skip
NUMBER = r"-?\d+(?: \d+/\d+|/\d+|\.\d+)?"
FIGURE = re.compile(rf"{NUMBER}|\b(?:{'|'.join(sorted(NUMBER_WORDS, key=len, reverse=True))})\b", re.IGNORECASE)


class Row(NamedTuple):
    """A figure as a card says it, and what each source says; `safer` is the side on which a person is better off."""

    card: str
    says: str
    published: dict[str, float]
    safer: str = ""

    @property
    def shown(self) -> float:
        """The first number of `says`."""
        found = FIGURE.search(self.says)
        assert found is not None, self.says
        return number(found[0])

    @property
    def due(self) -> float:
        """What the card must show: the strictest source, or the figure on which all of them agree."""
        values = set(self.published.values())
        if self.safer:
            return float(SAFER[self.safer](values))
        (agreed,) = values
        return agreed


def number(word: str) -> float:
    if word.casefold() in NUMBER_WORDS:
        return NUMBER_WORDS[word.casefold()]
    whole, _, fraction = word.rpartition(" ")
    top, _, bottom = fraction.partition("/")
    return float(whole or 0) + float(top) / float(bottom or 1)


# "s.A2" is a row of the gathered safety notes, "c.1" a section of the corrections to them, N3 a source there. A figure
# in brackets behind another is its conversion, which is checked below.
ROWS = [
    # s.A2: British Red Cross, adapted by selfinjurysupport.org.uk; American Academy of Family Physicians via HealthDay
    Row("knife", "Not stopped after 10 minutes", {"British Red Cross": 10, "AAFP": 20}, "the lower"),
    # s.A6, s.A7: Merck Manual consumer table; Minnesota Department of Health. A dirty wound: 5, a clean one: 10
    Row("knife", "over 5 years ago", {"Merck, dirty": 5, "Minnesota, dirty": 5, "Merck, clean": 10}, "the lower"),
    # s.L4, c.1: OSHA card: third step from the top; N3: third with the cap left out, so the fourth place
    Row("ladder", "third step below the cap", {"N3, cap left out": 3, "OSHA card, cap counted": 2}, "the higher"),
    # s.L14: UK advice bars the top three treads without a handhold; US makers (N4): two steps down
    Row("ladder", "fourth tread down", {"UK, without a handhold": 4, "US makers": 3}, "the higher"),
    # s.L15: San Joaquin County: not the top three rungs; N4, N6, N7: never above the fourth
    Row("ladder", "fourth rung down", {"San Joaquin": 4, "Werner": 4}),
    Row("ladder", "Three points of contact", {"s.L16 WSPS 2022": 3, "s.L16 San Joaquin": 3}),
    Row("ladder", "one person at a time", {"s.L6 WSPS 2022": 1}),
    Row("ladder", "one quarter of the working length", {"s.L11 San Joaquin: 4 to 1": 4}),
    Row("ladder", "Over 30 minutes", {"s.L21 HSE INDG455, 2014": 30}),  # ohsrep.org.au says 15 to 30, of INDG455 too
    Row("ladder", "load over 10 kg", {"s.L21 HSE INDG455, 2014": 10, "ohsrep.org.au": 10}, "the lower"),
    Row("ladder", "over 16 ft (4.88 m)", {"s.L5 WAC 296-307-05505, 2020": 16}),
    Row("both-hands", "a single hand", {"c.1 N1, OSHA card: the other hand holds the rail": 1}),
    # s.P1: Iowa State University Extension, equipment questions; Nebraska Statewide Arboretum, 2026
    Row("saw", "up to 19 mm (3/4 in)", {"Iowa State, 3/4 in": 19, "Nebraska": 19}, "the lower"),
    Row("saw", "up to 38 mm (1 1/2 in)", {"Iowa State, 1 1/2 in": 38, "Nebraska": 38}, "the lower"),
    Row("saw", "twice the length", {"s.P5 A manual for green space volunteers": 2}),
    # s.H7 from s.H2 (Madison Gas and Electric) and s.E1 (29 CFR 1910.269)
    Row("saw", "within 10 ft (3.05 m", {"s.H2": 10, "s.E1": 10}, "the higher"),
    Row("eyes", "Z87.1", {"s.Y1 American Optometric Association, 2010": 87.1}),  # s.Y2: two pages misprint it
    Row("power-lines", "within 10 ft (3.05 m)", {"s.E1 29 CFR 1910.269": 10, "s.E2 PECO": 10}, "the higher"),
    Row("power-lines", "within 10 m (33 ft)", {"s.E4 NIE Networks": 10, "s.E5 industry code": 10}, "the higher"),
    Row("power-lines", "within 5 m (17 ft)", {"s.E4 NIE Networks": 5}),
    Row("alcohol", "70 %", {"s.D2 Iowa State": 70, "s.D2 UF/IFAS Polk County, 2019": 70}),
    Row("alcohol-near-wax", "Two tables", {"two places, s.D11, from memory": 2}),
    # s.W4: southashford.org.uk 20; the NHS trust nbt.nhs.uk 10 to 30; 20 is the gathered notes' own choice (V27)
    Row("hot-wax", "at least 20 minutes", {"southashford.org.uk": 20}),
    Row("hot-wax", "run from 10 to 30", {"nbt.nhs.uk, least": 10}),
    Row("hot-wax", "to 30)", {"nbt.nhs.uk, most": 30}),
    Row("bleach", "One part bleach", {"s.D4 Iowa State": 1}),
    Row("bleach", "nine parts water", {"s.D4 Iowa State": 9}),
    # s.D4, s.D5: Iowa State and Penn State 10; UF/IFAS 30; a trial of 1992 1 minute; 10 is the gathered notes' choice
    Row("bleach", "soak 10 minutes", {"Iowa State": 10, "Penn State": 10}, "the higher"),
    Row("bleach", "at least 10 minutes", {"Iowa State": 10, "Penn State": 10}, "the higher"),
    Row("bleach", "run from 1 to", {"nujournal.com, 2018, a trial of 1992": 1}),
    Row("bleach", "to 30)", {"UF/IFAS": 30}),
    Row("bleach", "within 2 hours", {"s.D4 Iowa State": 2}),
    Row("bleach", "after 2 hours", {"s.D4 Iowa State": 2}),
    Row("heat", "every 15 to 20 minutes", {"s.T5 NIOSH 2017-126, least": 15}),
    Row("heat", "to 20 minutes", {"s.T5 NIOSH 2017-126, most": 20}),
    Row("heat", "240 ml (8 oz)", {"s.T5 NIOSH 2017-126": 240}),
    Row("heat", "over 1.4 litres (48 oz)", {"s.T5 NIOSH 2017-126": 1.4}),
    Row("heat", "15 °F (about 8 °C)", {"s.T2 NWS Fort Worth": 15}),
    Row("heat", "90 °F (32 °C)", {"s.T1 NWS, copy of 2015": 90}),
    Row("heat", "103 °F (39 °C)", {"s.T1 NWS, copy of 2015": 103}),
    Row("cold", "0 °F (-18 °C)", {"s.T9 NWS in 10tv.com, 2013": 0}),
    # s.T10: one page says 15 minutes, of -18 °F, which is colder
    Row("cold", "in 30 minutes", {"s.T9 NWS in 10tv.com, 2013": 30}),
    Row("lightning", "30 minutes after", {"s.G1 University of Nebraska-Lincoln": 30, "s.G2 NWS, 2009": 30}),
    Row("lightning", "the 30 minutes again", {"s.G1, V18": 30}),
    Row("lifting", "second pair of hands", {"s.M3, from memory: two people": 2}),
    Row("lifting", "23 kg (51 lb)", {"s.M1 NIOSH 94-110, rev. 2021": 23, "s.M1 OSHA poultry eTool": 23}, "the lower"),
    Row("lifting", "two people", {"s.M3, from memory": 2}),
    Row("picking-loads", "9 to 18 kg (20 to 40 lb)", {"Farmworker clinicians' manual: 20-40 lb (9-18 kg)": 9}),
    Row("picking-loads", "23 kg (50 lb)", {"Farmworker clinicians' manual: about 50 lb (23 kg)": 23}),
    Row("ticks", "0.5 % permethrin", {"s.I4 CDC in the Oxford Township leaflet": 0.5}),
    Row("ticks", "within 2 hours", {"s.I4 CDC in the Oxford Township leaflet": 2}),
    Row("ticks", "for 10 minutes", {"s.I4 CDC in the Oxford Township leaflet": 10}),
]
every_card = pytest.mark.parametrize("card", CARDS.values(), ids=lambda card: card.id)
every_row = pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.card}: {row.says}")


def words_of(card: Card) -> str:
    return "\n".join((card.title, card.line, *card.points, *card.first_aid))


def unexplained(card: Card) -> set[str]:
    """The figures of a card that no row explains, and the rows whose figure it does not show."""
    rest, missing = words_of(card), set()
    for row in sorted((row for row in ROWS if row.card == card.id), key=lambda row: -len(row.says)):
        if not re.search(rf"(?<!\d){re.escape(row.says)}", words_of(card)):
            missing.add(row.says)
        # What stands before and after the figure stays, so that rows may share a sentence.
        rest = rest.replace(row.says, " ".join(FIGURE.sub("", row.says).split()))
    return {found[0] for found in FIGURE.finditer(rest)} | missing


def with_words(card: Card, old: str, new: str, at: int) -> Card:
    """The card with the occurrence number `at` of a figure replaced."""
    texts = [card.title, card.line, *card.points, *card.first_aid]
    whole = "\n".join(texts)
    spans = [found.span() for found in FIGURE.finditer(whole) if found[0] == old]
    start, end = spans[at]
    title, line, *points = (whole[:start] + new + whole[end:]).split("\n")
    aid = len(card.points)
    return msgspec.structs.replace(
        card, title=title, line=line, points=tuple(points[:aid]), first_aid=tuple(points[aid:])
    )


def mutations(card: Card) -> Iterator[Card]:
    """The card once for each of its figures, with that figure changed."""
    seen: dict[str, int] = {}
    for found in FIGURE.finditer(words_of(card)):
        at = seen.get(found[0], 0)
        seen[found[0]] = at + 1
        other = "seven" if found[0].isalpha() else f"9{found[0]}"
        yield with_words(card, found[0], other, at)


def words_of_all() -> list[str]:
    """Everything that a person can read of cards and templates, sentence by sentence."""
    read = [text for card in CARDS.values() for text in (words_of(card), card.defer, card.source)]
    read = [sentence for text in read for sentence in text.split("\n")]
    return read + [text for t in TEMPLATES for text in (t.title, *t.steps, *t.tools, t.note, t.source)]


def test_there_is_a_card_for_every_danger_of_the_orchard() -> None:
    assert set(CARDS) >= {
        "knife", "ladder", "both-hands", "saw", "saw-aloft", "eyes", "power-lines", "clean-blades", "alcohol",
        "alcohol-near-wax", "hot-wax", "bleach", "paint", "spraying", "sprays", "plant-health", "heat", "cold",
        "lightning", "lifting", "picking-loads", "stings", "ticks", "other-tool",
    }  # fmt: skip


@every_card
def test_every_figure_of_a_card_has_its_source_and_every_source_its_figure(card: Card) -> None:
    assert not unexplained(card), f"without its Row in ROWS, or a Row without it: {unexplained(card)}"


@every_card
def test_a_figure_that_is_changed_on_any_card_is_found(card: Card) -> None:
    for changed in mutations(card):
        assert unexplained(changed), words_of(changed)


def test_a_row_without_its_card_or_figure_is_found() -> None:
    assert {row.card for row in ROWS} <= set(CARDS)
    silent = msgspec.structs.replace(CARDS["ticks"], points=("Nothing.",))
    assert unexplained(silent) == {"0.5 % permethrin", "within 2 hours", "for 10 minutes"}


@every_row
def test_a_figure_is_as_strict_as_its_strictest_source(row: Row) -> None:
    assert row.shown == row.due, f"{row.card}: {row.says}, published {row.published}"


@every_card
def test_a_card_defers_to_labels_codes_and_practice_in_few_words(card: Card) -> None:
    assert re.search(r"\blabels?\b", card.defer, re.IGNORECASE)
    assert "local codes" in card.defer
    assert re.search(r"licensed|trained|qualified", card.defer)
    assert len(card.defer) <= 170


@every_card
def test_a_card_names_its_sources_with_a_year_or_says_that_there_is_none(card: Card) -> None:
    for source in card.source.split("; "):
        assert re.search(r"\b(19|20)\d\d\b|undated|common practice, no source|from memory|\(copy\)", source), source


@every_card
def test_a_card_is_short(card: Card) -> None:
    assert 3 <= len(card.points) + len(card.first_aid) <= 11
    assert len(card.line) <= 160
    assert all(len(text) <= 125 for text in (*card.points, *card.first_aid))


FIRST_AID = re.compile(
    r"^(Deep cut|Spurting|An orchard cut counts|Cut yourself|A branch scratches|Bleach, alcohol or lime|Fire or burn|"
    r"Wax on fire|Burn:|Take rings off|If gas forms|Splash:|On skin or in eyes|Confusion, collapse|Wash a sting|"
    r"Trouble breathing|Grip a tick|A rash or fever)"
)


@every_card
def test_what_to_do_after_harm_stands_as_first_aid_and_nothing_else_does(card: Card) -> None:
    help_words = re.compile(r"medical help|emergency (call|service)|poison control|clinician|see a doctor|first aid")
    assert not [point for point in card.points if FIRST_AID.search(point) or help_words.search(point)]
    unknown = [point for point in card.first_aid if not FIRST_AID.search(point)]
    assert not unknown, f"FIRST_AID here does not know how these begin: {unknown}"


def test_the_cards_on_which_somebody_can_be_hurt_have_first_aid() -> None:
    assert {card.id for card in CARDS.values() if card.first_aid} >= {
        "knife", "saw", "eyes", "alcohol-near-wax", "hot-wax", "bleach", "paint", "spraying", "heat", "stings", "ticks",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("shown", "published", "within"),
    [
        (19.0, 0.75 * 25.4, 0.1),  # Iowa State: hand shears to 3/4 in
        (38.0, 1.5 * 25.4, 0.2),  # Iowa State: loppers to 1 1/2 in
        (4.88, 16 * 0.3048, 0.01),  # WAC 296-307-05505: 16 ft
        (3.05, 10 * 0.3048, 0.01),  # 29 CFR 1910.269: 10 ft
        (33.0, 10 / 0.3048, 0.2),  # NIE Networks: 10 m
        (17.0, 5 / 0.3048, 0.6),  # NIE Networks: 5 m
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
    assert f"{shown:g}" in " ".join(map(words_of, CARDS.values()))
    assert abs(shown - published) <= within


def test_a_distance_to_keep_is_never_rounded_down() -> None:
    # 29 CFR 1910.269: 10 ft are 3.048 m; NIE Networks: 10 m are 32.8 ft, 5 m 16.4 ft.
    said = "\n".join(map(words_of, CARDS.values()))
    in_feet = re.findall(rf"within ({NUMBER}) ft \(({NUMBER}) m", said)
    in_metres = re.findall(rf"within ({NUMBER}) m \(({NUMBER}) ft", said)
    assert in_feet
    assert in_metres
    assert all(float(metres) >= float(feet) * 0.3048 for feet, metres in in_feet)
    assert all(float(feet) >= float(metres) / 0.3048 for metres, feet in in_metres)


def test_the_highest_step_is_given_for_each_kind_of_ladder_without_counting_the_cap() -> None:
    # s.L14, s.L15, c.1: one line that is true of all ladders, since it stands beside every ladder job.
    line = CARDS["ladder"].line
    assert "tripod, third step below the cap" in line
    assert "stepladder, fourth tread down" in line
    assert "leaning ladder, fourth rung down" in line
    assert "lower if its label says so" in line


def test_the_leaning_rule_is_by_working_length_and_never_for_tripods() -> None:
    # San Joaquin County handout: a quarter of the working length. OSHA letter of 21 January 2010: not for stepladders.
    (point,) = [point for point in CARDS["ladder"].points if "quarter" in point]
    assert "working length" in point
    assert "Never so for tripods or stepladders" in point


@pytest.mark.parametrize(
    "words",
    [
        "both hands on knife and wood", "you, clothes, tools and load", "Stiff sole with heel, no mud",
        "on a line or belt", "Firm level base", "Somebody knows where you are", "US and UK rules differ",
    ],
)  # fmt: skip
def test_the_ladder_card_says_what_else_brings_people_down(words: str) -> None:
    # s.K5, s.L22, s.L26, s.L16, s.L19, s.L27, and c.1 for the two countries
    assert words in words_of(CARDS["ladder"])


@pytest.mark.parametrize(
    "trigger",
    [
        "power line within 10 ft", "feet above the ladder rule", "saw needed from a ladder",
        "cannot be lowered by hand", "person, road or roof", "decayed", "cracked", "hanging", "storm-broken",
        "chainsaw needed",
    ],
)  # fmt: skip
def test_every_reason_to_call_an_arborist_stands_on_the_saw_card(trigger: str) -> None:
    assert trigger in words_of(CARDS["saw"])  # s.H7


def test_the_new_cards_say_what_keeps_people_off_ladders_and_flames() -> None:
    assert CARDS["alcohol-near-wax"].line.startswith("Alcohol and the wax heater never at the same place")  # c.2
    assert "from the ground, from a platform, or bring the place down; not from a ladder" in CARDS["both-hands"].line
    assert CARDS["saw-aloft"].line.startswith("Do not saw from a ladder: pole saw from the ground")  # c.1
    assert "Never on pruning cuts" in CARDS["paint"].line  # s.S1


def test_a_sick_tree_gives_no_wood_until_a_winter_has_passed() -> None:
    # c.2: N17 (WSU, T. Smith) and N15 (Acta Hort. 590)
    (point,) = [point for point in CARDS["plant-health"].points if "this season" in point]
    assert "fire blight" in point
    assert "winter pass" in point


def test_the_spray_record_holds_the_jobs_back() -> None:
    sprays = words_of(CARDS["sprays"])
    assert "day, tree, product" in sprays
    assert "holds the jobs of that tree back" in sprays
    assert "not known is not zero" in sprays  # s.X4


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
    (point,) = [point for point in CARDS["knife"].first_aid if "tetanus" in point]
    assert "ask a clinician" in point
    assert not re.search(r"you (do not )?need", point)


MUST_NOT_BE_SAID = {
    "a wind speed: no official limit was found (s.L25)": (r"\d\s*(mph|km/h|kph|knots?|m/s)\b", "not over 20 mph"),
    "UK slope limits that could not be found (s.L20)": (r"\b(16|6)\s*(°(?! ?[CF])|deg)", "up to 16 degrees"),
    "tourniquets, as their loosening is superseded advice (s.A5)": (r"tourniquet", "loosen the tourniquet"),
    "a misprinted eyewear standard (s.Y2)": (r"Z78", "ANSI Z78.1"),
    "chainsaw technique (s.C2)": (r"kickback|chain brake|bar tip|felling cut|plunge", "mind the kickback"),
    "a wax temperature from hobby pages (s.W2)": (
        r"\b(160|212|250|300|375)\s*°?\s*F\b|\b(71|121|149|191)\s*°?\s*C\b",
        "melt it at 160 °F",
    ),
    "a count of deaths (s.I3)": (r"\bdeaths?\b", "62 deaths a year"),
    "a re-entry or harvest interval (s.X4)": (
        r"(re-entry|harvest interval|days to (return|harvest)|REI)\D{0,20}\d",
        "re-entry after 12 h",
    ),
    "a spray or its amount (s.X4)": (
        r"\d\s*(g|ml|l|oz|kg)\s*(per|/)\s*(l|litre|liter|ha|acre|gallon|100)\b",
        "20 g per litre",
    ),
    "a rule that the knife always goes away from you (s.K4)": (r"[Aa]lways cut away", "Always cut away from you"),
    "that a height is the law for a hobby grower (s.H1)": (
        r"\b(law|illegal|must not|forbidden)\b(?!.*farms, not gardens).*\d\s*(ft|m|feet|metres)\b",
        "The law allows no work above 6 ft",
    ),
    "seconds to count before going in (s.G4)": (r"\d+ ?s(econds)?\b.*(thunder|flash)", "30 seconds after the flash"),
    "the handwash mix of bleach for tools (s.D6)": (r"tbsp|tablespoon|\btsp\b|teaspoon", "5 tablespoons a gallon"),
}


@pytest.mark.parametrize("what", MUST_NOT_BE_SAID)
def test_what_must_not_be_said_is_said_nowhere(what: str) -> None:
    pattern, example = MUST_NOT_BE_SAID[what]
    assert re.search(pattern, example), "the pattern finds nothing"
    assert [text for text in words_of_all() if re.search(pattern, text)] == []


def test_a_chainsaw_is_named_only_to_leave_it_to_others() -> None:
    named = [text for text in words_of_all() if re.search(r"chain ?saw", text, re.I)]
    assert len(named) <= 2
    assert all("trained" in text or "HSE INDG317" in text for text in named)


def test_no_height_is_presented_as_law_for_a_garden() -> None:
    lawful = [point for card in CARDS.values() for point in card.points if re.search(r"\b(law|rule)\b.*\d ft\b", point)]
    assert lawful
    assert all("it binds farms, not gardens" in point for point in lawful)


@pytest.mark.parametrize("name", ["sprays", "spraying"])
def test_the_spray_cards_give_no_number_at_all(name: str) -> None:
    assert not FIGURE.findall(words_of(CARDS[name]))


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.id)
def test_no_step_sends_anybody_up_a_ladder(template: Template) -> None:
    assert not any("ladder" in step.lower() or "climb" in step.lower() for step in template.steps)

"""What is known of varieties and from whom: the person's word first, field by field, and nothing guessed."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import APPLE, PEAR, bundle, graft, orchard

from tendwork.orchard.edits import applied
from tendwork.orchard.faults import faults
from tendwork.orchard.records import Records, Sighting, Variety
from tendwork.orchard.ripening import ripening
from tendwork.orchard.tree_varieties import VarietiesSeen
from tendwork.orchard.varieties import VarietyBook, twice_named
from tendwork.orchard.variety_checks import twice_in_place, twice_sentences, variety_hints
from tendwork.orchard.variety_edits import note_in_bloom, note_variety, remove_variety
from tendwork.orchard.variety_reference import BloomPlace, ListedVariety, Said, VarietyReference
from tendwork.orchard.variety_words import (
    POLLEN,
    bloom_fault,
    bloom_group,
    bloom_words,
    pollen_fault,
    ripe_span,
    ripens_against,
    ripens_fault,
    vigour_word,
)
from tendwork.orchard.vigour import Growth, growth_sentences, usual_vigour

TODAY = date(2026, 5, 4)
LISTS = VarietyReference(
    (
        ListedVariety(
            "apple",
            "Red Lamp",
            (Said("Crimson Lamp", "a list"),),
            {
                "bloom": (Said("group 4", "a nursery"),),
                "keeps": (Said("Mar", "a station"), Said("Jan", "a page", hobby=True)),
                "days from bloom": (Said("140", "a station"),),
            },
            BloomPlace(4.0, "group 4 [a nursery]"),
        ),
        ListedVariety("apple", "Standard Lamp"),
    )
)


def book(*varieties: Variety, **more: object) -> VarietyBook:
    return VarietyBook(orchard(graft(), graft("g2", variety="Dim Lamp"), varieties=varieties, **more), LISTS)


@pytest.mark.parametrize(
    ("text", "group", "shown"),
    [
        ("3", 3, "group 3"),
        ("bloom group 7", 7, "group 7"),
        ("c", 3, "group C"),
        ("Group D", 4, "group D"),
        ("2-3", 2.5, "group 2 to 3"),
        ("+4", 4, "+4 days"),
        ("-2 days", 2.5, "-2 days"),
        ("8 days  later", 5, "8 days later"),
        ("6 days earlier", 1.5, "6 days earlier"),
    ],
)
def test_a_bloom_is_a_group_or_days_of_which_four_are_a_group(text: str, group: float, shown: str) -> None:
    assert (bloom_group(text), bloom_words(text), bloom_fault(text)) == (group, shown, "")


@pytest.mark.parametrize("text", ["early", "4 of 5", "day 12", "group", "group K", "soon 3"])
def test_what_is_neither_is_refused_with_what_may_stand_there(text: str) -> None:
    assert bloom_fault(text) == (
        f'"{text}" is neither a bloom group, such as 3 or C, nor days after its species, such as +4'
    )


def test_when_it_ripens_is_a_span_or_days_against_another_variety() -> None:
    assert ripe_span("09-15 to 10-02") == ((9, 15), (10, 2))
    assert ripe_span("09-15") == ((9, 15), (9, 15))
    assert ripens_against("Red Delicious -12") == ("Red Delicious", -12)
    assert ripens_against("Bing +1 week") == ("Bing", 7)
    assert not any(map(ripens_fault, ("09-15 to 10-02", "Red Delicious 0 days", "Bing -2 weeks")))
    assert all(map(ripens_fault, ("09-31", "13-01 to 13-05", "soon", "-12", "12 -12", "early Sep", "31 Sep")))
    assert ripe_span("Red Delicious -12") is None


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("Nov", (11, 1), (11, 30)),
        ("August", (8, 1), (8, 31)),
        ("Aug to Sept", (8, 1), (9, 30)),
        ("15 Aug - 10 Sep", (8, 15), (9, 10)),
        ("15. Aug to 10. Sep", (8, 15), (9, 10)),
        ("Sep 15 to Oct 2", (9, 15), (10, 2)),
        ("Sep 15", (9, 15), (9, 15)),
        ("Aug-Sep", (8, 1), (9, 30)),
        ("15 Aug-10 Sep", (8, 15), (9, 10)),
        ("15-20 Aug", (8, 15), (8, 20)),
        ("Aug 15 - 20", (8, 15), (8, 20)),
        ("12-20 to 01-15", (12, 20), (1, 15)),
    ],
)
def test_days_of_the_year_are_read_as_people_write_them(text: str, first: object, last: object) -> None:
    assert (ripe_span(text), ripens_against(text), ripens_fault(text)) == ((first, last), None, "")


@pytest.mark.parametrize("text", ["09-25 to 09-15", "Nov to Oct", "10 Sep - 15 Aug"])
def test_a_span_that_ends_before_it_begins_is_refused(text: str) -> None:
    assert ripens_fault(text) == f'"{text}" ends before it begins'


@pytest.mark.parametrize(("text", "days"), [("Red Delicious - 12", -12), ("Red Delicious + 12", 12), ("Bing 3", 3)])
def test_a_sign_may_stand_apart_from_its_days(text: str, days: int) -> None:
    found = ripens_against(text)
    assert found is not None
    assert (found[0], found[1]) == (text.split(" -")[0].split(" +")[0].removesuffix(" 3"), days)


@pytest.mark.parametrize("text", ["30", "0", "group 99", "H", "2 to 9", "group 12"])
def test_a_group_that_there_is_not_is_refused(text: str) -> None:
    assert "is no bloom group, which are 1 to 7 or A to G" in bloom_fault(text)
    assert "later bloom group first" in bloom_fault("5 to 2")


@pytest.mark.parametrize(
    ("text", "meant"), [("tripliod", "triploid"), ("Self-fertil", "fertile"), ("dipoid", "diploid")]
)
def test_a_misspelt_word_for_pollen_is_asked_about(text: str, meant: str) -> None:
    assert pollen_fault(text) == f'"{text}" is not known. Did you mean "{meant}"?'


@pytest.mark.parametrize(
    "text",
    [*POLLEN, "", "Triploid", "tetraploid", "self fertile, good pollen", "not self-fertile", "infertile", "male"],
)
def test_any_other_word_for_pollen_is_kept(text: str) -> None:
    assert pollen_fault(text) == ""


@pytest.mark.parametrize(
    ("text", "word"),
    [("Vigorous, upright", "strong"), ("moderate", "middle"), ("compact", "weak"), ("medium to strong", ""), ("4", "")],
)
def test_vigour_is_a_word_only_where_it_says_one(text: str, word: str) -> None:
    assert vigour_word(text) == word


def test_the_person_s_word_goes_before_the_lists_field_by_field() -> None:
    known = book(Variety("apple", "red-lamp", bloom="2", use="cider", source="a neighbour")).known("apple", "Red Lamp")
    assert {field: [one.words for one in said] for field, said in known.said.items()} == {
        "bloom": ["group 2 [you, from a neighbour]"],
        "keeps": ["Mar [a station]", "Jan [hobby list: a page]"],
        "use": ["cider [you, from a neighbour]"],
    }
    assert known.unknown == ("pollen", "ripens", "vigour", "chill")
    assert [one.words for one in known.days] == ["140 [a station]"]


def test_of_what_neither_knows_nothing_is_said() -> None:
    known = book().known("apple", "Dim Lamp")
    assert (known.said, known.days, known.is_listed) == ({}, (), False)
    assert book().bloom_place("apple", "Dim Lamp") is None
    assert book().known("pear", "Red Lamp").said == {}


@pytest.mark.parametrize("name", ["Crimson Lamp", "CRIMSON lamp", "Lámp rouge", "Red Lamp"])
def test_a_record_is_found_by_all_names_of_its_variety(name: str) -> None:
    own = Variety("apple", "Red Lamp", also="Lamp Rouge, Rubin", keeps="Dec")
    assert book(own).record("apple", name) is own
    assert book(own).record("pear", name) is None


def test_lists_are_found_by_another_name_that_only_the_record_has() -> None:
    own = Variety("apple", "My Lamp", also="Red Lamp")
    assert [one.words for one in book(own).known("apple", "My Lamp").said["bloom"]] == ["group 4 [a nursery]"]


def test_what_is_noted_on_grafts_is_the_person_s_word_too() -> None:
    grafts = (graft(chill=52.5, ripens_from=(9, 1)), graft("g2", chill=52.5, ripens_from=(9, 1)))
    said = VarietyBook(orchard(*grafts), LISTS).known("apple", "Red Lamp").said
    assert [one.words for one in said["chill"]] == ["52.5 portions [you, on g1 and g2]"]
    assert [one.words for one in said["ripens"]] == ["from 09-01 [you, on g1 and g2]"]
    own = Variety("apple", "Red Lamp", chill=60.0)
    said = VarietyBook(orchard(*grafts, varieties=(own,)), LISTS).known("apple", "Red Lamp").said
    assert [one.words for one in said["chill"]] == ["52.5 portions [you, on g1 and g2]", "60 portions [you]"]
    same = Variety("apple", "Red Lamp", chill=52.5)
    said = VarietyBook(orchard(*grafts, varieties=(same,)), LISTS).known("apple", "Red Lamp").said
    assert [one.words for one in said["chill"]] == ["52.5 portions [you]"]


def test_every_variety_on_trees_in_wood_or_with_a_record_is_one_row() -> None:
    held = book(Variety("pear", "Kept Lamp", keeps="Mar"), wood=(bundle(variety="crimson lamp"), bundle("w2")))
    assert [(one.species, one.variety, one.trees, one.bundles) for one in held.all_known()] == [
        ("apple", "Dim Lamp", ("t1",), ()),
        ("apple", "Red Lamp", ("t1",), ("w1", "w2")),
        ("pear", "Kept Lamp", (), ()),
    ]


def test_noting_makes_one_record_and_completes_it() -> None:
    records = orchard(graft())
    made = note_variety(records, "apple", "Red Lamp", {"bloom": "3"}, TODAY)
    records = applied(records, made)
    completed = note_variety(records, "apple", "RED LAMP", {"keeps": "Mar"}, TODAY)
    records = applied(records, completed)
    assert (made.words, completed.words) == ("Red Lamp: bloom group 3", "Red Lamp (apple): record changed")
    assert records.varieties == (Variety("apple", "Red Lamp", bloom="3", keeps="Mar"),)
    emptied = note_variety(records, "apple", "Red Lamp", {"bloom": "", "keeps": ""}, TODAY)
    assert (emptied.words, applied(records, emptied).varieties) == ("Red Lamp (apple): record removed", ())
    assert applied(records, remove_variety(records, "apple", "red lamp")).varieties == ()


def test_nothing_new_and_nothing_at_all_are_no_record() -> None:
    records = orchard(graft(), varieties=(Variety("apple", "Red Lamp", bloom="3"),))
    assert note_variety(records, "apple", "Red Lamp", {"bloom": "3"}, TODAY).refused == ("Nothing was changed.",)
    assert note_variety(records, "apple", "Dim Lamp", {"bloom": ""}, TODAY).refused
    assert remove_variety(records, "apple", "Dim Lamp").refused == ("There is no record of Dim Lamp.",)


def test_a_variety_has_one_record() -> None:
    records = orchard(varieties=(Variety("apple", "Bleu d'Été"), Variety("apple", "BLEU d’ete")))
    assert faults(records, TODAY) == ('There is already a record of the apple "BLEU d’ete". Change that one instead.',)
    renamed = orchard(varieties=(Variety("apple", "Red Lamp", keeps="Mar"), Variety("apple", "Dim Lamp", keeps="Dec")))
    assert note_variety(renamed, "apple", "Dim Lamp", {"variety": "red lamp"}, TODAY).refused


def test_two_records_of_one_variety_by_another_name_are_told() -> None:
    one, other = Variety("apple", "Red Lamp", also="Rubin"), Variety("apple", "Rubin")
    assert twice_named(orchard(varieties=(one, other))) == ((other, one, "Rubin"),)
    assert "share the name" in twice_sentences(orchard(varieties=(one, other)))[0]
    assert not twice_sentences(orchard(varieties=(one, Variety("pear", "Rubin"))))
    (hint,) = variety_hints(orchard(varieties=(Variety("apple", "Red Lamp"), Variety("apple", "Crimson lamp"))), LISTS)
    assert hint.startswith("Varieties: lists call Red Lamp and Crimson lamp (apple) one variety.")


def test_a_standard_that_nobody_knows_is_told() -> None:
    records = orchard(graft(variety="Own Lamp"), varieties=(
        Variety("apple", "A", ripens="Standard Lamp -12"), Variety("apple", "B", ripens="Own Lamp +3"),
        Variety("apple", "C", ripens="Standart Lamp -12"), Variety("apple", "D", ripens="A +3"),
    ))  # fmt: skip
    (hint,) = variety_hints(records, LISTS)
    assert hint == (
        'Varieties: C (apple) ripens against "Standart Lamp", which neither records nor lists know. Did you mean'
        ' "Standard Lamp"?'
    )


def test_a_standard_of_the_graft_s_species_is_known_on_a_tree_of_another() -> None:
    grafts = (graft(variety="Homepeach", species="peach"),)
    told = Variety("peach", "Late Peach", ripens="Homepeach +9")
    assert variety_hints(orchard(*grafts, varieties=(told,)), LISTS) == ()
    other = Variety("apple", "Late Apple", ripens="Homepeach +9")
    assert len(variety_hints(orchard(*grafts, varieties=(other,)), LISTS)) == 1


def test_two_varieties_of_the_lists_under_one_record_are_told() -> None:
    wrong = Variety("apple", "Red Lamp", also="Crimson Lamp, Standard lamp")
    (hint,) = variety_hints(orchard(varieties=(wrong,)), LISTS)
    assert hint == (
        'Varieties: Red Lamp (apple) has "Standard lamp" among its other names, but lists know Standard Lamp as another'
        " variety than Red Lamp, and here both count as one. If that is a slip, take the name out."
    )
    mine = Variety("apple", "My Lamp", also="Crimson Lamp, Standard Lamp")
    assert len(variety_hints(orchard(varieties=(mine,)), LISTS)) == 1
    right = Variety("apple", "My Lamp", also="Crimson Lamp, Red Lamp")
    assert variety_hints(orchard(varieties=(right,)), LISTS) == ()


def test_ripening_against_itself_or_in_a_circle_is_told_once() -> None:
    def ripens(name: str, against: str) -> Variety:
        return Variety("apple", name, ripens=f"{against} +3")

    itself = ripens("Red Lamp", "Crimson lamp")
    (hint,) = variety_hints(orchard(varieties=(itself,)), LISTS)
    assert hint == (
        "Varieties: Red Lamp (apple) ripens against itself, which says no day. Name another variety, or days such as"
        " 09-15 to 10-02."
    )
    circle = (ripens("A", "B"), ripens("B", "C"), ripens("C", "B"), ripens("D", "A"))
    (hint,) = variety_hints(orchard(varieties=circle), LISTS)
    assert hint.startswith("Varieties: B and C (apple) ripen against each other in a circle, which says no day.")


def test_a_variety_noted_twice_in_one_place_is_told_however_it_is_spelled() -> None:
    place = {"facing": 90, "height_m": 1.5, "state": "bearing"}
    twice = orchard(graft("g1", variety="Court Pendu Plat", **place), graft("g2", variety="Court pendu plat", **place))
    assert twice_in_place(twice) == (
        "Grafts g1 and g2 on Old apple (t1) are one variety, Court Pendu Plat and Court pendu plat, at one side and"
        " height: if they are one graft, remove the others.",
    )
    assert twice_in_place(twice, {"g2"}) == twice_in_place(twice)
    assert twice_in_place(twice, {"g3"}) == ()
    for other in ({"height_m": 2.0}, {"facing": None}, {"variety": "Blue Lamp"}, {"tree": "t2"}, {"state": "removed"}):
        apart = graft("g2", **{"variety": "Court Pendu Plat", **place, **other})
        assert twice_in_place(orchard(twice.grafts[0], apart)) == ()


def test_in_bloom_today_is_a_sighting_that_names_the_variety() -> None:
    records = orchard(graft(), graft("g2", variety="Dim Lamp"))
    edit = note_in_bloom(records, "apple", "Red Lamp", TODAY)
    assert edit.added == (Sighting(TODAY, "apple", "full bloom", "t1", "Red Lamp"),)
    assert edit.sentence == "Red Lamp seen in full bloom on Old apple."
    after = applied(records, edit)
    assert note_in_bloom(after, "apple", "Red Lamp", TODAY).refused
    assert note_in_bloom(records, "pear", "Red Lamp", TODAY).refused == (
        "No graft of Red Lamp grows here yet, so it cannot be in bloom.",
    )


def test_on_several_trees_it_is_of_none_alone() -> None:
    trees = (APPLE, PEAR, type(APPLE)("t9", "New apple", "apple"))
    records = Records(trees, (graft(), graft("g2", tree="t9")))
    assert [one.tree for one in note_in_bloom(records, "apple", "Red Lamp", TODAY).added] == [""]  # type: ignore[union-attr]


def test_a_sighting_is_of_the_variety_that_its_note_names_alone() -> None:
    seen = VarietiesSeen(orchard(graft(state="bearing"), graft("g2", variety="Dim Lamp", state="bearing")))
    notes = {"Dim Lamp": "Dim Lamp", "dim lamp": "Dim Lamp", "Dim Lamp, south side": "", "": ""}
    for note, variety in notes.items():
        assert seen.of(Sighting(TODAY, "apple", "full bloom", "t1", note)) == variety


def test_ripening_falls_back_to_the_record_and_says_so() -> None:
    own = Variety("apple", "Dim Lamp", ripens="09-15 to 10-02")
    grafts = (graft(ripens_from=(8, 1)), graft("g2", variety="Dim Lamp"), graft("g3", variety="Far Lamp"))
    against = Variety("apple", "Far Lamp", ripens="Red Delicious -12")
    spans = {one.variety: one for one in ripening(orchard(*grafts, varieties=(own, against)))}
    assert set(spans) == {"Red Lamp", "Dim Lamp"}
    assert (spans["Dim Lamp"].first, spans["Dim Lamp"].last, spans["Dim Lamp"].recorded) == ((9, 15), (10, 2), True)
    assert (spans["Red Lamp"].noted, spans["Red Lamp"].recorded) == (True, False)


def test_the_graft_s_own_days_go_before_the_record() -> None:
    own = Variety("apple", "Red Lamp", ripens="09-15 to 10-02")
    (span,) = ripening(orchard(graft(ripens_from=(8, 1), ripens_to=(8, 9)), varieties=(own,)))
    assert (span.first, span.last, span.recorded) == ((8, 1), (8, 9), False)


def test_vigour_of_the_record_speaks_until_growth_is_noted() -> None:
    grafts = (graft(state="bearing"), graft("g2", variety="Dim Lamp", state="took"), graft("g3", state="bearing"))
    varieties = (Variety("apple", "Red Lamp", vigour="vigorous"), Variety("apple", "Dim Lamp", vigour="low"))
    usual = usual_vigour(orchard(*grafts, varieties=varieties))
    assert usual == {"g1": "strong", "g2": "weak", "g3": "strong"}
    assert growth_sentences({"g3": (Growth(2026, "middle"),)}, grafts, 2026, usual) == (
        "Shorten Red Lamp (g1): strong growth by the record of the variety.",
        "Spare Dim Lamp (g2): weak growth by the record of the variety.",
    )


def test_what_an_older_program_let_in_is_named() -> None:
    held = Records(varieties=(Variety("apple", "Red Lamp", bloom="99", pollen="tripliod", ripens="09-25 to 09-15"),))
    hints = variety_hints(held, LISTS)
    assert [hint.split(": ")[2].split()[0] for hint in hints] == ["bloom", "pollen", "ripens"]
    assert hints[2] == 'Varieties: Red Lamp (apple): ripens "09-25 to 09-15" ends before it begins. Mend it.'


def test_keeping_that_names_no_time_is_said_and_what_does_not_keep_is_understood() -> None:
    held = tuple(
        Variety("apple", f"Lamp {n}", keeps=keeps) for n, keeps in enumerate(("medium", "Nov-Feb", "does not keep"))
    )
    (hint,) = variety_hints(orchard(varieties=held), LISTS)
    assert hint.startswith('Varieties: Lamp 0 (apple): keeps "medium" names no time')


def test_keeping_that_cannot_be_is_named_where_it_stands_already() -> None:
    (hint,) = variety_hints(orchard(varieties=(Variety("apple", "Lamp", keeps="999999 weeks"),)), LISTS)
    assert hint.startswith("Varieties: Lamp (apple): keeps ")
    assert "longer than any fruit keeps" in hint

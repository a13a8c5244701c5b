"""A variety has one key, whatever name a graft, a bundle or a record has: all that puts them together goes by it."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import APPLE, PEAR, bundle, graft, orchard

from tendwork.folder.variety_lists import variety_reference
from tendwork.orchard.edits import EditUnderWay, after_changes
from tendwork.orchard.lives import passed_on
from tendwork.orchard.records import Records, Sighting, Spray, Tick, Tree, Variety
from tendwork.orchard.ripening import ripening
from tendwork.orchard.series import bundle_for, planned_for
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.tree_varieties import VarietiesSeen, single_varieties
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_edits import note_in_bloom
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_balance import wood_balance
from tendwork.orchard.wood_sources import giver_before, sources_of
from tendwork.orchard.wood_wishes import asked, wood_wishes
from tendwork.planning.cutting_list import cutting_list
from tendwork.planning.follow_ups import follow
from tendwork.planning.fruit_years import fruit_years
from tendwork.planning.results import Unit, Window
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.wood_offers import wood_offers
from tendwork.view.fruit import fruit_rows
from tendwork.view.grafting_words import following_variety
from tendwork.view.ripening import barred_fruit, picture_of, picture_text
from tendwork.view.wood_balance import balance_lines

TODAY = date(2026, 1, 20)
FIRST = date(2026, 10, 1)
BRAMLEY = RipeDates("apple", "Bramley", FIRST, FIRST, FIRST, FIRST, None, (), FIRST, date(2026, 10, 9), FIRST)
CUT = date(2026, 1, 5)
OWN = Variety("pear", "Williams", also="Poire Lampe")
SPELLINGS = [
    ("Beurre Hardy", "Beurré Hardy", ()),
    ("Doyenné du Comice", "comice", ()),
    ("Williams' Bon Chrétien", "Bartlett", ()),
    ("Williams", "Bartlett", ()),
    ("Poire Lampe", "Bartlett", (OWN,)),
    ("Lampe  d'Été", "lampe d’ete", ()),
]


def first_day(_: date) -> date:
    return date(2025, 11, 1)


def planned(name: str, **more: object) -> Records:
    return orchard(graft("g1", tree="t2", variety=name, state="planned", method="cleft"), **more)


@pytest.mark.parametrize(("one", "other", "varieties"), SPELLINGS)
def test_wood_of_a_variety_serves_whatever_name_it_has(one: str, other: str, varieties: tuple[Variety, ...]) -> None:
    wood = (bundle(variety=other, species="pear", sticks=3, cut_on=CUT),)
    records = planned(one, wood=wood, varieties=varieties)
    (balance,) = wood_balance(records, TODAY, ())
    assert (balance.variety, balance.held, balance.needed, balance.free, balance.missing) == (one, 3, 1, 2, 0)
    assert wood_wishes(records, TODAY, first_day) == ()
    assert cutting_list(records, TODAY, south=False) == ()
    assert bundle_for(records, one, "pear", TODAY) == wood[0]
    assert planned_for(records, PEAR, other) == records.grafts[0]
    assert f"Bundles: w1 ({other}), 3 sticks" in balance_lines(records, balance, 80)


@pytest.mark.parametrize(("one", "other", "varieties"), SPELLINGS)
def test_a_tree_here_gives_it_whatever_name_it_grows_under(
    one: str, other: str, varieties: tuple[Variety, ...]
) -> None:
    grown = graft("g2", tree="t2", variety=other, state="bearing", verdict="keep")
    records = orchard(*planned(one).grafts, grown, varieties=varieties)
    assert [source.grafts for source in sources_of(records, "pear", one)] == [(grown,)]
    assert wood_wishes(records, TODAY, first_day) == ()
    assert [(line.tree, line.here) for line in cutting_list(records, TODAY, south=False)] == [("t2", 1)]
    assert single_varieties(records) == {("t2", "pear"): min(one, other)}
    assert VarietiesSeen(records).of(Sighting(TODAY, "pear", "full bloom", note=one)) == min(one, other)
    assert not note_in_bloom(records, "pear", one, TODAY).refused


@pytest.mark.parametrize(("one", "other", "varieties"), SPELLINGS)
def test_who_gave_it_before_is_asked_under_any_name(one: str, other: str, varieties: tuple[Variety, ...]) -> None:
    gone = bundle(variety=other, species="pear", sticks=0, cut_on=date(2024, 1, 5), came_from="P. Hill")
    records = planned(one, wood=(gone, bundle("w2", variety=other, species="pear", sticks=1, cut_on=None)))
    records = Records(records.trees, records.grafts, records.wood, varieties=varieties)
    assert giver_before(records, "pear", one, TreesByWord(records.trees)) == "P. Hill"
    after = after_changes(records, asked(records, "pear", other, TODAY, first_day))
    assert [(one.id, one.came_from, one.asked_on) for one in after.wood if one.asked_on] == [("w2", "P. Hill", TODAY)]


def test_of_two_spellings_the_free_sticks_of_neither_are_lost() -> None:
    grafts = (graft("g1", verdict="keep", state="bearing", variety="Bramley"),)
    wood = (
        bundle("w1", variety="Bramley's Seedling", sticks=4, cut_on=CUT, promised_to="P. Hill", promised_sticks=1),
        bundle("w2", variety="bramley", sticks=2, cut_on=CUT),
    )
    (offer,) = wood_offers(orchard(*grafts, wood=wood), TODAY, south=False)
    assert (offer.variety, offer.free, offer.promised) == ("Bramley", 5, (("P. Hill", 1),))


def test_a_plum_of_the_same_name_gives_no_cherry() -> None:
    """The wish stays, and what is cut says that the namesake is of another species."""
    grafts = (
        graft("g1", variety="Early Rivers", species="plum", state="bearing"),
        graft("g2", variety="early rivers", species="sweet cherry", state="planned", method="cleft"),
    )
    records = orchard(*grafts)
    (wish,) = wood_wishes(records, TODAY, first_day)
    assert (wish.species, wish.variety, wish.sticks) == ("sweet cherry", "early rivers", 1)
    (line,) = cutting_list(records, TODAY, south=False)
    assert (line.tree, line.grafts) == ("", ())
    assert line.look == ("Early Rivers (g1) on Old apple is of another species, plum: look which one is meant.",)


def test_another_species_is_another_variety_and_so_is_another_name() -> None:
    keys = variety_keys(Records())
    assert keys.of("apple", "Early Lamp") != keys.of("pear", "Early Lamp")
    assert keys.of("apple", "Williams") != keys.of("apple", "Bartlett")
    assert keys.of("apple", "Lamp") != keys.of("apple", "Lamps")


@pytest.mark.parametrize("name", ["Bramley", "Williams", "Poire Lampe", "Lamp", "Bartlett", "Höhe", "!"])
@pytest.mark.parametrize("varieties", [(), (OWN,), (Variety("pear", "Lamp", also="Bartlett"),)])
def test_the_book_of_the_lists_and_the_records_alone_have_the_same_key(
    name: str, varieties: tuple[Variety, ...]
) -> None:
    records = Records(varieties=varieties)
    for species in ("apple", "pear"):
        assert VarietyBook(records, variety_reference()).key(species, name) == variety_keys(records).of(species, name)


def test_the_keys_are_made_once_for_the_same_records() -> None:
    assert variety_keys(Records(varieties=(OWN,))) is variety_keys(orchard(graft(), varieties=(OWN,)))


def test_what_ripens_is_one_variety_under_one_name() -> None:
    grafts = (
        graft("g1", variety="Bramley", ripens_from=(10, 1), ripens_to=(10, 9)),
        graft("g2", variety="Bramley's Seedling", ripens_from=(10, 5), ripens_to=(10, 20)),
    )
    assert [(one.variety, one.first, one.last) for one in ripening(orchard(*grafts))] == [
        ("Bramley", (10, 1), (10, 20))
    ]
    unsaid = graft("g3", variety="Bramley's Seedling", state="bearing")
    (row,) = fruit_rows(orchard(grafts[0], unsaid), TODAY, False, (BRAMLEY,))
    assert (row.dates, row.away_days) == (BRAMLEY, (date(2026, 10, 1) - TODAY).days)


def test_fruit_that_must_not_be_eaten_is_marked_whatever_name_its_graft_has() -> None:
    day = date(2026, 10, 1)
    grafts = (
        graft("g1", variety="Bramley", state="bearing", ripens_from=(10, 1), ripens_to=(10, 9)),
        graft("g2", tree="t3", variety="Bramley's Seedling", state="bearing"),
    )
    other = Tree("t3", "Low apple", "apple")
    records = orchard(*grafts, trees=(APPLE, other), sprays=(Spray(day, "t3", "Slow", 7, 7),))
    barred = barred_fruit(records, day, south=False)
    assert [(one.graft, one.variety) for one in barred] == [("g2", "Bramley's Seedling")]
    years = fruit_years(lambda season: (BRAMLEY,) if season.name == 2026 else (), day, south=False)
    text = picture_text(picture_of(records, years, VarietyBook(records), day), 90)
    assert [line for line in text.splitlines() if line.startswith("! Bramley  ")]


def test_a_place_whose_variety_is_spelled_otherwise_begins_no_other_life() -> None:
    before = graft("g1", tree="t2", variety="Beurre Hardy", state="set", set_on=date(2025, 4, 1), note="on the wall")
    after = graft("g1", tree="t2", variety="Beurré Hardy", state="took", set_on=date(2025, 4, 9), note="on the wall")
    assert passed_on(orchard(before), before, after, TODAY) == (after, None)


@pytest.mark.parametrize(("one", "other", "varieties"), SPELLINGS)
def test_cutting_a_variety_cuts_the_bundle_that_waits_under_another_name(
    one: str, other: str, varieties: tuple[Variety, ...]
) -> None:
    waiting = bundle(variety=other, species="pear", cut_on=None, came_from="t2")
    edit = EditUnderWay(planned(one, wood=(waiting,), varieties=varieties))
    day = date(2026, 1, 10)
    unit = Unit("x.pear", one, "open", Window(day, day, day, day), species="pear", variety=one)
    follow(edit, "variety", unit, Tick("collect/site/2026", unit.id, day, "cut"), None, ())
    assert [(held.id, held.variety, held.cut_on) for held in edit.records.wood] == [("w1", other, day)]


def test_a_series_goes_on_with_what_is_planned_whatever_name_was_typed() -> None:
    records = orchard(
        graft("g1", tree="t2", variety="Bartlett", state="planned"), graft("g2", tree="t2", state="planned")
    )
    assert following_variety(records, PEAR, "Williams") == "Williams"
    assert following_variety(records, PEAR, "Grey Lamp") == "Bartlett"

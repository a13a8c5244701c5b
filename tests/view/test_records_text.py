"""Wood, take rates, fruit and lives as plain text and as rows."""

from __future__ import annotations

import json
from datetime import date

from tendwork.orchard.crown import CrownPlace, place_words
from tendwork.orchard.history import Event
from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.orchard.take_rates import Trial
from tendwork.orchard.verdicts import EmptyPlace
from tendwork.orchard.wood_age import WoodAge
from tendwork.orchard.wood_balance import Balance, wood_balance
from tendwork.view.graft_words import history_text
from tendwork.view.json_shape import json_rows
from tendwork.view.places import places_text
from tendwork.view.rates import takes_text
from tendwork.view.verdict import verdicts_text
from tendwork.view.wood import age_words, bundle_words, bundles_text
from tendwork.view.wood_balance import balance_cells, balance_text

TODAY = date(2026, 2, 15)
TREE = Tree("t1", "Old apple", "apple")


def test_the_balance_is_a_row_of_figures_and_the_sentences_below() -> None:
    text = balance_text([Balance("apple", "Red Lamp", 4, 0, 2, 1, 0, 0, 0, 0, 1)], 80)
    head, row, _, *notes = text.splitlines()
    assert head.split() == ["Sticks", "of", "grafts", "needed", "held", "to", "come", "promised", "free", "missing"]
    assert row.split() == ["Red", "Lamp,", "apple", "4", "2", "1", "0", "0", "0", "1"]
    assert notes[0] == "  - Red Lamp (apple): 1 stick missing for 4 planned grafts. Cut more or ask for"
    assert notes[-1] == "  - Calculated with 3 grafts a stick; a bridge takes one, a summer bud none."


def test_wood_to_cut_and_wood_to_get_are_both_to_come() -> None:
    assert balance_cells(Balance("apple", "Red Lamp", to_cut=3, expected=4))[3] == 7


def test_a_check_of_today_is_due_and_one_of_yesterday_was() -> None:
    bundle = Wood("w1", "Red Lamp", "apple", 5, date(2026, 2, 3))
    said = [bundle_words(bundle, (), days, TODAY).rpartition("; ")[2] for days in (12, 11)]
    assert said == ["check due Sun 15 Feb", "check was due Sat 14 Feb"]


def test_a_narrow_page_has_a_line_for_each_variety() -> None:
    text = balance_text([Balance("apple", "Red Lamp", 4, 0, 2, 1, 0, 0, 0, 0, 1)], 50)
    assert text.splitlines()[0] == "Red Lamp, apple: grafts 4, needed 2, held 1,"
    assert text.splitlines()[1] == "    missing 1"


def test_a_bundle_says_its_age_whence_where_promised_checked_and_due() -> None:
    bundle = Wood("w1", "Red Lamp", "apple", 5, date(2026, 1, 25), "P. Hill", "cellar", "R. Dale", 2)
    checks = (Tick("check-wood/site/2026", "w1", date(2026, 2, 1), "all well"),)
    assert bundles_text(Records(wood=(bundle,), ticks=checks), TODAY, 12, 60, False).splitlines() == [
        "w1  Red Lamp, apple                                 5 sticks",
        "    fresh, 3 weeks old, 19 weeks left; from P. Hill; kept",
        "    cellar; 2 promised to R. Dale; checked 1 Feb: all well;",
        "    check was due Fri 13 Feb",
    ]


def test_ages_in_words() -> None:
    ages = (
        WoodAge("w", "not cut"),
        WoodAge("w", "fading", 130, 22),
        WoodAge("w", "fading", 152, 0),
        WoodAge("w", "faded", 210, -58),
    )
    assert [age_words(age) for age in ages] == [
        "not cut yet",
        "fading, 19 weeks old, 3 weeks left",
        "fading, 22 weeks old, 0 days left",
        "faded, 30 weeks old",
    ]


def test_take_rates_name_their_interval() -> None:
    text = takes_text((Trial("g1", "apple", "cleft", "film", True, 15, 80),), 80)
    assert "  cleft                 1 of 1 took (21 to 100 %)" in text.splitlines()
    assert "Wilson score interval, 95 %" in text


def test_places_are_sentences() -> None:
    place = EmptyPlace("t1", CrownPlace(90, 2.0, 1.5), "g1", "Red", True)
    assert places_text([place], 80) == "t1: 2 m up, 1.5 m out, facing east, was Red (g1), free"
    assert places_text([place], 80, "us").startswith("t1: 6.6 ft up, 4.9 ft out")


def test_a_place_says_only_what_is_known() -> None:
    assert place_words(CrownPlace(None, 2.0, None)) == "2 m up"


def test_a_life_has_its_days_in_front() -> None:
    events = (Event("set", "set: cleft", date(2026, 4, 11)), Event("took", "took (day not noted)"))
    assert history_text(events, 60).splitlines() == [
        "Sat 11 Apr 2026 set: cleft",
        "                took (day not noted)",
    ]


def test_names_that_could_act_on_the_terminal_are_made_plain() -> None:
    records = Records((TREE,), (Graft("g1", "t1", "Red\x1b[2J", ripens_from=(9, 1)),))
    assert "\x1b" not in balance_text(wood_balance(records, TODAY, ()), 80)


def test_what_is_computed_goes_into_json_as_it_is_named() -> None:
    rows = json_rows([Balance("apple", "Early"), EmptyPlace("t1", CrownPlace(90), "g1", "Red", True)])
    assert json.loads(json.dumps(rows))[0]["variety"] == "Early"
    assert rows[1]["place"] == {"facing": 90, "height_m": None, "out_m": None}


def test_nothing_at_all_is_said_in_words() -> None:
    said = (
        balance_text([], 80),
        bundles_text(Records(), TODAY, 12, 80, False),
        takes_text((), 80),
        verdicts_text((), 80),
        places_text([], 80),
        history_text([], 80),
    )
    assert all(said)

"""The buds of one species in a line, the frost in a sentence, the caution cards, the filter."""

from __future__ import annotations

from datetime import date

from jobs import TODAY, task, unit
from msgspec.structs import replace

from tendwork.almanac.results import FrostNight, SpeciesStages, StageDate
from tendwork.planning.results import Caution, each_once
from tendwork.planning.vocabulary import Card
from tendwork.view.buds import bud_line, first_frost_sentence, frost_unknown_sentence
from tendwork.view.job import cards_text, caution_lines, caution_names, caution_sentences, folded_caution_lines
from tendwork.view.season_page import buds_words
from tendwork.view.text import display_width
from tendwork.view.week import matching

SEEN = StageDate("silver tip", 51, "seen", date(2026, 3, 9), date(2026, 3, 9), date(2026, 3, 9))
COMING = StageDate("green tip", 53, "predicted", date(2026, 3, 24), date(2026, 3, 18), date(2026, 3, 31))
FAR = StageDate("shoot stop", 91, "unreached", None, None, None)
KNIFE = Card("knife", "Knives", "Mind the blade.", ("A point.",), "See a doctor.", "A leaflet, 2002")


def test_the_line_says_the_present_stage_and_the_next_with_its_range() -> None:
    line = bud_line(SpeciesStages("apple", (SEEN, COMING, FAR)), TODAY)
    assert (line.now, line.seen, line.after, line.away) == (
        "silver tip",
        "9 Mar",
        "green tip 24 Mar (18-31 Mar)",
        "in 12 days",
    )


def test_the_next_stage_is_set_off_from_the_present_one() -> None:
    assert bud_line(SpeciesStages("apple", (SEEN, COMING)), TODAY).following == "; green tip 24 Mar (18-31 Mar)"


def test_the_words_of_the_season_say_that_no_stage_is_reached() -> None:
    assert buds_words(SpeciesStages("apple", (COMING,)), TODAY) == "apple: no stage yet; green tip 24 Mar (18-31 Mar)."


def test_the_line_has_a_bud_for_every_stage() -> None:
    assert bud_line(SpeciesStages("apple", (SEEN, COMING, FAR)), TODAY).buds == ("seen", "predicted", "unreached")


def test_before_the_first_stage_only_the_next_is_said() -> None:
    line = bud_line(SpeciesStages("apple", (COMING,)), TODAY)
    assert (line.now, line.following) == ("", "green tip 24 Mar (18-31 Mar)")


def test_after_the_last_stage_nothing_is_said_to_come() -> None:
    assert bud_line(SpeciesStages("apple", (SEEN,)), TODAY).after == ""


def night(day: date, tmin_c: float = -3.0) -> FrostNight:
    return FrostNight(day, "apple", "pink", tmin_c, -2.2, -3.9, "a table")


def test_frost_tonight_is_said_as_tonight() -> None:
    assert first_frost_sentence((night(TODAY),), TODAY, "metric") == (
        "Frost tonight: -3.0 °C forecast; apple at pink loses one bud in ten at -2.2 °C."
    )


def test_the_first_frost_night_is_the_one_that_is_said() -> None:
    nights = (night(date(2026, 3, 15)), night(date(2026, 3, 14)))
    assert "Sat 14 Mar" in first_frost_sentence(nights, TODAY, "metric")


def test_frost_is_said_in_fahrenheit_for_us_units() -> None:
    assert "27 °F forecast" in first_frost_sentence((night(TODAY),), TODAY, "us")


def test_without_frost_nothing_is_said() -> None:
    assert first_frost_sentence((), TODAY, "metric") == ""


def test_the_cards_give_every_point_who_decides_and_the_source() -> None:
    text = cards_text(task("graft", cautions=("knife",)), {"knife": KNIFE}, 60)
    for said in ("Knives", "Mind the blade.", "- A point.", "See a doctor.", "A leaflet, 2002"):
        assert said in text


def test_why_a_card_stands_there_is_said_in_the_persons_units() -> None:
    job = replace(task("graft"), cautions=(Caution("knife", "g1 is above your reach of 2 m"),))
    assert "Here because g1 is above your reach of 2 m." in cards_text(job, {"knife": KNIFE}, 60)
    assert "Here because g1 is above your reach of 6.6 ft." in cards_text(job, {"knife": KNIFE}, 60, "us")
    assert caution_sentences(job, {"knife": KNIFE}, "us") == (
        "Mind the blade. (Because g1 is above your reach of 6.6 ft.)",
    )


def test_what_the_weather_asks_is_counted_where_there_is_room_for_names_only() -> None:
    job = task("graft", cautions=("knife", "heat", "ticks"))
    assert caution_names(job, {"knife": KNIFE}) == "Knives; 2 for the weather and the season"


HEAT = Card("heat", "Heat", "Drink.", (), "Ask a doctor.", "A leaflet, 2002")
TICKS = Card("ticks", "Ticks", "Cover legs.", (), "Ask a doctor.", "A leaflet, 2002")
CARDS = {"knife": KNIFE, "heat": HEAT, "ticks": TICKS}


def test_what_usual_days_ask_of_every_job_stands_in_one_line_and_whole() -> None:
    heat, ticks = Caution("heat", "20 °C is usual", by_season=True), Caution("ticks", "it is May", by_season=True)
    job = replace(task("graft"), cautions=(heat, Caution("knife", "you take it"), ticks))
    assert caution_sentences(job, CARDS) == (
        "Mind the blade. (Because you take it.)",
        "For the weather and the season: Heat: Drink. Ticks: Cover legs. (Because 20 °C is usual; it is May.)",
    )
    assert [title for title, _ in folded_caution_lines(job, CARDS)] == ["Knives", "For the weather and the season"]
    assert [title for title, _ in caution_lines(job, CARDS)] == ["Heat", "Knives", "Ticks"]


def test_what_a_forecast_asks_has_a_line_of_its_own() -> None:
    heat, ticks = Caution("heat", "38 °C is forecast"), Caution("ticks", "it is May", by_season=True)
    job = replace(task("graft"), cautions=(heat, ticks))
    assert folded_caution_lines(job, CARDS) == (("Heat", "Drink."), ("Ticks", "Cover legs."))
    assert caution_sentences(job, CARDS)[0] == "Drink. (Because 38 °C is forecast.)"


def test_of_a_visit_the_caution_that_a_known_day_asks_goes_before_that_of_a_usual_one() -> None:
    usual, known = Caution("heat", "20 °C is usual", by_season=True), Caution("heat", "38 °C is forecast")
    assert each_once((usual, known)) == each_once((known, usual)) == (known,)


def test_a_card_for_a_part_of_the_work_says_for_which() -> None:
    job = replace(task("graft"), cautions=(Caution("knife", "so", "if you leave the ground"),))
    assert caution_lines(job, {"knife": KNIFE}) == (
        ("Knives, if you leave the ground", "If you leave the ground: mind the blade."),
    )


def test_no_line_of_the_cards_is_wider_than_the_page() -> None:
    long = Card("knife", "Knives", "word " * 40, ("word " * 40,), "word " * 40, "word " * 40)
    text = cards_text(task("graft", cautions=("knife",)), {"knife": long}, 40)
    assert max(map(display_width, text.splitlines())) <= 40


def test_first_aid_stands_after_the_points_under_its_own_name() -> None:
    text = cards_text(task("graft", cautions=("knife",)), {"knife": replace(KNIFE, first_aid=("Press.",))}, 60)
    assert "  - A point.\n  First aid:\n  - Press.\n  See a doctor." in text
    assert "First aid" not in cards_text(task("graft", cautions=("knife",)), {"knife": KNIFE}, 60)


def test_a_card_that_is_not_there_is_named() -> None:
    assert "hot-wax" in cards_text(task("graft", cautions=("hot-wax",)), {}, 60)


def test_the_names_of_the_cautions_stand_in_one_phrase() -> None:
    assert caution_names(task("graft", cautions=("knife", "hot-wax")), {"knife": KNIFE}) == "Knives; hot-wax"


def test_the_filter_finds_words_in_title_place_and_units_in_any_order() -> None:
    jobs = (task("prune"), task("unwrap", units=(unit("g1"), unit("g2"))))
    assert [job.template for job in matching(jobs, "VARIETY tom unwrap g2")] == ["unwrap"]


def test_no_words_find_everything() -> None:
    jobs = (task("prune"), task("unwrap"))
    assert matching(jobs, "  ") == jobs


def test_that_frost_is_unknown_is_said_only_where_it_is() -> None:
    assert frost_unknown_sentence(True) == ("No forecast is on file: it is unknown whether frost will hurt the buds.",)
    assert frost_unknown_sentence(False) == ()

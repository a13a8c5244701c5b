"""The report of a season in words: each number as it was counted by hand, and what is not noted said so."""

from __future__ import annotations

import json
from datetime import date

import pytest
from invented_jobs import task_with
from msgspec.structs import replace
from season_orchard import RECORDS, bare_report, made_report

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.planning.results import Task, Unit, Window
from tendwork.view.report_blocks import Items, Part, ReportPage, Said, Strip, Table, report_text
from tendwork.view.report_shape import report_shape
from tendwork.view.season_report import report_page, summary_sentences
from tendwork.view.text import display_width

WINDOW = Window(date(2026, 5, 1), date(2026, 5, 5), date(2026, 5, 20), date(2026, 6, 1))


def job(name: str, state: str, **more: object) -> Task:
    made = task_with(name, state, "graft", (Unit("g1", "Red Lamp", state, WINDOW),), window=WINDOW)  # type: ignore[arg-type]
    return replace(made, season=2026, setup_minutes=10.0, minutes_each=30.0, **more)  # type: ignore[arg-type]


JOBS = (
    job("prune", "done", key="prune/t1/2026"),
    job("wraps", "missed", stake="graft", loss="the tape cuts in", title="Take the tape off"),
    job("skip", "skipped"),
)
WORKED = replace(
    RECORDS,
    ticks=(
        *RECORDS.ticks,
        Tick("prune/t1/2026", "g1", date(2026, 2, 3)),
        Tick("prune/t1/2026", "g2", date(2026, 3, 3), minutes=25),
    ),
)


def part(title: str, units: str = "metric", records: Records = WORKED) -> str:
    page = report_page(made_report(records, JOBS), "Test hill", units)
    return next(text for one, text in _parts(page) if one == title)


def _parts(page: ReportPage) -> list[tuple[str, str]]:
    return [(one.title, report_text(replace(page, summary=(), parts=(one,)))) for one in page.parts]


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_first_lines_are_the_year_in_three_sentences() -> None:
    assert summary_sentences(made_report(WORKED, JOBS)) == (
        "6 grafts were set in season 2026: 3 took, 2 failed, of 1 it is not known yet; 2 older ones were lost.",
        "2 varieties were tasted, the best of them Far Lamp (4 of 5); 1 graft bore for the first time; there was fruit"
        " in 6 of 27 weeks from high summer to midwinter.",
        "Apple was in full bloom on 9 May, 5 days later than the middle day of 2 other years; of 3 jobs 1 was done and"
        " 1 missed, with a tree or a graft at stake; the work took about 1 h 05, 25 min of it noted, the rest as"
        " planned.",
    )


def test_a_season_of_which_nothing_is_noted_says_so_in_every_part() -> None:
    page = report_page(bare_report(), "Test hill", "metric")
    assert page.summary == (
        "No graft is noted as set in season 2026; no loss is noted.",
        "No tasting is noted; of no week is it known that there was fruit.",
        "No job was ticked; no hours are known.",
    )
    assert [
        one.title
        for one, (_, text) in zip(page.parts, _parts(page), strict=True)
        if not any(word in text for word in ("Nothing noted", "Nothing known", "No ", "no "))
    ] == []
    assert not any(isinstance(block, Table | Strip) for one in page.parts for block in one.blocks)


def test_sets_and_takes_stand_in_tables_that_add_up() -> None:
    lines = part("Set and took").splitlines()
    assert lines[lines.index(next(line for line in lines if line.startswith("By wood from"))) :][:5] == [
        "By wood from  set  took  failed  not known",
        "own trees       1     0       0          1",
        "P. Hill         2     1       1          0",
        "not noted       3     2       1          0",
        "all             6     3       2          1",
    ]
    assert "Of 1 graft no more than the year is noted" in flat("\n".join(lines))


def test_losses_say_how_when_and_what_was_noted_and_seen() -> None:
    text = flat(part("Lost"))
    assert "4 losses: 2 failed, 1 taken off and 1 taken off, judged cut." in text
    assert "Gone Lamp (g7), Barn apple: taken off, 24 Dec 2025; set 1 Apr 2025; noted: snow." in text
    assert "Red Lamp (g2), Barn apple: failed, 30 May; set 10 Apr; seen on its tree before: storm (20 May)." in text
    assert "1 graft set by then is gone on a day not noted, in this season or another: Lost Lamp (g6)." in text
    assert "- canker: Barn apple (20 Jun)" in text


def test_crops_first_best_and_worst() -> None:
    text = flat(part("Crops"))
    assert "First crops: - Green Lamp (g4), Path pear: 20 Sep, 2 of 5; set 2026." in text
    assert "Best: Far Lamp (2 tastings): 4 of 5." in text
    assert "Worst: Green Lamp (1 tasting): 2 of 5." in text


def test_weeks_as_a_strip_with_two_columns_for_each_under_its_month() -> None:
    lines = part("Weeks with fruit").splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("on the tree"))
    assert lines[at - 1] == "             Jun Jul     Aug       Sep     Oct     Nov       Dec"
    bare = "·" * 22
    assert lines[at] == f"on the tree  {bare}■■■■■■{'·' * 26}"
    assert lines[at + 1] == f"in store     {'·' * 34}■■■■■■{'·' * 14}"
    assert lines[at + 2] == f"tasted ripe  {'·' * 24}■■■■{'·' * 26}"
    assert lines[at + 3] == f"no fruit     {'×' * 22}······{'×' * 6}······{'×' * 14}"
    assert "- No fruit known 27 Sep-17 Oct (3 weeks)." in lines


def test_wood_and_thanks() -> None:
    text = flat(part("Wood given and received"))
    assert "- P. Hill: Red Lamp (apple), 3 Jan; 2 grafts set from it, 1 took; 2 sticks left." in text
    assert "- A. Weir: Far Pear (pear), 2 sticks: refused." in text
    assert "- R. Dale: Blue Lamp (apple), 1 stick promised, not ticked as sent." in text
    assert "- S. Mill: Grey Lamp (pear), sent 25 Jan." in text
    assert "Cut from own trees: 1 bundle, 3 sticks left." in text
    assert text.endswith("Thanks to: - P. Hill, for Red Lamp, which took.")


def test_hours_say_which_are_noted_and_which_are_planned() -> None:
    assert [line for line in part("Hours").splitlines() if line.startswith(("Feb", "all"))] == [
        "Feb 2026 to Apr 2026  25 min   40 min    1 h 05",
        "all                   25 min   40 min    1 h 05",
    ]
    assert "neither is known" in part("Hours")  # the ticks of wood and takes, whose rules are not in this plan


def test_jobs_are_counted_and_what_mattered_is_named() -> None:
    text = flat(part("Jobs"))
    assert "- 1 done, none of them late - 1 skipped - 1 missed - 3 in all" in text
    assert "- Take the tape off, Barn apple: 1 of 1 missed; graft at stake, or the tape cuts in." in text


def test_where_nothing_was_ticked_nothing_is_said_to_be_missed() -> None:
    unticked = part("Jobs", records=replace(WORKED, ticks=()))
    assert "no job of this season was ticked, so what was done and what was missed is not known" in flat(unticked)
    assert "Take the tape off" not in unticked
    assert "no job was ticked" in summary_sentences(made_report(replace(WORKED, ticks=()), JOBS))[2]


def test_tastings_that_moved_no_date_say_so() -> None:
    report = made_report()
    still = replace(report, learned=replace(report.learned, picks=report.learned.picks[2:]))
    page = report_page(still, "Test hill", "metric")
    assert "They moved no picking date of 2027." in flat(dict(_parts(page))["Learned of this place"])


def test_weather_beside_other_years_in_either_unit() -> None:
    lines = part("Frost and heat").splitlines()
    assert (
        flat("\n".join(lines)).count("last frost in spring 20 Apr 30 Apr to 12 May, middle 30 Apr; none in 1 year") == 1
    )
    assert "coldest night          -9.5 °C, 9 Jan  -12.0 °C to -6.0 °C, middle -8.0 °C" in lines
    assert "days above 30 °C       3               0 to 5, middle 1" in lines
    assert "degree-days to 31 Aug  1200            1000 to 1300, middle 1100" in lines
    assert "Other years: seasons 2022, 2024 to 2025, of which hardly a day is missing." in lines
    us = part("Frost and heat", "us")
    assert "days above 86 °F" in us
    assert "2161 " in us  # 1200.4 degree-days of °C


def test_bloom_and_what_was_learned() -> None:
    bloom = flat(part("Full bloom"))
    assert "apple 9 May (seen) 3 May to 5 May (2 years, 1 seen): 5 days later than their middle" in bloom
    assert "Not known: pear." in bloom
    learned = flat(part("Learned of this place"))
    assert "- apple, full bloom (2 sightings): 2 days later, from 4 May to 6 May." in learned
    assert "- apple, leaf fall (1 sighting): no other day." in learned
    assert "2 picking dates of 2027 moved:" in learned
    assert "- Green Lamp (pear), 1 tasting: its first date, about 20 Sep." in learned
    assert "- Far Lamp (apple), 1 tasting: 3 days earlier, from 22 Sep to 19 Sep." in learned
    assert "Still Lamp" not in learned


def test_a_season_that_is_not_over_says_so() -> None:
    page = report_page(made_report(today=date(2026, 5, 1)), "Test hill", "metric")
    assert page.span == "Sat 1 Nov 2025 to Sat 31 Oct 2026; so far, Fri 1 May 2026."
    assert "fruit is to come in" in page.summary[1]
    assert "The weeks after today are foreseen." in report_text(page)
    amid = report_page(made_report(today=date(2026, 8, 1)), "Test hill", "metric")
    assert "there was fruit, or will be, in" in amid.summary[1]


@pytest.mark.parametrize("columns", [40, 60, 80, 120])
def test_no_line_is_wider_than_the_page_however_long_a_name_is(columns: int) -> None:
    long = "A very long name of somebody who gave wood of that variety, and then some more words of it 名"
    records = replace(
        RECORDS,
        trees=tuple(replace(tree, name=f"{long} {tree.id}") for tree in RECORDS.trees),
        wood=tuple(
            replace(bundle, came_from=long if bundle.came_from == "P. Hill" else bundle.came_from)
            for bundle in RECORDS.wood
        ),
    )
    text = report_text(report_page(made_report(records, JOBS), long, "metric"), columns)
    fixed = [line for line in text.splitlines() if set(line) & set("■×") or line.lstrip().startswith("Jun Jul")]
    assert [line for line in text.splitlines() if display_width(line) > max(columns, 68 * (line in fixed))] == []


def test_marks_are_ascii_where_the_screen_has_no_others() -> None:
    strip = Strip("Jun", (("on the tree", "■■··"), ("no fruit", "··××")), "what it means")
    page = ReportPage("Hill", "season 2026", "span", ("One.",), (Part("Weeks", (Said("Some."), strip, Items(("a",)))),))
    assert report_text(page, ascii_only=True).isascii()


def test_a_name_with_signs_that_move_the_cursor_is_harmless() -> None:
    records = Records(
        (Tree("t1", "Any\x1b[2J", "apple"),),
        (Graft("g1", "t1", "Lamp\x1b[2J", "cleft\x1b", state="failed", set_on=date(2026, 4, 1), note="\x07"),),
    )
    assert "\x1b" not in (text := report_text(report_page(made_report(records), "Hill\x1b", "metric")))
    assert "\x07" not in text


def test_the_json_has_the_keys_of_its_contract_and_says_what_the_words_say() -> None:
    made = json.loads(json.dumps(report_shape(made_report(WORKED, JOBS))))
    assert list(made) == [
        "today", "season", "from", "to", "over", "summary", "set", "lost", "gone_on_days_not_noted", "signs", "crops",
        "wood", "hours", "jobs", "missed", "weather", "other_years", "full_bloom", "learned",
    ]  # fmt: skip
    assert made["summary"] == list(summary_sentences(made_report(WORKED, JOBS)))
    assert (made["set"]["set"], made["set"]["took"], made["set"]["failed"], made["set"]["not_known"]) == (6, 3, 2, 1)
    assert [one["date"] for one in made["lost"]] == ["2025-12-24", "2026-02-08", "2026-05-30", "2026-06-03"]
    assert sum(one["minutes_planned"] for one in made["hours"]) == 40
    assert made["jobs"]["all"] == 3
    assert made["weather"]["degree_days_above_5_c"][0] == {"to": "2026-08-31", "sum": 1200.4}
    assert made["full_bloom"][1] == {"species": "pear", "this": None, "others": [], "days_later_than_middle": None}
    assert made["learned"]["picking_dates"][0]["before"] is None


def test_a_day_has_no_year_where_it_is_that_of_the_season() -> None:
    from tendwork.view.report_days import season_day

    assert [season_day(day, Season(2026)) for day in (date(2025, 12, 5), date(2026, 6, 14), date(2027, 1, 9))] == [
        "5 Dec 2025", "14 Jun", "9 Jan 2027",
    ]  # fmt: skip

"""The commands as a person meets them: what they print, what they leave, how they fail."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest

from tendwork.cli.act import SAMPLE_SITE, _default

Run = Callable[..., subprocess.CompletedProcess[str]]


def shape(run: Run, *words: str) -> dict[str, object]:
    done = run(*words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)  # type: ignore[no-any-return]


def states(run: Run, on: str, key: str) -> dict[str, str]:
    tasks = shape(run, "season", "--on", on)["tasks"]
    (task,) = [task for task in tasks if task["key"] == key]  # type: ignore[attr-defined]
    return {unit["id"]: unit["state"] for unit in task["units"]}


def test_without_a_terminal_and_without_a_command_the_week_is_printed(run: Run) -> None:
    done = run("--on", "2026-05-05")
    assert done.returncode == 0
    assert done.stdout.startswith("Test hill, Tue 5 May 2026")


def test_the_week_as_json_has_the_keys_of_its_contract(run: Run) -> None:
    week = shape(run, "week", "--on", "2026-05-05")
    assert set(week) == {"today", "from", "to", "tasks", "visits", "short", "frost", "frost_forecast_to", "wraps_on"}
    assert (week["today"], week["from"], week["to"]) == ("2026-05-05", "2026-05-05", "2026-05-11")
    task = week["tasks"][0]  # type: ignore[index]
    assert set(task) == {
        "key", "template", "title", "part", "subject", "place", "opens", "best", "closes", "lapses", "state", "days",
        "minutes", "units", "cautions", "tools", "steps", "because", "source", "why_cautions", "not_now", "mind",
        "stake", "loss", "visit",
    }  # fmt: skip
    assert set(task["units"][0]) == {"id", "label", "state", "outcome", "held_by", "held_until"}


def test_the_visits_of_the_week_hold_each_of_its_tasks_once_and_why_tells_of_all_in_one(run: Run) -> None:
    week = shape(run, "week", "--on", "2026-05-05")
    visits: list[dict[str, object]] = week["visits"]  # type: ignore[assignment]
    assert set(visits[0]) == {
        "key", "title", "subject", "place", "opens", "closes", "state", "stake", "can_wait", "minutes", "days",
        "tools", "cautions", "tasks",
    }  # fmt: skip
    named = [key for visit in visits for key in visit["tasks"]]  # type: ignore[attr-defined]
    assert sorted(named) == sorted(task["key"] for task in week["tasks"])  # type: ignore[attr-defined]
    visit = next(one for one in visits if one["key"] == "aftercare/t1")
    why = shape(run, "why", "aftercare/t1", "--on", "2026-05-05")
    assert list(why) == ["visit", "tasks", "as_of"]
    assert (why["visit"], why["as_of"]) == (visit, "2026-05-05")
    assert [task["key"] for task in why["tasks"]] == visit["tasks"]  # type: ignore[attr-defined]
    assert {task["visit"] for task in why["tasks"]} == {"aftercare"}  # type: ignore[attr-defined]


def test_stages_as_json_hold_every_stage_with_its_code_and_range(run: Run) -> None:
    stages = shape(run, "stages", "--on", "2026-02-01")
    assert set(stages) == {"today", "season", "species"}
    assert [held["species"] for held in stages["species"]] == ["apple", "pear"]  # type: ignore[attr-defined]
    apple = stages["species"][0]["stages"]  # type: ignore[index]
    full_bloom = next(stage for stage in apple if stage["stage"] == "full bloom")
    assert set(full_bloom) == {"stage", "bbch", "state", "date", "low", "high", "because"}
    assert full_bloom["low"] < full_bloom["date"] < full_bloom["high"]


def test_a_tick_is_still_there_for_the_next_command_and_can_be_taken_back(run: Run) -> None:
    key = "check-take/t1/2026"
    assert states(run, "2026-05-08", key) == {"g1": "open", "g2": "open"}
    assert run("tick", key, "g1", "--outcome", "took", "--on", "2026-05-08").returncode == 0
    assert states(run, "2026-05-09", key) == {"g1": "done", "g2": "open"}
    assert "took" in run("trees").stdout
    assert run("untick", key, "g1", "--on", "2026-05-09").returncode == 0
    assert states(run, "2026-05-09", key) == {"g1": "open", "g2": "open"}
    assert "took" not in run("trees").stdout


def test_a_seen_green_tip_moves_every_later_date_at_once_and_the_reasons_say_so(run: Run) -> None:
    def bloom(on: str) -> tuple[str, list[str]]:
        apple = shape(run, "stages", "--on", on)["species"][0]["stages"]  # type: ignore[index]
        stage = next(stage for stage in apple if stage["stage"] == "full bloom")
        return stage["date"], stage["because"]

    before, _ = bloom("2026-03-02")
    done = run("saw", "apple", "green tip", "--on", "2026-03-01")
    assert done.returncode == 0, done.stderr
    after, because = bloom("2026-03-02")
    assert after < before
    assert any("2026-03-01" in sentence or "1 Mar" in sentence for sentence in because)


def bears_here(run: Run, tmp_path: Path) -> None:
    """Green Lamp bears on t1, so that its wood is cut there."""
    file = tmp_path / "bears.csv"
    file.write_text("id,tree,variety,state,known_since\ng8,t1,Green Lamp,bearing,\n")
    assert run("bring", str(file), "--as", "grafts").returncode == 0


def test_cut_wood_for_a_planned_graft_becomes_a_bundle_and_goes_with_its_tick(run: Run, tmp_path: Path) -> None:
    key = "collect-wood-apple-pear/site/2026"
    bears_here(run, tmp_path)
    assert run("tick", key, "green-lamp", "--on", "2026-01-10").returncode == 0
    (bundle,) = shape(run, "wood")["wood"]  # type: ignore[misc]
    assert (bundle["variety"], bundle["species"], bundle["cut_on"]) == ("Green Lamp", "apple", "2026-01-10")
    assert (bundle["sticks"], bundle["came_from"]) == (1, "t1")
    assert run("untick", key, "green-lamp", "--on", "2026-01-11").returncode == 0
    assert shape(run, "wood")["wood"] == []


def test_why_names_the_reasons_the_steps_and_the_source(run: Run) -> None:
    said = run("why", "check-take/t1/2026", "--on", "2026-05-12").stdout
    for word in ("Why", "Steps", "Source", "Opens"):
        assert word in said


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("tick", "no-such-task/t1/2026"), 'There is no task "no-such-task/t1/2026"'),
        (("tick", "check-take/t1/2026", "g9", "--on", "2026-05-12"), 'has no unit "g9"'),
        (("tick", "check-take/t1/2026", "--outcome", "maybe", "--on", "2026-05-12"), '"maybe" is no outcome'),
        (("saw", "aple", "green tip"), '"aple" is not a species'),
        (("saw", "apple", "gren tip"), 'Did you mean "green tip"?'),
        (("saw", "apple", "green tip", "--tree", "t9"), 'There is no tree "t9"'),
        (("saw", "pear", "bud burst", "--tree", "t1"), 'Tree "t1" is apple'),
        (("bring", "nowhere.csv", "--as", "trees"), "nowhere.csv"),
    ],
)
def test_what_cannot_be_is_one_sentence_on_stderr_and_exit_1(run: Run, words: tuple[str, ...], told: str) -> None:
    done = run(*words)
    assert (done.returncode, done.stdout) == (1, "")
    assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_a_wrong_date_is_wrong_usage_and_exit_2(run: Run) -> None:
    assert run("week", "--on", "3/4/2026").returncode == 2
    assert run("week", "--on", "2026").returncode == 2


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda _: None, "there is no orchard folder here"),
        (lambda path: path.mkdir(), "the folder is empty"),
        (lambda path: path.write_text("x"), "is not a folder"),
    ],
)
def test_a_folder_that_is_none_is_said_in_one_sentence(
    run: Run, tmp_path: Path, make: Callable[[Path], None], told: str
) -> None:
    path = tmp_path / "other"
    make(path)
    done = run("week", orchard=path)
    assert done.returncode == 1
    assert told in done.stderr
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("file", "text", "told"),
    [
        ("site.toml", 'name = "x"\ntimezone = "Europe/London"\nlatitude = 95\nlongitude = 0\n', "line 3"),
        (
            "site.toml",
            'name = "x"\ntimezon = "Europe/London"\nlatitude = 5\nlongitude = 0\n',
            'Did you mean "timezone"',
        ),
        ("templates/own.toml", "[[template]]\nid = 'x'\nopnes = {}\n", 'Did you mean "opens"?'),
        ("adjustments.toml", "[template.suckers]\nopens_latr_days = 3\n", 'Did you mean "opens_later_days"?'),
        ("temperatures/a.csv", "date,tmin_c,tmax_c\n2026-01-01,1,2\n2026-13-01,1,2\n", "line 3"),
        ("records.db", "this is no database", "records.db"),
    ],
)
def test_a_broken_file_is_named_with_its_line_and_nothing_is_changed(
    run: Run, orchard_path: Path, file: str, text: str, told: str
) -> None:
    (orchard_path / file).write_text(text)
    before = {path: path.read_bytes() for path in orchard_path.rglob("*") if path.is_file() and path.suffix != ".lock"}
    done = run("week", "--on", "2026-05-05")
    assert done.returncode == 1
    assert told in done.stderr
    assert Path(file).name in done.stderr
    assert "Traceback" not in done.stderr
    assert {path: path.read_bytes() for path in before} == before


def test_check_tells_every_fault_of_every_file_in_one_go(run: Run, orchard_path: Path) -> None:
    (orchard_path / "templates/own.toml").write_text("[[template]]\nid = 'x'\nopnes = {}\n")
    (orchard_path / "adjustments.toml").write_text("[template.suckers]\nopens_latr_days = 3\n")
    done = run("check")
    assert done.returncode == 1
    assert "own.toml" in done.stdout
    assert "adjustments.toml" in done.stdout


def test_check_says_all_well_of_a_sound_folder_and_asks_for_heights_that_nobody_noted(run: Run, tmp_path: Path) -> None:
    asked = run("check")
    assert asked.returncode == 0
    assert asked.stdout.startswith("warning: No height is noted of the crowns of Old apple, Wall pear")
    assert asked.stdout.endswith("No faults.\n")
    trees = tmp_path / "trees.csv"
    trees.write_text("id,name,species,height_m\nt1,Old apple,apple,5\nt2,Wall pear,pear,1.9\n")
    run("bring", str(trees), "--as", "trees")
    done = run("check")
    assert (done.returncode, done.stdout) == (0, "All well.\n")


def test_a_method_that_no_template_speaks_of_is_told_when_it_is_brought_and_when_all_is_looked_through(
    run: Run, tmp_path: Path
) -> None:
    more = tmp_path / "more.csv"
    more.write_text("id,tree,variety,method,wrap\ng8,t1,Odd One,clef,film\n")
    told = (
        '1 graft (g8) is planned with a method that no rule knows ("clef"), so no grafting job comes.'
        ' Note one on the graft. Did you mean "cleft"?'
    )
    assert told in run("bring", str(more), "--as", "grafts").stdout
    done = run("check")
    assert (done.returncode, told in done.stdout) == (0, True)


def test_records_given_and_brought_into_a_new_folder_are_given_again_byte_for_byte(run: Run, tmp_path: Path) -> None:
    assert run("give", str(tmp_path / "out")).returncode == 0
    second = tmp_path / "second"
    assert run("begin", str(second), orchard=None).returncode == 0
    for kind in ("trees", "wood", "grafts", "sightings", "tastings", "ticks"):
        done = run("bring", str(tmp_path / "out" / f"{kind}.csv"), "--as", kind, orchard=second)
        assert done.returncode == 0, done.stderr
    assert run("give", str(tmp_path / "again"), orchard=second).returncode == 0
    for file in (tmp_path / "out").iterdir():
        assert (tmp_path / "again" / file.name).read_bytes() == file.read_bytes()


def test_bring_can_say_what_it_would_do_and_do_nothing(run: Run, tmp_path: Path) -> None:
    more = tmp_path / "more.csv"
    more.write_text("id,name,species\nt3,Young plum,plum\n")
    assert "Would bring 1 new" in run("bring", str(more), "--as", "trees", "--dry-run").stdout
    assert "Young plum" not in run("trees").stdout


def test_begin_without_a_terminal_says_which_values_it_took_from_the_sample(run: Run, tmp_path: Path) -> None:
    done = run("begin", str(tmp_path / "new"), "--name", "Mine", orchard=None)
    assert done.returncode == 0
    assert "timezone Europe/London" in done.stdout
    assert 'name = "Mine"' in (tmp_path / "new" / "site.toml").read_text()


def test_without_a_directory_an_orchard_is_begun_where_the_other_commands_look(run: Run) -> None:
    done = run("begin", orchard=None)
    assert done.stdout.endswith("  tendwork bring trees.csv --as trees\n")
    assert run("check", orchard=None).stdout == "All well.\n"


def test_an_orchard_without_a_tree_says_how_trees_come_in(run: Run, tmp_path: Path) -> None:
    run("begin", str(tmp_path / "new"), orchard=None)
    said = " ".join(run("week", orchard=tmp_path / "new").stdout.split())
    assert "No tree is recorded yet, so there are no jobs" in said


def test_begin_offers_the_time_zone_of_this_computer_where_it_has_a_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pendulum.tz.get_local_timezone", lambda: SimpleNamespace(name="America/Halifax"))
    assert _default("timezone") == "America/Halifax"
    monkeypatch.setattr("pendulum.tz.get_local_timezone", lambda: SimpleNamespace(name="UTC"))
    assert _default("timezone") == SAMPLE_SITE["timezone"]


@pytest.mark.parametrize(("written", "kept"), [("-33.5", "-33.5"), ("52,1", "52.1"), ("7", "7.0")])
def test_a_number_may_have_a_decimal_comma(run: Run, tmp_path: Path, written: str, kept: str) -> None:
    assert run("begin", str(tmp_path / "new"), "--latitude", written, orchard=None).returncode == 0
    assert f"latitude = {kept}\n" in (tmp_path / "new" / "site.toml").read_text()


def test_what_is_no_number_is_refused_in_plain_words(run: Run, tmp_path: Path) -> None:
    done = run("begin", str(tmp_path / "new"), "--latitude", "north", orchard=None)
    assert (done.returncode, "'north' is not a number such as 52.1." in done.stderr) == (2, True)


def test_begin_never_writes_over_an_orchard(run: Run, orchard_path: Path) -> None:
    before = (orchard_path / "site.toml").read_bytes()
    done = run("begin", str(orchard_path), orchard=None)
    assert done.returncode == 1
    assert (orchard_path / "site.toml").read_bytes() == before


def test_names_with_brackets_and_escape_codes_are_shown_inert(run: Run, tmp_path: Path) -> None:
    odd = tmp_path / "odd.csv"
    odd.write_text('id,name,species\nt7,"[red]Tom[/] ""x"" 紅玉 \u202egnol",apple\n', encoding="utf-8")
    assert run("bring", str(odd), "--as", "trees").returncode == 0
    shown = run("trees").stdout
    assert "[red]Tom[/]" in shown
    assert "\u202e" not in shown
    assert "\x1b" not in shown


def test_an_adjustment_moves_the_window_is_named_by_why_and_comes_off_without_a_trace(
    run: Run, orchard_path: Path
) -> None:
    def opens() -> str:
        (task,) = [
            task
            for task in shape(run, "season", "--on", "2026-05-12")["tasks"]  # type: ignore[attr-defined]
            if task["key"] == "check-take/t1/2026"
        ]
        return task["opens"]  # type: ignore[no-any-return]

    before = opens()
    assert run("adjust", "check-take", "--opens-later", "3", "--on", "2026-05-12").returncode == 0
    assert opens() > before
    assert "3 days later" in run("why", "check-take/t1/2026", "--on", "2026-05-12").stdout
    assert run("adjust", "check-take", "--reset").returncode == 0
    assert opens() == before
    assert "check-take" not in (orchard_path / "adjustments.toml").read_text()


def test_a_weather_limit_can_be_taken_away(run: Run, orchard_path: Path) -> None:
    assert run("adjust", "graft-peach-apricot", "--min-c", "none", "--on", "2026-05-12").returncode == 0
    assert 'min_c = "none"' in (orchard_path / "adjustments.toml").read_text()
    assert "as cold as it comes" in run("adjust").stdout
    assert run("check").returncode == 0
    assert "tropic" in run("adjust", "graft-peach-apricot", "--min-c", "tropic").stderr


def test_a_change_of_a_template_that_has_gone_does_not_hinder_another(run: Run, orchard_path: Path) -> None:
    (orchard_path / "adjustments.toml").write_text("[template.long-gone]\noff = true\n")
    assert run("adjust", "check-take", "--later", "2", "--on", "2026-05-12").returncode == 0
    assert "[template.long-gone]" in (orchard_path / "adjustments.toml").read_text()
    assert run("adjust", "never-there", "--later", "2").returncode == 1


def test_a_preview_keeps_nothing(run: Run, orchard_path: Path) -> None:
    done = run("adjust", "check-take", "--later", "9", "--preview", "--on", "2026-05-12")
    assert "9 days later" in done.stdout
    assert not (orchard_path / "adjustments.toml").exists()


def test_a_change_that_takes_jobs_away_says_so_and_is_saved_only_with_a_yes(run: Run, orchard_path: Path) -> None:
    change = ("adjust", "check-take", "--species", "pear", "--on", "2026-05-12")
    said = "This takes jobs away: See whether the grafts took (1 of its 2)."
    assert said in run(*change, "--preview").stdout.replace("\n", " ")
    for words in ((), ("--json",)):
        refused = run(*change, *words)
        assert (refused.returncode, refused.stdout) == (1, "")
        assert said in refused.stderr
        assert "--yes" in refused.stderr
        assert not (orchard_path / "adjustments.toml").exists()
    assert run(*change, "--yes").returncode == 0
    assert "check-take" in (orchard_path / "adjustments.toml").read_text()


def test_a_template_that_is_left_out_is_not_asked_about(run: Run, orchard_path: Path) -> None:
    done = run("adjust", "check-take", "--leave-out", "--on", "2026-05-12")
    assert done.returncode == 0
    assert "This takes jobs away: See whether the grafts took (all 2)." in done.stdout
    assert "check-take" in (orchard_path / "adjustments.toml").read_text()


def test_a_job_moved_over_the_first_of_november_is_not_taken_away(run: Run) -> None:
    done = run("adjust", "choose-varieties", "--later", "-7", "--on", "2026-11-02")
    assert done.returncode == 0
    assert "29 Oct" in done.stdout
    assert "not there" not in done.stdout


def test_cutting_wood_fills_the_bundle_that_waits_to_be_cut(run: Run, tmp_path: Path) -> None:
    waiting = tmp_path / "wood.csv"
    waiting.write_text("id,variety,species,sticks,from\nw7,Green Lamp,apple,4,t1\n")
    assert run("bring", str(waiting), "--as", "wood").returncode == 0
    assert run("tick", "collect-wood-apple-pear/site/2026", "green-lamp", "--on", "2026-01-10").returncode == 0
    assert [(held["id"], held["cut_on"], held["sticks"]) for held in shape(run, "wood")["wood"]] == [  # type: ignore[attr-defined]
        ("w7", "2026-01-10", 4)
    ]


def test_a_graft_that_is_ticked_as_set_takes_a_stick_from_its_bundle_and_gives_it_back(
    run: Run, tmp_path: Path
) -> None:
    held = tmp_path / "wood.csv"
    held.write_text("id,variety,species,sticks,cut_on\nw7,Green Lamp,apple,2,2026-01-20\n")
    assert run("bring", str(held), "--as", "wood").returncode == 0

    def sticks() -> int:
        return shape(run, "wood")["wood"][0]["sticks"]  # type: ignore[index,no-any-return]

    done = run("tick", "cleft-apple-pear/t1/2026", "g3", "--on", "2026-04-02")
    assert done.returncode == 0, done.stderr
    assert sticks() == 1
    assert run("untick", "cleft-apple-pear/t1/2026", "g3", "--on", "2026-04-02").returncode == 0
    assert sticks() == 2


def test_summer_pruning_names_whom_to_shorten_and_whom_to_spare(run: Run) -> None:
    assert run("tick", "note-growth/t1/2026", "g1", "--outcome", "strong", "--on", "2026-07-25").returncode == 1
    for unit, took in (("g1", "took"), ("g2", "took")):
        run("tick", "check-take/t1/2026", unit, "--outcome", took, "--on", "2026-05-10")
    done = run("tick", "note-growth/t1/2026", "g1", "--outcome", "strong", "--on", "2026-07-25")
    assert done.returncode == 0, done.stderr
    assert "Red Lamp" in run("why", "summer-prune-apple/t1/2026", "--on", "2026-08-10").stdout


def test_a_job_that_is_put_off_leaves_the_days_before_and_one_that_is_fixed_gets_its_day(run: Run) -> None:
    def days(key: str) -> list[str]:
        (task,) = [task for task in shape(run, "week", "--on", "2026-05-08")["tasks"] if task["key"] == key]  # type: ignore[attr-defined]
        return [placed["date"] for placed in task["days"]]

    key = "check-take/t1/2026"
    assert run("put-off", key, "2026-05-11", "--fix", "--on", "2026-05-08").returncode == 0
    assert days(key) == ["2026-05-11"]
    assert run("put-off", key, "2026-05-13", "--on", "2026-05-08").returncode == 0
    assert all(day >= "2026-05-13" for day in days(key))
    refused = run("put-off", key, "2027-05-13", "--on", "2026-05-08")
    assert refused.returncode == 1
    assert "worth doing until" in refused.stderr


@pytest.mark.parametrize("day", ["0001-01-01", "1899-12-31", "2200-01-01", "9999-12-31"])
def test_a_day_whose_season_cannot_be_planned_is_no_day_to_plan_for(run: Run, day: str) -> None:
    done = run("week", "--on", day)
    assert done.returncode == 2
    assert f"{day} is not between 1900-01-01 and 2199-12-31" in done.stderr


def test_an_adjustment_out_of_bounds_is_refused_and_nothing_is_written(run: Run, orchard_path: Path) -> None:
    done = run("adjust", "check-take", "--closes-later", "2147483648")
    assert done.returncode == 1
    assert (
        done.stderr
        == "tendwork: template.check-take.closes_later_days must be between -400 and 400. Nothing was changed.\n"
    )
    assert not (orchard_path / "adjustments.toml").exists()


def test_a_file_name_with_escape_codes_is_shown_and_does_not_act(run: Run, tmp_path: Path) -> None:
    done = run("sheet", "--html", str(tmp_path / "\x1b[2Jsheet\r.html"), "--on", "2026-05-05")
    assert done.returncode == 0
    assert done.stdout.endswith("␛[2Jsheet .html.\n")

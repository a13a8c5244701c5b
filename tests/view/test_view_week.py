"""The week in groups of urgency, the next job in one sentence, and the plain tables."""

from __future__ import annotations

from datetime import timedelta

import pytest
from jobs import TODAY, task, unit, window
from msgspec.structs import replace

from tendwork.almanac.results import SpeciesStages, StageDate
from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.planning.results import TASK_STATES, Plan, Task
from tendwork.planning.states import units_to_tick
from tendwork.planning.urgency import urgency
from tendwork.planning.vocabulary import STAKES, Card
from tendwork.view.job import unit_words
from tendwork.view.plain import season_text, stages_text, trees_text, week_text, why_text
from tendwork.view.symbols import STAGE_MARKS, TASK_MARKS
from tendwork.view.text import display_width
from tendwork.view.week import held_words, job_sentence, next_sentence, to_do_words, week_groups

CARD = Card("ladder", "Ladders", "Firm feet.", ("One.",), "Follow its label.", "a standard")


def test_every_state_of_the_contract_has_a_mark() -> None:
    assert set(TASK_MARKS) == set(TASK_STATES)


@pytest.mark.parametrize("marks", [TASK_MARKS, STAGE_MARKS])
def test_no_two_states_share_a_symbol_an_ascii_mark_or_a_word(marks: dict) -> None:
    for part in ("symbol", "ascii", "word"):
        assert len({getattr(mark, part) for mark in marks.values()}) == len(marks)


@pytest.mark.parametrize("marks", [TASK_MARKS, STAGE_MARKS])
def test_every_mark_takes_one_column(marks: dict) -> None:
    assert all(display_width(mark.symbol) == display_width(mark.ascii) == 1 for mark in marks.values())


def test_groups_stand_in_the_order_of_urgency() -> None:
    jobs = tuple(task(state, state) for state in reversed(TASK_STATES) if state != "skipped")
    pressing = tuple(task(stake, "closing", stake=stake) for stake in reversed(STAKES))
    assert [group.name for group in week_groups((*jobs, *pressing), TODAY)] == [
        "Pressing: a tree is at stake",
        "Pressing: a graft is at stake",
        "Pressing: this year's chance",
        "Pressing: little is lost",
        "Open now",
        "Waiting for weather",
        "Held back",
        "Coming this week",
        "Done this week",
        "Missed",
    ]


def test_what_presses_stands_by_its_stake_and_then_by_its_days_left_whether_it_is_late_or_closes() -> None:
    jobs = (
        task("notebook", "closing", stake="little", window=window(-9, 0)),
        task("wood", "late", stake="year", window=window(-9, -1, 1)),
        task("seals", "closing", stake="graft", window=window(-1, 1, 2)),
        task("brace", "late", stake="graft", window=window(-90, -60, 9)),
        task("tape", "late", stake="graft", window=replace(window(-200, -112, -28), stays=True)),
        task("bridge", "closing", stake="tree", window=window(-9, 6)),
        task("guards", "open", stake="tree"),
    )
    order = [row.title.removeprefix("Do ") for group in week_groups(jobs, TODAY) for row in group.rows]
    assert order == ["bridge", "tape", "seals", "brace", "wood", "notebook", "guards"]
    assert [job.template for job in sorted(jobs, key=urgency)] == order


def test_what_does_not_press_keeps_the_order_of_its_window_whatever_its_stake() -> None:
    jobs = (task("later", stake="tree", window=window(-3, 9)), task("sooner", stake="little", window=window(-3, 5)))
    assert [row.title for row in week_groups(jobs, TODAY)[0].rows] == ["Do sooner", "Do later"]


def test_a_stake_that_a_rule_does_not_say_counts_as_this_years_chance_and_never_as_little() -> None:
    jobs = (task("known", "late", stake="little"), task("unsaid", "late"), task("graft", "late", stake="graft"))
    assert [job.template for job in sorted(jobs, key=urgency)] == ["graft", "unsaid", "known"]
    assert "If missed the rule does not say; it is ordered as if this year's chance were lost." in " ".join(
        why_text(jobs[1], {}, TODAY, 200).split()
    )


TAPE = task("tape", "late", stake="graft", loss="the tape cuts in", window=replace(window(-200, -112, -28), stays=True))


@pytest.mark.parametrize(
    ("job", "said"),
    [
        (TAPE, "Do tape, Old Tom: 20 min, 16 weeks late, or the tape cuts in."),
        (replace(TAPE, loss="The tape cuts in. "), "Do tape, Old Tom: 20 min, 16 weeks late, or The tape cuts in."),
        (replace(TAPE, loss="\x1b[2J"), "Do tape, Old Tom: 20 min, 16 weeks late, or ␛[2J."),
        (
            task("look", "closing", loss="it dries", window=window(-3, 2)),
            "Do look, Old Tom: 20 min, until Sat 14 Mar, 2 days left, or it dries.",
        ),
        (
            task("brace", "missed", loss="a storm snaps it", window=window(-9, -3)),
            "Do brace, Old Tom: 20 min, missed 9 Mar, no longer worth doing: a storm snaps it.",
        ),
    ],
)
def test_the_next_job_says_what_is_lost_by_missing_it(job: Task, said: str) -> None:
    assert job_sentence(job, TODAY) == said


def test_why_says_what_is_lost_and_how_grave_that_is() -> None:
    said = " ".join(why_text(TAPE, {}, TODAY, 80).split())
    assert "If missed the tape cuts in (the graft is at stake)." in said
    assert "If missed little is lost by it." in " ".join(why_text(task("a", stake="little"), {}, TODAY, 80).split())


def test_a_lost_job_says_what_was_at_stake_and_that_it_stays_and_what_is_missed_for_less_says_nothing() -> None:
    lost = task("brace", "missed", stake="graft", loss="a storm snaps it", kept_if_missed=True)
    for job, beside in (
        (lost, ("At stake: a storm snaps it. This line stays until you tick or skip the job.",)),
        (replace(lost, kept_if_missed=False), ("At stake: a storm snaps it.",)),
        (replace(lost, kept_if_missed=False, loss=""), ("At stake: the graft.",)),
        (replace(lost, kept_if_missed=False, stake="year"), ()),
        (replace(lost, state="late", units=(unit("g1", "late"),)), ()),
        (
            replace(lost, state="coming", units=(unit("g1", "missed"), unit("g2", "coming"))),
            ("At stake in Variety g1 (g1), missed: a storm snaps it. This line stays until you tick or skip the job.",),
        ),
    ):
        assert week_groups((job,), TODAY)[0].rows[0].beside == beside


def test_a_job_that_is_held_back_says_why_and_from_when_and_is_not_to_do() -> None:
    held = unit("g1", "held", held_by="Old Tom was sprayed.", held_until=TODAY + timedelta(days=4))
    job = task("unwrap", "held", units=(held,))
    row = week_groups((job,), TODAY)[0].rows[0]
    assert (row.held_by, row.until) == ("Old Tom was sprayed.", "from 16 Mar")
    assert to_do_words((job,), TODAY) == "nothing"
    assert next_sentence((job,), TODAY) == "Nothing for today but what is held back."
    text = week_text((job,), TODAY, "Hill", (), 80, True)
    assert "  H Do unwrap" in text
    (line,) = (line for line in text.splitlines() if "Do unwrap" in line)
    assert line.split()[3:5] == ["from", "16"]
    assert "    Held back: Old Tom was sprayed." in text


def test_a_unit_that_is_held_in_an_open_job_is_named_with_its_reason() -> None:
    held = unit("g2", "held", held_by="Its wood is barred.")
    assert held_words(task("graft", units=(unit("g1"), held))) == "Variety g2 (g2): Its wood is barred."
    assert unit_words(held, TODAY) == "Variety g2 (g2): held back"


def test_within_a_group_the_job_that_closes_first_stands_first() -> None:
    jobs = (task("later", window=window(-3, 9)), task("sooner", window=window(-3, 5)))
    assert [row.title for row in week_groups(jobs, TODAY)[0].rows] == ["Do sooner", "Do later"]


def test_a_row_counts_the_units_that_are_done() -> None:
    job = task("unwrap", units=(unit("g1", "done"), unit("g2", "skipped"), unit("g3")))
    row = week_groups((job,), TODAY)[0].rows[0]
    assert (row.done, row.total, row.amount) == (2, 3, "1 left")


@pytest.mark.parametrize(
    ("states", "amount", "said"),
    [
        (("open", "open"), "2 left", "all 2"),
        (("open", "done", "done"), "1 left", "1 of 3 left"),
        (("open", "coming", "coming"), "1 due", "1 of 3 due"),
        (("open", "coming", "done"), "1 due", "1 of 3 due"),
        (("done", "done"), "2 done", "2 of 2 done"),
        (("missed", "done"), "1 left", "1 of 2 left"),
        (("open",), "", "Old Tom: 20 min"),
    ],
)
def test_the_list_and_the_sentence_say_the_same_number_with_its_word(
    states: tuple[str, ...], amount: str, said: str
) -> None:
    job = task("unwrap", states[0], units=tuple(unit(f"g{n}", state) for n, state in enumerate(states)))
    assert week_groups((job,), TODAY)[0].rows[0].amount == amount
    assert said in job_sentence(job, TODAY)


def test_no_bare_fraction_stands_in_the_week() -> None:
    job = task("unwrap", units=(unit("g1", "done"), unit("g2"), unit("g3")))
    text = week_text((job,), TODAY, "Orchard", (), 80)
    assert "2 of 3 left" in text
    assert "  2 left" in text
    assert "1/3" not in text


def test_the_next_job_is_the_late_one() -> None:
    jobs = (task("prune"), task("unwrap", "late", window=window(-9, -3, 20)))
    assert next_sentence(jobs, TODAY) == "Do unwrap, Old Tom: 20 min, 3 days late, worth doing until 1 Apr."


def test_the_next_job_says_how_many_units_are_left() -> None:
    job = task("unwrap", units=(unit("g1", "done"), unit("g2"), unit("g3")))
    assert "2 of 3" in next_sentence((job,), TODAY)


def test_with_nothing_open_the_next_sentence_says_what_comes() -> None:
    jobs = (task("graft", "coming", window=window(3, 9)),)
    assert next_sentence(jobs, TODAY) == "Nothing to do today; next comes Do graft, Old Tom, from 15 Mar."


def test_what_waits_for_weather_is_not_called_nothing() -> None:
    assert "waits for weather" in next_sentence((task("spray", "waiting"),), TODAY)


def test_with_nothing_to_do_all_week_the_next_sentence_names_the_job_after_it() -> None:
    later = task("graft", "coming", window=window(20, 30))
    assert next_sentence((), TODAY, later) == "Nothing to do this week; next comes Do graft, Old Tom, from 1 Apr."


def test_a_week_whose_work_is_done_says_so_and_what_comes_next() -> None:
    later = task("graft", "coming", window=window(20, 30))
    assert next_sentence((task("prune", "done"),), TODAY, later).startswith("All of this week's work is done; next")


def test_with_nothing_to_do_now_the_amount_is_a_word() -> None:
    assert to_do_words((task("graft", "coming"),), TODAY) == "nothing"


def test_an_empty_week_says_so() -> None:
    assert next_sentence((), TODAY) == "Nothing to do this week."


def test_a_tick_of_the_whole_job_is_about_the_units_to_do_now() -> None:
    job = task("unwrap", units=(unit("g1", "done"), unit("g2"), unit("g3", "coming")))
    assert [chosen.id for chosen in units_to_tick(job)] == ["g2"]


@pytest.mark.parametrize("width", [60, 80, 120, 200])
def test_no_line_of_the_week_is_wider_than_the_page(width: int) -> None:
    long = task("prune", title="x" * 90, place="林檎 [/x] " * 9, units=(unit("g1"), unit("g2")))
    lines = week_text((long,), TODAY, "Orchard", ("A long word about the data. " * 9,), width).splitlines()
    assert max(map(display_width, lines)) <= width


def test_the_week_gives_the_key_that_other_commands_take() -> None:
    assert "prune/t1/2026" in week_text((task("prune"),), TODAY, "Orchard", (), 80)


def test_the_week_can_be_shown_in_ascii_alone() -> None:
    text = week_text(tuple(task(state, state) for state in TASK_STATES), TODAY, "Orchard", (), 80, ascii_only=True)
    assert text.isascii()


def test_names_from_files_are_inert_in_the_week() -> None:
    assert "\x1b" not in week_text((task("prune", place="\x1b[2J\u202e"),), TODAY, "\x1b]0;x\x07", (), 80)


def test_the_season_names_each_month_once() -> None:
    jobs = (task("a", window=window(0, 5)), task("b", window=window(1, 5)), task("c", window=window(40, 50)))
    text = season_text(Plan(TODAY, 2026, jobs), (), Season(2026), 80)
    assert [line for line in text.splitlines() if line.endswith(" 2026")] == ["Mar 2026", "Apr 2026"]


def test_a_stage_is_shown_with_its_code_state_date_and_range() -> None:
    tip = StageDate("green tip", 53, "predicted", window(12, 12).opens, window(6, 6).opens, window(19, 19).opens)
    line = stages_text((SpeciesStages("apple", (tip,)),), TODAY, 80).splitlines()[1]
    assert " ".join(line.split()) == "○ green tip 53 to come Tue 24 Mar 18-31 Mar in 12 days"


def test_the_reasons_of_the_next_stage_are_given_when_asked_for() -> None:
    past = StageDate("silver tip", 51, "past", TODAY, TODAY, TODAY, ("long ago",))
    day = window(12, 12).opens
    tip = StageDate("green tip", 53, "predicted", day, day, day, ("366 degree hours are needed", "learned here"))
    both = (SpeciesStages("apple", (past, tip)),)
    shown = stages_text(both, TODAY, 80, why=True)
    assert "  Green tip: 366 degree hours are needed. Learned here." in shown
    assert "Learned" not in stages_text(both, TODAY, 80)


def test_a_stage_without_a_date_is_shown_without_one() -> None:
    stop = StageDate("shoot stop", 91, "unreached", None, None, None)
    assert "no date" in stages_text((SpeciesStages("apple", (stop,)),), TODAY, 80)


def test_why_gives_reasons_steps_cautions_and_source() -> None:
    job = task(
        "unwrap", because=("it was set on 3 Mar",), steps=("Cut it.",), cautions=("ladder",), source="A sheet, 1998"
    )
    text = why_text(job, {"ladder": CARD}, TODAY, 80)
    for said in ("It was set on 3 Mar.", "1. Cut it.", "Firm feet.", "A sheet, 1998"):
        assert said in text


def test_a_caution_whose_card_is_missing_is_still_named() -> None:
    assert "hot-wax" in why_text(task("graft", cautions=("hot-wax",)), {}, TODAY, 80)


def test_trees_show_their_grafts_from_the_lowest_up() -> None:
    grafts = (Graft("g1", "t1", "High", height_m=3.0), Graft("g2", "t1", "Low", height_m=1.0), Graft("g3", "t1", "?"))
    text = trees_text(Records((Tree("t1", "Old Tom", "apple"),), grafts), 80, TODAY)
    assert text.index("Low") < text.index("High") < text.index("?")


def test_an_empty_orchard_says_how_trees_come_in() -> None:
    assert "bring trees.csv" in trees_text(Records(), 80, TODAY)


def test_what_can_wait_is_not_called_nothing_to_do() -> None:
    coming = task("prune", "coming", window=window(2, 9))
    said = next_sentence((task("tie", can_wait=True), task("rub", can_wait=True), coming), TODAY)
    assert said == "Nothing must be done today, and 2 jobs can wait; next comes Do prune, Old Tom, from 14 Mar."
    said = next_sentence((task("tie", can_wait=True), task("dig", "waiting"), coming), TODAY)
    assert said.startswith("Nothing for today but what waits for weather, and 1 job can wait; next comes ")


def test_what_can_wait_is_not_counted_as_to_do_now() -> None:
    assert to_do_words((task("graft"), task("tidy", can_wait=True)), TODAY) == "1 job, 20 min"
    assert to_do_words((task("tidy", can_wait=True),), TODAY) == "nothing"

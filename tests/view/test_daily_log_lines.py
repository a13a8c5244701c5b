"""The watch's log in lines, with nothing in it that acts on a terminal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from tendwork.view.daily_log import entry_line, watch_log_text, watching_words


@dataclass(frozen=True)
class Entry:
    at: datetime
    job: str
    words: str
    failed: bool = False
    times: int = 1


MORNING = datetime(2026, 5, 5, 6, 30, tzinfo=UTC)


def test_a_line_says_when_what_and_how() -> None:
    assert entry_line(Entry(MORNING, "sheet", "Handed to mail.")) == "2026-05-05 06:30  sheet: Handed to mail."


def test_a_failure_says_so_and_how_often_it_was_in_a_row() -> None:
    assert entry_line(Entry(MORNING, "sheet", "No.", True)) == "2026-05-05 06:30  sheet failed: No."
    assert "fetch failed, 9 times by now: No." in entry_line(Entry(MORNING, "fetch", "No.", True, 9))


def test_what_a_command_said_is_shown_inert() -> None:
    assert "\x1b" not in entry_line(Entry(MORNING, "sheet", "\x1b[2J"))


def test_the_log_begins_with_the_newest_day_and_goes_through_each_day_in_order() -> None:
    entries = [
        Entry(datetime(2026, 5, day, hour, 30, tzinfo=UTC), name, "Done.")
        for day, hour, name in ((5, 6, "sheet"), (5, 18, "frost"), (6, 6, "sheet"))
    ]
    assert watch_log_text(entries, 80).splitlines() == [
        "Wed 6 May 2026",
        "  06:30 sheet: Done.",
        "",
        "Tue 5 May 2026",
        "  06:30 sheet: Done.",
        "  18:30 frost: Done.",
    ]


def test_long_entries_keep_to_the_columns() -> None:
    text = watch_log_text([Entry(MORNING, "fetch", "word " * 60)], 60)
    assert max(map(len, text.splitlines())) <= 60


def test_an_empty_log_says_how_a_watch_begins() -> None:
    assert "`tendwork watch`" in watch_log_text([], 80)


def test_a_watch_says_at_its_start_when_the_sheet_goes_out() -> None:
    assert watching_words("Hill", "06:30") == "Hill: watching. The sheet goes out at 06:30."
    assert "no [remind]" in watching_words("Hill", "")

"""Every view into a file, and copying on every screen and page, by real keys and by mouse alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tendwork.dashboard.actions import SCREENS, key_word
from tendwork.dashboard.moves import moves_of
from tendwork.dashboard.screens.fruit_pages import PAGES as FRUIT_PAGES

pytestmark = pytest.mark.anyio

STANDS_IN = {
    "morning": "Oil the gate",
    "season": "upkeep",
    "trees": "Red Lamp (g03)",
    "wood": "No wood is recorded yet.",
    "fruit": "Nothing is ripe now.",
    "templates": "Oil the gate (own-gate)",
    "temperatures": "Heat: not known, as no day since",
}


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    place = tmp_path / "here"
    place.mkdir()
    monkeypatch.chdir(place)
    return place


async def test_every_screen_goes_into_a_file_is_copied_and_has_help_for_its_cursor(app, here, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        for number, name in enumerate(SCREENS, 1):
            await press(pilot, str(number))
            await at_rest(pilot)
            app._clipboard = ""
            await press(pilot, "y")
            assert app.clipboard or name == "wood", name
            assert moves_of(app.screen.focused) is not None, name
            await press(pilot, "f", "enter")
        for name, words in STANDS_IN.items():
            (file,) = here.glob(f"{name}*-2026-03-12.txt")
            text = file.read_text(encoding="utf-8")
            assert words in text, name
            assert "\x1b" not in text


async def test_every_page_of_fruit_has_a_text_to_copy_and_to_write(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "5")
        texts = {}
        for _ in FRUIT_PAGES:
            texts[app.screen.view_name()] = (app.screen.view_text(), app.screen.copied_text())
            await press(pilot, "right")
        assert len(texts) == len(FRUIT_PAGES)
        assert all(all(pair) for pair in texts.values())


async def test_a_file_that_is_there_is_written_over_only_when_asked_again(app, here, at_rest, press) -> None:
    file = here / "mine.txt"
    file.write_text("kept\n", encoding="utf-8")
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "w", "f")
        app.screen.query_one("#file").value = "mine.txt"
        await press(pilot, "enter")
        assert file.read_text(encoding="utf-8") == "kept\n"
        await press(pilot, "enter")
        assert "Why" in file.read_text(encoding="utf-8")
        assert app.notice.text == f"Written: {file}"


@pytest.mark.usefixtures("here")
async def test_a_file_that_cannot_be_written_is_told(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "f")
        app.screen.query_one("#file").value = "no/such/place.txt"
        await press(pilot, "enter")
        assert "is not there. Nothing was changed; make that folder" in str(app.screen.query_one("#fault").content)


async def test_the_mouse_alone_reads_copies_and_writes(app, here, at_rest, press_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        for words in ("why", "copy", "to a file", "write", "close"):
            await press_on(pilot, words)
            await at_rest(pilot)
        assert app.screen.HERE == "morning"
    written = (here / "why-2026-03-12.txt").read_text(encoding="utf-8")
    assert written.split() == app.clipboard.split()


async def test_the_mouse_alone_lists_all_that_can_be_done(app, at_rest, seen_on, press_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press_on(pilot, "all", "KeyLine")
        await pilot.pause(0.3)
        assert "Tick (space)" in seen_on(app)


async def test_the_mouse_alone_records_buds_of_an_earlier_day(app, at_rest, press_on) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await at_rest(pilot)
        await press_on(pilot, "s buds")
        await at_rest(pilot)
        await press_on(pilot, "earlier")
        await at_rest(pilot)
        await pilot.click("#stages", offset=(5, 1))
        await at_rest(pilot)
        assert [str(sighting.day) for sighting in app.state.records.sightings] == ["2026-03-11"]


async def test_no_word_of_a_key_line_is_cut_at_sixty_columns(app, at_rest, press, seen_on) -> None:
    async with app.run_test(size=(60, 24)) as pilot:
        await at_rest(pilot)
        for key in "136":
            await press(pilot, key)
            line = seen_on(app).splitlines()[-1]
            here = app.screen.HERE
            whole = [f"{key_word(held.keys[0])} {held.label}" for held in app.keys.actions if here in held.shown]
            shown = re.split(" {2,}", line.strip())
            assert shown == [words for words in whole if words in shown]
            assert shown[-3:] == [". all", "? help", "q leave"]


async def test_f1_in_a_form_begins_with_the_line_that_is_written(app, at_rest, press, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "3", "a", "tab", "tab", "tab")
        assert "Whether it may stay. Offered: on trial, keep, cut." in seen_on(app)
        await press(pilot, "f1")
        first = [line.strip() for line in seen_on(app).splitlines() if line.strip()][1]
        assert first == "Whether it may stay. Offered: on trial, keep, cut."
